package job

// kind is what sort of value stands in a file.
type kind int

const (
	kindText kind = iota
	kindWhole
	kindDecimal
	kindTruth
	kindDate
	kindList
	kindTable
	kindTables // from [[name]] headings
)

var kindNames = map[kind]string{
	kindText: "text", kindWhole: "a whole number", kindDecimal: "a decimal number", kindTruth: "true or false", kindDate: "a date",
	kindList: "a list", kindTable: "a table", kindTables: "a table",
}

// value is one value with its place.
type value struct {
	kind  kind
	pos   Pos
	str   string // of a text, what is between its quotes
	raw   string // as it stands in the file
	items []*value
	table *table // of a table
	many  []*table

	unknown bool // the line could not be read: the key is there, its value is not known
}

// entry is a key with its value.
type entry struct {
	key string
	pos Pos // of the key
	val *value
}

// table is a set of entries in the order of the file.
type table struct {
	pos     Pos
	entries []*entry
	byKey   map[string]*entry
}

func newTable(p Pos) *table { return &table{pos: p, byKey: map[string]*entry{}} }

func (t *table) find(key string) *entry { return t.byKey[key] }

func (t *table) put(e *entry) {
	t.entries = append(t.entries, e)
	t.byKey[e.key] = e
}

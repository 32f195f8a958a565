package job

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// document reads a text into a table, statement by statement, so that a
// statement that cannot be read hides no other one.
type document struct {
	r      *reader
	places *places
	text   string
	data   []byte
	shape  *shape
	root   *table
	here   *table // the table that keys now go into
	parser unstable.Parser
}

// shape says which headings a kind of file has.
type shape struct {
	lists  []string // headings with two pairs of brackets
	tables []string // headings with one
}

func readDocument(r *reader, s *shape) *table {
	text := r.src.Text
	d := &document{r: r, places: newPlaces(text), text: text, data: []byte(text), shape: s, root: newTable(Pos{})}
	d.here = d.root
	d.data = d.data[:len(d.data):len(d.data)]
	for off := 0; off < len(text); {
		off = d.statement(off)
	}
	return d.root
}

// statement reads what begins on the line at off and returns where to go on.
func (d *document) statement(off int) int {
	n := d.places.line(off)
	end := d.places.end(n)
	line := d.text[off:end]
	trimmed := strings.TrimLeft(line, " \t")
	if trimmed == "" || trimmed[0] == '#' {
		return end + 1
	}
	if c := utf8.RuneCountInString(line); c > maxLine {
		d.r.fault("long-line", Pos{n, 1, 1}, strconv.Itoa(c), strconv.Itoa(maxLine))
		d.salvage(off, line, false)
		return end + 1
	}
	d.parser.Reset(d.data[off:])
	if !d.parser.NextExpression() {
		d.salvage(off, line, true)
		return d.resume(n)
	}
	e := d.parser.Expression()
	last := off
	switch e.Kind {
	case unstable.KeyValue:
		last += int(e.Raw.Offset + e.Raw.Length)
		d.keyValue(d.here, e, off)
	case unstable.Table, unstable.ArrayTable:
		keys := d.keys(e, off)
		last = keys[len(keys)-1].end
		d.heading(keys, e.Kind == unstable.ArrayTable)
	}
	return d.places.end(d.places.line(last)) + 1
}

// resume is where to go on after a statement on line n that cannot be read:
// behind it, and behind the further lines of a list or of a long text.
func (d *document) resume(n int) int {
	next := n + 1
	if opensLines(d.text[d.places.starts[n-1]:d.places.end(n)]) {
		for next <= len(d.places.starts) && !beginsStatement(d.text[d.places.starts[next-1]:d.places.end(next)]) {
			next++
		}
	}
	return d.places.end(next-1) + 1
}

// part is one part of a dotted key.
type part struct {
	name string
	pos  Pos
	end  int
}

func (d *document) keys(n *unstable.Node, off int) []part {
	var out []part
	for it := n.Key(); it.Next(); {
		k := it.Node()
		from := off + int(k.Raw.Offset)
		to := from + int(k.Raw.Length)
		out = append(out, part{string(k.Data), d.places.at(from, to), to})
	}
	return out
}

// keyValue puts a key and its value into a table.
func (d *document) keyValue(t *table, n *unstable.Node, off int) {
	keys := d.keys(n, off)
	from := keys[len(keys)-1].end
	if eq := strings.IndexByte(d.text[from:], '='); eq >= 0 {
		from += eq + 1
		from += len(d.text[from:]) - len(strings.TrimLeft(d.text[from:], " \t"))
	}
	to := off + int(n.Raw.Offset+n.Raw.Length)
	v := d.value(n.Value(), off, d.places.at(from, to))
	v.raw = d.text[from:to]
	d.put(t, keys, v)
}

// put stores a value under a key, which may be dotted.
func (d *document) put(t *table, keys []part, v *value) {
	t = d.walk(t, keys[:len(keys)-1])
	last := keys[len(keys)-1]
	if old := t.find(last.name); old != nil {
		d.r.fault("duplicate", last.pos, last.name, strconv.Itoa(old.pos.Line))
		return
	}
	t.put(&entry{last.name, last.pos, v})
}

// walk goes to the table under keys and makes what is not there. Where another
// value is in the way it says so and gives a table that belongs to nothing.
func (d *document) walk(t *table, keys []part) *table {
	for _, k := range keys {
		e := t.find(k.name)
		switch {
		case e == nil:
			sub := newTable(k.pos)
			t.put(&entry{k.name, k.pos, &value{kind: kindTable, pos: k.pos, table: sub}})
			t = sub
		case e.val.kind == kindTable && e.val.table != nil:
			t = e.val.table
		case e.val.kind == kindTables:
			t = e.val.many[len(e.val.many)-1]
		default:
			d.r.fault("duplicate", k.pos, k.name, strconv.Itoa(e.pos.Line))
			return newTable(k.pos)
		}
	}
	return t
}

// heading begins a table.
func (d *document) heading(keys []part, double bool) {
	parent := d.walk(d.root, keys[:len(keys)-1])
	k := keys[len(keys)-1]
	if len(keys) == 1 {
		switch {
		case !double && contains(d.shape.lists, k.name):
			d.r.fault("single-brackets", k.pos, k.name)
			double = true
		case double && contains(d.shape.tables, k.name):
			d.r.fault("double-brackets", k.pos, k.name)
			double = false
		}
	}
	d.here = newTable(k.pos)
	old := parent.find(k.name)
	switch {
	case old == nil && double:
		parent.put(&entry{k.name, k.pos, &value{kind: kindTables, pos: k.pos, many: []*table{d.here}}})
	case old == nil:
		parent.put(&entry{k.name, k.pos, &value{kind: kindTable, pos: k.pos, table: d.here}})
	case double && old.val.kind == kindTables:
		old.val.many = append(old.val.many, d.here)
	default:
		d.r.fault("duplicate", k.pos, k.name, strconv.Itoa(old.pos.Line))
	}
}

var nodeKinds = map[unstable.Kind]kind{
	unstable.String: kindText, unstable.Integer: kindWhole, unstable.Float: kindDecimal, unstable.Bool: kindTruth,
	unstable.Array: kindList, unstable.InlineTable: kindTable,
}

// value copies a node; at is its place where the node itself knows none.
func (d *document) value(n *unstable.Node, off int, at Pos) *value {
	k, ok := nodeKinds[n.Kind]
	if !ok {
		k = kindDate
	}
	v := &value{kind: k, pos: at}
	if n.Raw.Length > 0 && k != kindTable {
		from := off + int(n.Raw.Offset)
		v.pos = d.places.at(from, from+int(n.Raw.Length))
		v.raw = d.text[from : from+int(n.Raw.Length)]
	}
	switch k {
	case kindText:
		v.str = string(n.Data)
		v.unknown = strings.ContainsRune(v.str, replaced) // that fault was told when the text was cleaned
	case kindList:
		for it := n.Children(); it.Next(); {
			v.items = append(v.items, d.value(it.Node(), off, at))
		}
	case kindTable:
		v.table = newTable(at)
		for it := n.Children(); it.Next(); {
			d.keyValue(v.table, it.Node(), off)
		}
	}
	return v
}

func contains(list []string, s string) bool {
	for _, l := range list {
		if l == s {
			return true
		}
	}
	return false
}

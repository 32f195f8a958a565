package job

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/thread"
)

var jobFields = []field{
	{"part", `"levelling foot"`},
	{"material", `"mild steel"`},
	{"bar", `"22 mm"`},
	{"stickout", `"60 mm"`},
	{"bar_length", `"150 mm"`},
	{"lathe", `"../lathes/bench.toml"`},
	{"units", `"mm"`},
	{"face", `"0.5 mm"`},
	{"support", `"chuck"`},
	{"part_off", `true`},
	{"quantity", `10`},
	{"tip", `"radius 0.1 mm"`},
	{"threading", `"reverse"`},
	{"pick_up", `true`},
	{"section", `[[section]]`},
	{"bore", `[[bore]] with diameter = "25 mm H7" and through = true`},
	{"overall", `"36 mm ±0.05 mm"`},
	{"second", `[second]`},
	noteField,
	{"order", orderExample},
}

var sectionFields = []field{
	{"name", `"stem"`},
	{"thread", `"M12x1.75-6g"`},
	{"diameter", `"16 mm h9"`},
	{"taper", `"Morse 2"`},
	{"small", `"14.5 mm"`},
	{"as_bar", `true`},
	{"length", `"28 mm"`},
	{"undercut", `"regular"`},
	{"runout", `"DIN 76"`},
	{"groove", `{ at = "3 mm", width = "1.3 mm +0.14/-0.0 mm", diameter = "19 mm h11" }`},
	{"chamfer", `"1 mm"`},
	{"round", `"1 mm"`},
	{"corner", `"0.8 mm"`},
	{"knurl", `{ pattern = "diamond", pitch = "1 mm" }`},
	noteField,
	{"thread_note", `"half a turn at a time near the end"`},
}

var undercutFields = []field{
	{"width", `"4 mm"`},
	{"diameter", `"9.4 mm"`},
}

var jobShape = &shape{lists: []string{"section", "bore"}, tables: []string{"second"}}

// The defaults and limits of a job.
const (
	defaultFace = 500 * calc.Micrometre
	maxFace     = 10 * calc.Millimetre
	maxBar      = 1000 * calc.Millimetre
	maxOut      = 3000 * calc.Millimetre
	maxQuantity = 100
)

// ParseJob reads a job. path is only shown in messages. The error is [Faults]:
// everything that is wrong with the text, in the order of its places. The job is
// nil when there is any. own is the materials of the lathe it is for; they come
// before the built-in ones.
func ParseJob(path, text string, own ...cutting.Material) (*Job, error) {
	r, ok := open(path, text)
	if !ok {
		return nil, r.faults.Err()
	}
	root := readDocument(r, jobShape)
	s := r.scope(root, "", jobFields, func(key string) (not, instead string) {
		if contains(keysOf(sectionFields), key) {
			return "above the sections", "write it below a [[section]] heading"
		}
		if contains(keysOf(boreFields), key) {
			return "above the bores", "write it below a [[bore]] heading"
		}
		return "", ""
	})
	r.below(root)
	p := &jobParser{reader: r, top: s, job: &Job{Source: r.src, Face: defaultFace, PartOff: true, Quantity: 1}, own: own}
	p.head()
	p.sections()
	p.bores()
	p.second()
	p.overall()
	p.geometry()
	p.order()
	if err := r.faults.Err(); err != nil {
		return nil, err
	}
	return p.job, nil
}

// LatheOf is the path of the lathe file that a job names, "" where it names none or
// cannot be read. It is for reading the lathe first; [ParseJob] tells the faults.
func LatheOf(text string) string {
	r, ok := open("", text)
	if !ok {
		return ""
	}
	e := readDocument(r, jobShape).find("lathe")
	if e == nil {
		return ""
	}
	return arg{e.val, &scope{r: r}, field{"lathe", ""}}.name()
}

// ParsePair is [ParseLathe] and then [ParseJob] with the lathe's own materials: the
// faults of both, those of the job first.
func ParsePair(jobPath, jobText, lathePath, latheText string) (*Job, *Lathe, error) {
	var faults Faults
	l, errLathe := ParseLathe(lathePath, latheText)
	var own []cutting.Material
	if l != nil {
		own = l.Materials
	}
	j, errJob := ParseJob(jobPath, jobText, own...)
	for _, err := range []error{errJob, errLathe} {
		var f Faults
		if errors.As(err, &f) {
			faults = append(faults, f...)
		} else if err != nil {
			return nil, nil, err
		}
	}
	if len(faults) > 0 {
		return nil, nil, faults.Err()
	}
	return j, l, nil
}

// jobParser is a job while it is read. A zero in it is a figure that is missing
// or could not be read: what depends on it is not checked.
type jobParser struct {
	*reader
	top     *scope
	job     *Job
	own     []cutting.Material
	parts   []*stretch
	hollows []*hollow
	prefix  string // of the names of sections that have none: "s", or "second" in the second setting
}

// stretch is a section while it is read, with the places of its values.
type stretch struct {
	*Section
	scope    *scope
	number   string // "1"
	size     arg    // the thread, the diameter or as_bar
	length   arg
	undercut arg
	runOutAt arg
	grooveAt arg
	cornerAt arg
	roundAt  arg
	rings    []ring // the grooves as they are written
	chamfer  arg
	taperAt  arg
	smallAt  arg
	knurled  arg
	plain    bool // surely without a thread
}

func (p *jobParser) head() {
	s, j := p.top, p.job
	j.Part = s.need("part").name()
	j.Note = s.get("note").note()
	j.Lathe = s.get("lathe").name()
	material := s.need("material")
	if name := material.name(); name != "" {
		m, err := findMaterial(name, p.own)
		if err != nil {
			what, hint := parted(err, "")
			material.fault("material", what, hint)
		}
		j.Material = m
	}
	bar := s.need("bar")
	j.Bar = bar.length(maxBar)
	j.Unit = calc.Millimetre
	if bar.there() && bar.kind == kindText {
		j.Unit = unit(strings.TrimSpace(bar.str))
	}
	switch s.get("units").word("mm", "in") {
	case "mm":
		j.Unit = calc.Millimetre
	case "in":
		j.Unit = calc.Inch
	}
	j.StickOut = s.need("stickout").length(maxOut)
	long := s.get("bar_length")
	if j.BarLength = long.length(2 * maxOut); j.BarLength > 0 && j.BarLength <= j.StickOut {
		long.fault("bar-short", p.show(j.BarLength), p.show(j.StickOut), p.show(roundUp(j.StickOut+j.Bar*3/2, j.Unit)))
	}
	if face := s.get("face"); face.value != nil {
		j.Face = face.length(maxFace)
	}
	j.Centre = s.get("support").word("chuck", "centre") == "centre"
	j.PartOff = s.get("part_off").truth(true)
	if a := s.get("quantity"); a.value != nil {
		j.Quantity = max(1, a.whole(1, maxQuantity, "a longer run is made in several, each with its own stops"))
		if j.Quantity > 1 && j.Centre {
			a.fault("quantity-centre", strconv.Itoa(j.Quantity))
		}
	}
	j.Threading = s.get("threading").way()
	p.pickUp()
}

func (p *jobParser) sections() {
	tables, ok := p.tables("section", `[[section]] with diameter = "16 mm h9" and length = "8 mm"`)
	if !ok {
		return
	}
	if len(tables) == 0 {
		p.fault("no-section", Pos{})
	}
	if len(tables) > maxSections {
		p.fault("section-count", tables[maxSections].pos, strconv.Itoa(maxSections))
		tables = tables[:maxSections]
	}
	p.job.Sections = make([]Section, len(tables))
	for i, t := range tables {
		p.parts = append(p.parts, p.section(&p.job.Sections[i], t, i))
	}
	p.names()
}

// tables are the tables under [[name]] headings, or a list of tables.
func (p *jobParser) tables(name, example string) ([]*table, bool) {
	return tablesOf(p.reader, p.top, name, example)
}

func tablesOf(r *reader, s *scope, name, example string) ([]*table, bool) {
	a := s.get(name)
	switch {
	case a.value == nil:
		return nil, true
	case !a.there():
		return nil, false
	case a.kind == kindTables:
		return a.many, true
	case a.kind == kindTable:
		return []*table{a.table}, true
	case a.kind == kindList:
		var out []*table
		for _, v := range a.items {
			if v.kind != kindTable {
				r.fault("not-a-table", v.pos, name, kindNames[v.kind], example)
				return nil, false
			}
			out = append(out, v.table)
		}
		return out, true
	}
	a.fault("not-a-table", name, kindNames[a.kind], example)
	return nil, false
}

func (p *jobParser) section(sec *Section, t *table, i int) *stretch {
	number := strconv.Itoa(i + 1)
	s := p.scope(t, " in a section", sectionFields, func(key string) (not, instead string) {
		if contains(keysOf(jobFields), key) && key != "section" && key != "bore" {
			return "in a section", "write it above the first [[section]] heading"
		}
		return "", ""
	})
	sec.Pos = t.pos
	st := &stretch{Section: sec, scope: s, number: number, length: s.need("length"), undercut: s.get("undercut"), runOutAt: s.get("runout"), chamfer: s.get("chamfer"), taperAt: s.get("taper"), smallAt: s.get("small")}
	if a := s.get("name"); a.value != nil {
		if sec.Name = a.name(); sec.Name != "" && !isName(sec.Name) {
			a.fault("name-characters", sec.Name)
		}
	} else {
		sec.Name = cmp.Or(p.prefix, "s") + number
	}
	sec.Length = st.length.size()
	if st.chamfer.value != nil {
		sec.Chamfer = st.chamfer.length(maxBar)
	}
	sec.Note = s.get("note").note()
	sec.ThreadNote = p.threadNote(s)
	p.kind(st)
	p.taper(st)
	p.knurl(st)
	p.runOut(st)
	p.groove(st)
	p.grooves(st)
	p.radii(st)
	return st
}

// isName says whether a section can be called that: it becomes part of the names
// of steps.
func isName(s string) bool {
	for i, r := range s {
		if !unicode.IsLetter(r) && (i == 0 || !unicode.IsDigit(r) && r != ' ' && r != '-') {
			return false
		}
	}
	return true
}

// names refuses two sections of one name.
func (p *jobParser) names() {
	first := map[string]string{}
	for _, st := range p.parts {
		if st.Name == "" {
			continue
		}
		if n, ok := first[st.Name]; ok {
			a := st.scope.get("name")
			if a.value == nil {
				a.value = &value{pos: st.Pos}
			}
			a.fault("name-twice", st.number, st.Name, n)
		} else {
			first[st.Name] = st.number
		}
	}
}

// kind reads what a section is: a thread, a plain diameter or the bar as it is.
func (p *jobParser) kind(st *stretch) {
	s := st.scope
	asBar := s.get("as_bar")
	st.AsBar = asBar.truth(false)
	var found []arg
	for _, k := range []string{"thread", "diameter"} {
		if a := s.get(k); a.value != nil {
			found = append(found, a)
		}
	}
	if st.AsBar || asBar.value != nil && !asBar.there() {
		found = append(found, asBar)
	}
	switch len(found) {
	case 0:
		if st.taperAt.value != nil { // a Morse taper has a diameter of its own
			st.plain = true
			return
		}
		p.fault("section-kind", st.Pos, st.number)
		return
	case 1:
		st.size = found[0]
	default:
		for _, a := range found[1:] {
			a.fault("section-two-kinds", st.number, a.f.key, found[0].f.key)
		}
		st.AsBar = false
		for _, a := range found { // each is looked at, none is taken
			p.sized(&stretch{Section: &Section{}, scope: s, number: st.number, size: a})
		}
		return
	}
	p.sized(st)
}

// sized reads the size of a section whose kind is known.
func (p *jobParser) sized(st *stretch) {
	a := st.size
	switch a.f.key {
	case "thread":
		p.thread(st)
	case "diameter":
		st.plain = true
		st.Diameter = a.size()
		if st.Diameter.Hole() {
			z := st.Diameter.Class
			a.fault("hole-zone", show(st.Diameter.Nominal, p.job.Unit), z, strings.ToLower(z))
			st.Diameter = fit.Limits{}
		}
	case "as_bar":
		st.plain = true
		if b := p.job.Bar; b > 0 {
			st.Diameter = fit.Limits{Nominal: b, Min: b, Max: b, Source: "the bar as it is"}
		}
	}
}

func (p *jobParser) thread(st *stretch) {
	a := st.size
	text, ok := a.written()
	if !ok {
		return
	}
	t, err := thread.Parse(text)
	if err != nil {
		what, hint := parted(err, "")
		if te, ok := err.(*thread.Error); ok {
			what, hint = parted(fmt.Errorf("%s", te.Msg), "write one such as M12x1.75-6g or M10x1-6g")
			// The place inside the quotes, where the value stands as it reads.
			if lead := strings.Index(a.raw, text); lead >= 0 && !strings.ContainsAny(a.raw, "\\\n") {
				rest := len([]rune(text)) - te.Column + 1
				a.value = &value{pos: Pos{a.pos.Line, a.pos.Col + len([]rune(a.raw[:lead])) + te.Column - 1, max(1, rest)}}
			}
		}
		a.fault("thread", what, hint)
		return
	}
	if !t.External {
		outside := t
		outside.External, outside.Class = true, "6g"
		a.fault("inside-thread", t.String(), outside.String())
		return
	}
	if t.Starts > 1 && t.LeftHand {
		a.fault("multi-start", t.String(), strconv.Itoa(t.Starts))
	}
	to, err := t.TurnTo()
	if err != nil {
		what, hint := parted(err, "take a size that is in the standard")
		a.fault("thread", what, hint)
		return
	}
	st.Thread, st.Diameter = &t, to
	if t.Taper != (calc.Ratio{}) && !p.pipe(st, &t) {
		st.Thread, st.Diameter = nil, fit.Limits{}
	}
}

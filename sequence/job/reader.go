package job

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"turncue/calc"
	"turncue/calc/fit"
)

// reader collects what is wrong with a file.
type reader struct {
	src    Source
	faults Faults
	full   bool
	sunk   map[string]bool // keys that stand in some table below the top
}

// fault adds one fault; key is one of [wordings].
func (r *reader) fault(key string, p Pos, args ...string) {
	if r.full {
		return
	}
	if len(r.faults) >= maxFaults {
		r.full = true
		key, p, args = "too-many-faults", Pos{}, []string{strconv.Itoa(maxFaults)}
	}
	what, hint := wordings[key].words(args)
	r.faults = append(r.faults, Fault{Source: r.src, Pos: p, Msg: what, Hint: hint, key: key})
}

// open takes a file in: what is wrong with its text is a fault, and a file that
// is far too big is not looked at; ok is false then.
func open(path, text string) (r *reader, ok bool) {
	r = &reader{src: Source{Path: path}}
	if len(text) > maxBytes {
		r.fault("file-too-big", Pos{}, strconv.Itoa(len(text)), strconv.Itoa(maxBytes))
		return r, false
	}
	var found []func()
	r.src.Text = clean(text, func(p Pos, what string) {
		found = append(found, func() { r.fault("bad-character", p, what) })
	})
	for _, f := range found { // only now is the text there to be shown
		f()
	}
	return r, true
}

// field is one key a table may have, with an example of its value as it is
// written.
type field struct{ key, example string }

func keysOf(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.key
	}
	return out
}

// scope is one table being read.
type scope struct {
	r      *reader
	t      *table
	where  string // " in [banjo]"; empty at the top
	fields []field
}

// scope begins to read a table: keys it may not have are faults. elsewhere says
// where a key that is not known here belongs, or "".
func (r *reader) scope(t *table, where string, fields []field, elsewhere func(key string) (not, instead string)) *scope {
	s := &scope{r, t, where, fields}
	known := keysOf(fields)
	for _, e := range t.entries {
		if contains(known, e.key) {
			continue
		}
		if elsewhere != nil {
			if not, instead := elsewhere(e.key); not != "" {
				r.fault("misplaced-key", e.pos, e.key, not, instead)
				continue
			}
		}
		hint := "known here are " + strings.Join(known, ", ")
		if n := Nearest(e.key, known); n != "" {
			hint = "did you mean " + n + "?"
		}
		r.fault("unknown-key", e.pos, e.key, where, hint)
	}
	return s
}

var heading = regexp.MustCompile(`^\[+[a-z]`)

// below notes which keys stand in tables: one that belongs at the top is then not
// called missing as well as misplaced.
func (r *reader) below(root *table) {
	r.sunk = map[string]bool{}
	for _, e := range root.entries {
		sub := e.val.many
		if e.val.table != nil {
			sub = append(sub, e.val.table)
		}
		for _, t := range sub {
			for _, e := range t.entries {
				r.sunk[e.key] = true
			}
		}
	}
}

// arg is a value that was asked for. It may not be there: then it has no value,
// and what is read of it is zero.
type arg struct {
	*value
	s *scope
	f field
}

// there says that the value can be read.
func (a arg) there() bool { return a.value != nil && !a.unknown }

// fault is a fault of this value.
func (a arg) fault(key string, args ...string) { a.s.r.fault(key, a.pos, args...) }

// given says whether a key stands in the table, readable or not.
func (s *scope) given(key string) bool { return s.t.find(key) != nil }

// get is the value of a key that may be left out.
func (s *scope) get(key string) arg {
	a := arg{s: s}
	for _, f := range s.fields {
		if f.key == key {
			a.f = f
		}
	}
	if e := s.t.find(key); e != nil {
		a.value = e.val
	}
	return a
}

// need is the value of a key that must be there.
func (s *scope) need(key string) arg {
	a := s.get(key)
	if a.value == nil {
		s.missing(a.f)
	}
	return a
}

func (s *scope) missing(f field) {
	if s.where == "" && s.r.sunk[f.key] {
		return // told where it stands
	}
	example := f.key + " = " + f.example
	if heading.MatchString(f.example) {
		example = f.example
	}
	s.r.fault("missing", s.t.pos, f.key, example)
}

// is says whether the value is of a kind, and makes it a fault when it is not.
func (a arg) is(want kind) bool {
	if !a.there() {
		return false
	}
	if a.kind == want {
		return true
	}
	a.fault("wrong-type", a.f.key, kindNames[a.kind], kindNames[want], a.instead(want))
	return false
}

// instead is the value in the kind that is wanted, or else an example.
func (a arg) instead(want kind) string {
	bare := strings.TrimSpace(a.str)
	switch {
	case want == kindText && (a.kind == kindWhole || a.kind == kindDecimal || a.kind == kindDate) && !strings.ContainsAny(a.f.example, "0123456789"):
		return `"` + a.raw + `"`
	case want == kindTruth && a.kind == kindText && (bare == "true" || bare == "false"):
		return bare
	case want == kindTruth && a.kind == kindText && truths[bare] != "":
		return truths[bare]
	case want == kindWhole && a.kind == kindText && bare != "" && len(bare) < 10 && strings.Trim(bare, "0123456789") == "" && bare[0] != '0':
		return bare
	}
	return a.f.example
}

// written is a text value: a name or a figure with its unit.
func (a arg) written() (string, bool) {
	if !a.is(kindText) {
		return "", false
	}
	if strings.TrimSpace(a.str) == "" {
		a.fault("empty", a.f.key, a.f.example)
		return "", false
	}
	return strings.TrimSpace(a.str), true
}

// figure is a text that begins with a number: a bare number is told to have no
// unit.
func (a arg) figure() (string, bool) {
	if a.there() && (a.kind == kindWhole || a.kind == kindDecimal) {
		a.fault("no-unit", a.f.key, a.raw, fmt.Sprintf("%[1]s = \"%[2]s mm\" or %[1]s = \"%[2]s in\"", a.f.key, a.raw))
		return "", false
	}
	return a.written()
}

// name is a text to be shown.
func (a arg) name() string {
	s, ok := a.written()
	if !ok {
		return ""
	}
	if n := utf8.RuneCountInString(s); n > maxText {
		a.fault("long-text", a.f.key, strconv.Itoa(n), strconv.Itoa(maxText))
		return ""
	}
	if strings.ContainsFunc(s, func(r rune) bool { return r < ' ' }) {
		a.fault("wrong-type", a.f.key, "text of several lines", "one line", a.f.example)
		return ""
	}
	return s
}

// word is one of several words.
func (a arg) word(choices ...string) string {
	s, ok := a.written()
	if !ok {
		return ""
	}
	if slices.Contains(choices, s) {
		return s
	}
	hint := "write one of " + strings.Join(choices, ", ")
	if n := Nearest(s, choices); n != "" {
		hint = "did you mean " + n + "?"
	}
	a.fault("not-one-of", a.f.key, clip(s), hint)
	return ""
}

// clip shortens what is repeated in a message.
func clip(s string) string {
	if r := []rune(s); len(r) > maxText {
		return string(r[:maxText]) + "..."
	}
	return s
}

// truth is a yes or no; other is what leaving it out means.
func (a arg) truth(other bool) bool {
	if !a.is(kindTruth) {
		return other
	}
	return a.raw == "true"
}

// unit is the unit a figure is written in: inches or millimetres.
func unit(figure string) calc.Length {
	for _, u := range []string{"in", "inch", `"`, "thou"} {
		if strings.HasSuffix(figure, u) {
			return calc.Inch
		}
	}
	return calc.Millimetre
}

// anyLength is a length that may have any sign; ok is false when there is none.
func (a arg) anyLength() (l calc.Length, ok bool) {
	s, ok := a.figure()
	if !ok {
		return 0, false
	}
	l, err := calc.ParseLength(s)
	if err != nil {
		what, hint := parted(err, "write one such as "+a.f.example)
		a.fault("bad-length", a.f.key, what, hint)
		return 0, false
	}
	return l, true
}

// length is a length above zero and up to a limit, zero when there is none.
func (a arg) length(most calc.Length) calc.Length {
	l, ok := a.anyLength()
	if !ok {
		return 0
	}
	u := unit(strings.TrimSpace(a.str))
	if l <= 0 {
		a.fault("below-zero", a.f.key, show(l, u), a.f.example)
		return 0
	}
	if l > most {
		a.fault("out-of-range", a.f.key, show(l, u), show(0, u), show(most, u), "is the unit right?")
		return 0
	}
	return l
}

// orZero is [arg.length] where zero may be written too.
func (a arg) orZero(most calc.Length) calc.Length {
	if a.there() && a.kind == kindText {
		if l, err := calc.ParseLength(a.str); err == nil && l == 0 {
			return 0
		}
	}
	return a.length(most)
}

// size is a size with its tolerance; without one it gets the general tolerance.
// The zero Limits means that there is none.
func (a arg) size() fit.Limits {
	s, ok := a.figure()
	if !ok {
		return fit.Limits{}
	}
	l, err := fit.Parse(s)
	if err == nil && l.Class == fit.None {
		l, err = fit.General(l.Nominal, fit.Linear)
	}
	if err != nil {
		what, hint := parted(err, "write one such as "+a.f.example)
		a.fault("bad-size", a.f.key, what, hint)
		return fit.Limits{}
	}
	if l.Tolerance() <= 0 {
		a.fault("zero-tolerance", a.f.key, show(l.Min, unit(s)))
		return fit.Limits{}
	}
	return l
}

// lead is a travel per turn, zero when there is none.
func (a arg) lead() calc.Lead {
	if a.there() && (a.kind == kindWhole || a.kind == kindDecimal) {
		a.fault("bad-lead", a.f.key, a.raw+" has no unit", "write one such as "+a.f.example)
		return calc.Lead{}
	}
	s, ok := a.written()
	if !ok {
		return calc.Lead{}
	}
	l, err := calc.ParseLead(s)
	if err != nil {
		what, hint := parted(err, "write one such as "+a.f.example)
		a.fault("bad-lead", a.f.key, what, hint)
		return calc.Lead{}
	}
	return l
}

// whole is a whole number in a range, zero when there is none.
func (a arg) whole(low, high int64, hint string) int {
	if !a.is(kindWhole) {
		return 0
	}
	n, err := strconv.ParseInt(a.raw, 0, 64)
	if err != nil || n < low || n > high {
		a.fault("out-of-range", a.f.key, clip(a.raw), fmt.Sprint(low), fmt.Sprint(high), hint)
		return 0
	}
	return int(n)
}

// speed is a spindle speed: a whole number of turns per minute, or a text such as
// "115 rpm".
func (a arg) speed() calc.Speed {
	if !a.there() {
		return 0
	}
	text := a.str
	switch a.kind {
	case kindWhole, kindDecimal:
		text = a.raw + " rpm"
	case kindText:
		if t := strings.TrimSpace(text); t != "" && strings.Trim(t, "0123456789.") == "" {
			text = t + " rpm"
		}
	default:
		a.is(kindWhole)
		return 0
	}
	v, err := calc.ParseSpeed(text)
	if err != nil {
		what, hint := parted(err, "write one such as "+a.f.example)
		a.fault("bad-speed", a.f.key, what, hint)
		return 0
	}
	if v > maxSpeed {
		a.fault("out-of-range", a.f.key, v.String(), "1 rpm", maxSpeed.String(), "is this in turns per minute?")
		return 0
	}
	return v
}

const maxSpeed = 20_000 * calc.RPM

// show is a length in the unit it was written in: three places of a millimetre,
// four of an inch.
func show(l, unit calc.Length) string {
	if unit == calc.Inch {
		return l.Trimmed(calc.Inch, 4) + " in"
	}
	return l.Trimmed(calc.Millimetre, 3) + " mm"
}

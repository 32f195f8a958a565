package thread

import (
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"

	"turncue/calc"
)

// Error is a fault in a written designation.
type Error struct {
	Text   string // what was written
	Column int    // where the fault is, counted in characters from 1
	Msg    string // what is wrong and what to write instead
}

// Error is one line with the place in the text.
func (e *Error) Error() string {
	return fmt.Sprintf("thread %q at character %d: %s", e.Text, e.Column, e.Msg)
}

// longest is the most text [Parse] looks at, in bytes.
const longest = 120

// Parse reads a thread as people write it: "M10x1", "M10 x 1 - 6g", "M10×1 LH",
// "M12x1.75 4g6g", "M20 Ph4 P2", "M16" (coarse), "3/8-24 UNF-2A", "1/4-20",
// "10-32", "1-1/8-12", `7/16"-14 UNC LH`, "1/4 BSW", "2 BA", "G 1/4 A", "1/2 BSP",
// "1/8 NPT", "Tr 12x3", "1/2-10 Acme", "8V1", "1/4-26 BSC", "square 20 mm x 4 mm",
// "own 20 mm x 1.5 mm 55 deg".
//
// Where no class is written the usual one is meant (6g, 2A, medium, 7e, A), on
// an outside thread; a class of the other side, or one of the words inside,
// internal and nut, makes it an inside one. "G 1/4" without a letter is the
// standard's name of an inside thread. A size in doubt is refused with what it
// could be; the error is an [*Error] with the place.
func Parse(text string) (Thread, error) {
	if len(text) > longest || !utf8.ValidString(text) {
		return Thread{}, &Error{Text: clip(text), Column: 1, Msg: fmt.Sprintf("longer than %d characters: write one such as M10x1-6g", longest)}
	}
	p := &parser{text: []rune(text), whole: text}
	p.space()
	t, err := p.thread()
	if err != nil {
		return Thread{}, err
	}
	return t, nil
}

func clip(s string) string {
	s = strings.ToValidUTF8(s, "?")
	if r := []rune(s); len(r) > 20 {
		return string(r[:20]) + "..."
	}
	return s
}

// parser walks along a designation, character by character.
type parser struct {
	text  []rune
	at    int
	whole string
}

func (p *parser) fail(at int, format string, args ...any) *Error {
	return &Error{Text: p.whole, Column: at + 1, Msg: fmt.Sprintf(format, args...)}
}

func (p *parser) done() bool { return p.at >= len(p.text) }

func (p *parser) peek() rune {
	if p.done() {
		return 0
	}
	return p.text[p.at]
}

func (p *parser) space() {
	for !p.done() && strings.ContainsRune(" \t\u00a0", p.text[p.at]) {
		p.at++
	}
}

// take steps over one of the characters, and any space after it.
func (p *parser) take(chars string) bool {
	if p.done() || !strings.ContainsRune(chars, p.text[p.at]) {
		return false
	}
	p.at++
	p.space()
	return true
}

// takeWord steps over a word, in any case, and any space after it.
func (p *parser) takeWord(word string) bool {
	w := []rune(word)
	if len(p.text)-p.at < len(w) || !strings.EqualFold(string(p.text[p.at:p.at+len(w)]), word) {
		return false
	}
	p.at += len(w)
	p.space()
	return true
}

// wholeWord is [parser.takeWord] where no letter follows.
func (p *parser) wholeWord(word string) bool {
	if end := p.at + len(word); end < len(p.text) {
		if r := p.text[end] | 0x20; r >= 'a' && r <= 'z' {
			return false
		}
	}
	return p.takeWord(word)
}

// number reads a plain decimal, with a point or a comma.
func (p *parser) number() (*big.Rat, bool) {
	start, points := p.at, 0
	for !p.done() && (p.peek() >= '0' && p.peek() <= '9' || ((p.peek() == '.' || p.peek() == ',') && points == 0)) {
		if p.peek() == '.' || p.peek() == ',' {
			points++
		}
		p.at++
	}
	s := strings.Replace(string(p.text[start:p.at]), ",", ".", 1)
	if s == "" || s == "." || len(s) > 12 {
		p.at = start
		return nil, false
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		p.at = start
		return nil, false
	}
	p.space()
	return r, true
}

// millimetres reads a decimal number of millimetres, with or without its unit.
func (p *parser) millimetres(what string) (calc.Length, error) {
	at := p.at
	r, ok := p.number()
	if !ok {
		return 0, p.fail(at, "expected %s in millimetres, such as %s", what, map[string]string{"a diameter": "M10x1", "a pitch": "M10x1", "a lead": "M20xPh4P2"}[what])
	}
	p.takeWord("mm")
	r.Mul(r, big.NewRat(int64(mm), 1))
	if !r.IsInt() || !r.Num().IsInt64() {
		return 0, p.fail(at, "%s finer than a nanometre", what)
	}
	v := calc.Length(r.Num().Int64()) * calc.Nanometre
	if v <= 0 {
		return 0, p.fail(at, "%s must be above zero", what)
	}
	return v, nil
}

func (p *parser) thread() (Thread, error) {
	start := p.at
	switch {
	case p.takeWord("tr"):
		return p.trapezoidal()
	case p.takeWord("own"), p.takeWord("custom"):
		return p.own()
	case p.takeWord("square"), p.takeWord("sq"):
		return p.square()
	case p.takeWord("npt"):
		return p.pipe("NPT", start)
	case p.takeWord("rp"):
		return p.pipe("Rp", start)
	case p.takeWord("rc"):
		return p.pipe("Rc", start)
	case p.takeWord("r"):
		return p.pipe("R", start)
	case p.takeWord("g"):
		return p.pipe("G", start)
	case p.wholeWord("me"):
		return p.inch("ME")
	case p.take("Mm"):
		return p.metric()
	}
	for _, word := range []string{"unc", "unf", "unef", "uns", "un", "bsw", "bsf", "bsc", "acme", "bspp", "bspt", "bsp", "ba"} {
		if p.wholeWord(word) { // the family first: "UNC 1/4-20", "BA 2"
			p.take("-–")
			return p.inch(strings.ToUpper(word))
		}
	}
	return p.inch("")
}

// tail is what may follow size and pitch, in any order.
type tail struct {
	class   string
	classAt int
	left    bool
	side    int // +1 outside, -1 inside, 0 not said
	sideAt  int
	starts  int // 0 not said
}

var tailWords = []struct {
	word string
	set  func(*tail)
}{
	{"left-hand", func(t *tail) { t.left = true }}, {"left hand", func(t *tail) { t.left = true }},
	{"left", func(t *tail) { t.left = true }}, {"l.h.", func(t *tail) { t.left = true }}, {"lh", func(t *tail) { t.left = true }},
	{"right-hand", func(*tail) {}}, {"right hand", func(*tail) {}}, {"right", func(*tail) {}}, {"r.h.", func(*tail) {}}, {"rh", func(*tail) {}},
	{"external", func(t *tail) { t.side = 1 }}, {"ext", func(t *tail) { t.side = 1 }}, {"outside", func(t *tail) { t.side = 1 }}, {"bolt", func(t *tail) { t.side = 1 }},
	{"internal", func(t *tail) { t.side = -1 }}, {"int", func(t *tail) { t.side = -1 }}, {"inside", func(t *tail) { t.side = -1 }}, {"nut", func(t *tail) { t.side = -1 }},
}

// tail reads classes, hand and side to the end of the text; isClass says whether
// a word is a class of this family.
func (p *parser) tail(isClass func(string) bool, example string) (tail, error) {
	var t tail
	for {
		for p.take("-–/ ()") {
		}
		if p.done() {
			return t, nil
		}
		if n, ok := p.starts(); ok {
			t.starts = n
			continue
		}
		known := false
		for _, w := range tailWords {
			at := p.at
			if p.takeWord(w.word) {
				before := t.side
				w.set(&t)
				if t.side != before {
					t.sideAt = at
				}
				known = true
				break
			}
		}
		if known {
			continue
		}
		at := p.at
		for !p.done() && !strings.ContainsRune(" -–/\t()", p.peek()) {
			p.at++
		}
		word := string(p.text[at:p.at])
		if two := word + " nut"; isClass(two) && p.nut() {
			word = two
		}
		p.space()
		switch {
		case word == "":
			return t, p.fail(at, "expected a class or a hand: write one such as %s or LH", example)
		case isClass(word) && t.class == "":
			t.class, t.classAt = word, at
		case isClass(word):
			return t, p.fail(at, "a second class %s: give one side only, such as %s", word, example)
		default:
			return t, p.fail(at, "%q is neither a class nor a hand: write one such as %s or LH", word, example)
		}
	}
}

// nut steps over the word nut after a class that has it in its name.
func (p *parser) nut() bool {
	at := p.at
	p.space()
	if p.takeWord("nut") {
		return true
	}
	p.at = at
	return false
}

// starts reads "2 starts", "3-start".
func (p *parser) starts() (int, bool) {
	at, n := p.at, 0
	for !p.done() && p.peek() >= '0' && p.peek() <= '9' && n < 100 {
		n = 10*n + int(p.peek()-'0')
		p.at++
	}
	found := p.at > at
	p.space()
	p.take("-–")
	if found && (p.takeWord("starts") || p.takeWord("start")) {
		return n, true
	}
	p.at = at
	return 0, false
}

// metric reads what follows the M of an ISO metric thread.
func (p *parser) metric() (Thread, error) {
	diameterAt := p.at
	d, err := p.millimetres("a diameter")
	if err != nil {
		return Thread{}, err
	}
	var pitch, lead calc.Length
	cross := p.take("xX×*")
	pitchAt := p.at
	switch {
	case p.takeWord("ph"):
		if lead, err = p.millimetres("a lead"); err != nil {
			return Thread{}, err
		}
		pitchAt = p.at
		if !p.take("Pp") {
			return Thread{}, p.fail(p.at, "expected the pitch after the lead, such as M20xPh4P2")
		}
		if pitch, err = p.millimetres("a pitch"); err != nil {
			return Thread{}, err
		}
	case cross || p.take("Pp"):
		p.take("Pp")
		if pitch, err = p.millimetres("a pitch"); err != nil {
			return Thread{}, err
		}
		lead = pitch
	default:
		if pitch, err = p.coarse(d, diameterAt); err != nil {
			return Thread{}, err
		}
		lead = pitch
	}
	t := Thread{Family: Metric, Nominal: d, Pitch: calc.PerTurn(pitch), Lead: calc.PerTurn(lead), Angle: 60 * calc.Degree}
	if lead%pitch != 0 || lead/pitch > 12 {
		return Thread{}, p.fail(pitchAt, "a lead of %s is no whole number of pitches of %s, 1 to 12 of them", lead, pitch)
	}
	t.Starts = int(lead / pitch)
	if d > 355*mm || d <= 990*um {
		return Thread{}, p.fail(diameterAt, "a diameter of %s is outside ISO 965-1, which goes from 1 mm to 355 mm", d)
	}
	if pitch < 200*um || pitch > 8*mm {
		return Thread{}, p.fail(pitchAt, "a pitch of %s is outside ISO 965-1, which goes from 0.2 mm to 8 mm", pitch)
	}
	if 2*pitch >= d {
		return Thread{}, p.fail(pitchAt, "a pitch of %s is too coarse for a diameter of %s%s", pitch, d, coarseHint(d))
	}
	t.Designation = "M" + d.Trimmed(mm, 6) + "x" + pitch.Trimmed(mm, 6)
	if t.Starts > 1 {
		t.Designation = "M" + d.Trimmed(mm, 6) + "xPh" + lead.Trimmed(mm, 6) + "P" + pitch.Trimmed(mm, 6)
	}
	rest, err := p.tail(func(w string) bool { _, ok := parseMetricClass(w); return ok }, "6g")
	if err != nil {
		return Thread{}, err
	}
	if rest.starts != 0 && rest.starts != t.Starts {
		return Thread{}, p.fail(pitchAt, "%d starts: write a thread of several starts with its lead, such as M20xPh4P2", rest.starts)
	}
	t.LeftHand, t.External, t.Class = rest.left, rest.side >= 0, "6g"
	if rest.side < 0 {
		t.Class = "6H"
	}
	if rest.class != "" {
		c, _ := parseMetricClass(rest.class)
		if err := c.check(); err != nil {
			return Thread{}, p.fail(rest.classAt, "%s", err)
		}
		if rest.side != 0 && (rest.side > 0) != c.external() {
			return Thread{}, p.fail(rest.classAt, "class %s is for the other side: small letters are outside threads, capitals inside ones", rest.class)
		}
		t.External, t.Class = c.external(), c.String()
	}
	return t, nil
}

// doubtful is the size from which a metric thread without a pitch is refused:
// its coarse pitch is 4.5 mm and more, and what is met at a small lathe is
// nearly always a fine thread.
const doubtful = 42 * mm

// coarse is the pitch that is meant when none is written.
func (p *parser) coarse(d calc.Length, at int) (calc.Length, error) {
	pitch, known := metricCoarse[d]
	if known && d < doubtful {
		return pitch, nil
	}
	name := "M" + d.Trimmed(mm, 6)
	var candidates []string
	if known {
		candidates = append(candidates, name+"x"+pitch.Trimmed(mm, 6)+" (coarse)")
	}
	for _, f := range metricFine(d) {
		candidates = append(candidates, name+"x"+f.Trimmed(mm, 6))
	}
	if len(candidates) == 0 {
		return 0, p.fail(at, "%s has no coarse pitch: write the pitch, such as %sx1", name, name)
	}
	return 0, p.fail(at, "%s needs its pitch: it could be %s", name, strings.Join(candidates, ", "))
}

func coarseHint(d calc.Length) string {
	if pitch, ok := metricCoarse[d]; ok {
		return fmt.Sprintf(": its coarse pitch is %s", pitch)
	}
	return ""
}

// metricFine are the fine pitches met on a size, coarsest first: those of ISO
// 261 by range of diameter, with 1 and 0.75 mm where optical and electrical
// fittings use them (common practice).
func metricFine(d calc.Length) []calc.Length {
	all := []struct{ pitch, from, upTo calc.Length }{
		{6 * mm, 70 * mm, 300 * mm}, {4 * mm, 56 * mm, 300 * mm}, {3 * mm, 30 * mm, 250 * mm}, {2 * mm, 17 * mm, 150 * mm},
		{1500 * um, 12 * mm, 80 * mm}, {1250 * um, 10 * mm, 14 * mm}, {1 * mm, 8 * mm, 45 * mm}, {750 * um, 6 * mm, 42 * mm},
		{500 * um, 3500 * um, 12 * mm}, {350 * um, 2500 * um, 3500 * um}, {250 * um, 2 * mm, 2500 * um}, {200 * um, 1 * mm, 1800 * um},
	}
	var out []calc.Length
	for _, a := range all {
		if d >= a.from && d <= a.upTo && a.pitch != metricCoarse[d] {
			out = append(out, a.pitch)
		}
	}
	return out
}

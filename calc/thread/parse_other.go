package thread

import (
	"fmt"
	"strings"

	"turncue/calc"
)

// pipeName is the row of a pipe size as it is written, or -1.
func pipeName(name string) int {
	for i, s := range pipeSizes {
		if s.name == name {
			return i
		}
	}
	return -1
}

// pipe reads what follows G, R, Rp, Rc or NPT.
func (p *parser) pipe(family string, start int) (Thread, error) {
	s, ok := p.size()
	if !ok {
		return Thread{}, p.fail(start, "expected a pipe size after %s, such as %s 1/4", family, family)
	}
	return p.pipeOf(family, s, calc.Ratio{}, s.at)
}

var sixteenth = oneIn(16)

// pipeOf makes a pipe thread of a size.
func (p *parser) pipeOf(family string, s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	if family == "NPT" {
		return p.americanPipe(s, tpi, tpiAt)
	}
	i := pipeName(s.text)
	if i < 0 {
		return Thread{}, p.fail(s.at, "ISO 228-1 has no size %s here: it has %s to %s", s.text, pipeSizes[0].name, pipeSizes[len(pipeSizes)-1].name)
	}
	row := pipeSizes[i]
	if tpi.Sign() != 0 && tpi != calc.Whole(row.tpi) {
		return Thread{}, p.fail(tpiAt, "pipe size %s has %d threads per inch, not %s", row.name, row.tpi, tpiText(tpi))
	}
	pitch, err := calc.PerInch(calc.Whole(row.tpi))
	if err != nil {
		return Thread{}, p.fail(s.at, "%s", err)
	}
	t := Thread{Family: Pipe, Series: "G", Nominal: calc.Length(row.major) * um, Pitch: pitch, Angle: 55 * calc.Degree, Designation: "G " + row.name}
	if family == "G" || family == "BSP" || family == "BSPP" {
		return p.parallelPipe(t, family)
	}
	if row.gauge == 0 {
		return Thread{}, p.fail(s.at, "the lengths of R %s are not known here: R 1/8 to R 1 are, and G %s is", row.name, row.name)
	}
	t.Family, t.Series = SealingPipe, family
	out, err := p.finish(t, nil, "", "")
	if err != nil {
		return Thread{}, err
	}
	switch {
	case family == "BSPT" && out.External, family == "R":
		if !out.External {
			return Thread{}, p.fail(s.at, "R is the outside thread: write Rc %s (taper) or Rp %s (parallel) for the inside", row.name, row.name)
		}
		out.Series, out.Taper = "R", sixteenth
	case family == "BSPT", family == "Rc":
		out.Series, out.Taper, out.External = "Rc", sixteenth, false
	default:
		out.External = false
	}
	out.Designation = out.Series + " " + row.name
	return out, nil
}

// parallelPipe reads the letter of ISO 228-1: A or B outside, none inside.
func (p *parser) parallelPipe(t Thread, family string) (Thread, error) {
	outside := ""
	if family != "G" {
		outside = "A" // "1/2 BSP": outside unless it says inside
	}
	at := p.at
	out, err := p.finish(t, []string{"A", "B"}, outside, "")
	if err != nil {
		return Thread{}, err
	}
	if out.Class == "" && family == "G" {
		said := strings.ToLower(string(p.text[at:]))
		for _, w := range []string{"ext", "outside", "bolt"} {
			if strings.Contains(said, w) {
				out.Class = "A"
			}
		}
	}
	out.External = out.Class != ""
	return out, nil
}

func (p *parser) americanPipe(s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	for _, row := range americanSizes {
		if row.name != s.text {
			continue
		}
		own, err := calc.NewRatio(row.halves, 2)
		if err != nil {
			return Thread{}, p.fail(s.at, "%s", err)
		}
		if tpi.Sign() != 0 && tpi != own {
			return Thread{}, p.fail(tpiAt, "%s NPT has %s threads per inch, not %s", row.name, tpiText(own), tpiText(tpi))
		}
		pitch, err := calc.PerInch(own)
		if err != nil {
			return Thread{}, p.fail(s.at, "%s", err)
		}
		t := Thread{Family: AmericanPipe, Nominal: calc.Length(row.outside) * calc.Thou, Pitch: pitch, Taper: sixteenth, Angle: 60 * calc.Degree,
			Designation: row.name + "-" + tpiText(own) + " NPT"}
		return p.finish(t, nil, "", "")
	}
	return Thread{}, p.fail(s.at, "NPT has no size %s here: it has 1/8 to 2", s.text)
}

// Notes are things to know about a thread that its name hides, one sentence each,
// without a full stop.
func (t Thread) Notes() []string {
	var out []string
	switch t.Family {
	case Pipe, SealingPipe:
		out = append(out, fmt.Sprintf("the size is the pipe's: the thread is %s over its crests", t.Nominal))
	case AmericanPipe:
		out = append(out, fmt.Sprintf("the size is the pipe's: the pipe is %s in outside (%s)", t.Nominal.Decimal(calc.Inch, 3), t.Nominal))
	}
	if t.Taper != (calc.Ratio{}) {
		out = append(out, "taper 1 in 16 on diameter: sizes stand at the gauge plane")
	}
	return out
}

// trapezoidalPitches are the pitches of ISO 2904 met on a size, from memory.
var trapezoidalPitches = []struct {
	upTo    calc.Length
	pitches []calc.Length
}{
	{8 * mm, []calc.Length{1500 * um}}, {10 * mm, []calc.Length{1500 * um, 2 * mm}}, {14 * mm, []calc.Length{2 * mm, 3 * mm}}, {20 * mm, []calc.Length{2 * mm, 4 * mm}},
	{28 * mm, []calc.Length{3 * mm, 5 * mm, 8 * mm}}, {36 * mm, []calc.Length{3 * mm, 6 * mm, 10 * mm}}, {44 * mm, []calc.Length{3 * mm, 7 * mm, 10 * mm}},
	{52 * mm, []calc.Length{3 * mm, 8 * mm, 12 * mm}}, {60 * mm, []calc.Length{3 * mm, 9 * mm, 14 * mm}},
}

// trapezoidal reads what follows Tr: "12x3", "40x14 (P7) LH - 7e".
func (p *parser) trapezoidal() (Thread, error) {
	at := p.at
	d, err := p.millimetres("a diameter")
	if err != nil {
		return Thread{}, err
	}
	leadAt := p.at
	if !p.take("xX×*") {
		name := "Tr" + d.Trimmed(mm, 6)
		for _, r := range trapezoidalPitches {
			if d <= r.upTo {
				var c []string
				for _, q := range r.pitches {
					c = append(c, name+"x"+q.Trimmed(mm, 6))
				}
				return Thread{}, p.fail(leadAt, "%s needs its pitch: it could be %s", name, strings.Join(c, ", "))
			}
		}
		return Thread{}, p.fail(leadAt, "%s needs its pitch, such as %sx8", name, name)
	}
	leadAt = p.at
	lead, err := p.millimetres("a pitch")
	if err != nil {
		return Thread{}, err
	}
	pitch := lead
	back := p.at
	p.take("(")
	if p.take("Pp") {
		if pitch, err = p.millimetres("a pitch"); err != nil {
			return Thread{}, err
		}
		p.take(")")
	} else {
		p.at = back
	}
	if pitch > lead || lead%pitch != 0 || lead/pitch > 12 {
		return Thread{}, p.fail(leadAt, "a lead of %s is no whole number of pitches of %s, 1 to 12 of them", lead, pitch)
	}
	if d > 355*mm || d < 8*mm || pitch < 1500*um || pitch > 44*mm {
		return Thread{}, p.fail(at, "Tr%sx%s is outside ISO 2904, from Tr8x1.5 up", d.Trimmed(mm, 6), pitch.Trimmed(mm, 6))
	}
	t := Thread{Family: Trapezoidal, Nominal: d, Pitch: calc.PerTurn(pitch), Angle: 30 * calc.Degree, Designation: "Tr" + d.Trimmed(mm, 6) + "x" + lead.Trimmed(mm, 6)}
	if lead != pitch {
		t.Designation += "(P" + pitch.Trimmed(mm, 6) + ")"
	}
	out, err := p.finish(t, []string{"7e", "8e", "8c", "9c", "7H", "8H", "9H"}, "7e", "7H")
	if err != nil {
		return Thread{}, err
	}
	starts := int(lead / pitch)
	if out.Starts > 1 && out.Starts != starts {
		return Thread{}, p.fail(leadAt, "%d starts: write a thread of several starts with lead and pitch, such as Tr40x14(P7)", out.Starts)
	}
	out.Starts, out.Lead = starts, calc.PerTurn(lead)
	return out, nil
}

// square reads what follows the word square: "20 mm x 4 mm".
func (p *parser) square() (Thread, error) {
	d, pitch, err := p.twoLengths("square 20 mm x 4 mm")
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Family: Square, Nominal: d, Pitch: pitch}
	text, err := pitch.MarshalText()
	if err != nil {
		return Thread{}, p.fail(0, "%s", err)
	}
	t.Designation = fmt.Sprintf("square %s x %s", d, text)
	return p.finish(t, nil, "", "")
}

// twoLengths reads "20 mm x 4 mm" or "1 in x 8 tpi".
func (p *parser) twoLengths(example string) (calc.Length, calc.Lead, error) {
	at := p.at
	d, err := calc.ParseLength(p.until("xX×"))
	if err != nil || d <= 0 || d > 1000*mm {
		return 0, calc.Lead{}, p.fail(at, "expected a diameter with its unit, such as %s", example)
	}
	if !p.take("xX×") {
		return 0, calc.Lead{}, p.fail(p.at, "expected x and a pitch, such as %s", example)
	}
	at = p.at
	words := strings.Fields(string(p.text[p.at:]))
	for n := min(2, len(words)); n > 0; n-- {
		text := strings.Join(words[:n], " ")
		if text == "" {
			continue
		}
		pitch, err := calc.ParseLead(text)
		if err != nil {
			continue
		}
		for range n {
			p.space()
			for !p.done() && !strings.ContainsRune(" \t\u00a0", p.peek()) {
				p.at++
			}
		}
		p.space()
		if pitch.Length() < 50*um || pitch.Length() > 100*mm {
			return 0, calc.Lead{}, p.fail(at, "a pitch of %s is not between 0.05 and 100 mm", pitch)
		}
		return d, pitch, nil
	}
	return 0, calc.Lead{}, p.fail(at, "expected a pitch with its unit, such as %s", example)
}

// until is the text up to one of the characters.
func (p *parser) until(chars string) string {
	start := p.at
	for !p.done() && !strings.ContainsRune(chars, p.peek()) {
		p.at++
	}
	return strings.TrimSpace(string(p.text[start:p.at]))
}

// own reads what follows the word own: "20 mm x 1.5 mm 55 deg addendum 0.48 mm
// dedendum 0.48 mm".
func (p *parser) own() (Thread, error) {
	const example = "own 20 mm x 1.5 mm 55 deg"
	f := Form{}
	var err error
	if f.Nominal, f.Pitch, err = p.twoLengths(example); err != nil {
		return Thread{}, err
	}
	at := p.at
	angle := p.until("dg°")
	for !p.done() && !strings.ContainsRune(" \t\u00a0", p.peek()) {
		p.at++
	}
	p.space()
	if f.Angle, err = calc.ParseAngle(angle + " deg"); err != nil {
		return Thread{}, p.fail(at, "expected an angle, such as %s", example)
	}
	for _, part := range []struct {
		word string
		to   *calc.Length
	}{{"addendum", &f.Addendum}, {"dedendum", &f.Dedendum}} {
		if !p.takeWord(part.word) {
			continue
		}
		at := p.at
		words := strings.Fields(string(p.text[p.at:]))
		if len(words) < 2 {
			return Thread{}, p.fail(at, "expected a height, such as %s 0.5 mm", part.word)
		}
		if *part.to, err = calc.ParseLength(words[0] + " " + words[1]); err != nil || *part.to <= 0 {
			return Thread{}, p.fail(at, "expected a height, such as %s 0.5 mm", part.word)
		}
		for range 2 {
			for !p.done() && !strings.ContainsRune(" \t\u00a0", p.peek()) {
				p.at++
			}
			p.space()
		}
	}
	rest, err := p.tail(func(string) bool { return false }, "inside")
	if err != nil {
		return Thread{}, err
	}
	f.LeftHand, f.Inside, f.Starts = rest.left, rest.side < 0, rest.starts
	t, err := Custom(f)
	if err != nil {
		return Thread{}, p.fail(0, "%s", err)
	}
	return t, nil
}

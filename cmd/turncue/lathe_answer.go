package main

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/calc/thread"
)

// latheAnswers are the answers given so far, by the key of their question, as they were
// taken. An empty one was left out.
type latheAnswers map[string]string

// length is an answer that is a length; zero where there is none.
func (a latheAnswers) length(key string) calc.Length {
	l, err := calc.ParseLength(a[key])
	if err != nil {
		return 0
	}
	return l
}

// yes says whether a question was answered with yes.
func (a latheAnswers) yes(key string) bool { return a[key] == "yes" }

// inch says that the person works in inches.
func (a latheAnswers) inch() bool { return a["units"] == "in" }

// The shapes of the answers that are more than one figure.
const (
	figureShape = `[0-9]+(?:[-./ ][0-9/]+)?|\.[0-9]+`
	lengthShape = `(?:` + figureShape + `) ?(?:mm|in|inch|thou|")`
)

var (
	countShape  = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) *(turns?|threads?|teeth|tooth)\b[ ,:=]*(.+)$`)
	spanShape   = regexp.MustCompile(`^(` + figureShape + `) ?(mm|in|inch|thou|")? ?(?:-|to) ?(` + lengthShape + `)(?:,? +(?:read to |by )?(` + lengthShape + `))?$`)
	uptoShape   = regexp.MustCompile(`^(` + lengthShape + `),? +(?:read to |by )?(` + lengthShape + `)$`)
	seriesShape = regexp.MustCompile(`^(` + figureShape + `) ?(mm|in|inch|thou)? to (` + figureShape + `) ?(mm|in|inch|thou)? by (` + figureShape + `) ?(mm|in|inch|thou)$`)
	sizeShape   = regexp.MustCompile(`([0-9]+(?:\.[0-9]+|-[0-9]+/[0-9]+|/[0-9]+)?|\.[0-9]+) ?(mm|inch|in|thou|")?`)
	extraShape  = regexp.MustCompile(`\b(reach|width) +(` + lengthShape + `)`)
	unitShape   = regexp.MustCompile(`[a-z"]+$`)
	brakeShape  = regexp.MustCompile(`^brake ([0-9.]+ ?m?s)$`)
	overShape   = regexp.MustCompile(`^overrun (` + lengthShape + `) at (.+)$`)
)

// counted is an answer such as "5 turns 10.02 mm": how many, and over what length; ok is
// false for any other.
func counted(s string) (n calc.Ratio, over calc.Length, ok bool, err error) {
	m := countShape.FindStringSubmatch(s)
	if m == nil {
		return n, 0, false, nil
	}
	if n, err = calc.ParseRatio(m[1]); err != nil || n.Sign() <= 0 {
		return n, 0, true, fmt.Errorf("%q is no count: write one such as 5", m[1])
	}
	over, err = calc.ParseLength(m[3])
	if err == nil && over <= 0 {
		err = fmt.Errorf("%s is not above zero", m[3])
	}
	return n, over, true, err
}

func takeText(s string) (string, error) { return s, nil }

func takeLength(s string) (string, error) {
	l, err := calc.ParseLength(s)
	if err == nil && l < 0 {
		err = fmt.Errorf("%s is below zero", s)
	}
	return s, err
}

// takeCounted takes a length, or a length over a count.
func takeCounted(s string) (string, error) {
	_, _, ok, err := counted(s)
	if ok || err != nil {
		return s, err
	}
	l, err := calc.ParseLength(s)
	if err == nil && l <= 0 {
		err = fmt.Errorf("%s is not above zero", s)
	}
	return s, err
}

// takeModule takes a module, or a wheel's teeth and its diameter over the tips.
func takeModule(s string) (string, error) {
	n, over, ok, err := counted(s)
	if ok && err == nil {
		_, _, err = setup.Module(int(n.Num()/n.Den()), over)
		return s, err
	}
	return takeCounted(s)
}

// takeLead takes a lead, or a length over a count of threads.
func takeLead(s string) (string, error) {
	if _, _, ok, err := counted(s); ok || err != nil {
		return s, err
	}
	_, err := calc.ParseLead(s)
	return s, err
}

func takeWhole(what string) func(string) (string, error) {
	return func(s string) (string, error) {
		n, err := strconv.Atoi(s)
		if err != nil || n < 1 {
			return "", fmt.Errorf("%q is no whole number: count the %s and write a number such as 100", s, what)
		}
		return strconv.Itoa(n), nil
	}
}

// takeOne takes one of several words, each also by the words that mean the same.
func takeOne(choices ...string) func(string) (string, error) {
	return func(s string) (string, error) {
		for _, c := range choices {
			for _, word := range strings.Split(c, "|") {
				if strings.EqualFold(s, word) {
					first, _, _ := strings.Cut(c, "|")
					return first, nil
				}
			}
		}
		var names []string
		for _, c := range choices {
			first, _, _ := strings.Cut(c, "|")
			names = append(names, first)
		}
		return "", fmt.Errorf("%q is none of %s", s, strings.Join(names, ", "))
	}
}

var takeYes = takeOne("yes|y", "no|n")

// takeWheels takes tooth counts with commas or spaces between.
func takeWheels(s string) (string, error) {
	var out []string
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		z, err := strconv.Atoi(f)
		if err != nil {
			return "", fmt.Errorf("%q is no count of teeth: write whole numbers, such as 20 20 30 40 60", f)
		}
		if (gear.Wheels{z, z}).Check() != nil {
			return "", fmt.Errorf("a wheel of %d teeth is none that can be worked with: 8 to 300", z)
		}
		out = append(out, f)
	}
	if len(out) < 2 {
		return "", fmt.Errorf("one wheel makes no train: write every wheel there is, two of a size as two figures")
	}
	return strings.Join(out, ", "), nil
}

// takeSpeeds takes spindle speeds: a list, or a range for a knob.
func takeSpeeds(s string) (string, error) {
	if low, high, ok := strings.Cut(strings.ReplaceAll(s, "to", "-"), "-"); ok {
		a, err := bareSpeed(low)
		if err != nil {
			return "", err
		}
		b, err := bareSpeed(high)
		if err != nil {
			return "", err
		}
		return a + "-" + b, nil
	}
	var out []string
	for _, f := range strings.FieldsFunc(strings.TrimSuffix(s, "rpm"), func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		v, err := bareSpeed(f)
		if err != nil {
			return "", err
		}
		out = append(out, v)
	}
	if len(out) == 0 {
		return "", fmt.Errorf("%q has no speed: write such as 70 115 200, or 50-2000 for a knob", s)
	}
	return strings.Join(out, ", "), nil
}

// bareSpeed is a speed in turns a minute, without its unit.
func bareSpeed(s string) (string, error) {
	t := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "rpm"))
	if _, err := calc.ParseSpeed(t + " rpm"); err != nil {
		return "", fmt.Errorf("%q is no speed in turns a minute: write such as 70 115 200, or 50-2000 for a knob", strings.TrimSpace(s))
	}
	return t, nil
}

func takeSpeed(s string) (string, error) { return bareSpeed(s) }

// takeCoast takes turns counted, once or several times, of which the most counts; the
// time of a brake; or how far the carriage ran on under a closed half-nut.
func takeCoast(s string) (string, error) {
	if m := brakeShape.FindStringSubmatch(s); m != nil {
		if _, err := time.ParseDuration(strings.ReplaceAll(m[1], " ", "")); err != nil {
			return "", fmt.Errorf("%q is no time: write such as brake 0.5 s", m[1])
		}
		return s, nil
	}
	if m := overShape.FindStringSubmatch(s); m != nil {
		over, err := calc.ParseLength(m[1])
		if err != nil {
			return "", err
		}
		lead, err := calc.ParseLead(m[2])
		if err != nil {
			return "", err
		}
		turns, err := lead.Turns(over)
		if err != nil {
			return "", err
		}
		return strconv.FormatFloat(max(0.01, round(turns.Float(), 2)), 'g', -1, 64), nil
	}
	most := 0.0
	for _, f := range strings.FieldsFunc(strings.TrimSuffix(strings.TrimSuffix(s, "turns"), "turn"), func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil || !(v >= 0) {
			return "", fmt.Errorf("%q is no count of turns: write such as 0.8, or three of them: 0.8 0.9 0.8", f)
		}
		most = max(most, v)
	}
	if most == 0 {
		return "", fmt.Errorf("no turn at all is no coast: count to a quarter of a turn, and write brake 0.2 s where a brake stops it at once")
	}
	return strconv.FormatFloat(most, 'g', -1, 64), nil
}

// round is v to so many places.
func round(v float64, places int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'f', places, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// takePower takes what stands on a motor's plate; a half is written as a decimal.
func takePower(s string) (string, error) {
	figure, unit, ok := strings.Cut(s, " ")
	if r, err := calc.ParseRatio(figure); ok && err == nil && strings.Contains(figure, "/") {
		return strings.TrimRight(strings.TrimRight(r.Rat().FloatString(3), "0"), ".") + " " + unit, nil
	}
	return s, nil
}

func takeDelay(s string) (string, error) {
	for word, d := range map[string]time.Duration{"ready": cutting.DelayReady, "usual": cutting.DelayUsual, "apprentice": cutting.DelayApprentice} {
		if strings.EqualFold(s, word) {
			return strconv.FormatFloat(d.Seconds(), 'g', -1, 64) + " s", nil
		}
	}
	return s, nil
}

// takeLevers takes the positions of a gearbox: "A=1 B=1/2".
func takeLevers(s string) (string, error) {
	var out []string
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		name, ratio, ok := strings.Cut(f, "=")
		if !ok || name == "" {
			return "", fmt.Errorf("%q is no position: write each as NAME=RATIO, such as A=1 B=1/2", f)
		}
		if strings.Trim(strings.ToLower(name), "abcdefghijklmnopqrstuvwxyz0123456789-_") != "" {
			return "", fmt.Errorf("%q is no name of a position: use letters and figures", name)
		}
		if r, err := calc.ParseRatio(ratio); err != nil || r.Sign() <= 0 {
			return "", fmt.Errorf("%q is no ratio: write turns of the leadscrew per turn of the gearbox's input, such as 1/2", ratio)
		}
		out = append(out, name+"="+ratio)
	}
	if len(out) == 0 {
		return "", fmt.Errorf("no position in %q: write each as NAME=RATIO, such as A=1 B=1/2", s)
	}
	return strings.Join(out, " "), nil
}

// items splits a list at semicolons.
func items(s string) (out []string) {
	for _, f := range strings.Split(s, ";") {
		if f = strings.TrimSpace(f); f != "" {
			out = append(out, f)
		}
	}
	return out
}

// each takes every item of a list.
func each(take func(string) error) func(string) (string, error) {
	return func(s string) (string, error) {
		list := items(s)
		for _, it := range list {
			if err := take(it); err != nil {
				return "", err
			}
		}
		return strings.Join(list, "; "), nil
	}
}

// sizes are the lengths of a list such as "5 6.8 10 mm" or "1 to 10 by 0.5 mm; 12 mm": a
// figure without a unit has the next one written.
func sizes(s string) ([]calc.Length, error) {
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == ';' || r == ',' })
	groups := make([][]calc.Length, len(parts))
	unit := ""
	for i := len(parts) - 1; i >= 0; i-- {
		part := strings.TrimSpace(parts[i])
		if m := seriesShape.FindStringSubmatch(part); m != nil {
			list, err := series(m)
			if err != nil {
				return nil, err
			}
			groups[i], unit = list, m[6]
			continue
		}
		if rest := strings.TrimSpace(sizeShape.ReplaceAllString(part, "")); rest != "" || part == "" {
			return nil, fmt.Errorf("%q in %q is no size: write such as 5 6.8 10 mm, or 1 to 10 by 0.5 mm", rest, part)
		}
		all := sizeShape.FindAllStringSubmatch(part, -1)
		groups[i] = make([]calc.Length, len(all))
		for j := len(all) - 1; j >= 0; j-- {
			if all[j][2] != "" {
				unit = all[j][2]
			}
			l, err := calc.ParseLength(strings.TrimSpace(all[j][1] + " " + unit))
			if err == nil && l <= 0 {
				err = fmt.Errorf("a size of %s is none", l)
			}
			if err != nil {
				return nil, err
			}
			groups[i][j] = l
		}
	}
	return slices.Concat(groups...), nil
}

// series is the sizes from one to another.
func series(m []string) (out []calc.Length, err error) {
	var v [3]calc.Length
	for i, f := range [3]string{m[1] + " " + orUnit(m[2], m[6]), m[3] + " " + orUnit(m[4], m[6]), m[5] + " " + m[6]} {
		if v[i], err = calc.ParseLength(f); err != nil {
			return nil, err
		}
	}
	if v[0] <= 0 || v[2] <= 0 || v[1] < v[0] || (v[1]-v[0])/v[2] > 200 {
		return nil, fmt.Errorf("%q is no series of sizes: write such as 1 to 10 by 0.5 mm", m[0])
	}
	for l := v[0]; l <= v[1]; l += v[2] {
		out = append(out, l)
	}
	return out, nil
}

func orUnit(unit, other string) string {
	if unit == "" {
		return other
	}
	return unit
}

// takeSizes takes a list of sizes.
func takeSizes(s string) (string, error) {
	_, err := sizes(s)
	return s, err
}

// bladeAnswer is a grooving, parting or threading tool as it was answered.
type bladeAnswer struct {
	first        string // its width, or the tip of a threading tool
	reach, width string
	carbide      bool
	upsideDown   bool
}

// blade reads "2 mm reach 8 mm carbide" or "radius 0.15 mm width 2.4 mm upside down".
func blade(s string) (b bladeAnswer) {
	for _, m := range extraShape.FindAllStringSubmatch(s, -1) {
		if m[1] == "reach" {
			b.reach = m[2]
		} else {
			b.width = m[2]
		}
	}
	s = extraShape.ReplaceAllString(s, "")
	for word, set := range map[string]func(){"upside down": func() { b.upsideDown = true }, "carbide": func() { b.carbide = true }, "HSS": func() {}, "hss": func() {}} {
		if strings.Contains(s, word) {
			set()
			s = strings.ReplaceAll(s, word, "")
		}
	}
	b.first = strings.Trim(strings.Join(strings.Fields(s), " "), " ,")
	return b
}

// takeBlades takes grooving or parting tools.
var takeBlades = each(func(s string) error {
	b := blade(s)
	if l, err := calc.ParseLength(b.first); err != nil {
		return err
	} else if l <= 0 {
		return fmt.Errorf("a blade %s wide is none", b.first)
	}
	if b.width != "" || b.upsideDown {
		return fmt.Errorf("%q: write the width and then the reach, such as 2 mm reach 8 mm", s)
	}
	return nil
})

// takeThreading takes threading tools by their tips.
var takeThreading = each(func(s string) error {
	b := blade(s)
	if b.reach != "" {
		return fmt.Errorf("a threading tool has no reach: write its tip, such as radius 0.15 mm, and its width where you know it")
	}
	_, err := thread.ParseTip(b.first, calc.Lead{})
	return err
})

// takeInsideThreading takes inside threading tools: "10 mm tip radius 0.1 mm".
var takeInsideThreading = each(func(s string) error {
	b := blade(s)
	size, tip, ok := strings.Cut(b.first, " tip ")
	if !ok {
		return fmt.Errorf("%q does not say its tip: write such as 10 mm tip radius 0.1 mm", s)
	}
	if _, err := takeCounted(size); err != nil {
		return err
	}
	_, err := thread.ParseTip(tip, calc.Lead{})
	return err
})

// takeInsideGrooving takes inside grooving tools: "10 mm width 3 mm".
var takeInsideGrooving = each(func(s string) error {
	b := blade(s)
	if b.width == "" {
		return fmt.Errorf("%q does not say the width of its edge: write such as 10 mm width 3 mm", s)
	}
	_, err := takeCounted(b.first)
	return err
})

// knurlingShape is a knurling tool as it is answered: "diamond 1 mm width 8 mm size 20 mm
// clamp 1.5 mm".
var knurlingShape = regexp.MustCompile(`^(straight|diamond) (.+?) width (.+?) size (.+?)(?: clamp (.+))?$`)

// takeKnurling takes knurling tools.
var takeKnurling = each(func(s string) error {
	m := knurlingShape.FindStringSubmatch(strings.Join(strings.Fields(s), " "))
	if m == nil {
		return fmt.Errorf("%q is no knurling tool: write such as straight 0.8 mm width 6 mm size 20 mm, and clamp 1.5 mm behind it for one that clamps", s)
	}
	for _, l := range m[2:] {
		if l == "" {
			continue
		}
		if _, err := takeLength(l); err != nil {
			return err
		}
	}
	return nil
})

// takeTurning takes turning tools: "HSS right; carbide left".
var takeTurning = each(func(s string) error {
	for _, f := range strings.Fields(s) {
		if !slices.Contains([]string{"HSS", "carbide", "right", "left", "neutral"}, f) {
			return fmt.Errorf("%q is none of HSS, carbide, right, left, neutral", f)
		}
	}
	return nil
})

// instrumentAnswer is a measuring tool as it was answered: "0-25 mm 0.01 mm" or "150 mm
// 0.02 mm".
type instrumentAnswer struct{ from, to, resolution string }

func span(s string) (out instrumentAnswer, err error) {
	if m := spanShape.FindStringSubmatch(s); m != nil {
		unit := m[2]
		if unit == "" {
			unit = unitShape.FindString(m[3])
		}
		out = instrumentAnswer{m[1] + " " + unit, m[3], m[4]}
	} else if m := uptoShape.FindStringSubmatch(s); m != nil {
		out = instrumentAnswer{"", m[1], m[2]}
	} else {
		return out, fmt.Errorf("%q is no range with what it is read to: write such as 0-25 mm 0.01 mm, or 150 mm 0.02 mm", s)
	}
	for _, f := range []string{out.from, out.to, out.resolution} {
		if f == "" {
			continue
		}
		if _, err := calc.ParseLength(f); err != nil {
			return out, err
		}
	}
	return out, nil
}

// takeSpans takes measuring tools by their ranges; read says that each is read itself.
func takeSpans(read bool) func(string) (string, error) {
	return each(func(s string) error {
		i, err := span(s)
		if err != nil {
			return err
		}
		if read && i.resolution == "" {
			return fmt.Errorf("%q does not say what it is read to: write such as 0-25 mm 0.01 mm", s)
		}
		if !read && (i.resolution != "" || i.from == "") {
			return fmt.Errorf("%q: write the range alone, such as 8-50 mm: it is read over a micrometer", s)
		}
		return nil
	})
}

// takeThreads takes the threads of gauges.
var takeThreads = each(func(s string) error {
	_, err := thread.Parse(s)
	return err
})

// travel is the travel of one turn of a handwheel as it was answered or worked out, zero
// where it is not known yet.
func (a latheAnswers) travel(slide string) calc.Length {
	n, moved, ok, err := counted(a[slide+".travel"])
	switch {
	case err != nil:
		return 0
	case !ok:
		return a.length(slide + ".travel")
	case a[slide+".screw"] != "":
		return a.length(slide + ".screw")
	}
	one, err := setup.OneTurn(n, moved)
	if err != nil {
		return 0
	}
	return one.Round(calc.Micrometre)
}

// onDiameter says whether a ring shows the change of diameter, as it was answered, as
// the test cuts showed, or else as its marking agrees with the travel.
func (a latheAnswers) onDiameter(slide string) (bool, error) {
	switch a[slide+".reads"] {
	case "diameter":
		return true, nil
	case "radius":
		return false, nil
	case "test":
		if a[slide+".cut.d2"] != "" {
			return setup.ShowsDiameter(a.length(slide+".cut.b")-a.length(slide+".cut.a"), a.length(slide+".cut.d2")-a.length(slide+".cut.d1"))
		}
	}
	t := a.travel(slide)
	return t > 0 && (a.length(slide+".marked")-2*t).Abs() <= t/5, nil
}

// dial is a ring as far as it was answered.
func (a latheAnswers) dial(slide string) setup.Dial {
	d := setup.Dial{Travel: a.travel(slide), Marked: a.length(slide + ".marked")}
	d.Divisions, _ = strconv.Atoi(a[slide+".divisions"]) // taken as a whole number, or not there
	d.OnDiameter, _ = a.onDiameter(slide)
	return d
}

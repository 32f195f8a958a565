package main

import (
	"errors"
	"fmt"
	"strings"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence/job"
)

// latheFile writes answers as a lathe file.
type latheFile struct {
	strings.Builder
	answers latheAnswers
	// standIn fills what has not been answered yet with something that fits, so that the
	// answers there are can be checked by themselves.
	standIn bool
}

// text is the lathe file of the answers. Where standIn is true, what has not been
// answered is filled.
func (a latheAnswers) text(standIn bool) string {
	f := &latheFile{answers: a, standIn: standIn}
	f.top()
	f.banjo()
	f.slide("cross", "[cross_slide]")
	f.slide("top", "[top_slide]")
	if a.yes("carriage.ring") {
		f.slide("carriage", "[carriage]")
	}
	f.tailstock()
	f.coast()
	if a.yes("thread_dial") {
		f.heading("[thread_dial]")
		f.bare("wheel", f.or("thread_dial.wheel", "16"))
		f.bare("lines", f.or("thread_dial.lines", "8"))
	}
	f.tools()
	f.measures()
	return strings.TrimPrefix(f.String(), "\n")
}

// fault is what the reading of a lathe file finds wrong with the answers so far, nil
// where it finds nothing.
func (a latheAnswers) fault() error {
	_, err := job.ParseLathe("lathe", a.text(true))
	var faults job.Faults
	switch {
	case err == nil:
		return nil
	case errors.As(err, &faults) && faults[0].Hint != "":
		return fmt.Errorf("%s: %s", faults[0].Msg, faults[0].Hint)
	case errors.As(err, &faults):
		return errors.New(faults[0].Msg)
	}
	return err
}

// or is an answer, or what stands in for it.
func (f *latheFile) or(key, other string) string {
	if v := f.answers[key]; v != "" || !f.standIn {
		return v
	}
	return other
}

func (f *latheFile) heading(s string) { fmt.Fprintf(f, "\n%s\n", s) }

// bare writes a number, a list, true or false.
func (f *latheFile) bare(key, value string) {
	if value != "" {
		fmt.Fprintf(f, "%s = %s\n", key, value)
	}
}

// quoted writes a text, none where it is empty.
func (f *latheFile) quoted(key, value string) {
	if value != "" {
		f.bare(key, quoteTOML(value))
	}
}

// quotedList is a list of texts.
func quotedList(list []string) string {
	quoted := make([]string, len(list))
	for i, s := range list {
		quoted[i] = quoteTOML(s)
	}
	return "[" + strings.Join(quoted, ", ") + "]"
}

func (f *latheFile) top() {
	a := f.answers
	f.quoted("name", f.or("name", "lathe"))
	lead := a.leadscrew()
	if lead == "" && f.standIn {
		lead = "12 mm"
	}
	f.quoted("leadscrew", lead)
	f.bare("wheels", "["+f.or("wheels", "20, 40")+"]")
	if v := a["fixed"]; v != "1" {
		f.quoted("fixed", v)
	}
	if v := a["gearbox.levers"]; v != "" && a.yes("gearbox") {
		f.bare("levers", "{ "+strings.Join(leverPairs(v), ", ")+" }")
	}
	if a["tumbler"] == "no" {
		f.bare("tumbler", "false")
	}
	if low, high, knob := strings.Cut(f.or("speeds", "100"), "-"); knob {
		f.bare("speeds", "{ min = "+low+", max = "+high+" }")
	} else {
		f.bare("speeds", "["+low+"]")
	}
	f.quoted("motor", f.or("motor", "500 W"))
	if speed := a["base_speed"]; speed != "" {
		f.quoted("base_speed", speed+" rpm")
	}
	f.quoted("reverse", f.or("reverse", "none"))
	f.quoted("chuck", f.or("chuck", "screwed"))
	f.quoted("threading", a["threading"])
	if speed := a["chuck_limit"]; speed != "" {
		f.quoted("chuck_limit", speed+" rpm")
	}
	if d := a["delay"]; d != "0.6 s" {
		f.quoted("delay", d)
	}
	if v := a["power_feed"]; v != "" && v != "none" {
		f.bare("power_feed", quotedList(items(strings.ReplaceAll(v, ",", ";"))))
	}
	for _, key := range []string{"depth_of_cut", "swing", "swing_over_slide", "spindle_bore", "spindle_length", "chuck_depth"} {
		f.quoted(key, a[key])
	}
	switch v := a["steady"]; v {
	case "", "none":
	case "both":
		f.bare("steady", quotedList([]string{job.SteadyFixed, job.SteadyTravelling}))
	default:
		f.bare("steady", quotedList([]string{v}))
	}
}

// leverPairs is the positions of a gearbox as the file has them.
func leverPairs(s string) (out []string) {
	for _, p := range strings.Fields(s) {
		name, ratio, _ := strings.Cut(p, "=")
		out = append(out, quoteTOML(name)+" = "+quoteTOML(ratio))
	}
	return out
}

// leadscrew is the leadscrew as it was answered, "" where only a count of threads was.
func (a latheAnswers) leadscrew() string {
	if v := a["leadscrew.lead"]; v != "" {
		return v
	}
	n, over, ok, err := counted(a["leadscrew"])
	if !ok {
		return a["leadscrew"]
	}
	one, errTurn := setup.OneTurn(n, over)
	if errors.Join(err, errTurn) != nil {
		return ""
	}
	return one.Round(calc.Micrometre).String()
}

// module is the module of the wheels as it was answered or worked out, "" where that is
// the usual 1 mm.
func (a latheAnswers) module() string {
	v := a["module"]
	if n, over, ok, err := counted(v); ok && err == nil {
		if v = a["module.size"]; v == "" {
			m, _, err := setup.Module(int(n.Num()/n.Den()), over)
			if err != nil {
				return ""
			}
			v = m.String()
		}
	}
	if l, err := calc.ParseLength(v); err == nil && l == calc.Millimetre {
		return ""
	}
	return v
}

func (f *latheFile) banjo() {
	if m := f.answers.module(); m != "" {
		f.heading("[banjo]")
		f.quoted("module", m)
	}
}

// slide writes a slide and its ring: the marking only where it does not follow from the
// travel.
func (f *latheFile) slide(name, heading string) {
	d := f.answers.dial(name)
	if f.standIn {
		switch {
		case d.Travel == 0 && d.Marked > 0:
			d.Travel, d.Marked = d.Marked, 0
		case d.Travel == 0 && d.Divisions > 0: // a line each of a hundredth
			d.Travel = calc.Length(d.Divisions) * 10 * calc.Micrometre
		case d.Travel == 0:
			d.Travel = calc.Millimetre
		}
		if d.Divisions == 0 {
			d.Divisions = 1
		}
	}
	f.heading(heading)
	f.ring(name, d)
	if slack := f.answers.length(name + ".slack"); slack > 0 {
		f.quoted("slack", f.answers.written(d.Position(0, slack)))
	}
	if f.answers[name+".clockwise"] == "out" {
		f.quoted("clockwise", "out")
	}
}

func (f *latheFile) ring(name string, d setup.Dial) {
	a := f.answers
	travel := a[name+".travel"]
	if l, err := calc.ParseLength(travel); err != nil || l != d.Travel {
		travel = f.answers.written(d.Travel)
	}
	f.quoted("travel", travel)
	plain := d.Travel
	if d.OnDiameter {
		plain *= 2
	}
	if d.Marked != 0 && d.Marked != plain {
		f.quoted("marked", a[name+".marked"])
	}
	f.bare("divisions", fmt.Sprint(d.Divisions))
	if d.OnDiameter {
		f.quoted("reads", "diameter")
	}
}

// written is a length as it is written into the file, exactly: in inches for who works
// in them, where it is a whole number of tenths of a thou or of sixty-fourths.
func (a latheAnswers) written(l calc.Length) string {
	switch {
	case !a.inch():
	case l%(calc.Thou/10) == 0:
		return l.Trimmed(calc.Inch, 4) + " in"
	case l%(calc.Inch/64) == 0:
		whole := l.Floor(calc.Inch)
		if part, err := calc.Whole(int64(l - whole)).Over(calc.Whole(int64(calc.Inch))); err == nil && whole > 0 {
			return fmt.Sprintf("%d-%s in", whole/calc.Inch, part)
		} else if err == nil {
			return part.String() + " in"
		}
	}
	return l.String()
}

func (f *latheFile) tailstock() {
	a := f.answers
	if !a.yes("tailstock.ring") && a["tailstock.sleeve"]+a["tailstock.taper"] == "" && (a["tailstock.centre"] == "" || a["tailstock.centre"] == "none") {
		return
	}
	if a.yes("tailstock.ring") {
		f.slide("tailstock", "[tailstock]")
	} else {
		f.heading("[tailstock]")
	}
	f.quoted("sleeve", a["tailstock.sleeve"])
	f.quoted("taper", a["tailstock.taper"])
	if c := a["tailstock.centre"]; c != "none" {
		f.quoted("centre", c)
	}
}

func (f *latheFile) coast() {
	f.heading("[coast]")
	turns := f.or("coast.turns", "1")
	if brake, ok := strings.CutPrefix(turns, "brake "); ok {
		f.quoted("time", brake)
		return
	}
	f.bare("turns", turns)
	f.quoted("at", f.or("coast.at", "100")+" rpm")
}

// tool begins a tool of a kind.
func (f *latheFile) tool(kind string) {
	f.heading("[[tool]]")
	f.quoted("kind", kind)
}

func (f *latheFile) tools() {
	a := f.answers
	turning := items(f.or("tools.turning", "HSS right"))
	for _, it := range turning {
		f.tool(job.KindTurning)
		for _, w := range strings.Fields(it) {
			switch w {
			case "carbide":
				f.quoted("steel", w)
			case "left", "neutral":
				f.quoted("hand", w)
			}
		}
	}
	if a.yes("tools.chamfer") {
		f.tool(job.KindChamfer)
	}
	for _, k := range []struct{ key, kind string }{{"tools.grooving", job.KindGrooving}, {"tools.parting", job.KindParting}, {"tools.threading", job.KindThreading}} {
		for _, it := range items(none(a[k.key])) {
			b := blade(it)
			f.tool(k.kind)
			if b.carbide {
				f.quoted("steel", "carbide")
			}
			if k.kind == job.KindThreading {
				f.quoted("tip", b.first)
				f.quoted("width", b.width)
				if b.upsideDown {
					f.bare("upside_down", "true")
				}
				continue
			}
			f.quoted("width", b.first)
			f.quoted("reach", b.reach)
		}
	}
	for _, k := range []struct{ key, kind string }{
		{"tools.centre", job.KindCentreDrill}, {"tools.drill", job.KindDrill}, {"tools.reamer", job.KindReamer}, {"tools.bar", job.KindBoringBar},
	} {
		list, err := sizes(none(a[k.key]))
		if err != nil { // it was taken, so it can be read
			continue
		}
		for _, l := range list {
			f.tool(k.kind)
			f.quoted("size", f.answers.written(l))
		}
	}
	f.insideTools()
	f.pressedTools()
}

// pressedTools writes the form tools for edges, and the knurling tools.
func (f *latheFile) pressedTools() {
	if list, err := sizes(none(f.answers["tools.rounding"])); err == nil {
		for _, l := range list {
			f.tool(job.KindRounding)
			f.quoted("size", f.answers.written(l))
		}
	}
	for _, it := range items(none(f.answers["tools.knurling"])) {
		m := knurlingShape.FindStringSubmatch(strings.Join(strings.Fields(it), " "))
		if m == nil { // it was taken, so it can be read
			continue
		}
		f.tool(job.KindKnurling)
		f.quoted("pattern", m[1])
		f.quoted("pitch", m[2])
		holder := job.HolderBump
		if m[5] != "" {
			holder = job.HolderClamp
		}
		f.quoted("holder", holder)
		f.quoted("width", m[3])
		f.quoted("size", m[4])
		f.quoted("closing", m[5])
	}
}

// insideTools writes the taps and the tools that cut inside a bore.
func (f *latheFile) insideTools() {
	a := f.answers
	for _, it := range items(none(a["tools.tap"])) {
		f.tool(job.KindTap)
		f.quoted("thread", it)
	}
	for _, k := range []struct{ key, kind string }{{"tools.inside_thread", job.KindInsideThreading}, {"tools.inside_groove", job.KindInsideGrooving}} {
		for _, it := range items(none(a[k.key])) {
			b := blade(it)
			size, tip, _ := strings.Cut(b.first, " tip ")
			f.tool(k.kind)
			f.quoted("size", size)
			f.quoted("tip", tip)
			f.quoted("width", b.width)
			f.quoted("reach", b.reach)
		}
	}
}

// none is an answer that may be the word none.
func none(s string) string {
	if s == "none" {
		return ""
	}
	return s
}

func (f *latheFile) measures() {
	a := f.answers
	if !a.yes("measure") {
		return
	}
	begin := func(kind string) {
		f.heading("[[measure]]")
		f.quoted("kind", kind)
	}
	for _, k := range measureKinds {
		for _, it := range items(none(a[k.key])) {
			s, err := span(it)
			if err != nil { // it was taken, so it can be read
				continue
			}
			begin(k.kind)
			if l, err := calc.ParseLength(s.from); err == nil && (l > 0 || k.kind == job.KindTelescopic || k.kind == job.KindSmallHole || k.kind == job.KindInsideMic) {
				f.quoted("from", s.from)
			}
			f.quoted("to", s.to)
			f.quoted("resolution", s.resolution)
		}
	}
	if v := none(a["measure.indicator"]); v != "" {
		begin(job.KindIndicator)
		f.quoted("resolution", v)
	}
	for _, k := range []struct{ key, kind string }{{"measure.ring", job.KindRingGauge}, {"measure.plug", job.KindPlugGauge}} {
		for _, it := range items(none(a[k.key])) {
			begin(k.kind)
			f.quoted("thread", it)
		}
	}
	if list, err := sizes(none(a["measure.wires"])); err == nil {
		for _, l := range list {
			begin(job.KindThreadWires)
			f.quoted("size", f.answers.written(l))
		}
	}
	if a.yes("measure.pitch") {
		begin(job.KindPitchGauge)
	}
}

// measureKinds is the measuring tools that are answered by their range.
var measureKinds = []struct{ key, kind, ask, example string }{
	{"measure.micrometer", job.KindMicrometer, "Which outside micrometers are there: the range of each, and what it is read to?", "0-25 mm 0.01 mm; 25-50 mm 0.01 mm"},
	{"measure.caliper", job.KindCaliper, "Which calipers: how far each opens, and what it is read to?", "150 mm 0.02 mm"},
	{"measure.depth", job.KindDepthGauge, "Which depth gauges or depth micrometers: how deep each goes, and what it is read to?", "150 mm 0.02 mm"},
	{"measure.telescopic", job.KindTelescopic, "Which telescopic gauges, for bores: the range of each?", "8-13 mm; 13-19 mm; 19-32 mm"},
	{"measure.smallhole", job.KindSmallHole, "Which small-hole gauges, for bores a telescopic gauge does not go into: the range of each?", "3-13 mm"},
	{"measure.inside", job.KindInsideMic, "Which inside micrometers: the range of each, and what it is read to?", "25-50 mm 0.01 mm"},
	{"measure.rule", job.KindRule, "Which steel rules: how long each is, and its finest lines?", "300 mm 0.5 mm"},
}

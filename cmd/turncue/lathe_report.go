package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/sequence/job"
)

// Columns of the report on a lathe.
const (
	latheWidth  = 88
	latheIndent = 20
)

// latheText is a text of headings, and of labels with what belongs to them.
type latheText struct{ strings.Builder }

func (r *latheText) heading(s string) { fmt.Fprintf(r, "\n%s\n", s) }

// row is a label and its text, folded; a label that does not fit its column stands on a
// line of its own.
func (r *latheText) row(label, format string, args ...any) {
	lines := folded(fmt.Sprintf(format, args...), latheWidth-latheIndent)
	if len(label) > latheIndent-4 {
		fmt.Fprintf(r, "  %s\n", label)
		label = ""
	}
	for _, line := range lines {
		fmt.Fprintf(r, "  %-*s%s\n", latheIndent-2, label, line)
		label = ""
	}
}

// latheReport tells in shop words what was understood of a lathe file.
func latheReport(l *job.Lathe, text string) (string, error) {
	r := &latheText{}
	fmt.Fprintf(r, "%s (%s)\n", l.Name, l.Source.Path)
	r.slides(l)
	if err := r.gears(l); err != nil {
		return "", err
	}
	r.spindle(l)
	r.capacity(l)
	r.tools(l)
	if left := job.LeftOut(text); len(left) > 0 {
		r.heading("left out, and what is taken")
		for _, f := range left {
			r.row(f.Key, "%s", f.Taken)
		}
	}
	if lacking := l.Lacking(); len(lacking) > 0 {
		r.heading("not listed: asked for by name when a plan needs it")
		for _, w := range lacking {
			r.row(w.Kind, "for %s", w.For)
		}
	}
	return strings.TrimPrefix(r.String(), "\n"), nil
}

// latheUnit is the unit a lathe's screws are made in: inches where a turn is a whole
// number of thou.
func latheUnit(d setup.Dial) calc.Length {
	if d.Travel > 0 && d.Travel%calc.Thou == 0 {
		return calc.Inch
	}
	return calc.Millimetre
}

// shopLength is a length in a unit, without zeros at its end.
func shopLength(l, unit calc.Length) string {
	if unit == calc.Inch {
		return l.Trimmed(calc.Inch, 5) + " in"
	}
	return l.Trimmed(calc.Millimetre, 4) + " mm"
}

func (r *latheText) slides(l *job.Lathe) {
	r.heading("slides")
	r.row("cross slide", "%s", dialWords(l.Cross, true, l.CrossClockwiseIn))
	r.row("top slide", "%s", dialWords(l.Top, true, l.TopClockwiseIn))
	if l.Carriage != nil {
		r.row("carriage", "%s", dialWords(*l.Carriage, false, true))
	}
	if t := l.TaperSlide; t != nil {
		u := latheUnit(l.Cross)
		how := ""
		if t.ByTop {
			how = "; the screw of the cross slide is uncoupled then, and no thread is planned with it"
		}
		r.row("taper slide", "set to %s at the most, leads over %s of the carriage, follows after %s%s", t.Greatest, shopLength(t.Stroke, u), shopLength(t.Slack, u), how)
	}
	if l.Tailstock != nil {
		r.row("tailstock", "%s", dialWords(*l.Tailstock, false, true))
	}
}

// dialWords is a slide and its ring in words; handled says that the way of its handle
// matters.
func dialWords(d setup.Dial, handled, clockwiseIn bool) string {
	u := latheUnit(d)
	marked := d.Marked
	if marked == 0 {
		marked = d.Travel
		if d.OnDiameter {
			marked *= 2
		}
	}
	s := fmt.Sprintf("one turn moves %s; marked %s on %d lines, %s a line", shopLength(d.Travel, u), shopLength(marked, u), d.Divisions, shopLength(d.MarkedDivision(), u))
	switch {
	case d.OnDiameter:
		s += "; the ring shows what comes off the diameter"
	case handled:
		s += "; the ring shows what the slide moves (radius)"
	}
	want := d.Travel
	if d.OnDiameter {
		want *= 2
	}
	if marked != want {
		s += fmt.Sprintf("; the ring does not belong to the screw: %s on it move %s", shopLength(marked, u), shopLength(d.Travel, u))
	}
	switch {
	case d.Slack > 0:
		s += "; slack " + shopLength(d.Slack, u)
	case handled:
		s += "; slack 0: few slides have none, measure it"
	}
	switch {
	case !handled:
	case clockwiseIn:
		s += "; clockwise moves the tool in"
	default:
		s += "; clockwise moves the tool out"
	}
	return s
}

// gears tells of the leadscrew and of the threads its wheels make.
func (r *latheText) gears(l *job.Lathe) error {
	r.heading("leadscrew and change wheels")
	r.row("leadscrew", "%s", leadName(l.Leadscrew))
	wheels := l.Wheels.Sorted()
	r.row("wheels", "%d, from %d to %d teeth: %s", len(wheels), wheels[0], wheels[len(wheels)-1], wheels)
	if len(l.Levers) > 0 {
		var names []string
		for _, v := range l.Levers {
			names = append(names, v.Name)
		}
		r.row("gearbox", "positions %s", strings.Join(names, ", "))
	}
	metric, inch := coarser("metric", 350*calc.Micrometre), coarser("per inch", calc.Inch/40)
	for _, k := range []struct {
		name  string
		leads []gear.Standard
	}{{"metric", metric}, {"per inch", inch}} {
		rows, err := gear.Chart(l.Gearing(), k.leads)
		if err != nil {
			return err
		}
		var exact, near, none []string
		for _, row := range rows {
			name := strings.TrimSuffix(row.Name, " tpi")
			switch {
			case row.Found && row.Train.Exact():
				exact = append(exact, name)
			case row.Found && row.Train.Verdict != gear.NoFit:
				near = append(near, name)
			default:
				none = append(none, name)
			}
		}
		var said []string
		for _, s := range []struct {
			how   string
			names []string
		}{{"exactly ", exact}, {"nearly, within what a nut allows, ", near}, {"not with these wheels ", none}} {
			if len(s.names) > 0 {
				said = append(said, s.how+strings.Join(s.names, " "))
			}
		}
		r.row(k.name, "%s", strings.Join(said, "; "))
	}
	if l.Dial != nil {
		r.row("thread dial", "wheel of %d teeth, %d lines", l.Dial.Wheel, l.Dial.Lines)
	}
	return nil
}

// coarser is the standard threads of a kind from a lead upwards.
func coarser(kind string, least calc.Length) []gear.Standard {
	return slices.DeleteFunc(gear.Standards(), func(s gear.Standard) bool { return s.Kind != kind || s.Lead.Length() < least })
}

func (r *latheText) spindle(l *job.Lathe) {
	r.heading("spindle")
	var speeds []string
	for _, b := range l.Speeds {
		if b.Min == b.Max {
			speeds = append(speeds, rpmWords(b.Min))
		} else {
			speeds = append(speeds, "a knob from "+rpmWords(b.Min)+" to "+rpmWords(b.Max))
		}
	}
	r.row("speeds", "%s turns a minute; motor %d W", strings.Join(speeds, ", "), l.Power)
	reverse := map[job.Reverse]string{job.ReverseMotor: "by the motor", job.ReverseNone: "none: a thread comes back by the threading dial where one serves, else by the hand crank in the spindle"}[l.Reverse]
	r.row("reverse", "%s", reverse)
	chuck := map[job.Chuck]string{
		job.ChuckScrewed: "screwed on: it can unscrew in reverse and on an abrupt stop; never a cut in reverse, reverse slowly and with the tool clear",
		job.ChuckBolted:  "bolted on: it cannot unscrew in reverse",
		job.ChuckCamlock: "held by cams: it cannot unscrew in reverse",
	}[l.Chuck]
	if fastest := l.Speeds.Fastest(); l.ChuckLimit > 0 && fastest > l.ChuckLimit {
		chuck += fmt.Sprintf("; good for %s, so no plan goes up to the spindle's %s", l.ChuckLimit, fastest)
	}
	r.row("chuck", "%s", chuck)
	if l.Threading != "" {
		r.row("threads", "cut %s, where the job does not say otherwise", map[job.Way]string{
			job.WayReverse: "with the half-nuts shut, back in reverse", job.WayCrank: "with the half-nuts shut, by the hand crank",
			job.WayDial: "by the threading dial", job.WayAway: "out of the groove in reverse, the tool upside down",
		}[l.Threading])
	}
	r.coast(l)
}

func rpmWords(n calc.Speed) string { return strings.TrimSuffix(n.String(), " rpm") }

// coast tells what the spindle's running on means in a groove.
func (r *latheText) coast(l *job.Lathe) {
	slowest := l.Speeds.Slowest()
	how := fmt.Sprintf("%.3g turns from %s", l.Coast.Turns, l.Coast.At)
	if l.Coast.Time > 0 {
		how = secondsWords(l.Coast.Time) + " from any speed"
	}
	leads := []calc.Lead{calc.PerTurn(calc.Millimetre), calc.PerTurn(3 * calc.Millimetre / 2), calc.PerTurn(2 * calc.Millimetre)}
	unit, grain := calc.Millimetre, 100*calc.Micrometre
	if latheUnit(l.Cross) == calc.Inch {
		unit, grain = calc.Inch, 5*calc.Thou
		leads = nil
		for _, n := range []int64{24, 16, 12} {
			if lead, err := calc.PerInch(calc.Whole(n)); err == nil {
				leads = append(leads, lead)
			}
		}
	}
	var rooms []string
	for _, lead := range leads {
		stop := cutting.Stop{Lead: lead, Delay: l.Delay, Coast: l.Coast}
		rooms = append(rooms, fmt.Sprintf("%s for %s", shopLength(stop.Travel(slowest).Ceil(grain), unit), leadName(lead)))
	}
	r.row("coast", "runs on %s; with %s to switch off, a thread at the slowest speed of %s needs room in its groove, beside the tool: %s; where there is less the spindle is turned by the hand crank", how, secondsWords(l.Delay), slowest, strings.Join(rooms, ", "))
}

// secondsWords is a time in seconds.
func secondsWords(d time.Duration) string {
	return strconv.FormatFloat(d.Seconds(), 'g', -1, 64) + " s"
}

func (r *latheText) capacity(l *job.Lathe) {
	c := l.Capacity
	if c.Swing+c.SwingOverSlide+c.SpindleBore+c.SpindleLength+c.ChuckDepth+c.Sleeve == 0 && c.Taper+c.Centre == "" && len(c.Steadies) == 0 {
		return
	}
	r.heading("room")
	u := latheUnit(l.Cross)
	for _, x := range []struct {
		label string
		size  calc.Length
		text  string
	}{
		{"swing", c.Swing, "is the largest that turns over the bed"},
		{"over cross slide", c.SwingOverSlide, "is the largest that turns over the cross slide"},
		{"spindle bore", c.SpindleBore, "is the largest bar that goes through; a thicker one is sawn to a piece"},
		{"spindle", c.SpindleLength, "from the front of the jaws to the back end; a bar that stands out there by more than its diameter is refused"},
		{"chuck", c.ChuckDepth, "at most of a bar that does not go through the spindle stand behind the front of the jaws"},
		{"sleeve", c.Sleeve, "of travel in the tailstock: the deepest hole drilled"},
	} {
		if x.size > 0 {
			r.row(x.label, "%s %s", shopLength(x.size, u), x.text)
		}
	}
	if c.Taper != "" {
		r.row("taper", "Morse %s in the tailstock", c.Taper)
	}
	if c.Centre != "" {
		r.row("centre", "%s", map[string]string{job.CentreLive: "live: it turns with the work", job.CentreDead: "dead: grease, and slow"}[c.Centre])
	}
	if len(c.Steadies) > 0 {
		r.row("steady", "%s", strings.Join(c.Steadies, ", "))
	}
}

// tools tells of the tools and the measuring tools listed.
func (r *latheText) tools(l *job.Lathe) {
	r.heading("tools")
	u := latheUnit(l.Cross)
	for _, kind := range latheKinds(l) {
		var each []string
		for _, t := range l.Tools {
			if t.Kind == kind {
				each = append(each, toolWords(t, u))
			}
		}
		r.row(kind, "%s", strings.Join(each, "; "))
	}
	if len(l.Measures) == 0 {
		return
	}
	r.heading("measuring tools")
	for _, m := range l.Measures {
		r.row(m.Kind, "%s", measureWords(m, u))
	}
	for _, g := range micrometerGaps(l) {
		r.row("no micrometer", "from %s to %s: a size between is measured with something coarser, or refused", shopLength(g[0], u), shopLength(g[1], u))
	}
}

// latheKinds is the kinds of tool listed, in the order they first come.
func latheKinds(l *job.Lathe) (kinds []string) {
	for _, t := range l.Tools {
		if !slices.Contains(kinds, t.Kind) {
			kinds = append(kinds, t.Kind)
		}
	}
	return kinds
}

func toolWords(t job.Tool, u calc.Length) string {
	var s []string
	if t.Hand != "" {
		s = append(s, t.Hand+"-hand")
	}
	if t.Thread != nil {
		s = append(s, t.Thread.String())
	}
	if t.Size > 0 {
		s = append(s, shopLength(t.Size, u))
	}
	if t.Edge > 0 {
		s = append(s, "edge "+shopLength(t.Edge, u))
	}
	if t.Width > 0 {
		s = append(s, shopLength(t.Width, u)+" wide")
	}
	if t.Tip != "" {
		s = append(s, "tip "+t.Tip)
	}
	if t.Reach > 0 {
		s = append(s, "reaches "+shopLength(t.Reach, u))
	}
	if t.UpsideDown {
		s = append(s, "can be clamped upside down")
	}
	if t.Kind == job.KindTurning || t.Steel != string(cutting.HSS) || len(s) == 0 {
		s = append(s, t.Steel)
	}
	return strings.Join(s, ", ")
}

// micrometerGaps are the sizes between the smallest and the largest that no micrometer
// listed reaches. Ranges that are an inch and 25 mm apart leave no gap worth telling.
func micrometerGaps(l *job.Lathe) (gaps [][2]calc.Length) {
	var all []job.Instrument
	for _, m := range l.Measures {
		if m.Kind == job.KindMicrometer {
			all = append(all, m)
		}
	}
	slices.SortFunc(all, func(a, b job.Instrument) int { return cmp.Compare(a.From, b.From) })
	for i := 1; i < len(all); i++ {
		reach := all[0].To
		for _, m := range all[:i] {
			reach = max(reach, m.To)
		}
		if all[i].From > reach+calc.Millimetre/2 {
			gaps = append(gaps, [2]calc.Length{reach, all[i].From})
		}
	}
	return gaps
}

func measureWords(m job.Instrument, u calc.Length) string {
	var s []string
	switch {
	case m.Thread != nil:
		s = append(s, m.Thread.String())
	case m.Size > 0:
		s = append(s, shopLength(m.Size, u))
	case m.To > 0:
		s = append(s, fmt.Sprintf("%s to %s", shopLength(m.From, u), shopLength(m.To, u)))
	}
	if m.Resolution > 0 {
		s = append(s, "read to "+shopLength(m.Resolution, u))
	}
	if len(s) == 0 {
		return "owned"
	}
	return strings.Join(s, ", ")
}

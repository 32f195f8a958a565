package planner_test

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"turncue/calc"
	"turncue/calc/fit"
	"turncue/sequence/job"
)

// dice draws jobs and lathes: mostly such as people have, some that cannot be
// done. The same seed draws the same ones.
type dice struct{ *rand.Rand }

func throw(seed uint64) dice { return dice{rand.New(rand.NewPCG(seed, 0x5eed))} }

func one[T any](d dice, of ...T) T { return of[d.IntN(len(of))] }

// in says yes once in n times.
func (d dice) in(n int) bool { return d.IntN(n) == 0 }

// between is a number of whole steps from low to high.
func (d dice) between(low, high, step float64) float64 {
	return low + step*float64(d.IntN(int((high-low)/step)+1))
}

// drawn is a job and a lathe as texts.
type drawn struct{ job, lathe string }

// size is a length as people write it: hundredths of a millimetre or thou.
func (d dice) size(mm float64, inch bool) string {
	if !inch {
		return fmt.Sprintf("%.2f mm", mm)
	}
	if d.in(2) {
		return fmt.Sprintf("%d/64 in", max(1, int(mm/25.4*64+0.5)))
	}
	return fmt.Sprintf("%.3f in", max(0.001, mm/25.4))
}

// metric threads of the coarse and fine series (ISO 261), diameter and pitch.
var threads = []struct{ d, p float64 }{
	{3, 0.5}, {4, 0.7}, {5, 0.8}, {6, 1}, {6, 0.75}, {8, 1.25}, {8, 1}, {10, 1.5}, {10, 1.25}, {10, 1}, {12, 1.75}, {12, 1.5}, {12, 1.25}, {12, 1},
	{14, 2}, {14, 1.5}, {16, 2}, {16, 1.5}, {16, 1}, {18, 2.5}, {18, 1.5}, {20, 2.5}, {20, 1.5}, {22, 2.5}, {24, 3}, {24, 2}, {27, 3}, {30, 3.5}, {30, 2},
}

// draw draws a job and a lathe.
func draw(seed uint64) drawn {
	d := throw(seed)
	return drawn{lathe: d.lathe(), job: d.job()}
}

func (d dice) job() string {
	inch := d.in(4)
	centre := d.in(8)
	part := !centre && !d.in(4)
	n := 1 + d.IntN(4)
	var b strings.Builder
	diameter := d.between(4, 16, 0.5)
	total, before := 0.0, diameter
	for i := range n {
		b.WriteString("\n[[section]]\n")
		if d.in(4) {
			fmt.Fprintf(&b, "name = %q\n", one(d, "nose", "stem", "journal a", "head-b")+strings.Repeat("x", i))
		}
		last := i == n-1
		length := d.between(4, 24, 0.5)
		chamfer, front := 0.0, before
		switch {
		case last && n > 1 && d.in(3):
			b.WriteString("as_bar = true\n")
			diameter += d.between(1, 6, 0.5)
		case d.in(2) && (!last || !part || d.in(15)) && !(centre && !d.in(15)):
			about := diameter
			if i > 0 { // its root is to be thicker than what is in front
				about = front*1.2 + 1
			}
			t := d.thread(about)
			diameter = t.d
			text := fmt.Sprintf("M%gx%g%s", t.d, t.p, one(d, "", "-6g", "-6g", "-6g", "-6h", "-8g", "-4h", "-6e"))
			length = max(length, d.between(3*t.p+8, 3*t.p+20, 0.5))
			fmt.Fprintf(&b, "thread = %q\n", text)
			switch d.IntN(6) {
			case 0, 1, 2:
				b.WriteString("undercut = \"regular\"\n")
			case 3:
				b.WriteString("undercut = \"short\"\n")
			default:
				fmt.Fprintf(&b, "undercut = { width = \"%.1f mm\", diameter = \"%.1f mm\" }\n", d.between(2*t.p, 7*t.p, 0.1), t.d-d.between(1.3, 1.8, 0.1)*t.p-0.35)
			}
		default:
			size := d.size(diameter, inch)
			fmt.Fprintf(&b, "diameter = \"%s\"\n", d.tolerance(size, inch))
		}
		if i == 0 || diameter-front > 2 {
			if d.in(2) {
				chamfer = d.between(0.3, min(2, diameter/6), 0.1)
				if i > 0 {
					chamfer = min(chamfer, (diameter-front)/2)
				}
				fmt.Fprintf(&b, "chamfer = \"%s\"\n", d.size(chamfer, false))
			}
		}
		tolerance := one(d, "", "", " ±0.1 mm", " ±0.2 mm", " ±0.05 mm", " +0.2/-0.0 mm")
		if inch {
			tolerance = one(d, "", "", " ±0.005 in", " ±0.002 in")
		}
		if l := d.size(length, inch); tolerance != "" && !strings.Contains(l, "/") {
			fmt.Fprintf(&b, "length = \"%s%s\"\n", strings.Fields(l)[0], tolerance)
		} else {
			fmt.Fprintf(&b, "length = \"%s\"\n", l)
		}
		total += length
		before = diameter
		diameter += d.between(0.5, 7, 0.5)
		if d.in(12) {
			diameter = max(3, diameter-d.between(0.5, 7, 0.5)) // of one thickness, or nearly
		}
	}
	head := fmt.Sprintf("part = \"drawn part\"\nmaterial = %q\n", one(d, "free-machining steel", "mild steel", "mild steel", "medium-carbon steel",
		"stainless 303", "brass", "aluminium 6061", "bronze", "grey cast iron", "acetal", "titanium 6Al-4V"))
	bar := diameter + d.between(0.5, 4, 0.5)
	out := total + 9 + d.between(0, 8, 0.5)
	if d.in(20) {
		out -= 6
	}
	head += fmt.Sprintf("bar = \"%s\"\nstickout = \"%s\"\n", d.size(bar, inch), d.size(out, inch))
	if d.in(6) {
		head += fmt.Sprintf("units = %q\n", one(d, "mm", "in"))
	}
	if d.in(3) {
		head += fmt.Sprintf("face = \"%s\"\n", d.size(d.between(0.1, 2, 0.05), inch))
	}
	if centre {
		head += "support = \"centre\"\npart_off = false\n"
	} else if !part {
		head += "part_off = false\n"
	}
	if strings.Contains(b.String(), "thread") && d.in(4) {
		head += fmt.Sprintf("tip = %q\n", one(d, "sharp", "radius H/6", "radius 0.05 mm", "flat 0.05 mm", "flat P/8"))
	}
	return head + b.String()
}

// thread is a thread of about a diameter.
func (d dice) thread(about float64) struct{ d, p float64 } {
	best := threads[d.IntN(len(threads))]
	for range 40 {
		if t := threads[d.IntN(len(threads))]; t.d >= about && (best.d < about || t.d < best.d) {
			best = t
		}
	}
	return best
}

func (d dice) tolerance(size string, inch bool) string {
	if strings.Contains(size, "/") {
		return size
	}
	if inch {
		n := strings.Fields(size)[0]
		return n + one(d, " in", " ±0.005 in", " ±0.002 in", " +0.000/-0.002 in", " +0.001/-0.001 in", " +0.000/-0.0005 in")
	}
	n := strings.Fields(size)[0]
	return n + one(d, " mm", " mm", " mm", " mm h9", " mm h9", " mm h11", " mm h11", " mm h10", " mm js10", " mm f9", " mm k9", " mm h8", " mm f7", " mm n6",
		" ±0.05 mm", " ±0.05 mm", " ±0.1 mm", " ±0.02 mm", " +0.00/-0.05 mm", " +0.1/-0.2 mm", " +0.2/-0.0 mm")
}

func (d dice) lathe() string {
	inch := d.in(3)
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("name = \"drawn lathe\"")
	if inch {
		line("leadscrew = %q", one(d, "16 tpi", "8 tpi", "10 tpi", "20 tpi"))
	} else {
		line("leadscrew = %q", one(d, "1.5 mm", "2 mm", "3 mm", "1 mm", "4 mm"))
	}
	line("wheels = %s", one(d, "[20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 60, 65, 80, 80]", "[20, 20, 21, 30, 35, 40, 40, 45, 50, 55, 57, 60, 63, 65, 80, 80]",
		"[20, 25, 30, 33, 35, 36, 40, 40, 42, 45, 50, 54, 60, 66, 70, 72, 80, 80, 84]", "[24, 30, 36, 40, 42, 45, 48, 50, 52, 54, 60, 64, 72, 80, 127]", "[20, 30, 40, 50, 60]"))
	if d.in(3) {
		line("speeds = { min = %d, max = %d }", one(d, 30, 50, 80, 150), one(d, 1500, 2000, 2500))
	} else {
		line("speeds = %s", one(d, "[70, 115, 200, 320, 500, 800, 1250]", "[45, 75, 130, 220, 360, 600]", "[30, 60, 120, 250, 480, 900, 1800]", "[40, 80, 150, 300, 600, 1000]", "[110, 180, 320, 560, 1000, 2000]"))
	}
	line("motor = %q", one(d, "750 W", "350 W", "1.5 kW", "0.5 hp", "180 W"))
	line("reverse = %q", one(d, "motor", "motor", "motor", "none"))
	line("chuck = %q", one(d, "bolted", "screwed", "camlock"))
	if d.in(2) {
		line("chuck_limit = %q", one(d, "2000 rpm", "1200 rpm", "3000 rpm"))
	}
	if d.in(2) {
		line("delay = %q", one(d, "0.3 s", "0.4 s", "0.3 s", "1 s", "0.5 s"))
	}
	if d.in(2) {
		line("power_feed = %s", one(d, `["0.1 mm"]`, `["0.05 mm", "0.1 mm", "0.2 mm"]`, `["0.004 in"]`, `["0.002 in", "0.008 in"]`))
	}
	if d.in(3) {
		line("depth_of_cut = %q", one(d, "0.5 mm", "0.25 mm", "1 mm", "0.02 in"))
	}
	if d.in(2) {
		line("\n[banjo]\nmodule = %q\nclearance = %q", one(d, "1 mm", "1.25 mm"), one(d, "4 mm", "6 mm"))
	}
	line("\n[cross_slide]\n%s", d.ring(inch, true))
	line("\n[top_slide]\n%s", d.ring(inch, false))
	if d.in(2) {
		line("\n[carriage]\n%s", one(d, "travel = \"20 mm\"\ndivisions = 100", "travel = \"1 in\"\ndivisions = 100", "travel = \"16 mm\"\ndivisions = 160\nslack = \"0.2 mm\"", "travel = \"20 mm\"\ndivisions = 200\nslack = \"0.4 mm\""))
	}
	if d.in(4) {
		line("\n[coast]\ntime = %q", one(d, "0.5 s", "1 s", "2 s"))
	} else {
		line("\n[coast]\nturns = %s\nat = %q", one(d, "0.2", "0.3", "0.8", "1.5"), one(d, "100 rpm", "75 rpm"))
	}
	steel := one(d, "", "", "", "steel = \"carbide\"\n")
	line("\n[[tool]]\nkind = \"turning\"\n%s", steel)
	if !d.in(20) {
		for range 1 + d.IntN(2) {
			line("[[tool]]\nkind = \"grooving\"\nwidth = %q\n", one(d, "1 mm", "1.5 mm", "2 mm", "1/16 in", "0.8 mm"))
		}
	}
	if !d.in(30) {
		line("[[tool]]\nkind = \"parting\"\nwidth = %q\n%s", one(d, "1.5 mm", "2 mm", "3 mm", "1/16 in", "3/32 in"), one(d, "", "", "reach = \"12 mm\"\n"))
	}
	if !d.in(20) {
		line("[[tool]]\nkind = \"threading\"\ntip = %q\n%s", one(d, "radius 0.1 mm", "radius 0.05 mm", "sharp", "flat 0.08 mm", "radius 0.15 mm", "radius 0.005 in"), one(d, "", "", "width = \"2 mm\"\n"))
	}
	if !d.in(20) {
		line("[[tool]]\nkind = \"chamfer\"\n")
	}
	if !d.in(6) {
		line("[[tool]]\nkind = \"centre drill\"\nsize = %q\n", one(d, "1 mm", "2 mm", "1.6 mm", "1/16 in"))
	}
	return b.String()
}

// ring is the ring of a slide: what a turn moves, what it is marked, its lines.
func (d dice) ring(inch, cross bool) string {
	s := ""
	if inch {
		s = one(d, "travel = \"0.1 in\"\ndivisions = 100", "travel = \"0.1 in\"\ndivisions = 200", "travel = \"0.125 in\"\ndivisions = 125", "travel = \"0.05 in\"\ndivisions = 50")
	} else {
		s = one(d, "travel = \"2 mm\"\ndivisions = 100", "travel = \"1 mm\"\ndivisions = 50", "travel = \"1 mm\"\ndivisions = 100", "travel = \"3 mm\"\ndivisions = 150",
			"travel = \"1.5 mm\"\ndivisions = 60", "travel = \"1.27 mm\"\nmarked = \"1.25 mm\"\ndivisions = 50", "travel = \"2.5 mm\"\ndivisions = 50",
			"travel = \"1 mm\"\nmarked = \"0.04 in\"\ndivisions = 40")
	}
	if cross && d.in(3) && !strings.Contains(s, "marked") {
		s += "\nreads = \"diameter\""
	}
	if d.in(5) {
		s += "\nclockwise = \"out\""
	}
	if !d.in(5) {
		s += fmt.Sprintf("\nslack = %q", one(d, "0.05 mm", "0.1 mm", "0.15 mm", "0.2 mm", "0.33 mm", "0.5 mm", "0.004 in", "0.01 in"))
	}
	return s
}

// crooked moves the figures of a job and a lathe to such as no file says: odd
// nanometres, limits beside their nominal size.
func (d dice) crooked(j *job.Job, l *job.Lathe) {
	odd := func() calc.Length { return calc.Length(d.IntN(20_000)-10_000) * calc.Nanometre }
	shift := func(l *fit.Limits, by calc.Length) { l.Nominal, l.Min, l.Max = l.Nominal+by, l.Min+by, l.Max+by }
	j.Bar += odd()
	j.StickOut += calc.Millimetre + odd()
	for i := range j.Sections {
		s := &j.Sections[i]
		shift(&s.Length, odd())
		switch {
		case s.AsBar:
			s.Diameter = fit.Limits{Nominal: j.Bar, Min: j.Bar, Max: j.Bar}
		case s.Thread == nil:
			shift(&s.Diameter, odd())
		}
	}
	l.Cross.Slack += calc.Length(d.IntN(10_000)) * calc.Nanometre
	l.Top.Slack += calc.Length(d.IntN(10_000)) * calc.Nanometre
}

// make reads what was drawn; a third of it is then made crooked.
func (w drawn) read(seed uint64) (*job.Job, *job.Lathe, error) {
	l, err := job.ParseLathe("drawn.lathe", w.lathe)
	if err != nil {
		return nil, nil, fmt.Errorf("the drawn lathe cannot be read: %w", err)
	}
	j, err := job.ParseJob("drawn.job", w.job)
	if err != nil {
		return nil, l, err
	}
	if d := throw(seed ^ 1<<40); d.in(3) {
		d.crooked(j, l)
	}
	return j, l, nil
}

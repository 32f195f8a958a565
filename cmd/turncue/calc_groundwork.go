package main

import (
	"fmt"
	"io"
	"strconv"

	"turncue/calc"
	"turncue/calc/thread"
)

// calcGround is what a thread takes beside its limits and its depth: where the tool
// stands in each pass, the tool's own clearances, chamfer and groove, and how to come
// from one start to the next.
type calcGround struct {
	lead     calc.Angle
	clear    thread.Clearance
	chamfer  calc.Length
	groove   *thread.Undercut // nil where DIN 76-1 has none for the pitch
	feeds    []thread.Feed    // one a pass; nil for a straight infeed
	sides    []calc.Length    // places of a narrow flat tool across the groove
	index    calc.Length      // from start to start along the work; zero with one start
	teeth    int              // of the first driver from start to start; zero where none was given
	nominal  calc.Length
	external bool
}

// toolClearance is a tool's own side clearance (three to five degrees, common
// practice).
const toolClearance = 3 * calc.Degree

// calcStyles is the ways of --infeed.
var calcStyles = map[string]thread.Style{"straight": thread.Straight, "flank": thread.Flank, "modified": thread.ModifiedFlank, "alternating": thread.Alternating}

// ground works out what stands beside depth and passes.
func (f calcThreadFlags) ground(a *calcThread) (g calcGround, err error) {
	t := a.thread
	g.nominal, g.external, g.lead = t.Nominal, t.External, t.LeadAngle()
	if g.clear, err = t.SideClearance(toolClearance); err != nil {
		return g, err
	}
	if g.chamfer, err = t.Chamfer(); err != nil {
		return g, err
	}
	if t.Angle == 60*calc.Degree { // DIN 76-1 is for ISO threads, and serves others of their form
		if u, err := t.Undercut(thread.Regular); err == nil {
			g.groove = &u
		}
	}
	style, ok := calcStyles[f.infeed]
	if !ok {
		return g, fmt.Errorf("--infeed: %q: straight, flank, modified or alternating", f.infeed)
	}
	if style == thread.Straight && a.slide != 0 {
		style = thread.Flank // the slide stands at an angle: so does the infeed
	}
	if style != thread.Straight {
		slide := a.slide
		if style != thread.Flank {
			slide = 0
		}
		if slide <= t.Angle/2 {
			if g.feeds, err = t.Feeds(a.passes, style, slide); err != nil {
				return g, calcFlag("infeed", err)
			}
		}
	}
	if err := g.across(a); err != nil {
		return g, err
	}
	if t.Starts > 1 {
		p, err := t.IndexSlide()
		if err != nil {
			return g, err
		}
		g.index = p.Length()
	}
	if f.driver != 0 {
		if g.teeth, err = t.IndexTeeth(f.driver); err != nil {
			return g, calcFlag("driver", err)
		}
	}
	return g, nil
}

// across is the places of a tool that is narrower than the groove of a square or
// trapezoidal thread.
func (g *calcGround) across(a *calcThread) (err error) {
	if a.full == a.tip {
		return nil
	}
	if g.sides, err = thread.SideShifts(a.full.Flat, a.tip.Flat, a.tip.Flat/10); err != nil {
		return calcFlag("tip", err)
	}
	return nil
}

// calcFull is the tip a thread's depth is counted with: the tool's, but on a square or
// trapezoidal thread, where a narrower flat tool is moved sideways until the groove
// has its width, the standard's.
func calcFull(t thread.Thread, tip thread.Tip) (thread.Tip, error) {
	if t.Angle > 30*calc.Degree || tip.Flat == 0 {
		return tip, nil
	}
	full, err := t.DesignTip()
	if err != nil || tip.Flat >= full.Flat {
		return tip, err
	}
	return full, nil
}

// shift is where the tool stands along the work in a pass.
func (g calcGround) shift(pass int) calc.Length {
	if pass >= len(g.feeds) {
		return 0
	}
	return g.feeds[pass].Shift
}

type calcThreadGroove struct {
	Diameter calcMM `json:"diameter_mm"`
	MinWidth calcMM `json:"min_width_mm"`
	MaxWidth calcMM `json:"max_width_mm"`
	Radius   calcMM `json:"radius_mm"`
	RunOut   calcMM `json:"run_out_mm"`
	Source   string `json:"source"`
}

type calcThreadIndex struct {
	Slide calcMM `json:"slide_mm"`
	Teeth *int   `json:"driver_teeth"`
}

type calcThreadGround struct {
	LeadAngle calcNumber        `json:"lead_angle_deg"`
	Leading   calcNumber        `json:"leading_clearance_deg"`
	Trailing  calcNumber        `json:"trailing_clearance_deg"`
	Chamfer   calcMM            `json:"chamfer_mm"`
	Groove    *calcThreadGroove `json:"undercut,omitempty"`
	Sides     []calcMM          `json:"side_shifts_mm,omitempty"`
	Index     *calcThreadIndex  `json:"index,omitempty"`
}

func (g calcGround) json() calcThreadGround {
	r := calcThreadGround{
		LeadAngle: calcNumber(g.lead.Degrees()), Leading: calcNumber(g.clear.Leading.Degrees()), Trailing: calcNumber(g.clear.Trailing.Degrees()), Chamfer: calcMM(g.chamfer),
	}
	if u := g.groove; u != nil {
		r.Groove = &calcThreadGroove{calcMM(u.Diameter(g.nominal)), calcMM(u.MinWidth), calcMM(u.MaxWidth), calcMM(u.Radius), calcMM(u.RunOut), u.Source}
	}
	if len(g.sides) > 0 {
		r.Sides = calcMMs(g.sides)
	}
	if g.index > 0 {
		r.Index = &calcThreadIndex{Slide: calcMM(g.index)}
		if g.teeth > 0 {
			r.Index.Teeth = &g.teeth
		}
	}
	return r
}

// table writes what stands beside depth and passes; length writes a figure in the
// unit asked for.
func (g calcGround) table(out io.Writer, length func(calc.Length) string) {
	row := func(label, figure, text string) { fmt.Fprintf(out, "  %-18s  %s  %s\n", label, figure, text) }
	row("lead angle", fmt.Sprintf("%.2f deg", g.lead.Degrees()), fmt.Sprintf("tool clearance %.1f deg leading, %.1f trailing (3 of its own)", g.clear.Leading.Degrees(), g.clear.Trailing.Degrees()))
	row("chamfer", length(g.chamfer), "45 degrees, on radius")
	if u := g.groove; u != nil {
		row("undercut", length(u.Diameter(g.nominal)), fmt.Sprintf("width %s to %s; without one it runs out over %s; %s", length(u.MinWidth), length(u.MaxWidth), length(u.RunOut), u.Source))
	}
	if g.index > 0 {
		text := "along the work to the next start"
		if g.teeth > 0 {
			text += ", or " + strconv.Itoa(g.teeth) + " teeth of the first driver"
		}
		row("top slide", length(g.index), text)
	}
	if len(g.sides) > 0 {
		fmt.Fprint(out, "the tool is narrower than the groove, cut at")
		for _, s := range g.sides {
			fmt.Fprint(out, " ", length(s))
		}
		fmt.Fprintln(out, " from its middle")
	}
	if len(g.feeds) > 0 {
		fmt.Fprint(out, "along the work in each pass, from the middle:")
		for _, f := range g.feeds {
			fmt.Fprint(out, " ", f.Shift.Decimal(calc.Millimetre, 3))
		}
		fmt.Fprintln(out, " mm")
	}
}

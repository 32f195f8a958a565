package planner

import (
	"fmt"
	"time"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

const (
	// tapLeadIn is the tapered end of a tap in pitches where the lathe file does not say:
	// that of a second tap (common practice).
	tapLeadIn = 4
	// tapTurn is how long a turn of a tap by hand takes, back and forth (common practice).
	tapTurn = 6 * time.Second
)

// ownedTap is the tap owned for the thread of a bore; nil for none.
func (b *build) ownedTap(d *job.Bore) *job.Tool {
	for i := range b.lathe.Tools {
		t := &b.lathe.Tools[i]
		if h := t.Thread; t.Kind == job.KindTap && h != nil && h.Nominal == d.Thread.Nominal && h.Pitch == d.Thread.Pitch && h.Lead == d.Thread.Lead && h.Angle == d.Thread.Angle && !h.LeftHand {
			return t
		}
	}
	return nil
}

// leadIn is the length of a tap's tapered end.
func leadIn(t *job.Tool, d *job.Bore) calc.Length {
	if t.LeadIn > 0 {
		return t.LeadIn
	}
	return tapLeadIn * d.Thread.Pitch.Length()
}

// chooseTap settles how far the tap goes, or refuses it.
func (b *build) chooseTap(d *job.Bore) bool {
	t, pitch := b.made.tap, d.Thread.Pitch.Length()
	if t == nil {
		b.refuseAt(d.Pos, fmt.Sprintf("list it in %s: [[tool]] kind = \"tap\" thread = %q, or write by = \"bore\" for a threading tool", b.lathe.Source.Path, d.Thread.Designation),
			"no tap for %s is listed for the lathe", d.Thread)
		return false
	}
	lead := leadIn(t, d)
	if d.Through {
		b.made.tapTo = (b.throughEnd() + lead + pitch).Ceil(pitch)
		return true
	}
	b.made.tapTo = (d.Full.Mid() + lead).Round(pitch / 2) // counted in half turns
	switch full := b.made.tapTo - lead; {
	case b.made.tapTo > d.Depth.Min:
		b.refuseAt(d.Pos, fmt.Sprintf("a bottoming tap, listed with its lead_in of %s or less, or through = true", b.show((d.Depth.Min-d.Full.Mid()).Floor(100*calc.Micrometre))),
			"the tapered end of the tap for %s is %s long, and behind %s of full thread the hole has %s for it", d.Thread, b.show(lead), b.show(d.Full.Nominal), b.show(d.Depth.Min-d.Full.Mid()))
		return false
	case !d.Full.Contains(full):
		b.refuseAt(d.Pos, fmt.Sprintf("allow a turn more or less: %s", b.show(pitch)),
			"a thread of %s to %s depth is finer than half turns of the tap tell, %s each", b.show(d.Full.Min), b.show(d.Full.Max), b.show(pitch/2))
		return false
	}
	return true
}

// boreName is a bore as it is called in a refusal: its thread or its diameter.
func (b *build) boreName(d *job.Bore) string {
	if d.Thread != nil {
		return d.Thread.String()
	}
	return b.show(d.Diameter.Nominal)
}

// tap cuts the thread of the deepest bore by hand, the lathe isolated.
func (b *build) tap() {
	if b.made.tap == nil || len(b.faults) > 0 {
		return
	}
	c := &b.cavities[len(b.cavities)-1]
	d, t := c.bore, b.made.tap
	b.hole, b.section, b.op = d, nil, sequence.OpTap
	b.pass, b.of = 0, 0
	b.add("tap/clear", sequence.Step{
		Moves: append(b.stop(), sequence.Mount{Kind: sequence.NoTool}, b.along(b.aside())),
		Hand:  hand("tool_plain"), Cautions: []sequence.Word{sequence.WordStopBeforeTouch},
		Why: "Nothing in the post may stand in the way of the wrench.",
	})
	b.add("tap/isolate", sequence.Step{
		Moves: b.isolate(), Hand: hand("start_stop"),
		Why: "Hands are at the work: the motor must not be able to start. The slowest speed set, its gears or its belt hold the chuck.",
	})
	b.add("tap/tool", sequence.Step{
		Moves: []sequence.Move{sequence.Mount{Kind: sequence.TapTool, Tip: d.Thread.Designation, Hand: "right", Edge: "tip", Diameter: d.Thread.Nominal}},
		Hand:  hand("tailstock_tool"),
		Why: fmt.Sprintf("The centre keeps it straight. The hole of %s leaves %.0f per cent of a full thread, counted %s.",
			b.show(b.made.hole), d.Thread.Percent(b.made.hole, thread.ISOHeight), thread.ISOHeight),
	})
	why := fmt.Sprintf("%s of full thread and the tapered end of %s. Half a turn back breaks the swarf; never force it.", b.show(b.made.tapTo-leadIn(t, d)), b.show(leadIn(t, d)))
	if d.Through {
		why = "Until its tapered end is behind the part. Half a turn back breaks the swarf; never force it."
	}
	for k := 1; ; k++ {
		id, opening := "tap/cut", sequence.Cue(nil)
		if k > 1 {
			id, opening = fmt.Sprintf("tap/cut%d", k), sequence.Cue{sequence.WordEnlarge}
		}
		turns, err := d.Thread.Lead.Turns(b.made.tapTo)
		if err != nil {
			b.refuseAt(d.Pos, "take a thread of a usual pitch", "%v", err)
			return
		}
		b.add(id, sequence.Step{
			Opening: opening,
			Moves: []sequence.Move{sequence.Tailstock{
				Kind: sequence.TapTool, Diameter: d.Thread.Nominal, From: 0, To: b.made.tapTo, PerRev: d.Thread.Lead,
			}},
			Closing: sequence.Cue{sequence.WordTapOut}, Cautions: []sequence.Word{sequence.WordOilSteel},
			Hand: hand("oil") + time.Duration(turns.Float()*float64(tapTurn)), Why: why,
		})
		gauge := fmt.Sprintf("tap/gauge%d", k)
		b.add(gauge, sequence.Step{
			Needs: sequence.NeedFit, Phase: sequence.PhaseCheck, Hand: hand("thread_nut"),
			Moves: []sequence.Move{sequence.Gauge{What: d.Thread.String(), With: b.plugGauge(d.Thread), Inside: true}},
			Why:   "Brush clean first. It goes in by hand all the way.",
		})
		if b.readings.Fits[b.prefix()+gauge] != sequence.Tight {
			break
		}
		if k == 2 {
			b.refuseAt(d.Pos, "a fresh tap of the right class; do not force the screw", "%s is still tight after the tap went through it twice", d.Thread)
			return
		}
	}
	b.add("tap/power", sequence.Step{Moves: []sequence.Move{sequence.Supply{}}, Hand: hand("start_stop"), Why: "Wrench and tap out of the way first."})
	b.isolated = false
	b.hole = nil
}

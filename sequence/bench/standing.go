package bench

import (
	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/job"
)

// standing is the check that the spindle is not under power.
func (b *lathe) standing(doing string) {
	if b.turn == sequence.Forward || b.turn == sequence.Reverse {
		b.fault(Standing, "%s with the spindle turning %s", doing, b.turn)
	}
}

func (b *lathe) spindle(m sequence.Spindle) {
	switch m.Turn {
	case sequence.Stop, sequence.ByHand:
		b.settles(b.own.Coast)
		b.turn = m.Turn
		if m.Turn == sequence.Stop {
			b.lastTurn = sequence.Stop
		}
		return
	case sequence.Forward, sequence.Reverse:
	default:
		b.fault(Consistent, "the spindle cannot be told %q", m.Turn)
		return
	}
	if m.RPM > 0 {
		b.rpm = m.RPM
	}
	b.turns(b.rpm)
	switch {
	case b.isolated:
		b.fault(Standing, "the spindle is started with the supply isolated")
	case b.cover:
		b.fault(Standing, "the spindle is started with the gear cover open")
	case b.key:
		b.fault(Standing, "the spindle is started with the key in the chuck")
	case b.lastTurn != sequence.Stop && b.lastTurn != m.Turn:
		b.fault(Standing, "the spindle goes from %s to %s without standing still", b.lastTurn, m.Turn)
	case !b.held:
		b.fault(Consistent, "the spindle is started with no work held")
	}
	b.isolated, b.cover, b.key, b.held = false, false, false, true // said once
	if m.Turn == sequence.Reverse {
		if b.own.Reverse == job.ReverseNone {
			b.fault(Consistent, "this lathe cannot reverse its spindle")
		}
	}
	if m.Turn != b.cutsIn() {
		to := b.z()
		if b.nut { // the leadscrew takes the carriage with it
			if k := b.ownSection(); (m.Turn == sequence.Reverse) != (b.gears != nil && b.gears.Backward) {
				to = min(to, -b.job.Face)
			} else if k >= 0 {
				to = max(to, b.layout.body[k])
			}
		}
		b.clearOfWork(b.z(), to, "the spindle reverses")
	}
	b.turn, b.lastTurn = m.Turn, m.Turn
}

func (b *lathe) hold(m sequence.Hold) {
	b.standing("holding the work")
	switch m.Load {
	case "":
	case sequence.Round:
		b.turnRound(m)
		return
	default:
		b.loadNext(m)
	}
	if m.Support == "centre" {
		b.centre = true
		if m.How == "" {
			return
		}
	}
	if m.StickOut != b.job.StickOut && (m.StickOut != 0 || !b.held) {
		b.fault(Consistent, "the bar is held sticking out %s, the job says %s", m.StickOut, b.job.StickOut)
	}
	if !b.held {
		b.heldBy(m.StickOut)
		b.held, b.key = true, true
	}
}

func (b *lathe) fitGears(m sequence.Gears) {
	switch {
	case b.turn == sequence.Forward || b.turn == sequence.Reverse:
		b.fault(Standing, "gears are changed with the spindle turning %s", b.turn)
	case !b.isolated:
		b.fault(Standing, "gears are changed with the supply on")
	case !b.cover:
		b.fault(Standing, "gears are changed with the gear cover shut")
	}
	b.lost("the gears were changed", false)
	b.gears = nil
	lead, ok := b.train(m)
	if !ok {
		return
	}
	if lead != m.Lead {
		b.fault(Consistent, "these gears cut a lead of %s, the plan says %s", lead, m.Lead)
	}
	m.Lead = lead
	// Every mesh turns the motion round: with an odd number of them, and no tumbler to
	// put it right, the leadscrew turns against the spindle.
	if odd := (len(m.Drivers)+len(m.Idlers))%2 == 1; !b.own.Tumbler && odd != m.Backward {
		b.fault(Consistent, "these gears have %d meshes and there is no tumbler: the leadscrew turns the other way than the plan says", len(m.Drivers)+len(m.Idlers))
		m.Backward = odd
	}
	b.gears = &m
}

// train works out what a train cuts, from the leadscrew and the wheels alone.
func (b *lathe) train(m sequence.Gears) (calc.Lead, bool) {
	if len(m.Drivers) == 0 || len(m.Drivers) != len(m.Driven) {
		b.fault(Consistent, "a train of %d drivers and %d driven wheels turns nothing", len(m.Drivers), len(m.Driven))
		return calc.Lead{}, false
	}
	owned := map[int]int{}
	for _, z := range b.own.Wheels {
		owned[z]++
	}
	for _, set := range [][]int{m.Drivers, m.Driven, m.Idlers} {
		for _, z := range set {
			if owned[z]--; owned[z] < 0 {
				b.fault(Consistent, "one more wheel of %d teeth is used than the lathe has", z)
			}
		}
	}
	lead, ok := b.box(m)
	if !ok {
		return lead, false
	}
	for i := range m.Drivers {
		r, err := calc.NewRatio(int64(m.Drivers[i]), int64(m.Driven[i]))
		if err == nil {
			lead, err = lead.Times(r)
		}
		if err != nil {
			b.fault(Consistent, "%d driving %d: %v", m.Drivers[i], m.Driven[i], err)
			return calc.Lead{}, false
		}
	}
	return lead, lead.Sign() > 0
}

// box is the leadscrew's travel for a turn of the spindle were all change gears
// alike: through the fixed ratio in front of them and the gearbox behind.
func (b *lathe) box(m sequence.Gears) (calc.Lead, bool) {
	lead := b.own.Leadscrew
	ratios := []calc.Ratio{b.own.Fixed}
	known := m.Lever == "" && len(b.own.Levers) == 0
	for _, l := range b.own.Levers {
		if l.Name == m.Lever {
			ratios, known = append(ratios, l.Ratio), true
		}
	}
	if !known {
		b.fault(Consistent, "the gearbox has no position %q", m.Lever)
		return lead, false
	}
	for _, r := range ratios {
		if r.Sign() == 0 {
			continue
		}
		var err error
		if lead, err = lead.Times(r); err != nil {
			b.fault(Consistent, "a gearbox of %s: %v", r, err)
			return lead, false
		}
	}
	return lead, true
}

func (b *lathe) halfNut(m sequence.HalfNut) {
	switch {
	case m.Closed && b.feed:
		b.fault(InStep, "the half-nuts are shut with the power feed in")
	case !m.Closed && b.nut:
		b.settles(cutting.Coast{})
		b.lost("the half-nuts were opened", true)
	}
	if m.Closed && !b.nut {
		b.shutOn(m.Marks)
		b.grip.marks = m.Marks
	}
	b.nut = m.Closed
}

func (b *lathe) powerFeed(m sequence.PowerFeed) {
	if m.Engaged && b.nut {
		b.fault(InStep, "the power feed is put in with the half-nuts shut")
	}
	b.feed = m.Engaged
}

func (b *lathe) supply(m sequence.Supply) {
	if m.Isolated {
		b.standing("isolating the supply")
	}
	b.isolated = m.Isolated
}

func (b *lathe) guard(m sequence.Guard) {
	b.standing("touching the gear cover")
	b.cover = m.Open
}

func (b *lathe) chuckKey(m sequence.ChuckKey) {
	b.standing("the chuck key")
	b.key = m.In
}

// screwed says that the chuck is screwed on and can unscrew in reverse.
func (b *lathe) screwed() bool { return b.own.Chuck == job.ChuckScrewed }

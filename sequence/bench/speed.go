package bench

import (
	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
)

// slipOfSpeed is how far above a limit a speed may be: figures are rounded.
const slipOfSpeed = 1.0005

// turns is the check of a spindle speed against what the lathe and its chuck have.
func (b *lathe) turns(n calc.Speed) {
	if n <= 0 {
		return
	}
	if most := b.own.ChuckLimit; most > 0 && n > most {
		b.fault(WithinPower, "the spindle is to turn at %s, the chuck is good for %s", n, most)
	}
	if len(b.own.Speeds) == 0 || b.own.Speeds.Check() != nil {
		return
	}
	if fastest := b.own.Speeds.Fastest(); n > fastest {
		b.fault(WithinPower, "the spindle is to turn at %s, its fastest is %s", n, fastest)
	} else if err := b.own.Speeds.Runs(n); err != nil {
		b.fault(Consistent, "%v", err)
	}
}

// fast is the check that a cut on a diameter is no faster than the material allows
// with the tool's steel: the upper end of the published range.
func (b *lathe) fast(op cutting.Op, kind sequence.ToolKind, diameter calc.Length, doing string) {
	if b.rpm <= 0 || b.turn != sequence.Forward && b.turn != sequence.Reverse || b.job.Material.ID == "" {
		return
	}
	steel := b.steel(kind)
	r, err := b.job.Material.Speed(steel, op)
	if err != nil {
		return
	}
	if v := b.rpm.Surface(diameter); float64(v) > float64(r.Max)*slipOfSpeed {
		b.fault(WithinPower, "%s %s at %s is %s, and with %s it stands %s at most", doing, diameter, b.rpm, v, steel, r.Max)
	}
}

// stopRoom is what is kept free in a groove beside tool and overrun (0.5 to 1 mm is
// common practice).
const stopRoom = 500 * um

// stops is the check that the carriage can be stopped in the groove a pass under power
// runs into: from seeing the tool there to standing still, with the delay of the hand
// and the coast of the spindle; the half-nuts opened instead need no coast.
func (b *lathe) stops(m sequence.Carriage, room calc.Length) {
	if b.turn != sequence.Forward && b.turn != sequence.Reverse || b.rpm <= 0 || room >= far {
		return
	}
	s := cutting.Stop{Lead: m.PerRev, Delay: b.own.Delay, Coast: b.own.Coast}
	how := "stand still"
	if b.opensNext(m) {
		s.Coast, how = cutting.Coast{}, "be let go"
	}
	if s.Check() != nil {
		return
	}
	run := s.Travel(b.rpm)
	if left := cutting.Room(room, b.tool.width, stopRoom); run > left+same {
		b.fault(WithinPower, "at %s the carriage runs on %s before it can %s, and the groove of %s leaves %s beside the tool of %s and %s of air: %s too little",
			b.rpm, run, how, room, left, b.tool.width, stopRoom, run-left)
	}
}

// opensNext says that a pass ends by opening the half-nuts.
func (b *lathe) opensNext(pass sequence.Carriage) bool {
	past := false
	for _, m := range b.step.Moves {
		switch m := m.(type) {
		case sequence.Carriage:
			past = past || m == pass
		case sequence.HalfNut:
			if past {
				return !m.Closed
			}
		case sequence.Spindle:
			if past {
				return false
			}
		}
	}
	return false
}

package bench

import (
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

func only(t *testing.T, r Result, rule int, step string) {
	t.Helper()
	if len(r.Broken) != 1 || r.Broken[0].Rule != rule || r.Broken[0].StepID != step {
		t.Errorf("want rule %d at %s and nothing else, got:\n%v", rule, step, r.Err())
	}
}

// Every size out of its limits is named at the step that left it so.
func TestSizesOutOfLimits(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*cuts)
		rule  int
		step  string
		says  string
	}{
		{"nose under size", func(c *cuts) { c.nose = 15920 * um }, ToSize, "nose/finish2/cut", "0.037 mm under"},
		{"nose over size", func(c *cuts) { c.nose = 16040 * um }, ToSize, "nose/finish2/cut", "0.04 mm over"},
		{"collar under size", func(c *cuts) { c.collar = 19760 * um }, ToSize, "collar/finish2/cut", "0.04 mm under"},
		{"nose short", func(c *cuts) { c.shoulder, c.part = 19790*um, 29950*um }, ToSize, "nose/shoulder/cut", "0.01 mm under"},
		{"shoulder past its limit", func(c *cuts) { c.shoulder = 20500 * um }, WithinLimits, "nose/shoulder/cut", "0.3 mm into section collar"},
		{"chamfer too large", func(c *cuts) { c.chamfer = 1300 * um }, ToSize, "nose/chamfer/cut", "0.1 mm over"},
		{"chamfer too small", func(c *cuts) { c.chamfer = 780 * um }, ToSize, "nose/chamfer/cut", "0.02 mm under"},
		{"part too long", func(c *cuts) { c.part = 30300 * um }, ToSize, "part/out", "0.1 mm over"},
		{"parted inside the part", func(c *cuts) { c.part = 29 * mm }, WithinLimits, "part/cut", "0.6 mm into section collar"},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, j, k := smallLathe(), spigot(), rightCuts()
			c.spoil(&k)
			r := Run(spigotCut(l, k), j, l)
			only(t, r, c.rule, c.step)
			if err := r.Err(); err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("error %v does not say %q", err, c.says)
			}
		})
	}
}

// M10x1-6g from 9.88 mm with a radius of 0.14 mm: pitch diameter 9.212 to 9.324
// (ISO 965-2) gives depths of 0.571 to 0.627 mm.
func TestThreadDepthWindow(t *testing.T) {
	l := smallLathe()
	for last, wrong := range map[calc.Length]bool{560 * um: true, 580 * um: false, 620 * um: false, 640 * um: true} {
		d := append(slices.Clone(studDepths[:6]), last)
		r := Run(studPlan(l, d...), stud(), l)
		if wrong {
			only(t, r, ToSize, "stem/thread/pass7/cut")
		} else {
			mustPass(t, r)
		}
	}
}

func TestNeverPartedOff(t *testing.T) {
	l, j := smallLathe(), spigot()
	p := spigotPlan(l)
	p.Steps = p.Steps[:p.Index("part/tool")]
	only(t, Run(p, j, l), ToSize, p.Steps[len(p.Steps)-1].ID)
}

func TestThreadNeverCut(t *testing.T) {
	l := smallLathe()
	p := studPlan(l)
	only(t, Run(p, stud(), l), ToSize, "stem/thread/open")
}

func TestErrIsOneLineABreak(t *testing.T) {
	l, j := smallLathe(), spigot()
	p := spigotPlan(l)
	drop(at(t, p, "nose/finish1/check"), 0)
	drop(at(t, p, "collar/finish1/check"), 0)
	err := Run(p, j, l).Err()
	want := "step 16 collar/finish1/check: shop rule 6: measuring with the spindle turning forward\n" +
		"step 32 nose/finish1/check: shop rule 6: measuring with the spindle turning forward"
	if err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if err := Run(spigotPlan(l), j, l).Err(); err != nil {
		t.Errorf("a right plan: %v", err)
	}
}

func TestTimeCountsCuts(t *testing.T) {
	l, j := smallLathe(), stud()
	p := studPlan(l, studDepths...)
	without := Run(p, j, l).Time
	// One pass at 60 rpm more: 23.5 turns out and 23.5 back, 47 s, and 4 s of hands.
	with := Run(studPlan(l, append(slices.Clone(studDepths), 600*um)...), j, l).Time
	if d := (with - without).Seconds(); d < 50.99 || d > 51.01 {
		t.Errorf("a pass takes %.3f s, want 51", d)
	}
}

// A reading is believed: the ring is put right by it, and the section comes out
// at the size the plan then aims for.
func TestReadingPutsTheRingRight(t *testing.T) {
	l, j := smallLathe(), spigot()
	plan := func(got calc.Length, aim calc.Length, corrected bool) *sequence.Plan {
		p := spigotPlan(l)
		at(t, p, "nose/finish1/check").Measure.Got = &got
		set, back := at(t, p, "nose/finish2/set"), at(t, p, "nose/finish2/back")
		s, b := set.Moves[0].(sequence.Shift), back.Moves[0].(sequence.Shift)
		off := calc.Length(0)
		if corrected {
			off = got - 16360*um
		}
		s.X, b.X = aim, aim+4*mm-2*l.Cross.Slack
		s.Dial = dialAt(l.Cross, (22*mm+off-s.X)/2)
		b.Dial = dialAt(l.Cross, (22*mm+off-b.X)/2-l.Cross.Slack)
		set.Moves[0], back.Moves[0] = s, b
		for i := p.Index("nose/shoulder/stand"); i < len(p.Steps); i++ {
			for k, m := range p.Steps[i].Moves {
				switch m := m.(type) {
				case sequence.Plunge:
					if m.To == 15960*um {
						m.To, m.Dial = aim, dialAt(l.Cross, (22*mm+off-aim)/2)
						p.Steps[i].Moves[k] = m
					}
					if m.From == 15960*um {
						m.From = aim
						p.Steps[i].Moves[k] = m
					}
				case sequence.Zero:
					if m.On == sequence.OnCorner {
						m.X = aim
						p.Steps[i].Moves[k] = m
					}
				case sequence.Shift:
					if p.Steps[i].ID == "nose/shoulder/stand" {
						m.Dial = dialAt(l.Cross, (22*mm+off-m.X)/2-l.Cross.Slack)
						p.Steps[i].Moves[k] = m
					}
				}
			}
		}
		c := at(t, p, "nose/chamfer/cut")
		m := c.Moves[0].(sequence.Plunge)
		m.From, m.To = aim, aim-2*mm
		m.Dial = dialAt(l.Cross, mm)
		c.Moves[0] = m
		o := at(t, p, "nose/chamfer/out")
		n := o.Moves[0].(sequence.Plunge)
		n.From = aim - 2*mm
		o.Moves[0] = n
		return p
	}
	// Read 0.06 over: the last cut goes in by the ring for 15.98.
	r := Run(plan(16420*um, 15980*um, true), j, l)
	mustPass(t, r)
	if d := r.Profile.At(10 * mm); d != 15980*um {
		t.Errorf("nose is %s, want 15.98 mm", d)
	}
	// The same reading and the old ring setting: the plan does not use what it was told.
	r = Run(plan(16420*um, 15980*um, false), j, l)
	if len(r.Broken) == 0 || r.Broken[0].Rule != Consistent || r.Broken[0].StepID != "nose/finish2/set" {
		t.Errorf("a ring setting without the reading: %v", r.Err())
	}
}

// A length that was read moves the shoulder, and the top slide makes up the rest.
func TestLengthReadingMovesTheShoulder(t *testing.T) {
	l, j := smallLathe(), spigot()
	p := spigotPlan(l)
	got := 19600 * um // the carriage stopped a tenth short
	z := at(t, p, "nose/shoulder/stand")
	z.Needs = sequence.NeedReading
	z.Moves = append(z.Moves, stop, sequence.Inspect{What: sequence.MeasureLength})
	z.Measure = &sequence.Measure{What: sequence.MeasureLength, Nominal: 19700 * um, Min: 19 * mm, Max: 20 * mm, Unit: mm, Got: &got}
	at(t, p, "nose/shoulder/zero").Moves = []sequence.Move{sequence.Spindle{Turn: sequence.Forward, RPM: 400 * calc.RPM},
		sequence.Zero{Slide: sequence.Top, Z: got, On: sequence.InPlace}}
	s := at(t, p, "nose/shoulder/set")
	m := s.Moves[0].(sequence.Shift)
	m.Dial = dialAt(l.Top, 400*um)
	s.Moves[0] = m
	mustPass(t, Run(p, j, l))
}

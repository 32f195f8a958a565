package planner_test

import (
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
)

// The nut of Tr 16x8(P4) by ISO 2904: its bore begins at the minor diameter of the nut,
// which is the nominal less the pitch; its root passes the major diameter of the nut,
// which is the nominal and the clearance at the crest twice. As printed, and by the rules.
func TestPressNutSizes(t *testing.T) {
	j, l := read(t, "press-nut", "toolroom")
	row := func(what string) calc.Length {
		v, err := strconv.ParseFloat(printed(t, "other_families.csv", "Tr_ISO2904", "Tr16x4", "mm", what), 64)
		if err != nil {
			t.Fatal(err)
		}
		return calc.Millimetres(v)
	}
	d, p := 16*mm, 4*mm
	for what, rule := range map[string]calc.Length{"minor_int_D1": d - p, "major_int_D4": d + 2*row("clearance_ac"), "pitch_d2_D2": d - p/2} {
		if row(what) != rule {
			t.Errorf("%s: printed %s, by the rule %s", what, row(what), rule)
		}
	}
	made := plan(t, j, l, sequence.Readings{})
	r := bench.Run(made, j, l)
	if err := r.Err(); err != nil {
		t.Fatal(err)
	}
	bore, starts := calc.Length(0), 0
	for _, s := range r.Sizes {
		switch {
		case s.What == "bore":
			bore = s.Got
			if s.Min != row("minor_int_D1") {
				t.Errorf("the bore begins at %s", s.Min)
			}
		case strings.HasPrefix(s.What, "thread depth of start "):
			starts++
			if root := bore + 2*s.Got; root < row("major_int_D4") {
				t.Errorf("%s: the root lies at %s", s.What, root)
			}
			// At the depth cut a tool with flanks of 30 degrees and a flat of 1.35 mm leaves a
			// groove of half a pitch on the pitch diameter, within its tolerance.
			const tan15 = 0.267949
			wide := 1.35 + 2*tan15*((bore+2*s.Got-row("pitch_d2_D2")).Millimetres()/2)
			if tolerance := 0.355; wide < 2 || wide > 2+tan15*tolerance+0.01 {
				t.Errorf("%s: the groove is %.3f mm wide on the pitch diameter", s.What, wide)
			}
		}
	}
	if starts != 2 {
		t.Errorf("%d starts", starts)
	}
	if g := step(t, made, "bore1/gears/fit").Moves[0].(sequence.Gears); g.Lead != calc.PerTurn(8*mm) {
		t.Errorf("gears for %s", g.Lead)
	}
}

// One thing put wrong in a nut of two starts is named.
func TestInsideStartsSpoilt(t *testing.T) {
	j, l := read(t, "press-nut", "toolroom")
	p := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	index := func(by calc.Length) func(*testing.T, *sequence.Plan) {
		return change("bore1/thread/start2/index", func(m *sequence.Shift) {
			m.Z += by
			m.Dial = nil
		})
	}
	for _, s := range []struct {
		name  string
		rule  int
		at    string
		spoil func(*testing.T, *sequence.Plan)
	}{
		{"half a pitch on", bench.InStep, "bore1/thread/start2/pass1/cut", index(-2 * mm)},
		{"a tenth beside", bench.InStep, "bore1/thread/start2/pass1/cut", index(100 * um)},
		{"not moved on at all", bench.ToSize, "bore1/thread/open", func(t *testing.T, p *sequence.Plan) {
			gone("bore1/thread/start2/index")(t, p)
			for i := range p.Steps {
				for k, m := range p.Steps[i].Moves {
					if m, ok := m.(sequence.Carriage); ok && m.From == -25*mm {
						m.From = -29 * mm
						p.Steps[i].Moves[k] = m
					} else if ok && m.To == -25*mm {
						m.To = -29 * mm
						p.Steps[i].Moves[k] = m
					}
				}
			}
		}},
		{"top slide brought back to the place", bench.FromOneSide, "bore1/thread/start2/index", change("bore1/thread/start2/index", func(m *sequence.Shift) { m.Approach = sequence.Out })},
		{"tool for another thread", bench.ToSize, "bore1/thread/scratch/cut", change("bore1/thread/tool", func(m *sequence.Mount) { m.Angle = 60 * calc.Degree })},
		{"gears for the pitch", bench.ToSize, "bore1/thread/scratch/cut", change("bore1/gears/fit", func(m *sequence.Gears) { m.Drivers, m.Driven, m.Lead = []int{80}, []int{60}, calc.PerTurn(4*mm) })},
		{"half-nuts opened between the starts", bench.InStep, "bore1/thread/start2/pass1/set", put("bore1/thread/start2/pass1/set", sequence.HalfNut{}, sequence.HalfNut{Closed: true})},
		{"second start not cleared", bench.ToolClear, "bore1/thread/start2/pass3/return", gone("bore1/thread/start2/pass3/clear")},
		{"second start too deep", bench.ToSize, "bore1/thread/start2/spring1/cut", all(
			shiftOf("bore1/thread/start2/spring1/set", sequence.Out, func(m *sequence.Shift) { m.X, m.Dial = m.X+400*um, nil }),
			shiftOf("bore1/thread/start2/spring1/clear", sequence.In, func(m *sequence.Shift) { m.X, m.Dial = m.X+400*um, nil }))},
		{"cranked with the supply on", bench.Standing, "bore1/thread/scratch/cut", leave[sequence.Supply]("bore1/gears/isolate")},
	} {
		t.Run(s.name, func(t *testing.T) { named(t, spoiltBy(t, p, s.spoil), j, l, s.rule, s.at) })
	}
}

// A tight gauge takes one more pass along every start of a nut.
func TestOneMoreForEveryStartInside(t *testing.T) {
	j, l := read(t, "press-nut", "toolroom")
	p := plan(t, j, l, sequence.Readings{Fits: map[string]sequence.Fit{"bore1/thread/gauge1": sequence.Tight, "bore1/thread/gauge2": sequence.Tight}})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"bore1/thread/more1/start2/cut", "bore1/thread/more1/start1/cut", "bore1/thread/more2/start1/cut", "bore1/thread/more2/start2/cut"} {
		if p.Index(id) < 0 {
			t.Errorf("no %s", id)
		}
	}
}

// C112, C113 in a nut: gears for the lead, the next start one pitch on by the top slide,
// the half-nuts shut throughout.
func TestInsideStartsCases(t *testing.T) {
	for _, c := range []struct {
		id, screw, thread string
		lead, shift       calc.Length
		starts            int
	}{
		{"C112", "1.5 mm", "M20xPh4P1-6H", 4 * mm, mm, 4},
		{"C113", "8 tpi", "1-8 UNC-2B 2 starts", calc.Inch / 4, calc.Inch / 8, 2},
	} {
		t.Run(c.id, func(t *testing.T) {
			_, l := read(t, "press-nut", "toolroom")
			l.Leadscrew = lead(t, c.screw)
			if strings.HasSuffix(c.screw, "tpi") {
				_, inch := read(t, "inch-pin", "inch16")
				l.Top = inch.Top
			}
			p := made(t, "bar = \"38 mm\"\nstickout = \"50 mm\"\npart_off = true\nthreading = \"crank\"\n",
				"[[section]]\ndiameter = \"36 mm\"\nlength = \"12 mm\"\n[[bore]]\nthread = \""+c.thread+"\"\nthrough = true\n", l)
			if g := step(t, p, "bore1/gears/fit").Moves[0].(sequence.Gears); g.Lead != calc.PerTurn(c.lead) {
				t.Errorf("gears for %s", g.Lead)
			}
			at, n, shut := calc.Length(0), 1, 0
			for i := range p.Steps {
				s := &p.Steps[i]
				for _, m := range s.Moves {
					switch m := m.(type) {
					case sequence.HalfNut:
						shut++
					case sequence.Carriage:
						if m.By != sequence.ByHalfNut || !m.Cutting || s.Pass != 2 {
							break
						}
						if at != 0 && m.From != at {
							if off := (m.From - at - c.shift).Abs(); off > 500 {
								t.Errorf("start %d lies %s on", n+1, m.From-at)
							}
							n++
						}
						at = m.From
					}
				}
			}
			if n != c.starts || shut != 2 {
				t.Errorf("%d starts, half-nuts moved %d times", n, shut)
			}
		})
	}
}

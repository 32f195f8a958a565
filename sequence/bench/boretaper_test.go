package bench

import (
	"math/rand/v2"
	"testing"

	"turncue/calc"
	"turncue/calc/setup"
	"turncue/sequence"
	"turncue/sequence/job"
)

// slope is a move or a measure of work on a cone, outside or in a bore, likely or not.
func (r random) slope(s *sequence.Step) {
	narrows := r.IntN(3) > 0
	half := pick(r, 2*calc.Degree, 2*calc.Degree, 2*calc.Degree, calc.Degree/2, 0, -calc.Degree, 70*calc.Degree, calc.Angle(r.Uint64()))
	some := func() calc.Length { return pick(r, r.length(), calc.Length(r.IntN(300)-30)*100*um) }
	var m sequence.Move
	switch r.IntN(9) {
	case 0:
		m = sequence.Mount{Kind: pick(r, sequence.BoringTool, sequence.TurningTool), Inside: r.IntN(4) > 0, Diameter: pick(r, 8*mm, r.length()), Overhang: 30 * mm}
	case 1:
		m = sequence.Spindle{Turn: sequence.Forward, RPM: 300 * calc.RPM}
	case 2:
		m = sequence.Swivel{Angle: half, Narrows: narrows, Travel: pick(r, 0, 50*mm), Rise: pick(r, 0, 1745*um)}
	case 3:
		m = sequence.Zero{Slide: sequence.Top, Z: pick(r, 0, r.length()), On: sequence.OnEnd}
	case 4:
		m = sequence.Zero{Slide: sequence.Cross, X: pick(r, 12*mm, r.length()), On: pick(r, sequence.OnBore, sequence.OnDiameter)}
	case 5:
		m = sequence.Tailstock{Kind: pick(r, sequence.DrillTool, sequence.CentreDrillTool), Diameter: pick(r, 12*mm, 2*mm, r.length()), To: some()}
	case 6:
		m = sequence.Mount{Kind: sequence.DrillTool, Diameter: 12 * mm}
	default:
		m = sequence.Shift{Slide: sequence.Top, X: some(), Z: some(), Angle: half, Narrows: narrows, Approach: pick(r, sequence.In, sequence.Out), PerRev: r.lead(), Dial: r.dial()}
	}
	s.Moves = append(s.Moves, m)
	if r.IntN(3) == 0 {
		got := some()
		s.Needs = sequence.NeedReading
		s.Measure = &sequence.Measure{What: pick(r, sequence.MeasureMouth, sequence.MeasureWithin, sequence.MeasureSmall, sequence.MeasureAlong), At: some(), Got: &got, Final: r.IntN(3) == 0}
	}
}

// Random work on cones outside and in bores: never a panic, never impossible work or an
// impossible hole, the same answer twice.
func TestRandomWorkOnCones(t *testing.T) {
	by := setup.Taper{Change: mm, Length: 14 * mm} // about 2 degrees half
	coned := 0
	for seed := range uint64(1200) {
		r := random{rand.New(rand.NewPCG(seed, 12))}
		l, j := smallLathe(), spigot()
		j.Bores = []job.Bore{{Name: "bore1", Diameter: plusMinus(16*mm, 100*um), Depth: plusMinus(14*mm, 200*um), By: job.ByBore,
			Taper: &job.Taper{By: by, Small: plusMinus(15*mm, 100*um), Half: calc.Degree / 4}}}
		if seed%2 == 0 {
			j.Sections[0].Taper = &job.Taper{By: by, Small: plusMinus(j.Sections[0].Diameter.Nominal-mm, 100*um), Half: calc.Degree / 4}
		}
		p := &sequence.Plan{}
		for i := range 60 {
			s := sequence.Step{N: i + 1, ID: "x", Section: pick(r, "bore1", "bore1", j.Sections[0].Name)}
			for range 1 + r.IntN(3) {
				r.slope(&s)
			}
			p.Steps = append(p.Steps, s)
		}
		a, b := Run(p, j, l), Run(p, j, l)
		whole(t, seed, a.Profile)
		whole(t, seed, a.Bore)
		if len(a.Bore) > 0 && a.Bore[0].Left > a.Bore[0].Right {
			coned++
		}
		if (a.Err() == nil) != (b.Err() == nil) || a.Err() != nil && a.Err().Error() != b.Err().Error() {
			t.Fatalf("seed %d: two answers:\n%v\n\n%v", seed, a.Err(), b.Err())
		}
	}
	if coned < 50 {
		t.Errorf("only %d of the holes have a cone at their mouth", coned)
	}
}

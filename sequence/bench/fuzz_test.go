package bench

import (
	"math/rand/v2"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// random makes moves of all kinds, sane ones and ones that no lathe has.
type random struct{ *rand.Rand }

func pick[T any](r random, of ...T) T { return of[r.IntN(len(of))] }

func (r random) length() calc.Length {
	switch r.IntN(20) {
	case 0:
		return calc.Length(r.Uint64())
	case 1:
		return 0
	case 2:
		return pick(r, 22*mm, 20*mm, 15960*um, 9880*um, -500*um)
	}
	return calc.Length(r.IntN(800)-100) * 100 * um
}

func (r random) dial() *sequence.Dial {
	if r.IntN(2) == 0 {
		return nil
	}
	return &sequence.Dial{Turns: r.IntN(40) - 20, Reading: r.length(), Division: pick(r, 20*um, 10*um, 0), Unit: mm, OnDiameter: r.IntN(5) == 0}
}

func (r random) lead() calc.Lead {
	return pick(r, calc.Lead{}, calc.PerTurn(mm), calc.PerTurn(100*um), calc.PerTurn(r.length()))
}

func (r random) move() sequence.Move {
	rot := pick(r, sequence.Clockwise, sequence.Anticlockwise, sequence.Rotation(""))
	switch r.IntN(18) {
	case 0:
		return sequence.Spindle{Turn: pick(r, sequence.Forward, sequence.Reverse, sequence.Stop, sequence.ByHand, "sideways"), RPM: calc.Speed(r.IntN(2000)) * calc.RPM}
	case 1:
		return sequence.Hold{How: "three-jaw chuck", StickOut: pick(r, 60*mm, r.length()), Support: pick(r, "", "centre")}
	case 2, 3:
		return sequence.Mount{Kind: pick(r, sequence.TurningTool, sequence.GroovingTool, sequence.ChamferTool, sequence.ThreadingTool,
			sequence.PartingTool, sequence.CentreDrillTool, sequence.KnurlingTool, "spoon"), Width: pick(r, 0, 2*mm, r.length()), Pitch: pick(r, 0, mm, r.length()), Clamp: r.IntN(2) == 0, Tip: pick(r, "", "sharp", "radius 0.14 mm", "blunt")}
	case 4:
		return sequence.Gears{Drivers: pick(r, []int{60, 30}, []int{20}, []int{0}, nil), Driven: pick(r, []int{45, 60}, []int{60}, []int{0}, nil), Lead: r.lead()}
	case 5:
		return sequence.HalfNut{Closed: r.IntN(2) == 0}
	case 6:
		return pick[sequence.Move](r, sequence.PowerFeed{Engaged: r.IntN(2) == 0}, sequence.Supply{Isolated: r.IntN(2) == 0},
			sequence.Guard{Open: r.IntN(2) == 0}, sequence.ChuckKey{In: r.IntN(2) == 0},
			sequence.TaperSlide{Clamped: r.IntN(3) > 0, Angle: pick(r, 0, calc.Radians(1.0/32), 60*calc.Degree, -calc.Degree), Travel: pick(r, 0, 50*mm, r.length()), Rise: r.length()}, nil)
	case 7, 8:
		return sequence.Zero{Slide: pick(r, sequence.Cross, sequence.Top, sequence.CarriageWays, sequence.ClampNut, "mirror"), X: r.length(), Z: r.length(),
			On: pick(r, sequence.OnDiameter, sequence.OnEnd, sequence.OnShoulder, sequence.OnCorner, sequence.InPlace, "air")}
	case 9, 10, 11:
		return sequence.Shift{Slide: pick(r, sequence.Cross, sequence.Top, sequence.CarriageWays), X: r.length(), Z: r.length(), Dial: r.dial(),
			Approach: pick(r, sequence.In, sequence.Out, ""), WholeTurns: r.IntN(4), Handle: rot}
	case 12, 13:
		return sequence.Carriage{From: r.length(), To: r.length(), By: pick(r, sequence.ByHalfNut, sequence.ByPowerFeed, sequence.ByHandwheel, "rope"),
			Dial: r.dial(), PerRev: r.lead(), Cutting: r.IntN(2) == 0}
	case 16:
		return sequence.Clamp{From: r.length(), To: r.length(), Turns: pick(r, calc.Ratio{}, calc.Whole(1), calc.Whole(-3)), PerRev: r.lead()}
	case 14, 15:
		return sequence.Plunge{From: r.length(), To: r.length(), Z: r.length(), Dial: r.dial(), PerRev: r.lead(), Handle: rot}
	}
	return pick[sequence.Move](r, sequence.Tailstock{Kind: sequence.CentreDrillTool, Diameter: r.length(), From: r.length(), To: r.length()},
		sequence.Gauge{}, sequence.Inspect{})
}

func (r random) plan(n int) *sequence.Plan {
	p := &sequence.Plan{}
	for i := range n {
		s := sequence.Step{N: i + 1, ID: "x", Section: pick(r, "", "nose", "collar", "stem", "head", "nowhere")}
		for range r.IntN(4) {
			s.Moves = append(s.Moves, r.move())
		}
		if r.IntN(5) == 0 {
			got := r.length()
			s.Measure = &sequence.Measure{What: pick(r, sequence.MeasureDiameter, sequence.MeasureGroove, sequence.MeasureLength,
				sequence.MeasureEdge, sequence.MeasureThreads, sequence.MeasureKnurl, "mood"), Final: r.IntN(2) == 0}
			if r.IntN(2) == 0 {
				s.Measure.Got = &got
			}
			s.Needs = sequence.NeedReading
		}
		p.Steps = append(p.Steps, s)
	}
	return p
}

// whole is what holds of any work, however it was treated.
func whole(t *testing.T, seed uint64, p Profile) {
	t.Helper()
	for i, q := range p {
		if q.To <= q.From || q.Left < 0 || q.Right < 0 || (i > 0 && q.From < p[i-1].To) {
			t.Fatalf("seed %d: impossible work: %v", seed, p)
		}
	}
}

// Random moves in random order, and the right plans with random moves in them:
// never a panic, never impossible work, the same answer twice.
func TestRandomMoves(t *testing.T) {
	for seed := range uint64(1500) {
		r := random{rand.New(rand.NewPCG(seed, 9))}
		l := smallLathe()
		j, p := spigot(), r.plan(60)
		switch seed % 3 {
		case 1:
			p = spigotPlan(l)
		case 2:
			j, p = stud(), studPlan(l, studDepths...)
		}
		if seed%3 != 0 {
			for range 1 + r.IntN(6) {
				s := &p.Steps[r.IntN(len(p.Steps))]
				s.Moves = append(append([]sequence.Move{}, s.Moves...), r.move())
			}
		}
		a, b := Run(p, j, l), Run(p, j, l)
		whole(t, seed, a.Profile)
		whole(t, seed, a.Rest)
		if (a.Err() == nil) != (b.Err() == nil) || (a.Err() != nil && a.Err().Error() != b.Err().Error()) || a.Time != b.Time {
			t.Fatalf("seed %d: two answers:\n%v\n\n%v", seed, a.Err(), b.Err())
		}
	}
}

func FuzzMoves(f *testing.F) {
	f.Add(uint64(1), uint8(20))
	f.Fuzz(func(t *testing.T, seed uint64, n uint8) {
		r := random{rand.New(rand.NewPCG(seed, 11))}
		j := pick(r, spigot(), stud())
		l := smallLathe()
		whole(t, seed, Run(r.plan(int(n)), j, l).Profile)
	})
}

func TestNothingToRun(t *testing.T) {
	l := smallLathe()
	for _, r := range []Result{
		Run(nil, spigot(), l), Run(&sequence.Plan{}, nil, l), Run(&sequence.Plan{}, spigot(), nil),
		Run(&sequence.Plan{}, &job.Job{}, l), Run(&sequence.Plan{}, spigot(), &job.Lathe{}),
		Run(&sequence.Plan{}, spigot(), l),
	} {
		if r.Err() == nil {
			t.Error("nothing was found wrong with nothing")
		}
	}
}

// long is a plan of about n steps: cuts of a hundredth, over and over.
func long(l *job.Lathe, n int) *sequence.Plan {
	w := begin(l, spigot())
	w.section = "nose"
	for i := 0; len(w.plan.Steps) < n; i++ {
		w.turn("cut", sequence.OpRough, 22*mm-calc.Length(i%100)*20*um, 20*mm)
	}
	return w.plan
}

func benchmarkRun(b *testing.B, n int) {
	l, j := smallLathe(), spigot()
	p := long(l, n)
	b.ReportAllocs()
	for b.Loop() {
		Run(p, j, l)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(p.Steps)), "ns/step")
}

func BenchmarkRun500(b *testing.B)  { benchmarkRun(b, 500) }
func BenchmarkRun5000(b *testing.B) { benchmarkRun(b, 5000) }

func BenchmarkStud(b *testing.B) {
	l, j := smallLathe(), stud()
	p := studPlan(l, studDepths...)
	for b.Loop() {
		Run(p, j, l)
	}
}

package cutting

import (
	"math"
	"strings"
	"testing"
	"time"

	"turncue/calc"
)

func TestChooseSpeed(t *testing.T) {
	knob := Speeds{{Name: "low", Min: 50 * calc.RPM, Max: 1100 * calc.RPM}, {Name: "high", Min: 120 * calc.RPM, Max: 2500 * calc.RPM}}
	for _, c := range []struct {
		name string
		want calc.Speed
		have Speeds
		get  calc.Speed
		band string
		fast bool
	}{
		{"between two belts", 477 * calc.RPM, Fixed(100*calc.RPM, 400*calc.RPM, 250*calc.RPM, 600*calc.RPM), 400 * calc.RPM, "", false},
		{"just there", 400 * calc.RPM, Fixed(100*calc.RPM, 400*calc.RPM), 400 * calc.RPM, "", false},
		{"below the slowest", 60 * calc.RPM, Fixed(100*calc.RPM, 400*calc.RPM), 100 * calc.RPM, "", true},
		{"knob rounds down to ten", 477_400, knob, 470 * calc.RPM, "low", false},
		{"knob rounds down to five when slow", 58 * calc.RPM, knob, 55 * calc.RPM, "low", false},
		{"only the high belt", 1500 * calc.RPM, knob, 1500 * calc.RPM, "high", false},
		{"above all", 9000 * calc.RPM, knob, 2500 * calc.RPM, "high", false},
		{"the knob's end", 50 * calc.RPM, knob, 50 * calc.RPM, "low", false},
		{"below the knob", 20 * calc.RPM, knob, 50 * calc.RPM, "low", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := c.have.Choose(c.want)
			must(t, err)
			if got.Speed != c.get || got.Band.Name != c.band || got.Fast != c.fast || got.Ruled == "" {
				t.Errorf("got %+v", got)
			}
		})
	}
	for name, bad := range map[string]Speeds{
		"none": nil, "zero": Fixed(0), "turned round": Between(500*calc.RPM, 100*calc.RPM), "impossible": Between(100*calc.RPM, 90000*calc.RPM),
	} {
		if _, err := bad.Choose(100 * calc.RPM); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if _, _, err := Pick(0, knob); err == nil {
		t.Error("no speed wanted: accepted")
	}
}

func TestSpeedsRefused(t *testing.T) {
	belts := Fixed(70*calc.RPM, 115*calc.RPM, 200*calc.RPM)
	for n, want := range map[calc.Speed]string{60 * calc.RPM: "slowest is 70 rpm", 100 * calc.RPM: "it has 70 rpm and 115 rpm", 201 * calc.RPM: "fastest is 200 rpm"} {
		if err := belts.Runs(n); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v does not say %q", n, err, want)
		}
	}
	if err := belts.Runs(115 * calc.RPM); err != nil {
		t.Error(err)
	}
	if err := Between(50*calc.RPM, 1100*calc.RPM).Runs(777 * calc.RPM); err != nil {
		t.Error(err)
	}
	if Speeds(nil).Runs(1) == nil {
		t.Error("no speeds: accepted")
	}
}

// TestMaterialsNameTheirSources: every figure says where it is from.
func TestMaterialsNameTheirSources(t *testing.T) {
	for _, m := range materials {
		if m.ForceFrom == "" || (m.SpeedsFrom == "") != (m.SpeedsAs != "") {
			t.Errorf("%s: force from %q, speeds from %q, speeds as %q", m.ID, m.ForceFrom, m.SpeedsFrom, m.SpeedsAs)
		}
	}
}

func TestSpeedOfOwnMaterial(t *testing.T) {
	own := Material{Name: "bar from the bin", Speeds: map[Op]calc.SurfaceSpeed{Turn: 40 * calc.MetrePerMinute, Drill: 20 * calc.MetrePerMinute}}
	for op, want := range map[Op]calc.SurfaceSpeed{Turn: mpm(40), Face: mpm(40), Drill: mpm(20), Thread: mpm(13.2), Part: mpm(16)} {
		r, err := own.Speed(HSS, op)
		must(t, err)
		if r.Start != want {
			t.Errorf("%s: %s", op, r.Start)
		}
	}
	if _, err := own.Speed(Carbide, Turn); err == nil {
		t.Error("a speed with carbide out of nothing")
	}
	if _, err := material(t, "mild_steel").Speed(Carbide, Drill); err == nil {
		t.Error("a carbide drill has no figures")
	}
	n, err := Speed(material(t, "mild_steel"), HSS, Turn, 20*calc.Millimetre) // 30 m/min on 20 mm
	must(t, err)
	close(t, n.PerMinute(), 477.5, 0.05)
	if _, err := Speed(material(t, "mild_steel"), HSS, Turn, 0); err == nil {
		t.Error("a speed on nothing")
	}
}

// TestOwnMaterialLikeAnother: what a shop writes down stands, the rest is that of
// the material it is like.
func TestOwnMaterialLikeAnother(t *testing.T) {
	base := material(t, "medium_carbon")
	own := Like("axle steel", base)
	own.Speeds = map[Op]calc.SurfaceSpeed{Drill: 11 * calc.MetrePerMinute}
	own.Feeds = map[Op]calc.Length{Turn: 70 * calc.Micrometre}
	own.Force = Kienzle{KC: 2500, MC: 0.2}
	for _, op := range []Op{Turn, Finish, Thread, Part, Ream, Knurl} {
		got, err := own.Speed(HSS, op)
		must(t, err)
		want, err := base.Speed(HSS, op)
		must(t, err)
		if got.Start != want.Start || got.Basis == want.Basis {
			t.Errorf("%s: %s, %q", op, got.Start, got.Basis)
		}
	}
	if r, err := own.Speed(HSS, Drill); err != nil || r.Start != mpm(11) || r.Basis != "the shop's own figure" {
		t.Errorf("drill: %v, %v", r, err)
	}
	if f, err := own.Feed(Turn, 0); err != nil || f.Start != 70*calc.Micrometre {
		t.Errorf("feed: %v, %v", f, err)
	}
	if f, err := own.Feed(Finish, 0); err != nil || f.Start != 60*calc.Micrometre {
		t.Errorf("finish: %v, %v", f, err)
	}
	for _, c := range []Class{Micro, Mini, Bench} {
		if got, want := own.Depth(c), base.Depth(c); got.Start != want.Start || got.Max != want.Max {
			t.Errorf("%s: depth %v, not %v", c, got, want)
		}
	}
	soft := Like("shaft", material(t, "free_steel"))
	if got, want := soft.Depth(Mini), material(t, "mild_steel").Depth(Mini); got.Start != want.Start {
		t.Errorf("depth of free-machining steel %v, want that of mild steel %v", got, want)
	}
	// By hand: 2500 x 0.1^-0.2 x 0.1 x 0.5 x 1 = 198.1 N.
	close(t, float64(own.Turning(Cut{Depth: calc.Millimetre / 2, Feed: calc.Millimetre / 10, Factor: 1})), 198.1, 0.05)
	if m, err := Find("Axle-Steel", append([]Material{own}, Materials()...)); err != nil || m.Force != own.Force {
		t.Errorf("%v, %v", m.Name, err)
	}
}

// TestRunsOnAsSteppedOut: the stopping travel by stepping through time, and the
// largest speed as its inverse.
func TestRunsOnAsSteppedOut(t *testing.T) {
	for _, s := range []Stop{
		{calc.PerTurn(1500 * calc.Micrometre), 300 * time.Millisecond, Coast{Time: 500 * time.Millisecond}},
		{calc.PerTurn(2 * calc.Millimetre), 400 * time.Millisecond, Friction(300*time.Millisecond, 100*calc.RPM)},
		{calc.PerTurn(calc.Millimetre), 0, Friction(time.Second, 200*calc.RPM)},
		{calc.PerTurn(1750 * calc.Micrometre), 600 * time.Millisecond, Coast{Turns: 0.8, At: 100 * calc.RPM}},
	} {
		for _, n := range []calc.Speed{30 * calc.RPM, 100 * calc.RPM, 350 * calc.RPM} {
			got := s.Travel(n).Millimetres()
			close(t, got, stepped(s, n.PerMinute()), 0.002*got)
			back, ok := s.MaxSpeed(s.Travel(n))
			if !ok {
				t.Fatal("no speed")
			}
			close(t, back.PerMinute(), n.PerMinute(), 0.01)
		}
	}
	if n, ok := (Stop{Lead: calc.PerTurn(calc.Millimetre)}).MaxSpeed(calc.Millimetre); ok {
		t.Errorf("nothing to stop for gives %s", n)
	}
	if n, ok := (Stop{Lead: calc.PerTurn(calc.Millimetre), Delay: time.Second}).MaxSpeed(0); !ok || n != 0 {
		t.Errorf("no room gives %s", n)
	}
	s := Stop{Lead: calc.PerTurn(1750 * calc.Micrometre), Delay: DelayUsual}
	if room := Room(4*calc.Millimetre, 2*calc.Millimetre, calc.Millimetre); !s.ByHand(room, Fixed(100*calc.RPM)) || s.ByHand(room, Fixed(50*calc.RPM)) {
		t.Error("a millimetre of room wants a speed below 57 rpm")
	}
	for _, bad := range []Stop{
		{}, {Lead: s.Lead, Delay: -1}, {Lead: s.Lead, Delay: time.Minute}, {Lead: s.Lead, Coast: Coast{Turns: 1}},
		{Lead: s.Lead, Coast: Coast{Time: 1, Turns: 1, At: 1}}, {Lead: s.Lead, Coast: Coast{Time: -1}},
	} {
		if bad.Check() == nil {
			t.Errorf("accepted: %+v", bad)
		}
	}
}

func stepped(s Stop, n float64) float64 {
	const dt = 1e-4
	turns := 0.0
	for at := 0.0; at < s.Delay.Seconds(); at += dt {
		turns += n / 60 * dt
	}
	coast := s.Coast.Time.Seconds()
	if s.Coast.At > 0 { // the time measured, longer by as much as the speed is higher
		ref := s.Coast.At.PerMinute()
		coast = 2 * s.Coast.Turns / (ref / 60) * n / ref
	}
	for at := 0.0; at < coast; at += dt {
		turns += n / 60 * (1 - (at+dt/2)/coast) * dt
	}
	return turns * s.Lead.Millimetres()
}

// TestBendsAsIntegrated: the beam formulas against adding up the curvature.
func TestBendsAsIntegrated(t *testing.T) {
	steel := Material{Stiffness: 205000}
	for _, c := range []struct{ d, l, a float64 }{{12, 48, 48}, {20, 150, 75}, {10, 120, 80}, {25, 300, 120}} {
		for _, s := range []Support{ChuckOnly, ChuckAndCentre, BetweenCentres} {
			if s != ChuckOnly && c.a == c.l {
				continue
			}
			b := Bar{s, calc.Millimetres(c.d), calc.Millimetres(c.l), calc.Millimetres(c.a), steel}
			got, err := b.Bend(100)
			must(t, err)
			want := integrated(s, 100, c.l, c.a, 205000*inertia(c.d))
			close(t, got.Millimetres(), want, 3e-4*want+1e-6)
		}
	}
	for _, bad := range []Bar{{}, {Diameter: 1, StickOut: 1}, {Diameter: 1, StickOut: 5, At: 6, Material: steel}} {
		if _, err := bad.Bend(1); err == nil {
			t.Errorf("accepted: %+v", bad)
		}
	}
	b := Bar{Diameter: 12 * calc.Millimetre, StickOut: 48 * calc.Millimetre, Material: steel}
	v, err := b.Bend(60)
	must(t, err)
	out, err := MaxStickOut(steel, b.Diameter, 60, 2*v)
	must(t, err)
	close(t, out.Millimetres(), 48, 0.001)
}

// integrated is the deflection under the load by unit loads: bending moments times
// unit moments over the stiffness, added up along the bar.
func integrated(s Support, f, l, a, ei float64) float64 {
	const n = 20000
	h := l / n
	sum := func(g func(x float64) float64) (v float64) {
		for i := range n {
			v += g((float64(i)+0.5)*h) * h
		}
		return v
	}
	if s == BetweenCentres {
		b := l - a
		m := func(x float64) float64 {
			if x < a {
				return b / l * x
			}
			return a / l * (l - x)
		}
		return f * sum(func(x float64) float64 { return m(x) * m(x) }) / ei
	}
	at := func(x float64) float64 { return max(0, a-x) }
	end := func(x float64) float64 { return l - x }
	free := f * sum(func(x float64) float64 { return at(x) * at(x) }) / ei
	if s == ChuckOnly {
		return free
	}
	gap := f * sum(func(x float64) float64 { return at(x) * end(x) }) / ei
	unit := sum(func(x float64) float64 { return end(x) * end(x) }) / ei
	return free - gap/unit*sum(func(x float64) float64 { return end(x) * at(x) })/ei
}

func TestStickOutVerdict(t *testing.T) {
	d := 10 * calc.Millimetre
	for _, c := range []struct {
		out  calc.Length
		s    Support
		want Hold
	}{
		{30 * calc.Millimetre, ChuckOnly, HoldsItself}, {31 * calc.Millimetre, ChuckOnly, LightCuts}, {50 * calc.Millimetre, ChuckOnly, LightCuts},
		{51 * calc.Millimetre, ChuckOnly, NeedsCentre}, {100 * calc.Millimetre, ChuckAndCentre, HoldsItself}, {101 * calc.Millimetre, BetweenCentres, NeedsSteady},
	} {
		got, err := StickOut(c.out, d, c.s)
		must(t, err)
		if got != c.want {
			t.Errorf("%s %s: %s, want %s", c.out, c.s, got, c.want)
		}
	}
	if _, err := StickOut(0, d, ChuckOnly); err == nil {
		t.Error("no stick-out: accepted")
	}
}

func TestMaxDepthRuled(t *testing.T) {
	m := material(t, "mild_steel")
	c := Cut{Feed: 100 * calc.Micrometre}
	d := Drive{Power: 180, Base: 1000 * calc.RPM}
	fast, ruled, err := m.MaxDepth(c, d, 1000*calc.RPM, 20*calc.Millimetre)
	must(t, err)
	slow, _, err := m.MaxDepth(c, d, 100*calc.RPM, 20*calc.Millimetre)
	must(t, err)
	if ruled != "power" {
		t.Errorf("ruled by %s", ruled)
	}
	// A motor that gives only its torque drives the same depth at a tenth of the
	// speed: a tenth of the power, a tenth of the cutting speed.
	close(t, slow.Millimetres(), fast.Millimetres(), 1e-4)
	belts, _, err := m.MaxDepth(c, Drive{Power: 180}, 100*calc.RPM, 20*calc.Millimetre)
	must(t, err)
	close(t, belts.Millimetres(), 10*fast.Millimetres(), 1e-3)
	slip, ruled, err := m.MaxDepth(c, Drive{Power: 180, Torque: 2}, 100*calc.RPM, 20*calc.Millimetre)
	must(t, err)
	if ruled != "torque" || slip >= belts {
		t.Errorf("a slipping belt: %s by %s", slip, ruled)
	}
	// The force of that depth takes just that power.
	c.Depth = fast
	n := 1000 * calc.RPM
	close(t, float64(m.Turning(c).Power(n.Surface(20*calc.Millimetre))), 180, 0.01)
	if _, _, err := m.MaxDepth(c, Drive{}, n, calc.Millimetre); err == nil {
		t.Error("no drive: accepted")
	}
	if _, _, err := m.MaxDepth(Cut{}, d, n, calc.Millimetre); err == nil {
		t.Error("no feed: accepted")
	}
}

// TestBendingLeavesTaper: a bar from the chuck alone comes out larger at its free end
// by twice the bend there; with a centre largest in the middle.
func TestBendingLeavesTaper(t *testing.T) {
	steel := Material{Stiffness: 205000}
	b := Bar{Diameter: 12 * calc.Millimetre, StickOut: 48 * calc.Millimetre, Material: steel}
	got, err := b.Taper(100, 0, 48*calc.Millimetre)
	must(t, err)
	close(t, got.Millimetres(), 0.03534, 5e-5) // 100 N, twice 0.01767
	// Half way out the bend is an eighth.
	half, err := b.Taper(100, 24*calc.Millimetre, 48*calc.Millimetre)
	must(t, err)
	close(t, half.Millimetres(), 0.03534*7/8, 5e-5)
	b.Support = BetweenCentres
	bow, err := b.Taper(100, 24*calc.Millimetre, 12*calc.Millimetre)
	must(t, err)
	if bow >= 0 {
		t.Errorf("between centres the middle is not the largest: %s", bow)
	}
	if _, err := b.Taper(100, 0, 60*calc.Millimetre); err == nil {
		t.Error("off the bar: accepted")
	}
	for _, c := range []struct {
		out     calc.Length
		carbide bool
		good    bool
	}{{40, false, true}, {41, false, false}, {60, true, true}, {61, true, false}, {0, true, false}} {
		if err := BoringBar(10*calc.Millimetre, c.out*calc.Millimetre, c.carbide); (err == nil) != c.good {
			t.Errorf("%d mm, carbide %v: %v", c.out, c.carbide, err)
		}
	}
}

// TestEqualCuts: removal tends to what the dial says, and a light last cut takes
// more than it.
func TestEqualCuts(t *testing.T) {
	q := 250 * calc.Micrometre
	r := Removed(0.1, []calc.Length{q, q, q, q, q, q, q, q})
	if (r[7]-q).Abs() > calc.Micrometre/1000 || r[0] >= 230*calc.Micrometre {
		t.Errorf("removed %v", r)
	}
	if light := Removed(0.1, []calc.Length{q, 50 * calc.Micrometre}); light[1] <= 60*calc.Micrometre {
		t.Errorf("a light last cut takes %s", light[1])
	}
	// A cut that removed nothing gives the rest and no division by zero.
	m := Measured{Before: 20 * calc.Millimetre, After: 20 * calc.Millimetre, Advanced: calc.Millimetre}
	if got := m.NextByShare(19 * calc.Millimetre); got != calc.Millimetre {
		t.Errorf("next %s", got)
	}
}

// TestRoughnessOfTheArc: the deviation of the true arc, added up, within 2 %.
func TestRoughnessOfTheArc(t *testing.T) {
	for _, c := range [][2]float64{{.1, .4}, {.06, .2}, {.2, .8}} {
		const n = 20001
		var ys [n]float64
		mean := 0.0
		for i := range ys {
			x := -c[0]/2 + c[0]*float64(i)/(n-1)
			ys[i] = c[1] - math.Sqrt(c[1]*c[1]-x*x)
			mean += ys[i] / n
		}
		ra := 0.0
		for _, y := range ys {
			ra += math.Abs(y-mean) / n
		}
		got := FeedMarks(calc.Millimetres(c[0]), calc.Millimetres(c[1]))
		if math.Abs(got.Ra.Millimetres()/ra-1) > 0.02 || math.Abs(got.Rt.Millimetres()/ys[0]-1) > 0.02 {
			t.Errorf("feed %g nose %g: %+v, the arc has Ra %g, Rt %g", c[0], c[1], got, ra, ys[0])
		}
	}
	if FeedMarks(1, 0) != (Roughness{}) {
		t.Error("no nose leaves marks")
	}
}

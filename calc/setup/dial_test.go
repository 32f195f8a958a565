package setup

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"

	"turncue/calc"
)

const um = calc.Micrometre

// TestTableOfSettings: worked by hand.
func TestTableOfSettings(t *testing.T) {
	metric := Dial{Travel: calc.Millimetre, Divisions: 50}
	onDia := Dial{Travel: calc.Millimetre, Marked: 2 * calc.Millimetre, Divisions: 100, OnDiameter: true}
	badge := Dial{Travel: in / 20, Marked: 1250 * um, Divisions: 50} // 1.25 mm marked on a 20 tpi screw
	for _, c := range []struct {
		name          string
		d             Dial
		offset        calc.Length
		turns         int
		line          int64
		reading, rest calc.Length
	}{
		{"zero", metric, 0, 0, 0, 0, 0},
		{"between lines", metric, 613 * um, 0, 31, 620 * um, -7 * um},
		{"rounds up over the turn", metric, 995 * um, 1, 0, 0, -5 * um},
		{"outwards, a half goes out", metric, -250 * um, -1, 37, 740 * um, 10 * um},
		{"outwards a whole turn", metric, -calc.Millimetre, -1, 0, 0, 0},
		{"three turns in", metric, 3120 * um, 3, 6, 120 * um, 0},
		{"on diameter", onDia, 600 * um, 0, 60, 1200 * um, 0},
		{"on diameter, second turn", onDia, 1600 * um, 1, 60, 1200 * um, 0},
		// 1.016 mm of travel is 40 lines of 0.0254 mm, read as 1.000 mm.
		{"metric ring on an inch screw", badge, 1016 * um, 0, 40, 1000 * um, 0},
		{"thou screw", Dial{Travel: in / 10, Divisions: 100}, 185 * calc.Thou, 1, 85, 85 * calc.Thou, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			must(t, c.d.Check())
			s := c.d.Setting(c.offset)
			if s.Turns != c.turns || s.Divisions != calc.Whole(c.line) || s.Reading != c.reading || s.Rest != c.rest {
				t.Errorf("got %+v", s)
			}
			if back := c.d.Position(s.Turns, s.Reading); (back + s.Rest - c.offset).Abs() > calc.Nanometre {
				t.Errorf("back is %s, rest %s, wanted %s", back, s.Rest, c.offset)
			}
		})
	}
}

// TestRoundedOnce: whatever the dial, a setting is the nearest line to the whole
// distance, worked out with big fractions.
func TestRoundedOnce(t *testing.T) {
	const seed = 20
	r := rand.New(rand.NewPCG(seed, 0))
	for i := range 5000 {
		d := Dial{Travel: calc.Length(1 + r.Int64N(int64(10*calc.Millimetre))), Divisions: 1 + r.IntN(400)}
		if r.IntN(2) == 0 {
			d.OnDiameter = true
		}
		if r.IntN(2) == 0 {
			d.Marked = d.Travel + d.Travel*calc.Length(r.IntN(9)-4)/100
			if d.OnDiameter {
				d.Marked += d.Travel
			}
			if d.Marked == 0 {
				continue
			}
		}
		x := calc.Length(r.Int64N(int64(60*calc.Millimetre))) - 30*calc.Millimetre
		s := d.Setting(x)
		if s.Turns*d.Divisions+int(s.Divisions.Num()) != int(round(d.exact(x))) || s.Divisions.Den() != 1 {
			t.Fatalf("seed %d case %d: %+v at %s gives %+v", seed, i, d, x, s)
		}
		if s.Divisions.Num() < 0 || s.Divisions.Num() >= int64(d.Divisions) || s.Reading < 0 || s.Reading > d.marked() {
			t.Fatalf("seed %d case %d: reading off the ring: %+v", seed, i, s)
		}
		half := new(big.Rat).SetFrac64(int64(d.Travel), int64(2*d.Divisions))
		half.Add(half, big.NewRat(1, 1)) // the nanometre of rounding
		if new(big.Rat).SetInt64(int64(s.Rest.Abs())).Cmp(half) > 0 {
			t.Fatalf("seed %d case %d: %+v: rest %s is more than half a division", seed, i, d, s.Rest)
		}
		if got := d.Snap(x); got != x-s.Rest || d.Snap(got) != got && d.Division() > 2 {
			t.Fatalf("seed %d case %d: snaps to %s, set to %s", seed, i, got, x-s.Rest)
		}
		if in := d.SnapIn(x); in > x+1 || x-in > d.Division()+2 {
			t.Fatalf("seed %d case %d: the line before %s is %s", seed, i, x, in)
		}
	}
}

func TestWholeTurnsClear(t *testing.T) {
	d := Dial{Travel: calc.Millimetre, Divisions: 50, Slack: 150 * um}
	for _, c := range []struct {
		depth, margin calc.Length
		want          int
	}{{600 * um, 200 * um, 1}, {650 * um, 200 * um, 1}, {651 * um, 200 * um, 2}, {0, 0, 1}, {2500 * um, 500 * um, 4}} {
		if got := d.WholeTurnsClear(c.depth, c.margin); got != c.want {
			t.Errorf("%s and %s: %d turns, want %d", c.depth, c.margin, got, c.want)
		}
	}
}

func TestDialsRefused(t *testing.T) {
	for what, d := range map[string]Dial{
		"above zero":     {Divisions: 50},
		"any handwheel":  {Travel: 200 * calc.Millimetre, Divisions: 50},
		"count":          {Travel: calc.Millimetre},
		"no ring":        {Travel: calc.Millimetre, Divisions: 5000},
		"below zero":     {Travel: calc.Millimetre, Divisions: 50, Slack: -1},
		"adjust":         {Travel: calc.Millimetre, Divisions: 50, Slack: 3 * calc.Millimetre},
		"shows diameter": {Travel: calc.Millimetre, Marked: 2 * calc.Millimetre, Divisions: 100},
		"shows radius":   {Travel: calc.Millimetre, Marked: calc.Millimetre, Divisions: 100, OnDiameter: true},
		"dial gauge":     {Travel: calc.Millimetre, Marked: 1500 * um, Divisions: 100},
		"leave":          {Travel: calc.Millimetre, Marked: -1, Divisions: 100},
	} {
		if err := d.Check(); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%+v: %v does not say %q", d, err, what)
		}
	}
	for _, d := range []Dial{{Travel: in / 20, Marked: 1250 * um, Divisions: 50}, {Travel: calc.Millimetre, Marked: in / 25, Divisions: 40}} {
		if err := d.Check(); err != nil {
			t.Errorf("%+v: %v", d, err)
		}
	}
}

// TestPackingFromContact: the packing against where three jaws touch a round bar.
func TestPackingFromContact(t *testing.T) {
	for _, c := range []struct{ offset, dia calc.Length }{
		{100 * um, 12 * calc.Millimetre}, {2 * calc.Millimetre, 30 * calc.Millimetre}, {5 * calc.Millimetre, 50 * calc.Millimetre},
	} {
		got, err := PackingFor(c.offset, c.dia)
		must(t, err)
		want := contact(c.offset.Millimetres(), c.dia.Millimetres()/2)
		close(t, "packing", got, calc.Millimetres(want), 2)
		back, err := Offset(got, c.dia)
		must(t, err)
		close(t, "offset", back, c.offset, 4)
		if FlatPacking(c.offset) <= got {
			t.Errorf("flat jaws need no more than points at %s", c.offset)
		}
	}
	for _, c := range []struct{ offset, dia calc.Length }{{1, 0}, {-1, 10}, {3, 10}} {
		if v, err := PackingFor(c.offset, c.dia); err == nil {
			t.Errorf("%s on %s: %s", c.offset, c.dia, v)
		}
	}
	for _, c := range []struct{ pack, dia calc.Length }{{1, 0}, {-1, 10}, {9 * calc.Millimetre, 10 * calc.Millimetre}} {
		if v, err := Offset(c.pack, c.dia); err == nil {
			t.Errorf("packing %s on %s: %s", c.pack, c.dia, v)
		}
	}
	if v := Judge(10*um, 10*um, 20*um); v != RunsTrue {
		t.Errorf("within the limit: %s", v)
	}
	if v := Judge(100*um, 110*um, 20*um); v != RunsOffset {
		t.Errorf("alike at both: %s", v)
	}
}

// contact is how much nearer the first of three narrow jaws is to the axis than
// the others, all touching a bar of radius r whose centre is off by e away from
// the first jaw; found by halving.
func contact(e, r float64) float64 {
	at := func(x, y float64) float64 { // distance along a direction to the circle
		lo, hi := 0.0, 4*r
		for range 200 {
			mid := (lo + hi) / 2
			dx, dy := mid*x+e, mid*y
			if dx*dx+dy*dy < r*r {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	const half, high = 0.5, 0.8660254037844386
	return at(-half, high) - at(1, 0)
}

// TestFourJawMoves: a bar off centre is laid out, read at the jaws and moved; it must
// then run true to second order.
func TestFourJawMoves(t *testing.T) {
	const r = 10.0
	for _, off := range [][2]float64{{0.3, 0.1}, {-0.2, 0.25}, {0, -0.15}, {0.05, 0}} {
		x, y := off[0], off[1]
		read := func() (out [4]calc.Length) {
			for i, d := range [4][2]float64{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
				along := x*d[0] + y*d[1]
				across := x*d[1] - y*d[0]
				out[i] = calc.Millimetres(along + math.Sqrt(r*r-across*across) - r)
			}
			return out
		}
		for _, m := range FourJawMoves(read()) {
			mm := m.Move.Millimetres()
			switch m.From { // away from the jaw that reads high
			case 1:
				x -= mm
			case 2:
				y -= mm
			case 3:
				x += mm
			case 4:
				y += mm
			}
			if m.To != (m.From+1)%4+1 {
				t.Errorf("jaws %d and %d are not opposite", m.From, m.To)
			}
		}
		if math.Hypot(x, y) > 1e-5 {
			t.Errorf("%v ends at %g, %g", off, x, y)
		}
	}
	m := FourJawMoves([4]calc.Length{0, 15 * calc.Thou, 0, 0})
	if m[0].From != 2 || m[0].Move != 75*in/10000 || m[1].Move != 0 {
		t.Errorf("%+v", m)
	}
}

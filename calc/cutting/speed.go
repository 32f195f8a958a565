package cutting

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"turncue/calc"
)

// Tool is what the cutting edge is made of.
type Tool string

// The tools.
const (
	HSS     Tool = "HSS"
	Carbide Tool = "carbide"
)

// ParseTool reads "HSS" or "carbide", whatever the case.
func ParseTool(s string) (Tool, error) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "hss", "high-speed steel", "high speed steel":
		return HSS, nil
	case "carbide", "tungsten carbide":
		return Carbide, nil
	}
	return "", fmt.Errorf("tool %q is not known: HSS or carbide", s)
}

// Op is an operation as speeds and feeds are given for.
type Op int

// The operations. Finish, Face and Bore take the speed of Turn, Groove that of
// Part, and a knurl runs at a third of turning (a quarter to a half, common
// practice).
const (
	Turn Op = iota
	Finish
	Face
	Bore
	Thread
	Part
	Groove
	Drill
	Ream
	Knurl
)

var opNames = []string{"turn", "finish", "face", "bore", "thread", "part", "groove", "drill", "ream", "knurl"}

// String is "turn".
func (o Op) String() string {
	if o < 0 || int(o) >= len(opNames) {
		return "unknown operation"
	}
	return opNames[o]
}

// ParseOp reads "turn", "thread", "part" and so on.
func ParseOp(s string) (Op, error) {
	if i := slices.Index(opNames, strings.ToLower(strings.TrimSpace(s))); i >= 0 {
		return Op(i), nil
	}
	return 0, fmt.Errorf("operation %q is not known: %s", s, strings.Join(opNames, ", "))
}

// mmin is a range in metres per minute.
type mmin struct{ Min, Max, Start float64 }

// Range is the cutting speeds for a material, and the one to start with.
type Range struct {
	Min, Max, Start calc.SurfaceSpeed
	Basis           string // where it is from, in words
}

// Speed is the cutting speeds for a material. What has no figure is an error that
// says what has.
func (m Material) Speed(tool Tool, op Op) (Range, error) {
	if tool == HSS {
		if v, ok := m.Speeds[op]; ok {
			return Range{v, v, v, "the shop's own figure"}, nil
		}
		if v, ok := m.Speeds[Turn]; ok {
			return ownRange(op, v), nil
		}
	}
	id, basis := m.ID, ""
	if m.SpeedsAs != "" {
		id, basis = m.SpeedsAs, "taken as for "+strings.ReplaceAll(m.SpeedsAs, "_", " ")+" (common practice)"
	}
	tools, ok := published[id]
	if !ok {
		return Range{}, fmt.Errorf("no cutting speeds for %s: give the material a speed of its own", m.Name)
	}
	ops, ok := tools[tool]
	if !ok {
		return Range{}, fmt.Errorf("no cutting speeds for a tool of %q: HSS or carbide", string(tool))
	}
	factor, from := 1.0, op
	switch op {
	case Finish, Face, Bore:
		from = Turn
	case Groove:
		from = Part
	case Knurl:
		from, factor = Turn, 1.0/3
	}
	r, ok := ops[from]
	if !ok {
		return Range{}, fmt.Errorf("no %s speeds with %s for %s: use HSS", op, tool, m.Name)
	}
	if basis == "" {
		basis = "published tables, lowered for a small lathe"
		if from != Turn && from != Drill || factor != 1 {
			basis = "a share of the turning or drilling speed (common practice)"
		}
	}
	if op == Knurl {
		return Range{mpm(r.Start / 4), mpm(r.Start / 2), mpm(r.Start * factor), basis}, nil
	}
	return Range{mpm(r.Min), mpm(r.Max), mpm(r.Start), basis}, nil
}

// ownRange is a shop's own turning speed carried over to another operation by
// the shares of the built-in table.
func ownRange(op Op, turn calc.SurfaceSpeed) Range {
	share, ok := map[Op][3]float64{
		Thread: {.25, .5, .33}, Part: {.33, .5, .4}, Groove: {.33, .5, .4},
		Drill: {.5, .8, .65}, Ream: {.17, .4, .25}, Knurl: {.25, .5, 1. / 3},
	}[op]
	if !ok {
		share = [3]float64{1, 1, 1}
	}
	of := func(f float64) calc.SurfaceSpeed {
		return calc.SurfaceSpeed(math.Round(f*float64(turn)/float64(calc.MetrePerMinute)*1000)) * calc.MetrePerMinute / 1000
	}
	return Range{of(share[0]), of(share[1]), of(share[2]), "from the shop's own turning speed"}
}

func mpm(v float64) calc.SurfaceSpeed {
	return calc.SurfaceSpeed(math.Round(v*1_000_000)) * calc.MetrePerMinute / 1_000_000
}

// FeetPerMinute is a cutting speed of so many feet per minute, rounded to a
// micrometre per minute.
func FeetPerMinute(v float64) calc.SurfaceSpeed { return mpm(v * 0.3048) }

// Feet is a cutting speed in feet per minute.
func Feet(v calc.SurfaceSpeed) float64 { return float64(v) / float64(calc.FootPerMinute) }

// Speed is the spindle speed to wish for: the starting cutting speed of the
// material on the diameter being cut (the stock for roughing, the largest diameter
// for facing and parting, the drill, the bore, the major diameter of a thread).
func Speed(m Material, tool Tool, op Op, diameter calc.Length) (calc.Speed, error) {
	if diameter <= 0 {
		return 0, fmt.Errorf("diameter %s is not above zero", diameter)
	}
	r, err := m.Speed(tool, op)
	if err != nil {
		return 0, err
	}
	return r.Start.Spindle(diameter), nil
}

// Band is one way the spindle can be set: a fixed speed where Min and Max are
// the same, otherwise a knob that goes from one to the other.
type Band struct {
	Name     string // the belt or lever; may be empty
	Min, Max calc.Speed
}

// Speeds is all ways the spindle can be set.
type Speeds []Band

// Fixed is the speeds of belts or levers.
func Fixed(list ...calc.Speed) Speeds {
	out := make(Speeds, len(list))
	for i, v := range list {
		out[i] = Band{Min: v, Max: v}
	}
	return out
}

// Between is a knob that goes from one speed to another.
func Between(low, high calc.Speed) Speeds { return Speeds{{Min: low, Max: high}} }

// Check refuses speeds no spindle has.
func (s Speeds) Check() error {
	if len(s) == 0 {
		return errors.New("no spindle speeds: give a list or a range")
	}
	for _, b := range s {
		switch {
		case b.Min <= 0 || b.Max <= 0:
			return fmt.Errorf("spindle speed %s is not above zero", min(b.Min, b.Max))
		case b.Max < b.Min:
			return fmt.Errorf("spindle speeds from %s to %s: give the slower one first", b.Min, b.Max)
		case b.Max > 20000*calc.RPM:
			return fmt.Errorf("spindle speed %s is more than any lathe here turns: at most 20000 rpm", b.Max)
		}
	}
	return nil
}

// Slowest is the lowest speed the spindle has, zero where there is none.
func (s Speeds) Slowest() (v calc.Speed) {
	for i, b := range s {
		if i == 0 || b.Min < v {
			v = b.Min
		}
	}
	return v
}

// Fastest is the highest speed the spindle has, zero where there is none.
func (s Speeds) Fastest() (v calc.Speed) {
	for _, b := range s {
		v = max(v, b.Max)
	}
	return v
}

// Choice is a speed chosen among those the lathe has.
type Choice struct {
	Speed calc.Speed
	Band  Band   // how it is set
	Ruled string // what decided
	Fast  bool   // faster than wanted: the lathe has nothing slower
}

// Choose is the highest speed not above the one wanted; where there is none, the
// lowest, with Fast set. On a knob the speed is rounded down to a whole 10 rpm,
// below 100 rpm to a whole 5, as far as the knob goes that low. Of two ways to the
// same speed the one with the lower top is taken: it has the torque.
func (s Speeds) Choose(want calc.Speed) (Choice, error) {
	if err := s.Check(); err != nil {
		return Choice{}, err
	}
	if want <= 0 {
		return Choice{}, fmt.Errorf("spindle speed %s wanted is not above zero", want)
	}
	var c Choice
	for _, b := range s {
		v := b.Max
		if want < b.Max {
			step := 10 * calc.RPM
			if want < 100*calc.RPM {
				step = 5 * calc.RPM
			}
			v = max(b.Min, want-want%step)
		}
		if v <= want && (v > c.Speed || v == c.Speed && b.Max < c.Band.Max) {
			c = Choice{Speed: v, Band: b, Ruled: "the material"}
			if v == s.Fastest() && v < want {
				c.Ruled = "the lathe's fastest"
			}
		}
	}
	if c.Speed > 0 {
		return c, nil
	}
	for _, b := range s {
		if b.Min == s.Slowest() && (c.Speed == 0 || b.Max < c.Band.Max) {
			c = Choice{Speed: b.Min, Band: b, Ruled: "the lathe's slowest, faster than wanted", Fast: true}
		}
	}
	return c, nil
}

// Pick is [Speeds.Choose]: the speed and what decided.
func Pick(want calc.Speed, have Speeds) (calc.Speed, string, error) {
	c, err := have.Choose(want)
	return c.Speed, c.Ruled, err
}

// Runs refuses a speed the spindle cannot be set to, and says which it can: one
// outside its range, or between two belts.
func (s Speeds) Runs(n calc.Speed) error {
	if err := s.Check(); err != nil {
		return err
	}
	var below, above calc.Speed
	for _, b := range s {
		switch {
		case n >= b.Min && n <= b.Max:
			return nil
		case b.Max < n:
			below = max(below, b.Max)
		case above == 0 || b.Min < above:
			above = b.Min
		}
	}
	switch {
	case below == 0:
		return fmt.Errorf("the lathe does not turn as slowly as %s: its slowest is %s", n, above)
	case above == 0:
		return fmt.Errorf("the lathe does not turn as fast as %s: its fastest is %s", n, below)
	}
	return fmt.Errorf("the lathe does not turn at %s: it has %s and %s", n, below, above)
}

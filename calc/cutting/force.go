package cutting

import (
	"errors"
	"fmt"
	"math"

	"turncue/calc"
)

// Force is in newtons.
type Force float64

// Power is in watts.
type Power float64

// Torque is in newton metres.
type Torque float64

// Kienzle is the constants of the specific cutting force kc = KC x h^-MC, in
// N/mm2 with the chip thickness h in mm.
type Kienzle struct{ KC, MC float64 }

// At is the specific cutting force in N/mm2 at a chip thickness.
func (k Kienzle) At(h calc.Length) float64 { return k.at(h.Millimetres()) }

func (k Kienzle) at(mm float64) float64 {
	if mm <= 0 {
		return 0
	}
	return k.KC * math.Pow(mm, -k.MC)
}

// The factors on the cutting force. Multiply what applies.
const (
	SharpCarbide = 1.0
	LowSpeed     = 1.2 // HSS, or below about 50 m/min
	WornEdge     = 1.3
	Internal     = 1.2 // boring, drilling
	Hemmed       = 1.3 // parting, grooving: the chip is held in on both sides
	// BothFlanks is for a thread fed straight in, whose two chips run into one
	// another: 20 to 30 % more.
	BothFlanks = 1.25
	// Usual is for HSS on a bench lathe, a little blunt: low speed and wear.
	Usual = LowSpeed * WornEdge
	// Radial is the share of the cutting force that pushes work and tool apart: at
	// a square shoulder tool 0.2 to 0.4 (from memory, the upper end taken).
	Radial = 0.4
	// Spread is that share for an edge at 45 degrees and for a thread (from memory: a
	// half or more).
	Spread = 0.5
)

// RakeFactor is the factor for a rake that differs from the one the constants
// are for (6 degrees in steel, 2 in iron, 0 in aluminium): 1 % a degree.
func RakeFactor(rake, usual calc.Angle) float64 {
	return 1 - (rake-usual).Degrees()/100
}

// Cut is one turning cut.
type Cut struct {
	Depth    calc.Length // on radius
	Feed     calc.Length // per turn
	Entering calc.Angle  // between the edge and the feed; 0 is 90 degrees. The American lead angle is 90 degrees less this
	Factor   float64     // on the force; 0 is Usual
}

func (c Cut) entering() float64 {
	if c.Entering == 0 {
		return math.Pi / 2
	}
	return c.Entering.Radians()
}

func (c Cut) factor() float64 {
	if c.Factor == 0 {
		return Usual
	}
	return c.Factor
}

// Thickness is the thickness of the chip before it is cut, rounded to the
// nanometre: feed x sin of the entering angle.
func (c Cut) Thickness() calc.Length {
	return calc.Millimetres(c.Feed.Millimetres() * math.Sin(c.entering()))
}

// Width is the width of the chip before it is cut, rounded to the nanometre.
func (c Cut) Width() calc.Length {
	return calc.Millimetres(c.Depth.Millimetres() / math.Sin(c.entering()))
}

// perMM is the cutting force per millimetre of depth.
func (m Material) perMM(c Cut) float64 {
	f := c.Feed.Millimetres()
	return m.Force.at(f*math.Sin(c.entering())) * f * c.factor()
}

// Turning is the cutting force of a turning cut, by Kienzle.
func (m Material) Turning(c Cut) Force { return Force(m.perMM(c) * c.Depth.Millimetres()) }

// Parting is the force on a blade of a width at a feed per turn.
func (m Material) Parting(width, feed calc.Length, factor float64) Force {
	return m.Turning(Cut{Depth: width, Feed: feed, Factor: factor})
}

// Chamfering is the cut of an edge at 45 degrees fed straight in, by the leg of the chamfer
// on radius: as of a blade as wide as the edge is in the metal, 1.41 times the leg (common
// practice). A chip the whole edge takes at once does not flow as a turned one does, so
// it is not counted as thinner for the angle.
func Chamfering(leg, feed calc.Length, factor float64) Cut {
	return Cut{Depth: calc.Millimetres(leg.Millimetres() * math.Sqrt2), Feed: feed, Factor: factor}
}

// ThreadArea is the section in mm2 that a vee of a half angle removes between two
// depths on radius; it is the same whichever way the tool is fed.
func ThreadArea(from, to calc.Length, half calc.Angle) float64 {
	a, b := from.Millimetres(), to.Millimetres()
	return math.Tan(half.Radians()) * (b*b - a*a)
}

// Threading is the force of a threading pass between two depths on radius, fed
// straight in. With flank feed the chip is twice as thick and the force lower by
// 2^-MC.
func (m Material) Threading(from, to calc.Length, half calc.Angle, factor float64) Force {
	if to <= from {
		return 0
	}
	if factor == 0 {
		factor = Usual
	}
	h := (to - from).Millimetres() * math.Sin(half.Radians())
	return Force(m.Force.at(h) * ThreadArea(from, to, half) * factor)
}

// Drilling is the torque of a drill by diameter, feed per turn and point angle (0
// is 118 degrees). The chisel edge adds thrust, hardly torque.
func (m Material) Drilling(diameter, feed calc.Length, point calc.Angle, factor float64) Torque {
	if point == 0 {
		point = 118 * calc.Degree
	}
	if factor == 0 {
		factor = Usual
	}
	d, f := diameter.Millimetres(), feed.Millimetres()
	h := f / 2 * math.Sin(point.Radians()/2)
	return Torque(m.Force.at(h) * f * d * d / 8 * factor / 1000)
}

// Power is what a force takes at a cutting speed, at the tool.
func (f Force) Power(v calc.SurfaceSpeed) Power {
	return Power(float64(f) * float64(v) / float64(calc.MetrePerMinute) / 60)
}

// Torque is what a force takes at the spindle on a diameter.
func (f Force) Torque(diameter calc.Length) Torque {
	return Torque(float64(f) * diameter.Millimetres() / 2000)
}

// Torque is the torque a power gives at a speed.
func (p Power) Torque(n calc.Speed) Torque {
	if n <= 0 {
		return 0
	}
	return Torque(float64(p) * 60 / (2 * math.Pi * n.PerMinute()))
}

// HorsepowerPerCubicInch is a unit power in horsepower for a cubic inch a minute,
// as a specific cutting force in N/mm2.
func HorsepowerPerCubicInch(hp float64) float64 {
	return hp * 745.69987 * 60 / (25.4 * 25.4 * 25.4) * 1000
}

// Drive is what turns the spindle.
type Drive struct {
	Power  Power      // at the spindle, at Base and above
	Base   calc.Speed // below it a variable-speed motor gives only its torque; 0 gives full power at every speed, as belts and gears do
	Torque Torque     // a limit of its own, where a belt slips; 0 is none
}

// The shares of a name-plate power that reach the spindle.
const (
	SmallDirectCurrent = 0.55
	Induction          = 0.75
)

// Check refuses a drive that turns nothing.
func (d Drive) Check() error {
	if d.Power <= 0 || d.Base < 0 || d.Torque < 0 {
		return errors.New("a drive without power: give the watts at the spindle")
	}
	return nil
}

// At is the power there is at a speed.
func (d Drive) At(n calc.Speed) Power {
	if d.Base > 0 && n < d.Base {
		return Power(float64(d.Power) * float64(n) / float64(d.Base))
	}
	return d.Power
}

// TorqueAt is the torque there is at a speed.
func (d Drive) TorqueAt(n calc.Speed) Torque {
	t := d.At(n).Torque(n)
	if d.Torque > 0 {
		t = min(t, d.Torque)
	}
	return t
}

// DepthForPower is the depth on radius that a power drives at a cutting speed,
// rounded down to the nanometre.
func (m Material) DepthForPower(c Cut, p Power, v calc.SurfaceSpeed) calc.Length {
	return down(60 * float64(p) * float64(calc.MetrePerMinute) / (float64(v) * m.perMM(c)))
}

// DepthForTorque is the depth on radius that a torque drives on a diameter,
// rounded down to the nanometre.
func (m Material) DepthForTorque(c Cut, t Torque, diameter calc.Length) calc.Length {
	return down(2000 * float64(t) / (diameter.Millimetres() * m.perMM(c)))
}

func down(mm float64) calc.Length {
	if !(mm > 0) {
		return 0
	}
	return calc.Length(math.Min(mm, 1e9)*1e6) * calc.Nanometre
}

// MaxDepth is the depth on radius that a drive turns at a speed on a diameter, and
// which of "power" and "torque" decides. The cut's own depth is not looked at.
func (m Material) MaxDepth(c Cut, d Drive, n calc.Speed, diameter calc.Length) (calc.Length, string, error) {
	if err := d.Check(); err != nil {
		return 0, "", err
	}
	if c.Feed <= 0 || n <= 0 || diameter <= 0 {
		return 0, "", fmt.Errorf("depth at a feed of %s, %s and %s: all three must be above zero", c.Feed, n, diameter)
	}
	p := m.DepthForPower(c, d.At(n), n.Surface(diameter))
	if d.Torque == 0 {
		return p, "power", nil
	}
	if t := m.DepthForTorque(c, d.Torque, diameter); t < p {
		return t, "torque", nil
	}
	return p, "power", nil
}

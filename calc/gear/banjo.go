package gear

import (
	"fmt"

	"turncue/calc"
)

// Banjo is what the wheels hang on. Every zero field means not known, and what
// is not known is not checked; Module and Clearance have defaults instead.
type Banjo struct {
	// Module is the size of the teeth; 0 is 1 mm.
	Module calc.Length
	// Clearance is the least distance from a wheel's tip circle to the centre
	// line of a shaft next to it: the radius of shaft or nut and a little air. 0
	// is 6 mm, which clears a bare stud with a screw head (common practice;
	// measure your own).
	Clearance calc.Length
	// Studs is how many studs the banjo has between the spindle side and the
	// leadscrew; 0 is 1.
	Studs int
	// Span is the fixed distance from the first driver's shaft to the leadscrew.
	Span calc.Length
	// Near and Far are how close to the leadscrew and how far from it the last
	// stud can be set along the slot.
	Near, Far calc.Length
	// SwingFrom and SwingTo are the angles at the leadscrew between the line to
	// the first shaft and the line to the last stud that the banjo can be set to;
	// both 0 is not known.
	SwingFrom, SwingTo calc.Angle
	// First, Stud and Last are the radii of what a wheel must clear at the first
	// driver, on a stud and at the leadscrew: shaft, nut or hub, whichever is
	// larger. A millimetre of air is added. 0 takes Clearance.
	First, Stud, Last calc.Length
	// Cover is the largest wheel, tip to tip, the gear cover closes over.
	Cover calc.Length
	// StepUpLimit is the step-up above which a train is said to be hard on the
	// lathe; 0 is 3 (common practice).
	StepUpLimit float64
}

// The defaults of [Banjo].
const (
	DefaultModule      = calc.Millimetre
	DefaultClearance   = 6 * calc.Millimetre
	DefaultStepUpLimit = 3.0
)

const maxStuds = 2

// Check refuses a geometry that cannot be one.
func (b Banjo) Check() error {
	switch {
	case b.Module < 0 || b.Module > 10*calc.Millimetre:
		return fmt.Errorf("module %s: give one above zero and at most 10 mm, most small lathes have 1 mm", b.Module)
	case b.Clearance < 0:
		return fmt.Errorf("clearance %s is below zero", b.Clearance)
	case b.Studs < 0 || b.Studs > maxStuds:
		return fmt.Errorf("%d studs: a banjo has one or two", b.Studs)
	case b.Span < 0 || b.Near < 0 || b.Far < 0 || b.Cover < 0:
		return fmt.Errorf("a distance of the banjo is below zero")
	case b.First < 0 || b.Stud < 0 || b.Last < 0:
		return fmt.Errorf("the radius of a shaft is below zero")
	case b.SwingFrom < 0 || b.SwingTo < b.SwingFrom || b.SwingTo > 180*calc.Degree:
		return fmt.Errorf("the banjo swings from %s to %s: give two rising angles of at most 180 degrees", b.SwingFrom, b.SwingTo)
	case b.Far != 0 && b.Far < b.Near:
		return fmt.Errorf("the slot of the banjo ends at %s, before it begins at %s", b.Far, b.Near)
	case b.StepUpLimit < 0:
		return fmt.Errorf("step-up limit %g is below zero", b.StepUpLimit)
	}
	return nil
}

func (b Banjo) module() calc.Length {
	if b.Module == 0 {
		return DefaultModule
	}
	return b.Module
}

func (b Banjo) clearance() calc.Length {
	if b.Clearance == 0 {
		return DefaultClearance
	}
	return b.Clearance
}

// need is how far a wheel's tips must stay from the middle of the i-th of n
// shafts.
func (b Banjo) need(i, n int) calc.Length {
	r := b.Stud
	switch i {
	case 0:
		r = b.First
	case n - 1:
		r = b.Last
	}
	if r == 0 {
		return b.clearance()
	}
	return r + air
}

const air = calc.Millimetre

func (b Banjo) studs() int {
	if b.Studs == 0 {
		return 1
	}
	return b.Studs
}

// Hard says that a step-up is above what the lathe takes without strain.
func (b Banjo) Hard(stepUp float64) bool { return stepUp > b.stepUpLimit() }

func (b Banjo) stepUpLimit() float64 {
	if b.StepUpLimit == 0 {
		return DefaultStepUpLimit
	}
	return b.StepUpLimit
}

// centres is the distance between two wheels in mesh: half the module by the sum
// of their teeth, rounded down to the nanometre.
func (b Banjo) centres(x, y int) calc.Length { return b.module() * calc.Length(x+y) / 2 }

// tip is the radius of a wheel's tip circle.
func (b Banjo) tip(z int) calc.Length { return b.module() * calc.Length(z+2) / 2 }

// gap is the distance from the tip circle of the wheel that shares a stud with
// y to the shaft of x, which y meshes with: m (x + y - beside - 2) / 2.
func (b Banjo) gap(x, y, beside int) calc.Length { return b.centres(x, y) - b.tip(beside) }

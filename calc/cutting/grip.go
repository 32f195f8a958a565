package cutting

import "turncue/calc"

// JawFriction is that of hardened, serrated jaws on a bar (from memory: 0.15 to 0.25).
const JawFriction = 0.2

// Crank is what an arm gives on a hand crank of 200 mm in the spindle: 100 N (common
// practice).
const Crank Torque = 20

// Grip is what the jaws of a scroll chuck press with in all when its key is tightened
// by hand: about half of what makers of such chucks allow, for chucks of 65, 80 to 100
// and 125 mm (from memory).
func (c Class) Grip() Force {
	switch c {
	case Micro:
		return 4000
	case Mini:
		return 8000
	}
	return 15000
}

// Holds is the torque at which a bar of a diameter slips in the jaws.
func (c Class) Holds(bar calc.Length) Torque {
	return (JawFriction * c.Grip()).Torque(bar)
}

package cutting

import (
	"fmt"

	"turncue/calc"
)

// Overhang refuses a bar that sticks out of the back of the spindle without
// support by more than its own diameter (common practice): beyond that it can bend
// and whip. A supported bar is one in a tube or on rests along its length.
func Overhang(diameter, behind calc.Length, supported bool) error {
	switch {
	case diameter <= 0 || behind < 0:
		return fmt.Errorf("a bar of %s standing %s out of the back of the spindle: the diameter must be above zero", diameter, behind)
	case supported || behind <= diameter:
		return nil
	}
	return fmt.Errorf("the bar stands %s out of the back of the spindle, %.3g diameters: cut it off, or support it, it can whip", behind, float64(behind)/float64(diameter))
}

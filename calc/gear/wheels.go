package gear

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Wheels is the tooth counts of the wheels owned, one entry a wheel; two of a
// size are two entries.
type Wheels []int

// The limits of [Wheels.Check]. Nothing below eight teeth meshes well, nothing
// hung on a bench lathe has more than three hundred.
const (
	minTeeth  = 8
	maxTeeth  = 300
	maxWheels = 60
)

// Check refuses a set that no train can be made of.
func (w Wheels) Check() error {
	if len(w) < 2 {
		return fmt.Errorf("a set of %d: a train needs at least two wheels", len(w))
	}
	if len(w) > maxWheels {
		return fmt.Errorf("%d wheels: at most %d are searched, leave out those that never fit", len(w), maxWheels)
	}
	for _, z := range w {
		if err := checkTeeth(z); err != nil {
			return err
		}
	}
	return nil
}

func checkTeeth(z int) error {
	switch {
	case z <= 0:
		return fmt.Errorf("a wheel of %d teeth: give tooth counts from %d to %d", z, minTeeth, maxTeeth)
	case z < minTeeth || z > maxTeeth:
		return fmt.Errorf("a wheel of %d teeth is outside what is searched: %d to %d", z, minTeeth, maxTeeth)
	}
	return nil
}

// Sorted is a copy from the smallest up.
func (w Wheels) Sorted() Wheels {
	out := slices.Clone(w)
	slices.Sort(out)
	return out
}

// Less is what remains when one wheel of each of these sizes is taken away;
// missing lists those that were not there.
func (w Wheels) Less(take ...int) (rest Wheels, missing []int) {
	rest = slices.Clone(w)
	for _, z := range take {
		if i := slices.Index(rest, z); i >= 0 {
			rest = slices.Delete(rest, i, i+1)
		} else {
			missing = append(missing, z)
		}
	}
	return rest, missing
}

// String is "20,20,30": what [ParseWheels] reads.
func (w Wheels) String() string {
	s := make([]string, len(w))
	for i, z := range w {
		s[i] = strconv.Itoa(z)
	}
	return strings.Join(s, ",")
}

// MarshalText is [Wheels.String].
func (w Wheels) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText is [ParseWheels].
func (w *Wheels) UnmarshalText(b []byte) error {
	v, err := ParseWheels(string(b))
	if err == nil {
		*w = v
	}
	return err
}

// ParseWheels reads tooth counts with commas or spaces between: "20,20,30".
func ParseWheels(s string) (Wheels, error) {
	var w Wheels
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ' ' || r == '\t' }) {
		z, err := strconv.Atoi(f)
		if err != nil {
			return nil, fmt.Errorf("%q is no tooth count: write whole numbers such as 20,20,30", f)
		}
		w = append(w, z)
	}
	return w, w.Check()
}

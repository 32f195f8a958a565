package gear

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
)

// Train is change gears from the spindle side to the leadscrew: Drivers[i]
// drives Driven[i], and Driven[i] shares a stud with Drivers[i+1]. What [Check]
// and [Search] fill in stands below.
type Train struct {
	Drivers []int
	Driven  []int
	Idlers  []int // single wheels between the first driver and what it drives
	at      []int // the mesh each idler stands in; nil is the first

	Lever   string        // gearbox lever, where the lathe has one
	Lead    calc.Lead     // what it really cuts
	Error   calc.Ratio    // lead/wanted - 1, exact; positive is long
	Drift   calc.Length   // error over the length of the thread, with its sign
	Share   float64       // of the pitch-diameter tolerance it takes up; 1 is all of it
	Verdict Verdict       // what the share means
	StepUp  float64       // turns of the leadscrew per turn of the first driver
	Fits    bool          // can be mounted, as far as the geometry given tells
	Gaps    []calc.Length // tip circle to neighbouring shaft: for each stud, towards the spindle then towards the leadscrew
	Notes   []string      // what to watch, what touches what, in words
}

// PPM is the error in parts per million: positive cuts long.
func (t Train) PPM() float64 { return t.Error.Float() * 1e6 }

// Exact says that the train cuts just what was wanted.
func (t Train) Exact() bool { return t.Error.Sign() == 0 }

// Meshes is how many pairs of wheels mesh: an even number turns the leadscrew the
// way the spindle turns.
func (t Train) Meshes() int { return len(t.Drivers) + len(t.Idlers) }

// Ratio is the product of drivers over the product of driven.
func (t Train) Ratio() (calc.Ratio, error) {
	if err := t.check(); err != nil {
		return calc.Ratio{}, err
	}
	p, q := int64(1), int64(1) // three wheels of at most 300 teeth each
	for i := range t.Drivers {
		p, q = p*int64(t.Drivers[i]), q*int64(t.Driven[i])
	}
	g := gcd(p, q)
	return calc.NewRatio(p/g, q/g)
}

// Teeth is the tooth counts of all its wheels, drivers first, idlers last.
func (t Train) Teeth() []int { return slices.Concat(t.Drivers, t.Driven, t.Idlers) }

// mesh is the mesh the i-th idler stands in.
func (t Train) mesh(i int) int {
	if i < len(t.at) {
		return t.at[i]
	}
	return 0
}

// String is "80-45-20-60", with an idler as "40-idler65-30": what [Parse] reads.
func (t Train) String() string {
	var s []string
	for i := range t.Drivers {
		s = append(s, strconv.Itoa(t.Drivers[i]))
		for k, z := range t.Idlers {
			if t.mesh(k) == i {
				s = append(s, "idler"+strconv.Itoa(z))
			}
		}
		s = append(s, strconv.Itoa(t.Driven[i]))
	}
	return strings.Join(s, "-")
}

// MarshalText is [Train.String].
func (t Train) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText is [Parse].
func (t *Train) UnmarshalText(b []byte) error {
	v, err := Parse(string(b))
	if err == nil {
		*t = v
	}
	return err
}

// Parse reads a train from the spindle side to the leadscrew: "80-45-20-60", "a
// drives b, b and c share a stud, c drives d"; an idler is written
// "40-idler65-30". Two, four or six wheels beside the idlers.
func Parse(s string) (Train, error) {
	var t Train
	var chain []int
	for _, f := range strings.Split(strings.ReplaceAll(s, " ", ""), "-") {
		n, idler := strings.CutPrefix(f, "idler")
		z, err := strconv.Atoi(n)
		if err != nil {
			return Train{}, fmt.Errorf("%q is no train: write tooth counts such as 80-45-20-60, an idler as idler65", s)
		}
		if err := checkTeeth(z); err != nil {
			return Train{}, fmt.Errorf("train %q has %w", s, err)
		}
		if !idler {
			chain = append(chain, z)
			continue
		}
		if len(chain)%2 == 0 {
			return Train{}, fmt.Errorf("train %q has an idler on a shaft of its own end: an idler stands between a driver and what it drives", s)
		}
		t.Idlers = append(t.Idlers, z)
		t.at = append(t.at, len(chain)/2)
	}
	if len(chain) == 3 {
		return Train{}, fmt.Errorf("train %q has three wheels: write the one between as idler%d", s, chain[1])
	}
	if n := len(chain); n%2 != 0 || n < 2 || n > 2*(maxStuds+1) {
		return Train{}, fmt.Errorf("train %q has %d wheels: write two, four or six, drivers and driven in turn", s, n)
	}
	if len(t.Idlers) > maxIdlers {
		return Train{}, fmt.Errorf("train %q has %d idlers: at most %d", s, len(t.Idlers), maxIdlers)
	}
	for i := 0; i < len(chain); i += 2 {
		t.Drivers = append(t.Drivers, chain[i])
		t.Driven = append(t.Driven, chain[i+1])
	}
	return t, nil
}

const maxIdlers = 4

func (t Train) check() error {
	switch {
	case len(t.Drivers) == 0:
		return errors.New("a train without wheels: write one such as 80-45-20-60")
	case len(t.Drivers) != len(t.Driven) || len(t.Drivers) > maxStuds+1:
		return fmt.Errorf("a train with %d drivers and %d driven: as many of each, at most three", len(t.Drivers), len(t.Driven))
	}
	for _, side := range [3][]int{t.Drivers, t.Driven, t.Idlers} {
		for _, z := range side {
			if err := checkTeeth(z); err != nil {
				return fmt.Errorf("the train has %w", err)
			}
		}
	}
	return nil
}

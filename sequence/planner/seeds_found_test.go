package planner_test

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/planner"
)

// Seeds of the families that have found something wrong once.
func TestSeedsFoundOnce(t *testing.T) {
	tries := map[string]func(uint64) error{
		"whole":  func(s uint64) error { _, _, _, err := tryWhole(s, drawWhole(s)); return err },
		"orders": func(s uint64) error { _, _, _, err := tryOrdered(s); return err },
		"jobs":   func(s uint64) error { _, err := try(s); return err },
		"parts":  func(s uint64) error { _, _, err := trySeveral(s); return err },
		"radii":  func(s uint64) error { _, _, err := tryRadii(s); return err },
	}
	for _, c := range []struct {
		family, found string
		seed          uint64
	}{
		{"radii", "a radius in a corner that stays where it was when its diameter is read", 101322},
		{"radii", "a diameter over its limits by what is left of that", 100685},
		{"orders", "the carriage put right by the depth of a bore, after the tool was changed", 100335},
		{"whole", "the same, with the usual order", 100335},
		{"jobs", "an undercut that pushes further from the jaws than it was looked at", 2011026},
		{"parts", "the mouth of a bore that the part before has left", 300165},
		{"whole", "a roughing cut a line of the ring deeper than the lathe takes", 300030},
		{"jobs", "a size mended so often that the two equal cuts before were forgotten", 5000979},
		{"jobs", "the width of a tool with another tip than the job's", 4001132},
		{"whole", "a cone roughed deeper than the work bears", 205493},
	} {
		if err := tries[c.family](c.seed); err != nil {
			t.Errorf("%s, seed %d: %s: %v", c.family, c.seed, c.found, err)
		}
	}
}

// A tapped hole for which no drill is owned, and that is cut by a threading tool instead, is
// not tapped afterwards.
func TestCutInsteadOfTapped(t *testing.T) {
	w := drawWhole(500702)
	j, l, err := w.readWhole(500702)
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{})
	if p.Index("bore1/thread/gauge1") < 0 || p.Index("bore1/tap/cut") >= 0 {
		t.Error("it is tapped, or not cut")
	}
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

// A last cut after a reading, set to a line of the ring, is no deeper than the lathe takes:
// what is more is taken in two.
func TestLastCutNoDeeperThanTheLatheTakes(t *testing.T) {
	const seed = 83114
	j, l, err := draw(seed).read(seed)
	if err != nil {
		t.Fatal(err)
	}
	r := sequence.Readings{Lengths: map[string]calc.Length{
		"setup/true": 20 * um, "s4/finish/size1": 22100 * um, "s4/finish/size2": 21930 * um, "s3/finish/size1": 17340 * um,
		"s3/finish/size2": 17010 * um, "s3/finish/size3": 16990 * um, "s2/finish/size1": 11330 * um, "s2/finish/size2": 11520 * um,
	}}
	p, err := planner.Plan(j, l, r)
	if err != nil {
		t.Fatal(err)
	}
	if err := sound(p, j, l); err != nil {
		t.Error(err)
	}
}

package main

import (
	"fmt"
	"strings"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence/job"
)

// calcLathe is the lathe of a file, nil where no file is named.
func calcLathe(path string) (*job.Lathe, error) {
	if path == "" {
		return nil, nil
	}
	text, err := readFile(path)
	if err != nil {
		return nil, calcFlag("lathe", err)
	}
	return job.ParseLathe(path, text)
}

// calcSpeeds reads spindle speeds given to a flag: "100,250,400" for belts and
// levers, "50-1100" for a knob, or several of both with commas between. The unit is
// rpm, with or without it.
func calcSpeeds(flag, s string) (cutting.Speeds, error) {
	var out cutting.Speeds
	one := func(t string) (calc.Speed, error) {
		t = strings.TrimSpace(t)
		if !strings.HasSuffix(t, "rpm") {
			t += " rpm"
		}
		return calc.ParseSpeed(t)
	}
	for _, f := range strings.Split(s, ",") {
		low, high, knob := strings.Cut(f, "-")
		if !knob {
			high = low
		}
		a, err := one(low)
		if err != nil {
			return nil, fmt.Errorf("--%s: %q is no spindle speed: write speeds such as 100,250,400 or a range such as 50-1100", flag, f)
		}
		b, err := one(high)
		if err != nil {
			return nil, fmt.Errorf("--%s: %q is no spindle speed: write speeds such as 100,250,400 or a range such as 50-1100", flag, f)
		}
		out = append(out, cutting.Band{Min: a, Max: b})
	}
	if err := out.Check(); err != nil {
		return nil, calcFlag(flag, err)
	}
	return out, nil
}

// calcRPM reads a spindle speed given to a flag, with or without its unit; an empty
// one is zero.
func calcRPM(flag, s string) (calc.Speed, error) {
	if s == "" {
		return 0, nil
	}
	v, err := calcSpeeds(flag, s)
	if err != nil {
		return 0, err
	}
	if len(v) != 1 || v[0].Min != v[0].Max {
		return 0, fmt.Errorf("--%s: %q is more than one speed", flag, s)
	}
	return v[0].Min, nil
}

// calcPositive reads a length given to a flag that must be above zero; one that was
// not given is zero.
func calcPositive(flag, s string) (calc.Length, error) {
	l, err := calcLength(flag, s)
	if err == nil && s != "" && l <= 0 {
		err = fmt.Errorf("--%s: %s is not above zero", flag, l)
	}
	return l, err
}

// calcLengths reads several lengths, each above zero where given.
func calcLengths(in ...calcGiven) error {
	for _, g := range in {
		v, err := calcPositive(g.flag, g.text)
		if err != nil {
			return err
		}
		*g.to = v
	}
	return nil
}

// calcPair reads two quantities with two points between: "30mm..95mm".
func calcPair[T any](flag, s, example string, parse func(string) (T, error)) (a, b T, err error) {
	low, high, ok := strings.Cut(s, "..")
	if !ok {
		return a, b, fmt.Errorf("--%s: %q: write both ends, such as %s", flag, s, example)
	}
	if a, err = parse(low); err == nil {
		b, err = parse(high)
	}
	if err != nil {
		return a, b, calcFlag(flag, err)
	}
	return a, b, nil
}

// calcGiven is what a flag was given, and where it goes.
type calcGiven struct {
	flag, text string
	to         *calc.Length
}

// calcMissing says which flag is needed.
func calcMissing(flag, what string) error { return fmt.Errorf("--%s: give %s", flag, what) }

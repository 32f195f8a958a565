package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"turncue/calc"
	"turncue/calc/gear"
)

// calcBanjoFlags is what the flags of turncue calc gears were given about the banjo.
type calcBanjoFlags struct {
	module, clearance, span, slot, swing, firstRadius, studRadius, lastRadius, cover string
	stepUp                                                                           float64
	studs                                                                            int
}

func (f *calcBanjoFlags) add(fl *pflag.FlagSet) {
	fl.StringVar(&f.module, "module", "", "module of the teeth: 1 (1 mm)")
	fl.StringVar(&f.clearance, "clearance", "", "from a wheel's tips to the middle of the shaft next to it, at least (6mm)")
	fl.StringVar(&f.span, "span", "", "distance from the first driver's shaft to the leadscrew, where it is fixed (not checked)")
	fl.StringVar(&f.slot, "slot", "", "how near the leadscrew and how far from it the last stud can stand: 30mm..95mm (not checked)")
	fl.StringVar(&f.swing, "swing", "", "angles at the leadscrew, from the line to the first shaft, the banjo can be set to: 20deg..110deg (not checked)")
	fl.StringVar(&f.firstRadius, "first-radius", "", "radius of what a wheel must clear at the first driver: shaft, nut or hub (the clearance)")
	fl.StringVar(&f.studRadius, "stud-radius", "", "the same at a stud")
	fl.StringVar(&f.lastRadius, "last-radius", "", "the same at the leadscrew")
	fl.StringVar(&f.cover, "cover", "", "largest wheel, tip to tip, the gear cover closes over: 110mm (not checked)")
	fl.Float64Var(&f.stepUp, "step-up", 0, "step-up above which a train is said to be hard on the lathe (3)")
	fl.IntVar(&f.studs, "studs", 0, "studs on the banjo: 1 or 2 (1)")
}

// set puts what the flags give in place of what the banjo has.
func (f calcBanjoFlags) set(b *gear.Banjo) error {
	module := f.module
	if module != "" {
		if last := module[len(module)-1]; last >= '0' && last <= '9' || last == '.' {
			module += " mm" // a module is a number of millimetres
		}
	}
	for _, g := range []calcGiven{
		{"module", module, &b.Module}, {"clearance", f.clearance, &b.Clearance}, {"span", f.span, &b.Span}, {"first-radius", f.firstRadius, &b.First},
		{"stud-radius", f.studRadius, &b.Stud}, {"last-radius", f.lastRadius, &b.Last}, {"cover", f.cover, &b.Cover},
	} {
		if g.text == "" {
			continue
		}
		if err := calcLengths(g); err != nil {
			return err
		}
	}
	if f.slot != "" {
		near, far, err := calcPair("slot", f.slot, "30mm..95mm", calc.ParseLength)
		if err != nil {
			return err
		}
		if near < 0 || far <= 0 || far < near {
			return fmt.Errorf("--slot: %q: give the nearer end first, such as 30mm..95mm", f.slot)
		}
		b.Near, b.Far = near, far
	}
	if f.swing != "" {
		from, to, err := calcPair("swing", f.swing, "20deg..110deg", calc.ParseAngle)
		if err != nil {
			return err
		}
		if from < 0 || to <= from || to > 180*calc.Degree {
			return fmt.Errorf("--swing: %q: give two rising angles of at most 180 degrees, such as 20deg..110deg", f.swing)
		}
		b.SwingFrom, b.SwingTo = from, to
	}
	switch {
	case f.stepUp < 0 || f.stepUp != 0 && (f.stepUp < 1 || f.stepUp > 20):
		return fmt.Errorf("--step-up: %g: give a number from 1 to 20", f.stepUp)
	case f.stepUp > 0:
		b.StepUpLimit = f.stepUp
	}
	switch {
	case f.studs < 0 || f.studs > 2:
		return fmt.Errorf("--studs: %d studs, a banjo has 1 or 2", f.studs)
	case f.studs > 0:
		b.Studs = f.studs
	}
	return nil
}

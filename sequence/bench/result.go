package bench

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"turncue/calc"
)

// The shop rules by number. Consistent is none of them: the plan contradicts
// itself, the job or the lathe.
const (
	Consistent   = 0  // the plan agrees with itself and with the lathe
	ToolClear    = 1  // clear of the work before reversing or returning
	InStep       = 2  // half-nuts stay shut, slack run out before a pass
	FromOneSide  = 3  // a slide is brought to its reading in the cutting direction
	WithinLimits = 4  // no cut past section, shoulder, undercut, jaws or centre
	WithinPower  = 5  // no cut takes more than the lathe can drive, bend or hold; no speed is too high
	Standing     = 6  // spindle, supply, guard and key as they must be
	NoReverseCut = 7  // a screwed chuck never cuts in reverse
	TwoEqualCuts = 8  // a size is approached by two equal cuts, a reading between
	ToSize       = 9  // the finished part is inside its limits
	EyeDecides   = 10 // nobody is told when to stop a moving carriage
)

// Break is one broken rule.
type Break struct {
	Rule   int
	StepN  int    // the step that broke it; zero for the plan as a whole
	StepID string // its id
	Msg    string // what, and by how much with units
}

// Error is the break as one line.
func (b Break) Error() string {
	where := "plan"
	if b.StepN > 0 {
		where = fmt.Sprintf("step %d %s", b.StepN, b.StepID)
	}
	if b.Rule == Consistent {
		return fmt.Sprintf("%s: the plan contradicts itself: %s", where, b.Msg)
	}
	return fmt.Sprintf("%s: shop rule %d: %s", where, b.Rule, b.Msg)
}

// Size is one size of the finished part against its limits.
type Size struct {
	Part    int // which of the parts made, from 1
	Section string
	What    string // "diameter", "length", "undercut width", "undercut diameter", "chamfer", "thread depth", "bore", "depth", "blank", "over the knurl"
	Got     calc.Length
	Min     calc.Length
	Max     calc.Length
	OK      bool
}

// Result is what came of a plan.
type Result struct {
	Broken  []Break // by step
	Sizes   []Size  // by part, by section from the free end, then by bore
	Profile Profile // the last part where it was parted off, the whole work where not
	Bore    Profile // the hole in it, as diameters; nil in a solid part
	Rest    Profile // what stays in the chuck after parting off; nil before
	Parted  bool
	// Time is the hands' time as the plan states it and the cutting time worked
	// out from speeds, feeds and leads.
	Time time.Duration
}

// Err is nil when no rule was broken, else an error of one line a break.
func (r Result) Err() error {
	errs := make([]error, len(r.Broken))
	for i, b := range r.Broken {
		errs[i] = b
	}
	return errors.Join(errs...)
}

func (r *Result) sort() {
	slices.SortStableFunc(r.Broken, func(a, b Break) int {
		return cmp.Or(cmp.Compare(a.StepN, b.StepN), cmp.Compare(a.Rule, b.Rule))
	})
}

package gear

import (
	"fmt"
	"math"

	"turncue/calc"
)

// Check works out what a given train cuts, how far that is from what was wanted,
// and whether it can be mounted. Only the train's wheels are looked at; whether
// they are owned matters only where Want.Wheels is given, and is then a note.
func Check(t Train, w Want) (Train, error) {
	if err := t.check(); err != nil {
		return t, err
	}
	if err := w.check(); err != nil {
		return t, err
	}
	lever := w.levers()[0]
	for _, l := range w.Levers {
		if l.Name == t.Lever {
			lever = l
		}
	}
	t, err := w.fill(t, lever)
	if err != nil {
		return t, err
	}
	if len(w.Wheels) > 0 {
		if err := w.Wheels.Check(); err != nil {
			return t, err
		}
		if _, missing := w.Wheels.Less(t.Teeth()...); len(missing) > 0 {
			t.Notes = append(t.Notes, fmt.Sprintf("not among the wheels owned: %s", Wheels(missing)))
		}
	}
	if note := w.chartOfOther(t); note != "" {
		t.Notes = append(t.Notes, note)
	}
	return t, nil
}

// fill works out everything about a train but its wheels.
func (w Want) fill(t Train, lever Lever) (Train, error) {
	r, err := t.Ratio()
	if err != nil {
		return t, err
	}
	t.StepUp = float(r)
	t.Lever = lever.Name
	if t.Lead, err = w.cuts(r, lever); err != nil {
		return t, err
	}
	q, err := t.Lead.Over(w.Lead)
	if err != nil {
		return t, err
	}
	if t.Error, err = q.Plus(calc.Whole(-1)); err != nil {
		return t, err
	}
	if w.Length != 0 {
		t.Drift = w.Length.Scale(t.Error)
	}
	pitch := w.pitch()
	t.Share, t.Verdict = judge(float(t.Error), w.engaged(pitch), w.tolerance(pitch), w.half())
	gaps, faults := w.Banjo.mounting(t)
	t.Gaps, t.Fits, t.Notes = gaps, len(faults) == 0, nil
	for _, f := range faults {
		t.Notes = append(t.Notes, f.String())
	}
	t.Notes = append(t.Notes, w.warnings(t)...)
	return t, nil
}

// cuts is the lead that a ratio of the change gears gives.
func (w Want) cuts(r calc.Ratio, lever Lever) (calc.Lead, error) {
	l, err := w.Leadscrew.Times(r)
	for _, f := range [2]calc.Ratio{w.fixed(), lever.Ratio} {
		if err == nil && f != one {
			l, err = l.Times(f)
		}
	}
	return l, err
}

// Cuts is the lead a train cuts on the leadscrew of the question, through the
// first of its gearbox positions or the train's own.
func (t Train) Cuts(w Want) (calc.Lead, error) {
	if err := t.check(); err != nil {
		return calc.Lead{}, err
	}
	r, err := t.Ratio()
	if err != nil {
		return calc.Lead{}, err
	}
	lever := w.levers()[0]
	for _, l := range w.Levers {
		if l.Name == t.Lever {
			lever = l
		}
	}
	return w.cuts(r, lever)
}

// warnings is what to watch on a train, whether it fits or not.
func (w Want) warnings(t Train) (notes []string) {
	odd := t.Meshes()%2 == 1
	meshes, turns := fmt.Sprintf("%d meshes", t.Meshes()), "turn"
	if t.Meshes() == 1 {
		meshes, turns = "1 mesh", "turns"
	}
	switch {
	case w.Tumbler && odd != w.LeftHand:
		notes = append(notes, meshes+": set the tumbler so that the carriage goes the right way")
	case w.Tumbler:
	case odd && !w.LeftHand:
		notes = append(notes, fmt.Sprintf("%s %s the leadscrew backwards and would cut a left-hand thread: put in one more idler", meshes, turns))
	case !odd && w.LeftHand:
		notes = append(notes, meshes+" would cut a right-hand thread: put in one more idler")
	}
	if len(t.Idlers) > 0 && len(t.Drivers)+len(t.Idlers) > 2 && w.Banjo.Studs == 0 {
		notes = append(notes, "the idler needs a stud of its own")
	}
	if w.Banjo.Hard(t.StepUp) {
		notes = append(notes, fmt.Sprintf("leadscrew turns %.3g times as fast as the first driver, over %.3g: slowest speed, or turn the spindle by hand", t.StepUp, w.Banjo.stepUpLimit()))
	}
	return notes
}

var one = calc.Whole(1)

// float is the ratio as a floating point number, to within its last place.
func float(r calc.Ratio) float64 { return float64(r.Num()) / float64(r.Den()) }

// leadscrews is the leadscrews a chart is likely to have been made for.
func leadscrews() []calc.Lead {
	var out []calc.Lead
	for _, um := range []int64{1000, 1500, 2000, 2500, 3000, 4000, 5000, 6000} {
		out = append(out, calc.PerTurn(calc.Length(um)*calc.Micrometre))
	}
	for _, tpi := range []int64{4, 5, 6, 8, 10, 12, 16, 20} {
		if l, err := calc.PerInch(calc.Whole(tpi)); err == nil {
			out = append(out, l)
		}
	}
	return out
}

// chartOfOther recognises a train that is a fair way off on this leadscrew and
// right on another common one.
func (w Want) chartOfOther(t Train) string {
	if math.Abs(t.PPM()) < 3000 {
		return ""
	}
	for _, screw := range leadscrews() {
		other := w
		other.Leadscrew = screw
		o, err := Train{Drivers: t.Drivers, Driven: t.Driven}.lead(other, t.Lever)
		if err == nil && math.Abs(o.Float()-1) < 200e-6 {
			return fmt.Sprintf("this train is for a leadscrew of %s: on this one of %s it cuts %s, not %s", screw, w.Leadscrew, t.Lead, w.Lead)
		}
	}
	return ""
}

// lead is what a train cuts over what was wanted.
func (t Train) lead(w Want, lever string) (calc.Ratio, error) {
	r, err := t.Ratio()
	if err != nil {
		return r, err
	}
	for _, l := range w.levers() {
		if l.Name == lever {
			want, err := w.ratio(l)
			if err != nil {
				return r, err
			}
			return r.Over(want)
		}
	}
	return r, fmt.Errorf("no gearbox position %q", lever)
}

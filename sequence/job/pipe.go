package job

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/setup"
	"turncue/calc/thread"
)

const (
	// pipeStock is how much thicker than the crest at the end of the useful thread the
	// cylinder may be that the cone is cut into (common practice).
	pipeStock = 100 * calc.Micrometre
	// pipeHalf is what the half angle of a pipe thread may be off by: over the longest
	// useful thread it changes the diameter by less than half of what a turn does
	// (common practice).
	pipeHalf = calc.Degree / 12
)

// pipe makes an outside taper thread of a section the cone it is cut on: the small end
// such that the crest is no larger than basic at the gauge plane, and a cylinder behind
// that leaves the whole useful thread its crest.
func (p *jobParser) pipe(st *stretch, t *thread.Thread) bool {
	sizes, err := t.TaperSizes()
	if err != nil {
		what, hint := parted(err, "the sizes R 1/8 to R 1, and 1/8 to 2 NPT, are planned")
		st.size.fault("thread", what, hint)
		return false
	}
	if t.LeftHand || t.Starts > 1 {
		st.size.fault("pipe-hand", t.String())
		return false
	}
	if st.taperAt.value != nil || st.smallAt.value != nil {
		return true // refused with the taper
	}
	by := t.Turn().Scale(t.Taper)
	small := fit.Limits{Nominal: sizes.SmallMajor, Min: sizes.SmallMajor - by, Max: sizes.SmallMajor, Class: fit.Written, Source: "crest basic at the gauge plane or less"}
	least := sizes.SmallMajor + sizes.Useful.Scale(t.Taper)
	st.Diameter = fit.Limits{Nominal: least + pipeStock/2, Min: least, Max: least + pipeStock, Class: fit.Written, Source: "crest at the end of the useful thread"}
	one := calc.Length(t.Taper.Num()) * 1000 * calc.Millimetre
	st.Taper = &Taper{Name: "1:16", By: setup.Taper{Change: one, Length: calc.Length(t.Taper.Den()) * 1000 * calc.Millimetre}, Small: small, Half: pipeHalf}
	return true
}

// Tapered says that a section is a taper thread.
func (s *Section) Tapered() bool { return s.Thread != nil && s.Thread.Taper != (calc.Ratio{}) }

// pipeFits checks that all of the useful thread stands in front of the groove. Without
// one it fades out on the cylinder: how long that takes, the tip of the tool decides.
func (p *jobParser) pipeFits(st *stretch) {
	if !st.Tapered() || st.Taper == nil || st.Length.Nominal == 0 || st.Undercut == nil {
		return
	}
	t := *st.Thread
	sizes, err := t.TaperSizes()
	if err != nil {
		return
	}
	faded := st.Taper.By.Depth(pipeStock) // until the cone has run out of the cylinder
	if need := sizes.Useful + t.Turn() + faded + st.Undercut.Width.Max; st.Length.Min < need {
		st.length.fault("pipe-short", p.show(st.Length.Nominal), t.String(), p.show(sizes.Useful), p.show(t.Turn()+faded), p.show(st.Undercut.Width.Max), p.show(roundUp(need+st.Length.Nominal-st.Length.Min, p.job.Unit)))
	}
}

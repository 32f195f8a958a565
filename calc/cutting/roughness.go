package cutting

import (
	"math"

	"turncue/calc"
)

// Roughness is what feed marks leave at best: a small lathe cuts steel one and a
// half to three times rougher. It holds while the feed is less than the nose
// radius and the nose does the cutting.
type Roughness struct {
	Rt calc.Length // height of the marks, f^2 / 8r
	Ra calc.Length // mean deviation of a parabola, f^2 / (18 sqrt(3) r)
}

const raShare = 18 * 1.7320508075688772 // f^2 / (r Ra)

// FeedMarks is the roughness a feed per turn leaves with a nose radius, rounded to
// the nanometre; zero without a nose.
func FeedMarks(feed, nose calc.Length) Roughness {
	if nose <= 0 {
		return Roughness{}
	}
	f, r := feed.Millimetres(), nose.Millimetres()
	return Roughness{calc.Millimetres(f * f / (8 * r)), calc.Millimetres(f * f / (raShare * r))}
}

// FeedFor is the feed per turn that leaves an Ra at best, rounded down to the
// nanometre. Common practice takes half of it.
func FeedFor(ra, nose calc.Length) calc.Length {
	return down(math.Sqrt(ra.Millimetres() * raShare * nose.Millimetres()))
}

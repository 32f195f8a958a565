// Package runner leads a person through a plan, one confirmed step at a time.
//
// [Next] is the whole of the rules: a pure function of a state and an event that
// gives the next state and the effects wanted. It reads no clock and touches
// nothing, so a [Journal] replayed through it ends in the same state. [Run] is the
// loop around it: it owns every goroutine, looks at the stop first, writes what
// happened before the cue of the next step begins, and turns effects into calls of
// the ports (voice, display, log), which live here and are implemented at the edges.
//
// Nothing goes on by itself: one press is at most one step, time and the end of a
// sound move nothing, and a step that needs a reading, an answer or a sign-off is
// not passed without it. The runner never says when to stop a moving carriage.
// Lengths are those of the part: diameters, and distances from the finished end.
package runner

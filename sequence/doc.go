// Package sequence is the language the planner, the bench, the runner and the
// screen share: a [Plan] of [Step]s, the typed [Move]s of the hands inside a
// step, and the [Cue] said for it.
//
// The coordinates are those of the finished part. X is the diameter at which
// the tool tip stands. Z is the distance from the finished end face towards the
// chuck; in front of the face it is negative. "In" on the cross slide is towards
// the axis, "in" on the top slide and the carriage is towards the chuck; "out"
// is the other way. Depth is on radius. Whether a ring is marked on radius or
// diameter is known only to the lathe's dial; a move carries what the ring will
// say.
//
// The line on the screen and the words spoken are derived from the moves, so
// they cannot disagree. Nothing here reads a clock or a file, or knows of sound.
package sequence

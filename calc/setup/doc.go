// Package setup does the sums of setting a lathe up: what a dial shows for a
// position, which way slack has to be taken up, what packing trues a bar, how a
// top slide set at an angle moves the tool.
//
// Travel is true slide travel, on radius on the cross-slide, positive towards
// the work; only a [Dial] knows what its ring says for it. True travel and
// marking are separate figures, because on many lathes they differ. A position
// is rounded to a division once, as an absolute distance from zero, so that
// rounding never adds up over a number of cuts.
//
// Nothing here knows threads, forces or the order of work.
package setup

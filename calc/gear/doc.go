// Package gear finds the change gears for a lead, says whether they can be
// mounted and what they really cut.
//
// A train is written a-b-c-d: a drives b, b and c share a stud, c drives d on the
// leadscrew, so lead = leadscrew x a/b x c/d. Ratios are exact fractions
// throughout; an error is lead/wanted - 1, so a positive one cuts a long thread.
// Wheels are spur wheels of one module with the usual tip circle of module x
// (teeth + 2).
//
// What touches what is worked out from tooth counts and the [Banjo] alone. The
// package does not claim that a wheel's bore or width suits, nor that a guard
// closes over a train whose cover is not given.
package gear

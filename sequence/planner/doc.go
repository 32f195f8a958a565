// Package planner turns a job and a lathe, with what has been measured so far,
// into the steps of a plan: outside work from one end, in the order a tradesman
// would take it.
//
// It is a pure function: the same job, lathe and readings give the same plan,
// byte for byte. A reading changes only the steps after it in its own section, but
// for one thing: the places along the work behind a shoulder are counted from where
// that shoulder was measured.
// What cannot be made is refused with its place in the job file and what would
// make it possible; what can be made with a doubt carries a warning.
//
// Every size is approached by two equal last cuts with a reading between them.
// Positions are absolute: each is rounded to a line of its ring once, and the
// steps say whole turns and the reading, so a prompt lost or heard twice changes
// nothing.
package planner

// Package thread knows screw threads: their designations, the limits of their
// diameters, how deep to cut them with the tool at hand, in which passes, with
// which groove at the end, and how to measure them.
//
// Diameters are diameters; every depth and every infeed is on radius, measured
// into the metal: towards the axis on an outside thread, away from it on an
// inside one. Pitch is from one thread to the next, lead is the travel per turn;
// they differ on a thread of several starts. Each family names its standard, and
// what is only from memory or follows a rule instead of a printed table says so
// in its Sources.
//
// Limits of ISO metric threads are built from the tables of ISO 965-1, not from
// its formulas, which differ from the tables by up to 40 micrometres. A question
// the tables cannot answer is refused with what can be asked instead.
package thread

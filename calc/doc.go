// Package calc holds the quantities of the lathe: lengths, leads, ratios,
// angles and spindle speeds.
//
// Quantities are whole numbers of a small unit, so inch and metric figures are
// both exact; where whole numbers cannot be exact (a thread's lead, a gear
// ratio) a fraction is kept and rounded once, last. Depths are on radius
// throughout. A [Length] is in nanometres, a [Lead] is a length over a number of
// turns, an [Angle] is in milliarcseconds, a [Speed] is in thousandths of a turn
// per minute.
//
// Nothing here reads a clock or a file, and outside input yields errors, not
// panics. The packages below calc (thread, gear, cutting, fit, setup) do the
// trade's sums with these quantities and import nothing else of ours.
package calc

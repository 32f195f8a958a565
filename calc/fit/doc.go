// Package fit knows sizes and their limits: the ISO 286 system of tolerances,
// written tolerances such as ±0.05 mm, and the general tolerances of ISO 2768-1
// for a size that carries none.
//
// Every size here is a diameter or a length as it stands on a drawing, never a
// depth on radius. Limits are exact to the nanometre: the tables are in whole
// micrometres, and js halves an odd one without rounding. A capital letter is a
// hole, a small letter a shaft.
//
// The tables cover 0 to 250 mm and grades IT5 to IT11 (ISO 286-1:2010, tables 1
// to 5). Anything outside them is refused with what there is instead; nothing
// is extrapolated.
package fit

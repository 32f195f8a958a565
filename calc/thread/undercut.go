package thread

import (
	"fmt"
	"sort"

	"turncue/calc"
)

// Undercut is the groove a thread runs out into, DIN 76-1. All of it is from
// memory unless Source says otherwise; r is about P/2 and the ramp towards the
// thread is 30 degrees or more.
type Undercut struct {
	// Offset is added to the nominal diameter of the thread to get the
	// diameter of the groove: below zero on an outside thread.
	Offset calc.Length
	// MinWidth is the least width at the bottom of the groove (g1).
	MinWidth calc.Length
	// MaxWidth is the greatest width over all, ramps included (g2).
	MaxWidth calc.Length
	Radius   calc.Length // in the corners, on radius of curvature
	// RunOut is the greatest run-out of the thread where there is no groove:
	// x1 outside, e1 inside.
	RunOut calc.Length
	Source string
}

// Diameter is the diameter of the groove's bottom for a thread of that nominal
// diameter.
func (u Undercut) Diameter(nominal calc.Length) calc.Length { return nominal + u.Offset }

// undercutRow is one pitch of DIN 76-1 table 1 or 2, in micrometres: the
// run-out, the offset of the groove's diameter, g1 least and g2 greatest of the
// regular form, the same of the short form, and the radius.
type undercutRow struct {
	pitch, runOut, offset, least, greatest, leastShort, greatestShort, radius int
}

// outsideUndercuts are forms A (regular) and B (short).
var outsideUndercuts = []undercutRow{
	{200, 500, -300, 450, 700, 250, 500, 100},
	{250, 600, -400, 550, 900, 250, 600, 120},
	{300, 750, -500, 600, 1050, 300, 750, 160},
	{350, 900, -600, 700, 1200, 400, 900, 160},
	{400, 1000, -700, 800, 1400, 500, 1000, 200},
	{450, 1100, -700, 1000, 1600, 500, 1100, 200},
	{500, 1250, -800, 1100, 1750, 500, 1250, 200},
	{600, 1500, -1000, 1200, 2100, 600, 1500, 400},
	{700, 1750, -1100, 1500, 2450, 800, 1750, 400},
	{750, 1900, -1200, 1600, 2600, 900, 1900, 400},
	{800, 2000, -1300, 1700, 2800, 900, 2000, 400},
	{1000, 2500, -1600, 2100, 3500, 1100, 2500, 600},
	{1250, 3200, -2000, 2700, 4400, 1500, 3200, 600},
	{1500, 3800, -2300, 3200, 5200, 1800, 3800, 800},
	{1750, 4300, -2600, 3900, 6100, 2100, 4300, 1000},
	{2000, 5000, -3000, 4500, 7000, 2500, 5000, 1000},
	{2500, 6300, -3600, 5600, 8700, 3200, 6300, 1200},
	{3000, 7500, -4400, 6700, 10500, 3700, 7500, 1600},
	{3500, 9000, -5000, 7700, 12000, 4700, 9000, 1600},
	{4000, 10000, -5700, 9000, 14000, 5000, 10000, 2000},
}

// insideUndercuts are forms C (regular) and D (short).
var insideUndercuts = []undercutRow{
	{200, 1300, 100, 800, 1200, 500, 900, 100},
	{250, 1500, 100, 1000, 1400, 600, 1000, 120},
	{300, 1800, 100, 1200, 1600, 750, 1250, 160},
	{350, 2100, 200, 1400, 1900, 900, 1400, 160},
	{400, 2300, 200, 1600, 2200, 1000, 1600, 200},
	{450, 2600, 200, 1800, 2400, 1100, 1700, 200},
	{500, 2800, 300, 2000, 2700, 1250, 2000, 200},
	{600, 3400, 300, 2400, 3300, 1500, 2400, 400},
	{700, 3800, 300, 2800, 3800, 1750, 2750, 400},
	{750, 4000, 300, 3000, 4000, 1900, 2900, 400},
	{800, 4200, 300, 3200, 4200, 2000, 3000, 400},
	{1000, 5100, 500, 4000, 5200, 2500, 3700, 600},
	{1250, 6200, 500, 5000, 6700, 3200, 4900, 600},
	{1500, 7300, 500, 6000, 7800, 3800, 5600, 800},
	{1750, 8300, 500, 7000, 9100, 4300, 6400, 1000},
	{2000, 9300, 500, 8000, 10300, 5000, 7300, 1000},
	{2500, 11200, 500, 10000, 13000, 6300, 9300, 1200},
	{3000, 13100, 500, 12000, 15200, 7500, 10700, 1600},
	{3500, 15200, 500, 14000, 17700, 9000, 12700, 1600},
	{4000, 16800, 500, 16000, 20000, 10000, 14000, 2000},
}

// The forms of [UndercutFor].
const (
	Regular = "regular"
	Short   = "short"
)

const sourceDIN76 = "DIN 76-1 (from memory)"

// UndercutFor is the groove for an outside thread of that pitch: form "regular"
// (A) or "short" (B). A pitch that is not in the table is refused with its
// neighbours.
func UndercutFor(pitch calc.Lead, form string) (Undercut, error) {
	return undercut(outsideUndercuts, pitch, form)
}

// InsideUndercutFor is the groove for an inside thread: form "regular" (C) or
// "short" (D).
func InsideUndercutFor(pitch calc.Lead, form string) (Undercut, error) {
	return undercut(insideUndercuts, pitch, form)
}

// Undercut is the groove for this thread, on its side.
func (t Thread) Undercut(form string) (Undercut, error) {
	if t.External {
		return UndercutFor(t.Pitch, form)
	}
	return InsideUndercutFor(t.Pitch, form)
}

func undercut(table []undercutRow, pitch calc.Lead, form string) (Undercut, error) {
	if form != Regular && form != Short {
		return Undercut{}, fmt.Errorf("undercut %q is not known: write %s or %s", form, Regular, Short)
	}
	length := func(v int) calc.Length { return calc.Length(v) * um }
	i := sort.Search(len(table), func(i int) bool { return calc.PerTurn(length(table[i].pitch)).Cmp(pitch) >= 0 })
	if i == len(table) || calc.PerTurn(length(table[i].pitch)) != pitch {
		near := ""
		switch {
		case i == 0:
			near = "the finest is for " + length(table[0].pitch).String()
		case i == len(table):
			near = "the coarsest is for " + length(table[i-1].pitch).String()
		default:
			near = fmt.Sprintf("its neighbours are for %s and %s", length(table[i-1].pitch), length(table[i].pitch))
		}
		return Undercut{}, fmt.Errorf("DIN 76-1 has no undercut for a pitch of %s: %s; write the groove's width and diameter yourself", pitch, near)
	}
	r := table[i]
	u := Undercut{Offset: length(r.offset), MinWidth: length(r.least), MaxWidth: length(r.greatest),
		Radius: length(r.radius), RunOut: length(r.runOut), Source: sourceDIN76}
	if form == Short {
		u.MinWidth, u.MaxWidth = length(r.leastShort), length(r.greatestShort)
	}
	return u, nil
}

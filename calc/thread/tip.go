package thread

import (
	"fmt"
	"math"
	"strings"

	"turncue/calc"
)

// Tip is the end of a threading tool between its two flanks: a flat of that
// width, or a radius. The zero Tip is a dead sharp one.
type Tip struct{ Flat, Radius calc.Length }

// String is "sharp", "flat 0.2 mm" or "radius 0.1 mm"; [ParseTip] reads it back.
func (t Tip) String() string {
	switch {
	case t.Flat != 0:
		return "flat " + t.Flat.String()
	case t.Radius != 0:
		return "radius " + t.Radius.String()
	}
	return "sharp"
}

// short is how far a tip stops short of the point its flanks would meet in, on
// radius, rounded to the nanometre: f / (2 tan A) for a flat, R (1 / sin A - 1)
// for a radius, A being half the included angle.
func (t Tip) short(half float64) calc.Length {
	return nearest(float64(t.Flat)/(2*math.Tan(half)) + float64(t.Radius)*(1/math.Sin(half)-1))
}

// ParseTip reads a tool tip: "sharp", "flat 0.2 mm", "radius 0.1 mm", and as
// shares of the pitch "flat P/8", "radius H/6", "radius 0.125P", H being the
// height of the sharp 60 degree triangle, 0.866025 P. "insert 1 to 1.5 mm" or
// "insert 24 to 16 tpi" is an insert for a range of pitches: its radius is the
// least the finest of them allows, 0.125 P (ISO 965-1; measure it where you can).
// The result is rounded to the nanometre.
func ParseTip(text string, pitch calc.Lead) (Tip, error) {
	fail := func(format string, args ...any) (Tip, error) {
		return Tip{}, fmt.Errorf("tip %q %s", text, fmt.Sprintf(format, args...))
	}
	fields := strings.Fields(text)
	if len(text) > 60 || len(fields) == 0 {
		return Tip{}, fmt.Errorf("no tool tip: write sharp, flat 0.2 mm or radius 0.1 mm")
	}
	kind, size := fields[0], strings.Join(fields[1:], " ")
	switch kind {
	case "sharp":
		if size != "" {
			return fail("has more than one word: write sharp alone")
		}
		return Tip{}, nil
	case "insert":
		v, err := insertTip(fields[1:], pitch)
		if err != nil {
			return fail("%s", err)
		}
		return v, nil
	case "flat", "radius":
	default:
		return fail("is not known: write sharp, flat 0.2 mm, radius 0.1 mm or insert 1 to 1.5 mm")
	}
	v, err := tipSize(size, pitch)
	if err != nil {
		return fail("has no size: write one such as %s 0.1 mm, or a share of the pitch such as %s", kind,
			map[string]string{"flat": "flat P/8", "radius": "radius H/6"}[kind])
	}
	if v <= 0 {
		return fail("is not above zero: write sharp for no %s at all", kind)
	}
	if pitch.Sign() > 0 && v >= pitch.Length() {
		return fail("is as wide as the pitch of %s: is the unit right?", pitch)
	}
	if kind == "flat" {
		return Tip{Flat: v}, nil
	}
	return Tip{Radius: v}, nil
}

// insertTip reads the range of pitches an insert is for: "1 to 1.5 mm", "for P
// 0.5 - 1.5 mm", "24 to 16 tpi", or one pitch.
func insertTip(words []string, pitch calc.Lead) (Tip, error) {
	text := strings.TrimPrefix(strings.Join(words, " "), "for ")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "P", ""), "-", " to ")
	from, to, _ := strings.Cut(text, " to ")
	from, to = strings.TrimSpace(from), strings.TrimSpace(to)
	unit := "mm"
	if strings.HasSuffix(text, "tpi") {
		unit = "tpi"
	}
	if to == "" {
		to = from
	}
	read := func(s string) (calc.Lead, error) {
		return calc.ParseLead(strings.TrimSpace(strings.TrimSuffix(s, unit)) + " " + unit)
	}
	fine, err := read(from)
	if err != nil {
		return Tip{}, fmt.Errorf("has no range of pitches: write one such as insert 1 to 1.5 mm")
	}
	coarse, err := read(to)
	if err != nil {
		return Tip{}, fmt.Errorf("has no range of pitches: write one such as insert 1 to 1.5 mm")
	}
	if fine.Cmp(coarse) > 0 {
		fine, coarse = coarse, fine
	}
	if pitch.Sign() > 0 && (pitch.Cmp(fine) < 0 || pitch.Cmp(coarse) > 0) {
		return Tip{}, fmt.Errorf("is for pitches of %s to %s, not %s", fine, coarse, pitch)
	}
	if coarse.Length() > 100*mm {
		return Tip{}, fmt.Errorf("is for a pitch of %s: is the unit right?", coarse)
	}
	return Tip{Radius: nearest(fine.Nanometres().Float() / 8)}, nil
}

// tipSize reads a length or a share of P or H: "P/8", "H/6", "0.125P", "0.125 P".
func tipSize(s string, pitch calc.Lead) (calc.Length, error) {
	at := strings.IndexAny(s, "PH")
	if at < 0 {
		return calc.ParseLength(s)
	}
	share := strings.TrimSpace(s[:at])
	if share == "" {
		share = "1"
	}
	if rest := strings.TrimSpace(s[at+1:]); rest != "" {
		if rest[0] != '/' || strings.ContainsAny(share, "/") {
			return 0, fmt.Errorf("no share")
		}
		share += rest
	}
	r, err := calc.ParseRatio(share)
	if err != nil {
		return 0, err
	}
	v := r.Float() * float64(pitch.Length())
	if s[at] == 'H' {
		v *= math.Sqrt(3) / 2
	}
	if math.Abs(v) > 1e15 {
		return 0, fmt.Errorf("too large")
	}
	return nearest(v), nil
}

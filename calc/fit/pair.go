package fit

import (
	"fmt"
	"strings"

	"turncue/calc"
)

// Pair is a hole and the shaft that goes into it, of one nominal size.
type Pair struct{ Hole, Shaft Limits }

// ParsePair reads a fit in the hole and shaft system of ISO 286: "25 H7/g6",
// "1 in H7/g6". Without a unit it is in millimetres.
func ParsePair(text string) (Pair, error) {
	if len(text) > longest {
		return Pair{}, fmt.Errorf("a fit is at most %d characters long: write one such as 25 H7/g6", longest)
	}
	t := strings.TrimSpace(text)
	at := strings.LastIndex(t, "/")
	if at <= 0 || !isZone(strings.TrimSpace(t[at+1:])) {
		return Pair{}, fmt.Errorf("%q is no fit: write both zones, such as 25 H7/g6", text)
	}
	hole, err := Parse(t[:at])
	if err != nil {
		return Pair{}, err
	}
	if hole.Class == None || hole.Class == Written || hole.Class == Default {
		return Pair{}, fmt.Errorf("%q is no fit: write both zones, such as 25 H7/g6", text)
	}
	shaft, err := ISO286(hole.Nominal, strings.TrimSpace(t[at+1:]))
	if err != nil {
		return Pair{}, err
	}
	if !hole.Hole() || shaft.Hole() {
		return Pair{}, fmt.Errorf("%q: write the hole first with capitals, then the shaft with small letters, such as 25 H7/g6", text)
	}
	return Pair{hole, shaft}, nil
}

// MaxClearance is the largest hole less the smallest shaft; below zero there is
// interference throughout.
func (p Pair) MaxClearance() calc.Length { return p.Hole.Max - p.Shaft.Min }

// MinClearance is the smallest hole less the largest shaft; below zero is
// interference.
func (p Pair) MinClearance() calc.Length { return p.Hole.Min - p.Shaft.Max }

// Kind is clearance, transition or interference.
func (p Pair) Kind() string {
	switch {
	case p.MinClearance() >= 0:
		return "clearance"
	case p.MaxClearance() <= 0:
		return "interference"
	}
	return "transition"
}

// String is "25 mm H7/g6"; [ParsePair] reads it back.
func (p Pair) String() string {
	return p.Hole.Nominal.String() + " " + p.Hole.Class + "/" + p.Shaft.Class
}

package cutting

import (
	"fmt"

	"turncue/calc"
)

// Class is the size of a lathe as depths of cut are given for.
type Class int

// The classes. Mini is the usual bench-top change-gear lathe of 180 mm swing.
const (
	Micro Class = iota // up to 150 W
	Mini               // 250 to 600 W
	Bench              // 750 to 1500 W
)

// String is "mini".
func (c Class) String() string {
	switch c {
	case Micro:
		return "micro"
	case Bench:
		return "bench"
	default:
		return "mini"
	}
}

// ClassOf is the class of a lathe by the name-plate power of its motor, the
// boundaries in the middle of what the classes leave open.
func ClassOf(p Power) Class {
	switch {
	case p <= 200:
		return Micro
	case p < 700:
		return Mini
	default:
		return Bench
	}
}

// Depths is the depth of one roughing cut, on radius.
type Depths struct {
	Start, Max calc.Length
	Basis      string // "table", or what it was taken from
}

// depthTable is common practice for small lathes; the larger figures after
// published ones for HSS on a lathe. Micrometres.
var depthTable = map[Class]map[string][2]int64{
	Micro: {"mild_steel": {100, 250}, "al6061": {250, 500}, "brass": {250, 600}},
	Mini: {"mild_steel": {250, 600}, "ss304": {200, 500}, "4140_prehard": {150, 400}, "grey_iron": {400, 800},
		"brass": {500, 1200}, "al6061": {500, 1200}, "acetal": {1000, 3000}},
	Bench: {"mild_steel": {750, 1500}, "ss304": {600, 1200}, "4140_prehard": {500, 1000}, "al6061": {1000, 2500}},
}

// depthAs is the material whose depth is taken for one that has none: never one
// that cuts more easily (common practice).
var depthAs = map[string]string{
	"free_steel": "mild_steel", "medium_carbon": "4140_prehard", "st50": "4140_prehard", "c60": "4140_prehard",
	"16mncr5": "4140_prehard", "4140_annealed": "4140_prehard", "ss303": "ss304", "grey_iron_soft": "grey_iron",
	"bronze": "mild_steel", "copper": "mild_steel", "al7075": "al6061", "nylon": "acetal", "ti64": "4140_prehard",
}

// Depth is the depth of a roughing cut for a lathe of a class. A material without
// a row takes that of a no softer one; a class without the row takes the mini
// lathe's scaled as mild steel is. The power check lowers a depth, it never raises
// one.
func (m Material) Depth(c Class) Depths {
	id, basis := m.ID, "table"
	if _, known := depthAs[id]; !known && depthTable[Mini][id] == [2]int64{} && m.SpeedsAs != "" {
		id, basis = m.SpeedsAs, "taken as for "+m.SpeedsAs+" (common practice)"
	}
	if like, ok := depthAs[id]; ok {
		id, basis = like, "taken as for "+like+" (common practice)"
	}
	if _, ok := depthTable[Mini][id]; !ok {
		id = map[Group]string{Stainless: "ss304", Iron: "grey_iron", Copperlike: "mild_steel", Aluminium: "al6061", Plastic: "acetal", Titanium: "4140_prehard"}[m.Group]
		if id == "" {
			id = "4140_prehard"
		}
		basis = "taken as for " + id + " (common practice)"
	}
	if d, ok := depthTable[c][id]; ok {
		return Depths{microns(d[0]), microns(d[1]), basis}
	}
	d, from, to := depthTable[Mini][id], depthTable[Mini]["mild_steel"], depthTable[c]["mild_steel"]
	return Depths{
		microns(d[0] * to[0] / from[0]),
		microns(d[1] * to[1] / from[1]),
		fmt.Sprintf("the mini lathe's figure for %s, scaled as mild steel is (common practice)", id),
	}
}

// FinishDepth is the depth of a finishing cut in metal, on radius (common
// practice).
func FinishDepth() Depths {
	return Depths{100 * calc.Micrometre, 250 * calc.Micrometre, "table"}
}

// LeastDepth is the smallest cut on radius that still cuts rather than rubs, with
// a keen tool: a finishing allowance thinner than this leaves the part oversize
// (common practice).
func LeastDepth(t Tool) Depths {
	if t == Carbide {
		return Depths{50 * calc.Micrometre, 100 * calc.Micrometre, "table"}
	}
	return Depths{20 * calc.Micrometre, 50 * calc.Micrometre, "table"}
}

// Passes is how many cuts of at most a depth take a stock off, both on radius.
func Passes(stock, depth calc.Length) int {
	if depth <= 0 || stock <= 0 {
		return 0
	}
	return int(stock.Ceil(depth) / depth)
}

package bench

import (
	"math"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/job"
)

// tool is what is in the post.
type tool struct {
	sequence.Mount
	width calc.Length // of a groover or blade, and of a threading tool where it enters a groove
	edge  calc.Length // of a chamfer tool, how far its edge goes along z
}

// chamferEdge is how far the edge of the chamfer tool owned goes along z: it stands at
// 45 degrees.
func (b *lathe) chamferEdge() calc.Length {
	long := job.ChamferEdge
	for _, t := range b.own.Tools {
		if t.Kind == job.KindChamfer && t.Edge > 0 {
			long = min(t.Edge, longest)
			break
		}
	}
	return calc.Length(float64(long)*math.Sqrt2/2) * calc.Nanometre
}

// covers is what the tool takes up between two places of its reference edge at
// one x. A turning tool has its body on the tailstock side; a groover stands with
// its chuck side at z, a blade with its tailstock side, a threading tool with its
// point in the middle. The edge of a chamfer tool rises at 45 degrees from its
// reference towards the chuck.
func (t *tool) covers(x, from, to calc.Length) []edge {
	a, b := min(from, to), max(from, to)
	switch t.Kind {
	case sequence.GroovingTool, sequence.KnurlingTool:
		return []edge{flat(a-t.width, b, x)}
	case sequence.PartingTool:
		return []edge{flat(a, b+t.width, x)}
	case sequence.ThreadingTool:
		return []edge{flat(a-t.width/2, b+t.width/2, x)}
	case sequence.ChamferTool:
		return []edge{flat(a, b, x), {b, b + t.edge, x, x + 2*t.edge}}
	case sequence.RoundingTool:
		return t.hollow(x, a, b)
	}
	if t.Radius > 0 {
		return append([]edge{flat(-far, b-t.Radius, x)}, t.nose(x, b)...)
	}
	return []edge{flat(-far, b, x)}
}

// sweeps is what the tool cuts when it travels along the work.
func (t *tool) sweeps(x, from, to calc.Length) []edge {
	if t.Kind == sequence.TurningTool {
		a, b := min(from, to), max(from, to)
		return append([]edge{flat(a-t.Radius, b-t.Radius, x)}, t.nose(x, b)...)
	}
	return t.covers(x, from, to)
}

// chuckSide is how far the tool reaches beyond its reference edge towards the
// chuck.
func (t *tool) chuckSide() calc.Length {
	switch t.Kind {
	case sequence.PartingTool:
		return t.width
	case sequence.ThreadingTool:
		return t.width / 2
	case sequence.RoundingTool:
		return t.Radius + heel
	}
	return 0
}

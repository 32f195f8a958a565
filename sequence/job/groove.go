package job

import (
	"cmp"
	"slices"
	"strconv"

	"turncue/calc"
	"turncue/calc/fit"
)

// Groove is a groove in a plain section, for a ring or a seal. Its place is that of the
// wall that is nearest to the edge it is measured from.
type Groove struct {
	Pos      Pos
	From     Edge
	At       fit.Limits // from that edge to the nearest wall
	Width    fit.Limits // between its walls
	Diameter fit.Limits // at its bottom
}

// Edge is an end of a section.
type Edge string

// The edges a groove is measured from.
const (
	FreeEnd  Edge = "free end" // of the section, towards the tailstock
	Shoulder Edge = "shoulder" // where the section ends, towards the chuck
)

// What grooves keep (common practice).
const (
	// LeastLand is what stays beside a groove: what a tool is touched on, and what holds
	// a ring.
	LeastLand = 500 * calc.Micrometre
	// leastGroove is the least depth on radius.
	leastGroove = 200 * calc.Micrometre
	// measured is what stays of the section somewhere for a micrometer.
	measured   = 2 * calc.Millimetre
	maxGrooves = 8 // of a section
)

var grooveFields = []field{
	{"from", `"free end"`},
	{"at", `"3 mm"`},
	{"width", `"1.3 mm +0.14/-0.0 mm"`},
	{"diameter", `"19 mm h11"`},
}

// ring is a groove while it is read.
type ring struct {
	Groove
	from, at, width, size arg
}

// Span is where a groove lies in a section of a length as drawn, from its free end.
func (g *Groove) Span(length calc.Length) (from, to calc.Length) {
	if g.From == Shoulder {
		return length - g.At.Mid() - g.Width.Mid(), length - g.At.Mid()
	}
	return g.At.Mid(), g.At.Mid() + g.Width.Mid()
}

// lands are what stays at least on both sides of a groove in a section.
func (g *Groove) lands(length fit.Limits) (free, shoulder calc.Length) {
	if g.From == Shoulder {
		return length.Min - g.At.Max - g.Width.Max, g.At.Min
	}
	return g.At.Min, length.Min - g.At.Max - g.Width.Max
}

// between is what stays at least between a groove and the next one in a section.
func between(g, next *Groove, length fit.Limits) calc.Length {
	free, _ := next.lands(length)
	_, rest := g.lands(length)
	switch {
	case g.From == Shoulder && next.From == Shoulder:
		return rest - next.At.Max - next.Width.Max
	case g.From == Shoulder:
		return free - (length.Max - g.At.Min)
	}
	return free - g.At.Max - g.Width.Max
}

// grooves reads the grooves of a section.
func (p *jobParser) grooves(st *stretch) {
	a := st.scope.get("groove")
	if a.value == nil {
		return
	}
	st.grooveAt = a
	tables, ok := tablesOf(p.reader, st.scope, "groove", "groove = "+a.f.example)
	if !ok {
		return
	}
	if len(tables) > maxGrooves {
		p.fault("groove-count", tables[maxGrooves].pos, st.number, strconv.Itoa(maxGrooves))
		tables = tables[:maxGrooves]
	}
	for _, t := range tables {
		s := p.scope(t, " in a groove", grooveFields, nil)
		r := ring{from: s.get("from"), at: s.need("at"), width: s.need("width"), size: s.need("diameter")}
		r.Groove = Groove{Pos: t.pos, From: FreeEnd, At: r.at.size(), Width: r.width.size(), Diameter: r.size.size()}
		if r.from.value != nil {
			r.From = Edge(r.from.word(string(FreeEnd), string(Shoulder)))
		}
		if r.At.Nominal == 0 || r.Width.Nominal == 0 || r.Diameter.Nominal == 0 || r.From == "" {
			continue
		}
		st.rings = append(st.rings, r)
	}
}

// groovesFit checks where the grooves of section i stand, and puts them in the order in
// which they lie along it.
func (p *jobParser) groovesFit(i int) {
	st := p.parts[i]
	if len(st.rings) == 0 {
		return
	}
	switch {
	case !st.plain || st.Taper != nil || st.AsBar || st.knurled.value != nil:
		kind := "left as the bar"
		if st.Taper != nil {
			kind = "tapered"
		} else if st.knurled.value != nil {
			kind = "knurled"
		} else if !st.plain {
			kind = "a thread"
		}
		st.grooveAt.fault("groove-here", st.number, kind)
		return
	case p.job.PickUp:
		st.grooveAt.fault("pick-up-key", "groove")
		return
	case st.Length.Nominal == 0 || st.Diameter.Nominal == 0:
		return
	}
	sound := true
	for k := range st.rings {
		sound = p.grooveFit(st, i, &st.rings[k]) && sound
	}
	slices.SortStableFunc(st.rings, func(a, b ring) int {
		x, _ := a.Span(st.Length.Mid())
		y, _ := b.Span(st.Length.Mid())
		return cmp.Compare(x, y)
	})
	for k := range st.rings {
		if k > 0 && sound {
			if land := between(&st.rings[k-1].Groove, &st.rings[k].Groove, st.Length); land < LeastLand {
				p.fault("groove-close", st.rings[k].Pos, p.show(max(0, land)), p.show(LeastLand))
			}
		}
		st.Grooves = append(st.Grooves, st.rings[k].Groove)
	}
	if _, wide := st.widest(); sound && wide < measured {
		st.grooveAt.fault("groove-measure", st.number, p.show(max(0, wide)), p.show(measured))
	}
}

// Land is the middle of the longest stretch of a section that its grooves leave, from its
// free end.
func (s *Section) Land() calc.Length {
	middle, _ := s.widest()
	return middle
}

func (s *Section) widest() (middle, wide calc.Length) {
	at := s.Leg()
	see := func(to calc.Length) {
		if to-at > wide {
			middle, wide = calc.Mid(at, to), to-at
		}
	}
	for i := range s.Grooves {
		from, to := s.Grooves[i].Span(s.Length.Mid())
		see(from)
		at = to
	}
	see(s.Length.Mid() - s.Corner)
	return middle, wide
}

// grooveFit checks one groove against its section.
func (p *jobParser) grooveFit(st *stretch, i int, r *ring) bool {
	d := st.Diameter
	free, rest := r.lands(st.Length)
	switch {
	case r.Diameter.Hole():
		r.size.fault("groove-zone", p.show(r.Diameter.Nominal), r.Diameter.Class)
	case d.Min-r.Diameter.Max < 2*leastGroove:
		r.size.fault("groove-shallow", p.show(r.Diameter.Nominal), p.show(d.Nominal), p.show((d.Min - 2*leastGroove - r.Diameter.Max + r.Diameter.Nominal).Floor(10*calc.Micrometre)))
	case 2*r.Diameter.Min < d.Nominal:
		r.size.fault("groove-deep", p.show(r.Diameter.Nominal), p.show(d.Nominal), p.show((d.Nominal/2 + r.Diameter.Nominal - r.Diameter.Min).Ceil(10*calc.Micrometre)))
	case r.From == Shoulder && i == len(p.parts)-1 && p.job.PartOff:
		r.from.fault("groove-no-shoulder", st.number)
	case free < st.Leg()+LeastLand:
		r.at.fault("groove-land", p.show(max(0, free-st.Leg())), "towards the free end", p.show(LeastLand))
	case rest < st.Corner+LeastLand:
		r.at.fault("groove-land", p.show(max(0, rest-st.Corner)), "towards the chuck", p.show(LeastLand))
	default:
		return true
	}
	return false
}

package job

import (
	"slices"
	"strconv"
	"strings"

	"turncue/calc"
)

// Second is what is done to the part turned round, after it is off the bar.
type Second struct {
	Pos      Pos
	Held     string      // the section the jaws close on, or the bore the mandrel goes through
	By       Holding     // what holds it
	Face     calc.Length // left on the length for it; 0.5 mm unless given, behind a saw 1.5 mm
	RunOut   calc.Length // most the indicator may swing; from the kind of holding unless given
	Sections []Section   // from the new free end; cut from the last section of the first setting
	Chamfer  calc.Length // of the new free end where nothing is turned there
	Note     string      // the author's, at its first step; "" for none
	Bores    []Bore      // from the new free end inwards
}

// Holding is what holds a part in its second setting.
type Holding string

// The ways to hold a part that is finished where it is held.
const (
	InThreeJaw Holding = "three-jaw chuck"
	InFourJaw  Holding = "four-jaw chuck"
	InSoftJaws Holding = "soft jaws"
	OnMandrel  Holding = "expanding mandrel"
)

// What each holds to, full swing of the indicator (common practice): soft jaws and a
// mandrel as they come when they are made for the part, a four-jaw chuck as it is
// trued, a three-jaw chuck as it happens to close.
var holdsTo = map[Holding]calc.Length{
	InThreeJaw: 100 * calc.Micrometre, InFourJaw: 20 * calc.Micrometre, InSoftJaws: 30 * calc.Micrometre, OnMandrel: 20 * calc.Micrometre,
}

const (
	// sawFace is the least that is left on a sawn end for facing.
	sawFace   = 1500 * calc.Micrometre
	maxRunOut = calc.Millimetre
	// ShoulderGap is what stays free between the jaws and the shoulder in front of
	// them, so that it can be seen and measured.
	ShoulderGap = calc.Millimetre
	// mandrelOut is how far a mandrel may stand out with the part on it, in its own
	// thickness: as a bar that takes light cuts (common practice).
	mandrelOut = 4
	// MandrelRoom is between the part on a mandrel and the chuck that holds it.
	MandrelRoom = 10 * calc.Millimetre
)

var secondFields = []field{
	{"held", `"body"`},
	{"by", `"soft jaws"`},
	{"face", `"0.5 mm"`},
	{"run_out", `"0.03 mm"`},
	{"chamfer", `"0.5 mm"`},
	{"section", `[[second.section]]`},
	noteField,
	{"bore", `[[second.bore]]`},
	{"bore_chamfer", `"0.5 mm"`},
}

// TurnedRound says that the job has a second setting.
func (j *Job) TurnedRound() bool { return j.Second != nil }

// Reach is how far from the new end the second setting turns, at most.
func (s *Second) Reach() (long calc.Length) {
	for i := range s.Sections {
		long += s.Sections[i].Length.Max
	}
	return long
}

// First is the job of the first setting alone: longer at its end by what is faced off
// in the second.
func (j *Job) First() *Job {
	if j.Second == nil {
		return j
	}
	one := *j
	one.Second = nil
	one.PartOff, one.Sawn = true, !j.PartOff
	one.Overall.Nominal = 0
	one.Sections = slices.Clone(j.Sections)
	last := &one.Sections[len(one.Sections)-1].Length
	half := j.Second.Face / 2 // it is not the drawing's length yet
	last.Nominal += j.Second.Face
	last.Min, last.Max = last.Nominal-half, last.Nominal+half
	return &one
}

// second reads the second setting.
func (p *jobParser) second() {
	a := p.top.get("second")
	if a.value == nil {
		return
	}
	if a.kind != kindTable || a.table == nil {
		a.fault("not-a-table", "second", kindNames[a.kind], `[second] with held = "body" and by = "soft jaws"`)
		return
	}
	s := p.scope(a.table, " in the second setting", secondFields, func(key string) (not, instead string) {
		if contains(keysOf(jobFields), key) && key != "section" && key != "bore" && key != "face" {
			return "in the second setting", "write it above the first heading"
		}
		return "", ""
	})
	two := &Second{Pos: a.table.pos, Face: defaultFace}
	if !p.job.PartOff {
		two.Face = sawFace
	}
	two.Note = s.get("note").note()
	held := s.need("held")
	two.Held = held.name()
	by := s.need("by")
	two.By = Holding(by.word(string(InThreeJaw), string(InFourJaw), string(InSoftJaws), string(OnMandrel)))
	face := s.get("face")
	if face.value != nil {
		if two.Face = face.length(maxFace); !p.job.PartOff && two.Face > 0 && two.Face < sawFace {
			face.fault("second-saw-face", p.show(two.Face), p.show(sawFace))
		}
	}
	two.RunOut = holdsTo[two.By]
	if r := s.get("run_out"); r.value != nil {
		if two.RunOut = r.length(maxRunOut); two.RunOut > 0 && two.RunOut < holdsTo[two.By] && two.By == InThreeJaw {
			r.fault("second-run-out", p.show(two.RunOut), p.show(holdsTo[two.By]))
		}
	}
	chamfer := s.get("chamfer")
	if chamfer.value != nil {
		two.Chamfer = chamfer.length(maxBar)
	}
	p.job.Second = two
	q := &jobParser{reader: p.reader, top: s, job: &Job{Source: p.job.Source, Unit: p.job.Unit}, own: p.own, prefix: "second"}
	if s.get("section").value != nil {
		q.sections()
	}
	two.Sections = q.job.Sections
	p.secondHeld(held, by)
	p.secondSections(q, chamfer)
	p.secondBores(q)
	switch {
	case p.job.Centre:
		p.top.get("support").fault("second-centre")
	case p.job.Quantity > 1:
		p.top.get("quantity").fault("second-quantity", strconv.Itoa(p.job.Quantity))
	}
}

// secondHeld checks what the part is held by.
func (p *jobParser) secondHeld(held, by arg) {
	two := p.job.Second
	if two.Held == "" || two.By == "" {
		return
	}
	var names []string
	if two.By == OnMandrel {
		for _, h := range p.hollows {
			names = append(names, h.Name)
			if h.Name != two.Held {
				continue
			}
			out := p.job.Total() + MandrelRoom
			switch {
			case !h.Through && h.at.value == nil:
				held.fault("second-mandrel-blind", two.Held)
			case h.Diameter.Nominal > 0 && p.lengthsKnown() && out > mandrelOut*h.Diameter.Nominal:
				held.fault("second-mandrel-slender", two.Held, p.show(h.Diameter.Nominal), p.show(out), strconv.Itoa(mandrelOut))
			}
			return
		}
		if len(names) == 0 {
			by.fault("second-no-bore")
			return
		}
	}
	if two.By != OnMandrel {
		for i, st := range p.parts {
			names = append(names, st.Name)
			if st.Name != two.Held {
				continue
			}
			room := ShoulderGap
			if i == len(p.parts)-1 {
				room = two.Reach() + JawMargin
			}
			least := st.Diameter.Nominal/3 + calc.Millimetre/2 // as long as it may turn out
			switch grip := st.Length.Nominal - room; {
			case st.Taper != nil:
				held.fault("second-held-taper", two.Held)
			case st.knurled.value != nil:
				held.fault("second-held-knurl", two.Held)
			case st.Thread != nil:
				held.fault("second-held-thread", two.Held, st.Thread.String())
			case i == len(p.parts)-1 && len(p.parts) > 1:
				held.fault("second-held-last", two.Held)
			case st.Length.Nominal > 0 && st.Diameter.Nominal > 0 && grip < least:
				held.fault("second-held-short", two.Held, p.show(max(0, grip)), p.show(st.Diameter.Nominal), p.show((least + room).Ceil(calc.Millimetre)))
			}
			return
		}
	}
	held.fault("second-held", two.Held, strings.Join(names, ", "))
}

// secondSections checks what is turned from the other end: it comes out of the last
// section of the first setting.
func (p *jobParser) secondSections(q *jobParser, chamfer arg) {
	for _, st := range p.parts {
		if st.cornerAt.value != nil {
			st.cornerAt.fault("corner-second", st.number)
		}
	}
	if len(q.parts) == 0 || len(p.parts) == 0 {
		last := calc.Length(0)
		if n := len(p.parts); n > 0 {
			last = p.parts[n-1].Diameter.Nominal
		}
		if c := p.job.Second.Chamfer; last > 0 && 2*c >= last {
			chamfer.fault("chamfer-radius", p.show(c), p.show(last), p.show(last/2))
		}
		return
	}
	if chamfer.value != nil {
		chamfer.fault("second-chamfer")
	}
	tail := p.parts[len(p.parts)-1]
	q.job.Bar = tail.Diameter.Nominal
	var total calc.Length
	var front *stretch
	for i, st := range q.parts {
		for _, other := range p.parts {
			if other.Name == st.Name && st.Name != "" {
				a := st.scope.get("name")
				if a.value != nil {
					a.fault("name-twice", st.number, st.Name, other.number)
				}
			}
		}
		if st.Taper != nil {
			at := st.taperAt
			if at.value == nil {
				at = st.smallAt
			}
			if at.value == nil { // a taper thread
				at = st.size
			}
			at.fault("second-taper", st.number)
			continue
		}
		for _, a := range []arg{st.cornerAt, st.roundAt} {
			if a.value != nil {
				a.fault("second-radius", st.number, a.f.key)
			}
		}
		if st.grooveAt.value != nil {
			st.grooveAt.fault("second-groove", st.number)
			continue
		}
		if st.AsBar {
			st.size.fault("second-as-bar", st.number)
			continue
		}
		q.againstBar(st, i)
		if st.Diameter.Nominal > 0 {
			if front != nil && st.Diameter.Mid() < front.Diameter.Mid() {
				st.size.fault("thinner-behind", st.number, st.called(p), front.number, front.called(p))
			}
			front = st
		}
		q.chamfer(i)
		q.grooveFits(st)
		total += st.Length.Nominal
		p.secondWall(st, total)
	}
	whole := p.job.Second.By == OnMandrel && len(p.parts) == 1 && total == tail.Length.Nominal
	if l := tail.Length.Nominal; l > 0 && q.lengthsKnown() && !whole && total > l-calc.Millimetre {
		q.parts[len(q.parts)-1].length.fault("second-long", p.show(total), tail.Name, p.show(l), p.show(max(0, l-calc.Millimetre)))
	}
}

// secondWall checks what is left between a section of the second setting, which ends so
// far from the new end, and the bores of the first.
func (p *jobParser) secondWall(st *stretch, end calc.Length) {
	thin := st.Core() - 2*st.Chamfer
	for _, h := range p.hollows {
		if !h.Through && h.Depth.Nominal <= p.job.Total()-end || h.Diameter.Nominal == 0 || st.Diameter.Nominal == 0 {
			continue
		}
		if wall := (thin - h.Diameter.Nominal) / 2; wall < LeastWall {
			st.size.fault("second-wall", st.number, p.show(max(0, wall)), h.number, p.show(h.Diameter.Nominal), p.show(h.Diameter.Nominal+2*LeastWall+2*st.Chamfer))
			return
		}
	}
}

// overall reads the length over all and holds it against the sections.
func (p *jobParser) overall() {
	a := p.top.get("overall")
	if a.value == nil {
		return
	}
	p.job.Overall = a.size()
	switch total := p.job.Total(); {
	case p.job.Overall.Nominal == 0 || !p.lengthsKnown():
	case total != p.job.Overall.Nominal:
		a.fault("overall-sum", p.show(p.job.Overall.Nominal), p.show(total))
	case !p.job.PartOff && p.job.Second == nil:
		a.fault("overall-not-cut")
	}
}

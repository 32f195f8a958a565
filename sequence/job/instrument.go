package job

import (
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/thread"
)

// Instrument is a measuring tool owned.
type Instrument struct {
	Kind       string         // one of the names below
	From, To   calc.Length    // sizes it can measure; a zero To: no end is known
	Resolution calc.Length    // the smallest step it is read to; zero where it is not read
	Size       calc.Length    // diameter of thread wires
	Thread     *thread.Thread // of a gauge for one thread; nil for every other
	Pos        Pos
}

// The kinds of measuring tool.
const (
	KindMicrometer  = "micrometer"
	KindInsideMic   = "inside micrometer"
	KindCaliper     = "caliper"
	KindDepthGauge  = "depth gauge"
	KindTelescopic  = "telescopic gauge"
	KindSmallHole   = "small-hole gauge"
	KindIndicator   = "dial indicator"
	KindRule        = "rule"
	KindPitchGauge  = "pitch gauge"
	KindThreadWires = "thread wires"
	KindRingGauge   = "ring gauge"
	KindPlugGauge   = "plug gauge"
)

// measureKeys is what each kind of measuring tool has beside its kind, and whether
// it must be given.
var measureKeys = map[string]map[string]bool{
	KindMicrometer:  {"from": false, "to": true, "resolution": true},
	KindInsideMic:   {"from": true, "to": true, "resolution": true},
	KindCaliper:     {"to": true, "resolution": true},
	KindDepthGauge:  {"to": true, "resolution": true},
	KindTelescopic:  {"from": true, "to": true},
	KindSmallHole:   {"from": true, "to": true},
	KindIndicator:   {"to": false, "resolution": true},
	KindRule:        {"to": true, "resolution": true},
	KindPitchGauge:  {},
	KindThreadWires: {"size": true},
	KindRingGauge:   {"thread": true},
	KindPlugGauge:   {"thread": true},
}

var kindsOfMeasure = []string{
	KindMicrometer, KindInsideMic, KindCaliper, KindDepthGauge, KindTelescopic, KindSmallHole, KindIndicator, KindRule, KindPitchGauge, KindThreadWires, KindRingGauge, KindPlugGauge,
}

var measureFields = []field{
	{"kind", `"micrometer"`},
	{"from", `"0 mm"`},
	{"to", `"25 mm"`},
	{"resolution", `"0.01 mm"`},
	{"size", `"1 mm"`},
	{"thread", `"M12x1.75-6g"`},
}

// maxResolution is the coarsest an instrument is read to.
const maxResolution = calc.Millimetre

// measures reads the measuring tools owned. A lathe that lists none has what a plan
// asks for.
func (p *latheParser) measures() {
	tables, ok := tablesOf(p.reader, p.top, "measure", `[[measure]] with kind = "micrometer", to = "25 mm" and resolution = "0.01 mm"`)
	if !ok {
		return
	}
	if len(tables) > maxTools {
		p.fault("measure-count", tables[maxTools].pos, strconv.Itoa(maxTools))
		tables = tables[:maxTools]
	}
	for _, t := range tables {
		p.lathe.Measures = append(p.lathe.Measures, p.measure(t))
	}
}

func (p *latheParser) measure(t *table) Instrument {
	s := p.scope(t, " in a measuring tool", measureFields, inside("a measuring tool"))
	out := Instrument{Pos: t.pos}
	out.Kind = s.need("kind").word(kindsOfMeasure...)
	if out.Kind != "" {
		for _, f := range measureFields[1:] {
			must, has := measureKeys[out.Kind][f.key]
			switch {
			case !has && s.given(f.key):
				p.fault("measure-key", s.t.find(f.key).pos, out.Kind, f.key, ownersIn(f.key, kindsOfMeasure, measureKeys))
			case must:
				s.need(f.key)
			}
		}
	}
	from, to := s.get("from"), s.get("to")
	if from.value != nil {
		out.From = from.orZero(maxBar)
	}
	out.To = to.length(maxOut)
	if out.To > 0 && out.From >= out.To {
		from.fault("order", "from", show(out.From, unit(strings.TrimSpace(from.str))), "to", show(out.To, unit(strings.TrimSpace(to.str))))
		out.From = 0
	}
	out.Resolution = s.get("resolution").length(maxResolution)
	out.Size = s.get("size").length(10 * calc.Millimetre)
	if a := s.get("thread"); a.value != nil {
		if text, ok := a.written(); ok {
			th, err := thread.Parse(text)
			if err != nil {
				what, hint := parted(err, "write one such as M12x1.75-6g")
				a.fault("gauge-thread", what, hint)
			} else {
				th.External = out.Kind != KindPlugGauge
				out.Thread = &th
			}
		}
	}
	return out
}

// Reaches says that an instrument measures a size.
func (i *Instrument) Reaches(size calc.Length) bool {
	return size >= i.From && (i.To == 0 || size <= i.To)
}

// Finest is the instrument of some kinds that reaches a size and is read to the
// smallest step; nil where none is listed. Of equal ones the kind named first is taken.
func (l *Lathe) Finest(size calc.Length, kinds ...string) *Instrument {
	var best *Instrument
	for _, kind := range kinds {
		for i := range l.Measures {
			m := &l.Measures[i]
			if m.Kind == kind && m.Reaches(size) && (best == nil || m.Resolution < best.Resolution) {
				best = m
			}
		}
	}
	return best
}

// ThreadGauge is the ring or plug gauge owned for a thread: of its diameter, its
// pitch and its hand; nil where none is listed.
func (l *Lathe) ThreadGauge(kind string, t *thread.Thread) *Instrument {
	for i := range l.Measures {
		m := &l.Measures[i]
		if m.Kind == kind && m.Thread != nil && m.Thread.Nominal == t.Nominal && m.Thread.Pitch == t.Pitch && m.Thread.Lead == t.Lead &&
			m.Thread.Angle == t.Angle && m.Thread.LeftHand == t.LeftHand {
			return m
		}
	}
	return nil
}

// ownersIn are the kinds that have a key.
func ownersIn(key string, kinds []string, keys map[string]map[string]bool) string {
	var out []string
	for _, k := range kinds {
		if _, ok := keys[k][key]; ok {
			out = append(out, k)
		}
	}
	return strings.Join(out, ", ")
}

package sequence

import (
	"encoding/json"
	"math"
	"time"

	"turncue/calc"
)

// Schema names the written form of a plan.
const Schema = "turncue.plan/1"

// number is a decimal written as JSON number, exactly as spelled.
type number = json.Number

func mm(l calc.Length) number        { return number(l.Trimmed(calc.Millimetre, 6)) }
func mmOrNil(l *calc.Length) *number { return ptr(l, mm) }
func seconds(d time.Duration) number { return decimal(d.Seconds(), 1) }
func leadMM(l calc.Lead) number      { return decimal(l.Millimetres(), 6) }
func degrees(a calc.Angle) number    { return decimal(a.Degrees(), 6) }
func rpm(s calc.Speed) number        { return decimal(s.PerMinute(), 3) }
func unitName(unit calc.Length) string {
	if unit == calc.Inch {
		return "in"
	}
	return "mm"
}

func ptr[T, U any](p *T, f func(T) U) *U {
	if p == nil {
		return nil
	}
	u := f(*p)
	return &u
}

func decimal(v float64, places int) number {
	scale := math.Pow10(places)
	b, err := json.Marshal(math.Round(v*scale) / scale)
	if err != nil { // not a number: no plan holds one
		return "0"
	}
	return number(b)
}

type planJSON struct {
	Schema   string        `json:"schema"`
	Part     string        `json:"part"`
	Lathe    string        `json:"lathe"`
	Unit     string        `json:"unit"`
	Sections []stretchJSON `json:"sections"`
	Warnings []string      `json:"warnings"`
	LayOut   []string      `json:"lay_out"`
	Totals   totalsJSON    `json:"totals"`
	Steps    []stepJSON    `json:"steps"`
}

type stretchJSON struct {
	Name string `json:"name"`
	What string `json:"what"`
}

type totalsJSON struct {
	Steps    int           `json:"steps"`
	HandS    number        `json:"hand_s"`
	MachineS number        `json:"machine_s"`
	Settings []settingJSON `json:"settings,omitempty"`
}

type settingJSON struct {
	How      string   `json:"how"`
	Steps    int      `json:"steps"`
	HandS    number   `json:"hand_s"`
	MachineS number   `json:"machine_s"`
	LayOut   []string `json:"lay_out"`
}

type stepJSON struct {
	N        int          `json:"n"`
	ID       string       `json:"id"`
	Section  string       `json:"section"`
	Op       Op           `json:"op"`
	Phase    Phase        `json:"phase"`
	Pass     int          `json:"pass"`
	Of       int          `json:"of"`
	Title    string       `json:"title"`
	Say      string       `json:"say"`
	Cue      []string     `json:"cue"`
	Why      string       `json:"why"`
	Note     string       `json:"note,omitempty"`
	Cautions []string     `json:"cautions"`
	HandS    number       `json:"hand_s"`
	MachineS number       `json:"machine_s"`
	Needs    string       `json:"needs"`
	Moves    []any        `json:"moves"`
	Measure  *measureJSON `json:"measure,omitempty"`
	Place    string       `json:"place,omitempty"`
	Part     int          `json:"part,omitempty"`
	OfParts  int          `json:"of_parts,omitempty"`
	Setting  int          `json:"setting,omitempty"`
}

type measureJSON struct {
	What      string  `json:"what"`
	Threads   int     `json:"threads,omitempty"`
	AtMM      *number `json:"at_mm,omitempty"`
	NominalMM number  `json:"nominal_mm"`
	MinMM     number  `json:"min_mm"`
	MaxMM     number  `json:"max_mm"`
	Final     bool    `json:"final"`
	GotMM     *number `json:"got_mm,omitempty"`
}

// MarshalJSON writes the plan as "turncue.plan/1": lengths in millimetres, times
// in seconds, a key ending in its unit. A dial is written in the unit of its ring.
func (p Plan) MarshalJSON() ([]byte, error) {
	hand, machine := p.Times()
	w := planJSON{
		Schema: Schema, Part: p.Part, Lathe: p.Lathe, Unit: unitName(p.Unit),
		Warnings: append([]string{}, p.Warnings...), LayOut: append([]string{}, p.LayOut...),
		Totals: totalsJSON{Steps: len(p.Steps), HandS: seconds(hand), MachineS: seconds(machine)},
		Steps:  make([]stepJSON, len(p.Steps)),
	}
	for _, s := range p.Sections {
		w.Sections = append(w.Sections, stretchJSON(s))
	}
	for _, s := range p.Settings {
		w.Totals.Settings = append(w.Totals.Settings, settingJSON{s.How, s.Steps, seconds(s.Hand), seconds(s.Machine), append([]string{}, s.LayOut...)})
	}
	for i := range p.Steps {
		w.Steps[i] = wireStep(&p.Steps[i])
	}
	return json.Marshal(w)
}

func wireStep(s *Step) stepJSON {
	w := stepJSON{
		N: s.N, ID: s.ID, Section: s.Section, Op: s.Op, Phase: s.Phase, Pass: s.Pass, Of: s.Of,
		Title: s.Title, Say: s.Cue.Text(), Cue: s.Cue.Parts(), Why: s.Why, Note: s.Note,
		Cautions: Cue(s.Cautions).Parts(), HandS: seconds(s.Hand), MachineS: seconds(s.Machine),
		Needs: s.Needs.String(), Moves: make([]any, len(s.Moves)), Place: s.Place, Part: s.Part, OfParts: s.OfParts, Setting: s.Setting,
	}
	for i, m := range s.Moves {
		w.Moves[i] = wireMove(m)
	}
	if m := s.Measure; m != nil {
		var at *number
		if m.At != 0 {
			at = ptr(&m.At, mm)
		}
		w.Measure = &measureJSON{m.What, m.Threads, at, mm(m.Nominal), mm(m.Min), mm(m.Max), m.Final, mmOrNil(m.Got)}
	}
	return w
}

type fields map[string]any

func wireMove(m Move) any {
	f := fields{"do": m.Do()}
	switch m := m.(type) {
	case Spindle:
		f["turn"] = m.Turn
		if m.RPM > 0 {
			f["rpm"] = rpm(m.RPM)
		}
	case Hold:
		f["how"], f["stickout_mm"], f["support"] = m.How, mm(m.StickOut), m.Support
		if m.RunOutLimit > 0 {
			f["tir_limit_mm"] = mm(m.RunOutLimit)
		}
		if m.Load != "" {
			f["load"] = m.Load
		}
		if m.On != "" {
			f["on"] = m.On
		}
	case Mount:
		f["kind"], f["tip"], f["hand"], f["edge"] = m.Kind, m.Tip, m.Hand, m.Edge
		if m.Width > 0 {
			f["width_mm"] = mm(m.Width)
		}
		if m.Diameter > 0 {
			f["dia_mm"] = mm(m.Diameter)
		}
		if m.Overhang > 0 {
			f["overhang_mm"] = mm(m.Overhang)
		}
		inside(f, m.Inside)
		if m.Radius > 0 {
			f["radius_mm"] = mm(m.Radius)
		}
		if m.Angle > 0 {
			f["angle_deg"] = decimal(m.Angle.Degrees(), 3)
		}
		if m.UpsideDown {
			f["upside_down"] = true
		}
		if m.Pitch > 0 {
			f["pitch_mm"] = mm(m.Pitch)
		}
		if m.Clamp {
			f["clamp"] = true
		}
	case Gears:
		f["drivers"], f["driven"] = m.Drivers, m.Driven
		f["idlers"] = append([]int{}, m.Idlers...)
		f["lead_mm"] = leadMM(m.Lead)
		if m.Lever != "" {
			f["lever"] = m.Lever
		}
		if m.Backward {
			f["backward"] = true
		}
	case HalfNut:
		f["set"] = choose(m.Closed, "closed", "open")
		if len(m.Marks.Lines) > 0 {
			f["lines"] = m.Marks.Lines
		}
		if m.Marks.Anywhere {
			f["anywhere"] = true
		}
	case PowerFeed:
		f["set"] = choose(m.Engaged, "in", "out")
	case Supply:
		f["set"] = choose(m.Isolated, "isolated", "on")
	case Guard:
		f["set"] = choose(m.Open, "open", "shut")
	case ChuckKey:
		f["set"] = choose(m.In, "in", "out")
	case Zero:
		f["slide"], f["on"] = m.Slide, m.On
		place(f, m.Slide, m.X, m.Z)
	case Shift:
		f["slide"], f["approach"] = m.Slide, m.Approach
		place(f, m.Slide, m.X, m.Z)
		dial(f, m.Dial, m.WholeTurns)
		if m.Handle != "" {
			f["handle"] = m.Handle
		}
		if m.Angle != 0 {
			f["x_mm"], f["half_angle_deg"] = mm(m.X), degrees(m.Angle)
		}
		narrows(f, m.Narrows)
		if m.Led {
			f["led"] = true
		}
		if !m.PerRev.IsZero() {
			f["per_rev_mm"] = leadMM(m.PerRev)
		}
		if m.Lash.Sign() > 0 {
			f["lash_turns"] = decimal(m.Lash.Float(), 4)
		}
		inside(f, m.Inside)
	case Seat:
		f["x_mm"], f["z_mm"] = mm(m.X), mm(m.Z)
		dial(f, m.Dial, 0)
	case Swivel:
		f["half_angle_deg"], f["travel_mm"], f["rise_mm"] = degrees(m.Angle), mm(m.Travel), mm(m.Rise)
		narrows(f, m.Narrows)
	case TaperSlide:
		f["set"], f["half_angle_deg"] = choose(m.Clamped, "clamped", "free"), degrees(m.Angle)
		if m.Travel > 0 {
			f["travel_mm"], f["rise_mm"] = mm(m.Travel), mm(m.Rise)
		}
	case Carriage:
		f["from_mm"], f["to_mm"], f["by"], f["cutting"] = mm(m.From), mm(m.To), m.By, m.Cutting
		if m.X != 0 {
			f["x_mm"] = mm(m.X)
		}
		dial(f, m.Dial, 0)
		if !m.PerRev.IsZero() {
			f["per_rev_mm"] = leadMM(m.PerRev)
		}
	case Plunge:
		f["from_mm"], f["to_mm"], f["z_mm"] = mm(m.From), mm(m.To), mm(m.Z)
		dial(f, m.Dial, 0)
		if !m.PerRev.IsZero() {
			f["per_rev_mm"] = leadMM(m.PerRev)
		}
		if m.Handle != "" {
			f["handle"] = m.Handle
		}
		inside(f, m.Inside)
	case Tailstock:
		f["kind"], f["dia_mm"], f["from_mm"], f["to_mm"] = m.Kind, mm(m.Diameter), mm(m.From), mm(m.To)
		dial(f, m.Dial, 0)
		if !m.PerRev.IsZero() {
			f["per_rev_mm"] = leadMM(m.PerRev)
		}
	case Clamp:
		wireClamp(f, m)
	case Line:
		f["z_mm"] = mm(m.Z)
	case Withdraw:
		wireWithdraw(f, m)
	case Saw:
		f["z_mm"] = mm(m.Z)
	case Gauge:
		f["what"], f["with"] = m.What, m.With
		inside(f, m.Inside)
	case Inspect:
		f["what"], f["with"] = m.What, m.With
	}
	return f
}

func choose(b bool, yes, no string) string {
	if b {
		return yes
	}
	return no
}

// inside marks what works inside a bore; outside nothing is written.
func inside(f fields, yes bool) {
	if yes {
		f["inside"] = true
	}
}

// narrows marks a cone in a bore.
func narrows(f fields, yes bool) {
	if yes {
		f["narrows"] = true
	}
}

func place(f fields, s Slide, x, z calc.Length) {
	if s == Cross || s == ClampNut {
		f["x_mm"] = mm(x)
		return
	}
	f["z_mm"] = mm(z)
}

func dial(f fields, d *Dial, whole int) {
	if d == nil {
		return
	}
	f["dial"] = number(d.Reading.Trimmed(d.Unit, 6))
	f["dial_unit"] = unitName(d.Unit)
	f["dial_reads"] = choose(d.OnDiameter, "diameter", "radius")
	f["turns"] = d.Turns
	if whole != 0 {
		f["whole_turns"] = whole
	}
}

package planner_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence/job"
)

// This is a second opinion on a plan. It reads the plan as it is written
// (turncue.plan/1), the sizes wanted and what is engraved on the rings, in plain
// millimetres, and follows it with a pencil: where the tool stands, what each
// ring says, what the last cut left. It shares nothing with the planner or the
// virtual lathe.

// wanted is the drawing and the rings, in millimetres.
type wanted struct {
	sections   []wantedSection
	parted     bool
	quantity   int
	bar, out   float64 // as thick, and as far out of the jaws
	speeds     [][2]float64
	second     *wanted    // of the part turned round
	all        [2]float64 // length over all
	centre     bool       // its end is held by the centre
	whole      bool       // turned from end to end
	rest       [2]float64 // length of the section that ends at the other end
	bores      []wantedBore
	cross, top ringFacts
	carriage   *ringFacts
	tailstock  ringFacts
	guide      [2]float64     // greatest half angle of the taper slide, and the way of the carriage it takes to follow; none
	closing    map[m2]float64 // of a turn of a clamp's nut, by pitch and angle of its knurl
	there      bool           // the part is finished, its thread is there
	screw      float64        // of the leadscrew
	hand       handFacts
	dial       [2]int // teeth of the threading dial's wheel and its lines; none
}

type wantedSection struct {
	name        string
	dia, length [2]float64
	asBar       bool
	chamfer     float64
	knurl       *wantedKnurl
	round       float64     // of the edge at its free end
	corner      float64     // of the corner at its shoulder
	groove      *[4]float64 // width from, to; diameter from, to
	fade        *[2]float64 // or how its thread ends without one
	rings       []wantedRing
	thread      *thread.Thread
	small, half [2]float64 // of a cone: its thin end, and its half angle in degrees
}

// ringFacts are what one turn moves, what it is marked, the slack and the handle.
type ringFacts struct {
	travel, marked, slack, division float64
	clockwise                       string // the way its handle turned clockwise takes it
}

func drawing(j *job.Job, l *job.Lathe) wanted {
	w := wanted{parted: j.PartOff || j.Second != nil, quantity: max(1, j.Quantity)}
	ring := func(travel, marked, slack calc.Length, n int, dia bool) ringFacts {
		if marked == 0 {
			marked = travel
			if dia {
				marked *= 2
			}
		}
		return ringFacts{travel.Millimetres(), marked.Millimetres(), slack.Millimetres(), travel.Millimetres() / float64(n), "in"}
	}
	w.cross = ring(l.Cross.Travel, l.Cross.Marked, l.Cross.Slack, l.Cross.Divisions, l.Cross.OnDiameter)
	w.top = ring(l.Top.Travel, l.Top.Marked, l.Top.Slack, l.Top.Divisions, l.Top.OnDiameter)
	if !l.CrossClockwiseIn {
		w.cross.clockwise = "out"
	}
	if !l.TopClockwiseIn {
		w.top.clockwise = "out"
	}
	if c := l.Carriage; c != nil {
		r := ring(c.Travel, c.Marked, c.Slack, c.Divisions, c.OnDiameter)
		w.carriage = &r
	}
	w.screw, w.there = l.Leadscrew.Millimetres(), j.PickUp
	w.centre = j.Centre
	if g := l.TaperSlide; g != nil {
		w.guide = [2]float64{g.Greatest.Degrees(), g.Slack.Millimetres()}
	}
	w.bores = boresOf(j.Bores, l)
	if l.Dial != nil {
		w.dial = [2]int{l.Dial.Wheel, l.Dial.Lines}
	}
	w.closing, w.hand = closingsOf(l), handOf(l)
	w.bar, w.out = j.Bar.Millimetres(), j.StickOut.Millimetres()
	for _, s := range l.Speeds {
		w.speeds = append(w.speeds, [2]float64{s.Min.PerMinute(), s.Max.PerMinute()})
	}
	if l.Tailstock != nil {
		w.tailstock = ring(l.Tailstock.Travel, l.Tailstock.Marked, l.Tailstock.Slack, l.Tailstock.Divisions, l.Tailstock.OnDiameter)
	}
	if s := j.Second; s != nil {
		last := &j.Sections[len(j.Sections)-1]
		lasting := wantedSections(s.Sections)
		if len(lasting) == 0 { // its end alone
			lasting = []wantedSection{{name: last.Name, asBar: true, chamfer: s.Chamfer.Millimetres()}}
		}
		w.second = &wanted{cross: w.cross, top: w.top, carriage: w.carriage, tailstock: w.tailstock, screw: w.screw, dial: w.dial, speeds: w.speeds, sections: lasting, bores: boresOf(s.Bores, l)}
		if j.Overall.Nominal > 0 {
			w.all = [2]float64{j.Overall.Min.Millimetres(), j.Overall.Max.Millimetres()}
		}
		long := calc.Length(0)
		for _, q := range s.Sections {
			long += q.Length.Nominal
		}
		w.second.all, w.second.whole = w.all, long == j.Total()
		w.second.rest = [2]float64{last.Length.Min.Millimetres(), last.Length.Max.Millimetres()}
	}
	w.sections = wantedSections(j.Sections)
	if s := j.Second; s != nil { // parted off longer by what is faced off then
		n, face := len(w.sections)-1, s.Face.Millimetres()
		long := j.Sections[n].Length.Nominal.Millimetres() + face
		w.sections[n].length = [2]float64{long - face/2, long + face/2}
	}
	return w
}

func wantedSections(sections []job.Section) (list []wantedSection) {
	for _, s := range sections {
		q := wantedSection{name: s.Name, asBar: s.AsBar, knurl: knurlOf(&s), chamfer: s.Chamfer.Millimetres(), round: s.Round.Millimetres(), corner: s.Corner.Millimetres(), thread: s.Thread,
			dia:    [2]float64{s.Diameter.Min.Millimetres(), s.Diameter.Max.Millimetres()},
			length: [2]float64{s.Length.Min.Millimetres(), s.Length.Max.Millimetres()}}
		if t := s.Taper; t != nil {
			q.small = [2]float64{t.Small.Min.Millimetres(), t.Small.Max.Millimetres()}
			half := t.By.HalfAngle()
			q.half = [2]float64{(half - t.Half).Degrees(), (half + t.Half).Degrees()}
		}
		q.rings, q.fade = ringsOf(s.Grooves), fadeOf(&s)
		if u := s.Undercut; u != nil {
			q.groove = &[4]float64{u.Width.Min.Millimetres(), u.Width.Max.Millimetres(), u.Diameter.Min.Millimetres(), u.Diameter.Max.Millimetres()}
		}
		list = append(list, q)
	}
	return list
}

// written is as much of turncue.plan/1 as the checker reads.
type written struct {
	Steps []struct {
		ID, Section, Needs string
		Moves              []writtenMove
		Measure            *struct {
			What    string
			At      float64 `json:"at_mm"`
			Nominal float64 `json:"nominal_mm"`
			Min     float64 `json:"min_mm"`
			Max     float64 `json:"max_mm"`
			Final   bool
			Got     *float64 `json:"got_mm"`
		}
	}
}

type writtenMove struct {
	Do, Turn, Slide, Approach, By, Set, On, Kind, Tip, Support, Load string
	Handle                                                           string
	X                                                                float64  `json:"x_mm"`
	Z                                                                *float64 `json:"z_mm"`
	From                                                             float64  `json:"from_mm"`
	To                                                               float64  `json:"to_mm"`
	PerRev                                                           float64  `json:"per_rev_mm"`
	Lead                                                             float64  `json:"lead_mm"`
	Width                                                            float64  `json:"width_mm"`
	Radius                                                           float64  `json:"radius_mm"`
	StickOut                                                         float64  `json:"stickout_mm"`
	Dial                                                             *float64
	DialUnit                                                         string `json:"dial_unit"`
	Turns                                                            int
	Whole                                                            int     `json:"whole_turns"`
	Lash                                                             float64 `json:"lash_turns"`
	Cutting                                                          bool
	UpsideDown                                                       bool `json:"upside_down"`
	RPM                                                              float64
	Angle                                                            float64 `json:"angle_deg"`
	Inside                                                           bool
	Dia                                                              float64 `json:"dia_mm"`
	Backward, Anywhere                                               bool
	Lines                                                            []int
	Half                                                             float64 `json:"half_angle_deg"`
	Narrows                                                          bool
	Rise                                                             float64 `json:"rise_mm"`
	Travel                                                           float64 `json:"travel_mm"`
	Nut                                                              float64 `json:"nut_turns"`
	Pitch                                                            float64 `json:"pitch_mm"`
	Clamp                                                            bool
}

// pencil is the checker's note of how things stand.
type pencil struct {
	want  wanted
	id    string // of the step
	own   int    // its section, -1 for none
	wrong []string

	spindle, last string // as told; the last powered way since a stop
	isolated      bool
	cover         bool
	key           bool
	nuts          bool
	gears         float64
	backward      bool
	tool          writtenMove
	jaws, raw     float64
	held          bool
	supported     bool // by the centre

	x            float64
	way          string // of the cross slide
	zeroX        float64
	zeroed       bool
	off          map[int]float64 // what readings put the cross ring right by, by section
	z            float64
	zKnown       bool
	topZero      float64
	topZeroed    bool
	topWay       string
	carriageZero float64
	carriageSet  bool
	shift        float64 // what readings put the places along right by, in this section

	bar     float64
	dia     []float64 // of each section
	ends    []float64 // its shoulder
	groove  [][3]float64
	rings   [][]cutRing
	radii   []cutRadii
	cuts    [][]pencilCut // of each section
	since   []pencilCut   // what was read since the last of them
	right   []bool        // and it was inside the limits
	threads []threadNote
	grips   int
	drove   float64 // by the leadscrew, last
	seated  bool
	opened  bool // the present grip came of opening the half-nuts alone
	lines   []int
	all     bool      // shut anywhere on the dial, as the move says
	topAt   float64   // where the top slide stands in its ways
	nose    []float64 // chamfer as cut
	cutoff  float64
	bore    hollows
	knurls  map[int]*pencilKnurl

	turned2 bool    // the part has been turned round
	inHand  float64 // its length as measured before that; zero for not read
	long    float64 // its length with the end as it was touched
	faced   float64 // z of its new end

	end      float64 // z of the end as it is now
	endKnown bool
	behind   float64 // from its first end to where its last section of the first setting begins

	cone  pencilCone
	guide pencilGuide

	rpm     float64
	scribed []float64 // lines round the work
	running *runningOn
	fades   map[[2]int]*fadeNote // by section and start

	parts   int   // finished
	setting int   // counts what ends a setting of the cross slide
	proven  []int // in which a section was last measured
}

// pencilCut is one turning cut.
type pencilCut struct {
	depth  float64 // on radius
	read   bool    // a reading was asked for just before it
	mended bool    // that was the last reading, and it was not right yet
	ring   int     // the setting it was made in
	slip   float64 // how far it was from what was expected, on diameter
}

const tiny = 0.0015 // figures are written to a nanometre, touches to a micrometre

// secondOpinion is what the checker finds wrong with a plan.
func secondOpinion(text []byte, want wanted) []string {
	var p written
	if err := json.Unmarshal(text, &p); err != nil {
		return []string{err.Error()}
	}
	n := len(want.sections)
	c := &pencil{want: want, proven: make([]int, n), off: map[int]float64{}, spindle: "stop", dia: make([]float64, n), ends: make([]float64, n), groove: make([][3]float64, n), rings: make([][]cutRing, n), radii: make([]cutRadii, n),
		cuts: make([][]pencilCut, n), since: make([]pencilCut, n), right: make([]bool, n), threads: make([]threadNote, n), nose: make([]float64, n), bore: newHollows(len(want.bores))}
	c.bar = want.bar
	for i := range c.dia {
		c.dia[i] = c.bar
	}
	if want.there {
		c.laidOut()
	}
	own := -1
	for _, s := range p.Steps {
		c.id, c.own, c.bore.own = s.ID, -1, -1
		for i, w := range c.want.bores {
			if w.name == s.Section {
				c.bore.own = i
			}
		}
		for i, w := range c.want.sections {
			if w.name == s.Section {
				c.own = i
			}
		}
		if c.owner() != own {
			// What readings showed holds for the section they were taken in.
			c.x += c.off[c.owner()] - c.off[own]
			c.z -= c.shift
			c.shift, own = 0, c.owner()
		}
		for _, m := range s.Moves {
			c.move(m)
		}
		c.stillRuns(nil)
		if m := s.Measure; m != nil {
			c.standing("measured")
			if m.What == "ring gauge" {
				c.ringOn(m.Got)
			}
			if m.What == "small end" || m.What == "diameter on the taper" {
				c.readCone(m.What, m.At, m.Final, m.Got)
			}
			if m.What == "mouth of the bore" || m.What == "diameter in the taper" {
				c.readConeInside(m.What, m.At, m.Final, m.Got)
			}
			if !slices.ContainsFunc(s.Moves, func(m writtenMove) bool { return m.Do == "measure" || m.Do == "seat" }) {
				c.say("a reading is asked for and nothing is measured")
			}
			c.reading(m.What, m.Min, m.Max, m.Final, m.Got)
		}
		if s.Needs == "fit" && !slices.ContainsFunc(s.Moves, func(m writtenMove) bool { return m.Do == "gauge" }) {
			c.say("it is asked whether a gauge fits and none is tried")
		}
	}
	c.finished()
	ends := want.quantity
	if want.second != nil {
		ends++
	}
	if c.parts != ends {
		c.say("%d of %d parts are made", c.parts, ends)
	}
	return c.wrong
}

// next holds the part made so far against the drawing and begins another of the same
// bar or of one like it, its end where the first one's was.
func (c *pencil) next(m writtenMove) {
	if (m.Load == "bar") != c.want.parted {
		c.say("loads a %s", m.Load)
	}
	if inFront := c.tool.Inside && c.z < -c.raw; c.xKnown() && c.x < c.bar+0.2 && !inFront {
		c.say("loaded with the tool at %.3f in the way", c.x)
	}
	id := c.id
	c.finished()
	left := c.bore.behind(m.Load == "bar", c.cutoff+c.tool.Width+c.raw)
	c.id, c.key, c.cutoff, c.end = id, true, 0, -c.raw
	n := len(c.dia)
	for i := range c.dia {
		c.dia[i] = c.bar
	}
	c.rings, c.radii = make([][]cutRing, n), make([]cutRadii, n)
	c.ends, c.groove, c.cuts, c.since, c.right = make([]float64, n), make([][3]float64, n), make([][]pencilCut, n), make([]pencilCut, n), make([]bool, n)
	c.threads, c.nose = make([]threadNote, n), make([]float64, n)
	c.bore = newHollows(len(c.want.bores))
	c.knurls, c.scribed, c.fades = nil, nil, nil
	c.bore.holes, c.bore.spot = left, len(left) > 0
}

// round holds the part so far against the drawing of the first setting and goes on at
// its other end.
func (c *pencil) round(m writtenMove) {
	if c.want.second == nil || c.cutoff == 0 {
		c.say("turned round, and no part is off the bar to be turned round")
		return
	}
	id, long, bar := c.id, c.cutoff, c.want.bar
	if c.inHand > 0 {
		long = c.inHand
	}
	c.gripped(m, long)
	c.behind = c.front(len(c.dia) - 1)
	if n := len(c.dia); c.dia[n-1] > 0 {
		bar = c.dia[n-1]
	}
	c.finished()
	c.id, c.key, c.cutoff, c.long, c.want = id, true, 0, long, *c.want.second
	c.jaws, c.raw, c.bar, c.faced, c.turned2 = m.StickOut, 0, bar, 0, true
	c.endKnown = false
	n := len(c.want.sections)
	c.rings, c.radii = make([][]cutRing, n), make([]cutRadii, n)
	c.dia, c.ends, c.groove, c.cuts, c.since, c.right = make([]float64, n), make([]float64, n), make([][3]float64, n), make([][]pencilCut, n), make([]pencilCut, n), make([]bool, n)
	c.threads, c.nose, c.proven = make([]threadNote, n), make([]float64, n), make([]int, n)
	for i := range c.dia {
		c.dia[i] = bar
	}
	clear(c.off)
	far := c.bore.holes
	c.bore = newHollows(len(c.want.bores))
	c.bore.far = far
}

// gripped is the check that a part turned round is held by the section named, a third of
// its thickness at least and not over its shoulder; on a mandrel, clear of the chuck.
func (c *pencil) gripped(m writtenMove, long float64) {
	for i, w := range c.want.sections {
		if shoulder, end := long-c.ends[i], long-c.front(i); w.name == m.On && (m.StickOut < shoulder-tiny || end-m.StickOut < c.dia[i]/3-tiny) {
			c.say("held from %.3f by %s, which is from %.3f to %.3f", m.StickOut, w.name, shoulder, end)
		}
	}
	for _, w := range c.want.bores {
		if w.name == m.On && m.StickOut < long+2-tiny {
			c.say("the part on the mandrel is %.3f in front of the chuck", m.StickOut-long)
		}
	}
}

// laidOut is the part as it comes back into the chuck: at the middle of its limits.
func (c *pencil) laidOut() {
	mid := func(a [2]float64) float64 { return (a[0] + a[1]) / 2 }
	at := 0.0
	for i, w := range c.want.sections {
		at += mid(w.length)
		c.dia[i], c.ends[i], c.nose[i], c.right[i] = mid(w.dia), at, w.chamfer, true
		if g := w.groove; g != nil {
			c.groove[i] = [3]float64{at - (g[0]+g[1])/2, at, (g[2] + g[3]) / 2}
		}
	}
	c.bar = math.Inf(1)
}

// xKnown says that it is known where the cross slide stands.
func (c *pencil) xKnown() bool { return c.zeroed || c.way != "" }

func (c *pencil) say(format string, args ...any) {
	c.wrong = append(c.wrong, c.id+": "+fmt.Sprintf(format, args...))
}

func (c *pencil) standing(what string) {
	if c.spindle == "forward" || c.spindle == "reverse" {
		c.say("%s with the spindle turning", what)
	}
}

// front is where a section begins; behind sections that nothing was cut of yet, where
// the last one cut ends.
func (c *pencil) front(i int) float64 {
	for i--; i >= 0; i-- {
		if c.ends[i] != 0 {
			return c.ends[i]
		}
	}
	return c.faced
}

// thickest is the thickest the work is between two places, before the thread.
func (c *pencil) thickest(from, to float64) float64 {
	if to < from {
		from, to = to, from
	}
	thick := 0.0
	for i := range c.dia {
		a, b := c.front(i), c.ends[i]
		if i == len(c.dia)-1 && b == 0 {
			b = math.Inf(1)
		}
		if from < b-tiny && to > a+tiny {
			thick = max(thick, c.dia[i])
		}
	}
	if end := c.ends[len(c.ends)-1]; end != 0 && to > end+tiny { // the bar behind it
		thick = max(thick, c.bar)
	}
	return thick
}

func (c *pencil) move(m writtenMove) {
	c.stillRuns(&m)
	switch m.Do {
	case "spindle":
		c.turn(m)
	case "hold":
		c.standing("held")
		switch m.Load {
		case "":
		case "round":
			c.round(m)
		default:
			c.next(m)
		}
		if m.Load != "round" && math.Abs(m.StickOut-c.want.out) > tiny {
			c.say("held %.3f out, the job says %.3f", m.StickOut, c.want.out)
		}
		c.supported = c.supported || m.Support == "centre"
		if !c.held {
			c.held, c.key, c.jaws = true, true, m.StickOut
		}
	case "key":
		c.standing("key moved")
		c.key = m.Set == "in"
	case "supply":
		if m.Set == "isolated" {
			c.standing("isolated")
		}
		c.isolated = m.Set == "isolated"
	case "guard":
		c.standing("cover moved")
		if m.Set == "open" && !c.isolated {
			c.say("cover opened with the power on")
		}
		c.cover = m.Set == "open"
	case "gears":
		c.standing("gears changed")
		if !c.isolated || !c.cover {
			c.say("gears changed with the power on or through the cover")
		}
		c.gears, c.backward = m.Lead, m.Backward
		c.grips++
		c.opened = false
	case "tool":
		c.standing("tool changed")
		if m.Kind == "drill" || m.Kind == "reamer" || m.Kind == "tap" { // in the tailstock
			c.bore.quill, c.bore.brought, c.bore.sleeveSet = m, false, false
			return
		}
		c.tool, c.zeroed, c.topZeroed, c.carriageSet, c.zKnown, c.way, c.topWay, c.shift = m, false, false, false, false, "", "", 0
		clear(c.off)
		c.grips++
		c.setting++
		c.opened = false
	case "swivel":
		c.swivel(m)
	case "line":
		c.standing("a line scribed")
		c.scribed = append(c.scribed, *m.Z)
	case "withdraw":
		c.withdrawn(m)
	case "taper slide":
		c.taperSlide(m)
	case "halfnut":
		if m.Set == "open" && c.nuts {
			c.rests(0)
			c.grips++
			c.opened = true
		}
		if m.Set == "closed" {
			c.lines, c.all = m.Lines, m.Anywhere
		}
		c.nuts = m.Set == "closed"
	case "zero":
		c.zero(m)
	case "seat":
		c.seat(m)
	case "slide":
		c.slide(m)
	case "carriage":
		c.carriage(m)
	case "plunge":
		c.plunge(m)
	case "clamp":
		c.clamped(m)
	case "saw":
		c.standing("sawn")
		n := len(c.dia) - 1
		c.cutoff, c.ends[n] = *m.Z, *m.Z
		c.beforeJaws(*m.Z)
		if inFront := c.tool.Inside && c.z < -c.raw; c.xKnown() && c.zKnown && c.x < c.thickest(*m.Z, *m.Z+1)+0.2 && !inFront {
			c.say("sawn with the tool at %.3f beside the bar", c.x)
		}
	case "tailstock":
		c.drilled(m)
	case "measure":
		c.standing("measured")
	case "gauge":
		c.standing("gauged")
		c.gauged(m)
	case "powerfeed":
	default:
		c.say("%q is no move that is known", m.Do)
	}
}

func (c *pencil) turn(m writtenMove) {
	if m.Turn == "forward" || m.Turn == "reverse" {
		switch {
		case c.isolated:
			c.say("started while isolated")
		case c.cover:
			c.say("started with the cover open")
		case c.key:
			c.say("started with the key in the chuck")
		case c.last != "" && c.last != m.Turn:
			c.say("reversed without standing still")
		}
		c.last = m.Turn
		if !slices.ContainsFunc(c.want.speeds, func(s [2]float64) bool { return m.RPM >= s[0]-0.01 && m.RPM <= s[1]+0.01 }) {
			c.say("the lathe has no %.3f rpm", m.RPM)
		}
		reach := c.z
		if c.nuts && c.own >= 0 { // it is taken along
			reach = max(reach, c.ends[c.own]-1)
		}
		if c.tool.Inside {
			c.reversedInside(m.Turn)
		} else if m.Turn != c.cutsIn() && c.zKnown && c.x < c.thickest(-c.raw, reach)+0.2-tiny {
			c.say("reversed with the tool at %.3f in the work", c.x)
		}
	}
	if m.Turn == "stop" {
		c.rests(c.want.hand.coasts(c.rpm))
		c.last = ""
	}
	if m.RPM > 0 {
		c.rpm = m.RPM
	}
	c.spindle = m.Turn
}

// cutWay is the way of the cross slide the tool cuts in.
func (c *pencil) cutWay() string {
	if c.tool.Inside {
		return "out"
	}
	return "in"
}

// cutsIn is the way of the spindle the tool cuts in.
func (c *pencil) cutsIn() string {
	if c.tool.UpsideDown {
		return "reverse"
	}
	return "forward"
}

// driven is the check that the leadscrew takes the carriage that way.
func (c *pencil) driven(m writtenMove) {
	powered := c.spindle == "forward" || c.spindle == "reverse"
	if !powered && c.spindle != "hand" && m.From != m.To {
		c.say("the leadscrew does not go from %.3f to %.3f with the spindle at a stop", m.From, m.To)
	}
	if towards := (c.spindle == "forward") != c.backward; powered && m.From != m.To && (m.To > m.From) != towards {
		c.say("the leadscrew does not go from %.3f to %.3f with the spindle %s", m.From, m.To, c.spindle)
	}
}

func (c *pencil) zero(m writtenMove) {
	if m.On != "in place" && c.spindle != c.cutsIn() {
		c.say("touched with the spindle %s", c.spindle)
	}
	if m.Slide != "tailstock" && (c.tool.Kind == "" || c.tool.Kind == "none") {
		c.say("a ring is zeroed with no tool in the post")
	}
	if m.On == "in place" && m.Slide != "cross" && (!c.zKnown || math.Abs(*m.Z-c.z) > tiny+math.Abs(c.shift)) {
		c.say("the %s ring is zeroed at %.3f, the tool is at %.3f", m.Slide, *m.Z, c.z)
	}
	switch m.Slide {
	case "cross":
		clear(c.off)
		c.setting++
		c.x, c.zeroX, c.zeroed, c.way = m.X, m.X, true, c.cutWay()
		if at := c.bored(max(0, c.z)); m.On == "bore" && math.Abs(at-m.X) > 2*tiny {
			c.say("touched on a bore of %.3f, it is %.3f", m.X, at)
		}
		if m.On == "mouth" {
			c.zKnown, c.z = true, c.faced
			room := 2 * tiny
			if c.want.quantity > 1 { // the part before may have left its own, inside the same limits
				room += c.want.bores[0].dia[1] - c.want.bores[0].dia[0]
			}
			if at := c.bored(c.faced); math.Abs(at-m.X) > room {
				c.say("touched on the edge of a bore of %.3f, it is %.3f", m.X, at)
			}
		}
		if m.On == "diameter" {
			c.guide.caughtUp(c, c.z, "touched")
			hit := m.X == c.bar
			for _, d := range c.dia {
				hit = hit || math.Abs(d-m.X) < 2*tiny
			}
			hit = hit || c.cone.small > 0 && math.Abs(c.cone.at(c.z)-m.X) < 3*tiny
			if !hit {
				c.say("touched on a diameter of %.3f that is not there", m.X)
			}
		}
		if m.On == "corner" {
			c.zKnown, c.z = true, c.front(c.own)
		}
	case "clamp":
		c.clampZero(m)
	case "tailstock":
		if !c.bore.brought || math.Abs(c.bore.sleeve-*m.Z) > tiny {
			c.say("the tailstock ring is zeroed at %.3f, the drill is at %.3f", *m.Z, c.bore.sleeve)
		}
		c.bore.sleeveZero, c.bore.sleeveSet = *m.Z, true
		return
	case "top":
		if m.On == "step" && c.bore.own >= 0 && math.Abs(*m.Z-c.bore.step[c.bore.own]) > tiny {
			c.say("touched on a step at %.3f, it is at %.3f", *m.Z, c.bore.step[c.bore.own])
		}
		if m.On == "end" {
			c.touchedEnd(*m.Z)
		}
		if m.On == "shoulder" && c.own >= 0 {
			if free := math.Abs(*m.Z-c.front(c.own)) < tiny && (c.tool.Kind == "grooving" || c.tool.Kind == "rounding"); !free && math.Abs(*m.Z-c.ends[c.own]) > tiny {
				c.say("touched on a shoulder at %.3f, it is at %.3f", *m.Z, c.ends[c.own])
			}
		}
		c.z, c.zKnown, c.topZero, c.topZeroed, c.topWay, c.shift = *m.Z, true, *m.Z, true, "in", 0
	case "carriage":
		c.carriageZero, c.carriageSet = *m.Z, true
	}
}

// touchedEnd lays the tool against the end of the work; a blade with the side towards the
// tailstock as its edge does so with the other one.
func (c *pencil) touchedEnd(z float64) {
	if c.tool.Kind == "parting" {
		z += c.tool.Width
	}
	if thick := c.dia[0]; c.xKnown() && c.x > thick+tiny {
		c.say("touched on the end at %.3f, it is %.3f thick", c.x, thick)
	}
	switch {
	case !c.endKnown && c.raw == 0:
		c.raw = -z
		c.jaws -= c.raw
	case math.Abs(z-c.end) > tiny:
		c.say("touched on the end at %.3f, it is at %.3f", z, c.end)
	}
	c.end, c.endKnown = z, true
}

// inMM is what a ring says, in millimetres, as travel from its zero.
func (m writtenMove) inMM(r ringFacts) float64 {
	said := *m.Dial
	if m.DialUnit == "in" {
		said *= 25.4
	}
	return r.travel * (float64(m.Turns) + said/r.marked)
}

// ringX is the check of the cross-slide ring against a diameter.
func (c *pencil) ringX(m writtenMove, x float64, out bool) {
	if m.Dial == nil {
		return
	}
	if !c.zeroed {
		c.say("the cross ring is read before it is zeroed")
		return
	}
	at := c.zeroX + c.off[c.owner()] - 2*m.inMM(c.want.cross)
	switch {
	case out && !c.tool.Inside: // the tool stays behind the ring
		at -= 2 * c.want.cross.slack
	case !out && c.tool.Inside:
		at += 2 * c.want.cross.slack
	}
	if math.Abs(at-x) > c.want.cross.division+tiny {
		c.say("the cross ring says %.3f, the tool is to be at %.3f", at, x)
	}
}

func (c *pencil) slide(m writtenMove) {
	r := c.want.cross
	if m.Slide == "top" {
		r = c.want.top
	}
	was, way := c.way, &c.way
	if m.Slide == "top" {
		was, way = c.topWay, &c.topWay
	}
	c.handle(m.Handle, m.Approach, r)
	lost := 0.0
	if was != "" && was != m.Approach {
		lost = r.slack / r.travel
	}
	if m.Dial != nil && was != "" && math.Abs(lost-m.Lash) > 0.001 {
		c.say("%.3f turns are lost to slack, not %.3f", lost, m.Lash)
	}
	*way = m.Approach
	if m.Half != 0 || m.Slide == "top" && c.cone.set != 0 {
		c.slope(m)
		return
	}
	if m.Slide == "cross" {
		known := c.zeroed || was != ""
		if known && m.Approach == "in" && m.X > c.x+tiny || known && m.Approach == "out" && m.X < c.x-tiny {
			c.say("the cross slide goes %s from %.3f to %.3f", m.Approach, c.x, m.X)
		}
		if m.Whole != 0 && math.Abs(math.Abs(m.X-c.x)/2-(float64(m.Whole)-lost)*r.travel) > tiny {
			c.say("%d turns out are not from %.3f to %.3f", m.Whole, c.x, m.X)
		}
		if strings.HasSuffix(c.id, "/clear") && strings.Contains(c.id, "thread/") && m.Whole == 0 && c.wholeTurnsFit() {
			c.say("wound clear by no whole number of turns")
		}
		c.x = m.X
		c.ringX(m, m.X, m.Approach == "out")
		return
	}
	if c.topZeroed && m.Approach == "in" && *m.Z < c.z-tiny || m.Approach == "out" && *m.Z > c.z+tiny {
		c.say("the top slide goes %s from %.3f to %.3f", m.Approach, c.z, *m.Z)
	}
	stood := c.z
	c.topAt += *m.Z - c.z
	c.z = *m.Z
	if m.Dial != nil {
		at := c.topZero + m.inMM(r)
		if m.Approach == "out" { // the tool stays behind the ring
			at += r.slack
		}
		if math.Abs(at-c.z) > r.division/2+tiny {
			c.say("the top ring says %.3f, the tool is to be at %.3f", at, c.z)
		}
	}
	c.sideways(m, stood)
	c.beforeJaws(c.z)
}

// handle is the check of the way a handle is turned, where it is said.
func (c *pencil) handle(said, way string, r ringFacts) {
	if said != "" && (said == "clockwise") != (way == r.clockwise) {
		c.say("the handle turned %s does not take the slide %s", said, way)
	}
}

func (c *pencil) beforeJaws(z float64) {
	if c.tool.Inside { // in a bore there are no jaws
		return
	}
	reach := z
	switch c.tool.Kind {
	case "parting":
		reach += c.tool.Width
	case "boring bar", "inside threading", "inside grooving": // in the hole, past what holds the work
		return
	}
	if reach > c.jaws-2+tiny && !c.tool.Inside {
		c.say("the tool reaches %.3f, the jaws are at %.3f", reach, c.jaws)
	}
}

// inwards is the check before a cut that no slide is loose.
func (c *pencil) inwards() {
	if c.way != "" && c.way != c.cutWay() {
		c.say("cut with the cross slide brought %s", c.way)
	}
	if c.topWay == "out" {
		c.say("cut with the top slide brought outwards")
	}
	if c.spindle != c.cutsIn() && !(c.spindle == "hand" && c.isolated) {
		c.say("cut with the spindle %s", c.spindle)
	}
}

// seat lays the tool in the thread that is there.
func (c *pencil) seat(m writtenMove) {
	c.standing("laid in the groove")
	t := c.want.sections[c.own].thread
	if !c.nuts || c.drove == 0 || (c.drove < 0) != t.LeftHand {
		c.say("laid in the groove with the half-nuts %t, last driven by %.1f", c.nuts, c.drove)
	}
	c.x, c.way, c.topWay = m.X, "in", "in"
	c.ringX(m, m.X, false)
	c.threads[c.own] = threadNote{starts: []float64{m.X}, tip: c.tool.Tip, passes: 1, grip: c.grips, first: c.lines, zeroTop: c.topAt}
	c.seated = true
}

func (c *pencil) carriage(m writtenMove) {
	if c.zKnown && math.Abs(m.From-c.z) > tiny+math.Abs(c.shift) {
		c.say("the carriage starts from %.3f, the tool is at %.3f", m.From, c.z)
	}
	if m.By == "halfnut" && c.spindle == "hand" && !c.isolated {
		c.say("cranked with the power on")
	}
	if (m.By == "halfnut") != c.nuts {
		c.say("moved by %s with the half-nuts %t", m.By, c.nuts)
	}
	c.beforeJaws(max(m.From, m.To))
	if m.Dial != nil && c.want.carriage != nil {
		if at := c.carriageZero + m.inMM(*c.want.carriage); !c.carriageSet || math.Abs(at-m.To) > c.want.carriage.division/2+tiny {
			c.say("the carriage ring says %.3f, the tool is to be at %.3f", at, m.To)
		}
	}
	c.z, c.zKnown = m.To, true
	c.topZero += m.To - m.From // the top slide goes with it
	if c.guide.clamped {
		c.led(m)
		return
	}
	if m.X != 0 {
		c.say("led to %.3f by no taper slide", m.X)
	}
	if m.By == "halfnut" {
		c.drove = m.To - m.From
	}
	switch {
	case m.Cutting && c.tool.Kind == "inside threading":
		c.inwards()
		c.threadInside(m)
	case m.Cutting && c.tool.Inside:
		c.inwards()
		c.boredAlong(m)
	case c.tool.Inside:
		if m.By == "halfnut" {
			c.driven(m)
		}
		c.clearInside(m.From, m.To)
	case m.Cutting && c.tool.Kind == "knurling":
		c.knurledAlong(m)
	case m.Cutting && c.tool.Kind == "threading":
		c.inwards()
		c.threadCut(m)
	case m.Cutting:
		c.inwards()
		c.turned(m)
	default:
		// Off the place it was touched on it may slide; else there must be air.
		if m.By == "halfnut" {
			c.driven(m)
		}
		thick := c.thickest(m.From, m.To)
		if c.tool.Kind == "chamfer" { // it stands at the corner
			thick = 0
			if k := c.own; k >= 0 && c.nose[k] > 0 {
				thick = c.dia[k] - 2*c.nose[k]
			}
		}
		if c.xKnown() && c.x < thick+0.2-tiny {
			c.say("goes along at %.3f through work of %.3f", c.x, thick)
		}
	}
}

// turned is a turning pass: every section it reaches gets its diameter.
func (c *pencil) turned(m writtenMove) {
	k := c.own
	if k < 0 {
		c.say("turned in no section")
		return
	}
	if !c.zeroed || c.tool.Kind != "turning" {
		c.say("turned with a tool never zeroed, or with a %s", c.tool.Kind)
	}
	for i := 0; i <= k; i++ {
		if c.x >= c.dia[i]-tiny/10 {
			continue
		}
		if i != k && c.dia[i] < c.bar && c.x < c.want.sections[i].dia[0]-tiny {
			c.say("cuts section %s to %.3f", c.want.sections[i].name, c.x)
		}
		cut := c.since[i]
		cut.depth, cut.ring = (c.dia[i]-c.x)/2, c.setting
		c.cuts[i], c.since[i] = append(c.cuts[i], cut), pencilCut{}
		c.dia[i], c.right[i] = c.x, false
	}
	limit := math.Inf(1)
	if k < len(c.dia)-1 || !c.want.parted {
		limit = c.faced
		for i := range k + 1 {
			limit += c.want.sections[i].length[1]
		}
	}
	if m.To > limit+tiny && !c.want.whole {
		c.say("cut to %.3f, past the shoulder at %.3f at most", m.To, limit)
	}
	for i := 0; i <= k; i++ {
		if c.ends[i] == 0 || i == k {
			c.radii[i].corner = c.tool.Radius
			c.ends[i] = m.To
		}
	}
}

func (c *pencil) threadCut(m writtenMove) {
	k := c.own
	if k < 0 || c.want.sections[k].thread == nil {
		c.say("a thread where none is wanted")
		return
	}
	t := c.want.sections[k].thread
	if c.want.there && !c.seated {
		c.say("cut before the tool was laid in the groove")
	}
	_, back := c.threadPass(&c.threads[k], t, m, c.want.sections[k].length[1])
	g := c.groove[k]
	if c.want.sections[k].fade != nil {
		c.fadingPass(m)
	} else if back <= g[0] || back >= g[1]+tiny || g[1] == 0 {
		c.say("the pass is in the groove at %.3f, the groove is from %.3f to %.3f", back, g[0], g[1])
	}
	for i := range k {
		if c.x < c.dia[i]-tiny {
			c.say("the pass cuts section %s", c.want.sections[i].name)
		}
	}
}

func (c *pencil) plunge(m writtenMove) {
	if !c.xKnown() || math.Abs(m.From-c.x) > tiny+math.Abs(c.off[c.owner()]) {
		c.say("fed from %.3f, the tool is at %.3f", m.From, c.x)
	}
	if c.zKnown && math.Abs(*m.Z-c.z) > tiny+math.Abs(c.shift) {
		c.say("fed in at %.3f, the tool is at %.3f", *m.Z, c.z)
	}
	c.x, c.z, c.way = m.To, *m.Z, "in"
	if m.To > m.From {
		c.way = "out"
	}
	c.ringX(m, m.To, c.way == "out")
	c.handle(m.Handle, c.way, c.want.cross)
	if m.Inside != c.tool.Inside {
		c.say("fed inside %t with a tool that works inside %t", m.Inside, c.tool.Inside)
	}
	if m.Inside && c.way == "out" {
		c.plungedInside(m)
	}
	if c.way == "out" || m.Inside {
		return
	}
	if m.PerRev == 0 {
		c.say("fed in with no feed")
	}
	c.inwards()
	c.beforeJaws(c.z)
	k := c.own
	switch {
	case k < 0 && c.tool.Kind == "turning": // facing
		c.faced, c.end, c.endKnown = c.z, c.z, true
	case k < 0:
		c.say("fed in with a %s in no section", c.tool.Kind)
	case c.tool.Kind == "knurling":
		c.pressed()
	case c.tool.Kind == "turning":
		if c.dia[k]-m.To > tiny+c.want.cross.division {
			c.say("the shoulder is faced to %.3f, below %.3f", m.To, c.dia[k])
		}
		if c.z < c.ends[k]-tiny-math.Abs(c.shift) {
			c.say("the shoulder at %.3f is faced at %.3f", c.ends[k], c.z)
		}
		c.ends[k] = c.z
		c.radii[k].corner = c.tool.Radius
	case c.tool.Kind == "rounding":
		c.radii[k].round, c.radii[k].deep, c.radii[k].at = c.tool.Radius, (c.dia[k]-m.To)/2, c.z-c.front(k)
	case c.tool.Kind == "grooving" && len(c.want.sections[k].rings) > 0:
		c.ringed(k, c.z-c.tool.Width, c.z, m.To)
	case c.tool.Kind == "grooving":
		g := &c.groove[k]
		if g[1] == 0 {
			*g = [3]float64{c.z - c.tool.Width, c.z, m.To}
		}
		g[0], g[1], g[2] = min(g[0], c.z-c.tool.Width), max(g[1], c.z), min(g[2], m.To)
		if c.z > c.ends[k]+tiny {
			c.say("grooved at %.3f, past the shoulder at %.3f", c.z, c.ends[k])
		}
	case c.tool.Kind == "chamfer":
		c.nose[k] = (c.dia[k] - m.To) / 2
	case c.tool.Kind == "parting":
		side := c.z + 2*tiny
		if c.want.quantity > 1 { // no stub may stay on the bar
			side = c.z + c.tool.Width - 2*tiny
		}
		if hole := c.bored(side); m.To > hole+tiny {
			c.say("parted to %.3f only, the hole is %.3f", m.To, hole)
		}
		c.cutoff = c.z
		c.ends[k] = c.z
	default:
		c.say("fed in with a %s", c.tool.Kind)
	}
}

// reading believes what was measured and puts the scale right by it.
func (c *pencil) reading(what string, low, high float64, final bool, got *float64) {
	k := c.own
	if what == "length over all" && got != nil {
		if c.turned2 {
			c.long = *got + c.faced + c.raw
		} else {
			c.inHand = *got
		}
	}
	if c.bore.own >= 0 {
		c.readInside(what, final, got)
	}
	if k < 0 {
		return
	}
	switch what {
	case "diameter":
		c.since[k].read = true
		c.since[k].mended = c.since[k].mended || final && got != nil
		if got == nil {
			return
		}
		by := *got - c.dia[k]
		for i := range k {
			if c.dia[i] == c.dia[k] {
				c.dia[i] = *got
			}
		}
		c.dia[k] = *got
		c.off[k] += by
		c.x += by
		c.since[k].slip = math.Abs(by)
		c.right[k] = *got >= c.want.sections[k].dia[0] && *got <= c.want.sections[k].dia[1]
	case "over the knurl":
		if got != nil {
			c.overKnurl(*got)
		}
	case "groove":
		r := c.ringAt(k, c.z-c.tool.Width/2)
		if r != nil {
			r.read, r.right = true, final && got != nil && *got >= low && *got <= high
		}
		if r != nil && got != nil {
			c.off[k] += *got - r.bottom
			c.x += *got - r.bottom
			r.bottom = *got
		} else if got != nil {
			by := *got - c.groove[k][2]
			c.groove[k][2] = *got
			if *got > high {
				c.off[k] += by
				c.x += by
			}
		}
	case "length":
		if got != nil {
			by := c.front(k) + *got - c.ends[k]
			c.ends[k] += by
			c.topZero += by
			c.z += by
			c.shift += by
		}
	case "length to the blade":
		if got != nil {
			c.shift += *got - c.z
			c.z = *got
		}
	}
}

// finished holds what was left against the drawing.
func (c *pencil) finished() {
	c.id = "plan"
	c.parts++
	in := func(what string, got float64, band [2]float64) {
		if got < band[0]-tiny || got > band[1]+tiny {
			c.say("%s is %.4f, wanted %.4f to %.4f", what, got, band[0], band[1])
		}
	}
	if c.want.parted && c.cutoff == 0 {
		c.say("never parted off")
	}
	if got := c.long - c.raw - c.faced; c.turned2 {
		if c.want.all[1] > 0 {
			in("length over all", got, c.want.all)
		}
		in("length of the last section of the first setting", got-c.behind, c.want.rest)
	}
	for i, w := range c.want.sections {
		last := i == len(c.want.sections)-1
		if w.knurl != nil {
			c.knurlFinished(i, in)
			c.equal(i)
		} else if !w.asBar && !c.want.there {
			in("diameter of "+w.name, c.dia[i], w.dia)
			c.equal(i)
		}
		if (!last || c.want.parted || !w.asBar) && !(last && c.want.whole) {
			in("length of "+w.name, c.ends[i]-c.front(i), w.length)
		}
		if w.groove != nil {
			g := c.groove[i]
			in("groove width of "+w.name, g[1]-g[0], [2]float64{w.groove[0], w.groove[1]})
			in("groove of "+w.name, g[2], [2]float64{w.groove[2], w.groove[3]})
		}
		c.ringsFinished(i)
		c.radiiFinished(i)
		if w.chamfer > 0 {
			give := 0.2
			switch {
			case w.chamfer < 0.5:
				give = 0.1
			case w.chamfer > 3:
				give = 0.5
			}
			in("chamfer of "+w.name, c.nose[i], [2]float64{w.chamfer - give, w.chamfer + give})
		}
		if w.small[1] > 0 {
			c.coneFinished(w)
		}
		if w.thread != nil {
			c.pitchDiameters(w.name, w.thread, &c.threads[i], 1)
		}
		c.fadesFinished(i)
	}
	c.boresFinished()
	if c.guide.clamped {
		c.say("the taper slide is left clamped")
	}
	if c.want.centre && !c.supported {
		c.say("the centre was never brought up")
	}
}

// equal is the check of the two equal last cuts with a reading between.
func (c *pencil) equal(i int) {
	name, cuts := c.want.sections[i].name, c.cuts[i]
	n := len(cuts)
	if n > 0 && c.since[i].read {
		defer func() { c.proven[i] = cuts[len(cuts)-1].ring }()
	}
	for n > 1 && cuts[n-1].mended {
		n--
	}
	switch {
	case n == 0:
		c.say("%s is never cut", name)
	case c.right[i]:
	case n < 2:
		c.say("%s is brought to size in one cut", name)
	case !cuts[n-1].read && c.parts > 1 && c.proven[i] == c.setting && cuts[n-1].ring == c.setting:
		// As for the part before, with a tool that was not touched since.
	case !cuts[n-1].read:
		c.say("the last cut of %s has no reading before it", name)
	case math.Abs(cuts[n-1].depth-cuts[n-2].depth) > c.want.cross.division+cuts[n-1].slip/2+tiny:
		c.say("the last cuts of %s are %.3f and %.3f deep", name, cuts[n-2].depth, cuts[n-1].depth)
	}
}

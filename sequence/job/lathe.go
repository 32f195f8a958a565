package job

import (
	"regexp"
	"strconv"
	"strings"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/gear"
	"turncue/calc/setup"
)

var latheFields = []field{
	{"name", `"bench lathe"`},
	{"leadscrew", `"1.5 mm" or "16 tpi"`},
	{"wheels", `[20, 20, 30, 40, 60]`},
	{"fixed", `"1/2"`},
	{"levers", `{ A = "1", B = "1/2" }`},
	{"tumbler", `true`},
	{"mounted", `"80-45-20-60"`},
	{"speeds", `[70, 115, 200] or { min = 50, max = 2000 }`},
	{"motor", `"750 W"`},
	{"base_speed", `"900 rpm"`},
	{"reverse", `"motor"`},
	{"chuck", `"bolted"`},
	{"threading", `"reverse"`},
	{"chuck_limit", `"2000 rpm"`},
	{"delay", `"0.6 s"`},
	{"power_feed", `["0.1 mm"]`},
	{"depth_of_cut", `"0.5 mm"`},
	{"banjo", `[banjo]`},
	{"cross_slide", `[cross_slide] with travel = "2 mm" and divisions = 100`},
	{"top_slide", `[top_slide] with travel = "1 mm" and divisions = 50`},
	{"carriage", `[carriage] with travel = "20 mm" and divisions = 100`},
	{"tailstock", `[tailstock] with travel = "2 mm" and divisions = 100`},
	{"thread_dial", `[thread_dial] with wheel = 16 and lines = 8`},
	{"coast", `[coast] with turns = 0.8 and at = "100 rpm": switch off at that speed without a cut and count the turns until it stands`},
	{"material", `[[material]] with name = "axle steel" and like = "medium-carbon steel"`},
	{"taper_slide", `[taper_slide] with greatest = "10 deg" and stroke = "150 mm"`},
	{"tool", `[[tool]]`},
	{"measure", `[[measure]] with kind = "micrometer", to = "25 mm" and resolution = "0.01 mm"`},
	{"swing", `"250 mm"`},
	{"swing_over_slide", `"150 mm"`},
	{"spindle_bore", `"26 mm"`},
	{"spindle_length", `"420 mm"`},
	{"chuck_depth", `"60 mm"`},
	{"steady", `["fixed", "travelling"]`},
}

var banjoFields = []field{
	{"module", `"1 mm"`},
	{"clearance", `"6 mm"`},
	{"studs", `1`},
	{"span", `"120 mm"`},
	{"near", `"30 mm"`},
	{"far", `"95 mm"`},
	{"swing_from", `"20 deg"`},
	{"swing_to", `"110 deg"`},
	{"first_radius", `"10 mm"`},
	{"stud_radius", `"8 mm"`},
	{"last_radius", `"10 mm"`},
	{"cover", `"110 mm"`},
	{"step_up", `3.0`},
}

var threadDialFields = []field{
	{"wheel", `16`},
	{"lines", `8`},
}

var dialFields = []field{
	{"travel", `"2 mm"`},
	{"marked", `"2 mm"`},
	{"divisions", `100`},
	{"reads", `"radius"`},
	{"slack", `"0.1 mm"`},
	{"clockwise", `"in"`},
}

// topFields are the ring of the top slide and how far the slide goes.
var topFields = append(dialFields[:len(dialFields):len(dialFields)], field{"stroke", `"70 mm"`})

var coastFields = []field{
	{"turns", `0.8`},
	{"at", `"100 rpm"`},
	{"time", `"0.5 s"`},
}

var speedFields = []field{
	{"min", `50`},
	{"max", `2000`},
}

var latheShape = &shape{lists: []string{"tool", "material", "measure"}, tables: []string{"banjo", "cross_slide", "top_slide", "carriage", "tailstock", "thread_dial", "taper_slide", "coast"}}

// The defaults and limits of a lathe.
const (
	defaultDelay = 600 * time.Millisecond
	maxDelay     = 5 * time.Second
	maxTravel    = 100 * calc.Millimetre
	maxPower     = 50_000 // watts
	maxRow       = 60     // entries in a list
)

// ParseLathe reads a lathe. path is only shown in messages. The error is
// [Faults]: everything that is wrong with the text, in the order of its places.
// The lathe is nil when there is any.
func ParseLathe(path, text string) (*Lathe, error) {
	r, ok := open(path, text)
	if !ok {
		return nil, r.faults.Err()
	}
	root := readDocument(r, latheShape)
	s := r.scope(root, "", latheFields, latheElsewhere)
	r.below(root)
	p := &latheParser{reader: r, top: s, lathe: &Lathe{Source: r.src, Delay: defaultDelay, Tumbler: true}}
	p.gears()
	p.train()
	p.threadDial()
	p.slides()
	p.spindle()
	p.feeds()
	p.materials()
	p.tools()
	p.measures()
	p.capacity()
	p.taperSlide()
	if err := r.faults.Err(); err != nil {
		return nil, err
	}
	return p.lathe, nil
}

// latheElsewhere says where a key belongs that stands above the headings of a
// lathe.
func latheElsewhere(key string) (not, instead string) {
	for _, g := range []struct {
		fields []field
		where  string
	}{{dialFields, "[cross_slide] or [top_slide]"}, {topFields, "[top_slide]"}, {banjoFields, "[banjo]"}, {coastFields, "[coast]"}, {threadDialFields, "[thread_dial]"}, {taperSlideFields, "[taper_slide]"}, {toolFields, "[[tool]]"}, {materialFields, "[[material]]"}, {measureFields, "[[measure]]"}, {tailstockFields, "[tailstock]"}} {
		if contains(keysOf(g.fields), key) {
			return "above the headings", "write it below " + g.where
		}
	}
	return "", ""
}

// inside says where a key belongs that stands below a heading of a lathe.
func inside(heading string) func(string) (not, instead string) {
	return func(key string) (not, instead string) {
		if contains(keysOf(latheFields), key) {
			return "in " + heading, "write it above the first heading"
		}
		return "", ""
	}
}

type latheParser struct {
	*reader
	top   *scope
	lathe *Lathe
}

// sub is the table below a heading, nil when it is not there.
func (p *latheParser) sub(a arg, fields []field) *scope {
	if !a.there() {
		return nil
	}
	if a.kind != kindTable {
		a.fault("not-a-table", a.f.key, kindNames[a.kind], strings.Split(a.f.example, ":")[0])
		return nil
	}
	heading := "[" + a.f.key + "]"
	return p.scope(a.table, " in "+heading, fields, inside(heading))
}

// list is the entries of a list, as values asked for one by one.
func (a arg) list() (out []arg, ok bool) {
	if !a.is(kindList) {
		return nil, false
	}
	if len(a.items) > maxRow {
		a.fault("out-of-range", a.f.key, strconv.Itoa(len(a.items))+" entries", "1", strconv.Itoa(maxRow), "leave out what is never used")
		return nil, false
	}
	f := field{a.f.key, strings.Trim(strings.Split(strings.Split(a.f.example, "]")[0], ",")[0], "[")}
	for _, v := range a.items {
		out = append(out, arg{value: v, s: a.s, f: f})
	}
	return out, true
}

func (p *latheParser) gears() {
	s, l := p.top, p.lathe
	l.Name = s.need("name").name()
	l.Leadscrew = s.need("leadscrew").lead()
	wheels := s.need("wheels")
	if items, ok := wheels.list(); ok {
		all := true
		for _, it := range items {
			if !it.is(kindWhole) {
				all = false
				continue
			}
			z, err := strconv.ParseInt(it.raw, 0, 32)
			if err != nil || (gear.Wheels{int(z), int(z)}).Check() != nil {
				it.fault("wheel", clip(it.raw))
				all = false
				continue
			}
			l.Wheels = append(l.Wheels, int(z))
		}
		if all {
			switch {
			case len(l.Wheels) == 0:
				wheels.fault("wheels", "no wheel")
			case l.Wheels.Check() != nil:
				wheels.fault("wheels", "one wheel")
			}
		}
	}
}

func (p *latheParser) slides() {
	l := p.lathe
	l.Cross, l.CrossClockwiseIn = p.dial(p.top.need("cross_slide"))
	l.TopClockwiseIn = true
	if s := p.sub(p.top.need("top_slide"), topFields); s != nil {
		l.Top, l.TopClockwiseIn = p.ringOf(s)
		if a := s.get("stroke"); a.value != nil {
			l.TopStroke = a.length(maxBar)
		}
	}
	if a := p.top.get("carriage"); a.value != nil {
		d, _ := p.dial(a)
		l.Carriage = &d
	}
	if a := p.top.get("tailstock"); a.value != nil {
		l.Tailstock = p.tailstock(a)
	}
}

func (p *latheParser) dial(a arg) (d setup.Dial, clockwiseIn bool) {
	s := p.sub(a, dialFields)
	if s == nil {
		return d, true
	}
	return p.ringOf(s)
}

// ringOf reads the ring of a wheel in its table.
func (p *latheParser) ringOf(s *scope) (d setup.Dial, clockwiseIn bool) {
	travel, marked, reads := s.need("travel"), s.get("marked"), s.get("reads")
	d.Travel = travel.length(maxTravel)
	d.Marked = marked.length(2 * maxTravel)
	d.Divisions = s.need("divisions").whole(1, 2000, "count the lines of one whole turn")
	d.OnDiameter = reads.word("radius", "diameter") == "diameter"
	if slack := s.get("slack"); slack.value != nil {
		d.Slack = slack.orZero(maxTravel)
		if d.Travel > 0 && d.Slack >= 3*d.Travel {
			slack.fault("dial", "slack of "+show(d.Slack, unit(slack.str))+" is three turns or more", "adjust the slide before working with it")
			d.Slack = 0
		}
	}
	clockwiseIn = s.get("clockwise").word("in", "out") != "out"
	if d.Travel == 0 || d.Divisions == 0 || marked.value != nil && d.Marked == 0 || reads.value != nil && !reads.there() {
		return d, clockwiseIn
	}
	p.ring(s, d)
	return d, clockwiseIn
}

// ring checks the marking of a dial against its travel and its lines.
func (p *latheParser) ring(s *scope, d setup.Dial) {
	travel, marked := s.get("travel"), s.get("marked")
	u := unit(strings.TrimSpace(travel.str))
	says, at := d.Marked, marked
	if says == 0 {
		says, at = d.Travel, travel
		if d.OnDiameter {
			says *= 2
		}
	} else {
		u = unit(strings.TrimSpace(marked.str))
	}
	if err := d.Check(); err != nil {
		_, hint := parted(err, "measure the travel of one turn with a dial gauge")
		switch {
		case !d.OnDiameter && (says-2*d.Travel).Abs() <= d.Travel/5:
			hint = `a ring that says twice the travel shows the diameter: write reads = "diameter"`
		case d.OnDiameter && (says-d.Travel).Abs() <= d.Travel/10:
			hint = `a ring that says just the travel shows the radius: write reads = "radius"`
		}
		at.fault("dial-marked", show(says, u), show(d.Travel, u), hint)
	}
	if !shared(says, d.Divisions, calc.Micrometre) && !shared(says, d.Divisions, calc.Thou/10) {
		name := " mm"
		if u == calc.Inch {
			name = " in"
		}
		one := setup.Dial{Travel: says, Divisions: d.Divisions}.Division()
		s.get("divisions").fault("divisions-odd", show(says, u), strconv.Itoa(d.Divisions), one.Trimmed(u, 6)+name)
	}
}

// shared says whether a turn of the ring comes out as whole grains a division.
func shared(turn calc.Length, divisions int, grain calc.Length) bool {
	return turn%grain == 0 && turn.Steps(grain)%int64(divisions) == 0
}

func (p *latheParser) spindle() {
	s, l := p.top, p.lathe
	p.speeds(s.need("speeds"))
	if a := s.need("motor"); a.value != nil {
		l.Power = a.power()
	}
	l.BaseSpeed = s.get("base_speed").speed()
	l.Reverse = Reverse(s.need("reverse").word(string(ReverseMotor), string(ReverseNone)))
	l.Chuck = Chuck(s.need("chuck").word(string(ChuckScrewed), string(ChuckBolted), string(ChuckCamlock)))
	l.ChuckLimit = s.get("chuck_limit").speed()
	l.Threading = s.get("threading").way()
	if c := p.sub(s.need("coast"), coastFields); c != nil {
		l.Coast = p.coast(c)
	}
	if a := s.get("delay"); a.value != nil {
		l.Delay = a.duration(50*time.Millisecond, maxDelay, "it is the time from seeing to the power being off")
	}
}

// coast is how the spindle runs down: turns from a speed, or a time that an
// electronic brake keeps at every speed.
func (p *latheParser) coast(s *scope) (c cutting.Coast) {
	if a := s.get("time"); a.value != nil {
		c.Time = a.duration(10*time.Millisecond, 60*time.Second, "it is the time from power off to standing still")
		for _, k := range []string{"turns", "at"} {
			if s.given(k) {
				s.get(k).fault("coast-both", k)
			}
		}
		return c
	}
	if a := s.need("turns"); a.value != nil {
		c.Turns = a.turns()
	}
	c.At = s.need("at").speed()
	return c
}

func (p *latheParser) speeds(a arg) {
	if !a.there() {
		return
	}
	l := p.lathe
	switch a.kind {
	case kindTable:
		s := p.scope(a.table, " in speeds", speedFields, nil)
		low, high := s.need("min").speed(), s.need("max").speed()
		if low > 0 && high > 0 && low > high {
			s.get("min").fault("speeds-order", low.String(), high.String())
		}
		l.Speeds = cutting.Between(low, high)
	default:
		items, ok := a.list()
		if ok && len(items) == 0 {
			a.fault("no-speeds")
		}
		seen := map[calc.Speed]bool{}
		var list []calc.Speed
		for _, it := range items {
			v := it.speed()
			if v > 0 && seen[v] {
				it.fault("speed-twice", v.String())
			}
			seen[v] = true
			list = append(list, v)
		}
		l.Speeds = cutting.Fixed(list...)
	}
}

func (p *latheParser) feeds() {
	s, l := p.top, p.lathe
	if a := s.get("power_feed"); a.there() {
		items, _ := a.list()
		for _, it := range items {
			f := it.lead()
			if !f.IsZero() && !l.Leadscrew.IsZero() && f.Cmp(l.Leadscrew) > 0 {
				it.fault("coarse-feed", f.String(), l.Leadscrew.String())
			}
			l.PowerFeeds = append(l.PowerFeeds, f)
		}
	}
	l.DepthOfCut = s.get("depth_of_cut").length(10 * calc.Millimetre)
}

var (
	powerShape = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) ?(W|kW|hp|HP)$`)
	timeShape  = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) ?(s|ms)$`)
)

// watts in the units of a motor's plate; the horsepower is the mechanical one.
var watts = map[string]float64{"W": 1, "kW": 1000, "hp": 745.7, "HP": 745.7}

// power is a motor's power in whole watts, zero when there is none.
func (a arg) power() int {
	text := a.bare("W")
	if text == "" {
		return 0
	}
	m := powerShape.FindStringSubmatch(text)
	if m == nil {
		a.fault("power", a.f.key, clip(text))
		return 0
	}
	v, err := strconv.ParseFloat(m[1], 64)
	v *= watts[m[2]]
	if err != nil || v < 1 || v > maxPower {
		a.fault("out-of-range", a.f.key, clip(text), "1 W", "50 kW", "it stands on the motor's plate")
		return 0
	}
	return int(v + 0.5)
}

// duration is a time in a range, zero when there is none.
func (a arg) duration(low, high time.Duration, hint string) time.Duration {
	text := a.bare("s")
	if text == "" {
		return 0
	}
	m := timeShape.FindStringSubmatch(text)
	if m == nil {
		a.fault("time", a.f.key, clip(text))
		return 0
	}
	d, err := time.ParseDuration(m[1] + m[2])
	if err != nil || d < low || d > high {
		a.fault("out-of-range", a.f.key, clip(text), seconds(low), seconds(high), hint)
		return 0
	}
	return d
}

func seconds(d time.Duration) string {
	return strconv.FormatFloat(d.Seconds(), 'g', -1, 64) + " s"
}

// bare is a text; a number without quotes is told the unit it needs.
func (a arg) bare(unit string) string {
	if a.there() && (a.kind == kindWhole || a.kind == kindDecimal) {
		a.fault("no-unit", a.f.key, a.raw, a.f.key+` = "`+a.raw+" "+unit+`"`)
		return ""
	}
	s, _ := a.written()
	return s
}

// turns is a number of turns above zero, zero when there is none.
func (a arg) turns() float64 {
	if !a.there() || a.kind != kindDecimal && !a.is(kindWhole) {
		return 0
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(a.raw, "_", ""), 64)
	if err != nil || !(v >= 0.01 && v <= 200) {
		a.fault("out-of-range", a.f.key, clip(a.raw), "0.01", "200", "count the turns the spindle makes after switching off")
		return 0
	}
	return v
}

package job

import (
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/gear"
)

const maxSpan = 1000 * calc.Millimetre

// train reads what the change gears hang on and run through.
func (p *latheParser) train() {
	s, l := p.top, p.lathe
	if b := p.sub(s.get("banjo"), banjoFields); b != nil {
		p.banjo(b)
	}
	l.Fixed = s.get("fixed").ratio()
	l.Levers = s.get("levers").levers()
	l.Tumbler = s.get("tumbler").truth(true)
	if a := s.get("mounted"); a.value != nil {
		if text, ok := a.written(); ok {
			t, err := gear.Parse(text)
			if err != nil {
				what, hint := parted(err, "")
				a.fault("mounted", what, hint)
			} else if _, missing := l.Wheels.Less(t.Teeth()...); len(missing) > 0 && len(l.Wheels) > 0 {
				a.fault("mounted", "of the train "+t.String()+", "+gear.Wheels(missing).String()+" is not among wheels", "list every wheel there is, those on the lathe too")
			} else {
				l.Mounted = t
			}
		}
	}
}

func (p *latheParser) banjo(s *scope) {
	b := &p.lathe.Banjo
	b.Module = s.get("module").length(maxTravel)
	b.Clearance = s.get("clearance").length(maxTravel)
	if a := s.get("studs"); a.value != nil {
		b.Studs = a.whole(1, 2, "a banjo has one or two between the spindle side and the leadscrew")
	}
	b.Span = s.get("span").length(maxSpan)
	b.Near, b.Far = s.get("near").length(maxSpan), s.get("far").length(maxSpan)
	b.First, b.Stud, b.Last = s.get("first_radius").length(maxTravel), s.get("stud_radius").length(maxTravel), s.get("last_radius").length(maxTravel)
	b.Cover = s.get("cover").length(maxSpan)
	b.SwingFrom, b.SwingTo = s.get("swing_from").angle(), s.get("swing_to").angle()
	b.StepUpLimit = s.get("step_up").decimal(1, 20, "above it a train is said to be hard on the lathe")
	if err := (gear.Banjo{Module: b.Module}).Check(); err != nil {
		_, hint := parted(err, "measure the pitch circle of a wheel and divide it by its teeth")
		s.get("module").fault("banjo", show(b.Module, calc.Millimetre), hint)
	}
	if b.Far > 0 && b.Near > b.Far {
		s.get("near").fault("banjo-order", "near", show(b.Near, calc.Millimetre), "far", show(b.Far, calc.Millimetre))
	}
	if s.given("swing_from") {
		s.need("swing_to")
	}
	if b.SwingTo > 0 && b.SwingFrom >= b.SwingTo {
		s.get("swing_from").fault("banjo-order", "swing_from", b.SwingFrom.String(), "swing_to", b.SwingTo.String())
	}
}

func (p *latheParser) threadDial() {
	s := p.sub(p.top.get("thread_dial"), threadDialFields)
	if s == nil {
		return
	}
	d := gear.ThreadDial{
		Wheel: s.need("wheel").whole(1, 200, "count the teeth of the wheel that runs on the leadscrew"),
		Lines: s.need("lines").whole(1, 64, "count the lines on its face"),
	}
	if d.Wheel > 0 && d.Lines > 0 {
		p.lathe.Dial = &d
	}
}

// ratio is a fraction above zero, zero when there is none.
func (a arg) ratio() (r calc.Ratio) {
	if !a.there() {
		return r
	}
	text := a.raw
	if a.kind != kindWhole && a.kind != kindDecimal {
		var ok bool
		if text, ok = a.written(); !ok {
			return r
		}
	}
	r, err := calc.ParseRatio(text)
	if err != nil || r.Sign() <= 0 {
		a.fault("ratio", a.f.key, clip(text))
		return calc.Ratio{}
	}
	return r
}

// levers is the positions of a gearbox, in the order they are written.
func (a arg) levers() (out []gear.Lever) {
	if !a.there() || !a.is(kindTable) {
		return nil
	}
	if n := len(a.table.entries); n == 0 || n > maxRow {
		a.fault("out-of-range", a.f.key, strconv.Itoa(n)+" entries", "1", strconv.Itoa(maxRow), "leave it out where there is no gearbox")
		return nil
	}
	for _, e := range a.table.entries {
		if r := (arg{e.val, a.s, field{e.key, `"1/2"`}}).ratio(); r.Sign() > 0 {
			out = append(out, gear.Lever{Name: e.key, Ratio: r})
		}
	}
	return out
}

// angle is an angle from 0 to 180 degrees, zero when there is none.
func (a arg) angle() calc.Angle {
	if a.there() && (a.kind == kindWhole || a.kind == kindDecimal) {
		a.fault("no-unit", a.f.key, a.raw, a.f.key+` = "`+a.raw+` deg"`)
		return 0
	}
	text, ok := a.written()
	if !ok {
		return 0
	}
	v, err := calc.ParseAngle(text)
	if err != nil {
		a.fault("bad-angle", a.f.key, clip(text))
		return 0
	}
	if v < 0 || v > 180*calc.Degree {
		a.fault("out-of-range", a.f.key, clip(text), "0 deg", "180 deg", "it is counted at the leadscrew from the line to the first driver's shaft")
		return 0
	}
	return v
}

// decimal is a number in a range, zero when there is none.
func (a arg) decimal(low, high float64, hint string) float64 {
	if !a.there() || a.kind != kindDecimal && !a.is(kindWhole) {
		return 0
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(a.raw, "_", ""), 64)
	if err != nil || !(v >= low && v <= high) {
		a.fault("out-of-range", a.f.key, clip(a.raw), strconv.FormatFloat(low, 'g', -1, 64), strconv.FormatFloat(high, 'g', -1, 64), hint)
		return 0
	}
	return v
}

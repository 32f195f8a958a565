package job

import "turncue/calc"

// TaperSlide is a guide bar on the bed behind the saddle, set to an angle: clamped to the
// bed it leads the cross slide as the carriage goes along, and the tool follows a cone.
type TaperSlide struct {
	Greatest calc.Angle  // half angle its bar can be set to
	Stroke   calc.Length // of the carriage over which it leads the cross slide
	Slack    calc.Length // of the carriage before the cross slide follows, after it has gone the other way
	// ByTop says that the screw of the cross slide is uncoupled while it is led, and the
	// depth is set with the top slide turned across.
	ByTop bool
}

// defaultTaperSlack is what a taper slide is taken to need where the lathe file does not
// say (common practice).
const defaultTaperSlack = 5 * calc.Millimetre

var taperSlideFields = []field{
	{"greatest", `"10 deg"`},
	{"stroke", `"150 mm"`},
	{"slack", `"4 mm"`},
	{"infeed", `"cross slide"`},
}

// taperSlide reads the taper slide, where there is one.
func (p *latheParser) taperSlide() {
	a := p.top.get("taper_slide")
	if a.value == nil {
		return
	}
	s := p.sub(a, taperSlideFields)
	if s == nil {
		return
	}
	t := &TaperSlide{Slack: defaultTaperSlack}
	t.Greatest = s.need("greatest").halfAngle()
	t.Stroke = s.need("stroke").length(maxOut)
	if slack := s.get("slack"); slack.value != nil {
		t.Slack = slack.orZero(maxTravel)
	}
	t.ByTop = s.get("infeed").word("cross slide", "top slide") == "top slide"
	p.lathe.TaperSlide = t
}

// halfAngle is an angle above 0 and up to 20 degrees, as taper slides have it.
func (a arg) halfAngle() calc.Angle {
	text, ok := a.written()
	if !ok {
		return 0
	}
	v, err := calc.ParseAngle(text)
	if err != nil {
		what, hint := parted(err, "write one such as "+a.f.example)
		a.fault("taper", what, hint)
		return 0
	}
	if v <= 0 || v > 20*calc.Degree {
		a.fault("out-of-range", a.f.key, v.String(), "0 deg", "20 deg", "it is the most its bar is set to, half of the cone's angle")
		return 0
	}
	return v
}

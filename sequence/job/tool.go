package job

import (
	"fmt"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/thread"
)

var toolFields = []field{
	{"kind", `"turning"`},
	{"steel", `"HSS"`},
	{"width", `"2 mm"`},
	{"tip", `"radius 0.15 mm"`},
	{"reach", `"12 mm"`},
	{"size", `"2 mm"`},
	{"edge", `"8 mm"`},
	{"hand", `"right"`},
	{"upside_down", `true`},
	{"thread", `"M6"`},
	{"lead_in", `"4 mm"`},
	{"angle", `"60 deg"`},
	{"pattern", `"diamond"`},
	{"pitch", `"1 mm"`},
	{"holder", `"clamp"`},
	{"closing", `"1.5 mm"`},
}

// The kinds of tool.
const (
	KindTurning     = "turning"
	KindGrooving    = "grooving"
	KindParting     = "parting"
	KindThreading   = "threading"
	KindChamfer     = "chamfer"
	KindCentreDrill = "centre drill"
	KindDrill       = "drill"
	KindReamer      = "reamer"
	KindBoringBar   = "boring bar"
	KindTap         = "tap"
	KindRounding    = "rounding"

	KindInsideThreading = "inside threading"
	KindInsideGrooving  = "inside grooving"

	KindKnurling = "knurling"
)

// toolKeys is what each kind of tool has beside kind and steel, and whether it
// must be given.
var toolKeys = map[string]map[string]bool{
	KindTurning:     {"hand": false, "tip": false},
	KindGrooving:    {"width": true, "reach": false},
	KindParting:     {"width": true, "reach": false},
	KindThreading:   {"tip": true, "width": false, "upside_down": false, "angle": false},
	KindChamfer:     {"edge": false},
	KindRounding:    {"size": true},
	KindCentreDrill: {"size": true},
	KindDrill:       {"size": true},
	KindReamer:      {"size": true},
	KindBoringBar:   {"size": true, "reach": false, "tip": false},
	KindTap:         {"thread": true, "lead_in": false},

	KindInsideThreading: {"size": true, "tip": true, "width": false, "reach": false, "angle": false},
	KindInsideGrooving:  {"size": true, "width": true, "reach": false},

	KindKnurling: {"pattern": true, "pitch": true, "holder": true, "width": true, "size": true, "closing": false},
}

var kindsOfTool = []string{KindTurning, KindGrooving, KindParting, KindThreading, KindChamfer, KindCentreDrill, KindDrill, KindReamer, KindBoringBar, KindTap, KindInsideThreading, KindInsideGrooving, KindKnurling, KindRounding}

// The hands of a turning tool: a right-hand tool cuts towards the chuck.
const (
	HandRight   = "right"
	HandLeft    = "left"
	HandNeutral = "neutral"
)

// ChamferEdge is how long the edge of a chamfer tool is where nothing is written: ground
// on a tool bit of 8 mm (common practice).
const ChamferEdge = 8 * calc.Millimetre

// maxWidth is the widest blade, and the most a tool can be.
const maxWidth = 60 * calc.Millimetre

func (p *latheParser) tools() {
	tables, ok := tablesOf(p.reader, p.top, "tool", `[[tool]] with kind = "turning"`)
	if !ok {
		return
	}
	if len(tables) == 0 {
		p.fault("no-tool", Pos{})
	}
	if len(tables) > maxTools {
		p.fault("tool-count", tables[maxTools].pos, strconv.Itoa(maxTools))
		tables = tables[:maxTools]
	}
	for _, t := range tables {
		p.lathe.Tools = append(p.lathe.Tools, p.tool(t))
	}
}

func (p *latheParser) tool(t *table) Tool {
	s := p.scope(t, " in a tool", toolFields, inside("a tool"))
	out := Tool{Pos: t.pos, Steel: string(cutting.HSS)}
	out.Kind = s.need("kind").word(kindsOfTool...)
	if a := s.get("steel"); a.value != nil {
		out.Steel = a.word(string(cutting.HSS), string(cutting.Carbide))
	}
	if out.Kind != "" {
		for _, f := range toolFields[2:] {
			must, has := toolKeys[out.Kind][f.key]
			switch {
			case !has && s.given(f.key):
				p.fault("tool-key", s.t.find(f.key).pos, out.Kind, f.key, ownersIn(f.key, kindsOfTool, toolKeys))
			case must:
				s.need(f.key)
			}
		}
	}
	out.Width = s.get("width").length(maxWidth)
	out.Size = s.get("size").length(maxWidth)
	out.Edge = s.get("edge").length(maxWidth)
	if out.Kind == KindChamfer && out.Edge == 0 {
		out.Edge = ChamferEdge
	}
	reach := s.get("reach")
	out.Reach = reach.length(2 * maxWidth)
	if out.Size == 0 && out.Width > 0 && out.Reach > 8*out.Width { // 8 widths: published limit for steel
		reach.fault("reach-of-nothing", show(out.Width, unit(strings.TrimSpace(s.get("width").str))), show(out.Reach, unit(strings.TrimSpace(reach.str))))
	}
	out.Tip = toolTip(s.get("tip"))
	if out.Kind == KindTurning {
		out.Hand = HandRight
	}
	if a := s.get("hand"); a.value != nil {
		out.Hand = a.word(HandRight, HandLeft, HandNeutral)
	}
	if a := s.get("thread"); a.value != nil {
		out.Thread = p.tapThread(a)
	}
	out.LeadIn = s.get("lead_in").length(maxWidth)
	out.UpsideDown = s.get("upside_down").truth(false)
	out.Angle = s.get("angle").flanks()
	if out.Kind == KindKnurling {
		p.knurling(&out, s)
	}
	if (out.Kind == KindThreading || out.Kind == KindInsideThreading) && out.Angle == 0 {
		out.Angle = 60 * calc.Degree
	}
	return out
}

// tapThread is what a tap cuts: an inside thread, named by its bolt or itself.
func (p *latheParser) tapThread(a arg) *thread.Thread {
	text, ok := a.written()
	if !ok {
		return nil
	}
	t, err := thread.Parse(text)
	if err != nil {
		what, hint := parted(err, "write one such as M6")
		if te, ok := err.(*thread.Error); ok {
			what, hint = parted(fmt.Errorf("%s", te.Msg), "write one such as M6")
		}
		a.fault("tap-thread", what, hint)
		return nil
	}
	if t.External {
		t = t.Mate()
	}
	return &t
}

// flanks is the angle between the flanks of a threading tool, zero when there is none.
func (a arg) flanks() calc.Angle {
	text := a.word("60 deg", "55 deg", "47.5 deg", "30 deg", "29 deg")
	v, err := calc.ParseAngle(text)
	if text == "" || err != nil {
		return 0
	}
	return v
}

// toolTip is the tip of a real tool: a size, not a share of a pitch.
func toolTip(a arg) string {
	text := a.name()
	if text == "" {
		return ""
	}
	if strings.ContainsAny(text, "PH") {
		a.fault("tip-share", text)
		return ""
	}
	if _, err := thread.ParseTip(text, calc.Lead{}); err != nil {
		what, _ := parted(err, "")
		a.fault("tool-tip", what, "write one such as radius 0.15 mm, flat 0.2 mm or sharp")
		return ""
	}
	return text
}

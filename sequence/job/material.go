package job

import (
	"regexp"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/cutting"
)

var materialFields = []field{
	{"name", `"axle steel"`},
	{"like", `"medium-carbon steel"`},
	{"turn", `"20 m/min"`},
	{"thread", `"7 m/min"`},
	{"part", `"8 m/min"`},
	{"drill", `"16 m/min"`},
	{"ream", `"6 m/min"`},
	{"feed", `"0.1 mm"`},
	{"finish_feed", `"0.06 mm"`},
	{"kc", `"2220 N/mm2"`},
	{"mc", `0.14`},
	{"source", `"the maker's data sheet"`},
}

const maxMaterials = 100

// materials reads the shop's own materials: each is like a built-in one until it
// says otherwise.
func (p *latheParser) materials() {
	tables, ok := tablesOf(p.reader, p.top, "material", `[[material]] with name = "axle steel" and like = "medium-carbon steel"`)
	if !ok {
		return
	}
	if len(tables) > maxMaterials {
		p.fault("material-count", tables[maxMaterials].pos, strconv.Itoa(maxMaterials))
		return
	}
	for _, t := range tables {
		s := p.scope(t, " in a material", materialFields, inside("a material"))
		name := s.need("name")
		called := name.name()
		m := p.material(s, called)
		for _, o := range p.lathe.Materials {
			if called != "" && strings.EqualFold(o.Name, called) {
				name.fault("material-twice", called)
				break
			}
		}
		p.lathe.Materials = append(p.lathe.Materials, m)
	}
}

// speedKeys is the operation each cutting speed is for.
var speedKeys = []struct {
	key string
	op  cutting.Op
}{{"turn", cutting.Turn}, {"thread", cutting.Thread}, {"part", cutting.Part}, {"drill", cutting.Drill}, {"ream", cutting.Ream}}

func (p *latheParser) material(s *scope, name string) cutting.Material {
	var base cutting.Material
	like := s.need("like")
	if text := like.name(); text != "" {
		found, err := cutting.FindMaterial(text)
		if err != nil {
			what, hint := parted(err, "")
			like.fault("material", what, hint)
		}
		base = found
	}
	m := cutting.Like(name, base)
	m.SpeedsFrom = s.get("source").name()
	m.Speeds, m.Feeds = map[cutting.Op]calc.SurfaceSpeed{}, map[cutting.Op]calc.Length{}
	for _, k := range speedKeys {
		if v := s.get(k.key).surface(); v > 0 {
			m.Speeds[k.op] = v
		}
	}
	if f := s.get("feed").length(5 * calc.Millimetre); f > 0 {
		m.Feeds[cutting.Turn] = f
	}
	if f := s.get("finish_feed").length(5 * calc.Millimetre); f > 0 {
		m.Feeds[cutting.Finish] = f
	}
	if s.given("kc") || s.given("mc") {
		kc, mc := s.need("kc").pressure(), s.need("mc").decimal(0.01, 0.9, "it is about 0.2 for most metals")
		if kc > 0 && mc > 0 {
			m.Force, m.Second, m.ForceFrom = cutting.Kienzle{KC: kc, MC: mc}, cutting.Kienzle{}, "the shop's own"
			if m.SpeedsFrom != "" {
				m.ForceFrom = m.SpeedsFrom
			}
		}
	}
	return m
}

// surface is a cutting speed, zero when there is none.
func (a arg) surface() calc.SurfaceSpeed {
	text := a.bare("m/min")
	if text == "" {
		return 0
	}
	v, err := calc.ParseSurfaceSpeed(text)
	if err != nil {
		a.fault("surface-speed", a.f.key, clip(text))
		return 0
	}
	if v > 2000*calc.MetrePerMinute {
		a.fault("out-of-range", a.f.key, clip(text), "0 m/min", "2000 m/min", "is the unit right?")
		return 0
	}
	return v
}

var pressureShape = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) ?(N/mm2|N/mm²|MPa)$`)

// pressure is a specific cutting force in N/mm2, zero when there is none.
func (a arg) pressure() float64 {
	text := a.bare("N/mm2")
	if text == "" {
		return 0
	}
	m := pressureShape.FindStringSubmatch(text)
	if m == nil {
		a.fault("kc", a.f.key, clip(text))
		return 0
	}
	v, err := strconv.ParseFloat(m[1], 64)
	if err != nil || v < 10 || v > 10_000 {
		a.fault("out-of-range", a.f.key, clip(text), "10 N/mm2", "10000 N/mm2", "it is the force on a chip 1 mm thick and 1 mm wide")
		return 0
	}
	return v
}

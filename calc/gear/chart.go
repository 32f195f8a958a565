package gear

import (
	"fmt"
	"math"
	"strings"

	"turncue/calc"
)

// Standard is a lead a chart has a row for.
type Standard struct {
	Kind string // "metric", "per inch" and so on
	Name string // as it is written: "1.75", "11.5 tpi"
	Lead calc.Lead
}

// Standards is every pitch, thread count and feed that a chart beside a lathe
// shows: ISO 261 pitches, the coarser ones of ISO 2904, BA, threads per inch of the
// UN, BSW, BSF, BSP, NPT and brass series, worms by module and by diametral pitch,
// and feeds per turn. Kinds stand together, each from fine to coarse. A worm's lead
// is pi times its module, rounded to the nanometre.
func Standards() []Standard {
	var out []Standard
	hundredths := func(kind string, list ...int64) {
		for _, v := range list {
			l := calc.PerTurn(calc.Length(v) * calc.Millimetre / 1000)
			out = append(out, Standard{kind, l.Length().Trimmed(calc.Millimetre, 3), l})
		}
	}
	hundredths("metric", 200, 225, 250, 300, 350, 400, 450, 500, 600, 700, 750, 800, 1000, 1250, 1500, 1750, 2000, 2500, 3000, 3500, 4000, 4500, 5000, 5500, 6000)
	hundredths("trapezoidal", 7000, 8000, 9000, 10000, 12000)
	hundredths("BA", 190, 210, 230, 280, 310, 390, 430, 480, 530, 590, 660, 730, 810, 900)
	for _, quarters := range []int64{
		320, 288, 256, 248, 240, 224, 216, 208, 200, 192, 184, 176, 168, 160, 152, 144, 136, 128, 120, 112, 108, 104, 100, 96, 92, 88, 80, 76, 72,
		68, 64, 60, 56, 54, 52, 48, 46, 44, 40, 36, 32, 28, 26, 24, 22, 20, 18, 16, 14, 13, 12, 11, 10, 8,
	} {
		tpi, err := calc.NewRatio(quarters, 4)
		if err != nil {
			continue
		}
		l, err := calc.PerInch(tpi)
		if err != nil {
			continue
		}
		out = append(out, Standard{"per inch", tpiName(tpi), l})
	}
	for _, m := range []int64{300, 400, 500, 600, 700, 800, 1000, 1250, 1500, 2000} {
		l := calc.PerTurn(calc.Millimetres(math.Pi * float64(m) / 1000))
		out = append(out, Standard{"worm by module", "module " + (calc.Length(m)*calc.Micrometre).Trimmed(calc.Millimetre, 3), l})
	}
	for _, dp := range []int64{64, 48, 32, 24, 20, 16} {
		l := calc.PerTurn(calc.Inches(math.Pi / float64(dp)))
		out = append(out, Standard{"worm by diametral pitch", fmt.Sprintf("%d DP", dp), l})
	}
	hundredths("feed", 40, 50, 60, 80, 100, 120, 150, 200, 250, 300)
	return out
}

func tpiName(tpi calc.Ratio) string {
	s := tpi.Rat().FloatString(2)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".") + " tpi"
}

// Row is one line of a chart.
type Row struct {
	Standard
	Train Train // the best that mounts; without drivers where there is none
	Found bool
}

// Chart is the best train for each of many leads on one lathe. The Lead of the
// question is not looked at. The products of the wheels are sorted once for all
// rows; hints and extra wheels are left out.
func Chart(w Want, leads []Standard) ([]Row, error) {
	if err := w.Wheels.Check(); err != nil {
		return nil, err
	}
	t := newTable(w.Wheels, w.Banjo.studs()+1)
	out := make([]Row, len(leads))
	w.Most = 1
	for i, s := range leads {
		w.Lead = s.Lead
		if err := w.check(); err != nil {
			return nil, fmt.Errorf("%s: %w", s.Name, err)
		}
		res, err := t.trains(w, false)
		if err != nil {
			return nil, err
		}
		out[i].Standard = s
		if len(res.Trains) > 0 {
			out[i].Train, out[i].Found = res.Trains[0], true
		}
	}
	return out, nil
}

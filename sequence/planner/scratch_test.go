package planner

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

func TestScratch(t *testing.T) {
	mm := calc.Millimetre
	th, err := thread.Parse("M12x1.75-6g")
	if err != nil {
		t.Fatal(err)
	}
	to, _ := th.TurnTo()
	m, _ := cutting.FindMaterial("free-machining steel")
	l28, _ := fit.General(28*mm, fit.Linear)
	l8, _ := fit.General(8*mm, fit.Linear)
	d16, _ := fit.Parse("16 mm h9")
	j := &job.Job{Source: job.Source{Path: "foot.job"}, Part: "loom levelling foot", Material: m, Unit: mm, Bar: 22 * mm, StickOut: 60 * mm, Face: mm / 2, PartOff: true,
		Sections: []job.Section{
			{Name: "s1", Thread: &th, Diameter: to, Length: l28, Chamfer: 15 * mm / 10,
				Undercut: &job.Undercut{Form: "regular", Width: fit.Limits{Nominal: 5 * mm, Min: 39 * mm / 10, Max: 61 * mm / 10}, Diameter: fit.Limits{Nominal: 94 * mm / 10, Min: 918 * mm / 100, Max: 94 * mm / 10}, Source: "DIN 76-1"}},
			{Name: "s2", Diameter: d16, Length: l8},
		}}
	carriage := setup.Dial{Travel: 20 * mm, Divisions: 100}
	l := &job.Lathe{Name: "bench", Leadscrew: calc.PerTurn(15 * mm / 10), Wheels: gear.Wheels{20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 60, 65, 80, 80},
		Cross: setup.Dial{Travel: 2 * mm, Divisions: 100, Slack: 15 * mm / 100}, Top: setup.Dial{Travel: mm, Divisions: 50, Slack: mm / 10}, Carriage: &carriage,
		CrossClockwiseIn: true, TopClockwiseIn: true, Speeds: cutting.Fixed(70*calc.RPM, 115*calc.RPM, 200*calc.RPM, 320*calc.RPM, 500*calc.RPM, 800*calc.RPM, 1250*calc.RPM),
		Power: 750, Reverse: job.ReverseMotor, Chuck: job.ChuckBolted, Coast: cutting.Coast{Turns: 0.8, At: 100 * calc.RPM}, Delay: 600 * time.Millisecond,
		PowerFeeds: []calc.Lead{calc.PerTurn(mm / 10)}, DepthOfCut: mm / 2,
		Tools: []job.Tool{{Kind: "turning", Steel: "HSS"}, {Kind: "grooving", Steel: "HSS", Width: 2 * mm}, {Kind: "parting", Steel: "HSS", Width: 2 * mm}, {Kind: "threading", Steel: "HSS", Tip: "radius 0.15 mm"}, {Kind: "chamfer", Steel: "HSS"}, {Kind: "centre drill", Steel: "HSS", Size: 2 * mm}},
	}
	p, err := Plan(j, l, sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Steps {
		fmt.Printf("%3d %-28s %s\n", s.N, s.ID, s.Cue.Text())
	}
	fmt.Println(p.Warnings, p.LayOut)
	h, mc := p.Times()
	fmt.Println(h, mc)
	_, err = json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
}

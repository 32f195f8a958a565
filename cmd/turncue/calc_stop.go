package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/cutting"
)

type calcStopFlags struct {
	lead, groove, tool, margin, rpm, coastTurns, slowest, lathe string
	delay, coast                                                time.Duration
	json                                                        bool
}

// calcStopCommand is turncue calc stop: the room a carriage needs to stop.
func calcStopCommand() *cobra.Command {
	var f calcStopFlags
	c := &cobra.Command{
		Use:   "stop",
		Short: "The room a threading carriage needs to stop, and the fastest spindle for a groove",
		Long: `Works out how far a carriage runs on while the half-nuts stay closed, from seeing to
standstill, and the fastest spindle speed at which it stops within a groove. The
mark is how far before the place where the tool has to stand the power has to be
given up: chalk it on the bed beforehand. It is no cue: eye and hand on the real
tool decide.`,
		Example: `  turncue calc stop --lead 1.75mm --groove 2.5mm --delay 0.5s
  turncue calc stop --lead 1.75mm --groove 4mm --tool 2mm --margin 1mm --rpm 70 --coast-turns 0.8@100rpm`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			a, err := f.answer(c.Flags().Changed("delay"))
			if err != nil {
				return err
			}
			if f.json {
				return calcJSON(c.OutOrStdout(), a.json())
			}
			a.table(c.OutOrStdout())
			return nil
		},
	}
	fl := c.Flags()
	fl.StringVar(&f.lead, "lead", "", "lead of the thread: 1.75mm, 16tpi")
	fl.StringVar(&f.groove, "groove", "", "width of the groove at the end of the thread: 2.5mm")
	fl.StringVar(&f.tool, "tool", "", "full width of the tool where it enters, taken off the groove (0)")
	fl.StringVar(&f.margin, "margin", "", "safety margin, taken off the groove (0)")
	fl.DurationVar(&f.delay, "delay", cutting.DelayUsual, "from seeing to power off: 0.4s hand on the switch, 0.6s usual, 1s apprentice")
	fl.StringVar(&f.rpm, "rpm", "", "spindle speed (the fastest that stops within the groove)")
	fl.StringVar(&f.coastTurns, "coast-turns", "", "turns the spindle coasts from a speed, as measured: 0.8@100rpm; grows with its square")
	fl.DurationVar(&f.coast, "coast", 0, "or the time it coasts at any speed, with an electronic brake: 0.5s")
	fl.StringVar(&f.slowest, "slowest", "", "slowest spindle speed, to say whether to turn by hand: 70")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: delay, coast and slowest speed come from it")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

// calcStop is the answer about stopping.
type calcStop struct {
	stop    cutting.Stop
	room    calc.Length // 0 where no groove was given
	groove  bool
	max     calc.Speed // 0 where there is no groove
	rpm     calc.Speed // the travel is for this
	slowest calc.Speed // 0 where not known
}

func (f calcStopFlags) answer(delayGiven bool) (a calcStop, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return a, err
	}
	if a.stop.Lead, err = calcLead("lead", f.lead); err != nil {
		return a, err
	}
	if a.stop.Lead.IsZero() {
		return a, calcMissing("lead", "the thread's, such as 1.75mm or 16tpi")
	}
	var groove, tool, margin calc.Length
	if err := calcLengths(calcGiven{"groove", f.groove, &groove}, calcGiven{"tool", f.tool, &tool}); err != nil {
		return a, err
	}
	if margin, err = calcLength("margin", f.margin); err != nil {
		return a, err
	}
	if margin < 0 {
		return a, fmt.Errorf("--margin: %s is below zero", margin)
	}
	a.stop.Delay = f.delay
	if f.delay < 0 || f.delay > 10*time.Second {
		return a, fmt.Errorf("--delay: %s: give a time from 0s to 10s", f.delay)
	}
	if l != nil {
		if !delayGiven {
			a.stop.Delay = l.Delay
		}
		a.stop.Coast, a.slowest = l.Coast, l.Speeds.Slowest()
	}
	switch {
	case f.coast < 0 || f.coast > time.Minute:
		return a, fmt.Errorf("--coast: %s: give a time from 0s to 1m", f.coast)
	case f.coast > 0 && f.coastTurns != "":
		return a, fmt.Errorf("--coast: give a time or turns, not both")
	case f.coast > 0:
		a.stop.Coast = cutting.Coast{Time: f.coast}
	case f.coastTurns != "":
		if a.stop.Coast, err = calcCoast(f.coastTurns); err != nil {
			return a, err
		}
	}
	if err := a.stop.Check(); err != nil {
		return a, err
	}
	if a.rpm, err = calcRPM("rpm", f.rpm); err != nil {
		return a, err
	}
	if l != nil && a.rpm > 0 {
		if err := l.Speeds.Runs(a.rpm); err != nil {
			return a, calcFlag("rpm", err)
		}
	}
	if f.slowest != "" {
		if a.slowest, err = calcRPM("slowest", f.slowest); err != nil {
			return a, err
		}
	}
	if groove == 0 && a.rpm == 0 {
		return a, calcMissing("groove", "the width of the groove, or a speed with --rpm")
	}
	if groove > 0 {
		a.groove, a.room = true, cutting.Room(groove, tool, margin)
		n, ok := a.stop.MaxSpeed(a.room)
		if !ok {
			return a, fmt.Errorf("--delay: without a delay and a coast there is nothing to stop for")
		}
		a.max = n - n%calc.RPM // whole turns a minute, never faster
		if a.rpm == 0 {
			a.rpm = a.max
		}
	}
	return a, nil
}

// calcCoast reads "0.8@100rpm".
func calcCoast(s string) (cutting.Coast, error) {
	turns, at, ok := strings.Cut(s, "@")
	n, err := strconv.ParseFloat(strings.TrimSpace(turns), 64)
	if !ok || err != nil || !(n > 0) || n > 1000 {
		return cutting.Coast{}, fmt.Errorf("--coast-turns: %q: write turns and the speed they were measured at, such as 0.8@100rpm", s)
	}
	rpm, err := calcRPM("coast-turns", at)
	return cutting.Coast{Turns: n, At: rpm}, err
}

// byHand says that the groove is too short for the lathe's slowest speed.
func (a calcStop) byHand() bool { return a.groove && a.slowest > 0 && a.max < a.slowest }

type calcStopResult struct {
	Max    *calcNumber `json:"max_rpm"`
	RPM    calcNumber  `json:"rpm"`
	Travel calcMM      `json:"travel_mm"`
	Turns  calcNumber  `json:"turns"`
	Mark   calcMM      `json:"mark_mm"`
	Room   *calcMM     `json:"room_mm"`
	Fits   *bool       `json:"fits"`
	ByHand bool        `json:"by_hand"`
}

func (a calcStop) json() calcStopResult {
	travel := a.stop.Travel(a.rpm)
	r := calcStopResult{RPM: calcNumber(a.rpm.PerMinute()), Travel: calcMM(travel), Turns: calcNumber(a.stop.Turns(a.rpm)), Mark: calcMM(travel), ByHand: a.byHand()}
	if a.groove {
		n, room, fits := calcNumber(math.Floor(a.max.PerMinute())), calcMM(a.room), travel <= a.room
		r.Max, r.Room, r.Fits = &n, &room, &fits
	}
	return r
}

func (a calcStop) table(out io.Writer) {
	travel := a.stop.Travel(a.rpm)
	if a.groove {
		fmt.Fprintf(out, "room to stop in           %s\n", a.room)
		fmt.Fprintf(out, "fastest spindle for it    %s\n", a.max)
	}
	fmt.Fprintf(out, "at %s it runs on     %s mm, %.2f turns\n", a.rpm, travel.Decimal(calc.Millimetre, 2), a.stop.Turns(a.rpm))
	fmt.Fprintf(out, "mark on the bed           %s mm before where the tool has to stand\n", travel.Decimal(calc.Millimetre, 2))
	if a.groove && travel > a.room {
		fmt.Fprintf(out, "warning: that is %s mm more than the room\n", (travel-a.room).Decimal(calc.Millimetre, 2))
	}
	if a.byHand() {
		fmt.Fprintf(out, "warning: the slowest speed, %s, is too fast for the groove: turn the spindle by hand, or widen the groove\n", a.slowest)
	}
	fmt.Fprintln(out, "The mark is for reading beforehand. Watch the tool: eye and hand decide.")
}

package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/cutting"
)

type calcSpeedFlags struct {
	diameter, tool, op, speeds, limit, lathe string
	watts                                    int
	json                                     bool
}

// calcSpeedCommand is turncue calc speed: spindle speed, feed and depth for a
// material.
func calcSpeedCommand() *cobra.Command {
	var f calcSpeedFlags
	c := &cobra.Command{
		Use:   "speed MATERIAL",
		Short: "Spindle speed, feed and depth of cut for a material on a diameter",
		Long: `Gives the spindle speed for a material, a tool and an operation on the diameter being
cut: the stock's for roughing, the largest for facing and parting, the drill's, the
bore's, the thread's major diameter. Of the speeds the lathe has, the highest that
is not above it; where there is none, the slowest with a warning.`,
		Example: `  turncue calc speed "mild steel" --diameter 20mm --speeds 100,250,400,600,1000
  turncue calc speed brass --diameter 8mm --op drill --speeds 50-2500 --watts 350`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			a, err := f.answer(args[0])
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
	fl.StringVar(&f.diameter, "diameter", "", "diameter being cut: 20mm")
	fl.StringVar(&f.tool, "tool", "HSS", "HSS or carbide")
	fl.StringVar(&f.op, "op", "turn", "turn, finish, face, bore, thread, part, groove, drill, ream or knurl")
	fl.StringVar(&f.speeds, "speeds", "", "speeds the lathe has: 100,250,400, or a range 50-1100")
	fl.StringVar(&f.limit, "limit", "", "fastest speed the chuck allows: 2000")
	fl.IntVar(&f.watts, "watts", 0, "name-plate power of the motor, for the depth of cut (350)")
	fl.StringVar(&f.lathe, "lathe", "", "file of the lathe: speeds, chuck, motor and own materials come from it")
	fl.BoolVar(&f.json, "json", false, "give the result as JSON")
	return c
}

type calcSpeed struct {
	material cutting.Material
	op       cutting.Op
	diameter calc.Length
	speeds   cutting.Range
	wanted   calc.Speed
	choice   *cutting.Choice // nil where the lathe's speeds are not known
	feed     *cutting.Feeds
	depth    *cutting.Depths
	class    cutting.Class
}

func (f calcSpeedFlags) answer(name string) (a calcSpeed, err error) {
	l, err := calcLathe(f.lathe)
	if err != nil {
		return a, err
	}
	if a.material, err = l.Material(name); err != nil {
		return a, err
	}
	tool, err := cutting.ParseTool(f.tool)
	if err != nil {
		return a, calcFlag("tool", err)
	}
	if a.op, err = cutting.ParseOp(f.op); err != nil {
		return a, calcFlag("op", err)
	}
	if a.diameter, err = calcPositive("diameter", f.diameter); err != nil {
		return a, err
	}
	if a.diameter == 0 {
		return a, calcMissing("diameter", "the one being cut, such as 20mm")
	}
	var have cutting.Speeds
	watts := f.watts
	limit, err := calcRPM("limit", f.limit)
	if err != nil {
		return a, err
	}
	if l != nil {
		have = l.Speeds
		if limit == 0 {
			limit = l.ChuckLimit
		}
		if watts == 0 {
			watts = l.Power
		}
	}
	if f.speeds != "" {
		if have, err = calcSpeeds("speeds", f.speeds); err != nil {
			return a, err
		}
	}
	switch {
	case watts < 0:
		return a, fmt.Errorf("--watts: %d is below zero", watts)
	case watts == 0:
		watts = 350
	}
	if a.speeds, err = a.material.Speed(tool, a.op); err != nil {
		return a, err
	}
	a.wanted = a.speeds.Start.Spindle(a.diameter)
	if limit > 0 && a.wanted > limit {
		a.wanted = limit
	}
	if len(have) > 0 {
		c, err := have.Choose(a.wanted)
		if err != nil {
			return a, err
		}
		if a.wanted == limit && !c.Fast {
			c.Ruled = "the chuck's limit"
		}
		a.choice = &c
	}
	if fd, err := a.material.Feed(a.op, a.diameter); err == nil {
		a.feed = &fd
	} else if a.op != cutting.Thread {
		return a, err
	}
	a.class = cutting.ClassOf(cutting.Power(watts))
	switch a.op {
	case cutting.Turn, cutting.Bore, cutting.Face:
		d := a.material.Depth(a.class)
		a.depth = &d
	case cutting.Finish:
		d := cutting.FinishDepth()
		a.depth = &d
	}
	return a, nil
}

type calcSpeedResult struct {
	Material string      `json:"material"`
	Surface  calcNumber  `json:"surface_m_min"`
	Min      calcNumber  `json:"surface_min_m_min"`
	Max      calcNumber  `json:"surface_max_m_min"`
	Wanted   calcNumber  `json:"wanted_rpm"`
	Set      *calcNumber `json:"set_rpm"`
	SetAt    *calcNumber `json:"set_surface_m_min"`
	Ruled    string      `json:"ruled_by"`
	TooFast  bool        `json:"too_fast"`
	Feed     *calcMM     `json:"feed_mm"`
	FeedMin  *calcMM     `json:"feed_min_mm"`
	FeedMax  *calcMM     `json:"feed_max_mm"`
	Depth    *calcMM     `json:"depth_mm"`
	DepthMax *calcMM     `json:"depth_max_mm"`
	Basis    string      `json:"basis"`
}

// calcSurface is a cutting speed in metres per minute.
func calcSurface(v calc.SurfaceSpeed) calcNumber {
	return calcNumber(float64(v) / float64(calc.MetrePerMinute))
}

func (a calcSpeed) json() calcSpeedResult {
	r := calcSpeedResult{
		Material: a.material.Name, Surface: calcSurface(a.speeds.Start), Min: calcSurface(a.speeds.Min), Max: calcSurface(a.speeds.Max),
		Wanted: calcNumber(a.wanted.PerMinute()), Basis: a.speeds.Basis,
	}
	if c := a.choice; c != nil {
		n, v := calcNumber(c.Speed.PerMinute()), calcSurface(c.Speed.Surface(a.diameter))
		r.Set, r.SetAt, r.Ruled, r.TooFast = &n, &v, c.Ruled, c.Fast
	}
	if d := a.feed; d != nil {
		s, lo, hi := calcMM(d.Start), calcMM(d.Min), calcMM(d.Max)
		r.Feed, r.FeedMin, r.FeedMax = &s, &lo, &hi
	}
	if d := a.depth; d != nil {
		s, hi := calcMM(d.Start), calcMM(d.Max)
		r.Depth, r.DepthMax = &s, &hi
	}
	return r
}

func (a calcSpeed) table(out io.Writer) {
	fmt.Fprintf(out, "%s, %s on %s\n", a.material.Name, a.op, a.diameter)
	fmt.Fprintf(out, "cutting speed  %s (%s to %s; %s)\n", a.speeds.Start, a.speeds.Min, a.speeds.Max, a.speeds.Basis)
	fmt.Fprintf(out, "spindle        %.0f rpm wanted\n", a.wanted.PerMinute())
	if c := a.choice; c != nil {
		how := ""
		if c.Band.Name != "" {
			how = " on " + c.Band.Name
		}
		fmt.Fprintf(out, "set            %s%s, %s; decided by %s\n", c.Speed, how, c.Speed.Surface(a.diameter), c.Ruled)
		if c.Fast {
			fmt.Fprintln(out, "warning: the lathe has nothing slower: light cuts, plenty of oil, or turn by hand")
		}
	}
	if d := a.feed; d != nil {
		fmt.Fprintf(out, "feed           %s a turn (%s to %s)\n", d.Start, d.Min, d.Max)
	}
	if d := a.depth; d != nil {
		fmt.Fprintf(out, "depth          %s on radius, at most %s (%s lathe; %s)\n", d.Start, d.Max, a.class, d.Basis)
	}
	if a.op == cutting.Thread {
		fmt.Fprintln(out, "hint: the room to stop in usually asks for a slower spindle: turncue calc stop")
	}
	if n := a.material.SpeedsFrom; n != "" {
		fmt.Fprintf(out, "after          %s\n", n)
	}
	if n := a.material.Note; n != "" {
		fmt.Fprintf(out, "note           %s\n", n)
	}
	if n := strings.TrimSpace(a.material.Condition); n != "" {
		fmt.Fprintf(out, "for            %s; %s\n", strings.Join(a.material.Grades, ", "), n)
	}
}

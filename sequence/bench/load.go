package bench

import (
	"fmt"
	"math"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/sequence"
)

// bite is where a tool meets the metal: what an edge takes off a profile.
type bite struct {
	deep  calc.Length // the most that comes off, on radius
	width calc.Length // along z
	from  calc.Length // z of the first metal met, and of the last
	to    calc.Length
	thick calc.Length // largest diameter cut; of a hole in the profile of the hole
	slope bool        // the edge stands at an angle
	wide  calc.Length // of a cone in a bore, the largest diameter cut; zero for no cone
}

// bites is what some edges take off a profile together.
func (p Profile) bites(edges []edge) (all bite) {
	for _, e := range edges {
		for _, q := range p {
			a, b := max(e.from, q.From), min(e.to, q.To)
			if a >= b {
				continue
			}
			oa, ob := q.edge().at(a)-e.at(a), q.edge().at(b)-e.at(b)
			if oa <= 0 && ob <= 0 {
				continue
			}
			if oa < 0 {
				a += share(b-a, -oa, ob-oa)
			} else if ob < 0 {
				b = a + share(b-a, oa, oa-ob)
			}
			if all.width == 0 {
				all.from, all.to = a, b
			}
			all.from, all.to = min(all.from, a), max(all.to, b)
			all.width += b - a
			all.deep = max(all.deep, oa/2, ob/2)
			all.thick = max(all.thick, q.edge().at(a), q.edge().at(b))
			all.slope = all.slope || e.left != e.right
		}
	}
	return all
}

// load is what a cut asks of lathe, chuck, work and tool.
type load struct {
	doing    string
	force    cutting.Force
	push     cutting.Force // of it, away from the tool
	torque   cutting.Torque
	diameter calc.Length // largest that is cut
	at       string      // how deep or wide, and at what feed
}

// rate is the feed of a move per turn; zero for none.
func rate(m sequence.Move) (feed calc.Lead, along bool) {
	switch m := m.(type) {
	case sequence.Carriage:
		return m.PerRev, true
	case sequence.Plunge:
		return m.PerRev, false
	case sequence.Tailstock:
		return m.PerRev, true
	case sequence.Shift:
		return m.PerRev, true // of the swivelled top slide
	}
	return calc.Lead{}, true
}

// steel is what the edge of the tool in use is made of, as the lathe lists it.
func (b *lathe) steel(kind sequence.ToolKind) cutting.Tool {
	for _, t := range b.own.Tools {
		if t.Kind == string(kind) && t.Steel == string(cutting.Carbide) {
			return cutting.Carbide
		} else if t.Kind == string(kind) {
			break
		}
	}
	return cutting.HSS
}

// factor is the correction of the cutting force for a tool: a little worn, and slow
// where it is of HSS.
func (b *lathe) factor(kind sequence.ToolKind) float64 {
	k := cutting.Usual
	if b.steel(kind) == cutting.Carbide {
		k = cutting.SharpCarbide * cutting.WornEdge
	}
	if kind == sequence.GroovingTool || kind == sequence.PartingTool || kind == sequence.InsideGroovingTool {
		k *= cutting.Hemmed
	}
	return k
}

// operation is what a tool does, as speeds are given for.
func operation(kind sequence.ToolKind) cutting.Op {
	switch kind {
	case sequence.GroovingTool, sequence.PartingTool, sequence.ChamferTool, sequence.RoundingTool:
		return cutting.Part
	case sequence.ThreadingTool:
		return cutting.Thread
	case sequence.DrillTool, sequence.CentreDrillTool:
		return cutting.Drill
	case sequence.ReamerTool:
		return cutting.Ream
	case sequence.BoringTool:
		return cutting.Bore
	}
	return cutting.Turn
}

// fed is the feed per turn of the move under way; where the plan gives none, that of
// the table.
func (b *lathe) fed(op cutting.Op, diameter calc.Length) calc.Length {
	if f := b.feeding.Length(); f > 0 {
		return f
	}
	f, err := b.job.Material.Feed(op, diameter)
	if err != nil {
		return 0
	}
	return f.Start
}

// bears is the check of rule 5 for a cut of the tool in the post: what it takes off a
// profile, which is the work or, inside, the hole.
func (b *lathe) bears(c bite, inside bool, doing string) {
	if c.width <= 0 || c.deep <= 0 {
		return
	}
	m, kind := b.job.Material, b.tool.Kind
	thick := c.thick
	if inside {
		thick = max(b.x(), c.wide)
	}
	op := operation(kind)
	feed := b.fed(op, thick)
	k := b.factor(kind)
	if inside {
		k *= cutting.Internal
	}
	cut := cutting.Cut{Depth: c.deep, Feed: feed, Factor: k}
	l := load{doing: doing, diameter: thick, at: fmt.Sprintf("%s deep at %s a turn", c.deep, feed)}
	push := cutting.Radial
	switch {
	case !b.along:
		cut.Depth = c.width
		l.at = fmt.Sprintf("%s wide at %s a turn", c.width, feed)
		if c.slope && kind != sequence.TurningTool {
			cut, push = cutting.Chamfering(c.width, feed, k), cutting.Spread
		}
	case kind == sequence.TurningTool || kind == sequence.BoringTool:
		b.tooDeep(c.deep, doing)
	}
	l.force = m.Turning(cut)
	l.push = cutting.Force(push) * l.force
	l.torque = l.force.Torque(thick)
	b.driven(l)
	b.fast(op, kind, thick, doing)
	if inside {
		b.barSprings(l)
	}
	b.springs(c, l, cutting.Give)
}

// tooDeep is the check against the deepest cut a lathe of that size takes, whatever its
// motor; what the lathe file says it takes is believed.
func (b *lathe) tooDeep(deep calc.Length, doing string) {
	if b.own.Power <= 0 || b.job.Material.ID == "" {
		return
	}
	class := cutting.ClassOf(cutting.Power(b.own.Power))
	most := max(b.job.Material.Depth(class).Max, b.own.DepthOfCut)
	if over := deep - most; over > same {
		b.fault(WithinPower, "%s %s deep, %s more than the %s that a %s lathe takes in %s at most", doing, deep, over, most, class, b.job.Material.Name)
	}
}

// driven is the check that the spindle turns a cut and the jaws hold it.
func (b *lathe) driven(l load) {
	if l.torque <= 0 {
		return
	}
	what := fmt.Sprintf("%s %s on %s takes %.0f N and %.2g N m", l.doing, l.at, l.diameter, math.Ceil(float64(l.force)), float64(l.torque))
	switch {
	case b.turn == sequence.ByHand:
		if l.torque > cutting.Crank {
			b.fault(WithinPower, "%s: an arm gives %.0f N m on the hand crank", what, float64(cutting.Crank))
		}
	case b.own.Power > 0 && b.rpm > 0:
		drive := b.own.Drive()
		if have := drive.TorqueAt(b.rpm); l.torque > have {
			v := b.rpm.Surface(l.diameter)
			b.fault(WithinPower, "%s, %.0f W at %s: the spindle gives %.2g N m and %.0f W there", what, float64(l.force.Power(v)), b.rpm, float64(have), float64(drive.At(b.rpm)))
		}
	}
	if b.own.Power <= 0 {
		return
	}
	if hold := cutting.ClassOf(cutting.Power(b.own.Power)).Holds(b.job.Bar); l.torque > hold {
		b.fault(WithinPower, "%s: the jaws hold a bar of %s against %.2g N m", what, b.job.Bar, float64(hold))
	}
}

// threadLoad is the check of rule 5 for a thread pass between two depths on radius.
func (b *lathe) threadLoad(half calc.Angle, from, to, major calc.Length, reach bite) {
	b.fast(cutting.Thread, sequence.ThreadingTool, major, "threading")
	l := load{doing: "a thread pass", diameter: major, at: fmt.Sprintf("from %s to %s deep", max(0, from), to)}
	l.force = b.job.Material.Threading(max(0, from), to, half, b.factor(sequence.ThreadingTool)*cutting.BothFlanks)
	if l.force <= 0 {
		return
	}
	l.push = cutting.Spread * l.force
	l.torque = l.force.Torque(major)
	b.driven(l)
	b.springs(reach, l, cutting.GiveThread)
}

// drillLoad is the check of rule 5 for a drill or a reamer that opens a hole of a
// diameter.
func (b *lathe) drillLoad(m sequence.Tailstock, hole calc.Length) {
	op := operation(m.Kind)
	b.fast(op, m.Kind, m.Diameter, "the "+string(m.Kind))
	if hole >= m.Diameter {
		return
	}
	feed := b.fed(op, m.Diameter)
	k := b.factor(m.Kind) * cutting.Internal
	l := load{doing: "the " + string(m.Kind), diameter: m.Diameter, at: fmt.Sprintf("at %s a turn", feed)}
	l.torque = b.job.Material.Drilling(m.Diameter, feed, 0, k)
	if hole > 0 {
		l.torque -= b.job.Material.Drilling(hole, feed, 0, k)
	}
	l.force = cutting.Force(float64(l.torque) * 2000 / m.Diameter.Millimetres())
	b.driven(l)
}

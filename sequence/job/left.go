package job

// Left is a key of a lathe file that may be left out, and what is taken then.
type Left struct{ Key, Taken string }

// lefts is every key of a lathe that may be left out, in the order of its use.
var lefts = []Left{
	{"fixed", "the first driver turns once with the spindle"},
	{"levers", "no gearbox behind the change gears"},
	{"tumbler", "the leadscrew can be reversed without an idler"},
	{"mounted", "not known which change gears hang now"},
	{"banjo", "teeth of module 1 mm, 6 mm from the tip of a wheel to the next shaft, one stud"},
	{"thread_dial", "no threading dial"},
	{"threading", "threads by the first of dial, reverse, tool upside down and hand crank that serves"},
	{"base_speed", "full power at every speed"},
	{"chuck_limit", "no highest speed of the chuck known"},
	{"delay", "0.6 s from seeing to the power being off"},
	{"power_feed", "the carriage is fed by hand"},
	{"depth_of_cut", "roughing depth by the size of the motor"},
	{"carriage", "no ring on the carriage wheel"},
	{"tailstock", "no ring on the tailstock wheel, travel of its sleeve not known"},
	{"taper_slide", "no taper slide"},
	{"swing", "largest diameter over the bed not checked"},
	{"swing_over_slide", "largest diameter over the cross slide not checked"},
	{"spindle_bore", "largest bar through the spindle not checked"},
	{"spindle_length", "bar out of the back of the spindle not checked"},
	{"chuck_depth", "depth of the chuck not checked"},
	{"steady", "no steady"},
	{"measure", "a micrometer read to 0.01 mm or 0.0001 in, and whatever else a plan asks for"},
	{"material", "the built-in materials"},
}

// LeftOut is what a lathe file leaves out, with what is taken instead. It is for a
// file that [ParseLathe] takes.
func LeftOut(text string) (out []Left) {
	r, ok := open("", text)
	if !ok {
		return nil
	}
	root := readDocument(r, latheShape)
	for _, l := range lefts {
		if root.find(l.Key) == nil {
			out = append(out, l)
		}
	}
	return out
}

// Wanted is a tool or measuring tool that is not listed, and what asks for it.
type Wanted struct{ Kind, For string }

// Lacking is the kinds of tool a lathe does not list, with what a plan needs each for;
// where measuring tools are listed, the kinds missing among those too.
func (l *Lathe) Lacking() (out []Wanted) {
	have := map[string]bool{}
	for _, t := range l.Tools {
		if t.Kind != KindTurning || t.Hand != HandLeft {
			have[t.Kind] = true
		}
	}
	for _, w := range []Wanted{
		{KindTurning, "every part (right-hand or neutral)"}, {KindChamfer, "a chamfer"}, {KindRounding, "a rounded edge"}, {KindGrooving, "an undercut or a groove"}, {KindParting, "parting off"},
		{KindThreading, "a thread"}, {KindCentreDrill, "a bore, and work on a centre"}, {KindDrill, "a bore"}, {KindReamer, "a reamed bore"}, {KindBoringBar, "a bore too large or too close to drill"},
		{KindTap, "an inside thread cut by hand"}, {KindInsideThreading, "an inside thread"}, {KindInsideGrooving, "the recess of an inside thread"},
		{KindKnurling, "a knurl"},
	} {
		if !have[w.Kind] {
			out = append(out, w)
		}
	}
	if len(l.Measures) == 0 {
		return out
	}
	for _, m := range l.Measures {
		have[m.Kind] = true
	}
	for _, w := range []Wanted{
		{KindMicrometer, "a fit"}, {KindCaliper, "a groove, and lengths"}, {KindDepthGauge, "a shoulder, where a caliper is not fine enough"},
		{KindIndicator, "running true"},
	} {
		if !have[w.Kind] {
			out = append(out, w)
		}
	}
	if !have[KindTelescopic] && !have[KindInsideMic] {
		out = append(out, Wanted{KindTelescopic + " or " + KindInsideMic, "a bore with a fit"})
	}
	return out
}

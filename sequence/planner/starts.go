package planner

import (
	"fmt"
	"math"
	"slices"

	"turncue/calc"
	"turncue/calc/thread"
	"turncue/sequence"
	"turncue/sequence/job"
)

// steep is the lead angle from which the clearance of a threading tool is spoken of:
// one start of a standard thread stays below it (common practice).
const steep = 5 * calc.Degree

// threader is the threading tool owned whose flanks and tip suit a section's thread;
// with none whose tip does, the first whose flanks do.
func (b *build) threader(v *level) (job.Tool, bool) {
	th := v.sec.Thread
	var first, found *job.Tool
	for i := range b.lathe.Tools {
		t := &b.lathe.Tools[i]
		if t.Kind != string(sequence.ThreadingTool) || flanks(*t) != th.Angle {
			continue
		}
		if first == nil {
			first = t
		}
		tip, err := thread.ParseTip(b.tipOf(*t), th.Pitch)
		if err == nil {
			_, err = th.Depth(tip, v.crest())
		}
		if err == nil && (found == nil || t.Tip == b.job.Tip) {
			found = t // the one with the job's tip, if it is listed
		}
	}
	if found != nil {
		return *found, true
	}
	if first != nil {
		return *first, true
	}
	listed := slices.ContainsFunc(b.lathe.Tools, func(t job.Tool) bool { return t.Kind == job.KindThreading })
	if th.Angle == 60*calc.Degree && !listed {
		return b.tool(sequence.ThreadingTool, v.sec, th.String())
	}
	b.refuse(v.sec, fmt.Sprintf("add it to %s: [[tool]] kind = \"threading\" with angle = %q and its tip", b.lathe.Source.Path, th.Angle),
		"no threading tool with flanks of %s is listed for the lathe, and %s needs one", th.Angle, th)
	return job.Tool{}, false
}

// flanks is the angle between the flanks of a threading tool.
func flanks(t job.Tool) calc.Angle {
	if t.Angle == 0 {
		return 60 * calc.Degree
	}
	return t.Angle
}

// tipped is a threading tool with the tip the job has: where that is another one than the
// tool's, it is another tool, and how wide that is nobody has said.
func (b *build) tipped(t job.Tool) job.Tool {
	if tip := b.tipOf(t); tip != t.Tip {
		t.Tip, t.Width = tip, 0
	}
	return t
}

// tipOf is the tip of a threading tool as the job or the lathe has it.
func (b *build) tipOf(t job.Tool) string {
	if b.job.Tip != "" {
		return b.job.Tip
	}
	return t.Tip
}

// helix warns of a thread so steep that the tool rubs.
func (b *build) helix(s *job.Section) {
	th := s.Thread
	basic, err := th.Basic()
	if err != nil {
		return
	}
	lead := calc.Angle(math.Atan(th.Lead.Millimetres()/(math.Pi*basic.Pitch.Millimetres()))*180/math.Pi*1000) * calc.Degree / 1000
	if lead >= steep {
		side := "chuck"
		if th.LeftHand {
			side = "tailstock"
		}
		b.warnOnce(fmt.Sprintf("%s climbs at %.1f degrees: the tool needs more clearance than that on its %s side", th, lead.Degrees(), side))
	}
}

// starts is how many threads run side by side.
func (t *threading) starts() int { return max(1, t.v.sec.Thread.Starts) }

// zeroIndex zeroes the ring of the top slide where the first start is cut, its slack
// taken up inwards.
func (b *build) zeroIndex(t *threading) []sequence.Move {
	t.index = 0
	return append([]sequence.Move{b.top.set(b.z, sequence.InPlace)}, b.topTo(b.z)...)
}

// topTo brings the top slide to a place inwards, from beyond the slack where it stands
// there already or further in.
func (b *build) topTo(z calc.Length) []sequence.Move {
	var m []sequence.Move
	if b.z >= z {
		m = append(m, b.top.away(z-b.top.dial.Slack-calc.Millimetre/2))
	}
	in := b.top.to(z, true)
	b.z = in.Z
	return append(m, in)
}

// indexTo moves the top slide, parallel to the bed, to where start k is cut, one pitch
// from the one before. The half-nuts stay shut.
func (b *build) indexTo(t *threading, id string, k int) {
	n := t.starts()
	s := sequence.Step{
		Opening: sequence.Cue{sequence.WordThreadStart, sequence.CountWord(k+1, n)}, Hand: hand("dial_set"),
		Why: fmt.Sprintf("%d starts, each cut to its depth before the next: the top slide, parallel to the bed, goes on by the pitch of %s, always brought up inwards.", n, t.v.sec.Thread.Pitch),
	}
	b.pass, b.of = 0, 0
	at := t.start + t.v.sec.Thread.Pitch.Travel(calc.Whole(int64(k)))
	s.Moves = b.topTo(at)
	t.index = b.z - t.start
	if off := (b.z - at).Abs(); !b.indexGood(t, off) {
		b.refuse(t.v.sec, "a top slide with a ring in the unit of the thread, or a first driver whose teeth divide by the starts", "the ring of the top slide brings start %d of %s to its place only within %s",
			k+1, t.v.sec.Thread, b.show(off))
	}
	b.add(id, s)
}

// indexGood says whether a start may lie so much beside its place: like a wrong lead it
// makes the thread thicker by its cotangent, and a third of the tolerance of the pitch
// diameter is the most (common practice).
func (b *build) indexGood(t *threading, off calc.Length) bool {
	l, err := t.v.sec.Thread.Limits()
	return err == nil && off.Millimetres()/math.Tan((t.v.sec.Thread.Angle/2).Radians())*3 <= l.Pitch.Tolerance().Millimetres()
}

// oneMore is one more pass after a tight gauge: for every start, the one last cut first.
func (b *build) oneMore(t *threading, id string, depth calc.Length) {
	n := t.starts()
	if n == 1 {
		b.threadPass(t, id, depth, sequence.Cue{sequence.WordOneMore}, false)
		return
	}
	last := t.index > t.v.sec.Thread.Pitch.Length()/2
	for i := range n {
		k := i
		if last {
			k = n - 1 - i
		}
		if i > 0 {
			b.indexTo(t, fmt.Sprintf("%s/start%d/index", id, k+1), k)
		}
		b.threadPass(t, fmt.Sprintf("%s/start%d", id, k+1), depth, sequence.Cue{sequence.WordOneMore}, false)
	}
}

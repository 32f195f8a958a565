package practise

import "fmt"

// Kind is what an answer practises.
type Kind int

// The kinds of answers.
const (
	NextAction Kind = iota
	SetRing
	ReadSize
	kinds
)

func (k Kind) String() string {
	return [...]string{"what comes next", "setting a ring", "reading a size"}[k]
}

// Rules is how many shop rules there are.
const Rules = 10

// ruleNames are the shop rules in three words, and what breaking one does.
var ruleNames = [Rules + 1]struct{ name, does string }{
	0:  {"the plan", "the lathe does not stand where the next step needs it"},
	1:  {"tool clear", "the tool is dragged through the work: the surface is scored and the tip chips"},
	2:  {"in step", "the tool comes back beside its groove: the thread is cut across, the part is scrap"},
	3:  {"from one side", "the slide is loose by its slack: the cut pulls it in, and the size is not what the ring says"},
	4:  {"inside the limits", "the tool runs where it must not: into the shoulder, the jaws, or another part's metal"},
	5:  {"what the lathe can take", "the tool digs in: the belt slips, the tool breaks, or the bar bends or is thrown"},
	6:  {"standing still", "hands, sleeve or key meet what turns: this is how people are hurt"},
	7:  {"no cut in reverse", "the chuck unscrews, and falls with the work in it"},
	8:  {"two equal cuts", "the last cut springs otherwise than the one before: nobody knows what size it leaves"},
	9:  {"to size", "the finished part is outside its limits"},
	10: {"the eye decides", "one miscount, and the tool is in the shoulder with the half-nuts shut"},
}

// Rule is a shop rule in three words; a number that is none is an error of the caller
// and reads as the number.
func Rule(n int) string {
	if n < 0 || n > Rules {
		return fmt.Sprintf("rule %d", n)
	}
	return ruleNames[n].name
}

// Does is what breaking a shop rule does to the part, the tool or the person.
func Does(n int) string {
	if n < 0 || n > Rules {
		return ""
	}
	return ruleNames[n].does
}

// A Score counts answers by kind, and mistakes by the shop rule they broke. The zero
// Score is empty.
type Score struct {
	right, wrong [kinds]int
	broken       [Rules + 1]int
}

// Right counts a right answer.
func (s *Score) Right(k Kind) { s.right[k]++ }

// Wrong counts a wrong answer and the rules it broke, each once.
func (s *Score) Wrong(k Kind, rules ...int) {
	s.wrong[k]++
	for _, n := range rules {
		if n >= 0 && n <= Rules {
			s.broken[n]++
		}
	}
}

// Broken is how many answers broke a rule.
func (s *Score) Broken(rule int) int {
	if rule < 0 || rule > Rules {
		return 0
	}
	return s.broken[rule]
}

// Lines are the score as it is read: a line for each kind met, and for each rule broken.
func (s *Score) Lines() []string {
	right, all := 0, 0
	for k := range kinds {
		right += s.right[k]
		all += s.right[k] + s.wrong[k]
	}
	if all == 0 {
		return []string{"nothing was answered"}
	}
	lines := []string{fmt.Sprintf("%d of %d answers right", right, all)}
	for k := range kinds {
		if n := s.right[k] + s.wrong[k]; n > 0 {
			lines = append(lines, fmt.Sprintf("  %-16s %3d right %3d wrong", k, s.right[k], s.wrong[k]))
		}
	}
	for n, times := range s.broken {
		if times > 0 && n > 0 {
			lines = append(lines, fmt.Sprintf("  shop rule %2d, %s: %d", n, Rule(n), times))
		}
	}
	return lines
}

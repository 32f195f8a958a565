package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
)

// A pupil is a learner with a foot on its pedal: a clock, and what was said.
type pupil struct {
	*learner
	said   []string
	now    time.Duration
	direct bool
}

func newPupil(direct bool) *pupil {
	p := &pupil{direct: direct}
	p.learner = newLearner(func(line string) { p.said = append(p.said, line) })
	return p
}

func millis(n int) time.Duration { return time.Duration(n) * time.Millisecond }

// edges sends edges at times from now, in milliseconds; a negative one is a release.
func (p *pupil) edges(key string, text bool, times ...int) {
	start := p.now
	for _, ms := range times {
		p.pass(start + millis(max(ms, -ms)) - p.now)
		p.feed(pedal.Edge{Key: key, At: p.now, Up: ms < 0, Text: text}, p.direct, p.now)
	}
	p.pass(4 * time.Second)
}

// pass lets time pass.
func (p *pupil) pass(d time.Duration) {
	for end := p.now + d; p.now < end; {
		p.now = min(end, p.now+50*time.Millisecond)
		p.tick(p.now)
	}
}

// repeats is the times of a key held for two seconds.
func repeats(delay, every int) []int {
	times := []int{0}
	for ms := delay; ms < 2000; ms += every {
		times = append(times, ms)
	}
	return times
}

func (p *pupil) heardAll(t *testing.T, want ...string) {
	t.Helper()
	all := strings.Join(p.said, "\n")
	for _, w := range want {
		if !strings.Contains(all, w) {
			t.Errorf("%q was not said:\n%s", w, all)
		}
	}
}

func TestPedalIsLearned(t *testing.T) {
	t.Setenv("SSH_CONNECTION", "")
	for _, c := range []struct {
		name     string
		buttons  []string
		hold     []int
		press    string
		takeBack bool
		next     string
		back     string
		again    string
		why      string
	}{
		// X server: 660 ms, 25 a second; desktops 500 and 30; console 250 and 92
		{"one button", []string{"b", "b"}, repeats(660, 40), "tuned=670ms,41ms", true, "b", "pgup", "c", "it repeats after 660 ms, then every 40 ms at most: presses more than 730 ms apart count"},
		{"page turner", []string{"pgdn", "pgup", "pgdn"}, repeats(500, 33), "tuned=510ms,34ms", true, "pgdn", "pgup", "c", "a shorter delay lets quicker presses count"},
		{"the other way round", []string{"left", "right", "left"}, repeats(250, 92), "tuned=260ms,93ms", true, "left", "right", "c", "holding left takes the press back"},
		{"three buttons", []string{"c", "a", "b"}, repeats(250, 33), "tuned=260ms,34ms", false, "c", "a", "b", "b says it again"},
		{"bouncing", []string{"b", "b"}, append([]int{0, 6, 15}, repeats(515, 33)[1:]...), "tuned=510ms,34ms", true, "b", "pgup", "c", "it repeats after 500 ms"},
		{"no repeats", []string{"f13", "f13"}, []int{0}, "auto", true, "f13", "pgup", "c", "no repeats were seen while it was held: on a worn switch letting go can count as a press"},
		{"no repeats, bouncing", []string{"f13", "f13"}, []int{0, 2000, 2012}, "auto", true, "f13", "pgup", "c", "turncue pedal --pedal DEVICE"},
	} {
		p := newPupil(false)
		for _, b := range c.buttons {
			p.edges(b, false, 0)
		}
		for range 2 {
			p.edges(c.buttons[0], false, c.hold...)
		}
		if !p.done {
			t.Errorf("%s: not done\n%s", c.name, strings.Join(p.said, "\n"))
			continue
		}
		s, why := p.propose(defaultSettings(), "auto")
		if s.press.String() != c.press || s.takeBack != c.takeBack || s.pedal != noPedal || s.keys.Next[0] != c.next || s.keys.Back[0] != c.back || s.keys.Again[0] != c.again {
			t.Errorf("%s: %+v, want %+v", c.name, s, c)
		}
		if err := s.keys.Check(); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
		if !strings.Contains(strings.Join(why, "\n"), c.why) {
			t.Errorf("%s: %q was not said:\n%s", c.name, c.why, strings.Join(why, "\n"))
		}
		if len(p.gaps()) != len(c.buttons)+2*len(c.hold) {
			t.Errorf("%s: %d gaps kept", c.name, len(p.gaps()))
		}
	}
}

// Read directly, releases are known: no repeats are needed, and no filter is chosen.
func TestDirectPedalIsLearned(t *testing.T) {
	p := newPupil(true)
	s := defaultSettings()
	s.press = pressing{"tuned", millis(300), 0}
	p.edges("b", false, 0, -4, 8, -90)
	p.edges("b", false, 0, -90)
	p.edges("b", false, 0, -900)
	p.heardAll(t, "that was 0.9 seconds: hold it for two", "  b released after 4 ms, read directly")
	p.edges("b", false, 0, -2100)
	p.edges("b", false, append(repeats(250, 33), -2000)...)
	if !p.done {
		t.Fatal(strings.Join(p.said, "\n"))
	}
	got, _ := p.propose(s, "/dev/input/by-id/usb-foot-event-kbd")
	if got.pedal != "/dev/input/by-id/usb-foot-event-kbd" || got.press != s.press || !got.takeBack {
		t.Errorf("%+v", got)
	}
}

// What does not help is said and asked for again.
func TestLearnerAsksAgain(t *testing.T) {
	p := newPupil(false)
	for i, c := range "https" {
		p.feed(pedal.Edge{Key: string(c), At: p.now + millis(2*i), Text: true}, false, p.now)
	}
	p.pass(2 * time.Second)
	p.heardAll(t, `that is "https" typed all at once, which is never acted on: have the pedal send one key instead`)
	p.edges("esc", false, 0)
	p.heardAll(t, `key "esc" cannot be given to next: use another key: have the pedal send another one`)
	p.edges("b", false, 0)
	p.edges("b", false, 0)
	p.edges("b", false, repeats(250, 33)[:20]...)
	p.heardAll(t, "that was 0.8 seconds: hold it for two")
	p.edges("c", false, repeats(250, 33)...)
	p.heardAll(t, "that was c: hold b")
	if p.done || p.asks != askHold {
		t.Errorf("at %d", p.asks)
	}
	p.edges("b", false, repeats(250, 33)...)
	p.edges("b", false, repeats(270, 36)...)
	s, _ := p.propose(defaultSettings(), "")
	if s.press.String() != "tuned=280ms,37ms" {
		t.Errorf("%v: not the longest of both holds", s.press)
	}
}

// Over a network the times that were measured are not to be relied on.
func TestLearnedOverANetwork(t *testing.T) {
	t.Setenv("SSH_CONNECTION", "192.0.2.1 1 192.0.2.2 22")
	p := newPupil(false)
	p.edges("b", false, 0)
	p.edges("b", false, 0)
	p.edges("b", false, repeats(800, 33)...)
	p.edges("b", false, repeats(800, 33)...)
	s, why := p.propose(defaultSettings(), "")
	if s.press.profile() != pedal.SafeSSH() || !strings.Contains(strings.Join(why, "\n"), "it repeats only after 800 ms, which that filter does not allow for") {
		t.Errorf("%+v\n%s", s, strings.Join(why, "\n"))
	}
}

// However the pedal repeats and bounces when it is learned, a hold counts once with
// what was learned.
func TestLearnedPedalCountsOnce(t *testing.T) {
	t.Setenv("SSH_CONNECTION", "")
	for delay := 200; delay <= 1000; delay += 50 {
		for every := 20; every <= 60; every += 8 {
			p := newPupil(false)
			p.edges("b", false, 0)
			p.edges("b", false, 0)
			p.edges("b", false, repeats(delay, every)...)
			p.edges("b", false, repeats(delay, every)...)
			s, _ := p.propose(defaultSettings(), "")
			f := pedal.NewFilter(s.press.profile())
			presses := 0
			for _, ms := range append(repeats(delay, every), 2020, 2030) {
				if f.Feed(pedal.Edge{Key: "b", At: millis(ms)}) == pedal.Press {
					presses++
				}
			}
			if presses != 1 {
				t.Errorf("delay %d, repeat %d, learned as %v: a hold counts %d times", delay, every, s.press, presses)
			}
		}
	}
}

// The lesson takes keys and signals as they come, and ends when it is left.
func TestLessonIsLeft(t *testing.T) {
	for name, leave := range map[string]func(chan terminal.Key, context.CancelFunc){
		"control C": func(k chan terminal.Key, _ context.CancelFunc) { k <- terminal.Key{Name: "ctrl+c"} },
		"terminate": func(k chan terminal.Key, _ context.CancelFunc) { k <- terminal.Key{Name: "terminate"} },
		"closed":    func(k chan terminal.Key, _ context.CancelFunc) { close(k) },
		"context":   func(_ chan terminal.Key, cancel context.CancelFunc) { cancel() },
	} {
		keys := make(chan terminal.Key, 4)
		ctx, cancel := context.WithCancel(context.Background())
		r := &lesson{events: keys, say: func(string) {}, clock: clockFrom(time.Now()), tick: time.Millisecond}
		keys <- terminal.Key{Name: "b"}
		leave(keys, cancel)
		err := r.learn(ctx)
		var e exit
		if !errors.As(err, &e) || e.code != exitStopped {
			t.Errorf("%s: %v", name, err)
		}
		cancel()
	}
}

func TestListOfPedals(t *testing.T) {
	rule := pedal.Rule("3553", "b001")
	got := pedalList([]pedal.Found{
		{Path: "/d/a-event-kbd", Name: "Foot", Pedal: true},
		{Path: "/d/b-event-kbd", Name: "Board", Keyboard: true},
		{Path: "/d/c-event-kbd", Err: os.ErrPermission, Rule: rule},
		{Path: "/d/e-event-mouse", Name: "Mouse"},
		{Path: "/p/gpio-event", Name: "Keys", Pedal: true, Fixed: true},
	})
	want := []string{
		"/d/a-event-kbd (Foot): a pedal",
		"/d/b-event-kbd (Board): says it is a keyboard: read only if it is named, and nobody else gets its keys then",
		"/d/c-event-kbd: may not be read: add yourself to the group input, or write this line to /etc/udev/rules.d/70-turncue-pedal.rules and plug it in again",
		"  " + rule,
		"/d/e-event-mouse (Mouse): no pedal",
		"/p/gpio-event (Keys): could be a pedal: read only if it is named",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestGapsAreKept(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	p := newPupil(true)
	p.edges("b", false, 0, -90)
	for range 2 {
		if err := logGaps(p.gaps()); err != nil {
			t.Fatal(err)
		}
	}
	text, err := os.ReadFile(filepath.Join(os.Getenv("XDG_STATE_HOME"), "turncue", "pedal-gaps.csv"))
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(string(text)), "\n")
	if len(lines) != 5 || lines[0] != "time,asked,way,key,edge,gap_ms" || !strings.HasSuffix(lines[4], `,next,direct,"b",up,90.0`) {
		t.Errorf("%s", text)
	}
}

package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
	"turncue/sounds"
	"turncue/sounds/speaker"
)

// command runs the program in this process.
func command(args ...string) (code int, out, errs string) {
	var o, e strings.Builder
	code = run(context.Background(), args, strings.NewReader(""), &o, &e)
	return code, o.String(), e.String()
}

// Every beep is named with what it means; the few are those of an ordinary run.
func TestSoundsNamesEveryBeep(t *testing.T) {
	t.Parallel()
	for flag, beeps := range map[string][]sounds.Beep{"--beeps-only=false": sounds.FewBeeps(), "--all-beeps": sounds.Beeps()} {
		code, out, errs := command("sounds", "--audio", "none", flag)
		if code != exitDone || errs != "" {
			t.Errorf("exit %d: %s", code, errs)
		}
		lines := strings.Split(strings.TrimSpace(out), "\n")
		if len(lines) != len(beeps)+1 {
			t.Fatalf("%d lines for %d beeps: %s", len(lines), len(beeps), out)
		}
		for i, b := range beeps {
			if !strings.HasPrefix(lines[i], b.String()) || !strings.Contains(lines[i], b.Meaning()) {
				t.Errorf("%q does not name %v and its meaning", lines[i], b)
			}
			if b == sounds.Attention && !strings.Contains(lines[i], "Check the lathe first") {
				t.Errorf("%q has no word after it", lines[i])
			}
		}
		if want := "Pass 7 of 9. Cross slide in to 1 turn and 0.35. It should be near 9.884 mm."; lines[len(beeps)] != want {
			t.Errorf("the sentence is %q", lines[len(beeps)])
		}
	}
}

// The few beeps of a run are the four, whatever the runner asks for.
func TestFewBeepsInARun(t *testing.T) {
	t.Parallel()
	v := newVoice(nil, nil)
	for name, b := range v.beeps {
		if !slices.Contains(sounds.FewBeeps(), b) {
			t.Errorf("%q sounds as %v", name, b)
		}
	}
	for _, name := range []runner.Beep{runner.BeepAdvance, runner.BeepBack, runner.BeepMeasure, runner.BeepLastPass,
		runner.BeepAttention, runner.BeepRefused, runner.BeepDone, runner.BeepFault} {
		if v.beeps[name] == sounds.NoBeep || everyBeep()[name].String() != string(name) {
			t.Errorf("the runner's beep %q has no sound", name)
		}
	}
}

func TestSoundFlagsRefused(t *testing.T) {
	t.Parallel()
	empty := t.TempDir()
	for _, c := range []struct {
		args string
		code int
		says string
	}{
		{"sounds --volume 0", exitUsage, "--volume 0: from 1 to 100"},
		{"run --volume 101", exitUsage, "--volume 101"},
		{"resume --lead-in 3s", exitUsage, "--lead-in 3s: from 0 to 2s"},
		{"sounds --language fr", exitUsage, `language "fr" is not there: en or de`},
		{"sounds --language de", exitUsage, "the built-in voice speaks English"},
		{"sounds --voice . --speak-with x", exitUsage, "only one can speak"},
		{"sounds --audio none --voice " + empty, exitRefused, "no recording in it is named like a word"},
		{"sounds --audio none --voice " + empty + "/none", exitRefused, "cannot be read"},
		{"sounds --check " + empty + "/none", exitRefused, "cannot be read"},
		{"sounds --measure", exitNoTerminal, "needs a terminal to tap on"},
		{"narrate", exitUsage, "-o FILE.wav"},
		{"narrate -o x.mp3", exitUsage, "WAV and FLAC are written"},
		{"narrate -o x.wav --gap 1s", exitUsage, "planned, or the same from 3s to 30m0s"},
		{"narrate -o " + empty + "/none/x.wav", exitRefused, "cannot be written: no such file"},
	} {
		code, _, errs := command(strings.Fields(c.args)...)
		if code != c.code || !strings.Contains(errs, c.says) || strings.Count(strings.TrimSpace(errs), "\n") > 0 {
			t.Errorf("%s: exit %d, %q; want %d and one line with %q", c.args, code, errs, c.code, c.says)
		}
	}
}

// voiceFolder is a voice of one's own with one good recording and some that are not.
func voiceFolder(t *testing.T, files map[string][]byte) string {
	t.Helper()
	dir := t.TempDir()
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func recording(t *testing.T, kind string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../sounds/testdata/tone." + kind)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// All that is wrong with a folder comes in one answer; a run with it says one line and
// goes on with the built-in voice.
func TestCheckOfAnOwnVoice(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	tone := recording(t, "wav")
	dir := voiceFolder(t, map[string][]byte{
		"pass.wav": tone, "nine.ogg": recording(t, "ogg"), "eight.wav": tone[:1000], "seven.mp3": {}, "fife.wav": tone,
	})
	code, out, errs := command("sounds", "--check", dir)
	for _, want := range []string{
		"cannot be used: eight.wav: damaged WAV: it ends before the length in its header\n",
		"cannot be used: seven.mp3: empty\n",
		"no word: fife.wav is the name of none, did you mean five?\n",
		"missing: six\n",
		"2 words of its own, 2 that cannot be used",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out[:min(len(out), 400)])
		}
	}
	if code != exitRefused || !strings.Contains(errs, "3 recordings cannot be used") {
		t.Errorf("exit %d, %q", code, errs)
	}
	code, out, errs = command("run", "--control", "-", "--audio", "none", "--voice", dir)
	if code != exitDone || !strings.Contains(errs, "the built-in voice stands in for") || !strings.Contains(errs, "and 1 more") || !strings.Contains(out, "say ") {
		t.Errorf("exit %d, %q", code, errs)
	}
	good := voiceFolder(t, map[string][]byte{"pass.wav": tone})
	if code, out, _ := command("sounds", "--check", good); code != exitDone || !strings.Contains(out, "1 words of its own, 0 that cannot") {
		t.Errorf("a good folder: exit %d\n%s", code, out)
	}
}

// pulled is a device that takes samples when it is asked to.
type pulled struct {
	mu sync.Mutex
	r  io.Reader
}

func (p *pulled) Name() string { return "pulled" }
func (p *pulled) Start(r io.Reader) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.r = r
	return nil
}
func (p *pulled) Err() error   { return nil }
func (p *pulled) Close() error { return nil }

// hear takes that much sound and gives its loudest sample.
func (p *pulled) hear(t *testing.T, d time.Duration) (loudest int) {
	t.Helper()
	b := make([]byte, 4*sounds.Rate.N(d))
	if _, err := io.ReadFull(p.r, b); err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(b); i += 4 {
		v := int(int16(binary.LittleEndian.Uint16(b[i:])))
		loudest = max(loudest, v, -v)
	}
	return loudest
}

// talking is a voice on such a device.
func talking(t *testing.T, o soundOptions) (*voice, *pulled, func() []string) {
	t.Helper()
	device := &pulled{}
	var mu sync.Mutex
	var told []string
	p := speaker.Open(speaker.Options{Devices: []speaker.Device{device}, Gain: o.gain(), LeadIn: o.leadIn})
	<-p.Settled()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(func() { cancel(); p.Close() })
	v, err := o.voice(ctx, p, func(line string) {
		mu.Lock()
		defer mu.Unlock()
		told = append(told, line)
	}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return v, device, func() []string {
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(told)
	}
}

func TestQuietBeepsOnlyAndVolume(t *testing.T) {
	t.Parallel()
	cue := []string{"pass", "7 of 9"}
	level := func(o soundOptions, play func(*voice)) int {
		v, device, _ := talking(t, o)
		play(v)
		return device.hear(t, 2*time.Second)
	}
	say := func(v *voice) {
		v.Say(cue)
		if !v.mute { // it is made ready beside the caller
			until(t, "the cue is played", v.player.Playing)
		}
	}
	beep := func(v *voice) { v.Beep(runner.BeepDone) }
	full := level(soundOptions{volume: 100}, say)
	half := level(soundOptions{volume: 50}, say)
	// 10 dB less is a factor of 0.316.
	if ratio := float64(half) / float64(full); full < 10_000 || math.Abs(ratio-0.316) > 0.003 {
		t.Errorf("volume 50 is %.3f of %d", ratio, full)
	}
	if n := level(soundOptions{volume: 100, beepsOnly: true}, say); n != 0 {
		t.Errorf("with beeps only the voice has %d", n)
	}
	if n := level(soundOptions{volume: 100, beepsOnly: true}, beep); n < 5000 {
		t.Errorf("with beeps only a beep has %d", n)
	}
	p := (&soundOptions{volume: 100, quiet: true}).player(speaker.Auto, func() { t.Error("the bell rang") }, func(s string) { t.Errorf("told %q", s) })
	<-p.Settled()
	if p.Device() != "" {
		t.Error("quiet, and yet a device was opened")
	}
	p.Beep(sounds.Done)
	p.Close()
}

// shellQuoted is a word for the shell.
func shellQuoted(s string) string { return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'" }

// speakerProgram is a command that speaks everything as the same tone and keeps the
// text in a file.
func speakerProgram(t *testing.T) (command, log string) {
	t.Helper()
	wav, err := filepath.Abs("../../sounds/testdata/tone.wav")
	if err != nil {
		t.Fatal(err)
	}
	log = filepath.Join(t.TempDir(), "said")
	return "cat >> " + shellQuoted(log) + " && cat " + shellQuoted(wav), log
}

// until waits for something another goroutine brings about.
func until(t *testing.T, what string, ok func() bool) {
	t.Helper()
	limit, again := time.NewTimer(20*time.Second), time.NewTicker(5*time.Millisecond)
	defer limit.Stop()
	defer again.Stop()
	for !ok() {
		select {
		case <-again.C:
		case <-limit.C:
			t.Fatalf("%s: not after 20 s", what)
		}
	}
}

// Every cue of a run is given to the program in German, and is on the screen with a
// decimal comma.
func TestGermanRunThroughAProgram(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	cmd, log := speakerProgram(t)
	w, err := load("", "")
	if err != nil {
		t.Fatal(err)
	}
	o := soundOptions{volume: 100, language: "de", program: cmd}
	de := o.spoken()
	v, _, told := talking(t, o)
	const few = 30 // each starts a program
	var want []string
	seen := map[string]bool{}
	for _, c := range cuesOf(w.plan) {
		text, err := de.Sentences(c.Parts())
		if err != nil {
			t.Fatal(err)
		}
		if !seen[text] {
			seen[text] = true
			want = append(want, text)
		}
	}
	every := strings.Join(want, "\n")
	v.prepare(cuesOf(w.plan)[:few])
	said, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Split(strings.TrimSpace(string(said)), "\n"); len(got) < few/2 || !slices.Equal(got, want[:len(got)]) {
		t.Errorf("the program was given\n%s\nwant\n%s", said, every)
	}
	for _, part := range []string{" Komma ", "Planschlitten", "Umdrehung"} {
		if !strings.Contains(every, part) {
			t.Errorf("%q was never said", part)
		}
	}
	for _, english := range []string{" the ", " point ", " slide ", " and "} {
		if strings.Contains(every, english) {
			t.Errorf("%q was said: English", english)
		}
	}
	if told := told(); len(told) > 0 {
		t.Errorf("told %q", told)
	}
	v, device, told := talking(t, o) // kept by now
	v.Say(w.plan.Steps[0].Cue.Parts())
	until(t, "the cue is played", v.player.Playing)
	if n := device.hear(t, time.Second); n < 10_000 {
		t.Errorf("the program's sound has %d", n)
	}
	if told := told(); len(told) > 0 {
		t.Errorf("told %q", told)
	}
	// And on the screen.
	commas := 0
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		f := runner.Frame{Step: s, N: i + 1, Of: len(w.plan.Steps), Prompt: s.Cue}
		shown := translated(viewer{w.plan}.view(f), f, de)
		text, err := de.Written(s.Cue.Parts())
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(shown.Lines[:len(sentences(text))], sentences(text)) {
			t.Errorf("%s: shown %q, want %q", s.ID, shown.Lines, text)
		}
		for _, field := range []string{shown.Big, shown.Dial, shown.Size, shown.Limits, strings.Join(shown.Lines, " ")} {
			for j := 1; j+1 < len(field); j++ {
				if digit(field[j-1]) && digit(field[j+1]) {
					if field[j] == '.' {
						t.Errorf("%s: %q has a decimal point", s.ID, field)
					}
					commas += strings.Count(field[j:j+1], ",")
				}
			}
		}
	}
	if commas < 50 {
		t.Errorf("only %d decimal commas on the screens", commas)
	}
	var v2 terminal.View
	v2.Big = "9.884"
	if got := translated(v2, runner.Frame{Step: &w.plan.Steps[0]}, sounds.English); got.Big != "9.884" {
		t.Errorf("in English %q", got.Big)
	}
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

// What the program says after the next cue has come is not played, and a program that
// fails is told once while the built-in voice speaks.
func TestProgramThatIsLateOrFails(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	release := filepath.Join(t.TempDir(), "go")
	wav, err := filepath.Abs("../../sounds/testdata/tone.wav")
	if err != nil {
		t.Fatal(err)
	}
	slow := "read text; while [ ! -e " + shellQuoted(release) + " ]; do sleep 0.02; done; cat " + shellQuoted(wav)
	v, device, told := talking(t, soundOptions{volume: 100, program: slow})
	v.Say([]string{"pass", "7 of 9"})
	v.Hush()
	if err := os.WriteFile(release, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	until(t, "the late cue is kept", func() bool {
		kept, err := filepath.Glob(filepath.Join(v.program.Cache, "*.wav"))
		return err == nil && len(kept) == 1
	})
	v.next() // whoever was late has decided, or will see that he is late
	if n := device.hear(t, 500*time.Millisecond); n != 0 {
		t.Errorf("a cue that was hushed is heard: %d", n)
	}
	if n := len(told()); n != 0 {
		t.Errorf("told %d lines", n)
	}

	v, device, told = talking(t, soundOptions{volume: 100, program: "echo no such voice >&2; exit 3"})
	for range 3 {
		v.Say([]string{"pass", "7 of 9"})
		until(t, "the built-in voice speaks", v.player.Playing)
		if n := device.hear(t, 2500*time.Millisecond); n < 10_000 {
			t.Errorf("the built-in voice has %d", n)
		}
	}
	if lines := told(); len(lines) != 1 || !strings.Contains(lines[0], "the built-in voice stands in: --speak-with") || !strings.Contains(lines[0], "no such voice") {
		t.Errorf("told %q", lines)
	}
}

// A person who taps with the given spread and always a little early: the sound's delay
// comes out within what sixteen taps can give.
func TestLatenessFromTaps(t *testing.T) {
	t.Parallel()
	const seed = 7
	r := rand.New(rand.NewPCG(seed, seed))
	taps := func(late, spread time.Duration) (all []time.Duration) {
		for i := range tapTimes {
			off := late - 30*time.Millisecond + time.Duration(r.NormFloat64()*float64(spread))
			all = append(all, time.Duration(i)*tapEvery+off)
		}
		return all
	}
	for _, late := range []time.Duration{0, 90 * time.Millisecond, 220 * time.Millisecond} {
		for _, spread := range []time.Duration{0, 25 * time.Millisecond, 40 * time.Millisecond} {
			misses := 0
			for range 200 {
				h, ok1 := behind(taps(late, spread))
				s, ok2 := behind(taps(0, spread))
				if off := h - s - late; !ok1 || !ok2 || off < -40*time.Millisecond || off > 40*time.Millisecond {
					misses++
				}
			}
			if misses > 16 { // 5 of 100 are expected at the widest spread
				t.Errorf("seed %d: %v with a spread of %v is missed by more than 40 ms %d times of 200", seed, late, spread, misses)
			}
		}
	}
	if _, ok := behind(taps(0, 0)[:6]); ok {
		t.Error("six taps are too few")
	}
	for late, want := range map[time.Duration]string{
		90 * time.Millisecond: "90 ms behind", 200 * time.Millisecond: "--lead-in 300ms", 280 * time.Millisecond: "wired loudspeaker",
	} {
		if got := lateness(taps(late, 0), taps(0, 0)); !strings.Contains(got, want) {
			t.Errorf("%v: %q, want %q", late, got, want)
		}
	}
	if got := lateness(nil, taps(0, 0)); !strings.Contains(got, "too few taps") {
		t.Errorf("without taps: %q", got)
	}
}

// The narration holds every cue of the plan at its place, and the sheet beside it the
// places.
func TestNarration(t *testing.T) {
	t.Parallel()
	out := filepath.Join(t.TempDir(), "pin.wav")
	code, said, errs := command("narrate", "../../testdata/jobs/plain-pin.toml", "-o", out, "--gap", "4s")
	if code != exitDone || !strings.Contains(errs, "100 %") || !strings.Contains(said, "steps") {
		t.Fatalf("exit %d: %s%s", code, said, errs)
	}
	w, err := load("../../testdata/jobs/plain-pin.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := os.ReadFile(strings.TrimSuffix(out, ".wav") + ".cue")
	if err != nil {
		t.Fatal(err)
	}
	at := 44
	tracks := 0
	for i := range w.plan.Steps {
		cue := w.plan.Steps[i].Cue
		clip, err := sounds.Default().Render(cue.Parts())
		if err != nil {
			t.Fatal(err)
		}
		for j, v := range clip.Samples() {
			if got := float64(int16(binary.LittleEndian.Uint16(data[at+2*j:]))) / 32768; got != v {
				t.Fatalf("step %d: sample %d is %g, want %g", i+1, j, got, v)
			}
		}
		frame := int64(at-44) / 2 * 75 / int64(sounds.Rate)
		if index := fmt.Sprintf("INDEX 01 %02d:%02d:%02d\n", frame/75/60, frame/75%60, frame%75); bytes.Contains(sheet, []byte(index)) {
			tracks++
		}
		at += 2 * clip.Len()
		gap := 2 * sounds.Rate.N(4*time.Second)
		if !bytes.Equal(data[at:at+gap], make([]byte, gap)) {
			t.Errorf("step %d is not followed by 4 s of silence", i+1)
		}
		at += gap
	}
	if at != len(data) {
		t.Errorf("%d bytes, want %d", len(data), at)
	}
	n := strings.Count(string(sheet), "TRACK")
	each := (len(w.plan.Steps) + 98) / 99
	if n != (len(w.plan.Steps)+each-1)/each || n > 99 || tracks < n {
		t.Errorf("%d entries for %d steps, %d places right", n, len(w.plan.Steps), tracks)
	}
	if !strings.Contains(string(sheet), `FILE "pin.wav" WAVE`) {
		t.Error("the sheet does not name its file")
	}
	left, err := os.ReadDir(filepath.Dir(out))
	if err != nil || len(left) != 2 {
		t.Errorf("%d files are left, want two", len(left))
	}
	// Room as planned: what hand and cut take, 3 s at least.
	for i := range w.plan.Steps {
		s := &w.plan.Steps[i]
		if got := (gap{}).after(s); got < 3*time.Second || got < s.Hand+s.Machine && got != mostGap {
			t.Errorf("%s has %v, its work takes %v", s.ID, got, s.Hand+s.Machine)
		}
	}
}

// Every golden plan is narrated faster than 200 times as fast as it plays.
func BenchmarkNarrate(b *testing.B) {
	w, err := load("", "")
	if err != nil {
		b.Fatal(err)
	}
	if err := sounds.Default().Warm(); err != nil {
		b.Fatal(err)
	}
	var total time.Duration
	for i := range w.plan.Steps {
		d, err := sounds.Default().Duration(w.plan.Steps[i].Cue.Parts())
		if err != nil {
			b.Fatal(err)
		}
		total += d + gap{}.after(&w.plan.Steps[i])
	}
	out := filepath.Join(b.TempDir(), "x.wav")
	o := soundOptions{volume: fullVolume}
	n := 0
	start := time.Now()
	for b.Loop() {
		if err := o.narrate(b.Context(), w.plan, gap{}, out, streams{out: io.Discard, err: io.Discard}); err != nil {
			b.Fatal(err)
		}
		n++
	}
	times := total.Seconds() * float64(n) / time.Since(start).Seconds()
	b.ReportMetric(times, "x-real-time")
	if times < 200 {
		b.Errorf("only %.0f times as fast as it plays", times)
	}
}

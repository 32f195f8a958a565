package sounds_test

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"turncue/sounds"
)

// asProgram makes this test program a speaker program: its argument says how it
// behaves, the text comes on standard input.
const asProgram = "-as-speaker-program"

func TestMain(m *testing.M) {
	if len(os.Args) > 2 && os.Args[1] == asProgram {
		os.Exit(fakeProgram(os.Args[2:]))
	}
	os.Exit(m.Run())
}

// fakeProgram speaks every text as a tone whose length is that of the text, and adds
// a line to the file of its second argument.
func fakeProgram(args []string) int {
	text, err := io.ReadAll(os.Stdin)
	if err != nil {
		return 9
	}
	if len(args) > 1 {
		f, err := os.OpenFile(args[1], os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
		if err != nil {
			return 9
		}
		if _, err := f.Write(text); err != nil || f.Close() != nil {
			return 9
		}
	}
	wave := toneWAV(22050, 200*len(strings.TrimSpace(string(text))), 16)
	switch args[0] {
	case "tone":
		os.Stdout.Write(wave)
	case "stream": // a length in the header that nobody could know
		copy(wave[40:], []byte{0x00, 0xf0, 0xff, 0x7f})
		os.Stdout.Write(wave)
	case "cut":
		os.Stdout.Write(wave[:len(wave)/2])
	case "text":
		os.Stdout.WriteString("I cannot speak\n")
	case "nothing":
	case "fail":
		os.Stderr.WriteString("warning\nno such voice\n")
		return 3
	case "hang":
		select {}
	}
	return 0
}

func program(t *testing.T, how, cache string, log ...string) *sounds.Program {
	t.Helper()
	words := append([]string{os.Args[0], asProgram, how}, log...)
	for i, w := range words {
		words[i] = "'" + w + "'"
	}
	de, err := sounds.LanguageNamed("de")
	if err != nil {
		t.Fatal(err)
	}
	return &sounds.Program{Command: strings.Join(words, " "), Language: de, Cache: cache}
}

func TestProgramSpeaksOnceAndIsKept(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	log, cache := filepath.Join(dir, "log"), filepath.Join(dir, "a", "cache")
	parts := []string{"it should be near", "9.884 mm"}
	p := program(t, "tone", cache, log)
	first, err := p.Render(context.Background(), parts)
	if err != nil {
		t.Fatal(err)
	}
	again, err := p.Render(context.Background(), parts)
	if err != nil || !slices.Equal(first.Samples(), again.Samples()) {
		t.Errorf("the kept sound differs from the first: %v", err)
	}
	said, err := os.ReadFile(log)
	want := "Es sollte nahe sein bei neun Komma acht acht vier Millimeter.\n"
	if err != nil || string(said) != want {
		t.Errorf("the program was given %q, want %q once", said, want)
	}
	// 200 samples a sign at 22 050 Hz; the trimming leaves the whole tone.
	signs := len(want) - 1
	if d, wantD := first.Duration(), time.Duration(signs*200)*time.Second/22050; d < wantD-20*time.Millisecond || d > wantD+20*time.Millisecond {
		t.Errorf("the sound lasts %v, want about %v", d, wantD)
	}
	kept, err := filepath.Glob(filepath.Join(cache, "*.wav"))
	if err != nil || len(kept) != 1 {
		t.Fatalf("%d kept, %v", len(kept), err)
	}
	if err := os.WriteFile(kept[0], []byte("RIFF"), 0o600); err != nil { // damaged: asked again
		t.Fatal(err)
	}
	if c, err := p.Render(context.Background(), parts); err != nil || c.Len() != first.Len() {
		t.Errorf("after damage: %v", err)
	}
	if said, _ := os.ReadFile(log); string(said) != want+want {
		t.Errorf("after damage the program was given %q", said)
	}
}

func TestProgramsThatDoNotSpeak(t *testing.T) {
	t.Parallel()
	for how, says := range map[string]string{
		"stream": "", "cut": "ends before the length", "text": "not a WAV file", "nothing": "empty",
		"fail": "exit status 3: no such voice", "hang": "nothing after 300ms",
	} {
		p := program(t, how, "")
		if how == "hang" {
			p.Limit = 300 * time.Millisecond
		}
		c, err := p.Render(context.Background(), []string{"paused"})
		switch {
		case says == "" && (err != nil || c.Len() == 0):
			t.Errorf("%s: %v", how, err)
		case says != "" && (err == nil || !strings.Contains(err.Error(), says) || !strings.Contains(err.Error(), "--speak-with") || strings.Contains(err.Error(), "\n")):
			t.Errorf("%s: error %v, want one line with %q", how, err, says)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := program(t, "tone", "").Render(ctx, []string{"paused"}); !errors.Is(err, context.Canceled) {
		t.Errorf("after the run: %v", err)
	}
	// What cannot be kept is spoken nevertheless.
	full := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(full, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if c, err := program(t, "tone", filepath.Join(full, "x")).Render(context.Background(), []string{"paused"}); c.Len() == 0 || err == nil || !strings.Contains(err.Error(), "cannot be kept") {
		t.Errorf("in a folder that cannot be: %v", err)
	}
}

// A real speech program reads German. It is installed for the checks of a change.
func TestRealProgramSpeaksGerman(t *testing.T) {
	t.Parallel()
	if _, err := exec.LookPath("espeak-ng"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("espeak-ng is missing: apt-get install espeak-ng")
		}
		t.Skip("espeak-ng is missing: apt-get install espeak-ng")
	}
	de, err := sounds.LanguageNamed("de")
	if err != nil {
		t.Fatal(err)
	}
	p := &sounds.Program{Command: "espeak-ng -v de --stdin --stdout", Language: de, Cache: t.TempDir()}
	short, err := p.Render(context.Background(), []string{"9 mm"})
	if err != nil {
		t.Fatal(err)
	}
	long, err := p.Render(context.Background(), []string{"it should be near", "9.884 mm"})
	if err != nil {
		t.Fatal(err)
	}
	if short.Duration() < 400*time.Millisecond || long.Duration() < 2*short.Duration() {
		t.Errorf("neun Millimeter lasts %v, the whole sentence %v", short.Duration(), long.Duration())
	}
}

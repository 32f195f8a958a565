package sounds_test

import (
	"bytes"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"github.com/gopxl/beep/v2/wav"

	"turncue/sounds"
)

var cue = []string{"set the speed to", "250 rpm", ".", "cross slide in to", "1 turn", "and", "0.35", ",", "pass", "7 of 9"}

func render(t testing.TB, v *sounds.Voice, parts ...string) *sounds.Clip {
	t.Helper()
	c, err := v.Render(parts)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestRenderIsTheSameEachTime(t *testing.T) {
	t.Parallel()
	first := render(t, sounds.Default(), cue...).Samples()
	again := render(t, sounds.Default(), cue...).Samples()
	fresh := render(t, sounds.NewVoice(os.DirFS(clipDir)), cue...).Samples()
	if !slices.Equal(first, again) || !slices.Equal(first, fresh) {
		t.Error("the same parts gave other samples")
	}
	var streamed []float64
	s := render(t, sounds.Default(), cue...).Streamer()
	for buf := make([][2]float64, 333); ; {
		n, ok := s.Stream(buf)
		for _, x := range buf[:n] {
			if x[0] != x[1] {
				t.Fatal("the two ears differ")
			}
			streamed = append(streamed, x[0])
		}
		if !ok {
			break
		}
	}
	if !slices.Equal(first, streamed) {
		t.Error("the streamer gives other samples than Samples")
	}
}

func TestDurationIsThatOfTheRender(t *testing.T) {
	t.Parallel()
	v := sounds.Default()
	d, err := v.Duration(cue)
	c := render(t, v, cue...)
	if err != nil || d != c.Duration() || sounds.Rate.N(d) > c.Len() || c.Len() != len(c.Samples()) {
		t.Errorf("duration %v (%v), the render has %d samples", d, err, c.Len())
	}
	// The sum of the clips and the pauses between them.
	length := func(word string, at sounds.Place) int {
		clip, err := v.ClipAt(word, at)
		if err != nil {
			t.Fatal(err)
		}
		return clip.Len()
	}
	ms := int(sounds.Rate) / 1000
	for _, c := range []struct {
		parts []string
		want  int
	}{
		{nil, 0},
		{[]string{".", ","}, 0},
		{[]string{"pass"}, length("pass", sounds.Final)},
		{[]string{",", "pass", "."}, length("pass", sounds.Final)},
		{[]string{"pass", "7 of 9"}, length("pass", sounds.Mid) + length("seven", sounds.Mid) + length("of", sounds.Mid) + length("nine", sounds.Final) + 300*ms},
		{[]string{"seven", ",", "nine"}, length("seven", sounds.Mid) + length("nine", sounds.Final) + 150*ms},
		{[]string{"seven", ".", "nine"}, length("seven", sounds.Final) + length("nine", sounds.Final) + 350*ms},
		{[]string{"seven", ",", ".", "nine"}, length("seven", sounds.Final) + length("nine", sounds.Final) + 350*ms},
	} {
		if got := render(t, v, c.parts...).Len(); got != c.want {
			t.Errorf("%q: %d samples, want %d", c.parts, got, c.want)
		}
	}
}

// A jump in the wave is heard as a click. Within speech neighbouring samples differ
// by at most what a full-scale tone at the top of the clips' band does; at a join the
// wave must be near zero on both sides.
func TestJoinsAreSilent(t *testing.T) {
	t.Parallel()
	v := sounds.Default()
	everyClip(func(file string, e sounds.Entry, at sounds.Place) {
		clip, err := v.ClipAt(e.Name, at)
		if err != nil {
			t.Fatal(err)
		}
		x := clip.Samples()
		edge := int(sounds.Rate) / 1000 // 1 ms
		for _, part := range [][]float64{x[:edge], x[len(x)-edge:]} {
			for i := 1; i < len(part); i++ {
				if step := math.Abs(part[i] - part[i-1]); step > 0.02 {
					t.Errorf("%s: step of %.3f within 1 ms of an end", file, step)
					break
				}
			}
		}
	})
}

func TestVoiceFromSeveralGoroutines(t *testing.T) {
	t.Parallel()
	v := sounds.NewVoice(os.DirFS(clipDir))
	want := render(t, sounds.Default(), cue...).Samples()
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			c, err := v.Render(cue)
			if err != nil || !slices.Equal(c.Samples(), want) {
				t.Errorf("other samples, or %v", err)
			}
		})
	}
	wg.Wait()
}

func TestDamagedClips(t *testing.T) {
	t.Parallel()
	good, err := os.ReadFile(filepath.Join(clipDir, "nine.mp3"))
	if err != nil {
		t.Fatal(err)
	}
	noise := bytes.Repeat([]byte{0xff, 0xf3, 0x54, 0xc4, 0x5a}, 400)
	for _, c := range []struct {
		name string
		fs   fs.FS
		says string
	}{
		{"missing", fstest.MapFS{}, "file does not exist"},
		{"empty", fstest.MapFS{"nine.mp3": {}}, "not an MP3 that can be decoded"},
		{"text", fstest.MapFS{"nine.mp3": {Data: []byte("nine")}}, "not an MP3 that can be decoded"},
		{"huge", fstest.MapFS{"nine.mp3": {Data: make([]byte, 5<<20)}}, "larger than 4 MB"},
		{"silent", fstest.MapFS{"nine.mp3": {Data: bytes.Repeat(append([]byte{0xff, 0xf3, 0x54, 0xc4}, make([]byte, 116)...), 30)}}, "nothing is heard"},
		{"too long", fstest.MapFS{"nine.mp3": {Data: bytes.Repeat(append([]byte{0xff, 0xf3, 0x54, 0xc4}, make([]byte, 116)...), 2700)}}, "longer than 60 seconds"},
		{"noise", fstest.MapFS{"nine.mp3": {Data: noise}}, ""},
	} {
		clip, err := sounds.NewVoice(c.fs).Clip("nine")
		if err == nil {
			t.Errorf("%s: no error and %d samples", c.name, clip.Len())
			continue
		}
		if msg := err.Error(); !strings.Contains(msg, c.says) || !strings.Contains(msg, `voice clip nine.mp3 for "nine"`) || strings.Contains(msg, "\n") {
			t.Errorf("%s: error %q should name the clip and say %q", c.name, msg, c.says)
		}
	}
	// Bytes that begin like a clip and go on as anything: never a panic, never a hang.
	for i := 0; i < len(good); i += 211 {
		broken := slices.Clone(good)
		for j := i; j < min(i+60, len(broken)); j++ {
			broken[j] ^= byte(j*37 + 11)
		}
		v := sounds.NewVoice(fstest.MapFS{"nine.mp3": {Data: broken}})
		_, _ = v.Clip("nine") // either a clip or an error
		v = sounds.NewVoice(fstest.MapFS{"nine.mp3": {Data: good[:i]}})
		_, _ = v.Clip("nine") // either a clip or an error
	}
	if _, err := sounds.Default().Clip("wenn"); err == nil || !strings.Contains(err.Error(), `"wenn"`) {
		t.Errorf("unknown word: %v", err)
	}
	if _, err := sounds.Default().Render([]string{"pass", "nine of three"}); err == nil {
		t.Error("an unknown part was rendered")
	}
}

// A tag before the sound (ID3v2, two bytes of nothing here) changes nothing.
func TestTaggedClip(t *testing.T) {
	t.Parallel()
	good, err := os.ReadFile(filepath.Join(clipDir, "nine.mp3"))
	if err != nil {
		t.Fatal(err)
	}
	tagged := append([]byte("ID3\x03\x00\x00\x00\x00\x00\x02\x00\x00"), good...)
	v := sounds.NewVoice(fstest.MapFS{"nine.mp3": {Data: tagged}})
	got, want := render(t, v, "9"), render(t, sounds.Default(), "9")
	if !slices.Equal(got.Samples(), want.Samples()) {
		t.Errorf("%d samples, without the tag %d", got.Len(), want.Len())
	}
	if a, b := render(t, v, "9"), render(t, v, "9"); a.Len() != b.Len() || a.Len() == 0 {
		t.Errorf("%d samples, then %d", a.Len(), b.Len())
	}
}

func TestWriteWAV(t *testing.T) {
	t.Parallel()
	c := render(t, sounds.Default(), cue...)
	path := filepath.Join(t.TempDir(), "cue.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := c.WriteWAV(f); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		t.Fatal(err)
	}
	s, format, err := wav.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	if format.SampleRate != 48000 || format.NumChannels != 1 || format.Precision != 2 || s.Len() != c.Len() {
		t.Errorf("WAV is %+v with %d samples, want %d", format, s.Len(), c.Len())
	}
	want := c.Samples()
	at := 0
	for buf := make([][2]float64, 512); ; {
		n, ok := s.Stream(buf)
		for _, x := range buf[:n] {
			if math.Abs(x[0]-want[at]) > 1.5/32768 {
				t.Fatalf("sample %d is %g, want %g", at, x[0], want[at])
			}
			at++
		}
		if !ok {
			break
		}
	}
	if at != len(want) {
		t.Errorf("%d samples read back of %d", at, len(want))
	}
}

func TestSeek(t *testing.T) {
	t.Parallel()
	s := render(t, sounds.Default(), "pass").Streamer()
	if err := s.Seek(s.Len() + 1); err == nil {
		t.Error("seek beyond the end was not refused")
	}
	if err := s.Seek(s.Len() - 10); err != nil || s.Position() != s.Len()-10 {
		t.Errorf("at %d: %v", s.Position(), err)
	}
	if n, ok := s.Stream(make([][2]float64, 20)); n != 10 || !ok {
		t.Errorf("streamed %d, %v; want the last 10", n, ok)
	}
	if n, ok := s.Stream(make([][2]float64, 20)); n != 0 || ok {
		t.Errorf("streamed %d, %v after the end", n, ok)
	}
}

func TestSpeakingRate(t *testing.T) {
	t.Parallel()
	for _, e := range sounds.Vocabulary() {
		c := render(t, sounds.Default(), e.Name)
		letters := float64(len(strings.ReplaceAll(e.Text, " ", "")))
		if d := c.Duration(); d < 150*time.Millisecond || d > time.Duration(letters*0.16*float64(time.Second))+700*time.Millisecond {
			t.Errorf("%q lasts %v: cut short or padded", e.Name, d)
		}
	}
}

func BenchmarkRenderCue(b *testing.B) {
	if err := sounds.Default().Warm(); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		render(b, sounds.Default(), cue...)
	}
}

func BenchmarkLoadClip(b *testing.B) {
	clips := os.DirFS(clipDir)
	for b.Loop() {
		if _, err := sounds.NewVoice(clips).Clip("set the speed to"); err != nil {
			b.Fatal(err)
		}
	}
}

package sounds_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"turncue/sounds"
)

// toneWAV is a tone of 440 Hz, in whole numbers or, with 33 bits, in floating point.
func toneWAV(rate, samples, bits int) []byte {
	var pcm bytes.Buffer
	for i := range samples {
		v := 0.5 * math.Sin(2*math.Pi*440*float64(i)/float64(rate))
		switch bits {
		case 8:
			pcm.WriteByte(byte(128 + math.Round(v*127)))
		case 24:
			n := int32(v * (1 << 23))
			pcm.Write([]byte{byte(n), byte(n >> 8), byte(n >> 16)})
		case 32:
			_ = binary.Write(&pcm, binary.LittleEndian, int32(v*(1<<31)))
		case 33:
			_ = binary.Write(&pcm, binary.LittleEndian, float32(v))
		default:
			_ = binary.Write(&pcm, binary.LittleEndian, int16(v*32768))
		}
	}
	code, bits := uint16(1), bits
	if bits == 33 {
		code, bits = 3, 32
	}
	h := []byte("RIFF\x00\x00\x00\x00WAVEfmt \x10\x00\x00\x00")
	h = binary.LittleEndian.AppendUint16(h, code)
	h = binary.LittleEndian.AppendUint16(h, 1)
	h = binary.LittleEndian.AppendUint32(h, uint32(rate))
	h = binary.LittleEndian.AppendUint32(h, uint32(rate*bits/8))
	h = binary.LittleEndian.AppendUint16(h, uint16(bits/8))
	h = binary.LittleEndian.AppendUint16(h, uint16(bits))
	h = append(h, "data"...)
	h = binary.LittleEndian.AppendUint32(h, uint32(pcm.Len()))
	binary.LittleEndian.PutUint32(h[4:], uint32(36+pcm.Len()))
	return append(h, pcm.Bytes()...)
}

func own(t *testing.T, clips fs.FS) *sounds.Voice {
	t.Helper()
	v, err := sounds.Own(clips)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The same tone in every kind of file, made by other programs (ffmpeg 5.1: FLAC, OGG
// Vorbis, MP3), is said by the own voice and lasts as long as it was.
func TestOwnVoiceOfEveryKind(t *testing.T) {
	t.Parallel()
	for _, kind := range []string{"wav", "flac", "ogg", "mp3"} {
		data, err := os.ReadFile(filepath.Join("testdata", "tone."+kind))
		if err != nil {
			t.Fatal(err)
		}
		v := own(t, fstest.MapFS{"Nine." + kind: {Data: data}})
		c, err := v.Check()
		if err != nil || c.Own != 1 || len(c.Faults) > 0 || len(c.Strays) > 0 {
			t.Errorf("%s: %+v, %v", kind, c, err)
		}
		if want := len(sounds.Vocabulary()) - 1; len(c.Missing) != want {
			t.Errorf("%s: %d missing, want %d", kind, len(c.Missing), want)
		}
		clip := render(t, v, "9")
		if d := clip.Duration(); d < 470*time.Millisecond || d > 560*time.Millisecond {
			t.Errorf("%s lasts %v, want 0.5 s and its edges", kind, d)
		}
		for _, hz := range notes(clip.Samples()) {
			if math.Abs(hz-440) > 3 {
				t.Errorf("%s sounds at %.1f Hz", kind, hz)
			}
		}
		if !slices.Equal(render(t, v, "eight").Samples(), render(t, sounds.Default(), "eight").Samples()) {
			t.Errorf("%s: the missing word is not the built-in voice's", kind)
		}
	}
	for _, bits := range []int{8, 16, 24, 32, 33} {
		for _, rate := range []int{8000, 22050, 44100, 48000, 96000} {
			v := own(t, fstest.MapFS{"nine.wav": {Data: toneWAV(rate, rate/2, bits)}})
			if d := render(t, v, "9").Duration(); d < 490*time.Millisecond || d > 510*time.Millisecond {
				c, _ := v.Check()
				t.Errorf("%d bits at %d Hz lasts %v: %v", bits, rate, d, c.Faults)
			}
		}
	}
}

// Every recording that cannot be used is named in one line, all at once, and the
// built-in voice says the word.
func TestBadRecordings(t *testing.T) {
	t.Parallel()
	good, err := os.ReadFile(filepath.Join(clipDir, "nine.mp3"))
	if err != nil {
		t.Fatal(err)
	}
	read := func(kind string) []byte {
		data, err := os.ReadFile(filepath.Join("testdata", "tone."+kind))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	loud := toneWAV(16000, 8000, 16)
	for i := 44; i < len(loud); i += 2 {
		copy(loud[i:], []byte{0xff, 0x7f})
	}
	sixteen := toneWAV(16000, 8000, 16)
	bad := map[string]struct {
		data []byte
		says string
	}{
		"zero.mp3":   {good[:len(good)-50], "ends 50 bytes before the end of frame"}, // C162
		"one.wav":    {nil, "empty"},
		"two.wav":    {make([]byte, 5<<20), "larger than 4 MB"},
		"three.wav":  {toneWAV(4000, 2000, 16), "4000 samples a second"},
		"four.wav":   {sixteen[:len(sixteen)/2], "ends before the length"},
		"five.wav":   {sixteen[:30], "damaged WAV"},
		"six.flac":   {read("flac")[:len(read("flac"))/2], "FLAC"},
		"seven.ogg":  {read("ogg")[:len(read("ogg"))*2/3], "OGG"},
		"eight.ogg":  {[]byte("not sound"), "not an OGG"},
		"nine.flac":  {[]byte("not sound"), "not a FLAC"},
		"ten.wav":    {toneWAV(1000, 10, 16)[:43], "damaged WAV"},
		"eleven.wav": {loud, "overdriven"},
		"twelve.wav": {make([]byte, 100), "not a WAV"},
		"point.mp3":  {[]byte("no sound"), "not an MP3"},
		"minus.wav":  {toneWAV(8000, 8000*61, 16), "longer than 60 seconds"},
	}
	clips := fstest.MapFS{
		"thirteen.wav": {Data: toneWAV(16000, 8000, 16)}, "niene.wav": {Data: loud}, "notes.txt": {Data: []byte("x")},
	}
	for name, b := range bad {
		clips[name] = &fstest.MapFile{Data: b.data}
	}
	v := own(t, clips)
	c, err := v.Check()
	if err != nil {
		t.Fatal(err)
	}
	if c.Own != 1 || len(c.Faults) != len(bad) || !slices.Equal(c.Strays, []string{"niene.wav"}) {
		t.Errorf("%d own, %d faults of %d, strays %q", c.Own, len(c.Faults), len(bad), c.Strays)
	}
	seen := map[string]string{}
	for _, f := range c.Faults {
		name, text, _ := strings.Cut(f.Error(), ": ")
		seen[name] = text
		if strings.Contains(text, "\n") || len(f.Error()) > 200 {
			t.Errorf("%q is not one short line", f)
		}
	}
	for name, b := range bad {
		if !strings.Contains(seen[name], b.says) {
			t.Errorf("%s: %q, want %q", name, seen[name], b.says)
		}
		word := strings.TrimSuffix(name, filepath.Ext(name))
		if !slices.Equal(render(t, v, word).Samples(), render(t, sounds.Default(), word).Samples()) {
			t.Errorf("%s is not said by the built-in voice", word)
		}
	}
	if _, err := sounds.Own(os.DirFS(filepath.Join(t.TempDir(), "none"))); err == nil || strings.Contains(err.Error(), "\n") {
		t.Errorf("no folder: %v", err)
	}
}

// C164: a tagged MP3 of 22 050 Hz mono, played twice, has the same samples each time.
func TestC164TaggedRecordingTwice(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile(filepath.Join("testdata", "tone.mp3"))
	if err != nil {
		t.Fatal(err)
	}
	if string(data[:3]) != "ID3" {
		t.Fatal("the recording has no tag")
	}
	v := own(t, fstest.MapFS{"nine.mp3": {Data: data}})
	a, b := render(t, v, "9"), render(t, v, "9")
	again := render(t, own(t, fstest.MapFS{"nine.mp3": {Data: data}}), "9")
	if a.Len() == 0 || a.Len() != b.Len() || a.Len() != again.Len() {
		t.Errorf("%d, %d and %d samples", a.Len(), b.Len(), again.Len())
	}
	if c, _ := v.Check(); len(c.Faults) > 0 {
		t.Errorf("%v", c.Faults)
	}
}

// Two recordings of different rates, one after the other (C158): both are said.
func TestC158TwoRates(t *testing.T) {
	t.Parallel()
	v := own(t, fstest.MapFS{"nine.wav": {Data: toneWAV(22050, 11025, 16)}, "ten.wav": {Data: toneWAV(44100, 22050, 16)}})
	clip := render(t, v, "9", "10")
	if got, want := clip.Duration(), 1100*time.Millisecond; got < want-10*time.Millisecond || got > want+10*time.Millisecond {
		t.Errorf("both last %v, want %v", got, want)
	}
	if hz := notes(clip.Samples()); len(hz) != 2 || math.Abs(hz[0]-440) > 2 || math.Abs(hz[1]-440) > 2 {
		t.Errorf("the notes are %.1f Hz", hz)
	}
}

// A second recording serves the middle of a sentence; without one, or with a damaged
// one, the other does.
func TestOwnVoiceInTheMiddleOfASentence(t *testing.T) {
	t.Parallel()
	long, short := toneWAV(22050, 11025, 16), toneWAV(22050, 5512, 16)
	for _, c := range []struct {
		name  string
		files fstest.MapFS
		want  time.Duration // of "nine, nine"
		bad   int
	}{
		{"both", fstest.MapFS{"nine.wav": {Data: long}, "Nine.mid.WAV": {Data: short}}, 900 * time.Millisecond, 0},
		{"one", fstest.MapFS{"nine.wav": {Data: long}}, 1150 * time.Millisecond, 0},
		{"damaged", fstest.MapFS{"nine.wav": {Data: long}, "nine.mid.wav": {Data: short[:60]}}, 1150 * time.Millisecond, 1},
	} {
		v := own(t, c.files)
		if got := render(t, v, "9", ",", "9").Duration(); got < c.want-10*time.Millisecond || got > c.want+10*time.Millisecond {
			t.Errorf("%s: %v long, want %v", c.name, got, c.want)
		}
		if check, err := v.Check(); err != nil || check.Own != 1 || len(check.Faults) != c.bad || len(check.Strays) != 0 {
			t.Errorf("%s: %d own, faults %v, strays %v (%v)", c.name, check.Own, check.Faults, check.Strays, err)
		}
	}
}

func FuzzRecording(f *testing.F) {
	for _, kind := range []string{"wav", "flac", "ogg", "mp3"} {
		data, err := os.ReadFile(filepath.Join("testdata", "tone."+kind))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(kind, data)
	}
	f.Fuzz(func(t *testing.T, kind string, data []byte) {
		v, err := sounds.Own(fstest.MapFS{"nine.wav": {}, fmt.Sprintf("nine.%s", kind): {Data: data}})
		if err != nil {
			return // a name that cannot be a file
		}
		if clip, err := v.Clip("nine"); err != nil || clip.Len() == 0 {
			t.Fatalf("the word is not said: %v", err)
		}
	})
}

func TestWaveWriter(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "x.wav")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	nine := render(t, sounds.Default(), "9")
	w := sounds.NewWaveWriter(f)
	w.Clip(nine)
	w.Silence(1234 * time.Millisecond)
	w.Clip(nine)
	total := w.Written()
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	if want := 2*nine.Duration() + 1234*time.Millisecond; total < want-time.Millisecond || total > want+time.Millisecond {
		t.Errorf("%v long, want %v", total, want)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	samples := 2*nine.Len() + int(sounds.Rate.N(1234*time.Millisecond))
	if len(data) != 44+2*samples || binary.LittleEndian.Uint32(data[40:]) != uint32(2*samples) || binary.LittleEndian.Uint32(data[4:]) != uint32(len(data)-8) {
		t.Errorf("%d bytes for %d samples", len(data), samples)
	}
	// Read back by the reader of own recordings: it trims the same ends off.
	v := own(t, fstest.MapFS{"nine.wav": {Data: data}})
	if d := render(t, v, "9").Duration() - total; d < -100*time.Millisecond || d > 0 {
		t.Errorf("read back it is %v longer", d)
	}
}

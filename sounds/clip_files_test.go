package sounds_test

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

const clipDir = "voice/clips"

func TestEveryWordHasAClipAndEveryClipAWord(t *testing.T) {
	t.Parallel()
	words := map[string]string{}
	for _, e := range sounds.Vocabulary() {
		for _, file := range e.Files() {
			words[file] = e.Name
			if _, err := os.Stat(filepath.Join(clipDir, file)); err != nil {
				t.Errorf("%q has no clip: %v", e.Name, err)
			}
		}
	}
	files, err := os.ReadDir(clipDir)
	if err != nil {
		t.Fatal(err)
	}
	total := int64(0)
	for _, f := range files {
		info, err := f.Info()
		if err != nil {
			t.Fatal(err)
		}
		total += info.Size()
		if words[f.Name()] == "" {
			t.Errorf("clip %s has no line in vocabulary.txt", f.Name())
		}
	}
	if len(files) < 150 || total >= 2_000_000 {
		t.Errorf("%d clips of %d bytes; want at least 150 in under 2 MB", len(files), total)
	}
}

// A clip rendered from another text than the vocabulary's would say a wrong word.
func TestClipsAreRenderedFromTheVocabulary(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile("voice/rendered.txt")
	if err != nil {
		t.Fatal(err)
	}
	rendered := map[string]string{} // file|text|melody|place -> sum
	for line := range strings.Lines(string(data)) {
		f := strings.Split(strings.TrimSpace(line), "|")
		if len(f) != 6 {
			t.Fatalf("rendered.txt: %q has %d fields, want 6", line, len(f))
		}
		rendered[strings.Join(f[:4], "|")] = f[5]
	}
	for _, e := range sounds.Vocabulary() {
		for _, at := range e.Places {
			file := e.FileAt(at)
			clip, err := os.ReadFile(filepath.Join(clipDir, file))
			if err != nil {
				t.Fatal(err)
			}
			sum := sha256.Sum256(clip)
			line := file + "|" + e.Text + "|" + string(e.Melody) + "|" + string(at)
			if got := rendered[line]; got != hex.EncodeToString(sum[:]) {
				t.Errorf("clip %s was not rendered from %q; run sounds/voice/render", file, line)
			}
		}
	}
}

// everyClip gives each clip file with its entry and place.
func everyClip(f func(file string, e sounds.Entry, at sounds.Place)) {
	for _, e := range sounds.Vocabulary() {
		for _, at := range e.Places {
			f(e.FileAt(at), e, at)
		}
	}
}

// Frame header of MPEG-2 layer III without CRC, 48 kbit/s for words and 24 for whole
// fragments, 24 kHz, mono: ISO/IEC 13818-3. Such frames are never padded: of padded ones the
// decoder in use makes noise.
func TestClipFormat(t *testing.T) {
	t.Parallel()
	everyClip(func(file string, e sounds.Entry, _ sounds.Place) {
		data, err := os.ReadFile(filepath.Join(clipDir, file))
		if err != nil {
			t.Fatal(err)
		}
		frame, kind := 72, byte(0x34) // bytes: 72 * 24 000 / 24 000
		if e.Melody == sounds.Word {
			frame, kind = 144, 0x64
		}
		if len(data) == 0 || len(data)%frame != 0 {
			t.Errorf("%s: %d bytes are no whole number of frames of %d", file, len(data), frame)
		}
		for i := 0; i+3 < len(data); i += frame {
			if data[i] != 0xff || data[i+1] != 0xf3 || data[i+2]&0xfe != kind || data[i+3]>>6 != 3 {
				t.Errorf("%s: frame at byte %d has the header % x", file, i, data[i:i+4])
				break
			}
		}
	})
}

func TestClipLevels(t *testing.T) {
	t.Parallel()
	levels := map[string]float64{}
	var all []float64
	everyClip(func(file string, _ sounds.Entry, _ sounds.Place) {
		x, rate, err := sounds.Decoded(file)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			return
		}
		if rate != 24000 {
			t.Errorf("%s: %d Hz, want 24000", file, rate)
		}
		peak, run := 0.0, 0
		for _, v := range x {
			if a := math.Abs(v); a > 0.9999 {
				run++
			} else {
				peak = max(peak, a)
			}
		}
		if run > 0 {
			t.Errorf("%s: %d samples at full scale", file, run)
		}
		l := soundtest.ActiveLevel(x, rate)
		levels[file] = l
		all = append(all, l)
	})
	slices.Sort(all)
	median := all[len(all)/2]
	t.Logf("A-weighted active level %.1f dBFS, from %.1f to %.1f", median, all[0], all[len(all)-1])
	for file, l := range levels {
		if math.Abs(l-median) > 2 {
			t.Errorf("%s: active level %.1f dBFS(A), more than 2 dB from the median %.1f", file, l, median)
		}
	}
}

// The ends are cut 12 ms before and 30 ms after what is within 30 dB of the loudest
// windows; a soft breath or a dying vowel moves that by a few windows of 5 ms.
func TestTrimmedSilence(t *testing.T) {
	t.Parallel()
	everyClip(func(file string, e sounds.Entry, at sounds.Place) {
		clip, err := sounds.Default().ClipAt(e.Name, at)
		if err != nil {
			t.Error(err)
			return
		}
		before, after := ends(clip.Samples())
		if before > 40 || after < 10 || after > 60 {
			t.Errorf("%s: %d ms before the sound and %d ms after it", file, before, after)
		}
		if s := clip.Samples(); math.Abs(s[0]) > 0.002 || math.Abs(s[len(s)-1]) > 0.002 {
			t.Errorf("%s begins at %.4f and ends at %.4f, not at zero", file, s[0], s[len(s)-1])
		}
	})
}

// ends gives the milliseconds before and after the first and last 5 ms that are less
// than 34 dB under the loudest 5 ms.
func ends(x []float64) (before, after int) {
	const w = int(sounds.Rate) / 200
	top := 0.0
	levels := make([]float64, len(x)/w)
	for i := range levels {
		for _, v := range x[i*w : (i+1)*w] {
			levels[i] += v * v
		}
		top = max(top, levels[i])
	}
	first, last := -1, 0
	for i, l := range levels {
		if l > top/2500 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	return first * 5, (len(x) - (last+1)*w) / 48
}

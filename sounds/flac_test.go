package sounds_test

import (
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/mewkiz/flac"

	"turncue/sounds"
)

// What is packed comes out again sample for sample, the header tells its length, and a
// pause takes next to nothing.
func TestFLACWriter(t *testing.T) {
	for _, parts := range [][]string{{"set the speed to", "480 rpm"}, {"it should be near", "9.884 mm"}} {
		clip, err := sounds.Default().Render(parts)
		if err != nil {
			t.Fatal(err)
		}
		f, err := os.Create(filepath.Join(t.TempDir(), "said.flac"))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		w := sounds.NewFLACWriter(f)
		w.Clip(clip)
		w.Silence(time.Minute)
		w.Clip(clip)
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		want := append(clip.Samples(), make([]float64, int(sounds.Rate)*60)...)
		want = append(want, clip.Samples()...)
		if _, err := f.Seek(0, io.SeekStart); err != nil {
			t.Fatal(err)
		}
		got, err := flac.New(f)
		if err != nil {
			t.Fatal(err)
		}
		if int(got.Info.NSamples) != len(want) || got.Info.SampleRate != uint32(sounds.Rate) || w.Written() != sounds.Rate.D(len(want)) {
			t.Errorf("the header says %d samples at %d Hz, want %d", got.Info.NSamples, got.Info.SampleRate, len(want))
		}
		n := 0
		for {
			block, err := got.ParseNext()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			for _, v := range block.Subframes[0].Samples {
				if v != int32(int16(want[n]*32768)) {
					t.Fatalf("sample %d is %d, want %g", n, v, want[n]*32768)
				}
				n++
			}
		}
		if n != len(want) {
			t.Errorf("%d samples, want %d", n, len(want))
		}
		info, err := f.Stat()
		if err != nil {
			t.Fatal(err)
		}
		if raw := int64(4 * clip.Len()); info.Size() > raw*9/10 {
			t.Errorf("%d bytes, the two clips alone are %d without packing", info.Size(), raw)
		}
		t.Logf("%d bytes for %v", info.Size(), w.Written())
	}
}

func BenchmarkFLACWriter(b *testing.B) {
	clip, err := sounds.Default().Render([]string{"it should be near", "9.884 mm"})
	if err != nil {
		b.Fatal(err)
	}
	f, err := os.Create(filepath.Join(b.TempDir(), "said.flac"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	w := sounds.NewFLACWriter(f)
	for b.Loop() {
		w.Clip(clip)
	}
	b.ReportMetric(w.Written().Seconds()/b.Elapsed().Seconds(), "x")
}

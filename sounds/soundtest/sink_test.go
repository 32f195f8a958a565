package soundtest

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// A tone played by another program is heard as it was played, also after the server
// was away.
func TestSinkHears(t *testing.T) {
	t.Parallel()
	sink := Start(t)
	tone := make([]float64, Rate/2)
	var raw bytes.Buffer
	for i := range tone {
		tone[i] = 0.3 * math.Sin(2*math.Pi*(400+1000*float64(i)/Rate)*float64(i)/Rate)
		v := uint16(int16(math.Round(tone[i] * 32768)))
		raw.Write([]byte{byte(v), byte(v >> 8), byte(v), byte(v >> 8)})
	}
	file := filepath.Join(t.TempDir(), "tone.raw")
	if err := os.WriteFile(file, raw.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	play := func() {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		cmd := sink.Command("pacat", "--raw", "--rate=48000", "--channels=2", "--format=s16le", "--latency-msec=200")
		cmd.Stdin = f
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("pacat: %v: %s", err, out)
		}
	}
	play()
	before := len(sink.Heard())
	sink.Break()
	sink.Mend()
	play()
	heard := sink.Stop()
	for _, part := range [][]float64{heard[:before], heard[before:]} {
		if at, share := Trace(part, tone); share < Heard {
			t.Errorf("%.3f of the tone is at %v of %d samples", share, at, len(part))
		}
	}
}

package sounds

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"time"
)

const (
	waveHeader = 44
	waveMost   = math.MaxUint32 - waveHeader // bytes of sound in one file: 12 h 25 min
)

// A WaveWriter writes clips and pauses behind one another into one WAV file: 48 kHz,
// one channel, 16 bits. It keeps nothing, so the length of the file does not matter.
type WaveWriter struct {
	file    io.WriteSeeker
	w       *bufio.Writer
	samples int64
	err     error
}

// NewWaveWriter begins a file; [WaveWriter.Close] completes it.
func NewWaveWriter(file io.WriteSeeker) *WaveWriter {
	w := &WaveWriter{file: file, w: bufio.NewWriterSize(file, 1<<16)}
	_, w.err = w.w.Write(make([]byte, waveHeader))
	return w
}

// Clip adds a clip.
func (w *WaveWriter) Clip(c *Clip) { w.add(c.pcm) }

// Silence adds a pause, rounded down to a sample.
func (w *WaveWriter) Silence(d time.Duration) {
	var quiet [4800]int16
	for n := Rate.N(d); n > 0 && w.err == nil; n -= len(quiet) {
		w.add(quiet[:min(n, len(quiet))])
	}
}

// Written is how long the file is so far.
func (w *WaveWriter) Written() time.Duration { return Rate.D(int(w.samples)) }

// Close writes what is still held and the header. The error is the first of all.
func (w *WaveWriter) Close() error {
	if w.err == nil {
		w.err = w.w.Flush()
	}
	if w.err == nil {
		_, w.err = w.file.Seek(0, io.SeekStart)
	}
	if w.err == nil {
		_, w.err = w.file.Write(waveHead(w.samples))
	}
	if w.err != nil {
		return fmt.Errorf("write WAV: %w", w.err)
	}
	return nil
}

func (w *WaveWriter) add(pcm []int16) {
	if w.err != nil {
		return
	}
	if 2*(w.samples+int64(len(pcm))) > waveMost {
		w.err = errors.New("longer than a WAV file can be: 12 hours; make the gaps shorter")
		return
	}
	w.samples += int64(len(pcm))
	var b [2048]byte
	for len(pcm) > 0 && w.err == nil {
		n := min(len(pcm), len(b)/2)
		for i, v := range pcm[:n] {
			b[2*i], b[2*i+1] = byte(v), byte(uint16(v)>>8)
		}
		_, w.err = w.w.Write(b[:2*n])
		pcm = pcm[n:]
	}
}

func waveHead(samples int64) []byte {
	const channels, sampleBytes = 1, 2
	bytes := uint32(samples * sampleBytes)
	h := append(make([]byte, 0, waveHeader), "RIFF"...)
	h = binary.LittleEndian.AppendUint32(h, bytes+waveHeader-8)
	h = append(h, "WAVEfmt "...)
	h = binary.LittleEndian.AppendUint32(h, 16)
	h = binary.LittleEndian.AppendUint16(h, 1) // whole numbers
	h = binary.LittleEndian.AppendUint16(h, channels)
	h = binary.LittleEndian.AppendUint32(h, uint32(Rate))
	h = binary.LittleEndian.AppendUint32(h, uint32(Rate)*channels*sampleBytes)
	h = binary.LittleEndian.AppendUint16(h, channels*sampleBytes)
	h = binary.LittleEndian.AppendUint16(h, 8*sampleBytes)
	h = append(h, "data"...)
	return binary.LittleEndian.AppendUint32(h, bytes)
}

// decodeWAV gives the mean of all channels. A program that writes into a pipe does not
// know the length before and leaves a wrong one in the header: what is there counts.
func decodeWAV(data []byte) (x []float64, rate int, err error) {
	if len(data) < 12 || string(data[:4]) != "RIFF" || string(data[8:12]) != "WAVE" {
		return nil, 0, errors.New("not a WAV file")
	}
	var form waveForm
	for rest := data[12:]; len(rest) >= 8; {
		name, size := string(rest[:4]), int64(binary.LittleEndian.Uint32(rest[4:8]))
		body := rest[8:]
		cut := size > int64(len(body))
		if !cut {
			body = body[:size]
		}
		switch name {
		case "fmt ":
			if form, err = readWaveForm(body); err != nil {
				return nil, 0, err
			}
		case "data":
			if form.frame == 0 {
				return nil, 0, errors.New("damaged WAV: sound before its format")
			}
			// Lengths that programs write who do not know it: none, or all they can.
			unknown := size == 0 || size >= math.MaxInt32-0xffff
			if unknown {
				body = rest[8:]
			} else if cut {
				return nil, 0, errors.New("damaged WAV: it ends before the length in its header")
			}
			x, err := form.samples(body)
			return x, form.rate, err
		}
		rest = rest[min(int64(len(rest)), 8+size+size%2):]
	}
	return nil, 0, errors.New("damaged WAV: there is no sound in it")
}

// waveForm is the format chunk.
type waveForm struct {
	float    bool
	channels int
	rate     int
	bits     int
	frame    int // bytes of one sample of every channel
}

func readWaveForm(b []byte) (waveForm, error) {
	if len(b) < 16 {
		return waveForm{}, errors.New("damaged WAV: its format is cut short")
	}
	code := binary.LittleEndian.Uint16(b)
	if code == 0xfffe && len(b) >= 26 { // the extensible form carries the code further on
		code = binary.LittleEndian.Uint16(b[24:])
	}
	f := waveForm{
		float:    code == 3,
		channels: int(binary.LittleEndian.Uint16(b[2:])),
		rate:     int(binary.LittleEndian.Uint32(b[4:])),
		bits:     int(binary.LittleEndian.Uint16(b[14:])),
	}
	switch {
	case code != 1 && code != 3:
		return f, fmt.Errorf("WAV of kind %d: only plain samples can be read", code)
	case f.channels < 1 || f.channels > 8:
		return f, fmt.Errorf("damaged WAV: %d channels", f.channels)
	case f.float && f.bits != 32, !f.float && f.bits != 8 && f.bits != 16 && f.bits != 24 && f.bits != 32:
		return f, fmt.Errorf("WAV with samples of %d bits: only 8, 16, 24 and 32 can be read", f.bits)
	}
	f.frame = f.channels * f.bits / 8
	return f, nil
}

func (f waveForm) samples(b []byte) ([]float64, error) {
	n := len(b) / f.frame
	if int64(n) > int64(f.rate)*mostClipSeconds {
		return nil, fmt.Errorf("longer than %d seconds", mostClipSeconds)
	}
	x := make([]float64, n)
	width := f.bits / 8
	for i := range x {
		for c := range f.channels {
			x[i] += f.value(b[i*f.frame+c*width:]) / float64(f.channels)
		}
		if math.IsNaN(x[i]) || math.IsInf(x[i], 0) {
			return nil, errors.New("damaged WAV: a sample is no number")
		}
	}
	return x, nil
}

func (f waveForm) value(b []byte) float64 {
	switch {
	case f.float:
		return float64(math.Float32frombits(binary.LittleEndian.Uint32(b)))
	case f.bits == 8:
		return (float64(b[0]) - 128) / 128
	case f.bits == 16:
		return float64(int16(binary.LittleEndian.Uint16(b))) / 32768
	case f.bits == 24:
		return float64(int32(uint32(b[0])<<8|uint32(b[1])<<16|uint32(b[2])<<24)) / (1 << 31)
	}
	return float64(int32(binary.LittleEndian.Uint32(b))) / (1 << 31)
}

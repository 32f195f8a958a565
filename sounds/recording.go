package sounds

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"slices"
	"strings"

	"github.com/gopxl/beep/v2"
	"github.com/gopxl/beep/v2/flac"
	"github.com/jfreymuth/oggvorbis"
)

// recordingKinds are the endings of the files that can be read, in the order in which
// they are looked for.
var recordingKinds = []string{".wav", ".flac", ".ogg", ".mp3"}

const (
	lowestRate  = 8000
	highestRate = 192000
	fullScale   = 0.999
	mostClipped = 0.01 // of all samples
	tooQuiet    = 0.02 // peak; the voice's own clips have 0.8
)

// decodeRecording reads a recording by the ending of its file. The decoders trust
// what they read, so a panic in one is a damaged file.
func decodeRecording(file string, data []byte) (x []float64, rate int, err error) {
	if len(data) == 0 {
		return nil, 0, errors.New("empty")
	}
	kind := strings.ToLower(path.Ext(file))
	defer func() {
		if r := recover(); r != nil {
			x, rate, err = nil, 0, fmt.Errorf("damaged %s", strings.ToUpper(strings.TrimPrefix(kind, ".")))
		}
	}()
	switch kind {
	case ".wav":
		x, rate, err = decodeWAV(data)
	case ".flac":
		x, rate, err = decodeFLAC(data)
	case ".ogg":
		x, rate, err = decodeOGG(data)
	default:
		if err = wholeMP3(data); err == nil {
			x, rate, err = decodeMP3(data)
		}
	}
	if err != nil {
		return nil, 0, err
	}
	return x, rate, fit(x, rate)
}

// fit refuses what cannot have been meant.
func fit(x []float64, rate int) error {
	if rate < lowestRate || rate > highestRate {
		return fmt.Errorf("%d samples a second: between %d and %d can be played", rate, lowestRate, highestRate)
	}
	peak, clipped := 0.0, 0
	for _, v := range x {
		a := math.Abs(v)
		peak = max(peak, a)
		if a >= fullScale {
			clipped++
		}
	}
	switch {
	case float64(clipped) > mostClipped*float64(len(x)):
		return errors.New("overdriven, or an MP3 that decodes to noise: record it more quietly, or save it as WAV")
	case len(x) > 0 && peak < tooQuiet:
		return fmt.Errorf("nothing is heard in it: its loudest sample is %.1f %% of full scale", 100*peak)
	}
	return nil
}

func decodeFLAC(data []byte) ([]float64, int, error) {
	s, format, err := flac.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, 0, fmt.Errorf("not a FLAC that can be decoded: %w", err)
	}
	defer s.Close()
	rate := int(format.SampleRate)
	x, err := drain(s, rate)
	if err != nil {
		return nil, 0, fmt.Errorf("damaged FLAC: %w", err)
	}
	if want := s.Len(); want > 0 && len(x) < want {
		return nil, 0, fmt.Errorf("damaged FLAC: %d samples of %d", len(x), want)
	}
	return x, rate, nil
}

// drain takes all samples of a stream, the mean of both ears.
func drain(s beep.Streamer, rate int) (x []float64, err error) {
	var buf [512][2]float64
	for {
		n, ok := s.Stream(buf[:])
		for _, v := range buf[:n] {
			x = append(x, (v[0]+v[1])/2)
		}
		if len(x) > rate*mostClipSeconds {
			return nil, fmt.Errorf("longer than %d seconds", mostClipSeconds)
		}
		if !ok || n == 0 {
			return x, s.Err()
		}
	}
}

func decodeOGG(data []byte) ([]float64, int, error) {
	r, err := oggvorbis.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, 0, fmt.Errorf("not an OGG Vorbis that can be decoded: %w", err)
	}
	rate, channels := r.SampleRate(), r.Channels()
	if rate <= 0 || channels <= 0 {
		return nil, 0, errors.New("damaged OGG: no rate or no channels")
	}
	var x []float64
	buf := make([]float32, 1024*channels)
	for {
		n, err := r.Read(buf)
		for frame := range slices.Chunk(buf[:n-n%channels], channels) {
			sum := 0.0
			for _, v := range frame {
				sum += float64(v)
			}
			x = append(x, sum/float64(channels))
		}
		switch {
		case len(x) > rate*mostClipSeconds:
			return nil, 0, fmt.Errorf("longer than %d seconds", mostClipSeconds)
		case errors.Is(err, io.EOF):
			return x, rate, nil
		case err != nil:
			return nil, 0, fmt.Errorf("damaged OGG: %w", err)
		}
	}
}

// Bit rates of layer III in kbit/s by the index in a frame's header, ISO/IEC 11172-3
// (MPEG-1) and 13818-3 (MPEG-2); from memory.
var layer3 = [2][15]int{
	{0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320},
	{0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160},
}

// wholeMP3 refuses an MP3 that ends in the middle of a frame: the decoder would leave
// the last sounds of the word out and say nothing. What follows the frames, a tag, is
// not looked at.
func wholeMP3(data []byte) error {
	frames := 0
	for at := afterTag(data); at+4 <= len(data); frames++ {
		n := frameLength(data[at:])
		if n == 0 {
			break
		}
		if at+n > len(data) {
			return fmt.Errorf("damaged MP3: it ends %d bytes before the end of frame %d", at+n-len(data), frames+1)
		}
		at += n
	}
	return nil
}

// afterTag is where the sound begins behind a tag of the kind ID3v2.
func afterTag(data []byte) int {
	if len(data) < 10 || string(data[:3]) != "ID3" {
		return 0
	}
	size := 0
	for _, b := range data[6:10] {
		size = size<<7 | int(b&0x7f)
	}
	return min(len(data), 10+size)
}

// frameLength is the length in bytes of the layer III frame that begins here, 0 if
// none does.
func frameLength(b []byte) int {
	if len(b) < 4 || b[0] != 0xff || b[1]&0xe6 != 0xe2 {
		return 0
	}
	version := b[1] >> 3 & 3 // 3: MPEG-1, 2: MPEG-2
	index, rate := int(b[2]>>4), int(b[2]>>2&3)
	if version < 2 || index == 0 || index == 15 || rate == 3 {
		return 0
	}
	hz := [3]int{44100, 48000, 32000}[rate]
	kbits, factor := layer3[0][index], 144
	if version == 2 {
		hz, kbits, factor = hz/2, layer3[1][index], 72
	}
	return factor*kbits*1000/hz + int(b[2]>>1&1)
}

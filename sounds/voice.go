package sounds

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"sync"
	"time"

	"github.com/gopxl/beep/v2"
	"github.com/hajimehoshi/go-mp3"
)

// Pauses between words and at breaks.
const (
	wordGap  = 100 * time.Millisecond
	commaGap = 150 * time.Millisecond
	stopGap  = 350 * time.Millisecond
)

const (
	mostClipBytes   = 4 << 20
	mostClipSeconds = 60
	resampleQuality = 4 // image of a 5 kHz tone 50 dB down; 9 ms of work a second
)

// A Voice is a folder of clips. Clips are read when first needed and kept; a Voice
// may be used from several goroutines.
type Voice struct {
	clips  fs.FS
	own    map[string]string // by [Entry.FileAt], the file that an own voice has; nil for others
	mu     sync.Mutex
	loaded map[string]*loading // by [Entry.FileAt]
}

type loading struct {
	once sync.Once
	clip *Clip
	err  error
}

// NewVoice speaks with the MP3 files of a folder, named as [Entry.File] says.
func NewVoice(clips fs.FS) *Voice {
	return &Voice{clips: clips, loaded: map[string]*loading{}}
}

// Default is the voice that comes with the program. Every call gives the same one.
func Default() *Voice { return defaultVoice() }

var defaultVoice = sync.OnceValue(func() *Voice { return NewVoice(embeddedClips()) })

// Clip gives the clip of one vocabulary word as it is said at the end of a sentence,
// trimmed and at [Rate].
func (v *Voice) Clip(word string) (*Clip, error) { return v.ClipAt(word, Final) }

// ClipAt gives the clip of one vocabulary word for a place in a sentence, trimmed and
// at [Rate]: the only one if there is one clip for both.
func (v *Voice) ClipAt(word string, at Place) (*Clip, error) {
	e, ok := vocabulary().byName[word]
	if !ok {
		return nil, fmt.Errorf("word %q is not in the vocabulary", word)
	}
	file := e.FileAt(at)
	v.mu.Lock()
	l := v.loaded[file]
	if l == nil {
		l = &loading{}
		v.loaded[file] = l
	}
	v.mu.Unlock()
	l.once.Do(func() { l.clip, l.err = v.load(e, at) })
	return l.clip, l.err
}

// Warm loads every clip of the vocabulary, so that none has to be decoded when it is
// wanted: about 10 ms of work a clip. It returns the first error of each bad clip.
func (v *Voice) Warm() error {
	var errs []error
	for _, e := range vocabulary().entries {
		for _, at := range e.Places {
			if _, err := v.ClipAt(e.Name, at); err != nil {
				errs = append(errs, err)
			}
		}
	}
	return errors.Join(errs...)
}

// Render joins the clips of all parts with 100 ms between words, 150 ms at a "," and
// 350 ms at a ".". Breaks at either end are dropped. The last word before a "." and of
// all is said as the end of a sentence, the others as if more follows. The same parts
// give the same samples every time.
func (v *Voice) Render(parts []string) (*Clip, error) {
	seq, n, err := v.sequence(parts)
	if err != nil {
		return nil, err
	}
	pcm := make([]int16, n)
	at := 0
	for _, s := range seq {
		at += s.pause
		at += copy(pcm[at:], s.clip.pcm)
	}
	return &Clip{pcm: pcm}, nil
}

// Duration is how long [Voice.Render] of the parts lasts, exactly.
func (v *Voice) Duration(parts []string) (time.Duration, error) {
	_, n, err := v.sequence(parts)
	return Rate.D(n), err
}

// spoken is a clip with the pause before it, in samples.
type spoken struct {
	pause int
	clip  *Clip
}

func (v *Voice) sequence(parts []string) (seq []spoken, samples int, err error) {
	words, err := wordsOf(parts)
	if err != nil {
		return nil, 0, err
	}
	var gap time.Duration
	for i, w := range words {
		switch w {
		case Stop:
			gap = max(gap, stopGap)
			continue
		case Comma:
			gap = max(gap, commaGap)
			continue
		}
		clip, err := v.ClipAt(w, placeBefore(words[i+1:]))
		if err != nil {
			return nil, 0, err
		}
		if len(seq) == 0 {
			gap = 0
		}
		s := spoken{pause: Rate.N(gap), clip: clip}
		seq, samples = append(seq, s), samples+s.pause+clip.Len()
		gap = wordGap
	}
	return seq, samples, nil
}

// placeBefore is the place of a word that these words follow.
func placeBefore(words []string) Place {
	for _, w := range words {
		switch w {
		case Comma:
			continue
		case Stop:
			return Final
		}
		return Mid
	}
	return Final
}

func (v *Voice) load(e Entry, at Place) (*Clip, error) {
	if v.own != nil {
		for _, file := range []string{e.FileAt(at), e.File()} {
			if clip, err := v.recording(file); clip != nil && err == nil {
				return clip, nil
			}
		}
		return Default().ClipAt(e.Name, at)
	}
	file := e.FileAt(at)
	clip, err := loadClip(v.clips, file, shippedMP3)
	if err != nil {
		return nil, fmt.Errorf("voice clip %s for %q: %w; render or record it again", file, e.Name, err)
	}
	return clip, nil
}

// decoder reads one kind of file, or tells kinds apart by the name.
type decoder func(file string, data []byte) (x []float64, rate int, err error)

func shippedMP3(_ string, data []byte) ([]float64, int, error) { return decodeMP3(data) }

func loadClip(clips fs.FS, file string, decode decoder) (*Clip, error) {
	f, err := clips.Open(file)
	if err != nil {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return nil, err
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostClipBytes+1))
	if err != nil {
		return nil, err
	}
	if len(data) > mostClipBytes {
		return nil, fmt.Errorf("larger than %d MB", mostClipBytes>>20)
	}
	x, rate, err := decode(file, data)
	if err != nil {
		return nil, err
	}
	if x, err = trim(x, rate); err != nil {
		return nil, err
	}
	return resample(x, rate), nil
}

// decodeMP3 gives the mean of the two channels that the decoder always makes. The
// decoder trusts what it reads, so a panic in it is a damaged file.
func decodeMP3(data []byte) (x []float64, rate int, err error) {
	defer func() {
		if r := recover(); r != nil {
			x, rate, err = nil, 0, errors.New("damaged MP3")
		}
	}()
	d, err := mp3.NewDecoder(bytes.NewReader(data))
	if err != nil {
		return nil, 0, fmt.Errorf("not an MP3 that can be decoded: %w", err)
	}
	rate = d.SampleRate()
	most := int64(rate) * 4 * mostClipSeconds
	raw, err := io.ReadAll(io.LimitReader(d, most+4))
	if err != nil {
		return nil, 0, fmt.Errorf("damaged MP3: %w", err)
	}
	if int64(len(raw)) > most {
		return nil, 0, fmt.Errorf("longer than %d seconds", mostClipSeconds)
	}
	x = make([]float64, len(raw)/4)
	for i := range x {
		l := int16(uint16(raw[4*i]) | uint16(raw[4*i+1])<<8)
		r := int16(uint16(raw[4*i+2]) | uint16(raw[4*i+3])<<8)
		x[i] = (float64(l) + float64(r)) / 65536
	}
	return x, rate, nil
}

func resample(x []float64, rate int) *Clip {
	switch beep.SampleRate(rate) {
	case Rate:
		pcm := make([]int16, len(x))
		for i, v := range x {
			pcm[i] = toPCM(v)
		}
		return &Clip{pcm: pcm}
	case Rate / 2:
		return &Clip{pcm: double(x)}
	}
	rs := beep.Resample(resampleQuality, beep.SampleRate(rate), Rate, &monoStreamer{x})
	pcm := make([]int16, 0, int(int64(len(x))*int64(Rate)/int64(rate))+1)
	var buf [512][2]float64
	for {
		n, ok := rs.Stream(buf[:])
		for _, s := range buf[:n] {
			pcm = append(pcm, toPCM(s[0]))
		}
		if !ok {
			return &Clip{pcm: pcm}
		}
	}
}

// half are the weights of Lagrange's polynomial through eight points half way between
// the middle two: what beep.Resample works out anew for every sample.
var half = [8]float64{-5. / 2048, 49. / 2048, -245. / 2048, 1225. / 2048, 1225. / 2048, -245. / 2048, 49. / 2048, -5. / 2048}

// double puts a sample between every two; beyond the ends there is silence.
func double(x []float64) []int16 {
	padded := make([]float64, len(x)+7)
	copy(padded[3:], x)
	pcm := make([]int16, 2*len(x))
	for i, v := range x {
		between := 0.0
		for j, w := range half {
			between += w * padded[i+j]
		}
		pcm[2*i], pcm[2*i+1] = toPCM(v), toPCM(between)
	}
	return pcm
}

type monoStreamer struct{ x []float64 }

func (m *monoStreamer) Stream(samples [][2]float64) (int, bool) {
	n := min(len(samples), len(m.x))
	for i, v := range m.x[:n] {
		samples[i] = [2]float64{v, v}
	}
	m.x = m.x[n:]
	return n, n > 0
}

func (m *monoStreamer) Err() error { return nil }

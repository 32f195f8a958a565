package sounds

import (
	"bufio"
	"fmt"
	"io"
	"math/bits"
	"time"

	"github.com/mewkiz/flac"
	"github.com/mewkiz/flac/frame"
	"github.com/mewkiz/flac/meta"
)

// flacBlock is how many samples are packed together.
const flacBlock = 4096

// A FLACWriter is a [WaveWriter] that writes FLAC: lossless, and a pause takes next to
// nothing.
type FLACWriter struct {
	file    io.WriteSeeker
	w       *bufio.Writer
	enc     *flac.Encoder
	held    []int32
	samples int64
	err     error
}

// NewFLACWriter begins a file; [FLACWriter.Close] completes it.
func NewFLACWriter(file io.WriteSeeker) *FLACWriter {
	w := &FLACWriter{file: file, w: bufio.NewWriterSize(file, 1<<16)}
	w.enc, w.err = flac.NewEncoder(w.w, flacInfo(0, 0, [16]byte{}))
	return w
}

func flacInfo(block uint16, samples int64, sum [16]byte) *meta.StreamInfo {
	return &meta.StreamInfo{
		BlockSizeMin: max(16, block), BlockSizeMax: flacBlock, SampleRate: uint32(Rate), NChannels: 1,
		BitsPerSample: 16, NSamples: uint64(samples), MD5sum: sum,
	}
}

// Clip adds a clip.
func (w *FLACWriter) Clip(c *Clip) { w.add(c.pcm) }

// Silence adds a pause, rounded down to a sample.
func (w *FLACWriter) Silence(d time.Duration) {
	var quiet [flacBlock]int16
	for n := Rate.N(d); n > 0 && w.err == nil; n -= len(quiet) {
		w.add(quiet[:min(n, len(quiet))])
	}
}

// Written is how long the file is so far.
func (w *FLACWriter) Written() time.Duration { return Rate.D(int(w.samples)) }

// Close writes what is still held and completes the header. The error is the first of
// all.
func (w *FLACWriter) Close() error {
	if w.err == nil && len(w.held) > 0 {
		w.pack()
	}
	if w.err == nil {
		w.err = w.w.Flush()
	}
	if w.err == nil { // the encoder's own writer cannot go back to its header
		_, w.err = w.file.Seek(0, io.SeekStart)
	}
	if w.err == nil {
		_, w.err = flac.NewEncoder(w.file, flacInfo(flacBlock, w.samples, [16]byte{}))
	}
	if w.err != nil {
		return fmt.Errorf("write FLAC: %w", w.err)
	}
	return nil
}

func (w *FLACWriter) add(pcm []int16) {
	w.samples += int64(len(pcm))
	for _, v := range pcm {
		if w.err != nil {
			return
		}
		if w.held = append(w.held, int32(v)); len(w.held) == flacBlock {
			w.pack()
		}
	}
}

// pack writes the samples held as one block: one value where all are equal, else by
// the differences from the straight line through the two before (order 2 of the fixed
// predictors) in a Rice code.
func (w *FLACWriter) pack() {
	x := w.held
	sub := &frame.Subframe{Samples: x, NSamples: len(x)}
	same, sum := true, uint64(0)
	for i, v := range x {
		same = same && v == x[0]
		if i > 1 {
			d := v - 2*x[i-1] + x[i-2]
			sum += uint64(max(d, -d))
		}
	}
	if same {
		sub.SubHeader = frame.SubHeader{Pred: frame.PredConstant}
	} else if len(x) < 16 {
		sub.SubHeader = frame.SubHeader{Pred: frame.PredVerbatim}
	} else {
		// The parameter that suits a mean of that size is its number of bits.
		k := uint(max(0, bits.Len64(sum/uint64(len(x)))))
		sub.SubHeader = frame.SubHeader{
			Pred: frame.PredFixed, Order: 2, ResidualCodingMethod: frame.ResidualCodingMethodRice2,
			RiceSubframe: &frame.RiceSubframe{Partitions: []frame.RicePartition{{Param: k}}},
		}
	}
	w.err = w.enc.WriteFrame(&frame.Frame{
		Header: frame.Header{
			HasFixedBlockSize: true, BlockSize: uint16(len(x)), SampleRate: uint32(Rate),
			Channels: frame.ChannelsMono, BitsPerSample: 16,
		},
		Subframes: []*frame.Subframe{sub},
	})
	w.held = w.held[:0]
}

package pedal

import (
	"encoding/binary"
	"strconv"
	"time"
)

// A record is one event as the kernel writes it to an event device: a time of two
// words, a kind, a code and a value (Linux, input_event). It has 24 bytes where a
// word has 64 bits, and 16 where it has 32.
type record struct {
	at    time.Duration // on the clock asked for
	kind  uint16
	code  uint16
	value int32
}

const (
	wordSize   = strconv.IntSize / 8
	recordSize = 2*wordSize + 8
)

// Kinds, codes and values of records that matter here (Linux, input-event-codes.h).
const (
	kindSync = 0
	kindKey  = 1

	syncReport  = 0
	syncDropped = 3

	valueUp     = 0
	valueDown   = 1
	valueRepeat = 2
)

// A splitter cuts a stream of bytes into records; a record torn between two reads is
// put together.
type splitter struct{ rest []byte }

func (s *splitter) add(b []byte) []record {
	s.rest = append(s.rest, b...)
	var out []record
	for len(s.rest) >= recordSize {
		out = append(out, decode(s.rest[:recordSize]))
		s.rest = s.rest[recordSize:]
	}
	s.rest = append([]byte(nil), s.rest...)
	return out
}

func decode(b []byte) record {
	at := word(b)*time.Second + word(b[wordSize:])*time.Microsecond
	b = b[2*wordSize:]
	return record{
		at:    at,
		kind:  binary.NativeEndian.Uint16(b),
		code:  binary.NativeEndian.Uint16(b[2:]),
		value: int32(binary.NativeEndian.Uint32(b[4:])),
	}
}

func word(b []byte) time.Duration {
	if wordSize == 4 {
		return time.Duration(binary.NativeEndian.Uint32(b))
	}
	return time.Duration(binary.NativeEndian.Uint64(b))
}

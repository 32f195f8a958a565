package runner

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"strconv"
)

// A line of a journal is a record as JSON, a tab, the CRC-32C (Castagnoli) of the
// JSON in eight lower-case hexadecimal digits, and a newline.

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// sumLength is the digits of the checksum.
const sumLength = 8

func encodeLine(r Record) ([]byte, error) {
	b, err := json.Marshal(r)
	if err != nil {
		return nil, fmt.Errorf("record cannot be written: %w", err)
	}
	return fmt.Appendf(b, "\t%08x\n", crc32.Checksum(b, castagnoli)), nil
}

// decodeLine reads a record from the front of b and says how many bytes it took,
// without the newline. It is strict: a digit in capitals is damage.
func decodeLine(b []byte) (r Record, n int, ok bool) {
	tab := bytes.IndexByte(b, '\t')
	if tab < 0 || len(b) < tab+1+sumLength {
		return r, 0, false
	}
	digits := string(b[tab+1 : tab+1+sumLength])
	want, err := strconv.ParseUint(digits, 16, 32)
	if err != nil || fmt.Sprintf("%08x", want) != digits || crc32.Checksum(b[:tab], castagnoli) != uint32(want) {
		return r, 0, false
	}
	if json.Unmarshal(b[:tab], &r) != nil {
		return r, 0, false
	}
	return r, tab + 1 + sumLength, true
}

// scanned is what a journal's bytes hold.
type scanned struct {
	records []Record
	good    int  // how many bytes the good records take
	mend    bool // the last of them lacks its newline
}

// recordStart is how every line begins.
var recordStart = []byte(`{"n":`)

// scan reads the records of a journal from its bytes. A tail that holds no whole
// record is torn: the write was cut off, nobody was told that it was done. A whole
// record behind bytes that are none is damage, and so is a gap in the numbers.
func scan(data []byte) (scanned, error) {
	var s scanned
	for s.good < len(data) {
		tail := data[s.good:]
		r, n, ok := decodeLine(tail)
		if !ok {
			if holdsRecord(tail) {
				if len(s.records) == 0 {
					return s, errors.New("damaged at its first record")
				}
				return s, fmt.Errorf("damaged before its end, after record %d", len(s.records)-1)
			}
			return s, nil
		}
		if r.N != len(s.records) {
			return s, fmt.Errorf("damaged: record %d stands where %d should", r.N, len(s.records))
		}
		if (r.N == 0) != (r.Head != nil) {
			return s, fmt.Errorf("damaged: record %d is no head, or a second one", r.N)
		}
		s.records = append(s.records, r)
		s.good += n
		switch after := tail[n:]; {
		case len(after) > 0 && after[0] == '\n':
			s.good++
		case holdsRecord(after):
			return s, fmt.Errorf("damaged before its end, at the end of record %d", r.N)
		default:
			s.mend = true
			return s, nil
		}
	}
	return s, nil
}

// holdsRecord says that a whole record lies somewhere in b.
func holdsRecord(b []byte) bool {
	for {
		i := bytes.Index(b, recordStart)
		if i < 0 {
			return false
		}
		if _, _, ok := decodeLine(b[i:]); ok {
			return true
		}
		b = b[i+1:]
	}
}

//go:build unix

package terminal

import (
	"encoding/binary"
	"os"
	"strconv"

	"golang.org/x/sys/unix"
)

// escapeTable offers, as a file below /dev/fd, a compiled terminal description
// (term(5)) in which every string is the escape byte. The path is dir/./file: the
// reader puts the first letter of the name between the two, and the name begins
// with a point. Call done when it has been read.
func escapeTable() (dir, file string, done func(), ok bool) {
	var p [2]int
	if err := unix.Pipe(p[:]); err != nil {
		return "", "", nil, false
	}
	unix.CloseOnExec(p[0])
	unix.CloseOnExec(p[1])
	_, err := unix.Write(p[1], escapeTableBytes())
	unix.Close(p[1])
	file = "./" + strconv.Itoa(p[0])
	if _, serr := os.Stat("/dev/fd/" + file); err != nil || serr != nil {
		unix.Close(p[0])
		return "", "", nil, false
	}
	return "/dev/fd", file, func() { unix.Close(p[0]) }, true
}

// escapeTableBytes is the description itself: a header of six numbers, a name,
// the places of the strings, and the strings.
func escapeTableBytes() []byte {
	const magic, nameLen, count, textLen = 282, 2, 218, 2
	var b []byte
	for _, n := range []uint16{magic, nameLen, 0, 0, count, textLen} {
		b = binary.LittleEndian.AppendUint16(b, n)
	}
	b = append(b, 'x', 0)
	b = append(b, make([]byte, 2*count)...) // all at 0
	return append(b, 0x1b, 0)
}

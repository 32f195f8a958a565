package pedal

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"unsafe"

	"golang.org/x/sys/unix"
)

// A kernel is what a device is asked through.
type kernel interface {
	open(path string) (*os.File, error)
	capable(*os.File) (capable, error)
	held(*os.File) ([]uint16, error) // keys that are down
	take(*os.File) error             // from now on nobody else gets its keys
}

// Requests of event devices (Linux, input.h), without the length of their answer.
const (
	askName = 0x80004506 // EVIOCGNAME
	askHeld = 0x80004518 // EVIOCGKEY
	askKeys = 0x80004521 // EVIOCGBIT of EV_KEY

	setGrab  = 0x40044590 // EVIOCGRAB
	setClock = 0x400445a0 // EVIOCSCLOCKID
)

// devices is the kernel itself. A named pipe of records is taken for a device that
// knows nothing of itself: a program can be a pedal that way.
type devices struct{}

func (devices) open(path string) (*os.File, error) {
	about, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	flags := os.O_RDONLY
	switch about.Mode() & fs.ModeType {
	case fs.ModeNamedPipe:
		flags = os.O_RDWR // a writer that leaves does not end it
	case fs.ModeDevice | fs.ModeCharDevice:
	default:
		return nil, errNoDevice
	}
	return os.OpenFile(path, flags|unix.O_NONBLOCK, 0)
}

// errNoDevice says that a file has no keys to give.
var errNoDevice = errors.New("it is not an input device: turncue pedal lists those there are")

// errInUse says that another program keeps the keys to itself.
var errInUse = errors.New("another program has it to itself: end that one")

func (devices) capable(f *os.File) (capable, error) {
	if isPipe(f) {
		return capable{name: f.Name()}, nil
	}
	name := make([]byte, 256)
	if err := ask(f, askName, name); err != nil {
		return capable{}, errNoDevice
	}
	keys, err := bits(f, askKeys)
	name, _, _ = bytes.Cut(name, []byte{0})
	return capable{string(name), keys}, err
}

func (devices) held(f *os.File) ([]uint16, error) {
	if isPipe(f) {
		return nil, errNoDevice
	}
	return bits(f, askHeld)
}

// take grabs the device, and has its times told on the monotonic clock.
func (devices) take(f *os.File) error {
	if isPipe(f) {
		return nil
	}
	return control(f, func(fd int) error {
		if err := unix.IoctlSetPointerInt(fd, setClock, unix.CLOCK_MONOTONIC); err != nil {
			return err
		}
		err := unix.IoctlSetInt(fd, setGrab, 1)
		if errors.Is(err, unix.EBUSY) {
			return errInUse
		}
		return err
	})
}

func isPipe(f *os.File) bool {
	about, err := f.Stat()
	return err == nil && about.Mode()&fs.ModeNamedPipe != 0
}

// bits asks for a set of keys.
func bits(f *os.File, request uint) ([]uint16, error) {
	set := make([]byte, (lastCode+1)/8)
	if err := ask(f, request, set); err != nil {
		return nil, fmt.Errorf("its keys cannot be asked for: %w", err)
	}
	var keys []uint16
	for code := range uint16(lastCode + 1) {
		if set[code/8]&(1<<(code%8)) != 0 {
			keys = append(keys, code)
		}
	}
	return keys, nil
}

// ask puts the answer to a request into a buffer.
func ask(f *os.File, request uint, answer []byte) error {
	request |= uint(len(answer)) << 16
	return control(f, func(fd int) error {
		_, _, errno := unix.Syscall(unix.SYS_IOCTL, uintptr(fd), uintptr(request), uintptr(unsafe.Pointer(&answer[0])))
		if errno != 0 {
			return errno
		}
		return nil
	})
}

// control lends the file's descriptor, which stays in the mode it is in.
func control(f *os.File, use func(fd int) error) error {
	c, err := f.SyscallConn()
	if err != nil {
		return err
	}
	var failed error
	if err := c.Control(func(fd uintptr) { failed = use(int(fd)) }); err != nil {
		return err
	}
	return failed
}

package sounds

import (
	"io/fs"
	"sync"
)

type recording struct {
	x    []float64
	rate int
}

var (
	decodedMu sync.Mutex
	decoded   = map[string]func() (recording, error){}
)

// Decoded is a clip as the decoder gives it. It is decoded once for all tests, and
// must not be changed.
func Decoded(file string) (x []float64, rate int, err error) {
	decodedMu.Lock()
	get := decoded[file]
	if get == nil {
		get = sync.OnceValues(func() (recording, error) {
			data, err := fs.ReadFile(embeddedClips(), file)
			if err != nil {
				return recording{}, err
			}
			x, rate, err := decodeMP3(data)
			return recording{x, rate}, err
		})
		decoded[file] = get
	}
	decodedMu.Unlock()
	r, err := get()
	return r.x, r.rate, err
}

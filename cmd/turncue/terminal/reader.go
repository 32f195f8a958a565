package terminal

import (
	"os"
	"strings"

	"github.com/eiannone/keyboard"
)

// escapeKey is what the reader calls the escape byte when it works with
// escapeTable: the first of its keys.
const escapeKey = keyboard.KeyF1

// tableNames are our names of the keys in the reader's own tables.
var tableNames = map[keyboard.Key]string{
	keyboard.KeyF1: "f1", keyboard.KeyF2: "f2", keyboard.KeyF3: "f3", keyboard.KeyF4: "f4",
	keyboard.KeyF5: "f5", keyboard.KeyF6: "f6", keyboard.KeyF7: "f7", keyboard.KeyF8: "f8",
	keyboard.KeyF9: "f9", keyboard.KeyF10: "f10", keyboard.KeyF11: "f11", keyboard.KeyF12: "f12",
	keyboard.KeyInsert: "ins", keyboard.KeyDelete: "del", keyboard.KeyHome: "home", keyboard.KeyEnd: "end",
	keyboard.KeyPgup: "pgup", keyboard.KeyPgdn: "pgdn",
	keyboard.KeyArrowUp: "up", keyboard.KeyArrowDown: "down",
	keyboard.KeyArrowLeft: "left", keyboard.KeyArrowRight: "right",
}

// listen starts the reader for a terminal of that name. The reader throws away
// everything it has read together with a sequence that its table does not know, so
// where the system allows it is given a table in which the escape byte alone is
// a key: then every byte arrives, and the assembler here knows all sequences
// of all terminals (exact). Otherwise it gets the nearest of its own tables.
func listen(name string, table bool) (keys <-chan keyboard.KeyEvent, exact bool, err error) {
	if !table {
		if dir, file, done, ok := escapeTable(); ok {
			keys, err = withEnv(dir, file, keyboard.GetKeys)
			done()
			if err == nil {
				return keys, true, nil
			}
		}
	}
	nearest, _ := tableFor(name)
	keys, err = withEnv("", nearest, keyboard.GetKeys)
	return keys, false, err
}

// tableFor chooses the reader's table for a terminal, and the mode in which the
// terminal sends what is in it. The tables of screen hold the arrows as sent in
// application mode, the others as sent in normal mode.
func tableFor(name string) (table, mode string) {
	const normal, application = "\x1b[?1l\x1b>", "\x1b[?1h\x1b="
	switch {
	case strings.HasPrefix(name, "linux"):
		return "linux", ""
	case strings.HasPrefix(name, "screen"), strings.HasPrefix(name, "tmux"):
		return "screen", application
	case strings.HasPrefix(name, "rxvt"):
		return "rxvt-unicode", normal
	}
	return "xterm-256color", normal
}

// withEnv opens the reader while TERM names a table, and TERMINFO, unless empty,
// its place. Both are read nowhere else and are put back at once.
func withEnv(terminfo, term string, open func(int) (<-chan keyboard.KeyEvent, error)) (<-chan keyboard.KeyEvent, error) {
	set := func(name, value string) func() {
		old, had := os.LookupEnv(name)
		os.Setenv(name, value)
		return func() {
			if had {
				os.Setenv(name, old)
			} else {
				os.Unsetenv(name)
			}
		}
	}
	defer set("TERM", term)()
	if terminfo != "" {
		defer set("TERMINFO", terminfo)()
	}
	return open(room)
}

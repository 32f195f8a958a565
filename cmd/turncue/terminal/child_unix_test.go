//go:build unix

package terminal

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// child is the program under test. The mode is words:
//
//	keys    print every key on a line to standard output
//	screen  show a view that counts the keys b, and tells the newest key
//	guard   do the same under a guard
//	table   use the reader's own tables
//	patient take bytes a second apart for one sequence
//	plain   a plain screen
//	light   the light theme
//	pids    show the numbers of the process and of its parent
func child(mode string) int {
	has := func(word string) bool { return slices.Contains(strings.Fields(mode), word) }
	opt := Options{table: has("table")}
	if has("patient") {
		opt.gap = time.Second
	}
	so := ScreenOptions{Plain: has("plain")}
	if has("light") {
		so.Theme = Light
	}
	switch {
	case has("keys"):
		return printKeys(opt)
	case has("guard"):
		return Guard(func() int { return showKeys(opt, so, has) })
	}
	return showKeys(opt, so, has)
}

func printKeys(opt Options) int {
	k, err := OpenKeys(opt)
	if err != nil {
		fmt.Println("error:", err)
		return 3
	}
	defer k.Close()
	fmt.Println("ready")
	for key := range k.Events() {
		name := key.Name
		if key.Text {
			name = "(" + name + ")"
		}
		fmt.Printf("key %s %d %v\n", name, key.Rune, key.At > 0 && key.At <= k.Now())
		if key.Ends() {
			break
		}
	}
	return 0
}

// counted is what showKeys shows.
func counted(n int, last string) View {
	return View{
		Where: fmt.Sprintf("step %d of 99", n), Section: "section", Pass: "last " + last,
		BigLabel: "presses", Big: fmt.Sprint(n), Lines: []string{"Press."}, Cautions: []string{"mind the chuck"},
	}
}

func showKeys(opt Options, so ScreenOptions, has func(string) bool) int {
	s := NewScreen(os.Stdout, so)
	opt.Screen = s
	k, err := OpenKeys(opt)
	if err != nil {
		fmt.Println("error:", err)
		return 3
	}
	defer k.Close()
	s.Enter()
	n, last := 0, "none"
	for {
		v := counted(n, last)
		if has("pids") {
			v.Section = fmt.Sprintf("process %d of %d", os.Getpid(), os.Getppid())
		}
		s.Show(v)
		key, ok := <-k.Events()
		if !ok {
			return 0
		}
		last = key.Name
		switch {
		case key.Ends():
			return 0
		case key.Text:
		case key.Name == "b":
			n++
		case key.Name == "p":
			panic("on purpose, with the keys open")
		case key.Name == "g":
			go func() { panic("on purpose, elsewhere") }()
		case key.Name == "k":
			unix.Kill(os.Getpid(), unix.SIGKILL)
		case key.Name == "x":
			return 7
		}
	}
}

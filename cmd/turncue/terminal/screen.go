package terminal

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"charm.land/lipgloss/v2"
	"github.com/charmbracelet/colorprofile"
	"golang.org/x/term"
)

// A Theme is light letters on a dark screen, or the reverse. The terminal's own
// colours do not shine through either.
type Theme int

const (
	Dark Theme = iota
	Light
)

// ScreenOptions is how a screen looks. The zero value is right for most.
type ScreenOptions struct {
	Theme   Theme
	Plain   bool     // one line a step, no escapes
	Environ []string // of TERM, COLORTERM, NO_COLOR; nil is the process's own
}

const (
	enterScreen = "\x1b[?1049h\x1b[?25l\x1b[?7l\x1b[2J" // other buffer, no cursor, no wrap, empty
	leaveScreen = "\x1b[?2026l\x1b[0m\x1b[?7h\x1b[?25h\x1b[?1049l"
	beginFrame  = "\x1b[?2026h"
	endFrame    = "\x1b[?2026l"
)

// A Screen shows views, whole or line by line. All of its methods may be called
// from any goroutine.
type Screen struct {
	out     *os.File
	plain   bool
	echo    bool // plain, but on a terminal: what is typed is shown
	profile colorprofile.Profile
	styles  [kindKeys + 1]lipgloss.Style

	entered atomic.Bool
	mu      sync.Mutex
	stop    func() // ends the watch for changes of size
	view    View
	shown   bool
	width   int
	rows    []string // as last written

	line, notice, entry string // plain: as last written
}

// NewScreen makes a screen on a file. It is plain if that was asked for, if the
// file is no terminal, or if the terminal knows no escapes.
func NewScreen(out *os.File, o ScreenOptions) *Screen {
	if o.Environ == nil {
		o.Environ = os.Environ()
	}
	s := &Screen{out: out, profile: colorprofile.Env(o.Environ)}
	isTerm := term.IsTerminal(int(out.Fd()))
	s.plain = o.Plain || !isTerm || s.profile <= colorprofile.NoTTY
	s.echo = s.plain && isTerm
	if noColour(o.Environ) {
		s.profile = min(s.profile, colorprofile.ASCII)
	}
	s.styles = styles(o.Theme)
	return s
}

// noColour tells whether NO_COLOR is set to anything.
func noColour(environ []string) bool {
	return slices.ContainsFunc(environ, func(e string) bool {
		v, ok := strings.CutPrefix(e, "NO_COLOR=")
		return ok && v != ""
	})
}

// styles gives each kind of row letters and ground of its own: always both.
func styles(t Theme) (s [kindKeys + 1]lipgloss.Style) {
	ink, ground, faint, shade := "#ffffff", "#000000", "#c0c0c0", "#303030"
	if t == Light {
		ink, ground, faint, shade = "#000000", "#ffffff", "#303030", "#d8d8d8"
	}
	style := func(fg, bg string) lipgloss.Style {
		return lipgloss.NewStyle().Foreground(lipgloss.Color(fg)).Background(lipgloss.Color(bg))
	}
	s[kindText] = style(ink, ground)
	s[kindHead] = style(ink, shade).Bold(true)
	s[kindLabel] = style(ink, ground).Bold(true)
	s[kindBig] = style(ink, ground).Bold(true)
	s[kindCaution] = style("#000000", "#ffd700").Bold(true)
	s[kindNote] = style(ink, ground).Bold(true)
	s[kindKeys] = style(faint, ground)
	return s
}

// Plain tells whether the screen writes one line a step.
func (s *Screen) Plain() bool { return s.plain }

// Entered tells whether the screen has the terminal.
func (s *Screen) Entered() bool { return s.entered.Load() }

// Enter takes the terminal and shows the last view again, if there was one. It
// redraws by itself when the size changes. Plain screens take nothing.
func (s *Screen) Enter() {
	if s.plain {
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.entered.Swap(true) {
		return
	}
	lipgloss.EnableLegacyWindowsANSI(s.out)
	tellGuard(true)
	io.WriteString(s.out, enterScreen)
	s.rows = nil
	s.stop = watchSize(s.Redraw)
	if s.shown {
		s.draw()
	}
}

// Leave gives the terminal back. It may be called at any time, more than once, and
// by a goroutine that is failing: it waits only a moment for a frame in progress.
func (s *Screen) Leave() {
	if !s.entered.Load() {
		return
	}
	for range 20 {
		if s.mu.TryLock() {
			defer s.mu.Unlock()
			break
		}
		<-time.After(10 * time.Millisecond)
	}
	if !s.entered.Swap(false) {
		return
	}
	if s.stop != nil {
		s.stop()
	}
	io.WriteString(s.out, leaveScreen)
	tellGuard(false)
}

// Show shows a view. On a plain screen it writes the step if it has changed, and
// the notice if that has.
func (s *Screen) Show(v View) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.view, s.shown = v, true
	if s.plain {
		return s.write(v)
	}
	if !s.entered.Load() {
		return nil
	}
	return s.draw()
}

// Redraw writes the whole screen again, at its present size.
func (s *Screen) Redraw() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.entered.Load() && s.shown {
		s.rows = nil
		s.draw()
	}
}

// draw writes the rows that have changed, in one piece.
func (s *Screen) draw() error {
	width, height, err := term.GetSize(int(s.out.Fd()))
	if err != nil || width < 1 || height < 1 {
		width, height = 80, 24
	}
	rows := make([]string, 0, height)
	for _, r := range arrange(s.view, width, height) {
		rows = append(rows, s.styles[r.kind].Render(pad(r.text, width)))
	}
	whole := width != s.width || len(rows) != len(s.rows)
	var b bytes.Buffer
	b.WriteString(beginFrame)
	if whole {
		b.WriteString("\x1b[0m\x1b[2J")
	}
	for i, r := range rows {
		if whole || r != s.rows[i] {
			fmt.Fprintf(&b, "\x1b[%d;1H%s", i+1, r)
		}
	}
	b.WriteString(endFrame)
	s.rows, s.width = rows, width

	var out bytes.Buffer
	w := colorprofile.Writer{Forward: &out, Profile: s.profile}
	w.Write(b.Bytes())
	if _, err := s.out.Write(out.Bytes()); err != nil {
		return fmt.Errorf("screen cannot be written (%w)", err)
	}
	return nil
}

// write is Show on a plain screen.
func (s *Screen) write(v View) error {
	var b strings.Builder
	entry := clean(v.Entry)
	if !s.echo {
		entry = ""
	}
	line, notice := Plain(v), clean(v.Notice)
	newLine, newNotice := line != s.line && line != "", notice != s.notice && notice != ""
	grows := entry != "" && strings.HasPrefix(entry, s.entry) && !newLine && !newNotice
	if s.entry != "" && !grows {
		b.WriteByte('\n')
	}
	if newLine {
		b.WriteString(line + "\n")
	}
	if newNotice {
		b.WriteString(notice + "\n")
	}
	if grows {
		b.WriteString(entry[len(s.entry):])
	} else {
		b.WriteString(entry)
	}
	s.line, s.notice, s.entry = line, notice, entry
	if b.Len() == 0 {
		return nil
	}
	if _, err := io.WriteString(s.out, b.String()); err != nil {
		return fmt.Errorf("steps cannot be written (%w)", err)
	}
	return nil
}

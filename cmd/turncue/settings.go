package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"turncue/cmd/turncue/pedal"
	"turncue/sequence/job"
	"turncue/sounds/speaker"
)

// settings are what holds for every run on this computer unless a flag says
// otherwise. The zero value, with its keys filled in, is what holds without a file.
type settings struct {
	pedal    string // "" and "none" read none directly
	press    pressing
	keys     pedal.Layout
	takeBack bool // holding a pedal takes its press back
	double   bool // a second quick press takes the first one back
	audio    speaker.Choice
	light    bool
	more     map[string]string // further flags and their values, by moreSettings
}

// moreSettings are the flags of a run that may stand in the file under their own names,
// in the order they are written in, and whether their value stands in quotes.
var moreSettings = []struct {
	name   string
	quoted bool
}{
	{"words", true}, {"volume", false}, {"lead-in", true}, {"voice", true}, {"speak-with", true}, {"language", true},
	{"quiet", false}, {"beeps-only", false}, {"all-beeps", false}, {"pace-beat", false}, {"pace", false},
}

func defaultSettings() settings {
	return settings{pedal: noPedal, press: pressing{name: "auto"}, keys: pedal.DefaultLayout()}
}

// noPedal as a pedal reads none directly.
const noPedal = "none"

// What holding a pedal does, as written.
const (
	holdNothing  = "nothing"
	holdTakeBack = "take back"
)

// doublePress is what two quick presses are, as written; the other is holdTakeBack.
const doublePress = "press"

// largestSettings is how long the file may be.
const largestSettings = 64 << 10

// settingsPath is where the file is, whether there is one or not.
func settingsPath() (string, error) {
	dir := os.Getenv("XDG_CONFIG_HOME")
	if !filepath.IsAbs(dir) {
		var err error
		if dir, err = os.UserConfigDir(); err != nil {
			return "", errors.New("no home directory to keep the settings in: set HOME, or XDG_CONFIG_HOME to a directory")
		}
	}
	return filepath.Join(dir, "turncue", "settings.toml"), nil
}

// loadSettings reads the file; without one, or without a home, the defaults hold.
func loadSettings() (settings, error) {
	path, err := settingsPath()
	if err != nil {
		return defaultSettings(), nil
	}
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return defaultSettings(), nil
	}
	if err != nil {
		return settings{}, fmt.Errorf("%s: the settings cannot be read: %w", path, bareCause(err))
	}
	defer file.Close()
	text := make([]byte, largestSettings+1)
	n := 0
	for n < len(text) {
		k, err := file.Read(text[n:])
		if n += k; err != nil {
			break
		}
	}
	if n > largestSettings {
		return settings{}, fmt.Errorf("%s: longer than %d kB: settings are a few lines", path, largestSettings>>10)
	}
	return parseSettings(path, string(text[:n]))
}

// parseSettings reads a settings file. All faults are told at once, as job.Faults.
func parseSettings(path, text string) (settings, error) {
	text = strings.TrimPrefix(text, "\ufeff")
	r := &settingsReader{source: job.Source{Path: path, Text: text}, set: defaultSettings(), seen: map[string]int{}}
	if !utf8.ValidString(text) {
		at := strings.IndexRune(string(bytes.ToValidUTF8([]byte(text), []byte("\ufffd"))), '\ufffd')
		r.fault(at, 1, "a byte that is no UTF-8", "save the file as UTF-8")
		return settings{}, r.faults.Err()
	}
	var p unstable.Parser
	p.Reset([]byte(text))
	for p.NextExpression() {
		r.statement(&p, p.Expression())
	}
	var bad *unstable.ParserError
	if err := p.Error(); errors.As(err, &bad) {
		at := p.Range(bad.Highlight)
		r.fault(int(at.Offset), int(at.Length), "not readable: "+strings.TrimPrefix(bad.Message, "toml: "),
			`a line is a name, = and a value: "text", true, false or ["b", "pgdn"]`)
	} else if err != nil {
		r.fault(0, 1, "not readable", "")
	}
	if len(r.faults) == 0 {
		if err := r.set.keys.Check(); err != nil {
			r.fault(max(r.keysAt, 0), 1, err.Error(), "")
		}
	}
	return r.set, r.faults.Err()
}

// settingsReader is the reading of one file.
type settingsReader struct {
	source job.Source
	set    settings
	faults job.Faults
	table  string         // "" or "keys."
	seen   map[string]int // the line of each name
	keysAt int            // where the last list of keys begins
}

// settingNames are the names there are.
var settingNames = append([]string{"pedal", "press", "hold", "double", "audio", "light", "keys.next", "keys.back", "keys.again"}, moreNames()...)

func moreNames() (names []string) {
	for _, m := range moreSettings {
		names = append(names, m.name)
	}
	return names
}

func (r *settingsReader) fault(from, width int, msg, hint string) {
	r.faults = append(r.faults, job.Fault{Source: r.source, Pos: r.pos(from, width), Msg: msg, Hint: hint})
}

func (r *settingsReader) pos(from, width int) job.Pos {
	from = min(from, len(r.source.Text))
	before := r.source.Text[:from]
	start := strings.LastIndexByte(before, '\n') + 1
	return job.Pos{Line: strings.Count(before, "\n") + 1, Col: utf8.RuneCountInString(before[start:]) + 1, Width: max(width, 1)}
}

func (r *settingsReader) statement(p *unstable.Parser, e *unstable.Node) {
	var parts []string
	var from, end int
	for it := e.Key(); it.Next(); {
		k := it.Node()
		if len(parts) == 0 {
			from = int(k.Raw.Offset)
		}
		end = int(k.Raw.Offset + k.Raw.Length)
		parts = append(parts, string(k.Data))
	}
	name := strings.Join(parts, ".")
	switch e.Kind {
	case unstable.Table, unstable.ArrayTable:
		r.table = name + "."
		switch {
		case e.Kind == unstable.ArrayTable:
			r.fault(from, end-from, fmt.Sprintf("[[%s]] has two pairs of brackets", name), "write [keys]")
		case name != "keys":
			r.fault(from, end-from, fmt.Sprintf("unknown heading [%s]", name), "the only one is [keys]")
		case r.seen[r.table] > 0:
			r.fault(from, end-from, fmt.Sprintf("[%s] is there already, on line %d", name, r.seen[r.table]), "leave one of them out")
		}
		r.seen[r.table] = r.pos(from, 1).Line
	case unstable.KeyValue:
		v := e.Value()
		at := end + strings.IndexByte(r.source.Text[end:], '=') + 1
		at += len(r.source.Text[at:]) - len(strings.TrimLeft(r.source.Text[at:], " \t"))
		width := int(e.Raw.Offset+e.Raw.Length) - at
		if nl := strings.IndexByte(r.source.Text[at:], '\n'); nl >= 0 {
			width = min(width, nl)
		}
		r.setting(r.table+name, from, end-from, v, at, width)
	}
}

// setting takes one name and its value.
func (r *settingsReader) setting(name string, from, nameWidth int, v *unstable.Node, at, width int) {
	if line := r.seen[name]; line > 0 {
		r.fault(from, nameWidth, fmt.Sprintf("%s is set already, on line %d", name, line), "leave one of them out")
		return
	}
	r.seen[name] = r.pos(from, 1).Line
	wrong := func(want string) { r.fault(at, width, fmt.Sprintf("%s is %s", name, want), "") }
	text := func(want string) (string, bool) {
		if v.Kind != unstable.String || len(v.Data) == 0 {
			wrong(want)
			return "", false
		}
		return string(v.Data), true
	}
	switch name {
	case "pedal":
		if s, ok := text(`"auto", "none" or the device of a pedal, in quotes`); ok {
			r.set.pedal = s
		}
	case "press":
		if s, ok := text(`"auto", "safe", "safe-ssh", "tuned=250ms,33ms" or "quick=250ms"`); ok {
			if err := r.set.press.UnmarshalText([]byte(s)); err != nil {
				r.fault(at, width, "press "+err.Error(), "")
			}
		}
	case "hold":
		switch s, ok := text(`"nothing" or "take back"`); {
		case ok && s == holdTakeBack:
			r.set.takeBack = true
		case ok && s != holdNothing:
			wrong(fmt.Sprintf(`"nothing" or "take back", not %q`, s))
		}
	case "double":
		switch s, ok := text(`"press" or "take back"`); {
		case ok && s == holdTakeBack:
			r.set.double = true
		case ok && s != doublePress:
			wrong(fmt.Sprintf(`"press" or "take back", not %q`, s))
		}
	case "audio":
		if s, ok := text(`"auto", "pipe" or "none"`); ok {
			if err := r.set.audio.UnmarshalText([]byte(s)); err != nil {
				r.fault(at, width, err.Error(), "")
			}
		}
	case "light":
		if v.Kind != unstable.Bool {
			wrong("true or false, without quotes")
			return
		}
		r.set.light = string(v.Data) == "true"
	case "keys.next":
		r.set.keys.Next = r.list(name, v, at, width)
	case "keys.back":
		r.set.keys.Back = r.list(name, v, at, width)
	case "keys.again":
		r.set.keys.Again = r.list(name, v, at, width)
	default:
		if r.more(name, v, at, width) {
			return
		}
		hint := "there are " + strings.Join(settingNames, ", ")
		if near := job.Nearest(name, settingNames); near != "" {
			hint = "did you mean " + near + "?"
		}
		r.fault(from, nameWidth, "unknown setting "+name, hint)
	}
}

// more takes a setting that is a flag of a run, and is false for any other. The flag
// itself says what is wrong with a value.
func (r *settingsReader) more(name string, v *unstable.Node, at, width int) bool {
	for _, m := range moreSettings {
		if m.name != name {
			continue
		}
		value := string(v.Data)
		var o runOptions
		c := &cobra.Command{}
		o.flags(c)
		perPassFlag(c.Flags(), &o.perPass)
		switch {
		case m.quoted != (v.Kind == unstable.String):
			quotes := map[bool]string{true: "in quotes", false: "without quotes"}
			r.fault(at, width, name+" is written "+quotes[m.quoted], "")
			return true
		case !m.quoted && v.Kind != unstable.Bool && v.Kind != unstable.Integer:
			r.fault(at, width, name+" is a whole number, true or false", "")
			return true
		}
		err := c.Flags().Set(name, value)
		if err == nil && (name == "volume" || name == "lead-in") {
			err = o.sound.check()
		}
		var bad *pflag.InvalidValueError
		if errors.As(err, &bad) {
			err = fmt.Errorf("%s %q: %w", name, value, bad.Unwrap())
		}
		if err != nil {
			r.fault(at, width, strings.TrimPrefix(err.Error(), "--"), "")
			return true
		}
		if r.set.more == nil {
			r.set.more = map[string]string{}
		}
		r.set.more[name] = value
		return true
	}
	return false
}

// list is a list of names of keys.
func (r *settingsReader) list(name string, v *unstable.Node, at, width int) []string {
	r.keysAt = at
	keys := []string{}
	good := v.Kind == unstable.Array
	if good {
		for it := v.Children(); it.Next(); {
			good = good && it.Node().Kind == unstable.String
			keys = append(keys, string(it.Node().Data))
		}
	}
	if !good {
		r.fault(at, width, name+` is a list of keys in quotes, such as ["b", "pgdn"]`, "turncue pedal shows what a pedal sends")
	}
	return keys
}

// text is the settings as a file.
func (s settings) text() string {
	list := func(keys []string) string {
		quoted := make([]string, len(keys))
		for i, k := range keys {
			quoted[i] = quoteTOML(k)
		}
		return "[" + strings.Join(quoted, ", ") + "]"
	}
	hold := holdNothing
	if s.takeBack {
		hold = holdTakeBack
	}
	double := doublePress
	if s.double {
		double = holdTakeBack
	}
	var more strings.Builder
	for _, m := range moreSettings {
		value, set := s.more[m.name]
		if m.quoted {
			value = quoteTOML(value)
		}
		if set {
			fmt.Fprintf(&more, "%s = %s\n", m.name, value)
		}
	}
	return fmt.Sprintf(`# Settings of turncue on this computer. A flag of the command goes before a line here.

pedal = %s # read directly, on Linux: "auto", "none" or a device
press = %s # how presses are told from bounces and repeats
hold  = %s # holding a pedal: "nothing", or "take back" its press
double = %s # the second of two quick presses: "press", or "take back" the first where it can be told
audio = %s # "auto", "pipe" or "none"
light = %t # dark letters on a light screen
%s
[keys]
next  = %s
back  = %s
again = %s
`, quoteTOML(s.pedal), quoteTOML(s.press.String()), quoteTOML(hold), quoteTOML(double), quoteTOML(s.audio.String()), s.light, more.String(),
		list(s.keys.Next), list(s.keys.Back), list(s.keys.Again))
}

// save writes the file in one piece. One that is there and differs is kept beside it;
// its name is given back.
func (s settings) save(path string) (kept string, err error) {
	text := s.text()
	old, err := os.ReadFile(path)
	switch {
	case err == nil && string(old) == text:
		return "", nil
	case err == nil:
		kept = path + ".old"
		if err := os.WriteFile(kept, old, 0o600); err != nil {
			return "", fmt.Errorf("%s cannot be written: %w", kept, bareCause(err))
		}
	case !errors.Is(err, fs.ErrNotExist):
		return "", fmt.Errorf("%s cannot be read: %w", path, bareCause(err))
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return kept, fmt.Errorf("%s cannot be made: %w", filepath.Dir(path), bareCause(err))
	}
	next := path + ".new"
	f, err := os.OpenFile(next, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err == nil {
		_, err = f.WriteString(text)
		err = errors.Join(err, f.Sync(), f.Close())
	}
	if err == nil {
		err = os.Rename(next, path)
	}
	if err != nil {
		return kept, fmt.Errorf("%s cannot be written: %w", path, bareCause(err))
	}
	return kept, nil
}

// quoteTOML is a text in quotes, as TOML reads it.
func quoteTOML(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteRune('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

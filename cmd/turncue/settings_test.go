package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"turncue/cmd/turncue/pedal"
	"turncue/sequence/job"
	"turncue/sounds/speaker"
)

// The tests have no settings but their own.
func init() {
	os.Setenv("XDG_CONFIG_HOME", filepath.Join(os.TempDir(), "turncue-has-no-settings-here"))
}

func TestSettingsAreReadAsWritten(t *testing.T) {
	for name, s := range map[string]settings{
		"defaults": defaultSettings(),
		"all": {
			pedal: "/dev/input/by-id/usb-a \"foot\"-event-kbd", press: pressing{"tuned", 250 * time.Millisecond, 33 * time.Millisecond},
			keys:     pedal.Layout{Next: []string{"b", "f13"}, Back: []string{}, Again: []string{`\`}},
			takeBack: true, double: true, audio: speaker.None, light: true,
			more: map[string]string{"volume": "40", "lead-in": "300ms", "voice": "C:\\voices\t\u00f6", "beeps-only": "true", "words": "full"},
		},
	} {
		got, err := parseSettings("settings.toml", s.text())
		if err != nil {
			t.Errorf("%s: %v\n%s", name, err, s.text())
		}
		if !reflect.DeepEqual(got, s) {
			t.Errorf("%s: read as %+v, was %+v", name, got, s)
		}
	}
	for _, text := range []string{"", "\ufeff# only this\r\n", "\r\n\r\n"} {
		if got, err := parseSettings("settings.toml", text); err != nil || !reflect.DeepEqual(got, defaultSettings()) {
			t.Errorf("%q: %+v, %v; want the defaults", text, got, err)
		}
	}
}

// What is left out stays as it is by default.
func TestSettingsLeftOut(t *testing.T) {
	got, err := parseSettings("settings.toml", "light = true\r\n\r\n[keys]\r\nnext = [\r\n  \"f13\", # the left one\r\n]\r\n")
	want := defaultSettings()
	want.light, want.keys.Next = true, []string{"f13"}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, %v; want %+v", got, err, want)
	}
}

func TestFaultsOfSettings(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"pedl = \"auto\"", "s.toml:1:1: unknown setting pedl\n    pedl = \"auto\"\n    ^^^^\nhint: did you mean pedal?"},
		{"volum = 3", "s.toml:1:1: unknown setting volum\n    volum = 3\n    ^^^^^\nhint: did you mean volume?"},
		{"volume = 300", "s.toml:1:10: volume 300: from 1 to 100; --quiet is silent\n    volume = 300\n             ^^^"},
		{"volume = \"40\"", "s.toml:1:10: volume is written without quotes\n    volume = \"40\"\n             ^^^^"},
		{"volume = 4.5", "s.toml:1:10: volume is a whole number, true or false\n"},
		{"quiet = 7", "s.toml:1:9: quiet \"7\": "},
		{"lead-in = \"1h\"", "s.toml:1:11: lead-in 1h0m0s: from 0 to 2s\n"},
		{"lead-in = 300", "s.toml:1:11: lead-in is written in quotes\n"},
		{"words = \"few\"", "s.toml:1:9: words \"few\": "},
		{"control = \"-\"", "s.toml:1:1: unknown setting control\n    control = \"-\"\n    ^^^^^^^\nhint: there are pedal, press, hold, double, audio, light, keys.next, keys.back, keys.again, words, volume, "},
		{"light = \"yes\"", "s.toml:1:9: light is true or false, without quotes\n    light = \"yes\"\n            ^^^^^"},
		{"pedal = true", "s.toml:1:9: pedal is \"auto\", \"none\" or the device of a pedal, in quotes\n    pedal = true\n            ^^^^"},
		{"pedal = \"\"", "s.toml:1:9: pedal is \"auto\", \"none\" or the device of a pedal, in quotes\n    pedal = \"\"\n            ^^"},
		{"\n\npress = \"tuned\"", "s.toml:3:9: press \"tuned\" is not known: auto, safe, safe-ssh, tuned=250ms,33ms or quick=250ms, the times being the keyboard's delay before it repeats and between repeats\n    press = \"tuned\"\n            ^^^^^^^"},
		{"press = \"quick=250ms,33ms\"", "s.toml:1:9: press \"quick=250ms,33ms\" is not known: "},
		{"hold = \"stop\"", "s.toml:1:8: hold is \"nothing\" or \"take back\", not \"stop\"\n    hold = \"stop\"\n           ^^^^^^"},
		{"double = \"go\"", "s.toml:1:10: double is \"press\" or \"take back\", not \"go\"\n    double = \"go\"\n             ^^^^"},
		{"audio = \"loud\" # very", "s.toml:1:9: audio \"loud\" is not known; use auto, pipe or none\n    audio = \"loud\" # very\n            ^^^^^^"},
		{"light = true\nlight = true", "s.toml:2:1: light is set already, on line 1\n    light = true\n    ^^^^^\nhint: leave one of them out"},
		{"[keys]\nnext = \"b\"", "s.toml:2:8: keys.next is a list of keys in quotes, such as [\"b\", \"pgdn\"]\n    next = \"b\"\n           ^^^\nhint: turncue pedal shows what a pedal sends"},
		{"[keys]\nnext = [\"b\", 3]", "s.toml:2:8: keys.next is a list of keys in quotes"},
		{"[keys]\nnext = [\"a\"]", "s.toml:2:8: key \"a\" is given to both next and back: name it once"},
		{"[keys]\nnext = []", "s.toml:2:8: no key is given to next: name at least one"},
		{"[keys]\nnxt = [\"b\"]", "s.toml:2:1: unknown setting keys.nxt\n    nxt = [\"b\"]\n    ^^^\nhint: did you mean keys.next?"},
		{"[key]\nnext = [\"b\"]", "s.toml:1:2: unknown heading [key]\n    [key]\n     ^^^\nhint: the only one is [keys]"},
		{"[[keys]]", "s.toml:1:3: [[keys]] has two pairs of brackets"},
		{"[keys]\n[keys]", "s.toml:2:2: [keys] is there already, on line 1"},
		{"light = ja", "s.toml:1:9: not readable: "},
		{"pedal = auto", "s.toml:1:9: not readable: "},
		{"pedal", "s.toml:1:5: not readable: "},
		{"audio = \"none\nlight = true", "s.toml:1:"},
		{"# \xff", "s.toml:1:3: a byte that is no UTF-8"},
	} {
		_, err := parseSettings("s.toml", c.text)
		var faults job.Faults
		if !errors.As(err, &faults) || !strings.HasPrefix(err.Error(), c.want) {
			t.Errorf("%q:\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
	// all of them at once, in order
	_, err := parseSettings("s.toml", "light = 1\naudio = 2\nhold = 3\n")
	var faults job.Faults
	if !errors.As(err, &faults) || len(faults) != 3 || faults[2].Pos.Line != 3 {
		t.Errorf("%v, want three faults", err)
	}
}

func FuzzSettings(f *testing.F) {
	f.Add(defaultSettings().text())
	f.Add("[keys]\nnext = [[\"b\"], {a=1}]\nx.y = 1979-05-27\n[[a.b]]\n")
	f.Add("\"\" = '''\n'''\nkeys.next = []\nkeys = {next = [\"b\"]}")
	f.Fuzz(func(t *testing.T, text string) {
		s, err := parseSettings("s.toml", text)
		if err != nil {
			if err.Error() == "" {
				t.Error("a fault without words")
			}
			return
		}
		again, err := parseSettings("s.toml", s.text())
		if err != nil || !reflect.DeepEqual(again, s) {
			t.Errorf("written and read again: %+v, %v; was %+v", again, err, s)
		}
	})
}

// A flag goes before the file, the file before what holds without one.
func TestFlagOverSettings(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("XDG_CONFIG_HOME", dir)
	path, err := settingsPath()
	if err != nil || path != filepath.Join(dir, "turncue", "settings.toml") {
		t.Fatalf("%s, %v", path, err)
	}
	s := defaultSettings()
	s.pedal, s.audio, s.light = "usb-Bench_Foot-event-kbd", speaker.None, true
	s.press = pressing{"tuned", 300 * time.Millisecond, 0}
	s.more = map[string]string{"volume": "40", "voice": "recorded", "pace-beat": "true"}
	if _, err := s.save(path); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args  string
		pedal string
		audio speaker.Choice
		light bool
		press string
		loud  int
		voice string
		pace  bool
	}{
		{"", s.pedal, speaker.None, true, "tuned=300ms", 40, "recorded", true},
		{"--pedal none --audio pipe --light=false --press quick=400ms --pace-beat=false", noPedal, speaker.Pipe, false, "quick=400ms", 40, "recorded", false},
		{"--audio auto --press auto --volume 90 --speak-with say", s.pedal, speaker.Auto, true, "auto", 90, "", true},
	} {
		var o runOptions
		c2 := resumeCommand(streams{})
		c2.ResetFlags()
		o.flags(c2)
		if err := c2.ParseFlags(strings.Fields(c.args)); err != nil {
			t.Fatal(err)
		}
		if err := o.check(c2); err != nil {
			t.Fatal(err)
		}
		if o.feet.pedal != c.pedal || o.audio != c.audio || o.light != c.light || o.press.String() != c.press || o.sound.volume != c.loud || o.sound.folder != c.voice || o.pace != c.pace {
			t.Errorf("%q: pedal %s, audio %v, light %v, press %v; want %+v", c.args, o.feet.pedal, o.audio, o.light, o.press, c)
		}
	}
	if err := os.WriteFile(path, []byte("ligth = true\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := call(t, exitRefused, "run", "--control", "-", "--audio", "none"); !strings.HasPrefix(out, path+":1:1: unknown setting ligth\n") {
		t.Errorf("a run with a fault in the settings says %s", out)
	}
}

// What was there is kept; what cannot be written is told and leaves the old file.
func TestSettingsAreSaved(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "settings.toml")
	s := defaultSettings()
	if kept, err := s.save(path); err != nil || kept != "" {
		t.Fatal(kept, err)
	}
	if kept, err := s.save(path); err != nil || kept != "" {
		t.Errorf("saved unchanged: kept %q, %v", kept, err)
	}
	mine := "light = true # mine\n"
	if err := os.WriteFile(path, []byte(mine), 0o600); err != nil {
		t.Fatal(err)
	}
	kept, err := s.save(path)
	if err != nil || kept != path+".old" {
		t.Fatal(kept, err)
	}
	old, _ := os.ReadFile(kept)
	now, _ := os.ReadFile(path)
	if string(old) != mine || string(now) != s.text() {
		t.Errorf("kept %q, now %q", old, now)
	}
	if _, err := os.Stat(path + ".new"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("left beside it: %v", err)
	}
	if _, err := s.save(filepath.Join(path, "settings.toml")); err == nil || !strings.Contains(err.Error(), "settings.toml") {
		t.Errorf("saved below a file: %v", err)
	}
}

func TestPressingIsReadAsWritten(t *testing.T) {
	for text, want := range map[string]pedal.Profile{
		"safe": pedal.Safe(), "safe-ssh": pedal.SafeSSH(),
		"tuned=250ms":      pedal.Tuned(250*time.Millisecond, 0),
		"tuned=250ms,90ms": pedal.Tuned(250*time.Millisecond, 90*time.Millisecond),
		"quick=300ms":      pedal.Quick(300 * time.Millisecond),
	} {
		var p pressing
		if err := p.UnmarshalText([]byte(text)); err != nil || p.String() != text || p.profile() != want {
			t.Errorf("%q: %v, written %q, %+v; want %+v", text, err, p, p.profile(), want)
		}
	}
	for _, text := range []string{"", "tuned", "tuned=", "tuned=5ms", "tuned=250ms,", "tuned=250ms,0s", "tuned=250ms,2s", "safe=250ms", "quick=250ms,33ms", "tuned=250ms,33ms,1ms"} {
		var p pressing
		if err := p.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q is taken as %v", text, p)
		}
	}
}

package pedal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// A shelf is where devices are found by names that last: a number changes with every
// plugging in.
type shelf struct {
	dirs   []string
	kernel kernel
}

func theShelf() shelf {
	return shelf{[]string{"/dev/input/by-id", "/dev/input/by-path"}, devices{}}
}

// part is the end of a lasting name that tells the parts of one device apart.
var part = regexp.MustCompile(`(-if[0-9a-f]+)?-event(-[a-z0-9]+)?$`)

// Find lists the input devices that have a lasting name, those that are no pedals
// too.
func Find() ([]Found, error) { return theShelf().find(), nil }

// find looks on every shelf; a device is listed once.
func (s shelf) find() []Found {
	var all []Found
	seen := map[string]bool{}
	for _, dir := range s.dirs {
		groups := map[string][]string{}
		entries, _ := os.ReadDir(dir) // none without devices
		for _, e := range entries {
			if part.MatchString(e.Name()) {
				stem := part.ReplaceAllString(e.Name(), "")
				groups[stem] = append(groups[stem], filepath.Join(dir, e.Name()))
			}
		}
		stems := make([]string, 0, len(groups))
		for stem := range groups {
			stems = append(stems, stem)
		}
		slices.Sort(stems)
		for _, stem := range stems {
			nodes := slices.DeleteFunc(groups[stem], func(node string) bool {
				real := target(node)
				was := seen[real]
				seen[real] = true
				return was
			})
			if len(nodes) > 0 {
				f := s.look(nodes[:min(len(nodes), parts)])
				f.Fixed = dir != s.dirs[0]
				all = append(all, f)
			}
		}
	}
	return all
}

// look asks the parts of one device what they are.
func (s shelf) look(nodes []string) Found {
	f := Found{Path: nodes[0], Nodes: nodes}
	for _, node := range nodes {
		if strings.HasSuffix(node, "-kbd") {
			f.Path = node
			break
		}
	}
	for _, node := range nodes {
		file, err := s.kernel.open(node)
		if err != nil {
			f.Err = errors.Join(f.Err, reason(err))
			f.Rule = ruleFor(node)
			continue
		}
		c, err := s.kernel.capable(file)
		file.Close()
		if err != nil {
			f.Err = errors.Join(f.Err, err)
			continue
		}
		if f.Name == "" {
			f.Name = c.name
		}
		f.Keyboard = f.Keyboard || c.keyboard()
		f.Pedal = f.Pedal || c.pedal()
	}
	f.Pedal = f.Pedal && !f.Keyboard && f.Err == nil
	return f
}

// auto is the one pedal there is.
func (s shelf) auto() (Found, error) {
	var pedals []Found
	var shut, keyboards int
	for _, f := range s.find() {
		switch {
		case f.Fixed:
		case f.Pedal:
			pedals = append(pedals, f)
		case f.Keyboard:
			keyboards++
		case errors.Is(f.Err, fs.ErrPermission):
			shut++
		}
	}
	switch {
	case len(pedals) == 1:
		return pedals[0], nil
	case len(pedals) > 1:
		names := make([]string, len(pedals))
		for i, p := range pedals {
			names[i] = filepath.Base(p.Path)
		}
		return Found{}, fmt.Errorf("%d pedals are there: name one with --pedal: %s", len(pedals), strings.Join(names, " or "))
	case shut > 0:
		return Found{}, fmt.Errorf("no pedal found, and %d input devices may not be read: turncue pedal prints the udev rule that allows it", shut)
	case keyboards > 0:
		return Found{}, errors.New("no pedal found: one that says it is a keyboard is read only if it is named with --pedal; turncue pedal lists them")
	}
	return Found{}, errors.New("no pedal found: plug it in, or name its device with --pedal")
}

// named is a device by its path, by its lasting name alone, or by a number, for which
// the lasting name is used from then on.
func (s shelf) named(name string) Found {
	path := name
	if !strings.Contains(name, "/") {
		path = filepath.Join(s.dirs[0], name)
	}
	real := target(path)
	for _, dir := range s.dirs {
		entries, _ := os.ReadDir(dir)
		var link string
		for _, e := range entries {
			p := filepath.Join(dir, e.Name())
			if p == path || link == "" && target(p) == real {
				link = p
			}
		}
		if link == "" || !part.MatchString(link) {
			continue
		}
		f := Found{Path: link}
		stem := part.ReplaceAllString(link, "")
		for _, e := range entries {
			p := filepath.Join(dir, e.Name())
			if part.MatchString(p) && part.ReplaceAllString(p, "") == stem && len(f.Nodes) < parts {
				f.Nodes = append(f.Nodes, p)
			}
		}
		return f
	}
	return Found{Path: path, Nodes: []string{path}}
}

// target is the file a link leads to, or the link if it leads nowhere.
func target(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		return real
	}
	return path
}

// reason is an error without the path, which is told beside it.
func reason(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}

// ruleFor is the line for udev that lets the person at the computer read a device,
// and takes its keys away from every other program. It sorts before the rules of
// the seat if its file is called 70-turncue-pedal.rules.
func ruleFor(node string) string {
	id := filepath.Join("/sys/class/input", filepath.Base(target(node)), "device", "id")
	read := func(name string) string {
		b, err := os.ReadFile(filepath.Join(id, name))
		if err != nil {
			return ""
		}
		return strings.TrimSpace(string(b))
	}
	vendor, product := read("vendor"), read("product")
	if vendor == "" || product == "" {
		return ""
	}
	return Rule(vendor, product)
}

package pedal

import (
	"fmt"
	"slices"
	"strings"
)

// An Action is what a key is for. The zero value is nothing.
type Action int

const (
	None  Action = iota
	Next         // the step is done: go on
	Back         // show the step before
	Again        // say it again
)

// String is the action as one word.
func (a Action) String() string {
	switch a {
	case Next:
		return "next"
	case Back:
		return "back"
	case Again:
		return "again"
	}
	return "none"
}

// A Layout says which keys do what. A key that is not named does nothing.
type Layout struct {
	Next, Back, Again []string
}

// DefaultLayout holds the keys that foot pedals and page turners send as sold:
// page keys, arrows, space and enter, and the letters b, or a, b and c.
func DefaultLayout() Layout {
	return Layout{
		Next:  []string{"space", "enter", "pgdn", "right", "down", "b"},
		Back:  []string{"pgup", "left", "up", "backspace", "a"},
		Again: []string{"c", "r"},
	}
}

// WithoutLetters is the layout with its single letters taken out.
func (l Layout) WithoutLetters() Layout {
	keep := func(keys []string) []string {
		return slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return len(k) == 1 })
	}
	return Layout{Next: keep(l.Next), Back: keep(l.Back), Again: keep(l.Again)}
}

// Action is what the key does. A letter does the same in either case, so a caps
// lock left on does not silence a pedal.
func (l Layout) Action(key string) Action {
	if len(key) == 1 {
		key = strings.ToLower(key)
	}
	switch {
	case slices.Contains(l.Next, key):
		return Next
	case slices.Contains(l.Back, key):
		return Back
	case slices.Contains(l.Again, key):
		return Again
	}
	return None
}

// Check refuses a layout in which a key does two things, in which nothing goes
// on, or which binds a key that other keys can be mistaken for, or that the
// screen needs: escape, unknown keys, digits and the keys that end a run.
func (l Layout) Check() error {
	seen := map[string]Action{}
	for _, set := range []struct {
		does Action
		keys []string
	}{{Next, l.Next}, {Back, l.Back}, {Again, l.Again}} {
		for _, k := range set.keys {
			if was, ok := seen[k]; ok {
				return fmt.Errorf("key %q is given to both %v and %v: name it once", k, was, set.does)
			}
			seen[k] = set.does
			if k == "" || k == "esc" || k == "unknown" || k == "paste" || k == "ctrl+c" || k == "ctrl+z" || len(k) == 1 && k[0] >= '0' && k[0] <= '9' {
				return fmt.Errorf("key %q cannot be given to %v: use another key", k, set.does)
			}
			if len(k) == 1 && k != strings.ToLower(k) {
				return fmt.Errorf("key %q: write letters in lower case", k)
			}
		}
	}
	if len(l.Next) == 0 {
		return fmt.Errorf("no key is given to next: name at least one")
	}
	return nil
}

// Give is the layout with a key given to an action, first in its list, and taken from
// every other.
func (l Layout) Give(key string, a Action) Layout {
	if len(key) == 1 {
		key = strings.ToLower(key)
	}
	give := func(keys []string, here bool) []string {
		keys = slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return k == key })
		if here {
			keys = append([]string{key}, keys...)
		}
		return keys
	}
	return Layout{Next: give(l.Next, a == Next), Back: give(l.Back, a == Back), Again: give(l.Again, a == Again)}
}

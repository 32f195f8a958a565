package cutting

import (
	"fmt"
	"slices"
	"strings"

	"turncue/calc"
)

// Material is what a part is made of. A shop's own are made by filling one in.
type Material struct {
	ID         string   // "free_steel"
	Name       string   // "free-machining steel"
	Names      []string // other common spellings
	Grades     []string // designations in the standards
	Condition  string   // hardness the figures are for
	Group      Group
	SpeedsAs   string                   // ID of the material whose speeds and depths are taken, where it has none of its own (common practice)
	Speeds     map[Op]calc.SurfaceSpeed // own starting speeds of a shop, with HSS; none takes the built-in ones
	Feeds      map[Op]calc.Length       // own feeds per turn of a shop; none takes the built-in ones
	SpeedsFrom string                   // sources of the speeds, before they were lowered for a small lathe
	Note       string                   // what to mind
	Force      Kienzle
	ForceFrom  string  // source of Force
	Second     Kienzle // constants of another source, to show the spread
	Expansion  float64 // parts per million per kelvin
	Stiffness  float64 // modulus of elasticity, N/mm2
	Density    float64 // kg/m3
}

// Group is the kind of material as feeds and depths are given for.
type Group int

// The groups.
const (
	Steel Group = iota
	Stainless
	Iron
	Copperlike // brass, bronze, copper
	Aluminium
	Plastic
	Titanium
)

// Materials is the built-in table, as a copy.
func Materials() []Material { return slices.Clone(materials) }

// FindMaterial finds a material by ID, name, common spelling or grade, whatever
// its case, spaces and hyphens. A miss is an error that offers the nearest names.
func FindMaterial(name string) (Material, error) { return Find(name, materials) }

// Find is [FindMaterial] in a table of one's own; the first that matches is it.
func Find(name string, in []Material) (Material, error) {
	want := plain(name)
	if want == "" {
		return Material{}, fmt.Errorf("no material named: write one such as %s", in0(in))
	}
	for _, m := range in {
		for _, n := range m.spellings() {
			if plain(n) == want {
				return m, nil
			}
		}
	}
	return Material{}, fmt.Errorf("material %q is not known: nearest are %s", name, strings.Join(nearest(want, in, 3), ", "))
}

// Like is a shop's own material, with the figures of a built-in one until others
// are filled in.
func Like(name string, m Material) Material {
	own := m
	own.ID, own.Name, own.Names, own.Grades, own.Condition, own.Note = name, name, nil, nil, "", ""
	own.Speeds, own.Feeds = nil, nil
	if own.SpeedsAs == "" {
		own.SpeedsAs = m.ID
	}
	return own
}

func in0(in []Material) string {
	if len(in) == 0 {
		return "mild steel"
	}
	return in[0].Name
}

func (m Material) spellings() []string {
	return append(append([]string{m.ID, m.Name}, m.Names...), m.Grades...)
}

// plain is a name without case, spaces and hyphens.
func plain(s string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(" -_()./+,\t", r) {
			return -1
		}
		return r
	}, strings.ToLower(s))
}

// nearest is the names of the materials whose spelling takes the fewest changes
// from the one wanted. A spelling that contains it, or is contained in it, comes
// first.
func nearest(want string, in []Material, n int) []string {
	type near struct {
		name string
		far  int
	}
	var all []near
	for _, m := range in {
		best := near{m.Name, 1 << 20}
		for _, s := range m.spellings() {
			p := plain(s)
			d := 4 * changes(want, p)
			if len(p) > 2 && (strings.Contains(p, want) || strings.Contains(want, p)) {
				d = min(d, (len(p)-len(want))*(len(p)-len(want))/64)
			}
			if d < best.far {
				best.far = d
			}
		}
		all = append(all, best)
	}
	slices.SortStableFunc(all, func(a, b near) int { return a.far - b.far })
	var out []string
	for _, a := range all[:min(n, len(all))] {
		out = append(out, a.name)
	}
	return out
}

// changes is the number of letters to put in, leave out or exchange to make one
// word of another.
func changes(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		last := row[0]
		row[0] = i + 1
		for j := range len(b) {
			d := last
			if a[i] != b[j] {
				d++
			}
			last = row[j+1]
			row[j+1] = min(d, last+1, row[j]+1)
		}
	}
	return row[len(b)]
}

package setup

import "turncue/calc"

// Infeed is a series of depths on radius as a dial sets them: the line of each
// from zero, and how many divisions more than the one before. Each depth is
// rounded to a division by itself, so no error adds up however many there are.
func (d Dial) Infeed(depths []calc.Length) (lines, more []int64) {
	if d.Travel <= 0 || d.Divisions < 1 {
		return nil, nil
	}
	last := int64(0)
	for _, x := range depths {
		n := d.nearest(x)
		lines, more = append(lines, n), append(more, n-last)
		last = n
	}
	return lines, more
}

package terminal

import (
	"slices"
	"strings"

	"charm.land/lipgloss/v2"
)

// A kind says how a row is coloured. Colour repeats what the words say.
type kind int

const (
	kindText kind = iota
	kindHead
	kindLabel
	kindBig
	kindCaution
	kindNote
	kindKeys
)

// A row is one line of the screen, without escapes, not wider than the screen.
type row struct {
	text string
	kind kind
}

// Frame is the whole screen as lines of plain text, height of them, none wider
// than width, without trailing blanks. Where things stand depends on the size of
// the screen only, never on what they say.
func Frame(v View, width, height int) string {
	rows := arrange(v, width, height)
	lines := make([]string, len(rows))
	for i, r := range rows {
		lines[i] = strings.TrimRight(r.text, " ")
	}
	return strings.Join(lines, "\n")
}

// rooms are the heights of the regions of a screen, from top to bottom.
type rooms struct {
	head, label, big, dial, size, lines, cautions, next, note, keys int
}

const (
	tinyWidth, tinyHeight = 24, 12 // below either: text only
	wide                  = 60     // from here names and sizes stand side by side
)

// divide gives every region its height.
func divide(width, height int) rooms {
	r := rooms{head: 2, label: 1, dial: 1, size: 1, lines: 3, cautions: 2, next: 1, note: 1, keys: 1}
	if width < wide {
		r.size, r.lines = 2, 4
	} else {
		for s := 1; bigRows(s) <= max(height/5, bigRows(1)); s++ {
			r.label = bigRows(s)
		}
		if height >= 32 {
			r.dial = bigRows(1)
		}
	}
	if height < 20 {
		r = rooms{head: 1, label: 1, dial: 1, size: 1, lines: 2, cautions: 1, note: 1}
		if height >= 14 {
			r.keys = 1
		}
		if height >= 16 {
			r.next = 1
		}
	}
	r.big = height - (r.head + r.label + r.dial + r.size + r.lines + r.cautions + r.next + r.note + r.keys)
	return r
}

// arrange puts a view on a screen of width cells and height rows.
func arrange(v View, width, height int) []row {
	if width < 1 || height < 1 {
		return nil
	}
	if width < tinyWidth || height < tinyHeight {
		return tiny(v, width, height)
	}
	room := divide(width, height)
	p := page{width: width}
	state := strings.ToUpper(clean(v.State))

	if room.head == 2 {
		p.add(kindHead, sides(v.Where, v.Pass, width, false))
		p.add(kindHead, sides(v.Section, state, width, true))
	} else {
		right := state
		if right == "" {
			right = clean(v.Pass)
		}
		p.add(kindHead, sides(v.Where, right, width, true))
	}
	p.centre(kindLabel, v.BigLabel, room.label)
	p.centre(kindBig, v.Big, room.big)
	if dial := big(v.Dial, width-len(" dial   ")-1, room.dial); dial != nil {
		for i, line := range dial {
			name := strings.Repeat(" ", len(" dial   "))
			if i == room.dial/2 {
				name = " dial   "
			}
			p.add(kindText, name+line)
		}
	} else {
		p.named("dial", parts(v.Dial, width-len(" dial   ")))
		for range room.dial - 1 {
			p.add(kindText, "")
		}
	}
	switch {
	case room.size == 2 && clean(v.Limits) == "":
		sizes := append(wrap(clean(v.Size), width-len(" size   ")), "", "") // a figure is not cut
		p.named("size", sizes[0])
		p.named("", sizes[1])
	case room.size == 2:
		p.named("size", v.Size)
		p.named("limits", v.Limits)
	case width < wide:
		p.named("size", join(clean(v.Size), ", limits ", clean(v.Limits)))
	case clean(v.Limits) == "":
		p.named("size", v.Size)
	default:
		half := width / 2
		p.add(kindText, pad(named("size", v.Size, half-1), half)+named("limits", v.Limits, width-half))
	}
	if text := clean(v.Notice); lipgloss.Width(text) > noteRoom(v, width) {
		p.explain(text, v.Cautions, room.lines, room.cautions)
		v.Notice = ""
	} else {
		p.instruct(v.Lines, v.Cautions, room.lines, room.cautions)
	}
	if room.next > 0 {
		p.named("next", v.Next)
	}
	p.add(kindNote, note(v, width))
	if room.keys > 0 {
		p.add(kindKeys, help(v.Keys, width))
	}
	return p.rows
}

// A page collects rows.
type page struct {
	width int
	rows  []row
}

func (p *page) add(k kind, text string) {
	p.rows = append(p.rows, row{cut(text, p.width), k})
}

// centre puts a text in the middle of a region, as large as it goes.
func (p *page) centre(k kind, text string, height int) {
	lines := big(text, p.width-2, height)
	if lines == nil {
		lines = []string{cut(strings.ToUpper(clean(text)), p.width)}
	}
	above := (height - len(lines)) / 2
	for i := range height {
		line := ""
		if n := i - above; n >= 0 && n < len(lines) {
			line = strings.Repeat(" ", max(0, (p.width-lipgloss.Width(lines[n]))/2)) + lines[n]
		}
		p.add(k, line)
	}
}

func (p *page) named(name, text string) { p.add(kindText, named(name, text, p.width)) }

// instruct fills the region of the sentences and, below it, that of the cautions.
// Either, where too long for its own, takes rows that the other leaves empty: what is to
// be done and what is to be minded is worth more than its place.
func (p *page) instruct(lines, cautions []string, lineRoom, cautionRoom int) {
	least := len(paragraphs("CAUTION: ", cautions, p.width-2, cautionRoom))
	text := paragraphs("", unsaid(lines, cautions), p.width-2, lineRoom+cautionRoom-least)
	warn := paragraphs("CAUTION: ", cautions, p.width-2, cautionRoom+lineRoom-len(text))
	if over := len(text) - lineRoom; over > 0 {
		lineRoom, cautionRoom = lineRoom+over, cautionRoom-over
	}
	lineRoom -= max(0, len(warn)-cautionRoom)
	for i := range lineRoom {
		line := ""
		if i < len(text) {
			line = " " + text[i]
		}
		p.add(kindText, line)
	}
	for i := range max(cautionRoom, len(warn)) {
		if i < len(warn) {
			p.add(kindCaution, " "+warn[i])
		} else {
			p.add(kindText, "")
		}
	}
}

// explain fills the regions of the sentences and the cautions with a notice too long for
// its row: why something was not taken, and what can be done, must be read to its end.
// The sentences come back with the next key.
func (p *page) explain(notice string, cautions []string, lineRoom, cautionRoom int) {
	text := paragraphs("", []string{notice}, p.width-2, lineRoom+max(0, cautionRoom-1))
	rest := lineRoom + cautionRoom - max(len(text), lineRoom)
	warn := paragraphs("CAUTION: ", cautions, p.width-2, rest)
	for i := range max(len(text), lineRoom) {
		line := ""
		if i < len(text) {
			line = " " + text[i]
		}
		p.add(kindNote, line)
	}
	for i := range rest {
		if i < len(warn) {
			p.add(kindCaution, " "+warn[i])
		} else {
			p.add(kindText, "")
		}
	}
}

// unsaid are the sentences that do not stand among the cautions: room is short, and
// nothing is read twice.
func unsaid(lines, cautions []string) []string {
	if len(cautions) == 0 {
		return lines
	}
	bare := func(s string) string { return strings.TrimRight(clean(s), " .") }
	var left []string
	for _, line := range lines {
		if !slices.ContainsFunc(cautions, func(c string) bool { return strings.EqualFold(bare(line), bare(c)) }) {
			left = append(left, line)
		}
	}
	return left
}

// tiny is the screen too small for drawn letters: rows of text, what matters
// most first.
func tiny(v View, width, height int) []row {
	p := page{width: width}
	number := strings.ToUpper(join(clean(v.BigLabel), " ", clean(v.Big)))
	if lipgloss.Width(number) > width && clean(v.Big) != "" {
		number = strings.ToUpper(clean(v.Big))
	}
	if height > 1 {
		p.add(kindHead, strings.TrimSpace(sides(v.Where, v.Pass, width, false)))
	}
	p.add(kindBig, number)
	if state := strings.ToUpper(clean(v.State)); state != "" {
		p.add(kindNote, state)
	}
	if n := note(v, width); strings.TrimSpace(n) != "" {
		p.add(kindNote, strings.TrimSpace(n))
	}
	for _, part := range []struct {
		kind  kind
		lines []string
	}{
		{kindCaution, paragraphs("CAUTION: ", v.Cautions, width, height)},
		{kindText, paragraphs("", v.Lines, width, height)},
		{kindText, paragraphs("dial ", []string{v.Dial}, width, 1)},
		{kindText, paragraphs("size ", []string{v.Size}, width, 1)},
		{kindText, paragraphs("limits ", []string{v.Limits}, width, 1)},
	} {
		for _, line := range part.lines {
			p.add(part.kind, line)
		}
	}
	for len(p.rows) < height {
		p.add(kindText, "")
	}
	return p.rows[:height]
}

// note is what is being typed, and what there is to say about it.
func note(v View, width int) string {
	entry := clean(v.Entry)
	if v.Entry != "" {
		entry = "> " + entry + "_"
	}
	if entry == "" {
		return cut(" "+clean(v.Notice), width)
	}
	return sides(entry, v.Notice, width, false)
}

// noteRoom is how wide a notice its row shows whole.
func noteRoom(v View, width int) int {
	if v.Entry == "" {
		return width - 1
	}
	return width - 4 - lipgloss.Width("> "+clean(v.Entry)+"_")
}

// parts is a text of several settings, cut between two of them: a figure cut short would
// be another.
func parts(text string, width int) string {
	text = clean(text)
	for short := text; lipgloss.Width(text) > width; text = short + " …" {
		i := strings.LastIndex(short, ", ")
		if i < 0 {
			return text
		}
		short = short[:i]
	}
	return text
}

// help is the line of keys, cut between two of them: they stand two or more
// blanks apart.
func help(keys string, width int) string {
	line := ""
	for item := range strings.SplitSeq(keys, "  ") {
		item = clean(item)
		if item == "" {
			continue
		}
		longer := line + "   " + item
		if line == "" {
			longer = " " + item
		}
		if lipgloss.Width(longer) > width {
			break
		}
		line = longer
	}
	return line
}

// named is a row that begins with its name, in a column of its own.
func named(name, text string, width int) string {
	text = clean(text)
	if text == "" {
		return ""
	}
	return cut(" "+pad(name, 7)+text, width)
}

// sides puts one text at the left and one at the right. Where there is no room
// for both the right one is cut, or, if it counts, the left.
func sides(left, right string, width int, rightCounts bool) string {
	left, right = clean(left), clean(right)
	if right == "" {
		return cut(" "+left, width)
	}
	if rightCounts {
		left = cut(left, max(0, width-lipgloss.Width(right)-3))
	} else {
		right = cut(right, max(0, width-lipgloss.Width(left)-4))
	}
	gap := width - 2 - lipgloss.Width(left) - lipgloss.Width(right)
	return cut(" "+left+strings.Repeat(" ", max(1, gap))+right, width)
}

// paragraphs sets sentences as lines of at most width cells, each sentence on a
// line of its own if that fits in room rows, else one after the other and what
// stands before them only once; what does not fit ends in an ellipsis.
func paragraphs(before string, sentences []string, width, room int) []string {
	var each, all []string
	between := " "
	if before != "" {
		between = "; "
	}
	for _, s := range sentences {
		if s = clean(s); s != "" {
			each = append(each, wrap(before+s, width)...)
			all = append(all, s)
		}
	}
	if len(each) <= room {
		return each
	}
	lines := wrap(before+strings.Join(all, between), width)
	if len(lines) > room {
		lines = lines[:max(room, 0)]
		if room > 0 {
			lines[room-1] = cut(lines[room-1]+" …", width)
			if !strings.HasSuffix(lines[room-1], "…") {
				lines[room-1] += "…"
			}
		}
	}
	return lines
}

// wrap breaks a text between words; a word longer than the width is broken.
func wrap(text string, width int) []string {
	if width < 1 {
		return nil
	}
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && lipgloss.Width(line)+1+lipgloss.Width(word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for lipgloss.Width(word) > width {
			head := take(word, width)
			if head == "" { // a character wider than the screen
				return lines
			}
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// cut shortens a text to a width; what is cut is marked with an ellipsis.
func cut(s string, width int) string {
	if lipgloss.Width(s) <= width {
		return s
	}
	if width < 1 {
		return ""
	}
	return take(s, width-1) + "…"
}

// take is as much of the beginning of a text as fits.
func take(s string, width int) string {
	used := 0
	for i, r := range s {
		used += lipgloss.Width(string(r))
		if used > width {
			return s[:i]
		}
	}
	return s
}

// pad lengthens a text to a width with blanks.
func pad(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-lipgloss.Width(s)))
}

package terminal

import (
	"strings"
	"unicode"
)

// glyphHeight is the height of every glyph in dots.
const glyphHeight = 7

// A glyph is a character in dots, row by row. Digits are all five wide, so that a
// changing number does not shift; narrow signs are as narrow as they look.
type glyph [glyphHeight]string

func (g glyph) width() int { return len(g[0]) }

// glyphs is the font, our own drawing. The zero has no stroke: at a distance a
// stroke makes an eight of it.
var glyphs = drawn(`
A .###. #...# #...# ##### #...# #...# #...#
B ####. #...# #...# ####. #...# #...# ####.
C .###. #...# #.... #.... #.... #...# .###.
D ####. #...# #...# #...# #...# #...# ####.
E ##### #.... #.... ####. #.... #.... #####
F ##### #.... #.... ####. #.... #.... #....
G .###. #...# #.... #.### #...# #...# .####
H #...# #...# #...# ##### #...# #...# #...#
I ### .#. .#. .#. .#. .#. ###
J ..### ...#. ...#. ...#. ...#. #..#. .##..
K #...# #..#. #.#.. ##... #.#.. #..#. #...#
L #.... #.... #.... #.... #.... #.... #####
M #...# ##.## #.#.# #.#.# #...# #...# #...#
N #...# ##..# ##..# #.#.# #..## #..## #...#
O ##### #...# #...# #...# #...# #...# #####
P ####. #...# #...# ####. #.... #.... #....
Q .###. #...# #...# #...# #.#.# #..#. .##.#
R ####. #...# #...# ####. #.#.. #..#. #...#
S .#### #.... #.... .###. ....# ....# ####.
T ##### ..#.. ..#.. ..#.. ..#.. ..#.. ..#..
U #...# #...# #...# #...# #...# #...# .###.
V #...# #...# #...# #...# #...# .#.#. ..#..
W #...# #...# #...# #.#.# #.#.# ##.## #...#
X #...# #...# .#.#. ..#.. .#.#. #...# #...#
Y #...# #...# .#.#. ..#.. ..#.. ..#.. ..#..
Z ##### ....# ...#. ..#.. .#... #.... #####
0 .###. #...# #...# #...# #...# #...# .###.
1 ..#.. .##.. ..#.. ..#.. ..#.. ..#.. .###.
2 .###. #...# ....# ...#. ..#.. .#... #####
3 ####. ....# ....# .###. ....# ....# ####.
4 ...#. ..##. .#.#. #..#. ##### ...#. ...#.
5 ##### #.... ####. ....# ....# #...# .###.
6 ..##. .#... #.... ####. #...# #...# .###.
7 ##### ....# ...#. ..#.. .#... .#... .#...
8 .###. #...# #...# .###. #...# #...# .###.
9 .###. #...# #...# .#### ....# ...#. .##..
. .. .. .. .. .. ## ##
, .. .. .. .. ## .# #.
: .. ## ## .. ## ## ..
- .... .... .... #### .... .... ....
+ ..... ..#.. ..#.. ##### ..#.. ..#.. .....
/ ....# ....# ...#. ..#.. .#... #.... #....
= .... .... #### .... #### .... ....
% ##..# ##..# ...#. ..#.. .#... #..## #..##
" #.# #.# #.# ... ... ... ...
' # # # . . . .
! ## ## ## ## .. ## ##
? .###. #...# ....# ...#. ..#.. ..... ..#..
# .#.#. .#.#. ##### .#.#. ##### .#.#. .#.#.
( ..# .#. #.. #.. #.. .#. ..#
) #.. .#. ..# ..# ..# .#. #..
< ...# ..#. .#.. #... .#.. ..#. ...#
> #... .#.. ..#. ...# ..#. .#.. #...
× ..... ..... #...# .#.#. ..#.. .#.#. #...#
° .##. #..# #..# .##. .... .... ....
Ø ...... .###.# #...## #..#.# #.#..# ##...# #.###.
↑ ..#.. .###. #.#.# ..#.. ..#.. ..#.. ..#..
↓ ..#.. ..#.. ..#.. ..#.. #.#.# .###. ..#..
← ....... ..#.... .#..... ####### .#..... ..#.... .......
→ ....... ....#.. .....#. ####### .....#. ....#.. .......
`)

func drawn(table string) map[rune]glyph {
	font := map[rune]glyph{' ': {"...", "...", "...", "...", "...", "...", "..."}}
	for line := range strings.Lines(strings.TrimSpace(table)) {
		fields := strings.Fields(line)
		var g glyph
		copy(g[:], fields[1:])
		font[[]rune(fields[0])[0]] = g
	}
	return font
}

// spell gives the glyphs of a text, letters as capitals, or false if one has none.
func spell(text string) ([]glyph, bool) {
	runes := []rune(clean(text))
	var out []glyph
	for i, r := range runes {
		digitNear := i > 0 && unicode.IsDigit(runes[i-1]) || i+1 < len(runes) && unicode.IsDigit(runes[i+1])
		switch {
		case r == 'x' && digitNear:
			r = '×'
		case r == '−' || r == '–' || r == '—':
			r = '-'
		case r == '”' || r == '″':
			r = '"'
		case r == '’' || r == '′':
			r = '\''
		case r == '⌀':
			r = 'Ø'
		default:
			r = unicode.ToUpper(r)
		}
		g, ok := glyphs[r]
		if !ok {
			return nil, false
		}
		out = append(out, g)
	}
	return out, len(out) > 0
}

// bigRows is the number of screen rows of a text whose dots are sy half rows high.
func bigRows(sy int) int { return (glyphHeight*sy + 1) / 2 }

// big draws a text as large as fits in width cells and height rows, two dots in a
// cell one above the other. A text of several words is set in two lines where that
// makes it larger. All lines of a word are of one width. It is nil if the text does
// not fit or cannot be spelt.
func big(text string, width, height int) []string {
	word, ok := spell(text)
	if !ok {
		return nil
	}
	sx, sy := stretch(dots(word), width, height)
	lines := [][]glyph{word}
	words := strings.Fields(clean(text))
	for i := 1; i < len(words); i++ {
		upper, _ := spell(strings.Join(words[:i], " "))
		lower, _ := spell(strings.Join(words[i:], " "))
		x, y := stretch(max(dots(upper), dots(lower)), width, (height-1)/2)
		if min(x, y) > min(sx, sy) {
			sx, sy, lines = x, y, [][]glyph{upper, lower}
		}
	}
	if sx == 0 {
		return nil
	}
	rows := draw(lines[0], sx, sy)
	for _, l := range lines[1:] {
		rows = append(append(rows, ""), draw(l, sx, sy)...)
	}
	return rows
}

// dots is the width of a word, with a gap of one between its characters.
func dots(word []glyph) int {
	n := len(word) - 1
	for _, g := range word {
		n += g.width()
	}
	return n
}

// stretch is how wide a dot can be, in cells, and how high, in half rows. Equal
// ones make it square on most screens; it is stretched by up to a half, and at
// least by one, either way where there is room. Both are 0 where there is none.
func stretch(dots, width, height int) (sx, sy int) {
	scale := 0
	for bigRows(scale+1) <= height && dots*(scale+1) <= width {
		scale++
	}
	if scale == 0 {
		return 0, 0
	}
	most := scale + max(1, scale/2)
	sx, sy = min(width/dots, most), scale
	for sy < most && bigRows(sy+1) <= height {
		sy++
	}
	return sx, sy
}

// draw draws a word in dots of sx cells by sy half rows.
func draw(word []glyph, sx, sy int) (rows []string) {
	lines := make([]string, 0, glyphHeight*sy+1)
	for y := range glyphHeight {
		var b strings.Builder
		for i, g := range word {
			if i > 0 {
				b.WriteString(strings.Repeat(".", sx))
			}
			for _, dot := range g[y] {
				b.WriteString(strings.Repeat(string(dot), sx))
			}
		}
		for range sy {
			lines = append(lines, b.String())
		}
	}
	if len(lines)%2 == 1 {
		lines = append(lines, strings.Repeat(".", len(lines[0])))
	}
	for y := 0; y < len(lines); y += 2 {
		var b strings.Builder
		for x := range lines[y] {
			switch lines[y][x:x+1] + lines[y+1][x:x+1] {
			case "##":
				b.WriteRune('█')
			case "#.":
				b.WriteRune('▀')
			case ".#":
				b.WriteRune('▄')
			default:
				b.WriteByte(' ')
			}
		}
		rows = append(rows, b.String())
	}
	return rows
}

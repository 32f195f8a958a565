package job

import "strings"

// Nearest is the known word most like an unknown one, or "" when none is like
// enough: a third of its letters may differ, or one is the beginning of the other.
func Nearest(word string, known []string) string {
	word = strings.ToLower(word)
	best, at := "", max(1, len([]rune(word))/3)+1
	for _, k := range known {
		if d := distance([]rune(word), []rune(strings.ToLower(k))); d < at {
			best, at = k, d
		}
	}
	for _, k := range known {
		if best == "" && min(len(word), len(k)) >= 3 && (strings.HasPrefix(k, word) || strings.HasPrefix(word, k)) {
			best = k
		}
	}
	return best
}

// distance is the number of letters to put in, leave out, change or swap with
// their neighbour.
func distance(a, b []rune) int {
	if len(a) > maxText || len(b) > maxText {
		return maxText
	}
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range b {
		rows[0][j+1] = j + 1
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			d := min(rows[i-1][j]+1, rows[i][j-1]+1, rows[i-1][j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				d = min(d, rows[i-2][j-2]+1)
			}
			rows[i][j] = d
		}
	}
	return rows[len(a)][len(b)]
}

package job

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

var (
	headingShape = regexp.MustCompile(`^\[+\s*"?([A-Za-z0-9_ -]*[A-Za-z0-9_-])"?\s*\]*\s*(#.*)?$`)
	keyShape     = regexp.MustCompile(`^["']?([\pL0-9_-]+(?:[ .][\pL0-9_-]+)*)["']?[ \t]*([=:]?)[ \t]*`)
	startShape   = regexp.MustCompile(`^[ \t]*(["']?[\pL_][\pL0-9_. -]*["']?[ \t]*=|\[\[?[ \t]*[\pL_])`)
	commaShape   = regexp.MustCompile(`^([+-]?[0-9]+),([0-9]+)$`)
	digitsShape  = regexp.MustCompile(`^[+-]?[0-9][0-9_.eExX+-]*$`)
)

// beginsStatement says whether a line looks like the start of something new
// rather than like a further line of a list.
func beginsStatement(line string) bool { return startShape.MatchString(line) }

// opensLines says whether a value begins on a line and does not end on it.
func opensLines(line string) bool {
	_, v, ok := strings.Cut(line, "=")
	v = withoutComment(strings.TrimSpace(v))
	switch {
	case !ok || v == "":
		return false
	case strings.HasPrefix(v, `"""`) || strings.HasPrefix(v, "'''"):
		return !strings.Contains(v[3:], v[:3])
	case v[0] == '[':
		return !strings.HasSuffix(v, "]")
	case v[0] == '{':
		return !strings.HasSuffix(v, "}")
	}
	return false
}

// truths are the ways people write true and false elsewhere.
var truths = map[string]string{
	"True": "true", "TRUE": "true", "yes": "true", "Yes": "true", "YES": "true", "on": "true", "On": "true", "ON": "true",
	"False": "false", "FALSE": "false", "no": "false", "No": "false", "NO": "false", "off": "false", "Off": "false", "OFF": "false",
}

// salvage looks at a line that is no valid TOML: it says what is wrong with it in
// plain words (unless tell is false) and keeps what is certain, so that the key is
// not called missing as well and the lines below stay in their table.
func (d *document) salvage(off int, line string, tell bool) {
	indent := len(line) - len(strings.TrimLeft(line, " \t"))
	off += indent
	line = strings.TrimRight(line[indent:], " \t")
	fault := func(key string, from, to int, args ...string) {
		if tell {
			d.r.fault(key, d.places.at(off+from, off+to), args...)
		}
	}
	if line[0] == '[' {
		d.salvageHeading(off, line, fault)
		return
	}
	if line[0] == '=' {
		fault("no-key", 0, 1)
		return
	}
	m := keyShape.FindStringSubmatchIndex(line)
	if m == nil {
		fault("unreadable-line", 0, len(line), "[["+d.shape.lists[0]+"]]")
		return
	}
	key, rest := line[m[2]:m[3]], line[m[1]:]
	v := &value{kind: kindText, unknown: true}
	if strings.Contains(key, " ") {
		if m[4] == m[5] {
			fault("unreadable-line", 0, len(line), "[["+d.shape.lists[0]+"]]")
		} else {
			fault("unreadable-key", m[2], m[3], key, strings.ReplaceAll(key, " ", "_"))
		}
		return
	}
	defer func() {
		v.pos = d.places.at(off+m[1], off+len(line))
		d.put(d.here, []part{{name: key, pos: d.places.at(off+m[2], off+m[3])}}, v)
	}()
	from, to := m[1], len(line)
	shown := withoutComment(rest)
	switch {
	case !tell: // the line is too long to look at
	case shown == "":
		fault("no-value", m[2], m[3], key)
	case m[4] == m[5] || line[m[4]] == ':':
		fault("no-equals", m[2], m[3], key, quotedOr(shown))
		v.mend(shown)
	case strings.ContainsAny(shown[:first(shown)], "“”„‟‘’‚«»"):
		inner := strings.Trim(shown, "“”„‟‘’‚«»\"' ")
		fault("curly-quotes", from, from+len(shown), key, inner)
		v.mend(inner)
	case shown[0] == '[':
		fault("unreadable-list", from, to, key)
	case shown[0] == '{':
		fault("unreadable-table", from, to, key)
	case shown[0] == '"' || shown[0] == '\'':
		closing := strings.IndexByte(shown[1:], shown[0])
		switch {
		case strings.Contains(shown, `\`):
			fault("backslash", from, from+len(shown), key)
		case closing < 0:
			inner := strings.TrimRight(strings.Trim(shown, `"' `), " ")
			fault("unclosed-quote", from, from+len(shown), key, inner)
			v.mend(inner)
		default:
			behind := from + closing + 2
			for behind < len(line) && line[behind] == ' ' {
				behind++
			}
			inner := shown[1 : closing+1]
			fault("text-after-value", behind, from+len(shown), strings.TrimSpace(shown[closing+2:]), key, inner)
			v.mend(inner)
		}
	case truths[shown] != "":
		fault("bad-truth", from, from+len(shown), shown, key, truths[shown])
		v.kind, v.raw, v.unknown = kindTruth, truths[shown], false
	case commaShape.MatchString(shown):
		fault("decimal-comma", from, from+len(shown), shown, key, strings.Replace(shown, ",", ".", 1))
	case digitsShape.MatchString(shown):
		fault("unreadable-number", from, from+len(shown), shown)
	default:
		inner := strings.Trim(shown, `"' `)
		fault("no-quotes", from, from+len(shown), key, inner)
		v.mend(inner)
	}
}

// first is the length of the first character.
func first(s string) int {
	_, n := utf8.DecodeRuneInString(s)
	return n
}

// mend takes a text as the value that was surely meant.
func (v *value) mend(text string) {
	if text == "" || strings.ContainsAny(text, "\"\\") || strings.ContainsRune(text, replaced) {
		return
	}
	text = strings.Trim(text, "'")
	v.str, v.raw, v.unknown = text, text, false
}

// quotedOr puts quotes around a text that has none.
func quotedOr(s string) string {
	if strings.ContainsAny(s[:1], `"'[{`) || truthOrNumber(s) {
		return s
	}
	return `"` + s + `"`
}

func truthOrNumber(s string) bool { return s == "true" || s == "false" || digitsShape.MatchString(s) }

// withoutComment cuts a comment off a value that may have no quotes or one.
func withoutComment(s string) string {
	quote := byte(0)
	for i := range len(s) {
		switch c := s[i]; {
		case quote == 0 && (c == '"' || c == '\''):
			quote = c
		case c == quote:
			quote = 0
		case c == '#' && (quote == 0 || strings.IndexByte(s[i:], quote) < 0):
			return strings.TrimRight(s[:i], " \t")
		}
	}
	return s
}

func (d *document) salvageHeading(off int, line string, fault func(string, int, int, ...string)) {
	m := headingShape.FindStringSubmatchIndex(line)
	if m == nil {
		fault("unreadable-heading", 0, len(line), "[["+d.shape.lists[0]+"]]")
		d.here = newTable(d.places.at(off, off+len(line)))
		return
	}
	name := line[m[2]:m[3]]
	double := contains(d.shape.lists, name) || !contains(d.shape.tables, name) && strings.HasPrefix(line, "[[")
	heading := "[" + name + "]"
	if double {
		heading = "[" + heading + "]"
	}
	fault("unreadable-heading", 0, len(line), heading)
	d.heading([]part{{name: name, pos: d.places.at(off+m[2], off+m[3])}}, double)
}

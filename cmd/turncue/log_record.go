package main

import (
	"io"
	"strings"

	"turncue/sequence/runner"
)

// writeRecord prints a run as a log book: each block with its steps, and under each
// block the two lines for the signatures. Where nobody was taught the lines are there to
// be filled in by hand.
func writeRecord(out io.Writer, h runner.History) error {
	p := &printer{to: out}
	p.line("RECORD OF WORK")
	p.header(h)
	blocks := blocksOf(h)
	for _, b := range blocks {
		p.line("")
		p.line("%s", strings.ToUpper(b.name))
		for _, d := range b.steps {
			p.line("%4s  %s  %s  %s", number(d.N), day(d.To), spent(d.Spent), d.Title)
			for _, text := range folded(d.Text, 72) {
				p.line("      %s", text)
			}
			p.answers(h, d, "      ")
		}
		p.signature("learner", h.Head.Learner, b.lines[0])
		p.signature("instructor", h.Head.Instructor, b.lines[1])
	}
	return p.err
}

// signature is a line to sign, signed where that still stands.
func (p *printer) signature(role, name string, line *runner.Told) {
	if line != nil && line.SignBy != "" {
		p.line("  %-10s  %s  signed %s", role, line.SignBy, day(line.To))
		return
	}
	if name == "" {
		name = strings.Repeat("_", 24)
	}
	p.line("  %-10s  %s  not signed  ____________________", role, name)
}

// block is one part of the work in the record.
type block struct {
	name  string
	steps []runner.Told
	lines [2]*runner.Told // of the learner and the instructor; nil where there is none
}

// blocksOf sorts the steps into their blocks: the set-up, the sections of the part, and
// what belongs to none of them.
func blocksOf(h runner.History) []*block {
	const setUp, other = "set-up", "the whole part"
	byName := map[string]*block{}
	var all []*block
	get := func(name string) *block {
		b := byName[name]
		if b == nil {
			b = &block{name: name}
			byName[name] = b
			all = append(all, b)
		}
		return b
	}
	for i := range h.Steps {
		d := &h.Steps[i]
		name := d.Section
		switch {
		case name == "" && strings.HasPrefix(d.ID, "setup/"), strings.HasPrefix(d.ID, "set-up/"):
			name = setUp
		case name == "":
			name = other
		}
		b := get(name)
		switch {
		case strings.HasSuffix(d.ID, "/signed/learner"):
			b.lines[0] = d
		case strings.HasSuffix(d.ID, "/signed/instructor"):
			b.lines[1] = d
		default:
			b.steps = append(b.steps, *d)
		}
	}
	return all
}

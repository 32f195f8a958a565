package runner

// Voice is what speaks and beeps. Its methods return at once.
type Voice interface {
	Say(parts []string)
	Beep(Beep)
	Hush()
}

// Display is what shows frames. Show returns soon.
type Display interface {
	Show(Frame)
}

// Log is what keeps the records; [Journal] is one. Append writes, Sync waits until it
// is on the disk.
type Log interface {
	Append(Record) error
	Sync() error
}

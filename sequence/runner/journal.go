package runner

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"
)

// ErrLocked says that the run is open in another process.
var ErrLocked = errors.New("another turncue is running this job")

// largest is more than a journal of any job can grow to.
const largest = 64 << 20

// A Journal is the file that keeps the place of one run: a head and the records, each
// appended by one write. One process has it at a time. Append and Sync may be called
// from different goroutines. After a write or a sync that failed it is dead: nothing
// is tried again, because nobody knows what reached the disk.
type Journal struct {
	path    string
	file    journalFile
	head    Head
	records []Record
	torn    string
	clock   func() time.Time

	mu   sync.Mutex
	next int
	dead error
}

// journalFile is the open file; tests have it fail.
type journalFile interface {
	io.WriteCloser
	Sync() error
}

// OpenJournal opens the journal of a job and a lathe in a directory, or makes it. A
// torn last line is put aside (see Torn). Errors: the directory cannot be written,
// another process has the journal (ErrLocked), it is damaged, or the plan made now is
// another (*Changed).
func OpenJournal(dir string, now Head) (*Journal, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("no place can be kept in %s: %w: set XDG_STATE_HOME to a directory that can be written", dir, cause(err))
	}
	path := filepath.Join(dir, now.name()+".jsonl")
	f, err := openLocked(path)
	if err != nil {
		return nil, err
	}
	j := &Journal{path: path, file: f, clock: time.Now}
	if err := j.load(f, now); err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return j, nil
}

// openLocked opens and locks the file of that name. A file that was renamed while we
// waited for nobody is not it.
func openLocked(path string) (*os.File, error) {
	for range 3 {
		f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o600)
		if err != nil {
			return nil, fmt.Errorf("journal %s cannot be opened: %w: set XDG_STATE_HOME to a directory that can be written", path, cause(err))
		}
		taken, err := lock(f)
		if err != nil {
			return nil, errors.Join(fmt.Errorf("journal %s cannot be locked: %w", path, cause(err)), f.Close())
		}
		if !taken {
			return nil, errors.Join(fmt.Errorf("%w: journal %s", ErrLocked, path), f.Close())
		}
		mine, errMine := f.Stat()
		named, errNamed := os.Stat(path)
		if errMine == nil && errNamed == nil && os.SameFile(mine, named) {
			return f, nil
		}
		if err := f.Close(); err != nil {
			return nil, fmt.Errorf("journal %s: %w", path, cause(err))
		}
	}
	return nil, fmt.Errorf("%w: journal %s", ErrLocked, path)
}

// load reads what is there, puts a torn tail aside, and writes the head of a new
// journal.
func (j *Journal) load(f *os.File, now Head) error {
	data, err := readAll(f)
	if err != nil {
		return fmt.Errorf("journal %s cannot be read: %w", j.path, cause(err))
	}
	got, err := scan(data)
	if err != nil {
		return fmt.Errorf("journal %s is %w: put the file away and start again", j.path, err)
	}
	if got.good < len(data) || got.mend {
		if err := j.cut(f, data, got); err != nil {
			return fmt.Errorf("journal %s cannot be mended: %w", j.path, cause(err))
		}
	}
	j.next = len(got.records)
	if j.next == 0 {
		j.head = now
		if err := errors.Join(j.Append(Record{Event: "open", Head: &now}), j.Sync()); err != nil {
			return err
		}
		if err := syncDir(filepath.Dir(j.path)); err != nil {
			return fmt.Errorf("journal %s cannot be made to last: %w", j.path, cause(err))
		}
		return nil
	}
	j.head, j.records = *got.records[0].Head, got.records[1:]
	if j.head.Schema != JournalSchema {
		return fmt.Errorf("journal %s is written as %q, this version reads %q: go on with the program it was begun with, or start again", j.path, j.head.Schema, JournalSchema)
	}
	return j.head.Same(now)
}

// cut saves a torn tail beside the journal and takes it off.
func (j *Journal) cut(f *os.File, data []byte, got scanned) error {
	if tail := data[got.good:]; len(tail) > 0 {
		torn := j.path + ".torn"
		if err := os.WriteFile(torn, tail, 0o600); err != nil {
			return err
		}
		j.torn = torn
		if err := f.Truncate(int64(got.good)); err != nil {
			return err
		}
	}
	if got.mend {
		if _, err := f.Write([]byte("\n")); err != nil {
			return err
		}
	}
	return errors.Join(f.Sync(), syncDir(filepath.Dir(j.path)))
}

func readAll(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, largest+1))
	if err == nil && len(data) > largest {
		err = fmt.Errorf("larger than %d MiB", largest>>20)
	}
	return data, err
}

// cause is an error of a file without the name of call and file, which the message
// has already.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// Path is the journal's file.
func (j *Journal) Path() string { return j.path }

// Head is what the run was made from.
func (j *Journal) Head() Head { return j.head }

// Records are those found on opening, without the head, for Replay.
func (j *Journal) Records() []Record { return j.records }

// Torn is the file that a torn last line was put aside in, or "". What it held was
// never acknowledged.
func (j *Journal) Torn() string { return j.torn }

// Append writes one record with one write. It is on the disk after the next Sync.
func (j *Journal) Append(r Record) error {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.dead != nil {
		return j.dead
	}
	r.N, r.Time = j.next, j.clock().UTC().Truncate(time.Millisecond)
	line, err := encodeLine(r)
	if err != nil {
		return err
	}
	if _, err := j.file.Write(line); err != nil {
		j.dead = fmt.Errorf("journal %s cannot be written: %w: make room, then resume", j.path, cause(err))
		return j.dead
	}
	j.next++
	return nil
}

// Sync waits until all that was appended is on the disk.
func (j *Journal) Sync() error {
	j.mu.Lock()
	dead := j.dead
	j.mu.Unlock()
	if dead != nil {
		return dead
	}
	if err := j.file.Sync(); err != nil {
		j.mu.Lock()
		defer j.mu.Unlock()
		j.dead = fmt.Errorf("journal %s cannot be brought to the disk: %w: look after the disk, then resume", j.path, cause(err))
		return j.dead
	}
	return nil
}

// Close gives the journal free.
func (j *Journal) Close() error { return j.file.Close() }

// Retire closes the journal and puts it aside under the time it was begun, so that
// the job can be run anew. Journals still lists it.
func (j *Journal) Retire() error {
	begun := j.clock()
	if info, err := LoadJournal(j.path); err == nil {
		begun = info.Begun
	}
	base := strings.TrimSuffix(j.path, ".jsonl") + "-" + begun.UTC().Format("20060102T150405Z")
	aside := base + ".jsonl"
	for n := 2; ; n++ {
		if _, err := os.Stat(aside); errors.Is(err, fs.ErrNotExist) {
			break
		}
		aside = fmt.Sprintf("%s-%d.jsonl", base, n)
	}
	if runtime.GOOS == "windows" { // an open file cannot be renamed there
		return errors.Join(j.Close(), os.Rename(j.path, aside))
	}
	return errors.Join(os.Rename(j.path, aside), syncDir(filepath.Dir(j.path)), j.Close())
}

// PutAside retires what is kept of a job and a lathe, whatever it holds: a run of another
// plan, a damaged file. Where nothing is kept it does nothing. A run that is under way
// is ErrLocked.
func PutAside(dir string, now Head) error {
	path := filepath.Join(dir, now.name()+".jsonl")
	found, bad := LoadJournal(path)
	if errors.Is(bad, fs.ErrNotExist) {
		return nil
	}
	f, err := openLocked(path)
	if err != nil {
		return err
	}
	j := &Journal{path: path, file: f, clock: time.Now}
	if bad == nil && len(found.Records) == 0 { // nothing was ever done
		return errors.Join(os.Remove(path), j.Close())
	}
	return j.Retire()
}

// Found is a journal as it lies on the disk.
type Found struct {
	Path    string
	Head    Head
	Begun   time.Time
	Records []Record // without the head
	Ended   bool     // the last step was confirmed
	Damage  error    // why it cannot be read; the rest is then incomplete
}

// Last is when the last record was written.
func (f Found) Last() time.Time {
	if len(f.Records) == 0 {
		return f.Begun
	}
	return f.Records[len(f.Records)-1].Time
}

// LoadJournal reads a journal without taking it; a torn tail is left out.
func LoadJournal(path string) (Found, error) {
	found := Found{Path: path}
	f, err := os.Open(path)
	if err != nil {
		return found, fmt.Errorf("journal %s cannot be read: %w", path, cause(err))
	}
	data, err := readAll(f)
	if err := errors.Join(err, f.Close()); err != nil {
		return found, fmt.Errorf("journal %s cannot be read: %w", path, cause(err))
	}
	got, err := scan(data)
	if len(got.records) > 0 {
		found.Head, found.Begun, found.Records = *got.records[0].Head, got.records[0].Time, got.records[1:]
		found.Ended = slices.ContainsFunc(found.Records, func(r Record) bool { return r.Ended })
	}
	if err != nil {
		return found, fmt.Errorf("journal %s is %w", path, err)
	}
	if len(got.records) == 0 {
		return found, fmt.Errorf("journal %s holds no record", path)
	}
	return found, nil
}

// Journals lists the journals of a directory, the one written to last first. One that
// cannot be read is listed with its Damage. No such directory is no journal.
func Journals(dir string) ([]Found, error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("journals in %s cannot be listed: %w: set XDG_STATE_HOME to a directory that can be read", dir, cause(err))
	}
	var all []Found
	for _, e := range entries {
		if e.IsDir() || filepath.Ext(e.Name()) != ".jsonl" {
			continue
		}
		f, err := LoadJournal(filepath.Join(dir, e.Name()))
		f.Damage = err
		all = append(all, f)
	}
	slices.SortStableFunc(all, func(a, b Found) int { return b.Last().Compare(a.Last()) })
	return all, nil
}

// Unfinished is the journal of a run that can be gone on with, the one written to last
// first; job, when it is not "", asks for those of that job file only.
func Unfinished(all []Found, job string) []Found {
	var left []Found
	for _, f := range all {
		if f.Damage == nil && !f.Ended && len(f.Records) > 0 && (job == "" || f.Head.JobPath == job) {
			left = append(left, f)
		}
	}
	return left
}

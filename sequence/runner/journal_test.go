package runner

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"syscall"
	"testing"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

func testHead() Head {
	return Head{
		Schema: JournalSchema, Part: "test part", JobPath: "foot.job", JobText: "part = \"foot\"\nbar = \"22 mm\"\nlength = \"28 mm\"\n",
		LathePath: "my.lathe", LatheText: "leadscrew = \"1.5 mm\"\n", Plan: "0123",
	}
}

// written is the bytes of a journal with a head and some records.
func written(t *testing.T, dir string, n int) (path string, data []byte) {
	t.Helper()
	j, err := OpenJournal(dir, testHead())
	if err != nil {
		t.Fatal(err)
	}
	for i := range n {
		v := calc.Length(i+1) * calc.Millimetre
		r := Record{Event: "reading", Step: fmt.Sprintf("s1/size%d", i), Reading: &v, Milliseconds: int64(i * 1000), Result: Accepted}
		if i%3 == 0 {
			r = Record{Event: "note", Step: "s1/note", Text: "a tab \t, a quote \" and {\"n\":1", Milliseconds: int64(i * 1000), Result: Accepted}
		}
		if err := errors.Join(j.Append(r), j.Sync()); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	data, err = os.ReadFile(j.Path())
	if err != nil {
		t.Fatal(err)
	}
	return j.Path(), data
}

func put(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// Cut at every byte, with nothing, zeros or rubbish behind the cut: exactly the whole
// records are there, and the next one can be written.
func TestJournalCutAnywhere(t *testing.T) {
	path, data := written(t, t.TempDir(), 6)
	tails := []string{"", "\x00\x00\x00\x00", "\x00\n", "rubbish\nmore rubbish\n"}
	for cut := range len(data) + 1 {
		for _, tail := range tails {
			torn := append(bytes.Clone(data[:cut]), tail...)
			whole := bytes.Count(data[:cut], []byte("\n"))
			if cut < len(data) && data[cut] == '\n' {
				whole++ // only the newline is gone: the record is whole
			}
			got, err := scan(torn)
			if err != nil || len(got.records) != whole {
				t.Fatalf("cut at %d with tail %q: %d records, %v; want %d", cut, tail, len(got.records), err, whole)
			}
			if cut%17 != 0 { // opening the file itself takes longer
				continue
			}
			put(t, path, torn)
			j, err := OpenJournal(filepath.Dir(path), testHead())
			if err != nil {
				t.Fatalf("cut at %d with tail %q: %v", cut, tail, err)
			}
			if rest := len(torn) - got.good; (j.Torn() != "") != (rest > 0) {
				t.Fatalf("cut at %d with tail %q: torn is %q", cut, tail, j.Torn())
			}
			if err := errors.Join(j.Append(Record{Event: "pause", Step: "s1", Result: Accepted}), j.Sync(), j.Close()); err != nil {
				t.Fatal(err)
			}
			found, err := LoadJournal(path)
			if err != nil || len(found.Records) != max(whole, 1) || found.Records[len(found.Records)-1].Event != "pause" {
				t.Fatalf("cut at %d with tail %q: after the next record %d records, %v", cut, tail, len(found.Records), err)
			}
		}
	}
}

// Every single bit that flips is noticed: the journal is refused, or what is left is torn
// off or mended, and says so. No record before the damage is lost in silence.
func TestJournalBitFlips(t *testing.T) {
	path, data := written(t, t.TempDir(), 3)
	files := 0
	for bit := range 8 * len(data) {
		flipped := bytes.Clone(data)
		flipped[bit/8] ^= 1 << (bit % 8)
		got, err := scan(flipped)
		if err == nil && got.good == len(data) && !got.mend {
			t.Fatalf("bit %d of byte %d flipped, and nothing was noticed", bit%8, bit/8)
		}
		if err == nil && bit/8 < bytes.LastIndexByte(data[:len(data)-1], '\n') {
			t.Fatalf("bit %d of byte %d flipped before the last record, and it was taken for a torn tail", bit%8, bit/8)
		}
		if bit%61 == 0 {
			files++
			put(t, path, flipped)
			j, openErr := OpenJournal(filepath.Dir(path), testHead())
			if (openErr == nil) != (err == nil) {
				t.Fatalf("bit %d of byte %d: scan says %v, open says %v", bit%8, bit/8, err, openErr)
			}
			if openErr != nil {
				if strings.Contains(openErr.Error(), "\n") || !strings.Contains(openErr.Error(), "damaged") {
					t.Fatalf("not one clear line: %v", openErr)
				}
				if kept, err := os.ReadFile(path); err != nil || !bytes.Equal(kept, flipped) {
					t.Fatal("a damaged journal was changed")
				}
				continue
			}
			if err := j.Close(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if files == 0 {
		t.Fatal("no file was tried")
	}
}

func TestJournalGapsAndHeads(t *testing.T) {
	_, data := written(t, t.TempDir(), 4)
	lines := bytes.SplitAfter(data, []byte("\n"))
	for _, c := range []struct {
		name  string
		lines [][]byte
	}{
		{"a line taken out", [][]byte{lines[0], lines[1], lines[3]}},
		{"a line twice", [][]byte{lines[0], lines[1], lines[1]}},
		{"two lines swapped", [][]byte{lines[0], lines[2], lines[1]}},
		{"no head", [][]byte{lines[1], lines[2]}},
		{"two heads", [][]byte{lines[0], lines[0]}},
	} {
		if _, err := scan(bytes.Join(c.lines, nil)); err == nil || !strings.Contains(err.Error(), "damaged") {
			t.Errorf("%s: %v, want damage", c.name, err)
		}
	}
}

func TestJournalLocked(t *testing.T) {
	dir := t.TempDir()
	j, err := OpenJournal(dir, testHead())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := OpenJournal(dir, testHead()); !errors.Is(err, ErrLocked) {
		t.Fatalf("a second one opened it: %v", err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	j, err = OpenJournal(dir, testHead())
	if err != nil {
		t.Fatalf("after the first is gone: %v", err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
}

// An edited job meets the old place only as a refusal that says what changed.
func TestJournalChanged(t *testing.T) {
	was := testHead()
	for _, c := range []struct {
		name  string
		edit  func(*Head)
		what  string
		lines []string
	}{
		{"nothing", func(*Head) {}, "", nil},
		{"a line of the job", func(h *Head) { h.JobText = strings.Replace(h.JobText, "28", "27", 1) }, "job",
			[]string{`3 was: length = "28 mm"`, `3 now: length = "27 mm"`}},
		{"a line more", func(h *Head) { h.JobText = "# mine\n" + h.JobText }, "job", []string{"1 now: # mine"}},
		{"a line less", func(h *Head) { h.JobText = strings.Replace(h.JobText, "bar = \"22 mm\"\n", "", 1) }, "job",
			[]string{`2 was: bar = "22 mm"`}},
		{"the lathe", func(h *Head) { h.LatheText = "leadscrew = \"8 tpi\"\n" }, "lathe",
			[]string{`1 was: leadscrew = "1.5 mm"`, `1 now: leadscrew = "8 tpi"`}},
		{"the program", func(h *Head) { h.Plan = "4567" }, "plan", nil},
		{"many lines", func(h *Head) { h.JobText = strings.Repeat("x\n", 40) }, "job", nil},
	} {
		now := was
		c.edit(&now)
		err := was.Same(now)
		if c.what == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		var changed *Changed
		if !errors.As(err, &changed) || changed.What != c.what {
			t.Errorf("%s: %v, want a changed %s", c.name, err, c.what)
			continue
		}
		if c.lines != nil && !reflect.DeepEqual(changed.Lines, c.lines) {
			t.Errorf("%s: lines %q, want %q", c.name, changed.Lines, c.lines)
		}
		if len(changed.Lines) > mostLines+1 {
			t.Errorf("%s: %d lines are told", c.name, len(changed.Lines))
		}
	}
	dir := t.TempDir()
	_, data := written(t, dir, 1)
	now := testHead()
	now.Plan = "4567" // the same texts, planned by another version
	var changed *Changed
	if _, err := OpenJournal(dir, now); !errors.As(err, &changed) {
		t.Errorf("opened with another plan: %v", err)
	}
	now = testHead()
	now.JobText += "\n"
	j, err := OpenJournal(dir, now)
	if err != nil || len(j.Records()) != 0 {
		t.Fatalf("an edited job met the old records: %v", err)
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	all, err := Journals(dir)
	if err != nil || len(all) != 2 {
		t.Fatalf("%d journals, %v", len(all), err)
	}
	if left := Unfinished(all, "foot.job"); len(left) != 1 || left[0].Head.JobText != testHead().JobText {
		t.Errorf("unfinished: %+v", left)
	}
	if len(data) == 0 {
		t.Error("nothing was written")
	}
}

func TestJournalRetired(t *testing.T) {
	dir := t.TempDir()
	for range 3 {
		j, err := OpenJournal(dir, testHead())
		if err != nil {
			t.Fatal(err)
		}
		if len(j.Records()) != 0 {
			t.Fatal("a new run found the records of the old")
		}
		if err := errors.Join(j.Append(Record{Event: "begin", Step: "s1", Result: Accepted}), j.Sync(), j.Retire()); err != nil {
			t.Fatal(err)
		}
	}
	all, err := Journals(dir)
	if err != nil || len(all) != 3 {
		t.Fatalf("%d journals, %v; want the three that were put aside", len(all), err)
	}
}

// The clock on the wall goes back: the order is that of the numbers, and nothing is lost.
func TestJournalClockSetBack(t *testing.T) {
	dir := t.TempDir()
	j, err := OpenJournal(dir, testHead())
	if err != nil {
		t.Fatal(err)
	}
	clock := time.Date(2031, 5, 1, 12, 0, 0, 0, time.UTC)
	j.clock = func() time.Time { clock = clock.Add(-time.Hour); return clock }
	for i := range 3 {
		if err := j.Append(Record{Event: "advance", Step: "s1", Milliseconds: int64(i * 700), Result: Accepted}); err != nil {
			t.Fatal(err)
		}
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	found, err := LoadJournal(j.Path())
	if err != nil || len(found.Records) != 3 {
		t.Fatalf("%d records, %v", len(found.Records), err)
	}
	for i, r := range found.Records {
		if r.N != i+1 || r.Milliseconds != int64(i*700) {
			t.Errorf("record %d is %d at %d ms", i, r.N, r.Milliseconds)
		}
	}
}

// failing is a file whose nth call fails, with some of a write done.
type failing struct {
	journalFile
	calls, at int
	err       error
}

func (f *failing) Write(b []byte) (int, error) {
	if f.calls++; f.calls == f.at {
		n, _ := f.journalFile.Write(b[:len(b)/2])
		return n, &fs.PathError{Op: "write", Path: "journal", Err: f.err}
	}
	return f.journalFile.Write(b)
}

func (f *failing) Sync() error {
	if f.calls++; f.calls == f.at {
		return &fs.PathError{Op: "sync", Path: "journal", Err: f.err}
	}
	return f.journalFile.Sync()
}

// A full disk, at the first call to the file, the second, and so on until none fails: one
// clear line, a dead journal, and all that was synced before is found again.
func TestJournalDiskFull(t *testing.T) {
	for at := 1; ; at++ {
		dir := t.TempDir()
		j, err := OpenJournal(dir, testHead())
		if err != nil {
			t.Fatal(err)
		}
		f := &failing{journalFile: j.file, at: at, err: syscall.ENOSPC}
		j.file = f
		synced := 0
		for range 5 {
			if err = j.Append(Record{Event: "advance", Step: "s1", Result: Accepted}); err != nil {
				break
			}
			if err = j.Sync(); err != nil {
				break
			}
			synced++
		}
		if err == nil {
			if at != 11 {
				t.Errorf("a clean run at %d, want 11: five writes and five syncs", at)
			}
			return
		}
		if text := err.Error(); strings.Contains(text, "\n") || !strings.Contains(text, "no space left on device") || !strings.Contains(text, j.Path()) {
			t.Errorf("not one clear line: %v", err)
		}
		calls := f.calls
		if again := errors.Join(j.Append(Record{Event: "advance"}), j.Sync()); again == nil || f.calls != calls {
			t.Errorf("a dead journal was written again: %v", again)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
		j, err = OpenJournal(dir, testHead())
		if err != nil {
			t.Fatal(err)
		}
		if n := len(j.Records()); n < synced || n > synced+1 {
			t.Errorf("failed at call %d: %d records of %d synced are there", at, n, synced)
		}
		if err := j.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestJournalNoPlace(t *testing.T) {
	dir := t.TempDir()
	inTheWay := filepath.Join(dir, "file")
	put(t, inTheWay, nil)
	closed := filepath.Join(dir, "closed")
	if err := os.Mkdir(closed, 0o500); err != nil {
		t.Fatal(err)
	}
	places := []string{inTheWay, filepath.Join(inTheWay, "turncue")}
	if os.Geteuid() > 0 { // the super-user may write anywhere
		places = append(places, closed, filepath.Join(closed, "turncue"))
	}
	for _, p := range places {
		_, err := OpenJournal(p, testHead())
		if err == nil || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), "set XDG_STATE_HOME to a directory that can be written") {
			t.Errorf("%s: %v", p, err)
		}
	}
	if all, err := Journals(filepath.Join(dir, "none")); err != nil || all != nil {
		t.Errorf("no directory: %v, %v", all, err)
	}
}

func TestJournalDamageListed(t *testing.T) {
	dir := t.TempDir()
	path, data := written(t, dir, 3)
	data[len(data)/2] ^= 1
	put(t, path, data)
	all, err := Journals(dir)
	if err != nil || len(all) != 1 || all[0].Damage == nil {
		t.Fatalf("%+v, %v", all, err)
	}
	if len(Unfinished(all, "")) != 0 {
		t.Error("a damaged journal is offered to go on with")
	}
}

func TestStateDir(t *testing.T) {
	home, state := t.TempDir(), t.TempDir()
	for _, c := range []struct{ home, xdg, want string }{
		{home, state, filepath.Join(state, "turncue")},
		{home, "", filepath.Join(home, ".local", "state", "turncue")},
		{home, "relative", filepath.Join(home, ".local", "state", "turncue")},
		{"", "", ""},
		{"", state, filepath.Join(state, "turncue")},
	} {
		t.Setenv("HOME", c.home)
		t.Setenv("USERPROFILE", c.home)
		t.Setenv("XDG_STATE_HOME", c.xdg)
		got, err := StateDir()
		if got != c.want || (err != nil) != (c.want == "") {
			t.Errorf("HOME=%q XDG_STATE_HOME=%q: %q, %v; want %q", c.home, c.xdg, got, err, c.want)
		}
	}
}

// A journal of another plan is refused where they part.
func TestReplayOfAnotherPlan(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	part := randomPart(r)
	s, err := part.start("")
	if err != nil {
		t.Fatal(err)
	}
	var records []Record
	live := s
	for i := range 8 {
		k := willing(live, r)
		if i == 0 {
			k = Begin{}
		}
		next, effects := Next(live, Event{Kind: k})
		rec := effects[0].(Record)
		rec.N = i + 1
		records, live = append(records, rec), next
	}
	other := *s.plan
	other.Steps = append([]sequence.Step{}, other.Steps...)
	other.Steps[4].ID = "s9/elsewhere"
	o, err := Start(Setup{Plan: &other})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Replay(records, o); err == nil || !strings.Contains(err.Error(), "belongs to another plan") {
		t.Errorf("replayed: %v", err)
	}
	bad := records[2]
	bad.Event = "dance"
	if _, err := Replay([]Record{records[0], records[1], bad}, s); err == nil || !strings.Contains(err.Error(), `"dance"`) {
		t.Errorf("an unknown record: %v", err)
	}
	if _, err := Replay([]Record{{N: 1, Event: "reading", Step: s.Step().ID}}, s); err == nil {
		t.Error("a reading without a value was replayed")
	}
}

// No bytes make the reading of a journal fail otherwise than with an error.
func FuzzScan(f *testing.F) {
	line, err := encodeLine(Record{Event: "open", Head: &Head{Schema: JournalSchema}})
	if err != nil {
		f.Fatal(err)
	}
	f.Add(line)
	f.Add(append(bytes.Clone(line), line...))
	f.Add([]byte("{\"n\":0}\t00000000\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := scan(data)
		if s.good > len(data) || err == nil && len(s.records) == 0 && s.good != 0 {
			t.Errorf("%d records in %d good bytes of %d", len(s.records), s.good, len(data))
		}
	})
}

package sounds

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
)

// Own is a voice of recordings of one's own: WAV, FLAC, OGG Vorbis or MP3 files named
// as [Entry.FileAt] says but for the ending. A word that is not recorded for the middle
// of a sentence uses its other recording there. A word that has no file, or one that
// cannot be used, is said by [Default]; [Voice.Check] tells which.
func Own(clips fs.FS) (*Voice, error) {
	files, err := fs.ReadDir(clips, ".")
	if err != nil {
		var p *fs.PathError
		if errors.As(err, &p) {
			err = p.Err
		}
		return nil, fmt.Errorf("the folder of the voice cannot be read: %w", err)
	}
	v := NewVoice(clips)
	v.own = map[string]string{}
	names := map[string]string{}
	for _, f := range files {
		names[strings.ToLower(f.Name())] = f.Name()
	}
	for _, e := range vocabulary().entries {
		for _, clip := range e.Files() {
			for _, kind := range recordingKinds {
				if file, ok := names[stem(clip)+kind]; ok {
					v.own[clip] = file
					break
				}
			}
		}
	}
	return v, nil
}

func stem(clip string) string { return strings.TrimSuffix(clip, ".mp3") }

// recording is the own recording in the stead of a clip; no clip and no error if there
// is none.
func (v *Voice) recording(clipFile string) (*Clip, error) {
	file, ok := v.own[clipFile]
	if !ok {
		return nil, nil
	}
	clip, err := loadClip(v.clips, file, decodeRecording)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", file, oneLine(err))
	}
	return clip, nil
}

func oneLine(err error) string { return strings.Join(strings.Fields(err.Error()), " ") }

// A Check is what is to be known of an own voice before it is used.
type Check struct {
	Own     int      // words it says itself
	Missing []string // files that the built-in voice stands in for, without their ending
	Faults  []error  // one for each file that cannot be used, beginning with its name
	Strays  []string // recordings that no word is named like
}

// Check reads every recording of an own voice and reports all that is wrong at once.
func (v *Voice) Check() (Check, error) {
	if v.own == nil {
		return Check{}, errors.New("only a voice of one's own is checked")
	}
	var c Check
	used := map[string]bool{}
	for _, e := range vocabulary().entries {
		for _, file := range e.Files() {
			clip, err := v.recording(file)
			used[v.own[file]] = true
			switch {
			case err != nil:
				c.Faults = append(c.Faults, err)
			case file != e.File(): // it need not be there
			case clip == nil:
				c.Missing = append(c.Missing, stem(file))
			default:
				c.Own++
			}
		}
	}
	files, err := fs.ReadDir(v.clips, ".")
	if err != nil {
		return c, err
	}
	for _, f := range files {
		if slices.Contains(recordingKinds, strings.ToLower(path.Ext(f.Name()))) && !used[f.Name()] {
			c.Strays = append(c.Strays, f.Name())
		}
	}
	return c, nil
}

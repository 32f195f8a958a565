package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"turncue/calc/cutting"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
	"turncue/sequence/runner"
)

// work is a job on a lathe with the plan made of them.
type work struct {
	job   *job.Job
	lathe *job.Lathe
	plan  *sequence.Plan

	teaching runner.Teaching // zero where nobody is being taught
	pace     sequence.Pace   // how many presses a pass takes
}

// load reads a job and its lathe and plans it. An empty job path is the built-in
// example. The lathe is that of the flag, else the one the job names, else the
// built-in one.
func load(jobPath, lathePath string) (*work, error) {
	w, err := read(jobPath, lathePath)
	if err != nil {
		return nil, err
	}
	w.plan, err = w.replan(sequence.Readings{})
	return w, err
}

// read parses both files; the faults of both are reported at once, those of the job
// first. The lathe is read first: the job may be of a material that it names.
func read(jobPath, lathePath string) (*work, error) {
	w := &work{}
	w.job, w.lathe = job.Example()
	jobText := ""
	if jobPath != "" {
		var err error
		if jobText, err = readFile(jobPath); err != nil {
			return nil, err
		}
		if named := job.LatheOf(jobText); lathePath == "" && named != "" {
			lathePath = named
			if !filepath.IsAbs(lathePath) {
				lathePath = filepath.Join(filepath.Dir(jobPath), lathePath)
			}
		}
	}
	var errJob, errLathe error
	if lathePath != "" {
		var text string
		if text, errLathe = readFile(lathePath); errLathe == nil {
			w.lathe, errLathe = job.ParseLathe(lathePath, text)
		}
	}
	if jobPath != "" {
		var own []cutting.Material
		if w.lathe != nil {
			own = w.lathe.Materials
		}
		w.job, errJob = job.ParseJob(jobPath, jobText, own...)
	}
	var faults job.Faults
	for _, err := range []error{errJob, errLathe} {
		var f job.Faults
		if errors.As(err, &f) {
			faults = append(faults, f...)
		} else if err != nil && len(faults) == 0 {
			return nil, err
		}
	}
	if len(faults) > 0 {
		return nil, faults.Err()
	}
	return w, nil
}

// ownLathe says that the lathe is not the built-in one standing in for an unknown.
func (w *work) strangeLathe() bool {
	return w.job.Source.Path != job.ExampleJobPath && w.lathe.Source.Path == job.ExampleLathePath
}

// replan plans with the readings so far, at the pace of the work, and has the bench
// execute it: a plan the bench does not pass reaches nobody.
func (w *work) replan(r sequence.Readings) (*sequence.Plan, error) {
	p, err := planner.Plan(w.job, w.lathe, r)
	if err != nil {
		return nil, err
	}
	p = w.pace.Plan(p)
	if err := bench.Run(p, w.job, w.lathe).Err(); err != nil {
		return nil, fmt.Errorf("the plan does not pass the bench, and is not used: %w", err)
	}
	return w.teaching.Plan(p), nil
}

func readFile(path string) (string, error) {
	b, err := os.ReadFile(path)
	var bad *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "", fmt.Errorf("%s: there is no such file", path)
	case errors.As(err, &bad):
		return "", fmt.Errorf("%s: cannot be read: %v", path, bad.Err)
	case err != nil:
		return "", err
	}
	return string(b), nil
}

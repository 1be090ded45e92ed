package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// knownDone refuses --done with what it has no part in.
func (o planOptions) knownDone() error {
	switch {
	case len(o.done) == 0 && o.output == "":
		return nil
	case len(o.done) == 0:
		return usagef("-o %s: the survey after which work? (expected --done T3,C7)", o.output)
	case o.output == "":
		return usagef("-o FOLDER is missing: where the survey after the work goes")
	case o.format != "text" || o.orders || o.draw != "" || len(o.whatIf) > 0:
		return usagef("--done writes sheets: leave --format, --orders, --draw and --what-if out")
	}
	return folderNamed("-o", o.output)
}

// writeDone writes the survey after work that is carried out into a new folder.
func (o planOptions) writeDone(s streams, sv *survey.Survey, p *plan.Plan) error {
	ids := each.Of(o.done, strings.TrimSpace)
	changes, err := p.Done(ids)
	if errors.Is(err, plan.ErrDone) {
		return usagef("--done: %v", err)
	}
	if err != nil {
		return err
	}
	day := sv.Date
	if !day.Known() {
		day = measure.DateOf(time.Now())
	}
	files, err := sv.FollowUp(changes, day)
	if errors.Is(err, survey.ErrFollowUp) {
		return inputf("%v", err)
	}
	if err != nil {
		return err
	}
	// What is open stays open: no order closes a defect, but a reading that was taken.
	if _, data, err := readLog(filepath.Join(sv.Dir, survey.DefectsFile), sv); err != nil {
		return err
	} else if data != nil {
		files = append(files, survey.BlankFile{Name: survey.DefectsFile, What: "as it was", Data: data})
	}
	_, err = os.Lstat(o.output)
	stood := err == nil
	if err := placeFiles(o.output, files, true); err != nil {
		return err
	}
	if _, err := survey.Read(o.output); err != nil { // what is written back must be what check reads
		takeBack(o.output, files, !stood)
		return fmt.Errorf("the survey after the work cannot be read, nothing was kept: %w", err)
	}
	out := &checkedWriter{w: s.out}
	fmt.Fprintf(out, "The survey after %s stands in %s:\n", strings.Join(ids, ", "), o.output)
	for _, f := range files {
		fmt.Fprintf(out, "  %-14s %s\n", f.Name, f.What)
	}
	fmt.Fprintf(out, "It holds the readings that the orders ask for, of %s. Put in their place what was read after "+
		"the work, and its day, then:\n  flangeway check %s\n", day, paper.QuoteDir(o.output))
	return out.err
}

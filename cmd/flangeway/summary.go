package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/bulk"
	"flangeway/internal/limit"
	"flangeway/internal/sheet"
	"flangeway/internal/survey"
)

// memoryLimit is the memory from which on it is collected more often, in bytes.
const memoryLimit = 1 << 30

// runSummary counts by location and check with the wheels left in their file.
func runSummary(ctx context.Context, s streams, o checkOptions, dir string) error {
	switch {
	case o.format == "markdown", o.format == formatXLSX:
		return usagef("--summary has the formats text, csv and json")
	case len(o.whatIf) > 0, o.draw != "":
		return usagef("--summary keeps no wheel in memory: leave --what-if and --draw out")
	case o.allPairs:
		return usagef("--summary lists no pair: leave --all-pairs out")
	case o.since != "":
		return usagef("--since compares lists of findings: leave --summary out")
	}
	// The places are kept until the end, so a collection finds little to free; but what lies about is kept under a
	// limit.
	defer debug.SetGCPercent(debug.SetGCPercent(1600))
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(memoryLimit))
	sv, err := survey.Open(dir)
	if err != nil {
		return err
	}
	defer sv.Close()
	// The book's own defects come behind those of the sheets.
	book, bookErr := sv.Book()
	if bookErr != nil {
		book = &limit.Book{}
	}
	opt := interaction.Options{Location: o.location, Car: o.car, Check: o.check}
	over, err := bulk.Summarize(ctx, sv, book, opt)
	switch {
	case err != nil:
		return unread(err, "there is no result")
	case bookErr != nil:
		return bookErr
	}
	if err := knownLocation(sv.Survey, o); err != nil {
		return err
	}
	if o.car != "" && !over.HasCar {
		return usagef("--car %q is not a car of the survey", o.car)
	}
	in := export.Overview{Program: "flangeway " + version(), Survey: sv.Survey, Book: book, Overview: over,
		Warnings: sv.Warnings, MoreWarnings: over.MoreWarnings, Cautions: caution.OfSurvey(sv.Survey)}
	in.CapWarnings()
	if o.format != "json" {
		warn(s.err, in.Warnings)
		if in.MoreWarnings > 0 {
			fmt.Fprintf(s.err, "and %d more warnings; flangeway check without --summary prints all\n", in.MoreWarnings)
		}
	}
	write := func(w io.Writer) error {
		out := &checkedWriter{ctx: ctx, w: w}
		switch o.format {
		case "json":
			err = export.OverviewJSON(out, in)
		case "csv":
			err = export.OverviewCSV(out, in)
		default:
			var page *paper.Document
			if page, err = paper.Overview(in); err == nil {
				err = page.Write(out)
			}
		}
		return out.done(err)
	}
	if o.output != "" {
		err = writeWholeFrom(o.output, write, sv.Own()...)
	} else {
		err = write(s.out)
	}
	if err != nil {
		return err
	}
	fails, err := summaryFails(over, o.failOn, func() (bool, error) {
		return bulk.BeyondLimit(ctx, sv, book, over.Trains, opt)
	})
	if err != nil {
		return unread(err, "the exit code does not say whether a reading is beyond a limit")
	}
	if fails {
		return errFindings
	}
	return nil
}

// unread words what ended the reading of the wheels; left is what an interrupt leaves open.
func unread(err error, left string) error {
	switch {
	case errors.Is(err, context.Canceled):
		return cli.Interrupted(left)
	case errors.Is(err, sheet.ErrChanged):
		return inputf("%v (expected a folder that nobody writes to meanwhile)", err)
	}
	return err
}

// summaryFails reports whether something at or above the level was found; beyond looks for a reading beyond a limit.
func summaryFails(over *bulk.Overview, level string, beyond func() (bool, error)) (bool, error) {
	limits := false
	switch level {
	case "never":
		return false, nil
	case "unmeasured":
		if over.Count(interaction.NotMeasured) > 0 {
			return true, nil
		}
		fallthrough
	case "undecided":
		if over.Count(interaction.Undecided) > 0 {
			return true, nil
		}
		fallthrough
	case "limit":
		limits = true
	}
	if over.Count(interaction.Conflict) > 0 || !limits {
		return over.Count(interaction.Conflict) > 0, nil
	}
	return beyond()
}

package main

import (
	"bytes"
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/cases"
	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/interaction/published"
	"flangeway/testdata"
)

var errDiffers = errors.New("a value does not agree with what this program computes, and is not " +
	"known to; do not use this build")

var errCaseDiffers = errors.New("a case is answered otherwise than the people who were there found; do not " +
	"use this build")

func newSourcesCmd(s streams) *cobra.Command {
	format, judged := "text", false
	cmd := &cobra.Command{
		Use: "sources", Short: "every check value, computed again and compared, by how it is known",
		Long: `sources computes again the values that the program is checked against. They are in
three kinds that are counted apart: printed in a document and read there; printed and
quoted from memory or second hand; derived or closed-form, which stand in no document. Each table has
one tolerance, stated before the values. A printed value that is known to be off is
shown as disagreeing, with the reason; the exit code is 4 where another disagrees. The
federal limits, tried at their figure and next to it, are a table of their own.

With --cases it prints the public investigation reports, and the pairs of a legal wheel
and a legal track, that the main job is held against: what was read of each, what it
found, what check and curve say of it now, and what they cannot answer for want of a
reading.`,
		Example: "  flangeway sources\n  flangeway sources --format csv\n  flangeway sources --cases",
		Args:    usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) error {
			if err := knownFormat(format); err != nil {
				return err
			}
			if judged {
				return runCases(s, format)
			}
			return runSources(s, format)
		},
	}
	cmd.Flags().StringVar(&format, "format", format, "`format` of the result: "+strings.Join(formats(), ", "))
	cmd.Flags().BoolVar(&judged, "cases", false, "the investigation reports and legal pairs, and what check and curve "+
		"say of them")
	completeWords(cmd, "format", formats())
	return cmd
}

func runSources(s streams, format string) error {
	tables, err := published.Recompute(bytes.NewReader(testdata.PublishedTables), bytes.NewReader(testdata.Published))
	if err != nil {
		return err
	}
	limits, err := published.TryLimits(bytes.NewReader(testdata.Limits))
	if err != nil {
		return err
	}
	data, err := configs.Load()
	if err != nil {
		return err
	}
	err = writeAnswer(s, format, export.NewSources("flangeway "+version(), tables, limits, caution.Sources()),
		export.SourcesCSV,
		func(_ *export.Sources, form paper.Form) *paper.Document {
			return paper.Sources(tables, limits, data.Sets[configs.Federal], caution.Sources(), form)
		})
	if err != nil {
		return err
	}
	for _, standing := range published.Standings() {
		if published.CountOf(tables, standing).Differ > 0 {
			return errDiffers
		}
	}
	if slices.ContainsFunc(limits, func(t published.LimitTest) bool { return !t.Agrees() }) {
		return errDiffers
	}
	return nil
}

func runCases(s streams, format string) error {
	results, err := judgeCases()
	if err != nil {
		return err
	}
	err = writeAnswer(s, format, export.NewCases("flangeway "+version(), results, caution.Cases()), export.CasesCSV,
		func(_ *export.Cases, form paper.Form) *paper.Document {
			return paper.Cases(results, caution.Cases(), form)
		})
	if err != nil {
		return err
	}
	if slices.ContainsFunc(results, func(r cases.Result) bool { return !r.Met() }) {
		return errCaseDiffers
	}
	return nil
}

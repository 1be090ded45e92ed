package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

func newMergeCmd(s streams) *cobra.Command {
	output := ""
	cmd := &cobra.Command{
		Use: "merge A B -o DIR", Short: "make two surveys of one railroad one",
		Long: `merge takes two surveys of one railroad, each a folder or a workbook, and
writes one into a new folder: what two people have read on the same day, or the book
of last year and that of today.

Rows of different days are history and stand side by side. A row that stands in both
stands once; a cell that one of them left open takes what the other has read. Where
both say something else of one wheel or place on one day nothing is chosen: each such
cell is an error with both places, and nothing is written. A reading that is written
in two ways (1-7/16, 1 7/16) is the same; two notes are kept both. Which survey is
named first makes no difference.

railroad.yaml has to say the same in both, but for its date, of which the later holds.
One that stands beside one survey alone counts for both, but not if it says how
readings are read.`,
		Example:           "  flangeway merge monday tuesday -o both",
		Args:              usageArgs(cobra.ExactArgs(2)),
		ValidArgsFunction: completeFolders,
		RunE: func(_ *cobra.Command, args []string) error {
			if output == "" {
				return usagef("-o FOLDER is missing: where the merged survey goes")
			}
			if err := folderNamed("-o", output); err != nil {
				return err
			}
			return runMerge(s, args[0], args[1], output)
		},
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "the new `folder` of the merged survey")
	return cmd
}

func runMerge(s streams, a, b, output string) error {
	m, err := survey.Merge(a, b)
	if err != nil {
		return err
	}
	_, err = os.Lstat(output)
	stood := err == nil
	if err := placeFiles(output, m.Files, true); err != nil {
		return err
	}
	sv, err := survey.Read(output)
	if err != nil { // together they say what neither says alone
		takeBack(output, m.Files, !stood)
		var list measure.ProblemsError
		if !errors.As(err, &list) {
			return err
		}
		var problems measure.Problems
		for _, p := range list {
			q := m.Origin(*p)
			problems.Append(&q)
		}
		return problems.Err()
	}
	warn(s.err, append(m.Unread, sv.Warnings...))
	out := &checkedWriter{w: s.out}
	fmt.Fprintf(out, "%s and %s stand in %s:\n", cli.Visible(a), cli.Visible(b), cli.Visible(output))
	for _, f := range m.Files {
		fmt.Fprintf(out, "  %-14s %s\n", cli.Visible(f.Name), cli.Visible(f.What))
	}
	fmt.Fprintf(out, "Rows in both: %s; cells that only one of the two had in such a row: %s. Nothing was chosen "+
		"between two values. Then:\n  flangeway check %s\n", paper.Count(m.Both), paper.Count(m.Filled),
		paper.QuoteDir(output))
	return out.err
}

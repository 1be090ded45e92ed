package main

import (
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

type limitsOptions struct {
	format string
	sets   []string
}

func newLimitsCmd(s streams) *cobra.Command {
	var o limitsOptions
	cmd := &cobra.Command{
		Use: "limits [DIR]", Short: "the effective book of limits, with origin, source and kind of every rule",
		Long: `limits prints the book that a survey is judged by: the sets that its railroad.yaml
names, later ones over earlier ones, each rule with the set it comes from, its
source, its kind and how sure the figure is. Without a survey it prints the sets
named with --set (federal and early-warning where none is named).`,
		Example: "  flangeway limits my-yard\n  flangeway limits --set federal,interchange",
		Args:    usageArgs(cobra.MaximumNArgs(1)), ValidArgsFunction: completeFolders,
		RunE: func(_ *cobra.Command, args []string) error {
			return runLimits(s, o, args)
		},
	}
	cmd.Flags().StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	cmd.Flags().StringSliceVar(&o.sets, "set", nil, "built-in `sets` to print without a survey")
	completeWords(cmd, "format", formats())
	if err := cmd.RegisterFlagCompletionFunc("set", completeSets); err != nil {
		panic(err) // the flag stands above
	}
	return cmd
}

func runLimits(s streams, o limitsOptions, args []string) error {
	if err := knownFormat(o.format); err != nil {
		return err
	}
	book, kinds, err := effectiveBook(o, args)
	if err != nil {
		return err
	}
	out := &checkedWriter{w: s.out}
	cautions := caution.Limits(kinds)
	if len(args) == 1 && !book.HasFederal() {
		cautions = append([]string{limit.NotFederal + "."}, cautions...)
	}
	switch o.format {
	case "json":
		return out.done(export.JSON(out, export.NewBook("flangeway "+version(), book, cautions)))
	case "csv":
		return out.done(export.LimitsCSV(out, export.NewBook("flangeway "+version(), book, cautions)))
	}
	return s.show(paper.Limits(book, cautions, formOf(o.format))).Write(out)
}

// effectiveBook is the book of a survey, with the kinds of its cars, or that of the sets that are named.
func effectiveBook(o limitsOptions, args []string) (*limit.Book, []string, error) {
	if len(args) == 1 {
		if len(o.sets) > 0 {
			return nil, nil, usagef("--set is for use without a survey; railroad.yaml names the sets of one")
		}
		sv, book, err := readSurvey(args[0])
		if err != nil {
			return nil, nil, err
		}
		return book, caution.Kinds(sv.Fleet), nil
	}
	data, err := configs.Load()
	if err != nil {
		return nil, nil, err
	}
	names := o.sets
	if len(names) == 0 {
		names = configs.DefaultSets()
	}
	var sets []configs.Set
	for _, n := range names {
		set, ok := data.Sets[n]
		if !ok {
			return nil, nil, usagef("--set %q is not one of %s", n, strings.Join(setNames(data), ", "))
		}
		sets = append(sets, set)
	}
	book, found := limit.Overlay(sets...)
	var problems measure.Problems
	problems.Append(found...)
	return book, nil, problems.Err()
}

package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
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
	cmd.Flags().StringVar(&o.format, "format", "text", "`format` of the result: text, markdown, json")
	cmd.Flags().StringSliceVar(&o.sets, "set", nil, "built-in `sets` to print without a survey")
	completeWords(cmd, "format", []string{"text", "markdown", "json"})
	if err := cmd.RegisterFlagCompletionFunc("set", completeSets); err != nil {
		panic(err) // the flag stands above
	}
	return cmd
}

func runLimits(s streams, o limitsOptions, args []string) error {
	if !slices.Contains([]string{"text", "markdown", "json"}, o.format) {
		return usagef("--format %q is not one of text, markdown, json", o.format)
	}
	book, err := effectiveBook(o, args)
	if err != nil {
		return err
	}
	out := &checkedWriter{w: s.out}
	if o.format == "json" {
		return out.done(export.LimitsJSON(out, "flangeway "+version(), book))
	}
	page, err := text.Limits(book, o.format == "markdown")
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(out, page)
	return err
}

func effectiveBook(o limitsOptions, args []string) (*limit.Book, error) {
	if len(args) == 1 {
		if len(o.sets) > 0 {
			return nil, usagef("--set is for use without a survey; railroad.yaml names the sets of one")
		}
		_, book, err := readSurvey(args[0])
		return book, err
	}
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	names := o.sets
	if len(names) == 0 {
		names = configs.DefaultSets()
	}
	var sets []configs.Set
	for _, n := range names {
		set, ok := data.Sets[n]
		if !ok {
			return nil, usagef("--set %q is not one of %s", n, strings.Join(setNames(data), ", "))
		}
		sets = append(sets, set)
	}
	book, found := limit.Overlay(sets...)
	var problems measure.Problems
	problems.Append(found...)
	return book, problems.Err()
}

package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
	"flangeway/interaction"
	"flangeway/internal/limit"
	"flangeway/internal/survey"
	"flangeway/track"
)

type checkOptions struct {
	format   string
	allPairs bool
	location string
	car      string
	check    string
	since    string
	plain    bool
	failOn   string
	summary  bool
}

func formats() []string { return []string{"text", "markdown", "csv", "json"} }

func failOns() []string { return []string{"conflict", "limit", "undecided", "unmeasured", "never"} }

func newCheckCmd(s streams) *cobra.Command {
	var o checkOptions
	cmd := &cobra.Command{
		Use: "check DIR", Short: "judge every wheel of a survey on every place (the main job)",
		Long: `check reads a survey folder and prints, for each location, what conflicts with
what and by how much against the reading error, how many wheels, whether place,
wheel or only the pair is at fault, whether both are within their own limits, what
settles it, what fixes it on either side, and the rule.

Without --all-pairs the worst pair of each check and feature is listed; the summary
always counts all pairs. With --summary each location and check is one row: how
many wheels conflict, are undecided, clear and not measured, and the worst of them.
The wheels stay in their file, so millions of them are no matter; a sheet sorted by
car is read once. The exit code is 1 where something at or above --fail-on
was found.`,
		Example: "  flangeway check my-yard\n  flangeway check my-yard --check frog-floor\n  flangeway check my-yard --format csv --all-pairs",
		Args:    usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return runCheck(cmd.Context(), s, o, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.BoolVar(&o.allPairs, "all-pairs", false, "list every pair, with its cause")
	f.StringVar(&o.location, "location", "", "only this `location`")
	f.StringVar(&o.car, "car", "", "only the wheels of this `car`")
	f.StringVar(&o.check, "check", "", "only this `check`; flangeway explain lists them")
	f.StringVar(&o.since, "since", "", "also say what changed since this `report` (made with --format json)")
	f.BoolVar(&o.plain, "plain", false, "the arithmetic on the readings only, nothing computed from shapes or forces")
	f.BoolVar(&o.summary, "summary", false, "count by location and check and list no pair, for any number of wheels: the arithmetic of --plain (text, csv, json)")
	f.StringVar(&o.failOn, "fail-on", "conflict", "exit 1 from this `level` on: "+strings.Join(failOns(), ", "))
	return cmd
}

// judged is a survey with its book and its result.
type judged struct {
	survey *survey.Survey
	book   *limit.Book
	result *interaction.Result
}

// readSurvey reads a survey and overlays its limit sets.
func readSurvey(dir string) (*survey.Survey, *limit.Book, error) {
	sv, err := survey.Read(dir)
	if err != nil {
		return nil, nil, err
	}
	book, err := sv.Book()
	if err != nil {
		return nil, nil, err
	}
	return sv, book, nil
}

func runCheck(ctx context.Context, s streams, o checkOptions, dir string) error {
	if !slices.Contains(formats(), o.format) {
		return usagef("--format %q is not one of %s", o.format, strings.Join(formats(), ", "))
	}
	if !slices.Contains(failOns(), o.failOn) {
		return usagef("--fail-on %q is not one of %s", o.failOn, strings.Join(failOns(), ", "))
	}
	if o.check != "" && interaction.CheckByID(o.check) == nil {
		return usagef("--check %q is not one of %s", o.check, strings.Join(interaction.CheckIDs(), ", "))
	}
	if o.summary {
		return runSummary(ctx, s, o, dir)
	}
	sv, book, err := readSurvey(dir)
	if err != nil {
		return err
	}
	if err := known(sv, o); err != nil {
		return err
	}
	var before *export.Report
	if o.since != "" {
		if before, err = readReport(o.since); err != nil {
			return err
		}
	}
	engine := interaction.New(sv, book, interaction.Options{Location: o.location, Car: o.car, Check: o.check})
	j := judged{sv, book, engine.Judge()}
	if o.format != "json" {
		for _, w := range sv.Warnings {
			fmt.Fprintf(s.err, "%s: warning: %s\n", w.Place, w.Text)
		}
	}
	if err := j.write(ctx, s.out, o, dir, before); err != nil {
		return err
	}
	if j.fails(o.failOn) {
		return errFindings
	}
	return nil
}

// known refuses a --location or --car that the survey does not have, rather than
// printing an empty, clean looking table.
func known(sv *survey.Survey, o checkOptions) error {
	if err := knownLocation(sv, o); err != nil {
		return err
	}
	if o.car != "" && sv.Fleet.Car(o.car) == nil {
		return usagef("--car %q is not a car of the survey", o.car)
	}
	return nil
}

func knownLocation(sv *survey.Survey, o checkOptions) error {
	if o.location == "" || slices.ContainsFunc(sv.Track.Features, func(f *track.Feature) bool { return f.Location == o.location }) {
		return nil
	}
	return usagef("--location %q is not a location of the survey", o.location)
}

// write prints the result. Text and markdown are built whole before the first
// byte; the lists of all pairs are streamed.
func (j judged) write(ctx context.Context, w io.Writer, o checkOptions, dir string, before *export.Report) error {
	in := export.Input{Program: "flangeway " + version(), Survey: j.survey, Book: j.book, Result: j.result, AllPairs: o.allPairs, Before: before, Cautions: text.Cautions()}
	out := &checkedWriter{ctx: ctx, w: w}
	switch o.format {
	case "json":
		return out.done(export.JSON(out, in))
	case "csv":
		return out.done(export.CSV(out, in))
	}
	var b bytes.Buffer
	opt := text.Options{Program: in.Program, Dir: dir, Markdown: o.format == "markdown", AllPairs: o.allPairs, Car: o.car, Before: before}
	if err := text.Check(&b, in, opt); err != nil {
		return err
	}
	_, err := out.Write(b.Bytes())
	return out.done(err)
}

// fails reports whether something at or above the level was found.
func (j judged) fails(level string) bool {
	s := j.result.Summary
	switch level {
	case "never":
		return false
	case "unmeasured":
		if s.Count(interaction.NotMeasured) > 0 {
			return true
		}
		fallthrough
	case "undecided":
		if s.Count(interaction.Undecided) > 0 {
			return true
		}
		fallthrough
	case "limit":
		if j.result.Beyond() > 0 {
			return true
		}
	}
	return s.Count(interaction.Conflict) > 0
}

// checkedWriter stops at the first failed write or at an interrupt.
type checkedWriter struct {
	ctx context.Context
	w   io.Writer
	err error
}

func (c *checkedWriter) Write(p []byte) (int, error) {
	if c.err != nil {
		return 0, c.err
	}
	if c.ctx != nil && c.ctx.Err() != nil {
		c.err = inputf("interrupted; the output is incomplete")
		return 0, c.err
	}
	n, err := c.w.Write(p)
	if err != nil {
		c.err = inputf("the result cannot be written: %v", err)
	}
	return n, c.err
}

func (c *checkedWriter) done(err error) error {
	if c.err != nil {
		return c.err
	}
	return err
}

package main

import (
	"context"
	"errors"
	"io"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/plan"
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
	whatIf   []string
	output   string
	draw     string
	summary  bool
	planned  bool // a plan follows
	log      string
}

func formats() []string { return []string{"text", "markdown", "csv", "json"} }

// formatXLSX is the format of a workbook, which is only written to a file.
const formatXLSX = "xlsx"

func failOns() []string { return []string{"conflict", "limit", "undecided", "unmeasured", "never"} }

func newCheckCmd(s streams) *cobra.Command {
	var o checkOptions
	cmd := &cobra.Command{
		Use: "check DIR|WORKBOOK", Short: "judge every wheel of a survey on every place (the main job)",
		Long: `check reads a survey and prints, for each location, what conflicts with
what and by how much against the reading error, how many wheels, whether place,
wheel or only the pair is at fault, whether both are within their own limits, what
settles it, what fixes it on either side, and the rule.

A survey is a folder with a CSV file per sheet, a workbook survey.xlsx with a sheet
per name, or both with different sheets. A workbook of any name can be given
instead; the railroad.yaml beside it counts. A folder or a workbook as the only
argument of flangeway means check.

Without --all-pairs the worst pair of each check and feature is listed; the summary
always counts all pairs. With --summary each location and check is one row: how
many wheels conflict, are undecided, clear and not measured, and the worst of them.
The wheels stay in their file, so millions of them are no matter; a sheet sorted by
car is read once. The exit code is 1 where something at or above --fail-on
was found; a limit is one of a regulation, a standard, the railroad or a practice
set that it named, not a warning before one (early-warning).

With --log the readings beyond a federal limit go into defects.csv in the survey's
folder: when each was opened, what is to be done by when, how it is protected, and
which reading of which day closed it. Remedy, due, protected and note may be written
over by hand and stay; only a reading closes a row.

With --output the result is written to a file, whole or not at all, and nothing to
standard output; without --format the file's ending chooses: .txt, .md, .csv, .json,
or .xlsx for a workbook. In csv a name that begins as a formula does (=, +, - or @)
gets an apostrophe in front, since spreadsheets would calculate it; the other columns
are words and numbers of this program.`,
		Example: "  flangeway check my-yard\n  flangeway check my-yard --check frog-floor\n  flangeway check " +
			"my-yard --format csv --all-pairs\n  flangeway check my-yard -o result.xlsx",
		Args:              usageArgs(cobra.ExactArgs(1)),
		ValidArgsFunction: completeFolders,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.chooseFormat(cmd.Flags().Changed("format")); err != nil {
				return err
			}
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
	f.StringArrayVar(&o.whatIf, "what-if", nil, "try an `edit`: \"frog F4 flangeway_depth=1-7/8\", \"drop car CAR\", "+
		"\"close frog F4\", \"hold CAR off frog F4\" (or off a track or a location), \"turn CAR 2\" (an axle), or "+
		"\"T4\", a work of the plan; may be given several times")
	f.StringVar(&o.draw, "draw", "", "also write a drawing of each location's worst pair (SVG) into this `folder`")
	f.BoolVar(&o.summary, "summary", false, "count by location and check and list no pair, for any number of wheels: "+
		"the arithmetic of --plain (text, csv, json)")
	f.StringVar(&o.failOn, "fail-on", "conflict", "exit 1 from this `level` on: "+strings.Join(failOns(), ", "))
	f.StringVarP(&o.output, "output", "o", "", "write the result to this `file`; .xlsx is a workbook")
	logFlag(cmd, &o.log)
	completeWords(cmd, "format", formats())
	completeWords(cmd, "check", interaction.CheckIDs())
	complete(cmd, "location", ofSurvey(locationsOf))
	complete(cmd, "car", ofSurvey(carsOf))
	completeWords(cmd, "fail-on", failOns())
	return cmd
}

// chooseFormat takes the format from the output file's ending if --format is not given. A workbook is for a file alone.
func (o *checkOptions) chooseFormat(given bool) error {
	forms := map[string]string{".txt": "text", ".md": "markdown", ".csv": "csv", ".json": "json", ".xlsx": formatXLSX}
	ending := forms[strings.ToLower(filepath.Ext(o.output))]
	var own []string // any, if --format says what is written
	if !given {
		own = slices.Sorted(maps.Keys(forms))
	}
	if err := writtenAs("-o", o.output, own, map[string]string{".html": paperAdvice, ".htm": paperAdvice,
		".svg": drawingAdvice}); err != nil {
		return err
	}
	switch {
	case given && o.format == formatXLSX && ending != formatXLSX:
		return usagef("a workbook is written with -o FILE.xlsx")
	case given && ending == formatXLSX && o.format != formatXLSX:
		return usagef("--format %s and -o %s contradict each other", o.format, o.output)
	case !given && ending != "":
		o.format = ending
	}
	return nil
}

func runCheck(ctx context.Context, s streams, o checkOptions, dir string) error {
	if !slices.Contains(formats(), o.format) && o.format != formatXLSX {
		return usagef("--format %q is not one of %s", o.format, strings.Join(formats(), ", "))
	}
	if !slices.Contains(failOns(), o.failOn) {
		return usagef("--fail-on %q is not one of %s", o.failOn, strings.Join(failOns(), ", "))
	}
	if o.check != "" && interaction.CheckByID(o.check) == nil {
		return usagef("--check %q is not one of %s", o.check, strings.Join(interaction.CheckIDs(), ", "))
	}
	if err := writable(o.output); err != nil {
		return err
	}
	if o.log != "" && (o.summary || o.location+o.car+o.check != "" || len(o.whatIf) > 0) {
		return usagef("--log goes by the whole survey as it is: leave --summary, --location, --car, --check and " +
			"--what-if out")
	}
	if o.summary {
		return runSummary(ctx, s, o, dir)
	}
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer work.end()
	work.at("reading the survey")
	o.planned = o.format == formatXLSX
	var j judged
	err := unlessInterrupted(ctx, func() (err error) {
		if j, err = o.judge(work, dir); err != nil || !o.withPlan(j) {
			return err
		}
		work.at("choosing what to do")
		j.Plan, err = plan.Make(j.Result.Engine(), plan.Options{Level: plan.LevelConflict, NoCurve: true})
		if err == nil {
			j.Orders, j.Sheet = j.Plan.Orders(), j.Plan.CarSheet()
		}
		return err
	})
	if err != nil {
		return err
	}
	work.end() // before anything else is written
	if o.format != "json" {
		warn(s.err, j.Survey.Warnings)
	}
	if o.log != "" {
		if err := logDefects(s, logged(o.log, j.Survey), j.Result, plan.Defects(j.Result.Engine())); err != nil {
			return err
		}
	}
	if o.draw != "" {
		if err := j.drawLocations(o.draw); err != nil {
			return err
		}
	}
	if err := j.deliver(ctx, s, o, dir); err != nil {
		return err
	}
	if j.fails(o.failOn) {
		return errFindings
	}
	return nil
}

// withPlan reports whether the plan and its orders go with a result: into a workbook of a whole survey that is not so
// large that choosing takes minutes.
func (o checkOptions) withPlan(j judged) bool {
	return o.planned && o.location == "" && o.car == "" && o.check == "" && !o.allPairs &&
		len(j.Survey.Fleet.Wheels)*len(j.Survey.Track.Features) <= manyPairs
}

// deliver writes the result to standard output or to its file.
func (j judged) deliver(ctx context.Context, s streams, o checkOptions, dir string) error {
	// A line that is written over would get between the lines of a result that goes to a terminal itself.
	work := startProgress(s.err, watched(s.err) && (o.output != "" || !watched(s.out)), progressAfter, time.Second)
	defer work.end()
	work.at("writing the result")
	if o.output == "" {
		return j.write(ctx, s.out, s.screen(), o, dir)
	}
	inputs := j.Survey.Own()
	if o.since != "" {
		inputs = append(inputs, o.since)
	}
	return writeWholeFrom(o.output, func(w io.Writer) error { return j.write(ctx, w, paper.Screen{}, o, dir) },
		inputs...)
}

// write prints the result. Text and markdown are built whole before the first
// byte; the lists of all pairs are streamed.
func (j judged) write(ctx context.Context, w io.Writer, screen paper.Screen, o checkOptions, dir string) error {
	out := &checkedWriter{ctx: ctx, w: w}
	switch o.format {
	case "json":
		return out.done(export.CheckJSON(out, j.Input))
	case "csv":
		return out.done(export.CSV(out, j.Input))
	case formatXLSX:
		err := export.XLSX(out, j.Input, paper.SheetName(j.Survey, j.Survey.Sum(j.Book), j.Program), paper.SpokenText)
		if errors.Is(err, export.ErrRows) {
			return inputf("%v (expected --format csv, or without --all-pairs)", err)
		}
		return out.done(err)
	}
	page := paper.Check(j.Input, formOf(o.format), dir)
	page.Screen = screen
	return out.done(page.Write(out))
}

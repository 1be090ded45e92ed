package main

import (
	"bytes"
	"context"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/plan"
	"flangeway/internal/each"
	"flangeway/internal/survey"
)

type jobOptions struct {
	format string
	survey string
	plain  bool
}

func newJobCmd(s streams) *cobra.Command {
	var o jobOptions
	cmd := &cobra.Command{
		Use: "job NAME [DIR]", Short: "the cars of a job against its route, the worst first",
		Long: `job takes a job of jobs.csv: the tracks that it runs over, in the order of the run,
and the cars that it takes. Every wheel of these cars is judged on every place of
the route, as check judges it, and each car is printed with the worst that it
meets, the worst car first: which tracks it may not use, and what lies behind them.

A car that meets a conflict on a track may not use it. One whose readings leave it
open, or of which nothing was read, is named so and is never taken for clear.

The survey is the second argument, --survey DIR, else the folder at hand.`,
		Example: "  flangeway job local my-yard\n  flangeway job local --survey my-yard --format csv",
		Args:    usageArgs(cobra.RangeArgs(1, 2)),
		RunE: func(cmd *cobra.Command, args []string) error {
			name, dir, err := o.which(args)
			if err != nil {
				return err
			}
			return runJob(cmd.Context(), s, o, name, dir)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.survey, "survey", "", "the `folder` or workbook of the survey")
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.BoolVar(&o.plain, "plain", false, "the arithmetic on the readings only, nothing computed from shapes or forces")
	completeWords(cmd, "format", formats())
	return cmd
}

// which tells the job's name from the survey: the survey stands second, or first where only the first is a folder or a
// workbook.
func (o jobOptions) which(args []string) (name, dir string, err error) {
	isSurvey := func(name string) bool {
		info, err := os.Stat(name)
		return err == nil && (info.IsDir() || survey.IsWorkbook(name))
	}
	switch {
	case len(args) == 1 && o.survey != "":
		return args[0], o.survey, nil
	case len(args) == 1:
		return args[0], ".", nil
	case o.survey != "":
		return "", "", usagef("the survey is given twice, as %s and with --survey %s", args[1], o.survey)
	case isSurvey(args[0]) && !isSurvey(args[1]):
		return args[1], args[0], nil
	}
	return args[0], args[1], nil
}

func runJob(ctx context.Context, s streams, o jobOptions, name, dir string) error {
	if err := knownFormat(o.format); err != nil {
		return err
	}
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer work.end()
	work.at("reading the survey")
	var in export.Job
	err := unlessInterrupted(ctx, func() (err error) {
		in, err = o.judge(work, strings.Join(strings.Fields(name), " "), dir)
		return err
	})
	if err != nil {
		return err
	}
	var b bytes.Buffer
	switch o.format {
	case "json":
		err = export.JobJSON(&b, in)
	case "csv":
		err = export.JobCSV(&b, in)
	default:
		err = s.show(paper.Job(in, formOf(o.format), dir)).Write(&b)
	}
	if err != nil {
		return err
	}
	work.end() // before anything else is written
	if o.format != "json" {
		warn(s.err, in.Survey.Warnings)
	}
	out := &checkedWriter{ctx: ctx, w: s.out}
	_, err = out.Write(b.Bytes())
	return out.done(err)
}

// judge judges the cars of the job on its route.
func (o jobOptions) judge(work *progress, name, dir string) (in export.Job, err error) {
	whole, book, err := readSurvey(dir)
	if err != nil {
		return in, err
	}
	if in.Job = whole.Routes.Job(name); in.Job == nil {
		known := each.Of(whole.Routes.Jobs, func(j *survey.Job) string { return j.Name })
		if len(known) == 0 {
			return in, usagef("the survey has no job (expected a sheet jobs.csv with the job %q, and tracks.csv)", name)
		}
		return in, usagef("%q is not a job of the survey%s", name, offer(name, known))
	}
	in.Survey, in.Book, in.Program = plan.OnRoute(whole, in.Job), book, "flangeway "+version()
	work.at("judging " + paper.Count(len(in.Survey.Fleet.Wheels)) + " wheels on " +
		paper.Count(len(in.Survey.Track.Features)) + " places")
	engine, err := engineFor(in.Survey, book, interaction.Options{Progress: work.steps}, o.plain)
	if err != nil {
		return in, err
	}
	in.Result = engine.Judge()
	in.Riders, in.Cautions = plan.Riders(in.Result, in.Job), caution.OfSurvey(in.Survey)
	for _, l := range in.Result.Locations() {
		in.Places = append(in.Places, export.Place{Location: l, Findings: in.Result.WorstAt(l)})
	}
	in.Defaults = in.Result.DefaultsUsed()
	if _, in.Risks, err = assessed(in.Result); err != nil {
		return in, err
	}
	in.First = plan.Leading(in.Result, in.Risks)
	return in, nil
}

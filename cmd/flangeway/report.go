package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction/plan"
	"flangeway/internal/survey"
)

type reportOptions struct {
	out     string
	without []string
	plain   bool
	// appendix prints everything
	appendix bool
}

func newReportCmd(s streams) *cobra.Command {
	var o reportOptions
	cmd := &cobra.Command{
		Use: "report DIR -o FILE.html", Short: "one page with tables and drawings that both departments sign",
		Long: `report writes the result of check as one HTML file that needs nothing else: no
network, no other file. Its first sheet is the one to decide by: what hits where, what
it costs to end it, what is not known, the work in the order of the plan, the wheels to
pull, the cars kept off, what to read next, and a line for each department to sign.
Then what the money ends, the readings beyond a federal limit, the worst pairs drawn, six
on a sheet, and the work orders. All else is an appendix, folded on the screen and left
out of print unless --appendix: each location with its worst pair drawn to scale, its
table and what fixes it on either side, the limits by department, wear, and what was
assumed. It prints on letter and A4 in black and white. What tables are filtered and
ordered by stands in the address of the page.

An old file is replaced whole or, after an error, left as it is.`,
		Example: "  flangeway report my-yard -o review.html\n  flangeway report my-yard -o review.html --without " +
			"limits,signatures",
		Args: usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return runReport(cmd.Context(), s, o, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "output", "o", "", "the `file` to write, as review.html (required)")
	f.StringSliceVar(&o.without, "without", nil, "leave these `parts` out: "+strings.Join(paper.ReportParts(), ", "))
	f.BoolVar(&o.appendix, "appendix", false, "print the appendix too, and show it unfolded")
	f.BoolVar(&o.plain, "plain", false, "the arithmetic on the readings only, nothing computed from shapes or forces")
	return cmd
}

func runReport(ctx context.Context, s streams, o reportOptions, dir string) error {
	if o.out == "" {
		return usagef("-o FILE.html is missing: where the page goes")
	}
	for _, w := range o.without {
		if !slices.Contains(paper.ReportParts(), w) {
			return usagef("--without %q is not one of %s", w, strings.Join(paper.ReportParts(), ", "))
		}
	}
	if err := writtenAs("-o", o.out, nil, map[string]string{".xlsx": bookAdvice, ".svg": drawingAdvice}); err != nil {
		return err
	}
	if err := writable(o.out); err != nil {
		return err
	}
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer func() { work.end() }()
	work.at("reading the survey")
	var j judged
	err := unlessInterrupted(ctx, func() (err error) {
		j, err = checkOptions{plain: o.plain, planned: true}.judge(work, dir)
		return err
	})
	if err != nil {
		return err
	}
	work.end() // before anything else is written
	warn(s.err, j.Survey.Warnings)
	work = startProgress(s.err, watched(s.err), progressAfter, time.Second)
	work.at("making the plan and the page")
	var b bytes.Buffer
	err = unlessInterrupted(ctx, func() error {
		in, err := j.reportInput(o.without)
		if err != nil {
			return err
		}
		in.Appendix = o.appendix
		return paper.Report(in, dir).Write(&b)
	})
	if err != nil {
		return err
	}
	return writeWhole(o.out, b.Bytes(), inputsOf(j.Survey)...)
}

// reportInput collects what the page shows but for the parts that are left out: the risk
// of each place, the plan and the wear.
func (j judged) reportInput(without []string) (in paper.ReportInput, err error) {
	in = paper.ReportInput{Input: j.Input, Without: without}
	if !slices.Contains(without, "plan") || !slices.Contains(without, "orders") {
		p, err := plan.Make(j.Result.Engine(), plan.Options{Level: plan.LevelConflict})
		if err != nil {
			return in, err
		}
		in.Plan = planned(p)
		in.Plan.Placings = p.Placings(j.Risks, j.assessment)
		in.Ranked = p.Ranked(j.Result)
	}
	if !slices.Contains(without, "wear") {
		in.Wear, err = plan.WearRates(j.Survey)
	}
	return in, err
}

// inputsOf lists the files that no page and no drawing may be written over: those of
// the survey, and whatever looks like a sheet or settings beside them.
func inputsOf(sv *survey.Survey) []string {
	out := sv.Own()
	entries, err := os.ReadDir(sv.Dir)
	if err == nil {
		for _, e := range entries {
			if x := strings.ToLower(filepath.Ext(e.Name())); x == ".csv" || x == ".yaml" || x == ".yml" ||
				x == ".xlsx" {
				out = append(out, filepath.Join(sv.Dir, e.Name()))
			}
		}
	}
	return out
}

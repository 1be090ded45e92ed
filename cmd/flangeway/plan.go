package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
	"flangeway/interaction/plan"
)

type planOptions struct {
	format    string
	level     string
	budget    string
	crewDays  string
	trackOnly bool
	carsOnly  bool
	whatIf    []string
}

func newPlanCmd(s streams) *cobra.Command {
	var o planOptions
	cmd := &cobra.Command{
		Use: "plan DIR", Short: "what to repair, turn and hold, at the least cost",
		Long: `plan chooses the cheapest set of repairs, turnings and holds after which no
conflict is left and no pair is worse than it was. Every pair is judged again on the
readings that the work orders ask for, with their tolerance. It prints the cost, the
least that any such set can cost, and whether the two are equal.

With --budget or --crew-days it chooses what removes most conflicting passes a year for
the money. Costs and traffic stand in railroad.yaml; what does not is a default and is
named.`,
		Example: "  flangeway plan my-yard\n  flangeway plan my-yard --budget 10000\n  flangeway plan my-yard --format csv",
		Args:    usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPlan(cmd.Context(), s, o, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.StringVar(&o.level, "level", plan.LevelConflict, "pairs to remove: conflict, or undecided with them")
	f.StringVar(&o.budget, "budget", "", "spend at most this `amount`")
	f.StringVar(&o.crewDays, "crew-days", "", "take at most this many `days` of all crews")
	f.BoolVar(&o.trackOnly, "track-only", false, "work on the track side alone")
	f.StringArrayVar(&o.whatIf, "what-if", nil, "try an `edit` first, such as \"drop car CAR\"; may be given several times")
	f.BoolVar(&o.carsOnly, "cars-only", false, "work on the car side alone")
	return cmd
}

// amount reads a flag that is a number with at most the given digits behind the point.
func amount(flag, text string, digits int) (*int64, error) {
	if text == "" {
		return nil, nil
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v >= 0 && v <= 1e9) {
		return nil, usagef("--%s %q is not an amount from 0 to 1000000000", flag, text)
	}
	n := int64(math.Floor(v*math.Pow10(digits) + 1e-6))
	return &n, nil
}

func (o planOptions) options() (plan.Options, error) {
	out := plan.Options{Level: o.level, TrackOnly: o.trackOnly, CarsOnly: o.carsOnly}
	if !slices.Contains([]string{plan.LevelConflict, plan.LevelUndecided}, o.level) {
		return out, usagef("--level %q is not one of conflict, undecided", o.level)
	}
	if o.trackOnly && o.carsOnly {
		return out, usagef("--track-only and --cars-only leave nobody to do the work")
	}
	var err error
	if out.Budget, err = amount("budget", o.budget, 2); err != nil {
		return out, err
	}
	out.CrewDays, err = amount("crew-days", o.crewDays, 3)
	return out, err
}

func runPlan(ctx context.Context, s streams, o planOptions, dir string) error {
	if !slices.Contains(formats(), o.format) {
		return usagef("--format %q is not one of %s", o.format, strings.Join(formats(), ", "))
	}
	opt, err := o.options()
	if err != nil {
		return err
	}
	sv, _, err := readSurvey(dir)
	if err != nil {
		return err
	}
	if o.format != "json" {
		for _, w := range sv.Warnings {
			fmt.Fprintf(s.err, "%s: warning: %s\n", w.Place, w.Text)
		}
	}
	var before *plan.Plan
	if len(o.whatIf) > 0 {
		if before, err = plan.Make(sv, opt); err != nil {
			return err
		}
		if sv, err = whatIf(sv, o.whatIf); err != nil {
			return err
		}
	}
	p, err := plan.Make(sv, opt)
	if err != nil {
		return err
	}
	out := &checkedWriter{ctx: ctx, w: s.out}
	var b bytes.Buffer
	switch o.format {
	case "json":
		err = export.PlanJSON(&b, p, before, o.whatIf)
	case "csv":
		err = export.PlanCSV(&b, p)
	default:
		err = text.Plan(&b, p, text.PlanOptions{Program: "flangeway " + version(), Survey: sv, Markdown: o.format == "markdown", Before: before, Edits: o.whatIf})
	}
	if err != nil {
		return err
	}
	_, err = out.Write(b.Bytes())
	return out.done(err)
}

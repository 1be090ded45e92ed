package main

import (
	"bytes"
	"cmp"
	"context"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/limit"
	"flangeway/internal/parallel"
	"flangeway/internal/survey"
	"flangeway/track"
)

type planOptions struct {
	format    string
	level     string
	budget    string
	crewDays  string
	trackOnly bool
	carsOnly  bool
	by        string
	plain     bool
	whatIf    []string
	orders    bool
	frogs     bool
	switches  bool
	curves    bool
	draw      string
	ignore    bool
	log       string
	done      []string
	output    string
}

func newPlanCmd(s streams) *cobra.Command {
	var o planOptions
	cmd := &cobra.Command{
		Use: "plan DIR", Short: "what to repair, turn and hold, at the least cost",
		Long: `plan chooses the cheapest set of repairs, turnings and holds after which no
conflict is left and no pair is worse than it was. Every pair is judged again on the
readings that the work orders ask for, and on all that may be left within what a gang
can keep (the tolerance of each work in costs): the orders print that window. It prints
the cost, the least that any such set can cost, and whether the two are equal. Costs
are those of five years (horizon_years under costs): holds, slow orders and lower
classes are paid every year, a work whose life ends before is done again.

Readings beyond a federal limit are answered first, by repair or by what the rule
itself allows: a speed, a lower class that the place meets, out of service, a car that
does not go. Each answer has its price, its day and what holds until then. A budget
below that is exceeded, and the plan says so. --ignore-limits leaves them to someone
else, and says how many. The orders of other works say too how the conflicts that they
end are kept apart until then: cars kept off, a place out of service or flagged.

With --budget or --crew-days it chooses what leaves least harm for the money: expected
conflicting passes a year, each weighed by how bad its conflict can be; --by passes
counts them alike, --by money by what an accident of their kind costs. Costs and
traffic stand in railroad.yaml; what does not is a default and is named.

--frogs, --switches and --curves print the roadmaster's list in place of the actions:
every frog, switch or curve, what hits there and how often, the work, its cost and what
it ends for the money, first what ends most; what a federal rule asks for stands beside.

With --log, or -o defects.csv, the readings beyond a federal limit go into that sheet
with what the plan does about each, by when and how it is protected until then.

With --done T3,C7 -o FOLDER the survey after that work is written: the readings that
the orders ask for. Rows of an earlier day are kept as history; one of the survey's day,
and one without a day, is changed where it stands. The folder it is made of stays as
it is.`,
		Example: "  flangeway plan my-yard\n  flangeway plan my-yard --budget 10000\n  flangeway plan my-yard " +
			"--format csv\n  flangeway plan my-yard --frogs",
		Args: usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			return runPlan(cmd.Context(), s, o, args[0])
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.StringVar(&o.level, "level", plan.LevelConflict, "pairs to remove: conflict, or undecided with them")
	f.StringVar(&o.budget, "budget", "", "spend at most this `amount`")
	f.StringVar(&o.crewDays, "crew-days", "", "take at most this many `days` of all crews")
	f.StringVar(&o.by, "by", plan.ByHarm, "what a budget leaves least of: "+strings.Join(plan.Bys(), ", "))
	f.BoolVar(&o.trackOnly, "track-only", false, "work on the track side alone")
	f.StringArrayVar(&o.whatIf, "what-if", nil,
		"try an `edit` first, such as \"drop car CAR\"; may be given several times")
	f.BoolVar(&o.orders, "orders", false, "print the work orders and the car department's sheet in place of the plan "+
		"(text, markdown)")
	f.BoolVar(&o.frogs, "frogs", false, "list all frogs by what their work ends for the money, in place of the actions")
	f.BoolVar(&o.switches, "switches", false, "the same for all switches")
	f.BoolVar(&o.curves, "curves", false, "the same for all curves")
	f.BoolVar(&o.plain, "plain", false, "the arithmetic on the readings only, nothing computed from shapes or forces")
	f.BoolVar(&o.ignore, "ignore-limits", false,
		"leave readings beyond a federal limit to someone else, and say how many")
	f.StringVar(&o.draw, "draw", "", "also draw money against pairs left into this svg `file`")
	f.StringSliceVar(&o.done, "done", nil,
		"write the survey after this `work` is done, as T3,C7, into the folder of -o")
	f.StringVarP(&o.output, "output", "o", "", "the new `folder` for the survey after the work of --done")
	logFlag(cmd, &o.log)
	f.BoolVar(&o.carsOnly, "cars-only", false, "work on the car side alone")
	completeWords(cmd, "format", formats())
	completeWords(cmd, "by", plan.Bys())
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
	out := plan.Options{Level: o.level, TrackOnly: o.trackOnly, CarsOnly: o.carsOnly, By: o.by, IgnoreLimits: o.ignore}
	if !slices.Contains(plan.Bys(), o.by) {
		return out, usagef("--by %q is not one of %s", o.by, strings.Join(plan.Bys(), ", "))
	}
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

// rankedKinds are the kinds of features that are listed for the roadmaster.
func rankedKinds() []track.Kind { return []track.Kind{track.Frog, track.Switch, track.Curve} }

// kinds are those that are asked for.
func (o planOptions) kinds() (out []track.Kind) {
	for i, asked := range []bool{o.frogs, o.switches, o.curves} {
		if asked {
			out = append(out, rankedKinds()[i])
		}
	}
	return out
}

func runPlan(ctx context.Context, s streams, o planOptions, dir string) error {
	if err := knownFormat(o.format); err != nil {
		return err
	}
	if o.orders && (o.format == "json" || o.format == "csv") {
		return usagef("--orders prints text or markdown, not %s", o.format)
	}
	if o.orders && len(o.kinds()) > 0 {
		return usagef("--orders and a list of --frogs, --switches or --curves are two outputs (expected one of them)")
	}
	opt, err := o.options()
	if err != nil {
		return err
	}
	if err := drawnAs(o.draw); err != nil {
		return err
	}
	if len(o.done) == 0 && filepath.Base(o.output) == survey.DefectsFile {
		o.log, o.output = o.output, ""
	}
	if err := o.knownDone(); err != nil {
		return err
	}
	if o.log != "" && len(o.whatIf) > 0 {
		return usagef("--log goes by the survey as it is: leave --what-if out")
	}
	var sv *survey.Survey
	var engine *judge.Engine
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer func() { work.end() }()
	work.at("judging the survey")
	err = unlessInterrupted(ctx, func() error {
		var book *limit.Book
		var err error
		if sv, book, err = readSurvey(dir); err != nil {
			return err
		}
		engine, err = engineFor(sv, book, interaction.Options{Progress: work.steps}, o.plain)
		return err
	})
	if err != nil {
		return err
	}
	work.end() // before anything else is written
	if o.format != "json" {
		warn(s.err, sv.Warnings)
	}
	work = startProgress(s.err, watched(s.err), progressAfter, time.Second)
	work.at("choosing among the works for " + paper.Count(len(sv.Fleet.Wheels)) + " wheels and " +
		paper.Count(len(sv.Track.Features)) + " places")
	var (
		p *plan.Plan
		b bytes.Buffer
	)
	err = unlessInterrupted(ctx, func() (err error) {
		p, err = o.print(s, &b, engine, opt)
		return err
	})
	if err != nil {
		return err
	}
	if o.log != "" {
		work.end() // before anything else is written
		if err := logDefects(s, logged(o.log, sv), engine.Judge(), p.Federal); err != nil {
			return err
		}
	}
	if len(o.done) > 0 {
		work.end() // before anything else is written
		return o.writeDone(s, sv, p)
	}
	if o.draw != "" {
		if err := drawCurve(o.draw, p, sv); err != nil {
			return err
		}
	}
	work.end() // before anything else is written
	out := &checkedWriter{ctx: ctx, w: s.out}
	_, err = out.Write(b.Bytes())
	return out.done(err)
}

// planned is a plan with its work orders.
func planned(p *plan.Plan) paper.Planned {
	return paper.Planned{Plan: p, Orders: p.Orders(), Sheet: p.CarSheet()}
}

func (o planOptions) print(s streams, b *bytes.Buffer, engine *judge.Engine,
	opt plan.Options) (p *plan.Plan, err error) {
	var (
		before *plan.Plan
		notes  []string
	)
	sv := engine.Survey
	if len(o.whatIf) > 0 {
		if before, err = plan.Make(engine, opt); err != nil {
			return nil, err
		}
		if sv, notes, err = whatIf(sv, o.whatIf, func() (*plan.Plan, error) { return before, nil }); err != nil {
			return nil, err
		}
		if engine, err = engineBeside(sv, engine, interaction.Options{}); err != nil {
			return nil, err
		}
	}
	var (
		beside besides
		fault  error
	)
	kinds := o.kinds()
	page := len(o.done) == 0 && (o.format == "json" || o.format != "csv" && len(kinds) == 0 && !o.orders)
	each := parallel.Each
	if manyPairs < len(sv.Fleet.Wheels)*len(sv.Track.Features) { // both at once take more memory
		each = inTurn
	}
	each(2, func(i int) {
		if i == 0 {
			p, err = plan.Make(engine, opt)
		} else if page {
			beside, fault = besidesOf(engine, opt)
		}
	})
	if err = cmp.Or(err, fault); err != nil {
		return nil, err
	}
	printed := paper.PlanOptions{Program: "flangeway " + version(), Survey: sv, Sum: sv.Sum(engine.Book),
		Form: formOf(o.format), Before: before, Edits: o.whatIf, Notes: notes}
	if page {
		beside.lay(&printed, p)
	}
	var list []plan.Ranked
	if len(kinds) > 0 && len(o.done) == 0 {
		list = p.Ranked(engine.Judge(), kinds...)
	}
	switch {
	case len(o.done) > 0: // sheets are written and no page
	case o.format == "json":
		err = export.PlanJSON(b, p, before, export.NewRanked(list, sv.Columns), sv.Sum(engine.Book), o.whatIf, notes,
			caution.Plan(sv), export.PlanBeside{Risks: printed.Risks, Placings: printed.Placings, Next: printed.Measure,
				Wear: printed.Wear, Orders: p.Orders(), Sheet: p.CarSheet()})
	case o.format == "csv" && len(kinds) > 0:
		err = export.RankedCSV(b, list, sv.Columns, caution.Plan(sv))
	case o.format == "csv":
		err = export.PlanCSV(b, p, caution.Plan(sv))
	case len(kinds) > 0:
		err = s.show(paper.Ranking(planned(p), list, kinds, printed)).Write(b)
	case o.orders:
		err = s.show(paper.Orders(planned(p), printed)).Write(b)
	default:
		err = s.show(paper.Plan(planned(p), printed)).Write(b)
	}
	return p, err
}

// inTurn calls f for 0 to n-1, one after the other.
func inTurn(n int, f func(i int)) {
	for i := range n {
		f(i)
	}
}

// manyPairs is from how many pairs on what to measure next is found only at --level
// undecided, because it asks for a second plan.
const manyPairs = 400_000

// besides is what stands beside a plan on the page and does not hang on it.
type besides struct {
	assessment *plan.Assessment
	risks      []plan.Risk
	wear       []plan.Wear
	shares     []configs.Share
	rough      *plan.Plan // that tells what to measure next; nil: the plan itself does, or why says why none does
	why        string
}

// besidesOf finds what stands beside a plan.
func besidesOf(engine *judge.Engine, opt plan.Options) (out besides, err error) {
	sv := engine.Survey
	if out.assessment, out.risks, err = assessed(engine.Judge()); err != nil {
		return out, err
	}
	if out.wear, err = plan.WearRates(sv); err != nil {
		return out, err
	}
	if out.shares, err = plan.Shares(); err != nil {
		return out, err
	}
	switch {
	case opt.Level == plan.LevelUndecided && opt.Budget == nil && opt.CrewDays == nil:
	case len(sv.Fleet.Wheels)*len(sv.Track.Features) > manyPairs:
		out.why = "With so many pairs this asks for a run with --level undecided and no budget."
	default:
		out.rough, err = plan.Make(engine, plan.Options{Level: plan.LevelUndecided, TrackOnly: opt.TrackOnly,
			CarsOnly: opt.CarsOnly, NoCurve: true, IgnoreLimits: opt.IgnoreLimits, Rough: true})
	}
	return out, err
}

// lay gives what stands beside a plan to its page.
func (x *besides) lay(to *paper.PlanOptions, p *plan.Plan) {
	to.Assessment, to.Risks, to.Wear, to.Shares, to.MeasureWhy = x.assessment, x.risks, x.wear, x.shares, x.why
	to.Placings = p.Placings(x.risks, x.assessment)
	switch {
	case x.rough != nil:
		to.Measure = x.rough.MeasureNext()
	case x.why == "":
		to.Measure = p.MeasureNext()
	}
}

func drawCurve(name string, p *plan.Plan, sv *survey.Survey) error {
	named, err := namedOf(ask.Flags{}, &ask.Start{Survey: sv})
	if err != nil {
		return err
	}
	return writeWhole(name, draw.Named(paper.CostDrawing(p), named), inputsOf(sv)...)
}

package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/load"
	"flangeway/interaction/shaped"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
	"flangeway/wheel/shape"
)

func sweeps() []string { return []string{"degree", "hollow", "speed", "mu", "gauge"} }

// sweepPoints is how many values a sweep runs through.
const sweepPoints = 13

// swept is the quantity of a sweep: its unit, its usual range and its bounds.
type swept struct {
	unit            string
	from, to        float64
	least, greatest float64
}

func sweepOf(name string) (swept, bool) {
	s, ok := map[string]swept{
		"degree": {"deg", 1, 13, 0, 20},
		"hollow": {"mm", 0, 6, 0, 12},
		"speed":  {"mph", 0, 60, 0, 150},
		"mu":     {"", 0.1, 0.6, 0.01, 1},
		"gauge":  {"in", 56, 58, 55, 60},
	}[name]
	return s, ok
}

// sweepRange reads --sweep and --over.
func sweepRange(f ask.Flags) (swept, error) {
	s, ok := sweepOf(f["sweep"])
	if !ok {
		return s, usagef("--sweep %q is not one of %s", f["sweep"], strings.Join(sweeps(), ", "))
	}
	if f["over"] == "" {
		return s, nil
	}
	from, to, ok := strings.Cut(f["over"], "..")
	a, err1 := strconv.ParseFloat(strings.TrimSpace(from), 64)
	b, err2 := strconv.ParseFloat(strings.TrimSpace(to), 64)
	if !ok || err1 != nil || err2 != nil || !(a >= s.least && b <= s.greatest && a < b) {
		return s, usagef("--over %q is not FROM..TO within %g..%g %s", f["over"], s.least, s.greatest, s.unit)
	}
	s.from, s.to = a, b
	return s, nil
}

// with is the input with one quantity set.
func (in *truckInput) with(what string, v float64) (*truckInput, error) {
	c := *in
	switch what {
	case "hollow":
		return in.hollowed(v)
	case "degree":
		c.degree = v
	case "speed":
		c.speed, c.atBalance = v*measure.MetresPerSecondPerMPH, false
	case "mu":
		c.mu = [4]float64{v, v, v, v}
	case "gauge":
		c.axle.Gauge = v * measure.MMPerInch
	}
	return &c, nil
}

// sweep runs through a range and prints a table.
func (in *truckInput) sweep(s streams) error {
	f := in.Flags
	of, err := sweepRange(f)
	if err != nil {
		return err
	}
	out := export.Sweep{Schema: 1, Program: "flangeway " + version(), Over: f["sweep"], Unit: of.unit,
		Rows: []export.SweepRow{}, Inputs: usedInputs(in.Used),
		Warnings: append([]string{}, in.Warnings...), Cautions: caution.Curve()}
	for i := range sweepPoints {
		v := of.from + (of.to-of.from)*float64(i)/(sweepPoints-1)
		row, err := in.row(f["sweep"], v)
		if err != nil {
			return err
		}
		out.Rows = append(out.Rows, row)
	}
	return deliver(s, f, in.Start, out, func() []byte {
		return draw.Charts("Margins of a truck in a curve over the "+f["sweep"],
			[]draw.Panel{in.panel(f["sweep"], of, out.Rows)})
	}, export.SweepCSV, paper.Sweep)
}

// row is the truck at one value; a value at which there is no answer says why.
func (in *truckInput) row(what string, v float64) (export.SweepRow, error) {
	row := export.SweepRow{Value: export.Rounded(v)}
	c, err := in.with(what, v)
	var a shaped.TruckAnswer
	if err == nil {
		var r shaped.TruckRun
		if r, err = c.run(); err == nil {
			a, _, _, err = c.solved(r)
		}
	}
	for _, e := range []error{shape.ErrContradiction, curving.ErrOverturns, curving.ErrInput, contact.ErrOffRail,
		contact.ErrInput, load.ErrInput} {
		if errors.Is(err, e) {
			row.Why = err.Error()
			return row, nil
		}
	}
	if err != nil {
		return row, err
	}
	if !a.Converged {
		row.Why = a.Reason
	}
	row.Attack, row.HighLV, row.LowLV = value(a.Lead.Attack*1000), value(a.Lead.High.LV), value(a.Lead.Low.LV)
	row.SpreadingKN, row.BearingMM = value(a.Spreading/1000), value(a.Bearing)
	if a.Climbing != "" {
		row.ClimbMargin = value(a.ClimbMargin)
	}
	if a.Rollover.Defined {
		row.RolloverMargin = value(a.Rollover.Margin)
	}
	return row, nil
}

// panel is the chart of a sweep: both margins over what is swept.
func (in *truckInput) panel(what string, of swept, rows []export.SweepRow) draw.Panel {
	unit, factor := paper.UnitsOf(in.Survey).Axis(of.unit)
	p := draw.Panel{X: what, Unit: unit, Y: "margin in L/V", Zero: "the limit"}
	climb, roll := draw.Line{Name: "climb"}, draw.Line{Name: "rollover of a free rail", Dash: "6 4"}
	for _, r := range rows {
		if r.ClimbMargin != nil && r.Why == "" {
			climb.Points = append(climb.Points, [2]float64{r.Value * factor, *r.ClimbMargin})
		}
		if r.RolloverMargin != nil && r.Why == "" {
			roll.Points = append(roll.Points, [2]float64{r.Value * factor, *r.RolloverMargin})
		}
	}
	p.Lines = []draw.Line{climb, roll}
	return p
}

// runFleetChart is the sweep over hollow in every curve of a survey, the hollows of the fleet's wheels marked.
func runFleetChart(ctx context.Context, s streams, f ask.Flags) error {
	if f["sweep"] != "hollow" {
		return usagef("without --at the sweep is over hollow")
	}
	of, err := sweepRange(f)
	if err != nil {
		return err
	}
	start, err := ask.Open(f)
	if err != nil {
		return err
	}
	if _, err := start.Car(); err != nil {
		return err
	}
	var marks []draw.Mark
	for _, w := range start.Survey.Fleet.Wheels {
		if q := w.Read(wheel.TreadHollow); q.Measured() && !q.OneSided() && (f["car"] == "" || w.Car.ID == f["car"]) {
			marks = append(marks, draw.Mark{Name: w.Name(), At: q.As})
		}
	}
	slices.SortStableFunc(marks, func(a, b draw.Mark) int { return int(math.Copysign(1, b.At-a.At)) })
	all := export.Sweep{Schema: 1, Program: "flangeway " + version(), Over: f["sweep"], Unit: of.unit,
		Rows: []export.SweepRow{}, Warnings: []string{}, Cautions: caution.Curve()}
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer work.end()
	var panels []draw.Panel
	var left []error
	var curves []*track.Feature
	for _, f := range start.Survey.Track.Features {
		if f.Kind == track.Curve && f.Read(track.Degree).Measured() {
			curves = append(curves, f)
		}
	}
	for n, at := range curves {
		work.steps("running trucks through curves", n*sweepPoints, len(curves)*sweepPoints)
		in, err := truckFrom(start.Again(f.With("at", at.Name(), "car", "", "position", "")))
		var unusable *inputError
		if errors.As(err, &unusable) { // the others can be run
			left = append(left, err)
			all.Warnings = append(all.Warnings, at.Name()+" is left out: "+err.Error())
			continue
		}
		if err != nil {
			return err
		}
		var rows []export.SweepRow
		for i := range sweepPoints {
			if ctx.Err() != nil {
				return cli.Interrupted("there is no result")
			}
			row, err := in.row(f["sweep"], of.from+(of.to-of.from)*float64(i)/(sweepPoints-1))
			if err != nil {
				return err
			}
			row.Curve = at.Name()
			rows = append(rows, row)
			work.steps("running trucks through curves", n*sweepPoints+i+1, len(curves)*sweepPoints)
		}
		all.Rows = append(all.Rows, rows...)
		p := in.panel(f["sweep"], of, rows)
		p.Title, p.Marks = fmt.Sprintf("%s, %s: %.1f degrees", at.Name(), at.Location, at.Read(track.Degree).As), marks
		panels = append(panels, p)
	}
	work.end() // before anything else is written
	if len(panels) == 0 && left != nil {
		return left[0]
	}
	if len(panels) == 0 {
		return inputf("the survey has no curve with a degree")
	}
	return deliver(s, f, start, all, func() []byte {
		return draw.Charts("Hollow tread against the margins of a truck in each curve; this fleet's wheels marked",
			panels)
	}, export.SweepCSV, paper.Sweep)
}

package paper

import (
	"fmt"
	"math"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/measure"
)

// Curve is the page of the curve command.
func Curve(c export.Curve, form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, fmt.Sprintf("A truck in a curve of %g degrees", math.Round(c.Degree*100)/100))
	if !c.Converged {
		p.para("Not settled: " + c.Reason + ". The figures below are where the search ended and prove nothing.")
		p.gap()
	}
	if len(c.States) > 1 {
		p.heading(2, "In which ways it can stand")
		p.para(worded("This truck has %d steady states: where it runs hangs on where it came from. Every figure "+
			"below is that of the worst one, with the least margin against climbing or rollover.", len(c.States)))
		p.gap()
		var rows [][]string
		for _, s := range c.States {
			rows = append(rows, []string{s.From, fmt.Sprintf("%.2f", s.Shift), fmt.Sprintf("%.2f", s.Attack),
				number(s.ClimbMargin, 3), number(s.RolloverMargin, 3)})
		}
		p.table([]string{"from", "shift mm", "attack mrad", "climb", "rollover"}, rows, 1, 2, 3, 4)
		p.gap()
	}
	p.heading(2, "How near to a limit")
	var rows [][]string
	limit := func(what string, is float64, lim, margin *float64) {
		if lim != nil && margin != nil {
			rows = append(rows, []string{what, fmt.Sprintf("%.3f", is), fmt.Sprintf("%.3f", *lim),
				fmt.Sprintf("%+.3f", *margin)})
		}
	}
	if c.Nadal != nil {
		limit("climb: L/V of the "+c.ClimbWheel+" wheel (Nadal)", *c.Nadal-*c.ClimbMargin, c.Nadal, c.ClimbMargin)
	}
	for _, t := range c.Thresholds {
		limit("climb: the same wheel, "+t.Name, t.LV, &t.Limit, &t.Margin)
	}
	for _, a := range c.Axles() {
		if a.SumLimit != nil {
			m := *a.SumLimit - a.Sum
			limit("climb: both wheels of the "+a.Name+" axle", a.Sum, a.SumLimit, &m)
		}
	}
	if c.RolloverLimit != nil {
		limit("rollover: truck side on the "+c.RolloverRail+" rail, free", *c.RolloverLimit-*c.RolloverMargin,
			c.RolloverLimit, c.RolloverMargin)
	}
	p.table([]string{"what", "is", "limit", "margin"}, rows, 1, 2, 3)
	p.gap()
	if c.RolloverMargin != nil && *c.RolloverMargin < 0 {
		word := "the fastenings decide"
		if c.RolloverHeld != nil && *c.RolloverHeld < 0 {
			word = "beyond what fastenings are taken to hold"
		}
		p.item("rollover", word+".")
	}
	if c.ClimbDistanceFt != nil {
		p.item("climb distance", fmt.Sprintf("%.1f ft over Nadal's limit before that wheel is up (TCRP Report 71 "+
			"vol. 5 eq. 2.4).", *c.ClimbDistanceFt))
	}
	if c.GuardKN != nil {
		p.item("guard rail", fmt.Sprintf("keeps the lead high wheel from climbing and takes up to %.1f kN on the "+
			"back of the low wheel's flange.", *c.GuardKN))
	}
	if u := c.Unloading; u != nil {
		p.item("load", fmt.Sprintf("the lightest wheel keeps %.2f of its static load: twist takes %.2f, elevation "+
			"takes %.2f, a load to one side %.2f; more than 0.10 is to be left (49 CFR 238 appendix C).", u.LeastShare,
			u.Twist, u.Elevation, u.Imbalance))
	}
	p.item("truck sides", fmt.Sprintf("L/V high %.3f, low %.3f.", c.TruckSide.High, c.TruckSide.Low))
	p.item("spreading", fmt.Sprintf("%.1f kN outward on each rail, from two axles that follow each other.",
		c.SpreadingKN))
	if c.LoadedGaugeMM != nil {
		p.item("gauge", fmt.Sprintf("%s in under that, from the holding of ties (assumed) or as read.",
			measure.NearestInch(*c.LoadedGaugeMM, 16)))
	}
	if c.BearingMM != nil {
		p.item("bearing", fmt.Sprintf("%s in of tread left on the low rail beyond the least.",
			measure.NearestInch(*c.BearingMM, 16)))
	}
	p.item("wear number", apartFigure(fmt.Sprintf("%.0f", c.WearN))+" N for the truck.")
	balance := fmt.Sprintf("%.2f in of elevation missing", c.Unbalance)
	if c.Unbalance < 0 {
		balance = fmt.Sprintf("%.2f in more elevation than the speed asks for", -c.Unbalance)
	}
	p.item("speed", fmt.Sprintf("%.0f mph, %s.", c.SpeedMPH, balance))
	p.item("balance", worded("forces and moments close to %.1e of the axle's load after %d steps.", c.Residual,
		c.Iterations))
	p.gap()
	p.heading(2, "How it stands and presses")
	p.para("Shift is at rail level, positive to the high rail; a positive angle of attack steers into the high rail; " +
		"L is sideways toward the field side of the wheel's own rail.")
	p.gap()
	rows = nil
	for _, a := range c.Axles() {
		for _, w := range []struct {
			rail string
			w    export.CurveWheel
		}{{"high", a.High}, {"low", a.Low}} {
			bears := "tread"
			switch {
			case w.w.Flanging && w.w.Contacts > 1:
				bears = "tread and flange"
			case w.w.Flanging:
				bears = "flange"
			case w.w.FieldSide:
				bears = "field side"
			}
			rows = append(rows, []string{a.Name, w.rail, w.w.Position, fmt.Sprintf("%.2f", a.Attack),
				fmt.Sprintf("%.2f", a.Shift), fmt.Sprintf("%.1f", w.w.L), fmt.Sprintf("%.1f", w.w.V),
				fmt.Sprintf("%.3f", w.w.LV), fmt.Sprintf("%.1f", w.w.Angle), bears})
		}
	}
	p.table([]string{"axle", "rail", "wheel", "attack mrad", "shift mm", "L kN", "V kN", "L/V", "angle deg",
		"bears on"}, rows, 3, 4, 5, 6, 7, 8)
	p.gap()
	inputsEntered(p, c.Inputs)
	footer(p, c.Warnings, c.Cautions)
	return p
}

// inputsEntered are the inputs behind the answer, because they are looked up and not read first.
func inputsEntered(p *Document, inputs []export.ShapeInput) {
	p.heading(2, "What it started from")
	inputTable(p, inputs)
}

// Name says at the end of a page what of which survey it is of; nothing if that is "".
func (d *Document) Name(of string) {
	if of != "" {
		d.gap()
		d.para(d.words(of) + ".")
	}
}

func inputTable(p *Document, inputs []export.ShapeInput) {
	var rows [][]string
	for _, in := range inputs {
		rows = append(rows, []string{in.Name, input(in.Name, in.Value), in.From})
	}
	p.table([]string{"what", "value", "from"}, rows)
	p.gap()
}

func footer(p *Document, warnings, cautions []string) {
	p.gap()
	for _, w := range warnings {
		p.para("Note: " + w)
	}
	for _, c := range cautions {
		p.para(c)
	}
}

// Sweep is the page of a sweep.
func Sweep(s export.Sweep, form Form) *Document {
	p := &Document{Form: form}
	p.heading(1, "A truck in a curve over the "+s.Over)
	head := s.Over
	if s.Unit != "" {
		head += " " + s.Unit
	}
	columns := []string{head, "attack mrad", "L/V high", "L/V low", "climb", "rollover", "spreading kN", "bearing in"}
	at := ""
	var rows [][]string
	flush := func() {
		if len(rows) == 0 {
			return
		}
		if at != "" {
			p.heading(2, at)
		}
		p.table(columns, rows, 0, 1, 2, 3, 4, 5, 6, 7)
		p.gap()
		rows = nil
	}
	var why []string
	for _, r := range s.Rows {
		if r.Curve != at {
			flush()
			at = r.Curve
		}
		v := fmt.Sprintf("%g", math.Round(r.Value*1000)/1000)
		if r.Why != "" {
			why = append(why, fmt.Sprintf("%s %s: %s", r.Curve, v, r.Why))
			v += " *"
		}
		rows = append(rows, []string{v, number(r.Attack, 2), number(r.HighLV, 3), number(r.LowLV, 3),
			number(r.ClimbMargin, 3), number(r.RolloverMargin, 3), number(r.SpreadingKN, 1), inch(r.BearingMM)})
	}
	flush()
	p.para("Climb and rollover are margins in L/V, of the wheel and the truck side nearest to their limits; L/V are " +
		"those of the lead axle; bearing is what the low rail keeps beyond the least.")
	p.add(Bullets(why))
	if len(s.Inputs) > 0 {
		p.gap()
		inputsEntered(p, s.Inputs)
	}
	footer(p, s.Warnings, s.Cautions)
	return p
}

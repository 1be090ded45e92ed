package paper

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// PairDrawing collects what the drawing of a finding shows: its readings as written,
// and what follows from them. id stands before the ids inside the drawing.
func PairDrawing(e *judge.Engine, f *judge.Finding, id string) draw.Pair {
	p := draw.Pair{ID: id, Check: f.Check.ID, Title: HTML.findingTitle(f), Line: findingLine(f),
		Wheel: dimsOf(f.Wheel), Mate: dimsOf(f.Wheel.Mate()), Read: map[string]draw.Length{}}
	for _, r := range f.Readings {
		name := r.Quantity
		if r.Of != "" {
			name = r.Of + " " + name
		}
		p.Read[name] = lengthOf(e, r)
	}
	for _, q := range []track.Quantity{track.FlangewayWidth, track.GuardFlangeway} { // for the outline beside
		if r := f.Feature.Read(q); r.Measured() {
			if _, ok := p.Read[q.String()]; !ok {
				p.Read[q.String()] = draw.Length{MM: r.As, Lo: r.Lo, Hi: r.Hi, Text: withUnit(r.Written, " in")}
			}
		}
	}
	derive(p.Read, f)
	p.Desc = describe(f, p)
	return p
}

// derive adds to the readings what a drawing shows of their sums.
func derive(read map[string]draw.Length, f *judge.Finding) {
	switch f.Check.ID {
	case "frog-wing", "hollow-curve":
		if q, ok := read["tread_hollow"]; ok && f.Margin.Hi != nil {
			v := *f.Margin.Hi + q.Lo
			read["allowed"] = draw.Length{MM: v, Lo: v, Hi: v, Text: decimal(v) + " mm"}
		}
	case "wide-gauge":
		g, lies := read["gauge"]
		switch loaded, ok := read["loaded_gauge"]; {
		case ok && lies: // the greater counts, since no load narrows the track
			loaded.MM, loaded.Lo, loaded.Hi = max(loaded.MM, g.MM), max(loaded.Lo, g.Lo), max(loaded.Hi, g.Hi)
			loaded.Text += ", as it lies " + g.Text
			read["loaded_gauge"] = loaded
		case lies:
			for name, a := range read {
				if strings.HasPrefix(name, "loaded_gauge_allowance") {
					read["loaded_gauge"] = draw.Length{MM: g.MM + a.MM, Lo: g.Lo, Hi: g.Hi + a.MM, Text: g.Text +
						" and up to " +
						a.Text + " allowed"}
				}
			}
		}
		if least, ok := read["least_bearing"]; ok && f.Margin.Hi != nil && f.Margin.Lo != nil {
			lo, hi := *f.Margin.Lo+least.MM, *f.Margin.Hi+least.MM
			l := draw.Length{MM: (lo + hi) / 2, Lo: lo, Hi: hi, Text: measure.NearestInch(lo, 64) + ".." +
				measure.NearestInch(hi, 64) + " in"}
			if f.Margin.As != nil {
				l.MM = *f.Margin.As + least.MM
				l.Text = measure.NearestInch(l.MM, 64) + " in"
			}
			read["bearing"] = l
		}
	case "joint-bar":
		if f.Verdict == interaction.NotMeasured { // the section's edge, which proves nothing there
			delete(read, "bar_depth")
		}
		// A depth of the section is that of the unworn rail: the wear comes off.
		if b, ok := read["bar_depth"]; ok {
			if worn, ok := read["head_wear"]; ok {
				read["bar_depth"] = draw.Length{MM: b.MM - worn.MM, Lo: b.Lo - worn.Hi, Hi: b.Hi - worn.Lo,
					Text: strings.Replace(b.Text, ", ", "\n", 1) + "\nless " + worn.Text}
			}
		}
	case "point-pick":
		if gap, ok := read["point_gap"]; ok && f.Margin.Hi != nil && f.Margin.Lo != nil {
			// What the wear of the stock rail takes away may leave no gap at all.
			lo, hi := max(0, *f.Margin.Lo+gap.Hi), max(0, *f.Margin.Hi+gap.Lo)
			s := measure.NearestInch(lo, 64)
			if hi > lo+measure.Near {
				s += ".." + measure.NearestInch(hi, 64)
			}
			read["allowed"] = draw.Length{MM: lo, Lo: lo, Hi: hi, Text: s + " in"}
		}
	case "point-climb":
		drop, hasDrop := read["point_drop"]
		chip, hasChip := read["chip_depth"]
		top := drop
		if !hasDrop || hasChip && chip.MM > drop.MM {
			top = chip
			top.Text = "chip " + chip.Text
			if hasDrop {
				top.Text += "\nelse " + drop.Text
			}
		} else if hasChip {
			top.Text += "\nchip " + chip.Text
		}
		if hasDrop || hasChip {
			read["point_top"] = top
		}
		if least, ok := read["least_contact_angle"]; ok && f.Margin.Hi != nil {
			l := draw.Length{MM: *f.Margin.Hi + least.MM, Text: "<=" + decimal(*f.Margin.Hi+least.MM) + " deg"}
			if f.Margin.As != nil {
				l = draw.Length{MM: *f.Margin.As + least.MM, Text: decimal(*f.Margin.As+least.MM) + " deg"}
			}
			read["contact_angle"] = l
		}
	}
}

func decimal(v float64) string {
	s := fmt.Sprintf("%.1f", v)
	return strings.TrimSuffix(strings.Replace(s, "-0.0", "0.0", 1), ".0")
}

func dimsOf(w *wheel.Wheel) draw.WheelDims {
	if w == nil {
		return draw.WheelDims{}
	}
	value := func(q wheel.Quantity) float64 {
		if r := w.Read(q); r.Measured() {
			return r.As
		}
		return 0
	}
	return draw.WheelDims{Height: value(wheel.FlangeHeight), Thickness: value(wheel.FlangeThickness),
		Hollow: value(wheel.TreadHollow), Rim: value(wheel.RimWidth)}
}

func lengthOf(e *judge.Engine, r interaction.Entered) draw.Length {
	unit := " in"
	switch {
	case r.Angular:
		unit = " deg"
	case r.Quantity == wheel.TreadHollow.String():
		unit = " mm"
	}
	l := draw.Length{MM: r.Reading.As, Lo: r.Reading.Lo, Hi: r.Reading.Hi, Text: withUnit(e.Text(r), unit)}
	if r.Default && r.Side != "" {
		l.Text += ", not read"
	}
	return l
}

// withUnit adds the unit of the column where the reading is written without one.
func withUnit(s, unit string) string {
	if s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' {
		return s + unit
	}
	return s
}

func findingLine(f *judge.Finding) string {
	if f.Verdict == interaction.NotMeasured {
		return "needs " + needs(f)
	}
	who := HTML.wheel(f)
	if byPlace(f) {
		who += ", as any ordinary wheel"
	}
	margin := HTML.margin(marginText(f.Margin))
	if f.Computed != nil { // the drawing is of the readings alone
		margin = HTML.margin(f.Computed.Text()) + ", plain " + margin
	}
	return strings.ToUpper(f.Verdict.String()) + " " + margin + "; " + who
}

// describe says in words what the drawing shows.
func describe(f *judge.Finding, p draw.Pair) string {
	var parts []string
	for _, r := range f.Readings {
		name := r.Quantity
		if r.Of != "" {
			name = r.Of + " " + name
		}
		parts = append(parts, strings.ReplaceAll(name, "_", " ")+" "+strings.ReplaceAll(p.Read[name].Text, "\n", " "))
	}
	s := "A cut to scale: " + f.Check.Meets + ". " + strings.Join(slices.Compact(parts), ", ") + "."
	if m := marginText(f.Margin); m != "" {
		s += " Margin " + HTML.margin(m) + "; negative conflicts, what both would fill is black."
	}
	return s
}

// DrawnPair is the worst pair of a location that can be drawn, with its drawing: the
// first of those to explain, else the nearest clear one. Where no pair was measured the
// drawing says so.
func DrawnPair(e *judge.Engine, findings []*judge.Finding, id string) (*judge.Finding, []byte,
	error) {
	order := explained(findings)
	for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Clear} {
		for _, f := range findings {
			if f.Verdict == v && !slices.Contains(order, f) {
				order = append(order, f)
			}
		}
	}
	for _, f := range order {
		switch svg, err := draw.Draw(PairDrawing(e, f, id)); {
		case err == nil:
			return f, svg, nil
		case !errors.Is(err, draw.ErrNotRead):
			return nil, nil, err
		}
	}
	if len(findings) == 0 {
		return nil, nil, nil
	}
	f := findings[0]
	return nil, draw.Blank(draw.Pair{ID: id, Title: HTML.findingTitle(f), Line: findingLine(f),
		Desc: "No pair could be judged here, so none is drawn."}), nil
}

package paper

import (
	"errors"
	"slices"
	"strings"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// PairDrawing collects what the drawing of a finding shows: its readings as written, and what follows from them. id
// stands before the ids inside the drawing.
func PairDrawing(e *judge.Engine, f *judge.Finding, id string) draw.Pair {
	p := labelled(e, f, id)
	p.Shows, p.Wheel, p.Mate = f.Check.Drawing, dimsOf(f.Wheel), dimsOf(f.Wheel.Mate())
	p.Read = map[string]interaction.Dimension{}
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
				p.Read[q.String()] = interaction.Dimension{MM: r.As, Lo: r.Lo, Hi: r.Hi,
					Text: withUnit(r.Written, " in")}
			}
		}
	}
	if f.Check.Derived != nil {
		f.Check.Derived(interaction.Drawn{Read: p.Read, Verdict: f.Verdict, As: f.Margin.As, Lo: f.Margin.Lo,
			Hi: f.Margin.Hi})
	}
	p.Desc = describe(f, p)
	return p
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

func lengthOf(e *judge.Engine, r interaction.Entered) interaction.Dimension {
	unit := " in"
	switch {
	case r.Figure: // a weight or a percentage, which is only named
		return interaction.Dimension{Text: e.Text(r)}
	case r.Angular:
		unit = " deg"
	case r.Quantity == wheel.TreadHollow.String():
		unit = " mm"
	}
	l := interaction.Dimension{MM: r.Reading.As, Lo: r.Reading.Lo, Hi: r.Reading.Hi, Text: withUnit(e.Text(r), unit)}
	if r.Default && r.Side != "" {
		l.Text += ", not read"
	}
	return l
}

// withUnit adds the unit of the column if the reading is written without one.
func withUnit(s, unit string) string {
	if s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' {
		return s + unit
	}
	return s
}

// labelled is a drawing with its words: what happens where, the deciding distance, whose it is.
func labelled(e *judge.Engine, f *judge.Finding, id string) draw.Pair {
	who := HTML.wheel(f)
	if byPlace(f) {
		who += ", as any ordinary wheel"
	}
	p := draw.Pair{ID: id, Title: HTML.findingTitle(f), Block: []string{who, HTML.name(f.Feature.Location) + ", " +
		HTML.place(f), HTML.name(surveyName(e.Survey)), "survey " + survey.Digits(e.Survey.Sum(e.Book))}}
	margin := HTML.margin(marginText(f.Margin))
	switch {
	case f.Verdict == interaction.NotMeasured:
		p.About = "needs " + SpokenText(needs(f))
	case f.Computed != nil: // the drawing is of the readings alone
		p.Decides, p.About = strings.ToUpper(f.Verdict.String())+" "+HTML.margin(f.Computed.Text()),
			"plain rule "+margin
	default:
		p.Decides = strings.ToUpper(f.Verdict.String()) + " " + margin
	}
	return p
}

// describe says in words what the drawing shows.
func describe(f *judge.Finding, p draw.Pair) string {
	var parts []string
	for _, r := range f.Readings {
		name := r.Quantity
		if r.Of != "" {
			name = r.Of + " " + name
		}
		parts = append(parts, spokenOf(name)+" "+p.Read[name].Text)
	}
	s := "A cut to scale: " + f.Check.Meets + ". " + strings.Join(slices.Compact(parts), ", ") + "."
	if m := marginText(f.Margin); m != "" {
		s += " Margin " + HTML.margin(m) + "; negative conflicts, what both would fill is black."
	}
	return s
}

// DrawnPair is the worst pair of a location that can be drawn, with its drawing: the first of those to explain, else
// the nearest clear one. If no pair was measured the drawing says so.
func DrawnPair(e *judge.Engine, findings []*judge.Finding, id string) (*judge.Finding, []byte, error) {
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
	p := labelled(e, f, id)
	p.Desc = "No pair could be judged here, so none is drawn."
	return nil, draw.Blank(p), nil
}

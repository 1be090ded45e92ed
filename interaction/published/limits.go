package published

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// LimitTest is a federal limit, tried at its figure and a 64th to either side. It is no published value: it shows that
// the book condemns what the rule condemns.
type LimitTest struct {
	Rule, Subject, Class, CarKind string
	// Type is that of a frog, the service of a locomotive or the flange of an axle.
	Type     string
	Quantity string
	Condemns string // over, under, at or over, at or under
	Figure   string // in inches
	Document string
	Seen     string // how the figure is known
	Tries    [3]LimitTry
}

// LimitTry is one reading judged.
type LimitTry struct {
	Reading string // in inches
	Wants   limit.Verdict
	Gives   limit.Verdict
}

// Agrees reports that all readings are judged as the rule has it.
func (t LimitTest) Agrees() bool {
	return !slices.ContainsFunc(t.Tries[:], func(x LimitTry) bool { return x.Gives != x.Wants })
}

// TryLimits reads limits as typed from the rules and tries the federal book at each.
func TryLimits(sheet io.Reader) ([]LimitTest, error) {
	rows, err := rowsOf(sheet, 10)
	if err != nil {
		return nil, err
	}
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	book, problems := limit.Overlay(data.Sets["federal"])
	if len(problems) > 0 {
		return nil, problems[0]
	}
	var out []LimitTest
	for _, r := range rows {
		t := LimitTest{Rule: r[0], Subject: r[1], Class: r[2], CarKind: r[3], Type: r[4], Quantity: r[5],
			Condemns: r[6], Figure: r[7], Document: r[8], Seen: r[9]}
		if err := t.try(book); err != nil {
			return nil, fmt.Errorf("%w: %s %s %s: %w", errTables, t.Rule, t.Subject, t.Quantity, err)
		}
		out = append(out, t)
	}
	return out, nil
}

// try judges the three readings.
func (t *LimitTest) try(book *limit.Book) error {
	figure, below := strings.CutPrefix(t.Figure, "-")
	r, err := measure.Spec{Column: t.Quantity, Unit: measure.Inches, Lo: 0, Hi: 100 * measure.MMPerInch}.Parse(figure)
	if err != nil {
		return err
	}
	at := r.As
	if below {
		at = -at
	}
	for i := range t.Tries {
		v := at + float64(i-1)*measure.MMPerInch/64
		condemned, known := map[string]bool{"over": i > 1, "under": i < 1, "at or over": i >= 1,
			"at or under": i <= 1}[t.Condemns]
		if !known {
			return fmt.Errorf("%q is not a way to condemn", t.Condemns)
		}
		try := LimitTry{Reading: measure.NearestInch(v, 64), Wants: limit.Within}
		if condemned {
			try.Wants = limit.Beyond
		}
		if try.Gives = t.judged(book, measure.Exact(v, try.Reading)); try.Gives == "" {
			return fmt.Errorf("no rule judges it")
		}
		t.Tries[i] = try
	}
	return nil
}

// judged is the verdict of the paragraph's rules on a reading: beyond if any of them condemns it, "" if none judges it.
func (t *LimitTest) judged(book *limit.Book, reading measure.Reading) limit.Verdict {
	var word limit.Verdict
	s := limit.Subject{Kind: t.Subject, Class: t.Class, CarKind: t.CarKind, Read: func(q string) measure.Reading {
		if q == t.Quantity {
			return reading
		}
		return measure.Reading{}
	}}
	switch t.Subject {
	case "wheel":
		s.Service = t.Type
	case "axle":
		s.Flange = t.Type
	default:
		s.FrogType = t.Type
	}
	for _, j := range book.Judge(s) {
		if strings.HasPrefix(j.Rule.ID, t.Rule) && j.Quantity == t.Quantity &&
			(word == "" || j.Verdict == limit.Beyond) {
			word = j.Verdict
		}
	}
	return word
}

package interaction

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Published is one published value and what the program computes for it.
type Published struct {
	ID        string
	What      string
	Computes  string // which formula
	Args      string
	Published string // a number, or a verdict of a limit
	Unit      string
	Tolerance float64 // 0: rounded as published, both must be the same
	Source    string
	Section   string
	Kind      string
	Sure      string
	Computed  string
	// Difference is computed less published; 0 for a verdict that agrees.
	Difference float64
	Agrees     bool
}

// errPublished is a defect of the table itself.
var errPublished = errors.New("published values")

// CheckPublished reads a table of published values and computes each of them
// again. The error is about the table; a value that does not agree is in the
// result.
func CheckPublished(table io.Reader) ([]Published, error) {
	r := csv.NewReader(table)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", errPublished, err)
	}
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	c := &recomputer{data: data}
	var out []Published
	for i, row := range rows {
		if i == 0 {
			continue
		}
		p := Published{ID: row[0], What: row[1], Computes: row[2], Args: row[3], Published: row[4], Unit: row[5], Source: row[7], Section: row[8], Kind: row[9], Sure: row[10]}
		if p.Tolerance, err = strconv.ParseFloat(row[6], 64); err != nil {
			return nil, fmt.Errorf("%w: %s: tolerance %q", errPublished, p.ID, row[6])
		}
		if p.Source == "" || p.Section == "" || p.Kind == "" || p.Sure == "" {
			return nil, fmt.Errorf("%w: %s has no source, section, kind or word on how sure it is", errPublished, p.ID)
		}
		if err := c.fill(&p); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", errPublished, p.ID, err)
		}
		out = append(out, p)
	}
	return out, nil
}

type recomputer struct {
	data *configs.Data
	book *limit.Book
}

// fill computes a value and compares it.
func (c *recomputer) fill(p *Published) error {
	if p.Computes == "judge" {
		word, err := c.judge(p.Args)
		if err != nil {
			return err
		}
		p.Computed, p.Agrees = word, word == p.Published
		return nil
	}
	v, err := c.number(p.Computes, strings.Fields(p.Args))
	if err != nil {
		return err
	}
	published, err := strconv.ParseFloat(p.Published, 64)
	if err != nil {
		return err
	}
	decimals := 0
	if _, frac, ok := strings.Cut(p.Published, "."); ok {
		decimals = len(frac)
	}
	if p.Tolerance == 0 {
		scale := math.Pow10(decimals)
		v = math.Round(v*scale) / scale
		p.Computed = strconv.FormatFloat(v, 'f', decimals, 64)
	} else {
		p.Computed = strconv.FormatFloat(v, 'f', decimals+2, 64)
	}
	p.Difference = v - published
	p.Agrees = math.Abs(p.Difference) <= p.Tolerance+near
	return nil
}

func (c *recomputer) number(name string, args []string) (float64, error) {
	section := ""
	if name == "section_height" || name == "edge_depth" {
		section, args = args[0], args[1:]
	}
	a := make([]float64, len(args))
	for i, s := range args {
		v, err := strconv.ParseFloat(s, 64)
		if err != nil {
			return 0, err
		}
		a[i] = v
	}
	if v, known, err := c.shapeFormula(name, a); known {
		return v, err
	}
	if v, known, err := c.passageFormula(name, a); known {
		return v, err
	}
	need := map[string]int{"curve_speed": 3, "radius": 1, "degree_of_ordinate": 1, "ordinate": 2, "frog_angle_minutes": 1, "restraint_factor": 2, "guard_check_needed_mm": 2,
		"point_protection": 3, "free_passage": 2, "section_height": 2, "edge_depth": 0, "contact_angle": 4, "contact_angle_at": 3}
	if n, ok := need[name]; !ok || n != len(a) {
		return 0, fmt.Errorf("no formula %q of %d figures", name, len(a))
	}
	switch name {
	case "curve_speed":
		return track.CurveSpeedMPH(a[0], a[1], a[2])
	case "radius":
		return measure.RadiusFt(a[0])
	case "degree_of_ordinate":
		return measure.DegreeOfOrdinate(a[0])
	case "ordinate":
		return measure.OrdinateIn(a[0], a[1])
	case "frog_angle_minutes":
		d, err := track.FrogAngleDeg(a[0])
		return d * 60, err
	case "restraint_factor":
		return track.RestraintFactor(a[0], a[1])
	case "guard_check_needed_mm": // the guard check at which the frog-point margin is zero
		return c.exactMargin("frog-point", 0, a[0]/measure.MMPerInch, a[1]/measure.MMPerInch) * -measure.MMPerInch, nil
	case "point_protection":
		return c.exactMargin("frog-point", a[0], a[1], a[2]), nil
	case "free_passage":
		return c.exactMargin("guard-bind", a[1], a[0], 1), nil
	case "contact_angle":
		return ContactAngle(a[0]-a[3], a[1], a[2]), nil
	case "contact_angle_at":
		return ContactAngle(a[0], a[1], a[2]), nil
	}
	s, ok := c.data.Section(section)
	if !ok {
		return 0, fmt.Errorf("no rail section %q", section)
	}
	if name == "edge_depth" {
		return s.EdgeDepth() / measure.MMPerInch, nil
	}
	return s.HeadDepth/measure.MMPerInch + a[0] + a[1], nil
}

// exactMargin is the margin in inches of a check on exact readings, without the
// relief of the frog point: guard is the guard check or guard face, b the
// back-to-back and t the flange thickness, all in inches.
func (c *recomputer) exactMargin(check string, guard, b, t float64) float64 {
	return c.marginAt(check, survey.NewSettings(c.data.Settings).With("point_relief", 0, "0"),
		map[wheel.Quantity]float64{wheel.BackToBack: b, wheel.FlangeThickness: t},
		map[track.Quantity]float64{track.GuardCheck: guard, track.GuardFace: guard})
}

// marginAt is the margin in inches of a check of a wheel at a frog, both with exact
// readings in inches.
func (c *recomputer) marginAt(check string, settings survey.Settings, ofWheel map[wheel.Quantity]float64, ofFrog map[track.Quantity]float64) float64 {
	rules := NewRules(settings, c.data)
	w, f := map[wheel.Quantity]measure.Reading{}, map[track.Quantity]measure.Reading{}
	for q, in := range ofWheel {
		w[q] = measure.Exact(in*measure.MMPerInch, "")
	}
	for q, in := range ofFrog {
		f[q] = measure.Exact(in*measure.MMPerInch, "")
	}
	k := CheckByID(check)
	ws := &wheelSum{sum: sum{rules: rules}, w: wheel.NewPair("", w)}
	k.wheel(ws)
	ps := &placeSum{sum: sum{rules: rules}, f: track.New(track.Frog, "", "", f)}
	k.place(ps)
	return k.margin(rules, &ws.part, &ps.part).as / measure.MMPerInch
}

// judge gives the federal judgement of one exact reading: paragraph | subject |
// class | kind of car | frog type | quantity=num/den in inches. Only rules of the
// paragraph count; "beyond" where any of them condemns.
func (c *recomputer) judge(args string) (string, error) {
	if c.book == nil {
		book, problems := limit.Overlay(c.data.Sets["federal"])
		if len(problems) > 0 {
			return "", problems[0]
		}
		c.book = book
	}
	f := strings.Split(args, "|")
	if len(f) != 6 {
		return "", fmt.Errorf("%d parts in %q, not 6", len(f), args)
	}
	name, value, ok := strings.Cut(f[5], "=")
	num, den, ok2 := strings.Cut(value, "/")
	n, err1 := strconv.ParseFloat(num, 64)
	d, err2 := strconv.ParseFloat(den, 64)
	if !ok || !ok2 || err1 != nil || err2 != nil || d == 0 {
		return "", fmt.Errorf("%q is not quantity=num/den", f[5])
	}
	reading := measure.Exact(n/d*measure.MMPerInch, value)
	word := ""
	for _, j := range c.book.Judge(limit.Subject{Kind: f[1], Class: f[2], CarKind: f[3], FrogType: f[4], Read: func(q string) measure.Reading {
		if q == name {
			return reading
		}
		return measure.Reading{}
	}}) {
		if !strings.HasPrefix(j.Rule.ID, f[0]) || j.Quantity != name {
			continue
		}
		if word == "" || j.Verdict == limit.Beyond {
			word = string(j.Verdict)
		}
	}
	if word == "" {
		return "", fmt.Errorf("no rule of %s judges %s", f[0], name)
	}
	return word, nil
}

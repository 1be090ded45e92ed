// Package published computes again what documents and formulas give: the values of published.csv with the tables that
// name their sources, and the federal limits as typed.
//
// A value belongs to a table of published_tables.csv, which says how it is known: read in the document, from memory, or
// derived apart from this program. One tolerance a table, with its reason. A printed value that is off has what the
// program gives and why; it fails only if it differs otherwise. No value restates its input, and none is taken from
// this program's output.
package published

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Standing says where a value that is computed again comes from.
type Standing string

// The standings. They are counted apart: a value quoted from memory proves less than one that was read, and one that
// was worked out proves the arithmetic alone.
const (
	ReadThere  Standing = "read"    // printed in the document, and read there
	FromMemory Standing = "memory"  // printed in the document, quoted from memory or second hand
	Derived    Standing = "derived" // worked out apart from this program, or closed-form
)

// Standings are all of them in the order in which they are printed.
func Standings() []Standing { return []Standing{ReadThere, FromMemory, Derived} }

// Table is values of one document or formula, with one tolerance.
type Table struct {
	ID        string
	Title     string
	Standing  Standing
	Document  string // for a derived table who worked it out
	Section   string // for a derived table the formula
	Seen      string // how the document is known; "" for a derived table
	Unit      string
	Tolerance string // rounded, a share in % or a difference in the unit
	Why       string // why it is that
	Values    []Value
}

// Value is one value and what the program computes for it.
type Value struct {
	ID        string
	What      string
	Computes  string // which formula
	Args      string
	Published string
	Computed  string
	// Difference is computed less published.
	Difference float64
	Agrees     bool
	// Because is why the published value is known to be another than the computed one, "" if it is not; Gives is then
	// what the program is known to compute.
	Because, Gives string
}

// Known reports a value that disagrees as it is known to.
func (p Value) Known() bool { return !p.Agrees && p.Because != "" && p.Computed == p.Gives }

// errTables is a defect of the tables themselves.
var errTables = errors.New("published values")

// Recompute reads the tables and their values and computes each value again. The error is about the tables; a value
// that does not agree is in the result.
func Recompute(tables, values io.Reader) ([]Table, error) {
	heads, err := rowsOf(tables, 9)
	if err != nil {
		return nil, err
	}
	rows, err := rowsOf(values, 8)
	if err != nil {
		return nil, err
	}
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	var out []Table
	at := map[string]int{}
	for _, h := range heads {
		t := Table{ID: h[0], Title: h[1], Standing: Standing(h[2]), Document: h[3], Section: h[4], Seen: h[5],
			Unit: h[6], Tolerance: h[7], Why: h[8]}
		switch {
		case !slices.Contains(Standings(), t.Standing) || (t.Seen == "") != (t.Standing == Derived):
			return nil, fmt.Errorf("%w: table %s does not say how it is known", errTables, t.ID)
		case t.Title == "" || t.Document == "" || t.Section == "" || t.Why == "":
			return nil, fmt.Errorf("%w: table %s has no title, document, section or reason of its tolerance", errTables,
				t.ID)
		}
		at[t.ID] = len(out)
		out = append(out, t)
	}
	c := &recomputer{data: data}
	for _, r := range rows {
		i, ok := at[r[0]]
		if !ok {
			return nil, fmt.Errorf("%w: %s stands in no table", errTables, r[1])
		}
		p := Value{ID: r[1], What: r[2], Computes: r[3], Args: r[4], Published: r[5], Gives: r[6], Because: r[7]}
		if err := c.fill(&p, out[i].Tolerance); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", errTables, p.ID, err)
		}
		out[i].Values = append(out[i].Values, p)
	}
	return out, nil
}

// rowsOf are the rows of a sheet under its heading.
func rowsOf(sheet io.Reader, columns int) ([][]string, error) {
	r := csv.NewReader(sheet)
	r.Comment, r.FieldsPerRecord = '#', columns
	rows, err := r.ReadAll()
	if err != nil || len(rows) == 0 {
		return nil, fmt.Errorf("%w: %w", errTables, err)
	}
	return rows[1:], nil
}

type recomputer struct {
	data *configs.Data
}

// fill computes a value and compares it.
func (c *recomputer) fill(p *Value, tolerance string) error {
	v, err := c.number(p.Computes, strings.Fields(p.Args))
	if err != nil {
		return err
	}
	published, err := strconv.ParseFloat(p.Published, 64)
	if err != nil {
		return err
	}
	digits := p.Published
	if p.Gives != "" {
		digits = p.Gives
	}
	_, frac, _ := strings.Cut(digits, ".")
	decimals, most := len(frac), 0.0
	share, isShare := strings.CutSuffix(tolerance, "%")
	switch {
	case tolerance == "rounded":
		scale := math.Pow10(decimals)
		v = math.Round(v*scale) / scale
	case isShare:
		most, err = strconv.ParseFloat(share, 64)
		most *= math.Abs(published) / 100
	default:
		most, err = strconv.ParseFloat(tolerance, 64)
	}
	if err != nil {
		return fmt.Errorf("tolerance %q: %w", tolerance, err)
	}
	p.Difference, p.Agrees = v-published, math.Abs(v-published) <= most+measure.Near
	if tolerance != "rounded" && p.Gives == "" {
		decimals += 2
	}
	p.Computed = strconv.FormatFloat(v, 'f', decimals, 64)
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
	if v, known, err := loadFormula(name, a); known {
		return v, err
	}
	need := map[string]int{"curve_speed": 3, "radius": 1, "ordinate": 2, "frog_angle_minutes": 1, "restraint_factor": 2,
		"point_protection": 3, "free_passage": 2, "section_height": 2, "edge_depth": 0, "contact_angle_at": 3}
	if known, err := takes(need, name, a); !known || err != nil {
		return 0, cmp.Or(err, fmt.Errorf("no formula %q", name))
	}
	switch name {
	case "curve_speed":
		return track.CurveSpeedMPH(a[0], a[1], a[2])
	case "radius":
		return measure.RadiusFt(a[0])
	case "ordinate":
		return measure.OrdinateIn(a[0], a[1])
	case "frog_angle_minutes":
		d, err := track.FrogAngleDeg(a[0])
		return d * 60, err
	case "restraint_factor":
		return track.RestraintFactor(a[0], a[1])
	case "point_protection":
		return c.exactMargin("frog-point", a[0], a[1], a[2]), nil
	case "free_passage":
		return c.exactMargin("guard-bind", a[1], a[0], 1), nil
	case "contact_angle_at":
		return interaction.ContactAngle(a[0], a[1], a[2]), nil
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

// takes reports whether a formula is among those that need so many figures; it errs if there are others.
func takes(need map[string]int, name string, a []float64) (known bool, err error) {
	n, known := need[name]
	if known && n != len(a) {
		err = fmt.Errorf("%s takes %d figures", name, n)
	}
	return known, err
}

// exactMargin is the margin in inches of a check on exact readings, without the relief of the frog point: guard is the
// guard check or guard face, b the back-to-back and t the flange thickness, all in inches.
func (c *recomputer) exactMargin(check string, guard, b, t float64) float64 {
	return c.marginAt(check, survey.NewSettings(c.data.Settings).With("point_relief", 0, "0"),
		map[wheel.Quantity]float64{wheel.BackToBack: b, wheel.FlangeThickness: t},
		map[track.Quantity]float64{track.GuardCheck: guard, track.GuardFace: guard})
}

// marginAt is the margin in inches of a check of a wheel at a frog, both with exact readings in inches.
func (c *recomputer) marginAt(check string, settings survey.Settings, ofWheel map[wheel.Quantity]float64,
	ofFrog map[track.Quantity]float64) float64 {
	w, f := map[wheel.Quantity]measure.Reading{}, map[track.Quantity]measure.Reading{}
	for q, in := range ofWheel {
		w[q] = measure.Exact(in*measure.MMPerInch, "")
	}
	for q, in := range ofFrog {
		f[q] = measure.Exact(in*measure.MMPerInch, "")
	}
	trial := interaction.NewTrial(settings, c.data)
	k := slices.IndexFunc(trial.Checks, func(c *interaction.Check) bool { return c.ID == check })
	as, _ := trial.Margin(k, trial.Wheel(wheel.NewPair("", w)), trial.Place(track.New(track.Frog, "", "", f)))
	return as / measure.MMPerInch
}

// Count counts the values of one standing.
type Count struct {
	Tables, Values, Agree int
	Known                 int // disagree as they are known to
	Differ                int // disagree otherwise
}

// CountOf counts the values of a standing. Counts of different standings are not added: a value read in its document
// and one worked out prove different things.
func CountOf(tables []Table, s Standing) (c Count) {
	for _, t := range tables {
		if t.Standing != s {
			continue
		}
		c.Tables++
		for _, v := range t.Values {
			c.Values++
			switch {
			case v.Agrees:
				c.Agree++
			case v.Known():
				c.Known++
			default:
				c.Differ++
			}
		}
	}
	return c
}

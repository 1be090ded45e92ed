package configs

import (
	"fmt"
	"strconv"
	"strings"

	"flangeway/internal/measure"
)

// Condition is what condemns: a quantity, an operator and a value. Value is in the
// quantity's core unit (mm, degrees, mph).
type Condition struct {
	Quantity string
	Op       string // "<", "<=", ">" or ">="
	Value    float64
	Written  string // the value as the rule writes it, with its unit
}

// Rule is one limit of a book.
type Rule struct {
	ID      string
	Set     string
	Subject string // wheel, axle, truck, frog, switch, curve, joint or spot
	// When narrows the rule: an empty list means any.
	Classes  []string // track classes: excepted, 1 to 5
	Kinds    []string // kinds of car
	Types    []string // types of frog
	NotTypes []string
	// Condemns holds one condition, or several that must all be met.
	// It is empty for a reminder, which no reading of the sheets can judge.
	Condemns []Condition
	Reminder bool
	Action   string
	Source   string
	Kind     string // regulation, standard, practice or assumed
	Sure     string // how sure the figure is: read, second hand, from memory, …
	Note     string
	Place    measure.Place
}

// Set is one book of limits.
type Set struct {
	Name  string
	Title string
	Rules []Rule
}

// QuantityUnit gives the unit in which a rule writes a quantity: a length column's
// own unit, else the unit of the derived quantities and of speed.
func QuantityUnit(quantity string) (unit string, ok bool) {
	switch quantity {
	case "speed_mph":
		return "mph", true
	case "tread_hollow":
		return "mm", true
	case "degree", "face_angle", "gauge_face_angle":
		return "deg", true
	case "flange_height", "flange_thickness", "vertical_flange", "rim_thickness", "back_to_back", "back_to_back_max", "diameter", "rim_width",
		"gauge", "loaded_gauge", "flangeway_depth", "flangeway_width", "guard_check", "guard_face", "guard_flangeway", "tread_wear",
		"point_worn_down", "point_worn_back", "point_gap", "point_drop", "point_thickness", "chip_depth", "chip_length", "stock_rail_wear",
		"undercut", "open_clearance", "heel_rise", "bar_depth", "elevation", "head_wear", "gauge_face_wear", "warp",
		// derived from several readings
		"back_to_back_variation", "diameter_difference", "truck_diameter_difference", "unbalance":
		return "in", true
	}
	return "", false
}

// ParseSet reads a book of limits: the built-in ones and a railroad's own file
// alike. Values are written with or without their unit, in the quantity's own unit
// (inches; tread_hollow mm; speed_mph mph).
func ParseSet(m *Mapping, name string, problems *measure.Problems) Set {
	set := Set{Name: name, Title: m.Text("title")}
	if m.Has("schema") && m.Text("schema") != "1" {
		m.Fail("schema", "unknown schema", "schema: 1")
	}
	seen := map[string]measure.Place{}
	for _, c := range m.List("rules") {
		r := parseRule(c, name)
		if first, twice := seen[r.ID]; twice && r.ID != "" {
			c.Fail("id", fmt.Sprintf("rule %q stands twice", r.ID), "each id once; the first stands in line "+strconv.Itoa(first.Line))
		}
		seen[r.ID] = r.Place
		set.Rules = append(set.Rules, r)
	}
	m.Done()
	return set
}

func words(c *Mapping, key string, allowed ...string) []string {
	var out []string
	for _, it := range c.Texts(key) {
		ok := false
		for _, a := range allowed {
			ok = ok || a == it.Text
		}
		if !ok {
			c.problems.Add(it.Place, key, fmt.Sprintf("%q is not known here", short(it.Text)), "one of "+strings.Join(allowed, ", "))
			continue
		}
		out = append(out, it.Text)
	}
	return out
}

func parseRule(c *Mapping, set string) Rule {
	r := Rule{ID: c.Need("id"), Set: set, Subject: c.Need("subject"), Action: c.Need("action"), Source: c.Need("source"),
		Kind: kindOf(c), Sure: c.Text("sure"), Note: c.Text("note"), Place: c.PlaceOf("id")}
	switch r.Subject {
	case "wheel", "axle", "truck", "frog", "switch", "curve", "joint", "spot", "":
	default:
		c.Fail("subject", fmt.Sprintf("%q is not a subject", short(r.Subject)), "wheel, axle, truck, frog, switch, curve, joint or spot")
	}
	when := c.Sub("when")
	r.Classes = words(when, "class", "excepted", "1", "2", "3", "4", "5")
	r.Kinds = words(when, "kind", "freight", "locomotive", "passenger", "steam")
	types := []string{"bolted", "rbm", "solid", "heavy-point", "self-guarded", "spring", "flange-bearing"}
	r.Types = words(when, "type", types...)
	r.NotTypes = words(when, "not_type", types...)
	when.Done()
	switch word := c.Text("reminder"); word {
	case "yes":
		r.Reminder = true
	case "no", "":
	default:
		c.Fail("reminder", fmt.Sprintf("%q is neither yes nor no", short(word)), "yes or no")
	}
	if !r.Reminder {
		quantity := c.Need("quantity")
		r.Condemns = append(r.Condemns, parseCondition(c.Sub("condemns"), quantity, c))
		if c.Has("and") {
			and := c.Sub("and")
			r.Condemns = append(r.Condemns, parseCondition(and, and.Need("quantity"), and))
		}
	} else {
		c.Text("quantity")
	}
	c.Done()
	return r
}

func parseCondition(c *Mapping, quantity string, named *Mapping) Condition {
	cond := Condition{Quantity: quantity, Op: c.Need("op")}
	switch cond.Op {
	case "<", "<=", ">", ">=", "":
	default:
		c.Fail("op", fmt.Sprintf("%q is not a comparison", short(cond.Op)), "<, <=, > or >=")
	}
	unit, ok := QuantityUnit(quantity)
	if !ok {
		if quantity != "" {
			named.Fail("quantity", fmt.Sprintf("%q is not a quantity that the sheets hold", short(quantity)), "a column of the sheets")
		}
		unit = "in"
	}
	spec := exact(map[string]measure.Unit{"in": measure.Inches, "mm": measure.Millimetres}[unit])
	switch unit {
	case "deg":
		spec = exact(measure.Degrees)
	case "mph":
		spec = exact(measure.Degrees)
		spec.Noun = "miles per hour"
	}
	if !c.Has("value") {
		c.problems.Add(c.place, "value", "the key is missing", "value: a figure")
	} else if v, ok := c.Length("value", spec); ok {
		cond.Value = v.As
		cond.Written = spec.Print(v.Written)
		if !strings.HasSuffix(cond.Written, "mm") && !strings.HasSuffix(cond.Written, `"`) { // no unit of its own
			cond.Written += " " + unit
		}
	}
	if c != named {
		c.Done()
	}
	return cond
}

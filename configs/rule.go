package configs

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"flangeway/internal/measure"
)

// Condition condemns: a quantity, an operator and a value. Value is in the quantity's core unit (mm, degrees, mph).
type Condition struct {
	Quantity string
	Op       string // "<", "<=", ">" or ">="
	Value    float64
	Written  string        // the value as the rule writes it, with its unit
	Place    measure.Place // of the quantity
	// Where says that the condition only tells where the rule holds: its own reading is not judged by it.
	Where bool
}

// Rule is one limit of a book.
type Rule struct {
	ID  string
	Set string
	// Subject is wheel, axle, truck, frog, switch, curve, joint or spot. A rule on back-to-back that is written for a
	// wheel is one for its axle.
	Subject string
	// When narrows the rule: an empty list means any.
	Classes  []string // track classes: excepted, 1 to 5
	Kinds    []string // kinds of car
	Types    []string // types of frog
	NotTypes []string
	Services []string // of a locomotive: road, yard
	Flanges  []string // of the wheels of an axle: narrow, wide
	Trains   []string // of a place, whose speed is judged: freight, passenger
	// Condemns holds one condition, or several that must all be met, those that tell where the rule holds at the end.
	// It is empty for a reminder, which no reading of the sheets can judge.
	Condemns []Condition
	Reminder bool
	Action   string
	Source   string
	Kind     string // regulation, standard, practice or assumed
	Sure     string // how sure the figure is: read, second hand, from memory, …
	Edition  string // of the source that was read, and the day
	Tell     string // said wherever the rule judges a reading; "" for nothing
	Note     string
	Remedy   Remedy // what the action lets a railroad do; the zero Remedy says nothing
	Place    measure.Place
}

// Warns reports a rule that warns before a figure and condemns nothing: what is beyond it is within every limit.
func (r Rule) Warns() bool { return r.Set == EarlyWarning }

// AsOf is the edition that a rule was read in, and the day, or what there is to say if none is given.
func (r Rule) AsOf() string {
	switch {
	case r.Edition != "":
		return r.Edition
	case r.Place.File != "":
		return "the railroad's own rules, " + r.Place.File + "; no edition is given there"
	}
	return "no edition is given"
}

// Set is one book of limits.
type Set struct {
	Name  string
	Title string
	Rules []Rule
}

// DefaultSets are the books of a railroad that names none: the federal rules, and the habit of warning before them.
func DefaultSets() []string { return []string{Federal, EarlyWarning} }

// Federal is the set of the federal rules.
const Federal = "federal"

// EarlyWarning is the set that warns before a federal figure and condemns nothing.
const EarlyWarning = "early-warning"

// QuantityUnit gives the unit in which a rule writes a quantity: that of its column in bounds.yaml, or that of a
// quantity without bounds or derived from several readings.
func QuantityUnit(quantity string) (unit string, ok bool) {
	switch quantity {
	case "speed_mph", "over_curve_speed":
		return "mph", true
	case "warp_over":
		return "ft", true
	case "degree":
		return "deg", true
	case "nominal_diameter", "nominal_diameter_most", "back_to_back_variation", "diameter_difference",
		"truck_diameter_difference", "unbalance":
		return "in", true
	}
	spec, ok := bounds().columns[quantity]
	switch {
	case !ok:
		return "", false
	case spec.Unit == measure.Inches:
		return "in", true
	case spec.Unit == measure.Millimetres:
		return "mm", true
	}
	return cmp.Or(spec.Noun, "deg"), true
}

// ParseSet reads a book of limits: the built-in ones and a railroad's own file alike. Values are written with or
// without their unit, in the quantity's own unit (inches; tread_hollow mm; speed_mph mph). A set may name the editions
// that its rules were read in once, under editions.
func ParseSet(m *Mapping, name string, problems *measure.Problems) Set {
	set := Set{Name: name, Title: m.Text("title")}
	if m.Has("schema") && m.Text("schema") != "1" {
		m.Fail("schema", "unknown schema", "schema: 1")
	}
	editions := m.Sub("editions")
	named := map[string]string{}
	for _, key := range editions.Keys() {
		named[key] = editions.Text(key)
	}
	editions.Done()
	remedies := parseRemedies(m)
	seen := map[string]measure.Place{}
	list := m.List("rules")
	set.Rules = make([]Rule, 0, len(list))
	for _, c := range list {
		r := parseRule(c, name)
		if text, ok := named[r.Edition]; ok {
			r.Edition = text
		}
		if first, twice := seen[r.ID]; twice && r.ID != "" {
			c.Fail("id", fmt.Sprintf("rule %q stands twice", r.ID), "each id once; the first stands in line "+
				strconv.Itoa(first.Line))
		}
		seen[r.ID] = r.Place
		r.Remedy = remedies.of(&r)
		set.Rules = append(set.Rules, r)
	}
	remedies.unused(problems)
	m.Done()
	return set
}

func words(c *Mapping, key string, allowed ...string) []string {
	var out []string
	for _, it := range c.Texts(key) {
		if !slices.Contains(allowed, it.Text) {
			c.problems.Add(it.Place, key, fmt.Sprintf("%q is not known here", measure.Short(it.Text)), "one of "+
				strings.Join(allowed, ", "))
			continue
		}
		out = append(out, it.Text)
	}
	return out
}

// HowKnown is how a figure is known that was not read in the present text of its source, from its record's word (sure);
// "" for one that was.
func HowKnown(sure string) string {
	if sure == "read" {
		return ""
	}
	return sure
}

// MemoryMark is the mark behind a figure whose source, or the word of how sure it is, says that it is from memory;
// "" behind any other.
func MemoryMark(said string) string {
	if strings.Contains(said, "from memory") {
		return " (from memory)"
	}
	return ""
}

// TrackClasses are the words of the column track_class and of a rule's classes.
func TrackClasses() []string { return []string{"excepted", "1", "2", "3", "4", "5"} }

// CarKinds are the words of the column kind of a car and of a rule's kinds.
func CarKinds() []string { return []string{"freight", "locomotive", "passenger", "steam"} }

// FrogTypes are the words of the column type of a frog and of a rule's types; the ordinary frog has no word.
func FrogTypes() []string {
	return []string{"bolted", "rbm", "solid", "heavy-point", "self-guarded", "spring", "flange-bearing"}
}

// Services are the words of the column service of a locomotive and of a rule's services.
func Services() []string { return []string{"road", "yard"} }

// Flanges are the words of a wheel design's flange and of a rule's flanges.
func Flanges() []string { return []string{"narrow", "wide"} }

// Trains are the words of a rule's trains: whose speed a place is judged by.
func Trains() []string { return []string{"freight", "passenger"} }

func parseRule(c *Mapping, set string) Rule {
	r := Rule{ID: c.Need("id"), Set: set, Subject: c.Need("subject"), Action: c.Need("action"),
		Source: c.Need("source"), Kind: kindOf(c), Sure: c.Text("sure"), Edition: c.Text("edition"),
		Tell: c.Text("tell"), Note: c.Text("note"), Place: c.PlaceOf("id")}
	switch r.Subject {
	case "wheel", "axle", "truck", "frog", "switch", "curve", "joint", "spot", "":
	default:
		c.Fail("subject", fmt.Sprintf("%q is not a subject", measure.Short(r.Subject)),
			"wheel, axle, truck, frog, switch, curve, joint or spot")
	}
	when := c.Sub("when")
	r.Classes = words(when, "class", TrackClasses()...)
	r.Kinds = words(when, "kind", CarKinds()...)
	r.Types = words(when, "type", FrogTypes()...)
	r.NotTypes = words(when, "not_type", FrogTypes()...)
	r.Services = words(when, "service", Services()...)
	r.Flanges = words(when, "flange", Flanges()...)
	r.Trains = words(when, "trains", Trains()...)
	when.Done()
	checkWhen(c, r)
	switch c.Text("reminder") {
	case "", "no":
	case "yes":
		r.Reminder = true
	default:
		c.Fail("reminder", fmt.Sprintf("%q is neither yes nor no", measure.Short(c.Text("reminder"))), "yes or no")
	}
	if !r.Reminder {
		quantity := c.Need("quantity")
		r.Condemns = append(r.Condemns, parseCondition(c.Sub("condemns"), quantity, c))
		if c.Has("and") {
			and := c.Sub("and")
			r.Condemns = append(r.Condemns, parseCondition(and, and.Need("quantity"), and))
		}
		for _, where := range c.List("where") {
			cond := parseCondition(where, where.Need("quantity"), where)
			cond.Where = true
			r.Condemns = append(r.Condemns, cond)
		}
	}
	if r.Subject == "wheel" && allAxle(r.Condemns) {
		r.Subject = "axle" // back-to-back is read at a wheel and belongs to both
	}
	c.Done()
	return r
}

// CheckReadings refuses the conditions on what cannot be read of a rule's subject, nor derived from its readings: such
// a rule would never judge. readable lists what can.
func (set Set) CheckReadings(readable func(subject string) []string, problems *measure.Problems) {
	for _, r := range set.Rules {
		known := readable(r.Subject)
		for _, cond := range r.Condemns {
			_, quantity := QuantityUnit(cond.Quantity)
			if quantity && len(known) > 0 && !slices.Contains(known, cond.Quantity) { // else it is reported by itself
				problems.Add(cond.Place, "quantity", fmt.Sprintf("a %s has no reading %s", r.Subject, cond.Quantity),
					"one of "+strings.Join(known, ", "))
			}
		}
	}
}

func allAxle(conditions []Condition) bool {
	for _, c := range conditions {
		if c.Quantity != "back_to_back" && c.Quantity != "back_to_back_max" {
			return false
		}
	}
	return len(conditions) > 0
}

// checkWhen refuses a condition that the subject can never meet: a wheel has no track class, a place no kind of car,
// and only frogs have types.
func checkWhen(c *Mapping, r Rule) {
	rolling := r.Subject == "wheel" || r.Subject == "axle" || r.Subject == "truck"
	switch {
	case r.Subject == "":
	case rolling && len(r.Classes) > 0:
		c.Fail("when", "a "+r.Subject+" has no track class", "kind: freight, locomotive, passenger or steam")
	case !rolling && len(r.Kinds) > 0:
		c.Fail("when", "a "+measure.Short(r.Subject)+" has no kind of car", "class: excepted, 1 to 5")
	case !rolling && len(r.Services)+len(r.Flanges) > 0:
		c.Fail("when", "a "+measure.Short(r.Subject)+" has no service and no flange", "class: excepted, 1 to 5")
	case rolling && len(r.Trains) > 0:
		c.Fail("when", "a "+r.Subject+" has no trains", "kind: freight, locomotive, passenger or steam")
	case len(r.Services) > 0 && !slices.Equal(r.Kinds, []string{"locomotive"}):
		c.Fail("when", "only locomotives have a service", "kind: [locomotive]")
	case r.Subject != "frog" && len(r.Types)+len(r.NotTypes) > 0:
		c.Fail("when", "only frogs have a type", "subject: frog")
	}
}

func parseCondition(c *Mapping, quantity string, named *Mapping) Condition {
	cond := Condition{Quantity: quantity, Op: c.Need("op"), Place: named.PlaceOf("quantity")}
	switch cond.Op {
	case "<", "<=", ">", ">=", "":
	default:
		c.Fail("op", fmt.Sprintf("%q is not a comparison", measure.Short(cond.Op)), "<, <=, > or >=")
	}
	unit, ok := QuantityUnit(quantity)
	if !ok {
		if quantity != "" {
			named.Fail("quantity", fmt.Sprintf("%q is not a quantity that the sheets hold", measure.Short(quantity)),
				"a column of the sheets")
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
	case "ft":
		spec = exact(measure.Degrees)
		spec.Noun = "feet"
	}
	if !c.Has("value") {
		c.problems.Add(c.place, "value", "the key is missing", "value: a figure")
	} else if v, ok := c.Length("value", spec); ok {
		cond.Value = v.As
		cond.Written = spec.Print(v.Written)
		// a value in another unit than its column's bears it: 19 mm, 5/16"
		if !strings.HasSuffix(cond.Written, "mm") && !strings.HasSuffix(cond.Written, `"`) {
			cond.Written += " " + unit
		}
	}
	if c != named {
		c.Done()
	}
	return cond
}

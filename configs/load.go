package configs

import (
	"embed"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"sync"

	"flangeway/internal/each"
	"flangeway/internal/measure"
)

//go:embed *.yaml limits/*.yaml
var files embed.FS

// Setting is one figure of the pair checks that a railroad may change. Value is in mm, degrees or days.
type Setting struct {
	Name    string
	Unit    string // "in", "mm", "deg", "days" or one of the plain units: of a number without a unit
	Value   float64
	Written string
	Meaning string
	Source  string
	Kind    string
	Low     float64
	High    float64
	// Words are the choices of a setting that is no figure; Value is then the index of its own, and Unit is "word".
	Words []string
	// Given says that the railroad's own file set it.
	Given bool
	// Fixed says that no railroad can set it.
	Fixed bool
}

// Section is a rail section, all in mm.
type Section struct {
	Name                  string
	Height, Base, Web     float64
	HeadWidth, HeadDepth  float64
	Source, Sure, Written string
}

// EdgeDepth is the depth of the head's underside at its edge below the top of an unworn rail, in mm: head depth less an
// eighth of the head width (a fishing slope of 1 in 4 over half the width).
func (s Section) EdgeDepth() float64 { return s.HeadDepth - s.HeadWidth/8 }

// Design is a wheel design, all in mm.
type Design struct {
	Name            string
	FlangeHeight    float64
	FlangeThickness float64
	RimWidth        float64
	BackToBack      float64
	Flange          string // narrow or wide; "" for a design that is neither
	Reference       bool   // one of the new wheels that every place is tried against
	Source, Kind    string
	Sure            string
}

// Worn is an ordinary worn wheel, in mm: what is not given is as its design has it.
type Worn struct {
	Name                          string
	Design                        Design
	FlangeHeight, FlangeThickness float64
	VerticalFlange, TreadHollow   float64
	Source, Kind                  string
}

// Designed is a feature kind as designed and unworn: column → length.
type Designed struct {
	Kind   string
	Number float64 // of a frog
	Type   string  // of a frog
	Values map[string]measure.Reading
	Source string
}

// Data is everything that is built in.
type Data struct {
	Columns  map[string]measure.Spec
	Settings []Setting
	Sections []Section
	Designs  []Design
	Worn     []Worn
	Designed map[string]Designed
	Sets     map[string]Set
	// Costs are the costs of works, in Currency.
	Currency string
	// HorizonYears is over how many years costs are counted.
	HorizonYears int64
	Costs        []Cost
}

// Load reads all built-in files, once: nobody writes to what it gives. An error means that the program was built from
// defective data; a test reads them all.
func Load() (*Data, error) { return builtIn() }

var builtIn = sync.OnceValues(readAll)

func readAll() (*Data, error) {
	d := &Data{Designed: map[string]Designed{}, Sets: map[string]Set{}}
	limits, err := fs.Glob(files, "limits/*.yaml")
	if err != nil {
		return nil, err
	}
	sets := make([]Set, len(limits))
	var found []*measure.Problems // by file
	// Reading them as YAML is most of what a short run does before it looks at the survey.
	var wait sync.WaitGroup
	load := func(name string, into func(m *Mapping, problems *measure.Problems)) {
		problems := &measure.Problems{}
		found = append(found, problems)
		wait.Go(func() { into(parseBuiltIn(name, problems), problems) })
	}
	for i, name := range limits {
		load(name, func(m *Mapping, problems *measure.Problems) {
			sets[i] = ParseSet(m, strings.TrimSuffix(path.Base(name), ".yaml"), problems)
		})
	}
	for _, x := range []struct {
		name string
		into func(*Mapping)
	}{{"settings.yaml", d.loadSettings}, {"rails.yaml", d.loadSections}, {"wheels.yaml", d.loadDesigns},
		{"asdesigned.yaml", d.loadDesigned}, {"costs.yaml", d.loadCosts}} {
		load(x.name, func(m *Mapping, _ *measure.Problems) { x.into(m) })
	}
	wait.Wait()
	d.Columns = maps.Clone(bounds().columns)
	found = append(found, &bounds().problems)
	for _, set := range sets {
		d.Sets[set.Name] = set
	}
	var problems measure.Problems
	for _, p := range found {
		problems.Append(p.List()...)
	}
	if err := problems.Err(); err != nil {
		return nil, fmt.Errorf("built-in data: %w", err)
	}
	return d, nil
}

func parseBuiltIn(name string, problems *measure.Problems) *Mapping {
	data, err := files.ReadFile(name)
	if err != nil {
		problems.Add(measure.Place{File: name}, "", err.Error(), "")
	}
	return ParseMapping("configs/"+name, data, problems)
}

// readBuiltIn reads one built-in file; an error means defective built-in data.
func readBuiltIn(name string, into func(*Mapping)) error {
	var problems measure.Problems
	into(parseBuiltIn(name, &problems))
	if err := problems.Err(); err != nil {
		return fmt.Errorf("built-in data: %w", err)
	}
	return nil
}

// exact is a column for figures of the built-in files, whose bounds are no matter.
func exact(unit measure.Unit) measure.Spec {
	return measure.Spec{Column: "value", Unit: unit, Lo: -1e6, Hi: 1e6}
}

func unitOf(m *Mapping, key string) measure.Unit {
	switch u := m.Need(key); u {
	case "in":
		return measure.Inches
	case "mm":
		return measure.Millimetres
	case "deg", "days":
		return measure.Degrees
	default:
		if slices.Contains(plainUnits(), u) {
			return measure.Degrees
		}
		m.Fail(key, fmt.Sprintf("%q is not a unit", u), "in, mm, deg, days, "+strings.Join(plainUnits(), ", "))
		return measure.Inches
	}
}

// plainUnits are the units of settings that are plain numbers.
func plainUnits() []string {
	return []string{"L/V", "friction", "lb", "kN.m", "MN.m/rad", "ratio", "percent", "kip/in", "passes"}
}

func (m *Mapping) needLength(key string, unit measure.Unit) float64 {
	if !m.Has(key) {
		m.problems.Add(m.place, key, "the key is missing", key+": value")
		return 0
	}
	r, _ := m.Length(key, exact(unit))
	return r.As
}

type boundsFile struct {
	columns  map[string]measure.Spec
	problems measure.Problems
}

// bounds reads bounds.yaml, once, because every rule is written in the units of its columns.
var bounds = sync.OnceValue(func() *boundsFile {
	b := &boundsFile{columns: map[string]measure.Spec{}}
	b.load(parseBuiltIn("bounds.yaml", &b.problems))
	return b
})

func (b *boundsFile) load(m *Mapping) {
	m.Need("source")
	m.Need("kind")
	for _, c := range m.List("columns") {
		unit := unitOf(c, "unit")
		s := measure.Spec{Column: c.Need("column"), Unit: unit, Lo: c.needLength("low", unit),
			Hi: c.needLength("high", unit)}
		for key, into := range map[string]*float64{"floor": &s.Floor, "nominal": &s.Nominal, "least_made": &s.LeastMade,
			"most_made": &s.MostMade, "most_narrow": &s.MostNarrow, "narrow_over": &s.NarrowOver} {
			if r, ok := c.Length(key, exact(unit)); ok {
				*into = r.As
			}
		}
		s.Notch = c.Text("notch")
		switch unit { // steps of angles and shares are not widened
		case measure.Inches:
			s.Step = measure.MMPerInch / 32
		case measure.Millimetres:
			s.Step = 0.5
		default:
			if u := c.Text("unit"); u != "deg" {
				s.Noun = u
			}
		}
		b.columns[s.Column] = s
		c.Done()
	}
	m.Done()
}

func (d *Data) loadSettings(m *Mapping) {
	for _, c := range m.List("settings") {
		if c.Text("unit") == "word" {
			d.Settings = append(d.Settings, wordSetting(c))
			c.Done()
			continue
		}
		unit := unitOf(c, "unit")
		s := Setting{Name: c.Need("name"), Unit: c.Text("unit"), Value: c.needLength("value", unit),
			Written: c.Text("value"), Meaning: c.Need("meaning"), Source: c.Need("source"), Kind: kindOf(c),
			Low: c.needLength("low", unit), High: c.needLength("high", unit)}
		d.Settings = append(d.Settings, s)
		c.Done()
	}
	m.Done()
}

func wordSetting(c *Mapping) Setting {
	s := Setting{Name: c.Need("name"), Unit: c.Text("unit"), Written: c.Need("value"), Meaning: c.Need("meaning"),
		Source: c.Need("source"), Kind: kindOf(c)}
	for _, w := range c.Texts("words") {
		s.Words = append(s.Words, w.Text)
	}
	if i := slices.Index(s.Words, s.Written); i >= 0 {
		s.Value = float64(i)
	} else {
		c.Fail("value", fmt.Sprintf("%q is none of its words", s.Written), strings.Join(s.Words, ", "))
	}
	return s
}

// Read reads the setting from the mapping of a railroad's settings; ok is false if it is absent or wrong.
func (s Setting) Read(m *Mapping) (given Setting, ok bool) {
	if s.Words == nil {
		r, ok := m.Length(s.Name, s.Spec())
		s.Value, s.Written, s.Given = r.As, r.Written, ok
		return s, ok
	}
	if !m.Has(s.Name) {
		return s, false
	}
	word, ok := measure.Canonical(strings.TrimSpace(m.Text(s.Name)), s.Words)
	if !ok {
		m.Fail(s.Name, fmt.Sprintf("%q is not known here", measure.Short(m.Text(s.Name))), "one of "+
			strings.Join(s.Words, ", "))
		return s, false
	}
	s.Value, s.Written, s.Given = float64(slices.Index(s.Words, word)), word, true
	return s, true
}

// Spec is how a setting that is a figure is read from railroad.yaml.
func (s Setting) Spec() measure.Spec {
	spec := measure.Spec{Column: s.Name, Unit: measure.Degrees, Lo: s.Low, Hi: s.High}
	switch s.Unit {
	case "in":
		spec.Unit = measure.Inches
	case "mm":
		spec.Unit = measure.Millimetres
	case "deg":
	default:
		spec.Noun = s.Unit
	}
	return spec
}

// Text is the setting as printed: its value and unit.
func (s Setting) Text() string {
	switch s.Unit {
	case "word":
		return s.Written
	case "in":
		return measure.Inch(s.Value) + " in"
	case "mm":
		return strings.TrimSuffix(fmt.Sprintf("%.1f", s.Value), ".0") + " mm"
	}
	if s.Unit == "ratio" {
		return strconv.FormatFloat(s.Value, 'f', -1, 64)
	}
	if slices.Contains(plainUnits(), s.Unit) {
		return strconv.FormatFloat(s.Value, 'f', -1, 64) + " " + s.Unit
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", s.Value), ".0") + " " + s.Unit
}

func kindOf(m *Mapping) string {
	k := m.Need("kind")
	switch k {
	case "regulation", "standard", "practice", "assumed", "":
	default:
		m.Fail("kind", fmt.Sprintf("%q is not a kind of figure", k), "regulation, standard, practice or assumed")
	}
	return k
}

func (d *Data) loadSections(m *Mapping) {
	kindOf(m)
	for _, c := range m.List("sections") {
		d.Sections = append(d.Sections, Section{Name: c.Need("name"), Height: c.needLength("height", measure.Inches),
			Base: c.needLength("base", measure.Inches), Web: c.needLength("web", measure.Inches),
			HeadWidth: c.needLength("head_width", measure.Inches), HeadDepth: c.needLength("head_depth",
				measure.Inches), Source: c.Need("source"), Sure: c.Need("sure"), Written: c.Text("head_depth")})
		c.Done()
	}
	m.Done()
}

func (d *Data) loadDesigns(m *Mapping) {
	for _, c := range m.List("designs") {
		d.Designs = append(d.Designs, Design{Name: c.Need("name"),
			FlangeHeight:    c.needLength("flange_height", measure.Inches),
			FlangeThickness: c.needLength("flange_thickness", measure.Inches),
			RimWidth:        c.needLength("rim_width", measure.Inches), BackToBack: c.needLength("back_to_back",
				measure.Inches),
			Reference: c.Text("reference") == "yes", Source: c.Need("source"), Kind: kindOf(c), Sure: c.Need("sure")})
		if flange := c.Text("flange"); slices.Contains(Flanges(), flange) {
			d.Designs[len(d.Designs)-1].Flange = flange
		} else if flange != "" {
			c.Fail("flange", fmt.Sprintf("%q is not a flange", flange), strings.Join(Flanges(), " or "))
		}
		c.Done()
	}
	for _, c := range m.List("worn") {
		w := Worn{Name: c.Need("name"), FlangeHeight: c.needLength("flange_height", measure.Inches),
			FlangeThickness: c.needLength("flange_thickness", measure.Inches),
			VerticalFlange:  c.needLength("vertical_flange", measure.Inches), TreadHollow: c.needLength("tread_hollow",
				measure.Millimetres), Source: c.Need("source"), Kind: kindOf(c)}
		var known bool
		if w.Design, known = d.Design(c.Need("design")); !known {
			c.Fail("design", "no such design", strings.Join(d.DesignNames(), ", "))
		}
		d.Worn = append(d.Worn, w)
		c.Done()
	}
	m.Done()
}

func (d *Data) loadDesigned(m *Mapping) {
	kindOf(m)
	features := m.Sub("features")
	for _, kind := range features.Keys() {
		c := features.Sub(kind)
		g := Designed{Kind: kind, Values: map[string]measure.Reading{}, Source: c.Need("source")}
		for _, key := range c.Keys() {
			switch key {
			case "source":
				continue
			case "number":
				if g.Number, _ = strconv.ParseFloat(c.Text(key), 64); g.Number <= 0 {
					c.Fail(key, "is not the number of a frog", "8")
				}
				continue
			case "type":
				if g.Type = c.Text(key); !slices.Contains(FrogTypes(), g.Type) {
					c.Fail(key, fmt.Sprintf("%q is no type of frog", g.Type), strings.Join(FrogTypes(), ", "))
				}
				continue
			}
			r, _ := c.Length(key, exact(measure.Inches))
			if key == "degree" {
				r, _ = c.Length(key, exact(measure.Degrees))
			}
			g.Values[key] = measure.Exact(r.As, r.Written)
		}
		d.Designed[kind] = g
		c.Done()
	}
	features.Done()
	m.Done()
}

// equal is how names are compared first: those in the sheets are mostly written as here.
func equal(a, b string) bool { return a == b }

// Section finds a rail section by name, capital letters or small, with or without blanks.
func (d *Data) Section(name string) (Section, bool) {
	for _, same := range []func(a, b string) bool{equal, measure.SameName} {
		for _, s := range d.Sections {
			if same(s.Name, name) {
				return s, true
			}
		}
	}
	return Section{}, false
}

// SectionNames lists the rail sections in order.
func (d *Data) SectionNames() []string {
	return each.Of(d.Sections, func(s Section) string { return s.Name })
}

// Design finds a wheel design by name, capital letters or small, with or without blanks.
func (d *Data) Design(name string) (Design, bool) {
	for _, same := range []func(a, b string) bool{equal, measure.SameName} {
		for _, s := range d.Designs {
			if same(s.Name, name) {
				return s, true
			}
		}
	}
	return Design{}, false
}

// DesignNames lists the wheel designs in order.
func (d *Data) DesignNames() []string {
	return each.Of(d.Designs, func(s Design) string { return s.Name })
}

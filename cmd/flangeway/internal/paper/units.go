package paper

import (
	"cmp"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"flangeway/configs"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// Units is the system of units in which a page is written. A page is built in the units of the trade (inches, feet,
// mph, pounds and kips; tread hollow in millimetres, as its column is read) and written in one system: what stands in
// a unit of the other is converted when the page is written, so that nothing above knows two.
type Units int

// The systems of units.
const (
	AsBuilt Units = iota // every figure in the unit in which it was put on the page
	Trade                // inches, feet, mph, pounds and kips
	Metric               // mm, m, km/h and kN; degrees of curve stay
)

// UnitsOf is the system of a survey's pages.
func UnitsOf(sv *survey.Survey) Units {
	if sv != nil && sv.Metric {
		return Metric
	}
	return AsBuilt
}

// AnalysisUnits is the system of a page that computes one wheel or truck, from a survey or without one.
func AnalysisUnits(sv *survey.Survey) Units {
	if sv != nil && sv.Metric {
		return Metric
	}
	return Trade
}

// A run of figures has one unit behind it: 1-1/4..1-1/2 in, -3/16 +-1/16 in, 1/2 to 1 in. A figure is none if a letter,
// a digit, a point, a colon or a hyphen stands before it, as in names and places of cells.
const (
	figurePattern = `(?:\d{1,3}(?:,\d{3})+|\d+)(?:-\d+/\d+|/\d+|\.\d+)?|\.\d+`
	signed        = `(?:\+-|±|[+\-])?(?:` + figurePattern + `)`
)

var (
	figuresRun = regexp.MustCompile(`(^|[^\w./:\-+±])(` + signed + `(?:(?:\.\.| to | or | \+-| ±)(?:` + signed + `|` +
		figurePattern + `))*)` +
		`( ?(?:kips?/in|kips?|inches|inch|in|mph|feet|foot|ft|lbf?|pounds|mm|kN\.m|kN|km/h|MPa|kg|N|m)\b|["”″])?`)
	oneFigure = regexp.MustCompile(figurePattern)
	// mixedTyped is a mixed number as a book may have it: 1 7/16".
	mixedTyped = regexp.MustCompile(`(^|[^\w./:\-])(\d{1,2}) (\d+/\d+)(["”″]| in\b)`)
	// feetInches is 5' 8"; minutes of a degree are none.
	feetInches = regexp.MustCompile(`(^|[^\w./:\-°])(\d+)['’′] ?(` + figurePattern + `|\d+ \d+/\d+)["”″]?`)
	feetAlone  = regexp.MustCompile(`(^|[^\w./:\-°])(\d+)['’′]`)
	twice      = regexp.MustCompile(`(` + signed + `) (in|lb) \((` + signed + `) (mm|kN)\)|(` + signed +
		`) (mm|kN) \((` +
		signed + `) (in|lb)\)`)
	// spanBehind is the range of a computed figure, in its unit.
	spanBehind  = regexp.MustCompile(`^ \(` + signed + `\.\.` + signed + `\)`)
	speedColumn = regexp.MustCompile(`\bspeed[_ ]mph\b`)
	headUnit    = regexp.MustCompile(`(^| |, )(in|mm|kN|N|MPa|mph|ft|lb)$`)
	svgText     = regexp.MustCompile(`(?s)(<(?:text|tspan|title|desc)\b[^>]*>)([^<]*)`)
	// hollowBefore says that millimetres are those of tread hollow.
	hollowBefore = regexp.MustCompile(`hollow[^,;.]{0,24}$`)
)

// conversion turns a figure of one unit into another.
type conversion struct {
	unit   string
	factor float64
	digits int // behind the point
}

// conversions lead to a system, by the unit as written.
func conversions(to Units) map[string]conversion {
	const mph = measure.MetresPerSecondPerMPH * 3.6
	pound := measure.NewtonsPerPound / 1000
	foot := 12 * measure.MMPerInch / 1000
	if to == Metric {
		mm, ft, lb, kip := conversion{"mm", measure.MMPerInch, 1}, conversion{"m", foot, 1}, conversion{"kN", pound, 1},
			conversion{"kN", pound * 1000, 1}
		return map[string]conversion{"in": mm, "inch": mm, "inches": mm, `"`: mm,
			"”": mm, "″": mm, "ft": ft, "foot": ft, "feet": ft, "mph": {"km/h", mph, 1}, "lb": lb,
			"lbf": lb, "pounds": lb, "kip": kip, "kips": kip, "kip/in": {"kN/mm", pound * 1000 / measure.MMPerInch, 2},
			"kips/in": {"kN/mm", pound * 1000 / measure.MMPerInch, 2}}
	}
	return map[string]conversion{"mm": {"in", 1 / measure.MMPerInch, 3}, "kN": {"kips", 1 / pound / 1000, 1},
		"N": {"lb", 1 / pound / 1000, 0}, "MPa": {"ksi", measure.MMPerInch * measure.MMPerInch / pound / 1e6, 1},
		"m": {"ft", 1 / foot, 1}, "km/h": {"mph", 1 / mph, 1}, "kg": {"lb",
			measure.StandardGravity / measure.NewtonsPerPound, 0}, "kN.m": {"kip-ft", 1 / pound / 1000 / foot, 1}}
}

// tradeUnless writes a text in inches, kips and mph, but if it is about tread hollow, which is read in millimetres.
func tradeUnless(hollow bool, s string) string {
	if hollow {
		return s
	}
	return Trade.in(s)
}

// hollowSetting reports whether a setting is compared with tread hollow.
func hollowSetting(name string) bool {
	return strings.Contains(name, "hollow") || name == "ride_over"
}

func computedWhy(f *judge.Finding) string { return tradeUnless(f.Check.Metric, f.Computed.Why) }

// Axis is the unit of an axis in a system of units, and by what its figures are multiplied.
func (u Units) Axis(unit string) (name string, factor float64) {
	if c, ok := conversions(u)[unit]; ok && u != AsBuilt && unit != "mm" {
		return c.unit, c.factor
	}
	return unit, 1
}

// in writes a text in a system of units.
func (u Units) in(s string) string {
	if u == AsBuilt || s == "" {
		return s
	}
	s = twice.ReplaceAllStringFunc(s, func(x string) string {
		m := twice.FindStringSubmatch(x)
		first, second := m[1]+" "+m[2], m[3]+" "+m[4]
		if m[1] == "" {
			second, first = m[5]+" "+m[6], m[7]+" "+m[8]
		}
		if u == Metric {
			return second
		}
		return first
	})
	table := conversions(u)
	if u == Metric {
		s = feetInches.ReplaceAllStringFunc(s, func(x string) string {
			m := feetInches.FindStringSubmatch(x)
			ft, _ := figureValue(m[2])
			in, _ := figureValue(strings.Replace(m[3], " ", "-", 1))
			return m[1] + strconv.FormatFloat(12*ft+in, 'f', -1, 64) + " in"
		})
		s = feetAlone.ReplaceAllString(s, "$1$2 ft")
		s = mixedTyped.ReplaceAllString(s, "$1$2-$3$4")
	}
	constants := strings.Contains(s, "N s/m") // of a bed of track, which stay together as published
	var b strings.Builder
	last := 0
	for _, m := range figuresRun.FindAllStringSubmatchIndex(s, -1) {
		run, unit := s[m[4]:m[5]], ""
		if m[6] >= 0 {
			unit = strings.TrimSpace(s[m[6]:m[7]])
		}
		if (unit == "in" || unit == "N" || unit == "m") && (wordBehind(run, s[m[7]:]) || s[m[6]] != ' ') {
			unit = ""
		}
		c, ok := table[unit]
		bare := unit == "" && u == Metric && strings.Contains(run, "/")
		if bare { // a reading of a book of inches
			c, ok = table["in"], true
		}
		if !ok || constants && (unit == "N" || unit == "kg") ||
			unit == "mm" && hollowBefore.MatchString(s[max(0, m[4]-40):m[4]]) {
			continue
		}
		b.WriteString(s[last:m[4]])
		b.WriteString(c.run(run))
		b.WriteString(" " + c.unit)
		last = m[5]
		if unit != "" {
			last = m[7]
			if span := spanBehind.FindString(s[last:]); span != "" { // -0.19 in (-0.26..-0.12)
				b.WriteString(c.run(span))
				last += len(span)
			}
		}
	}
	b.WriteString(s[last:])
	return b.String()
}

// wordBehind reports whether "in" behind a whole figure is the English word, by what follows it: 63 in conflict.
func wordBehind(run, rest string) bool {
	if strings.ContainsAny(run, "/.") {
		return false
	}
	word, _, _ := strings.Cut(strings.TrimLeft(rest, " "), " ")
	return slices.Contains([]string{"conflict", "doubt", "all", "the", "a", "an", "this", "that", "its", "travel",
		"one", "order", "each", "every", "any", "which", "its", "force", "print", "service", "use", "total", "them",
		"these"}, strings.TrimRight(word, ".,;:)"))
}

// run converts the figures of a run. The ends of a range are converted by themselves: the second point between them
// belongs to no figure.
func (c conversion) run(run string) string {
	ends := strings.Split(run, "..")
	for i, end := range ends {
		ends[i] = oneFigure.ReplaceAllStringFunc(end, c.figure)
	}
	return strings.Join(ends, "..")
}

func (c conversion) figure(x string) string {
	v, ok := figureValue(x)
	if !ok {
		return x
	}
	digits := c.digits
	switch _, decimals, _ := strings.Cut(x, "."); c.unit {
	case "mm":
		digits = max(digits, len(decimals)-1)
	case "in":
		digits = max(digits, len(decimals)+1)
	}
	text := strconv.FormatFloat(v*c.factor+1e-9, 'f', digits, 64)
	if c.unit == "mm" || c.unit == "km/h" || c.unit == "m" {
		text = strings.TrimSuffix(text, ".0")
	}
	if whole, _, _ := strings.Cut(text, "."); len(whole) > 4 || c.unit == "lb" {
		return configs.Apart(text)
	}
	return text
}

// figureValue reads 1-7/16, 7/16, .94 and 263,000.
func figureValue(x string) (float64, bool) {
	whole, fraction, mixed := strings.Cut(x, "-")
	if !mixed {
		whole, fraction = "0", x
	}
	n, d, ok := strings.Cut(fraction, "/")
	if !ok {
		v, err := strconv.ParseFloat(strings.ReplaceAll(x, ",", ""), 64)
		return v, err == nil
	}
	w, errW := strconv.ParseFloat(whole, 64)
	num, errN := strconv.ParseFloat(n, 64)
	den, errD := strconv.ParseFloat(d, 64)
	return w + num/den, errW == nil && errN == nil && errD == nil && den != 0 && !math.IsInf(num/den, 0)
}

// Drawn writes the texts of a drawing in a system of units, but for the names of the survey that stand in it.
func (u Units) Drawn(svg []byte, sv *survey.Survey) []byte {
	if u == AsBuilt {
		return svg
	}
	write := u.writer(sv)
	return []byte(svgText.ReplaceAllStringFunc(string(svg), func(x string) string {
		m := svgText.FindStringSubmatch(x)
		return m[1] + write(m[2])
	}))
}

// writer converts texts; names that look like figures with a unit stay as typed, and a whole number behind a column of
// inches is one of them.
func (u Units) writer(sv *survey.Survey) func(string) string {
	in := u.in
	if sv != nil && u == Metric {
		whole, needs := wholeInches(sv)
		in = func(s string) string {
			s = needs.ReplaceAllString(whole.ReplaceAllString(s, "$1 $2 in$3"), "$1 $2 in or ")
			return u.in(speedColumn.ReplaceAllString(s, "speed"))
		}
	}
	var hide, show []string
	for i, n := range names(sv) {
		if in(n) != n || strings.ContainsAny(n, "/") {
			mark := "\x00" + strconv.Itoa(i) + "\x00"
			hide, show = append(hide, n, mark), append(show, mark, n)
		}
	}
	if len(hide) == 0 {
		return in
	}
	hidden, shown := strings.NewReplacer(hide...), strings.NewReplacer(show...)
	return func(s string) string { return shown.Replace(in(hidden.Replace(s))) }
}

// wholeInches finds a whole number without a unit behind the name of a column of inches, and what a class needs of one.
func wholeInches(sv *survey.Survey) (whole, needs *regexp.Regexp) {
	var names []string
	for name, spec := range sv.Columns {
		if spec.Unit == measure.Inches {
			names = append(names, name, spoken(name))
		}
	}
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(len(b)-len(a), cmp.Compare(a, b)) })
	of := `\b(?:` + strings.Join(names, "|") + `)`
	return regexp.MustCompile("(" + of + `) ([<>]?=?\d+(?:\.\d+)?)($|[;:,)]| \(| and | each)`),
		regexp.MustCompile("(" + of + ` [^ ]+(?: mm)?, [a-z0-9 ]+ needs) (\d+) or `)
}

// names are the names of a survey, which no system of units changes.
func names(sv *survey.Survey) []string {
	if sv == nil {
		return nil
	}
	out := []string{sv.Railroad}
	for _, c := range sv.Fleet.Cars {
		out = append(out, c.ID)
	}
	for _, f := range sv.Track.Features {
		out = append(out, f.Location, f.ID)
	}
	for _, l := range sv.Routes.Lines {
		out = append(out, l.Name)
	}
	slices.Sort(out)
	out = slices.DeleteFunc(slices.Compact(out), func(s string) bool { return s == "" })
	slices.SortStableFunc(out, func(a, b string) int { return len(b) - len(a) })
	return out
}

// converted are the blocks of a page in its system of units.
func (u Units) converted(list Blocks, sv *survey.Survey) Blocks {
	if u == AsBuilt {
		return list
	}
	return blocksIn(u, list, u.writer(sv))
}

func blocksIn(u Units, list Blocks, w func(string) string) Blocks {
	out := make(Blocks, len(list))
	for i, b := range list {
		out[i] = blockIn(u, b, w)
	}
	return out
}

func blockIn(u Units, b Block, w func(string) string) Block {
	switch b := b.(type) {
	case Heading:
		return Heading{b.Level, w(b.Text)}
	case Para:
		return Para{w(b.Text)}
	case Indented:
		return Indented{w(b.Text)}
	case Line:
		if strings.HasPrefix(b.Text, "flangeway ") { // a command is typed as it stands
			return b
		}
		return Line{w(b.Text)}
	case Fact:
		return Fact{w(b.Label), w(b.Text)}
	case Table:
		return u.table(b, w)
	case Drawing:
		b.SVG = []byte(svgText.ReplaceAllStringFunc(string(b.SVG), func(x string) string {
			m := svgText.FindStringSubmatch(x)
			return m[1] + w(m[2])
		}))
		b.Caption = w(b.Caption)
		return b
	case Tiled:
		out := make(Tiled, len(b))
		for i, d := range b {
			out[i] = blockIn(u, d, w).(Drawing)
		}
		return out
	case Section:
		b.Title, b.About, b.Risk, b.Blocks = w(b.Title), w(b.About), w(b.Risk), blocksIn(u, b.Blocks, w)
		return b
	case Fold:
		b.Blocks = blocksIn(u, b.Blocks, w)
		return b
	case Later:
		return Later(func() (*Section, error) {
			s, err := b()
			if err != nil {
				return nil, err
			}
			in := blockIn(u, *s, w).(Section)
			return &in, nil
		})
	case Explained:
		b.Title, b.Blocks = w(b.Title), blocksIn(u, b.Blocks, w)
		if b.Drawing != nil {
			d := blockIn(u, *b.Drawing, w).(Drawing)
			b.Drawing = &d
		}
		return b
	case Bullets:
		out := make(Bullets, len(b))
		for i, s := range b {
			out[i] = w(s)
		}
		return out
	}
	return b
}

// table converts its cells; figures under a head with a unit are of that unit. A column under nothing but a unit says
// the one before it once more and is left out.
func (u Units) table(t Table, w func(string) string) Table {
	table := conversions(u)
	var columns []Column
	var keep []int
	convert := map[int]conversion{}
	for i, c := range t.Columns {
		if m := headUnit.FindStringSubmatch(c.Name); m != nil && u != AsBuilt {
			if c.Name == m[2] && i > 0 {
				continue
			}
			if to, ok := table[m[2]]; ok && !strings.Contains(c.Name, "hollow") {
				convert[i], c.Name = to, strings.TrimSuffix(c.Name, m[2])+to.unit
			}
		} else {
			c.Name = w(c.Name)
		}
		keep, columns = append(keep, i), append(columns, c)
	}
	inputs := len(t.Columns) == 3 && t.Columns[1].Name == "value"
	rows := make([]Row, len(t.Rows))
	for r, row := range t.Rows {
		for _, i := range keep {
			c := row[i]
			if to, ok := convert[i]; ok {
				c.Text = to.run(c.Text)
			} else {
				if !inputs || i != 1 || !strings.Contains(row[0].Text, "hollow") { // which is read in millimetres
					c.Text = w(c.Text)
				}
			}
			c.Lines = slices.Clone(c.Lines)
			for k := range c.Lines {
				c.Lines[k] = w(c.Lines[k])
			}
			rows[r] = append(rows[r], c)
		}
	}
	t.Caption, t.Columns, t.Rows = w(t.Caption), columns, rows
	return t
}

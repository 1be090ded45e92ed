package paper

import (
	"regexp"
	"slices"
	"strings"

	"flangeway/interaction"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// said are the columns, and the quantities that rules derive from them, that people say otherwise than by their names
// with blanks.
func said() map[string]string {
	return map[string]string{
		wheel.BackToBack.String(): "back-to-back", wheel.BackToBackMax.String(): "greatest back-to-back",
		track.GuardFlangeway.String(): "guard rail's flangeway", track.CrosslevelLeast.String(): "least crosslevel",
		track.WarpShort.String(): "short warp", "warp_over": "warp read over", "speed_mph": "speed",
		"gross_lb": "gross weight", "trips_per_year": "trips a year",
		"back_to_back_variation": "variation of back-to-back", "over_curve_speed": "speed over that of the curve",
		"nominal_diameter": "nominal diameter", "nominal_diameter_most": "nominal diameter"}
}

// SpokenColumns are the columns whose names nobody says, as people say them.
func SpokenColumns() map[string]string {
	known := said()
	for _, name := range columnNames() {
		if strings.Contains(name, "_") {
			known[name] = spoken(name)
		}
	}
	return known
}

// spoken is a column, a setting or a cost as people say it.
func spoken(name string) string {
	if s, ok := said()[name]; ok {
		return s
	}
	return strings.ReplaceAll(name, "_", " ")
}

// SpokenText writes the names of columns in a text as people say them.
func SpokenText(s string) string { return HTML.speaker(nil)(s) }

// spokenOf is spoken of a reading of the mate, too.
func spokenOf(name string) string {
	if of, column, ok := strings.Cut(name, " "); ok {
		return of + "'s " + spoken(column)
	}
	return spoken(name)
}

// snake matches what may be such a name, with what makes it the name of a file or a part of a command.
var snake = regexp.MustCompile(`[\w./\\=\-]*_[\w./\\=\-]*`)

// speaker writes the names of columns in a text as people say them, of a page those of settings and costs too; names as
// typed stay.
func (f Form) speaker(sv *survey.Survey) func(string) string {
	known := SpokenColumns()
	known["crew_days"] = "crew days"
	add := func(name string) {
		if strings.Contains(name, "_") {
			known[name] = spoken(name)
		}
	}
	if sv != nil && f == HTML {
		for _, x := range sv.Settings.All() {
			add(x.Name)
		}
		for _, x := range sv.Costs.List {
			add(x.Name)
		}
	}
	typed := slices.DeleteFunc(names(sv), func(s string) bool { return !strings.Contains(s, "_") })
	return func(s string) string {
		if !strings.Contains(s, "_") || slices.ContainsFunc(typed,
			func(n string) bool { return strings.Contains(s, n) }) {
			return s
		}
		return snake.ReplaceAllStringFunc(s, func(x string) string {
			name := strings.TrimRight(x, ".")
			if w, ok := known[name]; ok {
				return w + x[len(name):]
			}
			return x
		})
	}
}

// columnNames are the columns of all sheets of wheels and track.
func columnNames() (out []string) {
	for _, c := range wheel.Columns(wheel.CarSheet | wheel.WheelSheet) {
		out = append(out, c.Name)
	}
	for k := range track.NumKinds {
		for _, c := range k.Columns() {
			out = append(out, c.Name)
		}
	}
	return out
}

// inWords is a page with names of columns as people say them. Pages of one wheel or truck and of the rules themselves
// keep them, because they tell which cell or setting a value came from.
func (d *Document) inWords() Blocks {
	if !d.Spoken {
		return d.Blocks
	}
	return blocksIn(AsBuilt, d.Blocks, d.speaker(d.Survey))
}

// hit says what a check is about where its name begins a text.
func hit(s string) string {
	id, rest, _ := strings.Cut(s, " ")
	if c := interaction.CheckByID(id); c != nil {
		if n, ok := strings.CutSuffix(rest, ")"); ok && n == "(1" {
			rest = "(1 pair)"
		} else if ok && !strings.Contains(n, " ") {
			rest = n + " pairs)"
		}
		return strings.TrimSpace(c.Happens + " " + rest)
	}
	return s
}

func allHit(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = hit(s)
	}
	return out
}

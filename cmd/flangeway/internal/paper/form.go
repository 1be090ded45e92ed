package paper

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"html/template"
	"slices"
	"strings"

	"flangeway/internal/sheet"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

//go:embed form.html
var formHTML string

// How many empty rows a form has of a kind of which the survey has none.
const (
	emptyRows = 6
	emptyCars = 4
)

// form is the page that goes along into the yard.
type form struct {
	Title, How, Foot string
	Parts            []formPart
}

type formPart struct {
	Title  string
	Tables []formTable
}

type formTable struct {
	Name  string
	Heads []formHead
	Rows  []string // what each row is of; "" is written in
}

// formHead is a column: boxes to tick of the notches of a gauge, or of words, else room to write in.
type formHead struct {
	Name, Unit     string
	Notches, Words []string
}

// YardForm is the form to fill in by hand, an HTML page to print on letter paper: the places of a survey in the order
// in which they are walked, as its tracks run or as its sheets have them, then the wheels of its cars; without a
// survey, rows to fill in.
func YardForm(sv *survey.Survey, program string) ([]byte, error) {
	f := form{Title: "Yard form", How: "Tick the box of the notch or the word, else write the reading: inches, tread " +
		"hollow in millimetres. n/m is not measured; none is looked at and there is none. What is ticked is typed as " +
		"it stands beside the box.", Foot: program + ". This form releases no track and no cars."}
	if sv != nil {
		f.Title += ": " + Name(cmp.Or(sv.Railroad, "a railroad without a name"))
	}
	f.Parts = append(trackForm(sv), wheelForm(sv)...)
	t, err := template.New("form").Parse(formHTML)
	if err != nil {
		return nil, fmt.Errorf("the form's template: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, f); err != nil {
		return nil, fmt.Errorf("the form: %w", err)
	}
	return b.Bytes(), nil
}

// trackForm has a part for each location in walking order with a table for each kind of feature there.
func trackForm(sv *survey.Survey) (out []formPart) {
	heads := func(k track.Kind) []formHead {
		list := []formHead{{Name: k.String()}}
		for _, c := range k.Columns() {
			// What does not change from walk to walk stands in the survey.
			known := sv != nil &&
				slices.Contains([]string{"type", "direction", "guard_rail", track.Degree.String()}, c.Name)
			if !known && (c.Bounded || len(c.Words) > 0 || c.Name == track.Degree.String()) {
				list = append(list, headOf(c.Column))
			}
		}
		return append(list, formHead{Name: "marks, note"})
	}
	if sv == nil || len(sv.Track.Features) == 0 {
		for k := range track.NumKinds {
			title := k.Sheet()
			out = append(out, formPart{strings.ToUpper(title[:1]) + title[1:], []formTable{{title, heads(k),
				make([]string, emptyRows)}}})
		}
		return out
	}
	for _, f := range walked(sv) {
		if n := len(out); n == 0 || out[n-1].Title != Name(f.Location) {
			out = append(out, formPart{Title: Name(f.Location)})
		}
		p := &out[len(out)-1]
		at := slices.IndexFunc(p.Tables, func(t formTable) bool { return t.Name == f.Kind.Sheet() })
		if at < 0 {
			at = len(p.Tables)
			p.Tables = append(p.Tables, formTable{Name: f.Kind.Sheet(), Heads: heads(f.Kind)})
		}
		p.Tables[at].Rows = append(p.Tables[at].Rows, Name(f.ID))
	}
	return out
}

// walked are the features in the order in which they are passed: as the tracks of the survey run, then as the sheets
// have them.
func walked(sv *survey.Survey) []*track.Feature {
	rank := map[string]int{} // of a feature on the tracks
	place := map[string][3]int{}
	for _, l := range sv.Routes.Lines {
		for _, s := range l.Stops {
			for _, name := range s.Features {
				if _, ok := rank[name]; !ok {
					rank[name] = len(rank)
				}
			}
		}
	}
	of := func(f *track.Feature) [3]int {
		if r, ok := rank[f.Name()]; ok {
			return [3]int{0, r, 0}
		}
		return [3]int{1, int(f.Kind), f.Place.Line}
	}
	less := func(a, b [3]int) int {
		return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]), cmp.Compare(a[2], b[2]))
	}
	for _, f := range sv.Track.Features {
		if old, ok := place[f.Location]; !ok || less(of(f), old) < 0 {
			place[f.Location] = of(f)
		}
	}
	out := slices.Clone(sv.Track.Features)
	slices.SortStableFunc(out, func(a, b *track.Feature) int {
		return cmp.Or(less(place[a.Location], place[b.Location]), cmp.Compare(a.Location, b.Location),
			less(of(a), of(b)))
	})
	return out
}

// wheelForm has a part for each car with a row for each wheel.
func wheelForm(sv *survey.Survey) (out []formPart) {
	heads := []formHead{{Name: "wheel"}}
	for _, c := range wheel.Columns(wheel.WheelSheet) {
		if c.Bounded {
			heads = append(heads, headOf(c.Column))
		}
	}
	heads = append(heads, formHead{Name: "marks, note"})
	if sv != nil {
		for _, c := range sv.Fleet.Cars {
			var rows []string
			for _, w := range sv.Fleet.Wheels {
				if w.Car == c {
					rows = append(rows, w.Position.String())
				}
			}
			if len(rows) > 0 {
				out = append(out, formPart{Name(c.ID), []formTable{{"wheels", heads, rows}}})
			}
		}
	}
	if len(out) > 0 {
		return out
	}
	for range emptyCars {
		out = append(out, formPart{"Car ____________________",
			[]formTable{{"wheels", heads, []string{"L1", "R1", "L2", "R2", "L3", "R3", "L4", "R4"}}}})
	}
	return out
}

func headOf(c sheet.Column) formHead {
	return formHead{Name: spoken(c.Name), Unit: c.Unit, Notches: notches(c.Name), Words: c.Words}
}

// notches are what the gauges of the yard tell of a column, as it is typed: the steps of a go/no-go gauge at the
// figures that the interchange and federal books condemn by.
func notches(column string) []string {
	switch column {
	case wheel.FlangeHeight.String():
		return []string{"<1-1/2", ">=1-1/2"}
	case wheel.FlangeThickness.String():
		return []string{">15/16", "7/8..15/16", "<=7/8"}
	case wheel.VerticalFlange.String():
		return []string{"<7/8", "7/8..1", ">=1"}
	}
	return nil
}

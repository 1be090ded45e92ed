package judge_test

import (
	"maps"
	"math"
	"sort"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/measure"
	csvsheet "flangeway/internal/sheet"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// sheets is a survey in memory: the text of each file under its name. settings are
// mm, degrees or days by name.
type sheets struct {
	files    map[string]string
	settings map[string]float64
	plus     map[string]float64 // reading_error by column, mm or degrees
	exact    bool               // readings without ±, as with reading_error 0 in every column
	limits   []string           // sets; none is federal alone
	date     string
	class    string
}

// read makes the survey; a defect in it is a mistake of the test.
func (in sheets) read(t testing.TB, data *configs.Data) *survey.Survey {
	t.Helper()
	s := &survey.Survey{Data: data, Settings: survey.NewSettings(data.Settings), Columns: data.Columns}
	if in.exact {
		s.Columns = map[string]measure.Spec{}
		for name, spec := range data.Columns {
			spec.HasReplace, spec.Replace, spec.Step = true, 0, 0
			s.Columns[name] = spec
		}
	}
	if in.plus != nil {
		s.Columns = maps.Clone(s.Columns)
		for name, v := range in.plus {
			spec := s.Columns[name]
			spec.HasReplace, spec.Replace = true, v
			s.Columns[name] = spec
		}
	}
	for name, v := range in.settings {
		if _, ok := s.Settings.Setting(name); !ok {
			t.Fatalf("there is no setting %s", name)
		}
		s.Settings = s.Settings.With(name, v, "test")
	}
	sets := in.limits
	if len(sets) == 0 {
		sets = []string{"federal"}
	}
	for _, name := range sets {
		set, ok := data.Sets[name]
		if !ok {
			t.Fatalf("there is no limit set %s", name)
		}
		s.Limits = append(s.Limits, set)
	}
	if in.date != "" {
		d, err := measure.ParseDate(in.date)
		if err != nil {
			t.Fatal(err)
		}
		s.Date = d
	}
	file := func(name string) *csvsheet.Source {
		if text, ok := in.files[name]; ok {
			return csvsheet.CSV(name, []byte(text))
		}
		return nil
	}
	var problems measure.Problems
	s.Fleet, s.Warnings = wheel.Read(wheel.Sheets{Cars: file("cars.csv"), Wheels: file("wheels.csv")}, s.Columns, data,
		&problems)
	var places [track.NumKinds]*csvsheet.Source
	for k := range places {
		places[k] = file(track.Kind(k).File())
	}
	s.Track, _ = track.Read(places, s.Columns, data, track.Defaults{Class: in.class}, &problems)
	if err := problems.Err(); err != nil {
		t.Fatal(err)
	}
	return s
}

// judged is a judged survey with all its pairs.
type judged struct {
	result *judge.Result
	all    []*judge.Finding
}

func judgeAll(t testing.TB, s *survey.Survey, opt interaction.Options) judged {
	t.Helper()
	book, err := s.Book()
	if err != nil {
		t.Fatal(err)
	}
	r := judge.New(s, book, opt).Judge()
	return judged{r, findingsOf(t, r)}
}

// resultOf judges a survey with all that is computed.
func resultOf(t testing.TB, s *survey.Survey, opt interaction.Options) *judge.Result {
	t.Helper()
	book, err := s.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(s, book, opt)
	if _, err := e.Compute(); err != nil {
		t.Fatal(err)
	}
	return e.Judge()
}

// computedOf are the pairs of a survey judged so.
func computedOf(t testing.TB, s *survey.Survey, opt interaction.Options) map[string]*judge.Finding {
	t.Helper()
	return byPair(t, findingsOf(t, resultOf(t, s, opt)))
}

// findingsOf are all pairs of a result.
func findingsOf(t testing.TB, r *judge.Result) (all []*judge.Finding) {
	t.Helper()
	if err := r.Engine().EachPair(r.Tallies, func(f *judge.Finding) error {
		all = append(all, f)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return all
}

// pairKey names a pair.
func pairKey(f *judge.Finding) string {
	return nameOfPair(f.Check, f.Feature, f.Wheel)
}

func nameOfPair(c *interaction.Check, f *track.Feature, w *wheel.Wheel) string {
	return c.ID + " " + f.Name() + " " + w.Car.ID + " " + w.Position.String()
}

// byPair finds the findings by their names; a pair that stands twice fails.
func byPair(t testing.TB, list []*judge.Finding) map[string]*judge.Finding {
	t.Helper()
	out := make(map[string]*judge.Finding, len(list))
	for _, f := range list {
		k := pairKey(f)
		if out[k] != nil {
			t.Fatalf("the pair %s stands twice", k)
		}
		out[k] = f
	}
	return out
}

// row is the cells of a sheet's row, by column.
type row map[string]string

// cells reads "column value; column value"; a value may hold blanks.
func cells(t testing.TB, text string) row {
	t.Helper()
	out := row{}
	for item := range strings.SplitSeq(text, ";") {
		item = strings.TrimSpace(item)
		if item == "" {
			continue
		}
		column, value, ok := strings.Cut(item, " ")
		if !ok {
			t.Fatalf("%q is no column with a value", item)
		}
		out[column] = value
	}
	return out
}

// sheet writes rows under the union of their columns.
func sheet(rows ...row) string {
	seen := map[string]bool{}
	var heads []string
	for _, r := range rows {
		for c := range r {
			if !seen[c] {
				seen[c] = true
				heads = append(heads, c)
			}
		}
	}
	sort.Strings(heads)
	var b strings.Builder
	b.WriteString(strings.Join(heads, ",") + "\n")
	for _, r := range rows {
		for i, c := range heads {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(`"` + strings.ReplaceAll(r[c], `"`, `""`) + `"`)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// with adds cells to a row.
func (r row) with(more ...string) row {
	out := row{}
	maps.Copy(out, r)
	for i := 0; i+1 < len(more); i += 2 {
		out[more[i]] = more[i+1]
	}
	return out
}

// inch is the international inch in mm, for the figures of these tests.
const inch = measure.MMPerInch

func closeTo(a, b, by float64) bool { return math.Abs(a-b) <= by }

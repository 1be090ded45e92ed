package judge_test

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// partOfDemo is the demo with its last cars and a few places of each kind.
func partOfDemo(t testing.TB, n, places int) *survey.Survey {
	t.Helper()
	sv := readDemo(t)
	kinds := map[track.Kind]int{}
	sv.Track.Features = slices.DeleteFunc(sv.Track.Features, func(f *track.Feature) bool {
		kinds[f.Kind]++
		return kinds[f.Kind] > places
	})
	for _, c := range slices.Clone(sv.Fleet.Cars) {
		if len(sv.Fleet.Cars) > n {
			sv.Fleet.Drop(c.ID)
		}
	}
	return sv
}

func engineOf(t testing.TB, sv *survey.Survey, plain bool) *judge.Engine {
	t.Helper()
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(sv, book, interaction.Options{})
	if !plain {
		if _, err := e.Compute(); err != nil {
			t.Fatal(err)
		}
	}
	return e
}

// solvedFor are the readings of places by which most is kept that was solved; they are changed first.
func solvedFor() []track.Quantity {
	return []track.Quantity{track.GaugeFaceWear, track.Gauge, track.HeadWear, track.Elevation, track.PointDrop,
		track.StockRailWear, track.PointThickness, track.PointGap, track.FlangewayWidth, track.PointWornDown,
		track.TreadWear}
}

// changed is a copy of a survey in which one reading of each wheel and of each place is another, the next one for each
// turn of so many: what is kept by the others must not be taken for it.
func changed(sv *survey.Survey, turn, turns int, r *rand.Rand) *survey.Survey {
	out := *sv
	out.Fleet = sv.Fleet.Clone()
	out.Track = &track.Track{Features: slices.Clone(sv.Track.Features)}
	other := func(x measure.Reading, by float64) measure.Reading {
		v := x.As + by*(0.5+r.Float64()/2)
		return measure.Reading{Form: x.Form, Lo: v - x.Width()/2, Hi: v + x.Width()/2, As: v, Written: x.Written}
	}
	for i, w := range out.Fleet.Wheels {
		q := []wheel.Quantity{wheel.FlangeThickness, wheel.FlangeHeight, wheel.TreadHollow, wheel.VerticalFlange,
			wheel.BackToBack}[(i+turn)%5]
		if x := w.Read(q); x.Measured() && !x.OneSided() {
			w.Set(q, other(x, 2))
		}
	}
	kinds, first := map[track.Kind]int{}, solvedFor()
	rank := func(q track.Quantity) int {
		if i := slices.Index(first, q); i >= 0 {
			return i
		}
		return len(first)
	}
	for i, f := range out.Track.Features {
		list := slices.DeleteFunc(slices.Clone(f.Measured()), func(q track.Quantity) bool {
			x := f.Read(q)
			return !x.Measured() || x.OneSided() || x.Width() == 0 || q == track.Degree
		})
		slices.SortStableFunc(list, func(a, b track.Quantity) int { return cmp.Compare(rank(a), rank(b)) })
		if len(list) > 0 {
			q := list[(kinds[f.Kind]*turns+turn)%len(list)]
			by := 4.0
			if q == track.HeadWear {
				by = 60 // the crown keeps its form, so only a head that is worn away is another
			}
			out.Track.Features[i] = f.With(q, other(f.Read(q), by))
		}
		kinds[f.Kind]++
	}
	return &out
}

// computedMargins are the margins that an engine computed, with their ends, by pair.
func computedMargins(t *testing.T, e *judge.Engine) map[string]string {
	t.Helper()
	out := map[string]string{}
	if err := e.EachPair(e.Judge().Tallies, func(f *judge.Finding) error {
		if k := f.Computed; k != nil {
			out[fmt.Sprint(f.Check.ID, " ", f.Feature.Name(), " ", f.Wheel.Car.ID, " ",
				f.Wheel.Position)] = fmt.Sprintf(
				"%s %.9g %.9g %.9g", k.Mechanism, k.Margin, k.Low, k.High)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

// What is judged again by an engine is what a new engine says of the changed survey, also
// where the first one has solved parts of it, and a second time.
func TestAgainIsANewEngine(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	// Cars with figures of everything; the last ones of the demo were sampled by go/no-go.
	cars, places, edits := []string{"WPV 1188"}, 2, 2
	if fixture.Volume() {
		cars, places, edits = append(cars, "WPV 1204"), 4, 8
	}
	sv := partOfDemo(t, len(readDemo(t).Fleet.Cars), places)
	for _, c := range slices.Clone(sv.Fleet.Cars) {
		if !slices.Contains(cars, c.ID) {
			sv.Fleet.Drop(c.ID)
		}
	}
	e := engineOf(t, sv, false)
	differs, compared := 0, 0
	for k := range edits {
		edited := changed(sv, k, edits, rand.New(rand.NewPCG(1, uint64(k))))
		want := engineOf(t, edited, false)
		beside := judge.New(edited, e.Book, interaction.Options{})
		if _, err := beside.ComputeBeside(e); err != nil {
			t.Fatal(err)
		}
		// To the last digit: what was solved for other readings seldom moves a verdict.
		alone := computedMargins(t, want)
		compared += len(alone)
		if diff := gocmp.Diff(alone, computedMargins(t, beside)); diff != "" {
			t.Errorf("turn %d: computed alone and beside the first engine:\n%s", k, diff)
		}
		rows := e.Again(edited.Fleet).Rows(edited.Track.Features, e.Computes)
		for i, f := range edited.Track.Features {
			for c, row := range rows[i] {
				full, other, old := want.Row(f, c), beside.Row(f, c), e.Row(sv.Track.Features[i], c)
				for wi := range row {
					w := edited.Fleet.Wheels[wi]
					if row[wi] != full[wi] {
						t.Errorf("turn %d: %s of %s %s at %s is %s again, %s with a new engine", k,
							e.Checks[c].ID, w.Car.ID, w.Position, f.Name(), row[wi], full[wi])
					}
					if v := other[wi]; v != full[wi] {
						t.Errorf("turn %d: %s of %s %s at %s is %s beside the first engine, %s alone", k,
							e.Checks[c].ID, w.Car.ID, w.Position, f.Name(), v, full[wi])
					}
					if row[wi] != old[wi] {
						differs++
					}
				}
			}
		}
	}
	if differs == 0 || compared == 0 {
		t.Errorf("%d verdicts changed, %d were computed", differs, compared)
	}
}

// Features of one section and with one plain share have the same verdicts, and no verdict
// is better than the plain one allows.
func TestSectionsAreJudgedAlike(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	sv := partOfDemo(t, 3, 2)
	e := engineOf(t, sv, false)
	again := e.Again(sv.Fleet)
	trial := interaction.NewTrial(sv.Settings, sv.Data)
	r := rand.New(rand.NewPCG(3, 3))
	alike, other := 0, 0
	for _, f := range sv.Track.Features {
		var tried []*track.Feature
		for range 3 {
			g := f
			for _, q := range []track.Quantity{track.FlangewayDepth, track.GuardCheck, track.GuardFace,
				track.GuardFlangeway, track.OpenClearance} {
				if x := f.Read(q); x.Measured() && !x.OneSided() && slices.Contains(f.Measured(), q) {
					v := x.As + 4*(2*r.Float64()-1)
					g = g.With(q, measure.Reading{Form: x.Form, Lo: v, Hi: v, As: v})
				}
			}
			tried = append(tried, g)
		}
		rows := again.Rows(append(tried, f), e.Computes)
		own := trial.Place(f)
		for i, g := range tried {
			share := trial.Place(g)
			for k, row := range rows[i] {
				if e.Section(k, g) != e.Section(k, f) {
					t.Fatalf("%s: the section hangs on what is changed", f.Name())
				}
				if share.Interval(k) == own.Interval(k) {
					alike++
					if !slices.Equal(row, rows[len(tried)][k]) {
						t.Errorf("%s at %s: alike, and judged otherwise", e.Checks[k].ID, f.Name())
					}
				}
				for wi, v := range row {
					if w := trial.Wheel(sv.Fleet.Wheels[wi]); trial.Has(k, w, share) {
						plain := trial.Verdict(k, w, share)
						if v > e.AtBest(g, k, plain) {
							t.Errorf("%s at %s: plain %s, computed %s", e.Checks[k].ID, f.Name(), plain, v)
						}
						if v != plain {
							other++
						}
					}
				}
			}
		}
	}
	if alike == 0 || other == 0 {
		t.Errorf("%d alike, %d other than plain", alike, other)
	}
}

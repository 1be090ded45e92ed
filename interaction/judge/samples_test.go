package judge_test

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/survey"
)

// expected is one line of the sample's expected pairs. They were computed apart
// from this program, in exact arithmetic from the formulas (testdata/samples/README.md).
type expected struct {
	Check, Location, Feature, Car, Position, Verdict string
	Close                                            bool
	LoMM                                             *float64 `json:"margin_lo_mm"`
	HiMM                                             *float64 `json:"margin_hi_mm"`
	AsMM                                             *float64 `json:"margin_mm"`
	LoDeg                                            *float64 `json:"margin_lo_deg"`
	HiDeg                                            *float64 `json:"margin_hi_deg"`
	AsDeg                                            *float64 `json:"margin_deg"`
	Wheel                                            string   `json:"wheel_within_limits"`
	Track                                            string   `json:"track_within_limits"`
	AtLimit                                          *bool    `json:"at_limit"`
}

func readExpected(t *testing.T, name string) map[string]expected {
	t.Helper()
	f, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	out := map[string]expected{}
	sc := bufio.NewScanner(f)
	for sc.Scan() {
		var e expected
		d := json.NewDecoder(strings.NewReader(sc.Text()))
		d.DisallowUnknownFields()
		if err := d.Decode(&e); err != nil {
			t.Fatalf("%s: %v", sc.Text(), err)
		}
		key := e.Check + " " + e.Feature + " " + e.Car + " " + e.Position
		if _, twice := out[key]; twice {
			t.Fatalf("%s stands twice in %s", key, name)
		}
		out[key] = e
	}
	if err := sc.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

// TestSamples: every pair of the sample survey agrees with a computation made apart
// from this one, and there is no pair besides.
func TestSamples(t *testing.T) {
	s, err := survey.Read("../../testdata/samples/survey-a")
	if err != nil {
		t.Fatal(err)
	}
	j := judgeAll(t, s, interaction.Options{})
	want := readExpected(t, "../../testdata/samples/survey-a.expected.jsonl")
	got := byPair(t, j.all)
	wrong := 0
	bad := func(format string, args ...any) {
		if wrong++; wrong <= 20 {
			t.Errorf(format, args...)
		}
	}
	for key, e := range want {
		f := got[key]
		if f == nil {
			bad("%s is missing", key)
			continue
		}
		if f.Verdict.String() != e.Verdict || f.Feature.Location != e.Location || f.Close != e.Close {
			bad("%s: %s at %s, close %t; want %s at %s, close %t", key, f.Verdict, f.Feature.Location, f.Close,
				e.Verdict, e.Location, e.Close)
		}
		lo, hi, as, by := e.LoMM, e.HiMM, e.AsMM, 0.002
		if f.Check.Degrees {
			lo, hi, as, by = e.LoDeg, e.HiDeg, e.AsDeg, 0.01
			if e.LoMM != nil || e.HiMM != nil || e.AsMM != nil {
				bad("%s: a margin of degrees is expected in mm", key)
			}
		} else if e.LoDeg != nil || e.HiDeg != nil || e.AsDeg != nil {
			bad("%s: a margin of mm is expected in degrees", key)
		}
		for _, m := range []struct {
			what      string
			got, want *float64
		}{{"lo", f.Margin.Lo, lo}, {"hi", f.Margin.Hi, hi}, {"as written", f.Margin.As, as}} {
			switch {
			case (m.got == nil) != (m.want == nil):
				bad("%s: margin %s is there: %t, want %t", key, m.what, m.got != nil, m.want != nil)
			case m.got != nil && !closeTo(*m.got, *m.want, by):
				bad("%s: margin %s %g, want %g", key, m.what, *m.got, *m.want)
			}
		}
		if e.Wheel != "" && string(f.WheelWithinLimits) != e.Wheel {
			bad("%s: wheel within limits %q, want %q", key, f.WheelWithinLimits, e.Wheel)
		}
		if e.Track != "" && string(f.TrackWithinLimits) != e.Track {
			bad("%s: track within limits %q, want %q", key, f.TrackWithinLimits, e.Track)
		}
		if e.AtLimit != nil && f.AtLimit != *e.AtLimit {
			bad("%s: at limit %t, want %t", key, f.AtLimit, *e.AtLimit)
		}
		measured := f.Verdict != interaction.NotMeasured
		if measured != (f.WheelWithinLimits != "") || measured != (f.TrackWithinLimits != "") {
			bad("%s (%s): the two words of legality stand in a measured finding and in no other", key, f.Verdict)
		}
	}
	for key := range got {
		if _, ok := want[key]; !ok {
			bad("%s is no pair of the survey", key)
		}
	}
	if wrong > 20 {
		t.Errorf("and %d more", wrong-20)
	}
	sum := j.result.Summary
	for _, c := range []struct {
		name      string
		got, want int
	}{
		{"pairs", sum.Pairs, 5088}, {"conflict", sum.Count(interaction.Conflict), 339},
		{"undecided", sum.Count(interaction.Undecided), 455},
		{"clear", sum.Count(interaction.Clear), 3277}, {"not measured", sum.Count(interaction.NotMeasured), 1017},
	} {
		if c.got != c.want {
			t.Errorf("summary: %s %d, want %d (testdata/samples/README.md)", c.name, c.got, c.want)
		}
	}
}

// TestSummaryCountsPairs: the summary and the tallies are the counts of the pairs
// themselves, and a tally shares its verdicts.
func TestSummaryCountsPairs(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	for _, dir := range []string{"../../testdata/samples/survey-a", "../../testdata/demo"} {
		s, err := survey.Read(dir)
		if err != nil {
			t.Fatal(err)
		}
		j := judgeAll(t, s, interaction.Options{})
		verdicts, causes, both := map[interaction.Verdict]int{}, map[interaction.Cause]int{}, 0
		sharing := map[string]int{}
		for _, f := range j.all {
			verdicts[f.Verdict]++
			sharing[f.Check.ID+" "+f.Feature.Name()+" "+f.Verdict.String()]++
			if f.Verdict == interaction.Conflict {
				causes[f.Cause]++
			}
			if f.BothLegal() {
				both++
			}
		}
		sum := j.result.Summary
		for _, v := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured,
			interaction.Clear} {
			if sum.Count(v) != verdicts[v] {
				t.Errorf("%s: summary says %d %s, the pairs are %d", dir, sum.Count(v), v, verdicts[v])
			}
		}
		for _, c := range []interaction.Cause{interaction.CausePlace, interaction.CauseWheel, interaction.CausePair} {
			if sum.ByCause[c] != causes[c] {
				t.Errorf("%s: summary says %d conflicts of cause %s, the pairs are %d", dir, sum.ByCause[c], c,
					causes[c])
			}
		}
		if sum.BothLegal != both {
			t.Errorf("%s: summary says %d both legal, the pairs are %d", dir, sum.BothLegal, both)
		}
		for _, f := range j.all {
			if n := sharing[f.Check.ID+" "+f.Feature.Name()+" "+f.Verdict.String()]; f.Sharing != n {
				t.Errorf("%s: %s shares with %d wheels, the pairs are %d", dir, pairKey(f), f.Sharing, n)
				break
			}
		}
	}
}

// TestWorstOfTally: the worst pair that is listed is the first of its pairs in the
// order in which pairs are listed: verdict, margin_hi, margin_lo, car, position.
func TestWorstOfTally(t *testing.T) {
	s, err := survey.Read("../../testdata/samples/survey-a")
	if err != nil {
		t.Fatal(err)
	}
	j := judgeAll(t, s, interaction.Options{})
	first := map[string]*judge.Finding{}
	for _, f := range j.all {
		k := f.Check.ID + " " + f.Feature.Name()
		old := first[k]
		if old == nil || before(f, old) {
			first[k] = f
		}
	}
	for i := range j.result.Tallies {
		tally := &j.result.Tallies[i]
		w := j.result.Worst(tally)
		if want := first[w.Check.ID+" "+w.Feature.Name()]; pairKey(w) != pairKey(want) {
			t.Errorf("worst pair %s, want %s", pairKey(w), pairKey(want))
		}
	}
}

// before is the order of findings, written down a second time.
// Margins within 1e-9 are one.
func before(a, b *judge.Finding) bool {
	grid := func(v *float64) float64 { return math.Round(*v * 1e9) }
	order := map[string]int{"conflict": 0, "undecided": 1, "not measured": 2, "clear": 3}
	if x, y := order[a.Verdict.String()], order[b.Verdict.String()]; x != y {
		return x < y
	}
	if a.Verdict.String() != "not measured" {
		if (a.Margin.Hi == nil) != (b.Margin.Hi == nil) {
			return b.Margin.Hi == nil
		}
		if a.Margin.Hi != nil && grid(a.Margin.Hi) != grid(b.Margin.Hi) {
			return grid(a.Margin.Hi) < grid(b.Margin.Hi)
		}
		if (a.Margin.Lo == nil) != (b.Margin.Lo == nil) {
			return a.Margin.Lo == nil
		}
		if a.Margin.Lo != nil && grid(a.Margin.Lo) != grid(b.Margin.Lo) {
			return grid(a.Margin.Lo) < grid(b.Margin.Lo)
		}
	}
	if a.Wheel.Car.ID != b.Wheel.Car.ID {
		return a.Wheel.Car.ID < b.Wheel.Car.ID
	}
	return a.Wheel.Position.String() < b.Wheel.Position.String()
}

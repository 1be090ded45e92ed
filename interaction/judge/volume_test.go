package judge_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// fleetOf is a survey of the given size in memory, seeded; the numbers are
// invented.
func fleetOf(t testing.TB, wheels, places int) *survey.Survey {
	t.Helper()
	r := rand.New(rand.NewPCG(7, uint64(wheels)))
	blank := func(share, v float64) string {
		if r.Float64() < share {
			return ""
		}
		return fmt.Sprintf("%.3f", v)
	}
	near := func(mean, sd float64) float64 { return mean + sd*(r.Float64()+r.Float64()+r.Float64()-1.5)*2 }
	var w, f, c, g strings.Builder
	w.WriteString("car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back\n")
	for i := range wheels / 8 {
		for k := range 8 {
			side, b := "L", blank(0.03, near(53.05, 0.04))
			if k >= 4 {
				side, b = "R", ""
			}
			fmt.Fprintf(&w, "CAR %d,%s%d,2026-03-01,%s,%s,%.2f,%s\n", i, side, k%4+1, blank(0.03, near(1.16, 0.1)),
				blank(0.03, near(1.22, 0.1)), 6*r.Float64()*r.Float64()*r.Float64(), b)
		}
	}
	f.WriteString("location,frog,gauge,flangeway_depth,flangeway_width,guard_check,guard_face\n")
	c.WriteString("location,curve,degree,loaded_gauge\n")
	g.WriteString("location,spot,loaded_gauge\n")
	for i := range places {
		switch i % 10 {
		case 0, 2, 4, 6, 8:
			fmt.Fprintf(&f, "P%d,F%d,%s,%s,%s,%s,%s\n", i, i, blank(0.5, near(57, 0.4)), blank(0.02, near(1.6, 0.15)),
				blank(0.02, near(1.75, 0.15)), blank(0.02, near(54.4, 0.12)), blank(0.02, near(52.85, 0.12)))
		case 3, 9:
			fmt.Fprintf(&c, "P%d,C%d,%.2f,%s\n", i, i, 0.5+13*r.Float64(), blank(0.02, near(57.9, 0.4)))
		default:
			fmt.Fprintf(&g, "P%d,G%d,%s\n", i, i, blank(0.02, near(57.9, 0.4)))
		}
	}
	return sheets{class: "2", date: "2026-03-31", files: map[string]string{"wheels.csv": w.String(),
		"frogs.csv": f.String(), "curves.csv": c.String(), "gauge.csv": g.String()}}.read(t, fixture.Data(t))
}

// A million pairs and more: the counts of the running tally and of the list of all
// pairs are the same. Run once, without the race detector.
func TestVolumeMillionPairs(t *testing.T) {
	fixture.InVolumes(t, "large volume")
	j := fleetOf(t, 3200, 120)
	book, err := j.Book()
	if err != nil {
		t.Fatal(err)
	}
	res := judge.New(j, book, interaction.Options{}).Judge()
	if res.Summary.Pairs < 1_000_000 {
		t.Fatalf("only %d pairs", res.Summary.Pairs)
	}
	var counts [4]int
	cause := map[interaction.Cause]int{}
	if err := res.Engine().EachPair(res.Tallies, func(f *judge.Finding) error {
		counts[f.Verdict]++
		if f.Verdict == conflict {
			cause[f.Cause]++
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	for v, n := range counts {
		if n != res.Summary.Count(interaction.Verdict(v)) {
			t.Errorf("%s: %d pairs listed, %d counted", interaction.Verdict(v), n,
				res.Summary.Count(interaction.Verdict(v)))
		}
	}
	for c, n := range cause {
		if n != res.Summary.ByCause[c] {
			t.Errorf("cause %s: %d listed, %d counted", c, n, res.Summary.ByCause[c])
		}
	}
}

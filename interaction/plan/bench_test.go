package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// fleet is a survey of the given size; the numbers are invented, most readings are
// those of a railroad in fair order.
func fleet(cars, places int) files {
	r := roller{rand.New(rand.NewPCG(7, uint64(cars)))}
	near := func(mean, sd float64) string {
		return fmt.Sprintf("%.3f", mean+sd*(r.Float64()+r.Float64()+r.Float64()-1.5)*2)
	}
	f := r.survey(0, 0, 0, 0)
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, "freight", []string{"own", "own", "own", "foreign"}[r.IntN(4)], "4")
		for k := range 8 {
			pos, b := fmt.Sprintf("L%d", k+1), near(53.2, 0.06)
			if k >= 4 {
				pos, b = fmt.Sprintf("R%d", k-3), ""
			}
			add("wheels.csv", id, pos, near(1.16, 0.09), near(1.1, 0.07), []string{"1/2", "<1", "5/8"}[r.IntN(3)],
				near(1.4, 0.15), fmt.Sprintf("%.1f", 5*r.Float64()*r.Float64()*r.Float64()), b)
		}
	}
	for p := range places {
		loc, id := fmt.Sprintf("place %d", p/4), fmt.Sprintf("P%d", p)
		switch p % 5 {
		case 0, 1:
			add("frogs.csv", loc, id, "", near(56.7, 0.2), near(1.62, 0.16), near(1.85, 0.08), near(54.6, 0.08),
				near(52.75, 0.1), near(2, 0.15))
		case 2:
			add("switches.csv", loc, id, "both", near(56.7, 0.3), []string{"none", "1/16", "1/8", "3/16"}[r.IntN(4)],
				"1/4", []string{"none", "3/8", "3/4"}[r.IntN(3)], "4", "72", "1/16", near(3.4, 0.2), "1/4")
		case 3:
			add("curves.csv", loc, id, fmt.Sprintf("%.1f", 1+11*r.Float64()), near(57, 0.3), near(57.5, 0.4))
		default:
			add("joints.csv", loc, id, "100RE", near(0.25, 0.08), near(1.4, 0.09))
		}
	}
	return f
}

// BenchmarkPlan chooses a plan for 2,000 wheels on 200 places, all pairs judged again;
// the survey is read before.
func BenchmarkPlan(b *testing.B) {
	sv := fleet(250, 200).write(b, plainRailroad)
	b.ReportAllocs()
	for b.Loop() {
		p, err := Make(plain(b, sv), Options{Level: LevelConflict})
		if err != nil {
			b.Fatal(err)
		}
		b.Logf("%d conflicts, cost %d, bound %d, %d parts, %d cuts, %d nodes, %d candidates", p.Conflict.Before,
			p.Cents, p.Bound, p.Parts, p.Cuts, p.Nodes, p.Candidates)
	}
}

// BenchmarkBudget spends 100,000 on the same survey, with and without a limit of days.
func BenchmarkBudget(b *testing.B) {
	sv := fleet(250, 200).write(b, plainRailroad)
	budget, days := int64(100_000_00), int64(20_000)
	for _, opt := range []Options{{Budget: &budget}, {Budget: &budget, CrewDays: &days}} {
		opt.NoCurve, opt.By = true, ByPasses
		b.Run(fmt.Sprintf("days=%v", opt.CrewDays != nil), func(b *testing.B) {
			for b.Loop() {
				p, err := Make(plain(b, sv), opt)
				if err != nil {
					b.Fatal(err)
				}
				b.Logf("%.0f passes before, %.0f after, at least %.0f; cost %d, bound %d", p.PassesBefore,
					p.PassesAfter, p.PassesBound, p.Cents, p.Bound)
				b.ReportMetric(p.GapPercent(), "%gap")
			}
		})
	}
}

package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
)

// twisted is a random survey in which nothing but the loads of wheels is judged: cars of four and six axles, of which
// no flange was read, on spots, a switch and curves out of level.
func (r roller) twisted(cars, places int) files {
	f := files{"cars.csv": {{"car", "owner", "axles", "gross_lb", "truck_centers", "body", "load_imbalance"}},
		"wheels.csv":   {{"car", "position", "rim_thickness"}},
		"gauge.csv":    {{"location", "spot", "warp", "warp_over", "crosslevel"}},
		"curves.csv":   {{"location", "curve", "degree", "elevation", "crosslevel_least", "speed_mph", "warp"}},
		"switches.csv": {{"location", "switch", "crosslevel"}}}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, []string{"own", "foreign"}[r.IntN(2)], []string{"4", "6"}[r.IntN(2)],
			[]string{"48,000", "60,000", "110,000", "263,000"}[r.IntN(4)], fmt.Sprint(30+r.IntN(30))+"'",
			[]string{"stiff", "stiff", "ordinary"}[r.IntN(3)],
			fmt.Sprint(r.IntN(60)))
		add("wheels.csv", id, "L1", "1")
	}
	for p := range places {
		id := fmt.Sprintf("P%d", p)
		switch r.IntN(5) {
		case 0:
			add("switches.csv", "yard", id, r.inches(0, 96, 0))
		case 1, 2:
			add("gauge.csv", "yard", id, r.inches(32, 64, 0.1), []string{"", "20", "40"}[r.IntN(3)],
				r.inches(16, 64, 0.1))
		default:
			least := ""
			if r.IntN(3) == 0 {
				least = "-" + r.inches(1, 16, 0)
			}
			add("curves.csv", "yard", id, fmt.Sprint(2+r.IntN(10)), r.inches(32, 110, 0), least,
				[]string{"10", "25"}[r.IntN(2)], r.inches(24, 56, 0.1))
		}
	}
	return f
}

// loaded judges the loads of wheels and nothing else.
func loaded(t testing.TB, sv *survey.Survey) *judge.Engine {
	t.Helper()
	book, err := sv.Book()
	if err != nil {
		t.Fatal(err)
	}
	e := judge.New(sv, book, interaction.Options{Check: "wheel-unloading"})
	if _, err := e.Compute(); err != nil {
		t.Fatal(err)
	}
	return e
}

// tamped is a row of a sheet by heading as tamping leaves it: half an inch of warp, level track, in a curve with new
// set an inch of elevation short of balance, 4 in at most. ok is false where nothing of it was read.
func tamped(row map[string]string, anew bool) (out map[string]string, ok bool) {
	out = map[string]string{}
	for _, q := range []struct{ column, to string }{{"warp", "1/2"}, {"crosslevel", "0"}} {
		if row[q.column] != "" {
			out[q.column] = q.to
		}
	}
	if row["degree"] == "" {
		return out, len(out) > 0
	}
	elevation := row["elevation"]
	if anew {
		var degree, mph float64
		fmt.Sscan(row["degree"], &degree)
		fmt.Sscan(row["speed_mph"], &mph)
		in := math.Round(16*min(max(0.0007*degree*mph*mph-1, 0), 4)) / 16
		elevation = fmt.Sprintf("%g", in)
		if n := math.Round(in * 16); n != 16*math.Floor(in) {
			elevation = fmt.Sprintf("%d/16", int(n))
		}
		out["elevation"] = elevation
	}
	if row["crosslevel_least"] != "" {
		out["crosslevel_least"] = elevation
	}
	return out, len(out) > 0
}

// A wheel that is unloaded is mended on either side: tamping, holding the car, or closing the place. The plan costs
// what trying every way at every place costs, each judged from the beginning.
func TestSurfacingMatchesBruteForce(t *testing.T) {
	t.Parallel()
	surfaced, elevated, held, closed, seeds := 0, 0, 0, 0, fixture.Drawn(8, 60)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(67, seed))}
		price := map[string]int64{"surface": 100 + r.Int64N(1500), "car_hold": 50 + r.Int64N(1500),
			"foreign_hold": 50 + r.Int64N(1500), "place_close": 500 + r.Int64N(2500)}
		b := byHand{files: r.twisted(1+r.IntN(3), 2), price: price, engine: loaded,
			level: []string{LevelUndecided, LevelConflict}[seed%3%2]}
		b.works = func(row map[string]string) (out []worked) {
			for _, anew := range []bool{false, true} {
				if to, ok := tamped(row, anew); ok {
					out = append(out, worked{[]string{"surface"}, to})
				}
			}
			return out
		}
		p := b.compare(t, seed)
		for _, a := range p.Actions {
			switch {
			case a.Sets["elevation"] != "":
				elevated++
			case a.Work == "surface":
				surfaced++
			case a.Effect == Closes:
				closed++
			case a.Effect == Holds:
				held++
			}
		}
	}
	if surfaced == 0 || seeds > 8 && (elevated == 0 || held == 0 || closed == 0) {
		t.Errorf("%d places tamped, %d with a new elevation, %d cars held, %d places closed: too few to tell", surfaced,
			elevated, held, closed)
	}
}

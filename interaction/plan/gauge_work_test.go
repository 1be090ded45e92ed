package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/track"
)

// gauges is a random survey of axles on curves and spots of wide and tight gauge.
func (r roller) gauges(cars, places int) (f files, feet map[string]int) {
	f = files{"cars.csv": {{"car", "owner"}},
		"wheels.csv": {{"car", "position", "flange_thickness", "back_to_back", "rim_width"}},
		"curves.csv": {{"location", "curve", "gauge", "loaded_gauge"}},
		"gauge.csv":  {{"location", "spot", "gauge", "loaded_gauge", "holding"}}}
	feet = map[string]int{}
	add := func(name string, cells ...string) { f[name] = append(f[name], cells) }
	for c := range cars {
		id := fmt.Sprintf("CAR %d", c)
		add("cars.csv", id, []string{"own", "foreign"}[r.IntN(2)])
		for i, side := range []string{"L1", "R1"} {
			add("wheels.csv", id, side, r.inches(14, 20, 0), []string{r.inches(53*16-1, 53*16+4, 0), ""}[i], "5-1/2")
		}
	}
	for p := range places {
		id := fmt.Sprintf("P%d", p)
		n := 55*16 + 12 + r.IntN(56)
		gauge, loaded := sixteenths(n), []string{"", ">58", sixteenths(n + r.IntN(24)),
			sixteenths(n + 6 + r.IntN(18))}[r.IntN(4)]
		if r.IntN(2) == 0 {
			add("curves.csv", "yard", id, gauge, loaded)
			id = "curve/" + id
		} else {
			add("gauge.csv", "yard", id, gauge, loaded, []string{"", "poor", "good"}[r.IntN(3)])
			id = "spot/" + id
		}
		if r.IntN(2) == 0 {
			feet[id] = 5 + r.IntN(100)
		}
	}
	return f, feet
}

// spiked are the works on the gauge of a place by hand, in sixteenths: ties here and there bring it half an inch at
// most, rods hold it under load a quarter over what it is without, and by half an inch less than before at most.
func spiked(row map[string]string) (out []worked) {
	const design, reach, rods, fair = 56*16 + 8, 8, 4, 8
	whole := func(column string) (n int, ok bool) {
		v, ok := cell(row[column])
		return int(math.Round(16 * v)), ok
	}
	g, known := whole("gauge")
	l, both := whole("loaded_gauge")
	both = both && known
	spread := fair
	if both {
		spread = min(spread, l-g)
	}
	at := func(n int) map[string]string {
		to := map[string]string{"gauge": sixteenths(n)}
		if row["loaded_gauge"] != "" {
			to["loaded_gauge"] = sixteenths(n + spread)
		}
		return to
	}
	if row["gauge"] != "" || row["loaded_gauge"] != "" {
		out = append(out, worked{[]string{"regauge"}, at(design)})
	}
	if !known {
		return out
	}
	tied := min(max(design, g-reach), g+reach)
	out = append(out, worked{[]string{"spot_ties"}, at(tied)})
	if both && l-g > rods {
		out = append(out, worked{[]string{"gauge_rods"}, map[string]string{
			"loaded_gauge": sixteenths(g + max(rods, l-g-reach))}})
	}
	if both && spread > rods {
		to := at(tied)
		to["loaded_gauge"] = sixteenths(tied + rods)
		out = append(out, worked{[]string{"spot_ties", "gauge_rods"}, to})
	}
	return out
}

// Wide and tight gauge is mended by rods, ties here and there, both, or regauging, whatever is cheapest of what reaches
// so far, each at the price of the length of the place.
func TestGaugeWorksMatchBruteForce(t *testing.T) {
	t.Parallel()
	done, seeds := map[string]int{}, fixture.Drawn(12, 150)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(79, seed))}
		price := map[string]int64{"car_hold": 500 + r.Int64N(4000), "foreign_hold": 500 + r.Int64N(4000),
			"place_close": 1000 + r.Int64N(4000), "gauge_rods": 50 + r.Int64N(300), "spot_ties": 100 + r.Int64N(700),
			"regauge": 300 + r.Int64N(1500)}
		f, feet := r.gauges(2, 2)
		b := byHand{files: f, price: price, works: spiked, feet: feet,
			perFoot: []string{"gauge_rods", "spot_ties", "regauge"},
			level:   []string{LevelUndecided, LevelConflict}[seed%3%2],
			engine:  only([]string{"wide-gauge", "wide-gauge", "tight-gauge"}[r.IntN(3)])}
		p := b.compare(t, seed)
		at := map[string]bool{}
		for _, a := range p.Actions {
			done[a.Work]++
			if at[a.Where] {
				done["both"]++
			}
			at[a.Where] = true
			if feet[a.Where] > 0 && a.Effect == Sets {
				done["by length"]++
			}
		}
	}
	for _, name := range []string{"spot_ties", "by length", "regauge", "gauge_rods", "both"} {
		if done[name] == 0 && (seeds > 12 || name == "spot_ties" || name == "by length") {
			t.Errorf("no %s among %v", name, done)
		}
	}
}

// What rods and ties reach at a place, at the bounds of each work and just beyond them.
func TestReachOfGaugeWorks(t *testing.T) {
	type want struct{ tied, tiedLoaded, held, both string }
	tests := []struct {
		name, gauge, loaded string
		want                want
	}{
		{"half an inch wide: ties bring it to its design", "57", "57-1/2", want{"56-1/2", "57", "57-1/4", "56-3/4"}},
		{"wider: half an inch of it", "57-1/16", "57-1/2", want{"56-9/16", "57", "57-5/16", "56-13/16"}},
		{"tight", "55-7/8", "56", want{"56-3/8", "56-1/2", "", ""}},
		{"rods hold a quarter", "57", "57-3/4", want{"56-1/2", "57", "57-1/4", "56-3/4"}},
		{"and no more than half an inch less than before", "57", "57-13/16", want{"56-1/2", "57", "57-5/16", "56-3/4"}},
		{"it opens by a quarter already", "57", "57-1/4", want{"56-1/2", "56-3/4", "", ""}},
		{"under load it was not read", "57", "", want{"56-1/2", "", "", ""}},
		{"under load it is known from one side alone", "57", ">58", want{"56-1/2", "57", "", ""}},
		{"the gauge is known from one side alone", ">57", "58", want{}},
	}
	rows := [][]string{{"location", "spot", "gauge", "loaded_gauge"}}
	for i, tt := range tests {
		rows = append(rows, []string{"yard", fmt.Sprintf("G%d", i), tt.gauge, tt.loaded})
	}
	sv := files{"gauge.csv": rows}.write(t, plainRailroad)
	for i, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := sv.Track.Features[i]
			s := workshop{rules: interaction.NewRules(sv.Settings, sv.Data), sv: sv, f: f,
				design: sv.Data.Designed[f.Kind.String()].Values}
			var got want
			for _, d := range s.drafts(choices{gauge: true})[1:] {
				switch {
				case d.acts[0].Work == "regauge":
				case len(d.acts) == 2:
					got.both = d.to[track.LoadedGauge]
				case d.acts[0].Work == "gauge_rods":
					got.held = d.to[track.LoadedGauge]
				default:
					got.tied, got.tiedLoaded = d.to[track.Gauge], d.to[track.LoadedGauge]
				}
			}
			if got != tt.want {
				t.Errorf("%+v, want %+v", got, tt.want)
			}
		})
	}
}

package judge_test

import (
	"fmt"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
)

// A truck with 8 mm of hollow on all wheels is clear in no curve, whatever its frame and load,
// and no more hollow is better than less.
func TestDeepHollowIsNotClear(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	hollows, degrees, holdings := []string{"3", "8"}, []string{"2"}, []string{"good"}
	if fixture.Volume() {
		hollows, degrees, holdings = []string{"3", "5", "8"}, []string{"1", "3", "6"}, []string{"good", "fair"}
	}
	type build struct{ name, kind, gross, base string }
	builds := []build{
		{"three-piece, loaded", "freight", "286000", "70"}, {"three-piece, empty", "freight", "60000", "70"},
		{"stiff frame, heavy", "locomotive", "263000", "108"}, {"stiff frame, light", "passenger", "110000", "102"},
	}
	if !fixture.Volume() {
		builds = builds[1:2]
	}
	var cars, wheels []row
	for n, b := range builds {
		for k, h := range hollows {
			id := fmt.Sprintf("A %d%d", n, k)
			cars = append(cars, row{"car": id, "kind": b.kind, "gross_lb": b.gross, "axles": "4",
				"truck_wheelbase": b.base})
			for i, w := range carOf(row{"flange_thickness": "1-1/8", "flange_height": "1-1/8", "tread_hollow": h,
				"back_to_back": "53-3/8", "diameter": "36", "rim_width": "5-1/2"}) {
				w["car"], w["position"] = id, seat(i)
				wheels = append(wheels, w)
			}
		}
	}
	var curves []row
	for _, holding := range holdings {
		for _, d := range degrees {
			curves = append(curves, row{"location": "here", "curve": holding + d, "degree": d, "elevation": "1",
				"speed_mph": "10", "gauge": "56-1/2", "loaded_gauge": "56-3/4", "rail": "115RE", "head_wear": "none",
				"gauge_face_wear": "none", "holding": holding})
		}
	}
	s := sheets{class: "1", date: "2026-03-31", files: map[string]string{"cars.csv": sheet(cars...),
		"wheels.csv": sheet(wheels...), "curves.csv": sheet(curves...)}}.read(t, fixture.Data(t))
	found := computedOf(t, s, interaction.Options{Check: "hollow-curve"})
	for _, holding := range holdings {
		for _, d := range degrees {
			for n, b := range builds {
				best := 2
				for k, h := range hollows {
					f := found[fmt.Sprintf("hollow-curve curve/%s%s A %d%d L1", holding, d, n, k)]
					if h == "8" && f.Verdict == clears {
						t.Errorf("%s, %s degrees, %s: 8 mm is clear: %s", b.name, d, holding, f.Computed.Why)
					}
					if rank(f.Verdict) > best {
						t.Errorf("%s, %s degrees, %s: %s mm is %s after worse with less", b.name, d, holding, h,
							f.Verdict)
					}
					best = min(best, rank(f.Verdict))
				}
			}
		}
	}
}

package judge_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// A truck in a curve is clear only if its lightest wheel keeps more than a tenth of its load, and more warp, or a load
// farther to one side, never gives it a better verdict or margin. The rows go from better to worse.
func TestLightestWheelInCurves(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	r := rand.New(rand.NewPCG(17, 9))
	n := int(fixture.Drawn(4, 16))
	warps, loads := []string{"none", "1", "2", "3"}, []string{"none", "20", "45", "70"}
	clear, not := 0, 0
	for i := range n {
		gross, axles, spacing := fmt.Sprint(40000+1000*r.IntN(220)), "4", "70"
		if i%4 == 3 {
			axles, spacing, gross = "6", "79", fmt.Sprint(300000+1000*r.IntN(120))
		}
		degree, elevation := fmt.Sprint(1+r.IntN(9)), fmt.Sprintf("%d/8", 1+r.IntN(30))
		body := []string{"stiff", "ordinary", "soft"}[r.IntN(3)]
		var cars, wheels, curves []row
		for k, load := range loads {
			id := fmt.Sprint("A ", k)
			cars = append(cars, row{"car": id, "kind": "freight", "gross_lb": gross, "axles": axles,
				"truck_wheelbase": spacing,
				"truck_centers":   "40'", "body": body, "load_imbalance": load})
			for axle := 1; fmt.Sprint(axle) <= axles; axle++ {
				for _, side := range []string{"L", "R"} {
					w := row{"car": id, "position": fmt.Sprint(side, axle), "flange_height": "1-1/16",
						"flange_thickness": "1-5/32",
						"tread_hollow":     "none", "diameter": "36", "rim_width": "5-1/2", "back_to_back": ""}
					if side == "L" {
						w["back_to_back"] = "53-3/8"
					}
					wheels = append(wheels, w)
				}
			}
		}
		for k, warp := range warps {
			curves = append(curves, row{"location": "here", "curve": fmt.Sprint("C", k), "degree": degree,
				"elevation": elevation,
				"speed_mph": "10", "gauge": "56-3/4", "loaded_gauge": "57", "rail": "136RE", "head_wear": "none",
				"gauge_face_wear": "none", "rail_cant": "1:40", "holding": "good", "warp": warp, "warp_over": "40"})
		}
		s := sheets{class: "1", date: "2026-03-31", files: map[string]string{"cars.csv": sheet(cars...),
			"wheels.csv": sheet(wheels...), "curves.csv": sheet(curves...)}}.read(t, fixture.Data(t))
		found := map[string]map[string]*judge.Finding{}
		for _, check := range []string{"hollow-curve", "wheel-unloading"} {
			found[check] = computedOf(t, s, interaction.Options{Check: check})
		}
		at := func(load, warp int) *judge.Finding {
			return found["hollow-curve"][fmt.Sprintf("hollow-curve curve/C%d A %d L1", warp, load)]
		}
		for load := range loads {
			for warp := range warps {
				f := at(load, warp)
				kept := 1.0
				if u := found["wheel-unloading"][fmt.Sprintf("wheel-unloading curve/C%d A %d L1", warp,
					load)]; u != nil {
					kept = u.Unloading.Kept()
				}
				of := fmt.Sprintf("%s lb, %s axles, %s body, %s degrees, %s in, load %s, warp %s", gross, axles, body,
					degree,
					elevation, loads[load], warps[warp])
				if f.Verdict == clears {
					clear++
					if kept <= 0.1 {
						t.Errorf("%s: clear, and a wheel keeps %.3f of its load", of, kept)
					}
				} else {
					not++
				}
				for _, better := range [][2]int{{load - 1, warp}, {load, warp - 1}} {
					if better[0] < 0 || better[1] < 0 {
						continue
					}
					if b := at(better[0], better[1]); rank(f.Verdict) > rank(b.Verdict) {
						t.Errorf("%s: %s, and %s with load %s, warp %s: %s", of, f.Verdict, b.Verdict, loads[better[0]],
							warps[better[1]], f.Computed.Why)
					}
				}
			}
		}
	}
	if clear < n || not < n {
		t.Errorf("%d clear and %d not: the draw says little", clear, not)
	}
}

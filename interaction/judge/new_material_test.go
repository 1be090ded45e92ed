package judge_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// New wheels, narrow and wide, under every kind of car, and unworn track of every class and
// with frogs of every type are within every shipped set, as a tape reads them: a book that
// cries at new material is read by nobody. Two things are as the rules have them. A new
// wheel whose design is a federal limit of steam locomotives to the figure straddles it by
// the error of its reading, and is legal. A locomotive whose sheet names no design is
// unknown between the two figures of 49 CFR 229.73(c).
func TestNewMaterialIsWithinEveryBook(t *testing.T) {
	leftToVolumes(t)
	data := fixture.Data(t)
	files := newMaterial(data)
	atFigure := map[string]string{"230.112(b)-most": "53-3/8", "230.112(b)-most-round": "53-3/8", "230.112(e)": "5-1/2",
		"230.113(i)-least": "1"}
	for _, exact := range []bool{false, true} {
		s := sheets{exact: exact, files: files, limits: slices.Sorted(maps.Keys(data.Sets))}.read(t, data)
		r := judgeAll(t, s, interaction.Options{}).result
		sets := map[string]int{}
		for _, l := range r.Limits {
			if l.Verdict != limit.NotMeasured {
				sets[l.Set]++
			}
			switch {
			case l.Verdict == limit.Within || l.Verdict == limit.NotMeasured:
			case !exact && l.Verdict == limit.Straddles && atFigure[l.Rule] == l.Reading &&
				strings.Contains(l.Where, "steam"):
			case l.Verdict == limit.Unsure && strings.HasPrefix(l.Rule, "229.73(c)-most-wide") &&
				strings.Contains(l.Where, "unnamed") && l.Reading == "53-3/8":
			default:
				t.Errorf("%s %s: %s %s is %s by %s of %s (%s)", l.Where, l.Quantity, l.Quantity, l.Reading, l.Verdict,
					l.Rule, l.Set, l.Limit)
			}
		}
		for name := range data.Sets {
			if sets[name] == 0 {
				t.Errorf("%s judged nothing here", name)
			}
		}
		for _, c := range r.Track {
			if c.Met.Class != "5" || c.Met.Short || c.Met.AtLimit || len(c.Met.NotRead) > 0 {
				t.Errorf("%s: class %+v, unworn track is of the highest", c.Feature, c.Met)
			}
		}
		var asked []string
		for _, u := range r.Asked() {
			if asked = append(asked, u.Where); u.Reading != "design" || !strings.Contains(u.Where, "locomotive") ||
				!strings.Contains(u.Where, "unnamed narrow") || u.Pairs != 0 {
				t.Errorf("asked for %+v", u)
			}
		}
		if len(asked) != 9 {
			t.Errorf("the design is asked for at %d axles, want 9: three services, three diameters: %v", len(asked),
				asked)
		}
	}
}

// newMaterial is a survey of new wheels and unworn track.
func newMaterial(data *configs.Data) map[string]string {
	var cars, wheels strings.Builder
	cars.WriteString("car,kind,service,axles\n")
	wheels.WriteString("car,position,flange_height,flange_thickness,vertical_flange,rim_thickness,tread_hollow,back_to_back,back_to_back_max,diameter,rim_width,design\n")
	for _, d := range data.Designs {
		if !d.Reference {
			continue
		}
		for _, car := range []string{"freight,", "locomotive,road", "locomotive,yard", "locomotive,", "passenger,",
			"steam,", ","} {
			for _, diameter := range []string{"33", "36", ""} {
				for _, design := range []string{d.Name, ""} {
					id := strings.TrimSpace(map[bool]string{true: "unnamed "}[design == ""] + d.Flange + " " +
						strings.ReplaceAll(car, ",", " ") + diameter)
					fmt.Fprintf(&cars, "%s,%s,4\n", id, car)
					for _, position := range []string{"L1", "R1"} {
						b := measure.Inch(d.BackToBack)
						fmt.Fprintf(&wheels, "%s,%s,%s,%s,0,1-1/2,none,%s,%s,%s,%s,%s\n", id, position,
							measure.Inch(d.FlangeHeight), measure.Inch(d.FlangeThickness), b, b, diameter,
							measure.Inch(d.RimWidth), design)
					}
				}
			}
		}
	}
	files := map[string]string{"cars.csv": cars.String(), "wheels.csv": wheels.String()}
	for _, kind := range []struct{ name, file, id string }{{"frog", "frogs.csv", "frog"},
		{"switch", "switches.csv", "switch"}, {"curve", "curves.csv", "curve"}, {"spot", "gauge.csv", "spot"}} {
		values := maps.Clone(data.Designed[kind.name].Values)
		types := []string{""}
		if kind.name == "frog" {
			types = append(types, configs.FrogTypes()...)
			delete(values, "type")
		}
		read := map[string]string{} // what is none where it is unworn
		for _, c := range map[string][]string{"frog": {"tread_wear", "point_worn_down", "point_worn_back"},
			"switch": {"point_thickness", "crosslevel"},
			"curve":  {"warp", "warp_short", "head_wear", "gauge_face_wear"},
			"spot":   {"warp", "warp_short", "crosslevel"}}[kind.name] {
			read[c] = "none"
		}
		if kind.name == "curve" {
			read["elevation"] = "none"
		}
		for c, v := range values {
			read[c] = v.Written
		}
		columns := slices.Sorted(maps.Keys(read))
		var b strings.Builder
		b.WriteString("location," + kind.id)
		if kind.name == "frog" {
			b.WriteString(",type")
		}
		b.WriteString(",track_class," + strings.Join(columns, ",") + "\n")
		for _, class := range append(configs.TrackClasses(), "") {
			for _, frogType := range types {
				fmt.Fprintf(&b, "here,%s%s %s", kind.id, class, frogType)
				if kind.name == "frog" {
					b.WriteString("," + frogType)
				}
				b.WriteString("," + class)
				for _, c := range columns {
					b.WriteString("," + read[c])
				}
				b.WriteString("\n")
			}
		}
		files[kind.file] = b.String()
	}
	return files
}

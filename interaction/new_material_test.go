package interaction_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// New wheels, narrow and wide, under every kind of car, and unworn track of every class
// are within every shipped set: a book that cries at new material is read by nobody.
func TestNewMaterialIsWithinEveryBook(t *testing.T) {
	data := fixture.Data(t)
	var cars, wheels strings.Builder
	cars.WriteString("car,kind,service,axles\n")
	wheels.WriteString("car,position,flange_height,flange_thickness,vertical_flange,rim_thickness,tread_hollow,back_to_back,back_to_back_max,diameter,rim_width,design\n")
	n := 0
	for _, d := range data.Designs {
		if !d.Reference {
			continue
		}
		for _, car := range []string{"freight,", "locomotive,road", "locomotive,yard", "locomotive,", "passenger,", "steam,", ","} {
			for _, diameter := range []string{"33", "36", ""} {
				n++
				id := fmt.Sprintf("NEW %d", n)
				fmt.Fprintf(&cars, "%s,%s,4\n", id, car)
				design := d.Name
				if car == "freight," && diameter == "" {
					design = "" // a sheet that names none
				}
				for _, position := range []string{"L1", "R1"} {
					b := measure.Inch(d.BackToBack)
					fmt.Fprintf(&wheels, "%s,%s,%s,%s,0,1-1/2,none,%s,%s,%s,%s,%s\n", id, position, measure.Inch(d.FlangeHeight), measure.Inch(d.FlangeThickness), b, b, diameter, measure.Inch(d.RimWidth), design)
				}
			}
		}
	}
	files := map[string]string{"cars.csv": cars.String(), "wheels.csv": wheels.String()}
	for _, kind := range []struct{ name, file, id string }{{"frog", "frogs.csv", "frog"}, {"switch", "switches.csv", "switch"}, {"curve", "curves.csv", "curve"}, {"spot", "gauge.csv", "spot"}} {
		values := data.Designed[kind.name].Values
		columns := slices.Sorted(maps.Keys(values))
		var b strings.Builder
		b.WriteString("location," + kind.id + ",track_class," + strings.Join(columns, ",") + "\n")
		for _, class := range []string{"excepted", "1", "2", "3", "4", "5", ""} {
			b.WriteString("here," + kind.id + class + "," + class)
			for _, c := range columns {
				b.WriteString("," + values[c].Written)
			}
			b.WriteString("\n")
		}
		files[kind.file] = b.String()
	}
	s := sheets{exact: true, files: files, limits: slices.Sorted(maps.Keys(data.Sets))}.read(t, data)
	r := judge(t, s, interaction.Options{}).result
	sets := map[string]int{}
	for _, l := range r.Limits {
		if l.Verdict != limit.NotMeasured {
			sets[l.Set]++
		}
		if l.Verdict != limit.Within && l.Verdict != limit.NotMeasured {
			t.Errorf("%s %s: %s %s is %s by %s of %s (%s)", l.Where, l.Quantity, l.Quantity, l.Reading, l.Verdict, l.Rule, l.Set, l.Limit)
		}
	}
	for name := range data.Sets {
		if sets[name] == 0 {
			t.Errorf("%s judged nothing here", name)
		}
	}
	for _, c := range r.Track {
		if c.Met.Class != "5" || c.Met.Short || c.Met.AtLimit {
			t.Errorf("%s: class %+v, unworn track is of the highest", c.Feature, c.Met)
		}
	}
}

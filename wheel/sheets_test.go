package wheel_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// read reads both sheets from text; "" is an absent file. Problems and warnings come
// back as "file:line:col: …" in the order of their places.
func read(t testing.TB, data *configs.Data, cars, wheels string) (fleet *wheel.Fleet, problems, warnings []string) {
	t.Helper()
	var in wheel.Sheets
	if cars != "" {
		in.Cars = sheet.CSV("cars.csv", []byte(cars))
	}
	if wheels != "" {
		in.Wheels = sheet.CSV("wheels.csv", []byte(wheels))
	}
	var ps measure.Problems
	fleet, warned := wheel.Read(in, data.Columns, data, &ps)
	if err := ps.Err(); err != nil {
		var list measure.ProblemsError
		if !errors.As(err, &list) {
			t.Fatalf("%T is no list of problems", err)
		}
		for _, p := range list {
			problems = append(problems, p.Error())
		}
	}
	for _, w := range warned {
		warnings = append(warnings, w.Place.String()+": "+w.Text)
	}
	return fleet, problems, warnings
}

// holds compares a list with the texts that its items must hold, one for one.
func holds(t *testing.T, what string, got, want []string, reason string) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s %q, want %d that hold %q; %s", what, got, len(want), want, reason)
		return
	}
	for i, w := range want {
		for _, part := range strings.Split(w, " ... ") {
			if !strings.Contains(got[i], part) {
				t.Errorf("%s %q does not hold %q; %s", what, got[i], part, reason)
			}
		}
	}
}

// TestSheetDefects: every defect of the two sheets is reported at its line, in the
// form file:line:col: field: what (expected).
func TestSheetDefects(t *testing.T) {
	data := fixture.Data(t)
	const two = "car,kind,axles\nA 1,freight,2\n"
	for _, tc := range []struct {
		name, cars, wheels string
		want               []string
		reason             string
	}{
		{"good", two, "car,position\nA 1,L1\nA 1,R1\n", nil, "nothing is wrong"},
		{"duplicate wheel", two, "car,position\nA 1,L1\nA 1,R1\nA 1,L1\n",
			[]string{"wheels.csv:4: ... A 1 L1 stands twice ... line 2"}, "two undated rows of one wheel"},
		{"duplicate after trimming", two, "car,position\nA 1,L1\n A  1 ,L1\n",
			[]string{"wheels.csv:3: ... stands twice"}, "ids compare after trimming and joining blanks"},
		{"undated beside dated", two, "car,position,date\nA 1,L1,2026-01-05\nA 1,L1,\n",
			[]string{"wheels.csv:3: ... date: ... undated row beside a dated one ... line 2"},
			"a history has dates in every row"},
		{"dated beside undated", two, "car,position,date\nA 1,L1,\nA 1,L1,2026-01-05\n",
			[]string{"wheels.csv:3: ... undated row beside a dated one"}, "in either order"},
		{"one date twice", two, "car,position,date\nA 1,L1,2026-01-05\nA 1,L1,2025-01-05\nA 1,L1,2026-01-05\n",
			[]string{"wheels.csv:4: ... stands twice ... line 2"}, "one row a date"},
		{"two back-to-back", two, "car,position,back_to_back\nA 1,L1,53\nA 1,R1,53-1/16\n",
			[]string{"wheels.csv:3: ... back_to_back: ... axle 1 of car A 1 has two values, 53 and 53-1/16 ... line 2"},
			"one value an axle"},
		{"two greatest", two, "car,position,back_to_back_max\nA 1,R1,53-1/8\nA 1,L1,53-1/16\n",
			[]string{"wheels.csv:3: ... back_to_back_max: ... two values, 53-1/8 and 53-1/16"},
			"back_to_back_max likewise, at the later line"},
		{"same back-to-back twice", two, "car,position,back_to_back\nA 1,L1,53-1/8\nA 1,R1,53.125\n", nil,
			"the same value in two notations is one value"},
		{"greatest below least", two, "car,position,back_to_back,back_to_back_max\nA 1,L1,53-1/4,53\n",
			[]string{"wheels.csv:2:15: back_to_back_max: ... 53 is below the least, 53-1/4"}, "beyond their ±"},
		{"greatest below least, on the other row", two,
			"car,position,back_to_back,back_to_back_max\nA 1,L1,53-1/4,\nA 1,R1,,53\n",
			[]string{"wheels.csv:3:9: back_to_back_max: ... 53 is below the least, 53-1/4 ... line 2"},
			"both are the axle's, on either row"},
		{"greatest above least, on the other row", two,
			"car,position,back_to_back,back_to_back_max\nA 1,L1,53,\nA 1,R1,,53-1/4\n", nil, "as it should be"},
		{"greatest like least", two, "car,position,back_to_back,back_to_back_max\nA 1,L1,53,53\n", nil,
			"a true axle has one value"},
		{"unknown design", two, "car,position,design\nA 1,L1,narrow\n",
			[]string{"wheels.csv:2:8: design: ... \"narrow\" ... narrow flange 1:20, wide flange 1:20"},
			"the message lists the known"},
		{"bad position", two, "car,position\nA 1,L9\nA 1,M1\nA 1,l0\nA 1,\n",
			[]string{"wheels.csv:2:5: position: \"L9\"", "wheels.csv:3:5", "wheels.csv:4:5", "wheels.csv:5:5"},
			"L1 to L8, R1 to R8 and no other"},
		{"axle that the car has not", two, "car,position\nA 1,L3\n",
			[]string{"wheels.csv:2:5: position: car A 1 has 2 axles (axle 1 to 2)"}, "cars.csv says 2 axles"},
		{"no car", two, "car,position\n,L1\n-,L2\n", []string{"wheels.csv:2:1: car: ... missing", "wheels.csv:3:1"},
			"blank and - are no name"},
		{"car twice", "car\nA 1\nB 2\nA  1\n", "", []string{"cars.csv:4:1: car: ... stands twice ... line 2"},
			"each car once"},
		{"unknown kind", "car,kind\nA 1,frieght\n", "",
			[]string{"cars.csv:2:5: kind: ... did you mean \"freight\"?"}, "a hint"},
		{"kind by the last of several words",
			"car,kind\nA 1,ballast hopper\nA 2,Covered Hopper Car\nA 3,SD40-2\nA 4,steam loco\nA 5,mail car\n", "",
			[]string{`cars.csv:2:5: ... write "freight"`, `cars.csv:3:5: ... write "freight"`,
				`cars.csv:4:5: ... write "locomotive"`, `cars.csv:5:5: ... write "steam"`,
				`cars.csv:6:5: kind: "mail car" is not known here (one of freight`}, "the last word names the kind"},
		{"kind by the type of car", "car,kind\nA 1,gondola\nA 2,Covered Hoppers\nA 3,Switcher\nA 4,tank-car\nA " +
			"5,coach\nA 6,zeppelin\n", "",
			[]string{`cars.csv:2:5: kind: "gondola" is not known here (write "freight" for it; one of freight, locomotive`, `cars.csv:3:5: ... write "freight"`, `cars.csv:4:5: ... write "locomotive"`, `cars.csv:5:5: ... write "freight"`, `cars.csv:6:5: ... write "passenger"`, `cars.csv:7:5: ... (one of freight`}, "what people write, named and not taken"},
		{"notch by a word", two, "car,position,vertical_flange,flange_height\nA 1,L1,ok,Pass\n",
			[]string{"wheels.csv:2:8: vertical_flange: ... write <1 where",
				"wheels.csv:2:11: flange_height: ... write <1-1/2"}, "how the notch is written"},
		{"unknown service", "car,service\nA 1,Yard\nA 2,n/m\nA 3,switcher\n", "",
			[]string{"cars.csv:4:5: service: ... road, yard"}, "what the rules tell apart"},
		{"unknown body", "car,body\nA 1,STIFF\nA 2,rigid\n", "",
			[]string{"cars.csv:3:5: body: ... stiff, ordinary, soft"}, "the known words"},
		{"warp stiffness as a figure", "car,warp_stiffness\nA 1,Worn\nA 2,3\n", "",
			[]string{"cars.csv:3:5: warp_stiffness: ... new, worn"}, "the figures are settings"},
		{"numbers with units", "car,gross_lb,load_imbalance\nA 1,286 k,10%\nA 2,143 tons,10 %\nA 3,\"286,000 " +
			"lb\",1/2\n", "",
			[]string{`cars.csv:2:5: gross_lb: "286 k" is not such a number (write 286K for it; a number from 1000`,
				`cars.csv:2:11: load_imbalance: "10%" is not a number of percent (write 10 for it; percent as`,
				"cars.csv:3:5: gross_lb: \"143 tons\" is not such a number (a number from",
				"cars.csv:3:14: ... write 10 for it",
				`cars.csv:4:5: gross_lb: "286,000 lb" is not such a number (write 286,000 for it`, "cars.csv:4:18"},
			"what people write, named and not taken"},
		{"load imbalance", "car,load_imbalance\nA 1,80\nA 2,81\nA 3,-1\nA 4,none\n", "",
			[]string{"cars.csv:3:5: load_imbalance: ... 0 to 80 percent", "cars.csv:4:5"}, "percent of half"},
		{"truck centers", "car,truck_centers\nA 1,46' 3\"\nA 2,40\nA 3,1201\n", "",
			[]string{"cars.csv:3:5: truck_centers: ... 60 to 1200 in", "cars.csv:4:5"},
			"a length in inches, not in feet"},
		{"weights", "car,gross_lb\nA 1,\"263,000\"\nA 2,286K\nA 3,220k\nA 4,\"26,3000\"\nA 5,286T\nA " +
			"6,\"1,263,000\"\nA 7,K\n", "", []string{"cars.csv:5:5: gross_lb", "cars.csv:6:5: gross_lb",
			"cars.csv:8:5: gross_lb"}, "as offices write large numbers"},
		{"marks", two, "car,position,marks\nA 1,L1,Tip_bright  FLAT_SPOT\nA 1,R1,none\nA 1,L2,tip bright\nA " +
			"1,R2,none tip_bright\n", []string{"wheels.csv:4:8: marks: \"tip\" is not a mark known here (did you " +
			"mean \"tip_bright\"?", "wheels.csv:5:8: marks: \"none\""}, "words separated by blanks; none stands alone"},
		{"turned", two, "car,position,turned\nA 1,L1,2025-02-30\nA 1,R1,N/A\n",
			[]string{"wheels.csv:2:8: turned: ... not a date"}, "a date"},
		{"unknown owner", "car,owner\nA 1,lease\n", "", []string{"cars.csv:2:5: owner: ... own, foreign, private"},
			"the known words"},
		{"nine axles", "car,axles\nA 1,9\nA 2,2.5\n", "", []string{"cars.csv:2:5: axles", "cars.csv:3:5: axles"},
			"a whole number from 1 to 8"},
		{"weight beyond bounds", "car,gross_lb\nA 1,1e999\n", "",
			[]string{`cars.csv:2:5: gross_lb: "1e999" is not such a number (a number from 1000 to 2000000)`},
			"bounds as people write them"},
		{"column missing", two, "car,flange_height\nA 1,1\n",
			[]string{"wheels.csv:1:1: position: the column is missing"}, "a wheel needs a position"},
		{"car column missing", "kind\nfreight\n", "", []string{"cars.csv:1:1: car: the column is missing"},
			"a car needs a name"},
		{"unknown column", two, "car,position,flange_hight\nA 1,L1,1\n",
			[]string{"wheels.csv:1:14: ... did you mean \"flange_height\"?"}, "a hint"},
		{"bad readings", two, "car,position,flange_height,tread_hollow,date\nA 1,L1,1-7/15,1/8,01/02/26\n",
			[]string{"wheels.csv:2:8: flange_height", "wheels.csv:2:15: tread_hollow: ... which unit?",
				"wheels.csv:2:19: date: ... YYYY-MM-DD"}, "all defects of a row"},
		{"outside the bounds", two, "car,position,flange_height,flange_thickness\nA 1,L1,3,2-1/16\n",
			[]string{"wheels.csv:2:8: flange_height: ... 1/2 to 2-1/2 in",
				"wheels.csv:2:10: flange_thickness: ... 1/2 to 2 in"}, "beyond what the quantity can be"},
		{"at the bounds", two, "car,position,flange_height,flange_thickness\nA 1,L1,2-1/2,1/2\n", nil,
			"the bounds themselves are taken"},
		{"both sheets", "car,kind\nA 1,tram\n", "car,position\nA 1,L0\n", []string{"cars.csv:2:5", "wheels.csv:2:5"},
			"defects of both files are reported together"},
		{"empty file", "", "\n", []string{"wheels.csv:1:1: heading: there is no heading line"}, "a sheet has headings"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, problems, _ := read(t, data, tc.cars, tc.wheels)
			holds(t, "problems", problems, tc.want, tc.reason)
		})
	}
}

// TestOddReadings: what is odd but possible is a warning at its place, and no error.
func TestOddReadings(t *testing.T) {
	data := fixture.Data(t)
	const listed = "car\nA 1\n"
	for _, tc := range []struct {
		name, cars, wheels string
		want               []string
		reason             string
	}{
		{"nothing odd", listed, "car,position,flange_height\nA 1,L1,1\nA 1,R1,1-3/16\n", nil, "3/16 apart is not 1/4"},
		{"unlisted car", listed, "car,position\nA 1,L1\nB 2,L1\nB 2,R1\nC 3,L1\n",
			[]string{"wheels.csv:3:1: car B 2", "wheels.csv:5:1: car C 3"}, "once a car where cars.csv stands"},
		{"no cars.csv", "", "car,position\nA 1,L1\nB 2,L1\n", []string{"wheels.csv: there is no cars.csv"},
			"one warning for all"},
		{"no cars.csv and no wheel", "", "car,position\n", nil, "nothing to warn of"},
		{"ids differ in case", "car\na 1\nA 1\n", "",
			[]string{"cars.csv:2:1: cars A 1 and a 1 differ only in capital letters"},
			"taken as two, with a warning, without wheels.csv too"},
		{"ids differ in what does not show", "car\nA 1\nA\u200b 1\n", "car,position\nA 1,L1\nA\u200b 1,R1\n",
			[]string{"cars.csv:3:1: cars A 1 and A\u200b 1 differ only in characters that do not show (\"A 1\", " +
				"\"A\\u200b 1\")"}, "an axle without its mate, and nothing to see"},
		{"ids differ in case in wheels.csv", "car\nA 1\na 1\n", "car,position\nA 1,L1\na 1,L1\n",
			[]string{"cars.csv:3:1: cars A 1 and a 1 differ only in capital letters"}, "two cars, two wheels"},
		{"ids differ in blanks without cars.csv", "", "car,position\nA 1,L1\nA1,L1\n",
			[]string{"wheels.csv: there is no cars.csv", "wheels.csv:3:1: cars A 1 and A1 differ only in blanks"},
			"one car, written in two ways"},
		{"Cyrillic without cars.csv", "", "car,position\nA 1,L1\n\u0410 1,R1\n",
			[]string{"wheels.csv: there is no cars.csv",
				"wheels.csv:3:1: cars A 1 and \u0410 1 differ only in letters of another alphabet"},
			"an axle without its mate, and nothing to see"},
		{"unlisted car with a zero more", listed, "car,position\nA 01,L1\n",
			[]string{"wheels.csv:2:1: car A 01 has wheels and stands in no row of cars.csv: its kind is unknown; did " +
				"you mean A 1? They differ only in zeros before a number"}, "said once"},
		{"unlisted car without its blank", listed, "car,position\nA1,L1\n",
			[]string{"did you mean A 1? They differ only in blanks"}, "said once"},
		{"flange low", listed, "car,position,flange_height\nA 1,L1,0.874\n",
			[]string{"wheels.csv:2:8: flange_height 0.874 of A 1 L1 is low"}, "below 7/8"},
		{"flange at 7/8", listed, "car,position,flange_height\nA 1,L1,7/8\n", nil, "7/8 is not below 7/8"},
		{"one-sided low flange", listed, "car,position,flange_height\nA 1,L1,<7/8\n", nil,
			"a go/no-go reading has no value to wonder at"},
		{"heights differ by 1/4", listed, "car,position,flange_height\nA 1,L1,1\nA 1,R1,1-1/4\n",
			[]string{"wheels.csv:3:8: flange_height of axle 1 of A 1 differs by 1/4 in or more: 1 at L1, 1-1/4 at R1"},
			"at 1/4"},
		{"heights differ by less", listed, "car,position,flange_height\nA 1,L1,1\nA 1,R1,1.249\n", nil,
			"just under 1/4"},
		{"diameters differ by 1/2", listed, "car,position,diameter\nA 1,L1,35\nA 1,R1,35-1/2\n",
			[]string{"wheels.csv:3:8: diameter of axle 1 of A 1 differs by 1/2 in or more: 35 at L1, 35-1/2 at R1"},
			"as heights that differ by 1/4: curves are judged with matched wheels"},
		{"diameters differ by less", listed, "car,position,diameter\nA 1,L1,35\nA 1,R1,35-7/16\n", nil,
			"just under 1/2"},
		{"hollow, mate not read", listed, "car,position,tread_hollow\nA 1,L1,2.5\nA 1,R1,\n",
			[]string{"wheels.csv:2:8: wheel A 1 L1 is hollow (2.5)"}, "2.5 ±0.05 is surely 2 mm or more"},
		{"hollow, no mate", listed, "car,position,tread_hollow\nA 1,L1,2.5\n", []string{"is hollow (2.5)"},
			"a mate that is not in the sheet was not read either"},
		{"hollow, mate read", listed, "car,position,tread_hollow\nA 1,L1,2.5\nA 1,R1,none\n", nil, "none is a reading"},
		{"barely hollow", listed, "car,position,tread_hollow\nA 1,L1,2.0\n", nil, "2.0 ±0.05 may be under 2 mm"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, problems, warnings := read(t, data, tc.cars, tc.wheels)
			holds(t, "problems", problems, nil, tc.reason)
			slices.Sort(warnings)
			holds(t, "warnings", warnings, tc.want, tc.reason)
		})
	}
}

// TestHistory: the newest row, whole, is the reading; a blank in it is not filled
// from an older one; the others are its history, oldest first.
func TestHistory(t *testing.T) {
	data := fixture.Data(t)
	rows := []string{"A 1,L1,2026-03-01,1-3/8,,", "A 1,L1,2024-03-01,1-1/4,1.25,53",
		"A 1,L1,2025-03-01,1-5/16,1.2,53-1/16", "A 1,R1,2025-06-01,1,1.1,"}
	for i := range 8 {
		t.Run(fmt.Sprintf("order %d", i), func(t *testing.T) {
			shuffled := slices.Clone(rows)
			for n := range shuffled { // eight different orders
				m := (n*(i+1) + i) % len(shuffled)
				shuffled[n], shuffled[m] = shuffled[m], shuffled[n]
			}
			fleet, problems, _ := read(t, data, "car\nA 1\n",
				"car,position,date,flange_height,flange_thickness,back_to_back\n"+strings.Join(shuffled, "\n")+"\n")
			holds(t, "problems", problems, nil, "a history is no defect")
			if len(fleet.Wheels) != 2 {
				t.Fatalf("%d wheels, want L1 and R1", len(fleet.Wheels))
			}
			w := fleet.Wheels[0]
			if got := w.Read(wheel.FlangeHeight).Written; got != "1-3/8" || w.Date.String() != "2026-03-01" {
				t.Errorf("reading %s of %s, want 1-3/8 of the newest row", got, w.Date)
			}
			if w.Read(wheel.FlangeThickness).Measured() {
				t.Error("a blank of the newest row was filled from an older one")
			}
			if w.Read(wheel.BackToBack).Measured() {
				t.Error("back_to_back of an older row is the axle's")
			}
			var dates []string
			for _, e := range w.Earlier {
				dates = append(dates, e.Date.String())
			}
			if !slices.Equal(dates, []string{"2024-03-01", "2025-03-01"}) {
				t.Errorf("history %v, want the older rows, oldest first", dates)
			}
			if len(fleet.Wheels[1].Earlier) != 0 {
				t.Error("R1 has a history of one row")
			}
		})
	}
}

// TestAxleReadings: back_to_back stands on either row of the axle and is read from
// both wheels; where both rows say the same, the less certain one counts.
func TestAxleReadings(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, left, right string
		lo, hi            float64 // in
		reason            string
	}{
		{"left", "53-1/8", "", 53.09375, 53.15625, "the L row alone"},
		{"right", "", "53-1/8", 53.09375, 53.15625, "the R row alone"},
		{"both, left finer", "53.125", "53-1/8", 53.09375, 53.15625, "keeps to the wider"},
		{"both, right finer", "53-1/8", "53.125", 53.09375, 53.15625, "keeps to the wider"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			fleet, problems, _ := read(t, data, "car\nA 1\n", "car,position,back_to_back\nA 1,L1,"+tc.left+"\nA 1,R1,"+
				tc.right+"\n")
			holds(t, "problems", problems, nil, tc.reason)
			for _, w := range fleet.Wheels {
				r := w.Read(wheel.BackToBack)
				if d := r.Lo/measure.MMPerInch - tc.lo; d > 1e-9 || d < -1e-9 {
					t.Errorf("%s: lo %g in, want %g; %s", w.Position, r.Lo/measure.MMPerInch, tc.lo, tc.reason)
				}
				if d := r.Hi/measure.MMPerInch - tc.hi; d > 1e-9 || d < -1e-9 {
					t.Errorf("%s: hi %g in, want %g; %s", w.Position, r.Hi/measure.MMPerInch, tc.hi, tc.reason)
				}
				if w.Mate() == nil || w.Mate().Mate() != w || w.Axle() != w.Mate().Axle() {
					t.Errorf("%s and its mate are not one axle", w.Position)
				}
			}
		})
	}
}

// TestFleetOrder: cars by id, wheels by car, then side, then axle, whatever the order of the rows.
func TestFleetOrder(t *testing.T) {
	fleet, problems, _ := read(t, fixture.Data(t), "", "car,position\nB 2,R1\nA 1,R2\nA 1,L2\nB 2,L1\nA 1,L1\n")
	holds(t, "problems", problems, nil, "any order is taken")
	var got []string
	for _, w := range fleet.Wheels {
		got = append(got, w.Car.ID+" "+w.Position.String())
	}
	if want := []string{"A 1 L1", "A 1 L2", "A 1 R2", "B 2 L1", "B 2 R1"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestTrucks: axles 1-2 and 3-4 of a four-axle car, 1-3 and 4-6 of a six-axle unit; other arrangements say so.
func TestTrucks(t *testing.T) {
	for _, tc := range []struct {
		name   string
		axles  int
		list   []int // numbers of the axles in the sheet
		want   string
		ok     bool
		reason string
	}{
		{"four axles", 4, nil, "[[1 2] [3 4]]", true, "two trucks of two"},
		{"six axles", 6, nil, "[[1 2 3] [4 5 6]]", true, "two trucks of three"},
		{"two axles", 2, nil, "[]", false, "no trucks"},
		{"eight axles", 8, nil, "[]", false, "another arrangement"},
		{"unknown, up to 4", 0, []int{1, 4}, "[[1 2] [3 4]]", true, "the highest axle read stands for it"},
		{"unknown, up to 3", 0, []int{1, 2, 3}, "[]", false, "three axles are no known arrangement"},
		{"unknown and no axle", 0, nil, "[]", false, "nothing is known"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			c := &wheel.Car{Axles: tc.axles}
			for _, n := range tc.list {
				c.AxleList = append(c.AxleList, &wheel.Axle{Car: c, Number: n})
			}
			got, ok := c.Trucks()
			if s := fmt.Sprint(got); s != tc.want || ok != tc.ok {
				t.Errorf("%s %t, want %s %t; %s", s, ok, tc.want, tc.ok, tc.reason)
			}
		})
	}
}

// TestParsePosition: the sixteen positions come back as written, and nothing else is one.
func TestParsePosition(t *testing.T) {
	for _, side := range "LR" {
		for axle := 1; axle <= 8; axle++ {
			s := fmt.Sprintf("%c%d", side, axle)
			p, ok := wheel.ParsePosition(s)
			if !ok || p.String() != s || p.Axle != axle {
				t.Errorf("%s is read as %q (%t)", s, p, ok)
			}
		}
	}
	for _, s := range []string{"", "L", "L0", "L9", "R10", "1L", "l0", "m1", "\x0c1", "Ł1", " L1", "LL"} {
		if p, ok := wheel.ParsePosition(s); ok {
			t.Errorf("%q is taken as %s", s, p)
		}
	}
}

// TestAxleSubject: what the books judge of an axle follows from both rows; nothing is
// derived where a reading is missing or one-sided.
func TestAxleSubject(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, left, right, quantity string
		measured                    bool
		as, lo, hi                  float64 // in
		reason                      string
	}{
		{"diameter difference", "33-1/2,,", "33,,", "diameter_difference", true, .5, .4375, .5625, "±1/32 each"},
		{"the other way round", "33,,", "33-1/2,,", "diameter_difference", true, .5, .4375, .5625,
			"a difference has no sign"},
		{"same diameter", "33,,", "33,,", "diameter_difference", true, 0, 0, .0625, "never below 0"},
		{"one diameter", "33,,", ",,", "diameter_difference", false, 0, 0, 0, "both are needed"},
		{"one-sided diameter", "33,,", "<34,,", "diameter_difference", false, 0, 0, 0, "no value of its own"},
		{"variation", ",53,53-1/8", ",,", "back_to_back_variation", true, .125, .0625, .1875, "greatest less least"},
		{"variation over two rows", ",53,", ",,53-1/8", "back_to_back_variation", true, .125, .0625, .1875,
			"either row"},
		{"no greatest", ",53,", ",,", "back_to_back_variation", false, 0, 0, 0, "not derived from one"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			fleet, problems, _ := read(t, data, "car\nA 1\n",
				"car,position,diameter,back_to_back,back_to_back_max\nA 1,L1,"+tc.left+"\nA 1,R1,"+tc.right+"\n")
			holds(t, "problems", problems, nil, tc.reason)
			r := fleet.Wheels[0].Axle().Subject().Read(tc.quantity)
			if r.Measured() != tc.measured {
				t.Fatalf("measured %t, want %t; %s", r.Measured(), tc.measured, tc.reason)
			}
			for _, v := range [][2]float64{{r.As, tc.as}, {r.Lo, tc.lo}, {r.Hi, tc.hi}} {
				if d := v[0]/measure.MMPerInch - v[1]; d > 1e-9 || d < -1e-9 {
					t.Errorf("%g to %g in, as %g, want %g to %g, %g; %s", r.Lo/measure.MMPerInch,
						r.Hi/measure.MMPerInch, r.As/measure.MMPerInch, tc.lo, tc.hi, tc.as, tc.reason)
					break
				}
			}
		})
	}
}

// TestTruckSubject: the greatest difference of diameters in a six-axle unit's truck,
// and none where a wheel of it was not read.
func TestTruckSubject(t *testing.T) {
	data := fixture.Data(t)
	sheet := "car,position,diameter\n"
	for i, d := range []string{"40", "40-1/4", "39-7/8", "40", "40", "40"} {
		sheet += fmt.Sprintf("A 1,L%d,%s\n", i+1, d)
		if i < 5 {
			sheet += fmt.Sprintf("A 1,R%d,40\n", i+1)
		}
	}
	fleet, problems, _ := read(t, data, "car,axles\nA 1,6\n", sheet)
	holds(t, "problems", problems, nil, "a six-axle unit")
	car := fleet.Car("A 1")
	s, ok := car.TruckSubject([]int{1, 2, 3})
	if !ok {
		t.Fatal("a truck of three axles has a subject")
	}
	if r := s.Read("truck_diameter_difference"); !r.Measured() || math.Abs(r.As-3.0/8*measure.MMPerInch) > 1e-9 {
		t.Errorf("difference %g in, want 3/8 (40-1/4 less 39-7/8)", r.As/measure.MMPerInch)
	}
	s, ok = car.TruckSubject([]int{4, 5, 6})
	if r := s.Read("truck_diameter_difference"); !ok || r.Measured() {
		t.Error("R6 was not read, so the truck has no difference")
	}
	if _, ok := car.TruckSubject([]int{1, 2}); ok {
		t.Error("a truck of two axles has no such rule")
	}
}

func problemsOf(ps *measure.Problems) []string {
	if err := ps.Err(); err != nil {
		return strings.Split(err.Error(), "\n")
	}
	return nil
}

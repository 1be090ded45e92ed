package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// Rates by hand: a sixteenth a year is 1.5875 mm a year.
func TestWearRates(t *testing.T) {
	head := []string{"location", "frog", "date", "flangeway_depth"}
	tests := []struct {
		name, reason string
		rows         [][]string
		rate         float64 // in a year; NaN: none
		says         string
		event        string // limit 213.137(a)-class1 is at 1-3/8
		from, to     string // window in which the event's likely date lies
	}{
		{"three springs", "1/16 in a year straight", [][]string{{"yard", "F1", "2023-04-01", "1-11/16"},
			{"yard", "F1", "2024-04-01", "1-5/8"}, {"yard", "F1", "2025-04-01", "1-9/16"}},
			1.0 / 16, "", "213.137(a)", "2028-03-25", "2028-04-08"},
		{"two rows", "the spread is that of reading", [][]string{{"yard", "F1", "2024-04-01", "1-3/4"},
			{"yard", "F1", "2025-04-01", "1-5/8"}}, 1.0 / 8, "two rows only", "213.137(a)", "2027-03-25", "2027-04-08"},
		{"repaired in between", "built up: older rows do not count", [][]string{{"yard", "F1", "2022-04-01", "1-1/2"},
			{"yard", "F1", "2023-04-01", "1-7/8"}, {"yard", "F1", "2024-04-01", "1-13/16"},
			{"yard", "F1", "2025-04-01", "1-3/4"}},
			1.0 / 16, "repaired or read otherwise between 2022-04-01 and 2023-04-01", "213.137(a)", "2031-03-20",
			"2031-04-10"},
		{"repaired last", "nothing is known of the new rate", [][]string{{"yard", "F1", "2023-04-01", "1-1/2"},
			{"yard", "F1", "2024-04-01", "1-7/8"}}, math.NaN(), "one row since", "", "", ""},
		{"go/no-go", "no values", [][]string{{"yard", "F1", "2023-04-01", ">1-1/2"},
			{"yard", "F1", "2024-04-01", ">1-1/2"}}, math.NaN(), "go/no-go", "", "", ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			sv := files{"frogs.csv": append([][]string{head}, tt.rows...)}.write(t, "schema: 1\ntrack_class: 1\n")
			got, err := WearRates(sv)
			if err != nil || len(got) != 1 {
				t.Fatalf("%d rates, %v", len(got), err)
			}
			x := got[0]
			if math.IsNaN(tt.rate) == x.Known || x.Known && math.Abs(x.Rate/measure.MMPerInch-tt.rate) > 2e-4 {
				t.Errorf("rate %s, want %g in (%s)", x.RateText(), tt.rate, tt.reason)
			}
			if tt.says != "" && !strings.Contains(strings.Join(x.Notes, "; "), tt.says) {
				t.Errorf("notes %q do not say %q", x.Notes, tt.says)
			}
			found := tt.event == ""
			for _, e := range x.Events {
				if strings.Contains(e.What, tt.event) && tt.event != "" && strings.Contains(e.At, "1-3/8") {
					found = true
					if s := e.Likely.String(); s < tt.from || s > tt.to {
						t.Errorf("%s on %s, want %s to %s", e.What, s, tt.from, tt.to)
					}
					if e.Earliest > e.Likely || e.Latest.Known() && e.Latest < e.Likely {
						t.Errorf("window %s, %s, %s", e.Earliest, e.Likely, e.Latest)
					}
				}
			}
			if !found {
				t.Errorf("no event %q in %+v", tt.event, x.Events)
			}
		})
	}
}

// The first conflict of a wearing frog: a flange 1-3/8 in high meets a depth that loses
// 1/16 in a year from 1-9/16 in three years.
func TestFirstConflict(t *testing.T) {
	sv := files{"frogs.csv": {{"location", "frog", "date", "flangeway_depth"}, {"yard", "F1", "2024-04-01", "1-5/8"},
		{"yard", "F1", "2025-04-01", "1-9/16"}},
		"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", "1-3/8"}, {"A 1", "R1", "1-1/4"}}}.write(t,
		"schema: 1\n")
	got, err := WearRates(sv)
	if err != nil || len(got) != 1 {
		t.Fatalf("%d rates, %v", len(got), err)
	}
	for _, e := range got[0].Events {
		if strings.HasPrefix(e.What, "first further conflict: frog-floor with A 1 L1") {
			if s := e.Likely.String(); s < "2028-03-25" || s > "2028-04-08" || e.At != "1-3/8 in" {
				t.Errorf("%+v", e)
			}
			return
		}
	}
	t.Errorf("no first conflict in %+v", got[0].Events)
}

// find is the rate of a reading.
func find(list []Wear, where, column string) *Wear {
	for i := range list {
		if list[i].Where == where && list[i].Column == column {
			return &list[i]
		}
	}
	return nil
}

// A repair that one reading shows ends the history of all that goes with it, and of nothing else.
func TestRepairEndsTheHistoryOfItsPart(t *testing.T) {
	sv := files{
		// welded after the first row, the guard rail set anew after the third
		"frogs.csv": {{"location", "frog", "date", "flangeway_depth", "tread_wear", "guard_check", "gauge"},
			{"yard", "F1", "2021-04-01", "1-5/8", "1/8", "54-5/8", "56-1/2"},
			{"yard", "F1", "2022-04-01", "1-7/8", "1/8", "54-9/16", "56-1/2"},
			{"yard", "F1", "2023-04-01", "1-13/16", "3/16", "54-1/2", "56-9/16"},
			{"yard", "F1", "2024-04-01", "1-3/4", "1/4", "54-11/16", "56-5/8"},
			{"yard", "F1", "2025-04-01", "1-11/16", "5/16", "54-5/8", "56-11/16"}},
		"wheels.csv": {{"car", "position", "date", "flange_height", "flange_thickness", "rim_thickness", "turned"},
			{"A 1", "L1", "2021-04-01", "1-1/4", "1-1/8", "1-1/2", ""},
			{"A 1", "R1", "2021-04-01", "1-1/8", "1-1/4", "1-1/2", ""},
			{"A 1", "L1", "2022-04-01", "1", "1-3/8", "1-1/4", ""},
			{"A 1", "R1", "2022-04-01", "1-1/8", "1-1/4", "1-1/4", ""},
			{"A 1", "L1", "2023-04-01", "1-1/16", "1-5/16", "1-3/16", ""},
			{"A 1", "R1", "2023-04-01", "1-1/8", "1-3/16", "1-3/16", ""},
			{"B 2", "L1", "2021-04-01", "1", "1-1/4", "", ""},
			{"B 2", "L1", "2022-04-01", "1", "1-1/4", "", "2022-01-10"},
			{"B 2", "L1", "2023-04-01", "1-1/16", "1-3/16", "", ""}},
	}.write(t, "schema: 1\ntrack_class: 1\n")
	got, err := WearRates(sv)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		where, column string
		rows          int
		says          string
	}{
		{"frog/F1", "flangeway_depth", 4, "repaired or read otherwise between 2021-04-01 and 2022-04-01 (1-5/8, then " +
			"1-7/8)"},
		{"frog/F1", "tread_wear", 4, "flangeway_depth: repaired"},
		{"frog/F1", "guard_check", 2, "between 2023-04-01 and 2024-04-01 (54-1/2, then 54-11/16)"},
		{"frog/F1", "gauge", 2, "guard_check: repaired"},
		{"wheel/A 1 L1", "flange_height", 2, "between 2021-04-01 and 2022-04-01"},
		{"wheel/A 1 L1", "rim_thickness", 2, "flange_height: repaired"},
		{"wheel/A 1 R1", "flange_thickness", 2, "flange_height of L1: repaired"},
		{"wheel/B 2 L1", "flange_height", 2, "turned on 2022-01-10"},
	} {
		x := find(got, c.where, c.column)
		if x == nil {
			t.Errorf("%s %s is not there", c.where, c.column)
			continue
		}
		if notes := strings.Join(x.Notes, "; "); x.Rows != c.rows || !strings.Contains(notes, c.says) {
			t.Errorf("%s %s goes by %d rows, want %d: %q (want %q)", c.where, c.column, x.Rows, c.rows, notes, c.says)
		}
	}
}

// Readings, rates and spans that tell no wear are named.
func TestOutliersAreNamed(t *testing.T) {
	frogs := [][]string{{"location", "frog", "date", "flangeway_depth"},
		// one reading that the rows around it do not bear out
		{"yard", "F1", "2021-04-01", "1-7/8"}, {"yard", "F1", "2022-04-01", "1-13/16"},
		{"yard", "F1", "2023-04-01", "1-1/2"},
		{"yard", "F1", "2024-04-01", "1-3/4"}, {"yard", "F1", "2025-04-01", "1-11/16"},
		// the last one is off the line of the others: it is used, because it may be true
		{"yard", "F2", "2021-04-01", "1-7/8"}, {"yard", "F2", "2022-04-01", "1-7/8"},
		{"yard", "F2", "2023-04-01", "1-7/8"},
		{"yard", "F2", "2024-04-01", "1-7/8"}, {"yard", "F2", "2025-04-01", "1-9/16"},
		// a month tells no rate
		{"yard", "F3", "2025-03-01", "1-7/8"}, {"yard", "F3", "2025-04-01", "1-13/16"}}
	// one guard check that wears by 1/16 in a year among those that do not
	guards := [][]string{{"location", "frog", "date", "guard_check"}}
	for i, v := range []string{"54-5/8", "54-5/8", "54-5/8", "54-5/8", "54-5/8", "54-9/16"} {
		id := "G" + string(rune('1'+i))
		guards = append(guards, []string{"yard", id, "2023-04-01", "54-5/8"}, []string{"yard", id, "2025-04-01", v})
	}
	var got []Wear
	for _, rows := range [][][]string{frogs, guards} {
		list, err := WearRates(files{"frogs.csv": rows}.write(t,
			"schema: 1\ntrack_class: 1\nreading_error: {guard_check: 1/64}\n"))
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, list...)
	}
	for _, c := range []struct {
		where, column, says string
		rows                int
	}{
		{"frog/F1", "flangeway_depth", "outlier: 1-1/2 of 2023-04-01 lies off the rows before and behind it", 4},
		{"frog/F2", "flangeway_depth", "outlier: 1-9/16 of 2025-04-01 lies 5/16 in off the line", 5},
		{"frog/F3", "flangeway_depth", "the rows span 31 days, less than 180 (wear_span): no rate", 2},
		{"frog/G6", "guard_check", "outlier: of the 6 that have a rate, the middle one is 0.000 in per year", 2},
		{"frog/G5", "guard_check", "", 2},
	} {
		x := find(got, c.where, c.column)
		if x == nil {
			t.Fatalf("%s %s is not there", c.where, c.column)
		}
		notes := strings.Join(x.Notes, "; ")
		if x.Rows != c.rows || !strings.Contains(notes, c.says) || c.says == "" && strings.Contains(notes, "outlier") {
			t.Errorf("%s goes by %d rows, want %d: %q (want %q)", c.where, x.Rows, c.rows, notes, c.says)
		}
	}
}

// All that wears has dates, first what comes first.
func TestDatesOfAllThatWears(t *testing.T) {
	two := func(head string, was, is string) [][]string {
		h := strings.Split(head, ",")
		return [][]string{h, strings.Split(was, ","), strings.Split(is, ",")}
	}
	sv := files{
		"gauge.csv": two("location,spot,date,gauge,loaded_gauge", "yard,G1,2022-04-01,57-1/4,57-1/2",
			"yard,G1,2025-04-01,57-5/8,57-7/8"),
		"curves.csv": two("location,curve,degree,rail,date,head_wear,gauge_face_wear",
			"yard,C1,8,115RE,2022-04-01,1/8,1/8", "yard,C1,8,115RE,2025-04-01,1/4,3/8"),
		"joints.csv": two("location,joint,rail,date,bar_depth", "yard,J1,115RE,2022-04-01,1-7/16",
			"yard,J1,115RE,2025-04-01,1-1/4"),
		"switches.csv": two("location,switch,direction,date,chip_depth,point_gap,point_drop,face_angle",
			"yard,S1,facing,2022-04-01,none,0,1/4,75", "yard,S1,facing,2025-04-01,none,1/8,7/16,66"),
		"wheels.csv": append(
			two("car,position,date,flange_height,flange_thickness,rim_thickness,tread_hollow,"+
				"vertical_flange,back_to_back",
				"A 1,L1,2022-04-01,1,1-1/4,1-1/4,1,1/4,53", "A 1,L1,2025-04-01,1-3/16,1-1/8,1-1/16,2,1/2,53"),
			[]string{"A 1", "R1", "2025-04-01", "1-1/8", "1-1/8", "1-1/8", "1", "1/2", ""}),
		"cars.csv": {{"car", "kind"}, {"A 1", "freight"}},
	}.write(t, "schema: 1\ntrack_class: 1\n")
	got, err := WearRates(sv)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range [][3]string{{"spot/G1", "gauge", "limit 213.53(b)"}, {"spot/G1", "loaded_gauge", "wide-gauge"},
		{"joint/J1", "bar_depth", "joint-bar with A 1 L1, where flange_height of wheel/A 1 L1 wears too"},
		{"switch/S1", "point_gap", "point-pick with A 1"}, {"switch/S1", "face_angle", "point-climb with A 1"},
		{"wheel/A 1 L1", "rim_thickness", "limit 215.103(c)"},
		{"wheel/A 1 L1", "flange_height", "joint-bar at joint/J1"},
		{"wheel/A 1 L1", "vertical_flange", ""}, {"curve/C1", "gauge_face_wear", ""}, {"curve/C1", "head_wear", ""}} {
		x := find(got, c[0], c[1])
		if x == nil || !x.Known {
			t.Errorf("%s %s has no rate", c[0], c[1])
			continue
		}
		found := c[2] == ""
		for i, e := range x.Events {
			found = found || strings.Contains(e.What, c[2])
			if i > 0 && byDate(x.Events[i-1], e) > 0 {
				t.Errorf("%s %s: %s stands behind %s", c[0], c[1], e.What, x.Events[i-1].What)
			}
		}
		if !found {
			t.Errorf("%s %s does not reach %s: %+v", c[0], c[1], c[2], x.Events)
		}
	}
	for i := 1; i < len(got); i++ {
		if byDate(got[i-1].next(), got[i].next()) > 0 {
			t.Errorf("%s %s stands behind what comes later", got[i].Where, got[i].Column)
		}
	}
}

// A rule that condemns only where two readings are past their figures has the day of the later one, and no day where
// one of them has none: that is said.
func TestDatesOfRulesOfTwoConditions(t *testing.T) {
	for _, c := range []struct {
		back [3]string
		// likely is between these days; "" no date
		from, to, says string
	}{
		// down passes 5/8 three years behind the last row, back 6 in in the year behind it
		{[3]string{"5", "5-1/4", "5-3/4"}, "2028-03-01", "2028-05-01", ""},
		// back passes 6 in eight years behind the last row
		{[3]string{"4", "4-1/8", "4-1/4"}, "2038-11-01", "2039-06-01", ""},
		{[3]string{"7", "7", "7"}, "2028-03-01", "2028-05-01", ""},
		{[3]string{"", "", ""}, "", "", "it asks for point_worn_back > 6 in too, which was not read"},
		{[3]string{"", "", "3"}, "", "", "it asks for point_worn_back > 6 in too, which has no rate"},
	} {
		rows := [][]string{{"location", "frog", "date", "point_worn_down", "point_worn_back"}}
		for i, down := range []string{"5/16", "3/8", "7/16"} {
			rows = append(rows, []string{"yard", "F1", fmt.Sprintf("%d-04-01", 2023+i), down, c.back[i]})
		}
		got, err := WearRates(files{"frogs.csv": rows}.write(t, "schema: 1\ntrack_class: 1\n"))
		if err != nil {
			t.Fatal(err)
		}
		x := find(got, "frog/F1", "point_worn_down")
		likely := ""
		for _, e := range x.Events {
			if strings.HasPrefix(e.What, "limit 213.137(b)") {
				likely = e.Likely.String()
			}
		}
		if likely < c.from || likely > c.to || !strings.Contains(strings.Join(x.Notes, "; "), c.says) {
			t.Errorf("back %v: likely %q, want %s to %s; notes %q, want %q", c.back, likely, c.from, c.to, x.Notes,
				c.says)
		}
	}
}

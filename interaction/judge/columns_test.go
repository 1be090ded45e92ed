package judge_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Every column of the sheets of a small railroad is written with all that it can be, and then left
// blank, by a bound or as a range: whoever knows less never reads clear where he did not before.

// smallRailroad has one place of each kind, one truck of each of two cars, and something in every column that
// counts, near what is just clear.
func smallRailroad(worn bool) drawn {
	as := func(good, bad string) string {
		if worn {
			return bad
		}
		return good
	}
	d := drawn{rows: map[string][]row{"cars.csv": {{"car": "FWR 1", "kind": "freight", "gross_lb": "263000",
		"axles": "4", "truck_wheelbase": "70", "truck_centers": "480", "body": "stiff", "load_imbalance": "0",
		"warp_stiffness": "new"}}}}
	for i, position := range []string{"L1", "R1", "L2", "R2"} {
		w := row{"car": "FWR 1", "position": position, "flange_height": as("1-1/16", "1-1/4"),
			"flange_thickness": as("1-1/8", "1"), "vertical_flange": "<1", "rim_thickness": "1-1/4",
			"tread_hollow": as("none", "2"), "diameter": "36", "rim_width": "5-1/2", "design": "narrow flange 1:20"}
		if i%2 == 0 {
			w["back_to_back"], w["back_to_back_max"] = "53-5/16", "53-3/8"
		}
		d.rows["wheels.csv"] = append(d.rows["wheels.csv"], w)
	}
	place := func(kind track.Kind, more row) {
		f := row{"location": "here", kind.String(): "X1", "track_class": "2", "speed_mph": "10"}
		if kind != track.Joint {
			f["gauge"], f["loaded_gauge"], f["holding"] = as("56-5/8", "57"), as("56-5/8", "57-1/8"), "good"
		} else {
			delete(f, "speed_mph")
		}
		maps.Copy(f, more)
		d.rows[kind.File()] = []row{f}
	}
	place(track.Frog, row{"number": "8", "type": "rbm", "flangeway_depth": as("1-3/4", "1-1/2"),
		"flangeway_width": "1-7/8", "guard_check": "54-3/4", "guard_face": "52-3/4", "guard_flangeway": "1-7/8",
		"tread_wear": "1/8", "point_worn_down": "none", "point_worn_back": "none"})
	place(track.Switch, row{"direction": "facing", "point_gap": "none", "point_drop": "1/4", "point_thickness": "1/8",
		"chip_depth": "none", "chip_length": "none", "face_angle": "75", "stock_rail_wear": "1/16", "undercut": "none",
		"open_clearance": "3", "heel_rise": "1/4", "crosslevel": "none", "guard_rail": "no", "condition": "good"})
	place(track.Curve, row{"degree": "8", "elevation": "1/2", "rail": "115RE", "head_wear": "1/8",
		"gauge_face_wear": "1/8", "gauge_face_angle": "75", "rail_cant": "1:40", "lubricated": "none", "warp": "1/4",
		"warp_over": "62", "warp_short": "1/8", "crosslevel_least": "1/2", "guard_rail": "no"})
	place(track.Joint, row{"rail": "115RE", "head_wear": "1/8", "bar_depth": "1-7/8"})
	place(track.Spot, row{"warp": "1/4", "warp_over": "62", "warp_short": "1/8", "crosslevel": "none"})
	return d
}

// writtenIn is what is tried in a column: as many as can be told apart. A gauge face is not worn flatter than the
// setting unread_face_angle_least has it: one that was read so is worse than one that was not.
func writtenIn(column string) []string {
	sections := []string{"90RA-A", "100RE", "115RE", "132RE", "136RE", "141RE"}
	switch column {
	case "flange_height":
		return sixteenths(.9375, 1.75)
	case "flange_thickness":
		return sixteenths(.75, 1.5)
	case "vertical_flange":
		return sixteenths(.25, 1.25)
	case "tread_hollow":
		return plainly(0, 8, .5)
	case "back_to_back":
		return sixteenths(52.75, 53.75)
	case "back_to_back_max":
		return sixteenths(53.375, 53.75)
	case "diameter":
		return sixteenths(35, 37)
	case "rim_width":
		return sixteenths(5, 6)
	case "rim_thickness":
		return sixteenths(.75, 1.5)
	case "design":
		return []string{"narrow flange 1:20", "wide flange 1:20"}
	case "kind":
		return wheel.Kinds()
	case "service":
		return configs.Services()
	case "gross_lb":
		return []string{"45000", "60000", "110000", "177000", "220000", "263000", "286000", "315000"}
	case "axles":
		return []string{"2", "4", "6"}
	case "truck_wheelbase":
		return []string{"60", "66", "70", "72", "80", "102"}
	case "truck_centers":
		return []string{"300", "480", "600", "800"}
	case "body":
		return configs.Bodies()
	case "load_imbalance":
		return plainly(0, 20, 5)
	case "warp_stiffness":
		return []string{"new", "worn"}
	case "number":
		return plainly(4, 20, 1)
	case "type":
		return configs.FrogTypes()
	case "direction":
		return []string{"facing", "trailing", "both"}
	case "track_class":
		return configs.TrackClasses()
	case "speed_mph":
		return []string{"0", "5", "10", "15", "20", "25"}
	case "holding":
		return []string{"good", "fair", "poor"}
	case "gauge":
		return sixteenths(56, 58.25)
	case "loaded_gauge":
		return sixteenths(56, 58.75)
	case "flangeway_depth", "flangeway_width", "guard_flangeway":
		return sixteenths(1.25, 2.25)
	case "guard_check":
		return sixteenths(53.75, 55)
	case "guard_face":
		return sixteenths(52.5, 53.5)
	case "tread_wear", "head_wear", "gauge_face_wear", "stock_rail_wear", "undercut", "point_gap", "point_thickness",
		"heel_rise":
		return sixteenths(0, .5)
	case "point_worn_down", "point_drop":
		return sixteenths(0, .875)
	case "point_worn_back":
		return []string{"none", "2", "4", "6", "8", "12", "18", "24", "36", "48"}
	case "chip_depth":
		return append(sixteenths(0, 1.125), "none")
	case "chip_length":
		return append(plainly(1, 14, 1), "none")
	case "face_angle":
		return plainly(50, 84, 2)
	case "gauge_face_angle":
		return plainly(60, 84, 1)
	case "open_clearance":
		return sixteenths(2, 3.75)
	case "bar_depth":
		return sixteenths(1, 2)
	case "degree":
		return plainly(1, 16, 1)
	case "elevation", "crosslevel", "crosslevel_least":
		return plainly(-1, 5, .5)
	case "warp":
		return sixteenths(0, 3)
	case "warp_short":
		return sixteenths(0, 1.5)
	case "warp_over":
		return []string{"10", "20", "31", "62", "100"}
	case "point_guard":
		return sixteenths(3, 4.5)
	case "rail":
		return sections
	case "rail_cant":
		return []string{"1:40", "1:20", "none"}
	case "lubricated":
		return []string{"high", "low", "both", "none"}
	case "guard_rail":
		return []string{"yes", "no"}
	}
	return nil
}

// namesAlone are columns that say what a row is of, or nothing that a pair hangs on, those of a file, and what was
// seen, which tells against a pair if it is written and says nothing if it is not.
func namesAlone(column string) bool {
	return slices.Contains([]string{"car", "position", "location", "frog", "switch", "curve", "joint", "spot", "date",
		"note", "owner", "group", "trips_per_year", "profile", "marks", "condition", "turned"}, column)
}

func columnsOf(file string) []string {
	switch file {
	case "cars.csv":
		return wheel.Headings(wheel.CarSheet)
	case "wheels.csv":
		return wheel.Headings(wheel.WheelSheet)
	}
	for k := range track.NumKinds {
		if k.File() == file {
			var out []string
			for _, c := range k.Columns() {
				out = append(out, c.Name)
			}
			return out
		}
	}
	return nil
}

// blankSaid are the columns whose blank a check has a meaning for: the plain rule says what a blank stands for, or a
// setting does, and what was not read is printed with the verdict.
func blankSaid(key, column string) bool {
	check, _, _ := strings.Cut(key, " ")
	switch check {
	case "joint-bar": // without it the flange passes beside the head or not
		return column == "bar_depth"
	case "frog-point": // else back_to_back
		return column == "back_to_back_max"
	case "point-pick": // there is no guard
		return column == "point_guard"
	case "point-climb": // by tip height only, and close
		return column == "face_angle"
	case "wheel-unloading": // as many as its wheels tell
		return column == "axles"
	case "hollow-curve": // dry, even, as the settings have it; twist that was not read is wheel-unloading's
		return slices.Contains([]string{"axles", "lubricated", "load_imbalance", "warp_stiffness", "warp", "warp_over"},
			column)
	}
	return false
}

// overWarp reports whether a warp was read that is less than the one within 10 ft, which lies within its distance: one
// of both is wrong, and whoever read the one alone does not know of it.
func overWarp(s *survey.Survey) bool {
	return slices.ContainsFunc(s.Track.Features, func(f *track.Feature) bool {
		warp := f.Read(track.Warp)
		return warp.Measured() && f.Read(track.WarpShort).Hi > warp.Hi
	})
}

// TestNoColumnIsBetterUnread: of no column is a blank, a bound or a range clear where something that was written is
// not.
func TestNoColumnIsBetterUnread(t *testing.T) {
	leftToVolumes(t)
	t.Parallel()
	only := os.Getenv("FLANGEWAY_COLUMN")
	data := fixture.Data(t)
	for _, worn := range []bool{false, true} {
		base := smallRailroad(worn)
		j := newYardJudge(t, data)
		for _, file := range slices.Sorted(maps.Keys(base.rows)) {
			for _, column := range columnsOf(file) {
				if namesAlone(column) || only != "" && only != column {
					continue
				}
				if !fixture.Volume() && !(worn && file == track.Frog.File()) { // all of them take half a minute
					continue
				}
				list := writtenIn(column)
				if list == nil {
					lo, hi := fixture.Around(data, strings.TrimSuffix(file, "s.csv"), column)
					list = sixteenths(math.Round(16*lo)/16, hi)
				}
				if list == nil {
					t.Errorf("nothing is known to write in %s of %s", column, file)
				}
				j.next()
				at, base := 0, base
				if column == "back_to_back" { // no greatest one is below it
					base = base.edited(edit{file: file, column: "back_to_back_max"})
				}
				for _, said := range base.betterUnread(j, file, at, column, list) {
					t.Errorf("worn %t: %s", worn, said)
				}
			}
		}
	}
}

// betterUnread writes one cell in many ways and tells where knowing less of it is clear.
func (d drawn) betterUnread(j *yardJudge, file string, at int, column string, list []string) (out []string) {
	type seen struct {
		text string
		findings
		verdicts map[string]pairVerdict
	}
	judged := func(text string) *seen {
		s := d.edited(edit{file: file, at: at, column: column, text: text}).sheets().read(j.t, j.data)
		return &seen{text, findings{t: j.t, s: s}, j.verdicts(s, onlyAt(file))}
	}
	var points []*seen
	for _, text := range list {
		points = append(points, judged(text))
	}
	texts := []string{"n/m"}
	if _, number := measured(list[len(list)-1]); number && file != "cars.csv" && column != "back_to_back_max" &&
		column != "warp_over" && !slices.Contains(pointColumns(), column) {
		n := len(list)
		for _, i := range []int{n / 4, n / 2, 3 * n / 4} {
			if list[i] != "none" {
				texts = append(texts, ">"+list[i], "<"+list[i])
			}
		}
		texts = append(texts, bounds(list[n/4], list[3*n/4]), bounds(list[n/4], list[n/2]))
	}
	for _, text := range texts {
		less := judged(text)
		found := map[string][]string{}
		for _, p := range points {
			if text != "n/m" && !holds(p.s, less.s) {
				continue
			}
			for _, key := range cleared(p.verdicts, less.verdicts, column) {
				if blankSaid(key, column) || column == "warp_short" && overWarp(p.s) || unmated(p.s, key) || p.differ(key, p.verdicts[key]) ||
					less.differ(key, less.verdicts[key]) {
					continue
				}
				close := ""
				if less.of(key).Close {
					close = " (close)"
				}
				check, _, _ := strings.Cut(key, " ")
				found[check+close] = append(found[check+close], p.text)
			}
		}
		for _, check := range slices.Sorted(maps.Keys(found)) {
			out = append(out, fmt.Sprintf("%s %s: %s is clear with %q and not with %s", file, column, check, text,
				strings.Join(slices.Compact(found[check]), " ")))
		}
	}
	return out
}

func bounds(a, b string) string {
	if a == "none" {
		a = "0"
	}
	return a + ".." + b
}

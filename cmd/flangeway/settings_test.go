package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
)

// acting are the settings that change what shape, curve or passage find from a survey: a
// value other than the built-in one, and the run that it changes.
func acting() map[string]struct{ value, run string } {
	const (
		shape  = "shape --car F1 --position L1 --max-shift 1"
		fair   = "curve --car F1 --at curve/FAIR"
		light  = "curve --car F1 --at curve/FAIR --gross 150000"
		six    = "curve --axles 6 --gross 368000 --at curve/GOOD"
		good   = "curve --car F1 --at curve/GOOD"
		poor   = "curve --car F1 --at curve/POOR"
		frog   = "passage --car F1 --position L1 --at frog/F1"
		points = "passage --car F1 --position L1 --at switch/S1"
	)
	return map[string]struct{ value, run string }{
		"least_bearing":               {"1/2", fair},
		"loaded_gauge_allowance":      {"1", fair},
		"loaded_gauge_allowance_good": {"1", good},
		"loaded_gauge_allowance_poor": {"1-1/2", poor},
		"rim_width":                   {"5", fair},
		"least_contact_angle":         {"80", points},
		"flange_angle":                {"65", shape},
		"flange_tip_radius":           {"1/2", points},
		"wing_slope_least":            {"0.03", frog},
		"wing_slope_most":             {"-0.03", frog},
		"unread_hollow":               {"2", frog},
		"unread_vertical":             {"1/2", points},
		"unread_thickness":            {"1", "curve --car F2 --at curve/FAIR"},
		"dry_friction":                {"0.4", fair},
		"greased_friction":            {"0.15", fair},
		"fastening_hold":              {"0.1", fair},
		"gravity_height":              {"98", fair},
		"car_weight":                  {"200000", frog},
		"truck_wheelbase":             {"90", fair},
		"truck_wheelbase_three":       {"70", six},
		"middle_axle_clearance":       {"0", six},
		"wheel_lv_curve":              {"0.7", fair},
		"wheel_lv_new_cars":           {"0.9", fair},
		"wheel_diameter":              {"33", shape},
		"turning_moment":              {"5", fair},
		"warp_stiffness":              {"0.5", fair},
		"reference_weight":            {"200000", light},
		"empty_weight":                {"100000", light},
		"gravity_height_empty":        {"80", light},
	}
}

// idle are the settings that change nothing there, with the reason.
func idle() map[string]string {
	const (
		verdict   = "marks or moves a verdict of check; these commands give figures"
		plain     = "a figure of the plain arithmetic; these commands find the same from the shapes"
		unloading = "of the car on twisted track, which check judges"
	)
	const tried = "check tries it besides what curve takes for a reading that is wanting"
	return map[string]string{
		"unread_face_angle_least": tried, "unread_face_angle_most": tried,
		"untried_allowance": verdict, "untried_allowance_more": verdict, "unread_back_to_back": tried,
		"unread_rim_width": tried, "unread_rail_wear": tried,
		"point_relief": plain, "wing_hollow": plain, "spring_wing_hollow": plain, "ride_over": plain,
		"reserve": verdict, "reserve_deg": verdict, "reserve_hollow": verdict, "reserve_bearing": verdict,
		"reserve_unloading": verdict,
		"stale_after":       verdict, "deepest_hollow": verdict,
		"model_allowance": verdict, "passage_allowance": verdict, "passage_allowance_deg": verdict,
		"freshly_turned": verdict, "rough_friction": verdict, "sharp_curve": verdict,
		"damp_friction":  "check tries it beside dry_friction; curve takes one friction, and --mu another",
		"marking_passes": "of what check says of a conflict that left no mark",
		"work_tolerance": "of the plan's work",
		"wear_span":      "of the dates of wear", "wear_uneven": "of the dates of wear",
		"flange_turned": "bounds what check and plan order of a lathe; shape --cut and --turned-flange give one",
		"truck_centers": unloading, "body": unloading, "body_ordinary": unloading, "body_soft": unloading,
		"unread_truck_centers": unloading, "unread_load_imbalance": unloading,
		"nest_stiffness": unloading, "nest_spacing": unloading,
		"center_plate_radius": unloading, "side_bearing_spacing": unloading, "side_bearing_clearance": unloading,
		"warp_stiffness_worn": "of a truck that cars.csv calls worn; --warp-stiffness gives it",
	}
}

// A setting of the railroad's that these commands leave out without a word prints figures
// of another railroad. Those of shape and passage are tried with FLANGEWAY_VOLUME.
func TestEverySettingActsOrSaysWhyNot(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	acts, idles := acting(), idle()
	before := map[string]string{}
	for _, s := range data.Settings {
		c, ok := acts[s.Name]
		if _, other := idles[s.Name]; ok == other {
			t.Errorf("setting %s is on both lists or on none: say here what it changes, or why nothing", s.Name)
			continue
		}
		if !ok {
			continue
		}
		if delete(acts, s.Name); !volume() && !strings.HasPrefix(c.run, "curve") {
			continue // shape and passage try every end of the readings
		}
		if before[c.run] == "" {
			before[c.run] = found(t, c.run, "")
		}
		if found(t, c.run, s.Name+": "+c.value) == before[c.run] {
			t.Errorf("setting %s %s changes nothing of %s", s.Name, c.value, c.run)
		}
	}
	for name := range acts {
		t.Errorf("there is no setting %s", name)
	}
}

// found is what a run finds with a setting of the railroad's: its answer without the list of what entered.
func found(t *testing.T, command, setting string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{
		"railroad.yaml": "schema: 1\nsettings: {" + setting + "}\n",
		"cars.csv":      "car,kind,axles\nF1,freight,4\nF2,freight,4\n",
		"wheels.csv":    "car,position,flange_height,flange_thickness,back_to_back\nF1,L1,1-1/8,1-1/8,53-3/8\nF1,R1,1-1/8,1-1/8,\nF1,L2,1-1/8,1-1/8,53-3/8\nF1,R2,1-1/8,1-1/8,\nF2,L1,1-1/8,,53-3/8\n",
		"curves.csv": "location,curve,degree,elevation,speed_mph,gauge,rail,holding,lubricated\n" +
			"leg,FAIR,10,1,10,57,115RE,fair,both\nleg,GOOD,10,1,10,57,115RE,good,none\nleg,POOR,10,1,10,57,115RE,poor,none\n",
		"frogs.csv":    "location,frog,number,type,flangeway_depth,flangeway_width,guard_check,gauge,speed_mph\nleg,F1,8,rbm,1-3/4,1-7/8,54-1/2,56-1/2,10\n",
		"switches.csv": "location,switch,point_gap,point_drop,chip_depth,chip_length,gauge\nleg,S1,1/8,1/4,3/4,8,56-1/2\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out, errs bytes.Buffer
	args := append(strings.Fields(command), "--survey", dir, "--format", "json")
	if code := run(args, nil, &out, &errs); code != exitOK {
		t.Fatalf("%s with %q: exit %d: %s", command, setting, code, errs.String())
	}
	var answer map[string]any
	if err := json.Unmarshal(out.Bytes(), &answer); err != nil {
		t.Fatal(err)
	}
	for _, entered := range []string{"inputs", "assumed", "defaults_used"} {
		delete(answer, entered)
	}
	text, err := json.Marshal(answer)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

package judge_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/internal/limit"
	"flangeway/track"
)

const (
	conflict    = interaction.Conflict
	undecided   = interaction.Undecided
	notMeasured = interaction.NotMeasured
	clears      = interaction.Clear
)

// span is a margin in the unit in which people read it: inches, mm of hollow, or
// degrees. NaN is an end that must be absent.
type span struct{ lo, hi, as float64 }

var absent = math.NaN()

func at(v float64) *span              { return &span{v, v, v} }
func between(lo, hi, as float64) span { return span{lo, hi, as} }
func blurred(lo, hi float64) *span    { return &span{lo, hi, absent} }
func onlyLo(lo float64) *span         { return &span{lo, absent, absent} }
func onlyHi(hi float64) *span         { return &span{absent, hi, absent} }

// checkCase is one pair at one check. wheel and mate are L1 and R1 of one car, a
// mate of "" is not in the sheet; place is "kind: cells".
type checkCase struct {
	name               string
	wheel, mate, place string
	measured           bool // with the ± of the notation; else every reading is exact
	settings           map[string]float64
	verdict            interaction.Verdict
	margin             *span  // nil where there is none
	settle             string // readings named, joined by a comma
	note               string // a text that a note must hold
	close              bool
	reason             string
}

// onePair judges a single pair; ok is false where the check does not apply.
func onePair(t *testing.T, data *configs.Data, check string, tc checkCase) (f *judge.Finding, ok bool) {
	t.Helper()
	rows := []row{cells(t, tc.wheel).with("car", "A 1", "position", "L1")}
	if tc.mate != "" {
		rows = append(rows, cells(t, strings.TrimPrefix(tc.mate, "-")).with("car", "A 1", "position", "R1"))
	}
	kind, text, found := strings.Cut(tc.place, ":")
	k := slices.Index([]string{"frog", "switch", "curve", "joint", "spot"}, kind)
	if !found || k < 0 {
		t.Fatalf("%q is no place", tc.place)
	}
	place := cells(t, text).with("location", "here", kind, "X1")
	s := sheets{exact: !tc.measured, settings: tc.settings, files: map[string]string{"wheels.csv": sheet(rows...),
		track.Kind(k).File(): sheet(place)}}.read(t, data)
	f, ok = byPair(t, judgeAll(t, s, interaction.Options{}).all)[check+" "+kind+"/X1 A 1 L1"]
	return f, ok
}

// runChecks runs the table of one check. Names must differ and every case needs a
// reason.
func runChecks(t *testing.T, check string, cases []checkCase) {
	t.Helper()
	c := interaction.CheckByID(check)
	if c == nil {
		t.Fatalf("there is no check %s", check)
	}
	unit := inch
	if c.Degrees || c.Metric {
		unit = 1
	}
	data, seen := fixture.Data(t), map[string]bool{}
	for _, tc := range cases {
		if seen[tc.name] || tc.name == "" || tc.reason == "" {
			t.Fatalf("case %q: names are unique and every case has a reason", tc.name)
		}
		seen[tc.name] = true
		t.Run(tc.name, func(t *testing.T) {
			f, ok := onePair(t, data, check, tc)
			if !ok {
				t.Fatalf("there is no pair; %s", tc.reason)
			}
			if f.Verdict != tc.verdict {
				t.Errorf("%s, want %s; %s", f.Verdict, tc.verdict, tc.reason)
			}
			want := span{absent, absent, absent}
			if tc.margin != nil {
				want = *tc.margin
			}
			for _, m := range []struct {
				what string
				got  *float64
				want float64
			}{{"lo", f.Margin.Lo, want.lo}, {"hi", f.Margin.Hi, want.hi}, {"as written", f.Margin.As, want.as}} {
				switch {
				case (m.got == nil) != math.IsNaN(m.want):
					t.Errorf("margin %s is there: %t; %s", m.what, m.got != nil, tc.reason)
				case m.got != nil && !closeTo(*m.got/unit, m.want, 1e-6):
					t.Errorf("margin %s %.7f, want %.7f; %s", m.what, *m.got/unit, m.want, tc.reason)
				}
			}
			if got := strings.Join(f.SettleBy(), ","); got != tc.settle {
				t.Errorf("settle by %q, want %q; %s", got, tc.settle, tc.reason)
			}
			if notes := strings.Join(f.Notes, "; "); !strings.Contains(notes, tc.note) {
				t.Errorf("notes %q do not hold %q; %s", notes, tc.note, tc.reason)
			}
			if f.Close != tc.close {
				t.Errorf("close %t, want %t; %s", f.Close, tc.close, tc.reason)
			}
			if (f.WheelWithinLimits == "") != (tc.verdict == notMeasured) {
				t.Errorf("wheel within limits %q of a pair that is %s", f.WheelWithinLimits, tc.verdict)
			}
			open := (f.Verdict == conflict || f.Verdict == undecided) && f.Doubt == ""
			if open != (len(f.FixTrack) > 0) || open != (len(f.FixWheel) > 0) {
				t.Errorf("%s with fixes %q and %q: both sides' repairs stand where something is open", f.Verdict,
					f.FixTrack, f.FixWheel)
			}
		})
	}
}

func TestFrogFloor(t *testing.T) {
	w := between(-1.0/16, 1.0/16, 0)
	runChecks(t, "frog-floor", []checkCase{
		{name: "at the limit", wheel: "flange_height 1.5", place: "frog: flangeway_depth 1.5", verdict: clears,
			margin: at(0), close: true, reason: "lo = 0 is clear"},
		{name: "just below", wheel: "flange_height 1.5001", place: "frog: flangeway_depth 1.5", verdict: conflict,
			margin: at(-.0001), reason: "hi < 0 is conflict"},
		{name: "just above", wheel: "flange_height 1.4999", place: "frog: flangeway_depth 1.5", verdict: clears,
			margin: at(.0001), close: true, reason: "clear by a tenth of a thousandth"},
		{name: "within 1e-9 mm below", wheel: "flange_height 1.50000000001", place: "frog: flangeway_depth 1.5",
			verdict: clears, margin: at(0), close: true, reason: "2.5e-10 mm is no difference"},
		{name: "beyond 1e-9 mm below", wheel: "flange_height 1.5000000001", place: "frog: flangeway_depth 1.5",
			verdict: conflict, margin: at(-1e-10), reason: "2.5e-9 mm is a difference"},
		{name: "at the reserve", wheel: "flange_height 1.4375", place: "frog: flangeway_depth 1.5", verdict: clears,
			margin: at(1.0 / 16), reason: "1/16 in is not below the reserve"},
		{name: "below the reserve", wheel: "flange_height 1.4376", place: "frog: flangeway_depth 1.5", verdict: clears,
			margin: at(.0624), close: true, reason: "lo below the reserve is close"},
		{name: "legal wheel in a legal class 1 frog", wheel: "flange_height 1.49",
			place: "frog: track_class 1; flangeway_depth 1-3/8", verdict: conflict, margin: at(-.115),
			reason: "49 CFR 215.103(b) condemns 1-1/2 and 213.137(a) allows 1-3/8: both legal and they strike"},
		{name: "sixteenths", measured: true, wheel: "flange_height 1-1/2", place: "frog: flangeway_depth 1-1/2",
			verdict: undecided, margin: &w, settle: "flange_height,flangeway_depth",
			reason: "each ±1/32 in: equally uncertain, both are named"},
		{name: "finer wheel reading", measured: true, wheel: "flange_height 1.500",
			place: "frog: flangeway_depth 1-1/2", verdict: undecided, margin: &span{-.03175, .03175, 0},
			settle: "flangeway_depth", reason: "the least certain reading would settle it"},
		{name: "sixteenths just clear", measured: true, wheel: "flange_height 1-7/16",
			place: "frog: flangeway_depth 1-1/2", verdict: clears, margin: &span{0, .125, .0625}, close: true,
			reason: "1/16 apart is the whole of both ±: lo = 0"},
		{name: "sixteenths just in conflict", measured: true, wheel: "flange_height 1.5640",
			place: "frog: flangeway_depth 1-1/2", verdict: conflict, margin: &span{-.0953, -.0327, -.064},
			reason: "hi = 1-17/32 - 1.56395"},
		{name: "no-go passes under", measured: true, wheel: "flange_height <1-1/2",
			place: "frog: flangeway_depth 1-9/16", verdict: clears, margin: blurred(0, 1.59375-15.0/16), close: true,
			reason: "<1-1/2 reaches 1-17/32 with the step and no lower than a flange is made, 1-9/16 is at least " +
				"1-17/32"},
		{name: "no-go of a shallow frog", measured: true, wheel: "flange_height >=1-1/2",
			place: "frog: flangeway_depth 1-3/8", verdict: conflict, margin: blurred(1.34375-2.5, 1.40625-1.46875),
			reason: "one-sided: no margin as written, yet surely in conflict"},
		{name: "range", measured: true, wheel: "flange_height 1-1/4..1-1/2", place: "frog: flangeway_depth 1.750",
			verdict: clears, margin: &span{1.7495 - 1.53125, 1.7505 - 1.21875, .375},
			reason: "a range has its middle as written and steps at both ends"},
		{name: "depth missing", wheel: "flange_height 1.5", place: "frog: flangeway_depth n/m", verdict: notMeasured,
			settle: "flangeway_depth", reason: "the missing reading is named"},
		{name: "both missing", wheel: "flange_height -", place: "frog: gauge 56-1/2", verdict: notMeasured,
			settle: "flange_height,flangeway_depth", reason: "both are named"},
		{name: "self-guarded", wheel: "flange_height 1", place: "frog: type self-guarded; flangeway_depth 1.5",
			verdict: clears, margin: at(.5), reason: "the floor of a self-guarded frog is struck like any"},
		{name: "own reserve", settings: map[string]float64{"reserve": .25 * inch}, wheel: "flange_height 1.3",
			place: "frog: flangeway_depth 1.5", verdict: clears, margin: at(.2), close: true,
			reason: "the railroad's reserve is used"},
	})
}

func TestFrogPoint(t *testing.T) {
	runChecks(t, "frog-point", []checkCase{
		{name: "at the limit", wheel: "flange_thickness 1.25; back_to_back 53", place: "frog: guard_check 54.125",
			verdict: clears, margin: at(0), close: true,
			note: "rubs the point: without point_relief the margin is -1/8 in", reason: "54-1/8 + 1/8 - (53 + 1-1/4)"},
		{name: "just below", wheel: "flange_thickness 1.2501; back_to_back 53", place: "frog: guard_check 54.125",
			verdict: conflict, margin: at(-.0001), reason: "reaches the point"},
		{name: "just above", wheel: "flange_thickness 1.2499; back_to_back 53", place: "frog: guard_check 54.125",
			verdict: clears, margin: at(.0001), close: true, note: "rubs the point",
			reason: "clear only with the relief"},
		{name: "greatest back-to-back counts", wheel: "flange_thickness 1.25; back_to_back 53; back_to_back_max 53.125",
			place: "frog: guard_check 54.125", verdict: conflict, margin: at(-.125),
			reason: "back_to_back_max else back_to_back"},
		{name: "greatest alone", wheel: "flange_thickness 1.25; back_to_back_max 53", place: "frog: guard_check 54.125",
			verdict: clears, margin: at(0), close: true, reason: "the least is not needed here"},
		{name: "on the mate's row", wheel: "flange_thickness 1.25", mate: "back_to_back 53",
			place: "frog: guard_check 54.125", verdict: clears, margin: at(0), close: true,
			reason: "back_to_back belongs to the axle and stands on either row"},
		{name: "no relief", settings: map[string]float64{"point_relief": 0},
			wheel: "flange_thickness 1.25; back_to_back 53", place: "frog: guard_check 54.25", verdict: clears,
			margin: at(0), close: true, reason: "the setting replaces 1/8"},
		{name: "guard check floor", measured: true, wheel: "flange_thickness 1.250; back_to_back 53.000",
			place: "frog: guard_check 54.200", verdict: clears, margin: &span{.0115, .1385, .075}, close: true,
			note: "rubs the point", reason: "guard_check is never better than ±1/16"},
		{name: "guard check missing", wheel: "flange_thickness 1.25; back_to_back 53",
			place: "frog: gauge 56-1/2; guard_flangeway 1-7/8", verdict: notMeasured, settle: "guard_check",
			reason: "it is not derived from gauge and guard flangeway"},
		{name: "back-to-back missing", wheel: "flange_thickness 1.25", place: "frog: guard_check 54",
			verdict: notMeasured, settle: "back_to_back", reason: "the reading is named"},
	})
}

func TestGuardBind(t *testing.T) {
	runChecks(t, "guard-bind", []checkCase{
		{name: "at the limit", wheel: "back_to_back 53", place: "frog: guard_face 53", verdict: clears, margin: at(0),
			close: true, reason: "backs just pass"},
		{name: "just below", wheel: "back_to_back 52.9999", place: "frog: guard_face 53", verdict: conflict,
			margin: at(-.0001), reason: "backs bind"},
		{name: "just above", wheel: "back_to_back 53.0001", place: "frog: guard_face 53", verdict: clears,
			margin: at(.0001), close: true, reason: "clear"},
		{name: "the least counts", wheel: "back_to_back 52.9; back_to_back_max 53.1", place: "frog: guard_face 53",
			verdict: conflict, margin: at(-.1), reason: "the narrow place binds"},
		{name: "greatest alone", wheel: "back_to_back_max 53.1", place: "frog: guard_face 53", verdict: notMeasured,
			settle: "back_to_back", reason: "the least is not derived from the greatest"},
		{name: "not below", measured: true, wheel: "back_to_back >53", place: "frog: guard_face 52.90", verdict: clears,
			margin: blurred(52.96875-52.9625, 57-52.8375), close: true,
			reason: "a one-sided reading reaches to 57 in and has no value as written"},
		{name: "face missing", wheel: "back_to_back 53", place: "frog: guard_check 54-5/8; flangeway_width 1-7/8",
			verdict: notMeasured, settle: "guard_face", reason: "it is not derived from guard check and flangeway"},
	})
}

func TestFlangewayWidth(t *testing.T) {
	for _, tc := range []struct{ check, column, floor string }{{"flangeway-width", "flangeway_width", ""},
		{"guard-flangeway", "guard_flangeway", "1/16"}} {
		t.Run(tc.check, func(t *testing.T) {
			lo, hi := .245, .255
			if tc.floor != "" {
				lo, hi = .25-1.0/16, .25+1.0/16
			}
			runChecks(t, tc.check, []checkCase{
				{name: "at the limit", wheel: "flange_thickness 1.375", place: "frog: " + tc.column + " 1.375",
					verdict: clears, margin: at(0), close: true, reason: "the flange just enters"},
				{name: "just below", wheel: "flange_thickness 1.3751", place: "frog: " + tc.column + " 1.375",
					verdict: conflict, margin: at(-.0001), reason: "too thick"},
				{name: "just above", wheel: "flange_thickness 1.3749", place: "frog: " + tc.column + " 1.375",
					verdict: clears, margin: at(.0001), close: true, reason: "clear"},
				{name: "thickness missing", wheel: "flange_height 1", place: "frog: " + tc.column + " 1.375",
					verdict: notMeasured, settle: "flange_thickness", reason: "named"},
				{name: "notch did not touch", measured: true, wheel: "flange_thickness >15/16", place: "frog: " +
					tc.column + " 1-3/8", verdict: undecided, settle: "flange_thickness",
					margin: blurred(1.375-map[string]float64{"": 1.0 / 32, "1/16": 1.0 / 16}[tc.floor]-1.4375,
						1.375+map[string]float64{"": 1.0 / 32, "1/16": 1.0 / 16}[tc.floor]-.90625),
					reason: "thicker than the notch reaches to the thickest flange that is made"},
				{name: "resolution", measured: true, wheel: "flange_thickness 1.250000", place: "frog: " + tc.column +
					" 1.50", verdict: clears, margin: &span{lo - .0000005, hi + .0000005, .25},
					reason: "guard_flangeway is never better than ±1/16, flangeway_width is as written"},
			})
		})
	}
}

func TestFrogWing(t *testing.T) {
	runChecks(t, "frog-wing", []checkCase{
		{name: "at the limit", wheel: "tread_hollow 3", place: "frog: number 8", verdict: clears, margin: at(0),
			close: true, reason: "wing_hollow 3 mm"},
		{name: "just below", wheel: "tread_hollow 3.001", place: "frog: number 8", verdict: conflict, margin: at(-.001),
			reason: "more than 3 mm"},
		{name: "just above", wheel: "tread_hollow 2.999", place: "frog: number 8", verdict: clears, margin: at(.001),
			close: true, reason: "less than 3 mm"},
		{name: "spring at the limit", wheel: "tread_hollow 2", place: "frog: type spring", verdict: clears,
			margin: at(0), close: true, reason: "spring_wing_hollow 2 mm"},
		{name: "spring just below", wheel: "tread_hollow 2.001", place: "frog: type spring", verdict: conflict,
			margin: at(-.001), reason: "a spring wing takes less"},
		{name: "flange-bearing", wheel: "tread_hollow 1", place: "frog: type flange-bearing", verdict: clears,
			margin: at(2), reason: "the wing of a flange-bearing frog is judged"},
		{name: "no hollow", wheel: "tread_hollow none", place: "frog: number 8", verdict: clears, margin: at(3),
			reason: "none is exactly 0"},
		{name: "under the gauge", measured: true, wheel: "tread_hollow <2", place: "frog: type spring",
			verdict: undecided, margin: blurred(-.5, 2), settle: "tread_hollow",
			reason: "<2 reaches 2.5 mm with the step of 0.5 mm"},
		{name: "missing", wheel: "tread_hollow -", place: "frog: number 8", verdict: notMeasured,
			settle: "tread_hollow", reason: "blank is not zero"},
		{name: "at the reserve", wheel: "tread_hollow 1.4125", place: "frog: number 8", verdict: clears,
			margin: at(1.5875), reason: "the reserve of 1/16 in is 1.5875 mm here too"},
	})
}

// TestJointBar: head depth and width of 115RE are 1-11/16 and 2-23/32 (rail section
// properties after AREMA chapter 4, as the check has them): the edge depth is
// 1.6875 - 2.71875/8 = 1.34765625 in.
func TestJointBar(t *testing.T) {
	const edge = 1.34765625
	runChecks(t, "joint-bar", []checkCase{
		{name: "at the limit", wheel: "flange_height 1.375", place: "joint: bar_depth 1.375", verdict: clears,
			margin: at(0), close: true, reason: "just passes the bar"},
		{name: "just below", wheel: "flange_height 1.3751", place: "joint: bar_depth 1.375", verdict: conflict,
			margin: at(-.0001), reason: "strikes"},
		{name: "just above", wheel: "flange_height 1.3749", place: "joint: bar_depth 1.375", verdict: clears,
			margin: at(.0001), close: true, reason: "clear"},
		{name: "bar depth beats the section", wheel: "flange_height 1.2",
			place: "joint: bar_depth 1.1; rail 115RE; head_wear 1/8", verdict: conflict, margin: at(-.1),
			reason: "a reading is not replaced by a bound"},
		{name: "edge clears at the limit", wheel: "flange_height 1.22265625", place: "joint: rail 115RE; head_wear 1/8",
			verdict: clears, margin: onlyLo(0), close: true,
			reason: "even the edge clears; how much more room there is nobody knows"},
		{name: "edge just not", wheel: "flange_height 1.2228", place: "joint: rail 115RE; head_wear 1/8",
			verdict: notMeasured, settle: "bar_depth",
			reason: "the flange reaches below the edge, and no sheet says where the bar lies"},
		{name: "edge within 1e-9 mm", wheel: "flange_height 1.22265625001", place: "joint: rail 115RE; head_wear 1/8",
			verdict: clears, margin: onlyLo(0), close: true, reason: "2.5e-10 mm is no difference"},
		{name: "below the centre", wheel: "flange_height 1.5626", place: "joint: rail 115RE; head_wear 1/8",
			verdict: notMeasured, settle: "bar_depth", reason: "an assumed bar makes no conflict"},
		{name: "edge clears only in part", measured: true, wheel: "flange_height <1-1/4",
			place: "joint: rail 115RE; head_wear 1/8", verdict: notMeasured, settle: "bar_depth",
			reason: "surely not negative is asked for"},
		{name: "unworn head", wheel: "flange_height 1", place: "joint: rail 115RE; head_wear none", verdict: clears,
			margin: onlyLo(edge - 1), reason: "looked at and none: 0"},
		{name: "height missing at an assumed bar", wheel: "tread_hollow 1", place: "joint: rail 115RE; head_wear none",
			verdict: notMeasured, settle: "flange_height", reason: "named"},
		{name: "no head wear", wheel: "flange_height 1", place: "joint: rail 115RE", verdict: notMeasured,
			settle: "bar_depth", reason: "without head_wear the section says nothing; bar_depth is the reading to take"},
		{name: "no rail", wheel: "flange_height 1", place: "joint: head_wear 1/8", verdict: notMeasured,
			settle: "bar_depth", reason: "head wear of an unknown section says nothing"},
		{name: "height missing", wheel: "tread_hollow 1", place: "joint: bar_depth 1.375", verdict: notMeasured,
			settle: "flange_height", reason: "named"},
		{name: "bar depth floor", measured: true, wheel: "flange_height 1.250", place: "joint: bar_depth 1.375",
			verdict: clears, margin: &span{.062, .188, .125}, close: true,
			reason: "bar_depth is never better than ±1/16; 0.062 is below the reserve"},
	})
}

func TestWideGauge(t *testing.T) {
	const wheel = "flange_thickness 1; back_to_back 53"
	runChecks(t, "wide-gauge", []checkCase{
		{name: "loaded at the limit", wheel: wheel, mate: "-", place: "spot: loaded_gauge 59.25", verdict: clears,
			margin: at(0), close: true, reason: "53 + 1 + 5-1/2 - 59-1/4 - 1/4"},
		{name: "loaded just below", wheel: wheel, mate: "-", place: "spot: loaded_gauge 59.2501", verdict: conflict,
			margin: at(-.0001), reason: "drops in"},
		{name: "loaded just above", wheel: wheel, mate: "-", place: "spot: loaded_gauge 59.2499", verdict: clears,
			margin: at(.0001), close: true, reason: "bears a quarter inch"},
		{name: "at the reserve of bearing", wheel: wheel, mate: "-", place: "spot: loaded_gauge 58.5", verdict: clears,
			margin: at(.75), reason: "3/4 in is not below the reserve"},
		{name: "below the reserve of bearing", wheel: wheel, mate: "-", place: "spot: loaded_gauge 58.5001",
			verdict: clears, margin: at(.7499), close: true, reason: "less than 3/4 in is close"},
		{name: "own reserve of bearing", settings: map[string]float64{"reserve_bearing": .5 * inch}, wheel: wheel,
			mate: "-", place: "spot: loaded_gauge 58.6", verdict: clears, margin: at(.65),
			reason: "the railroad's reserve is used"},
		{name: "loaded over gauge", wheel: wheel, mate: "-",
			place: "spot: loaded_gauge 59.25; gauge 56-1/2; holding poor", verdict: clears, margin: at(0), close: true,
			reason: "no allowance where the loaded gauge was read"},
		{name: "gauge over loaded", wheel: wheel, mate: "-", place: "spot: loaded_gauge 57; gauge 59.2501",
			verdict: conflict, margin: at(-.0001), settle: "gauge,loaded_gauge", note: "read again first",
			reason: "no load narrows the track: the greater is used, and no repair is measured by it"},
		{name: "the greater, end by end", measured: true, wheel: "flange_thickness 1.000; back_to_back 53.000",
			mate: "-", place: "spot: loaded_gauge 57..59.3; gauge 58-1/2", verdict: undecided, settle: "loaded_gauge",
			margin: &span{59.249 - 59.33125, 59.251 - 58.4375, 59.25 - 58.5},
			reason: "[max of the lower ends, max of the upper ends], the middle of the range is below the gauge"},
		{name: "one-sided gauge under loaded", measured: true, wheel: "flange_thickness 1.000; back_to_back 53.000",
			mate: "-", place: "spot: loaded_gauge 58; gauge <57", verdict: clears,
			margin: blurred(59.249-58.0625, 59.251-57.9375),
			reason: "a one-sided reading enters, so there is no margin as written"},
		{name: "holding blank", wheel: wheel, mate: "-", place: "spot: gauge 58.75", verdict: clears,
			margin: blurred(0, .5), close: true, reason: "blank is fair: up to 1/2 in"},
		{name: "holding fair", wheel: wheel, mate: "-", place: "curve: gauge 58.76; holding fair", verdict: undecided,
			margin: blurred(-.01, .49), settle: "loaded_gauge", reason: "an allowance alone is no conflict"},
		{name: "holding good", wheel: wheel, mate: "-", place: "switch: gauge 59; holding good", verdict: clears,
			margin: blurred(0, .25), close: true, reason: "up to 1/4 in"},
		{name: "holding poor", wheel: wheel, mate: "-", place: "frog: gauge 58.5; holding poor", verdict: clears,
			margin: blurred(0, .75), close: true, reason: "up to 3/4 in"},
		{name: "holding poor just below", wheel: wheel, mate: "-", place: "frog: gauge 58.5001; holding poor",
			verdict: undecided, margin: blurred(-.0001, .7499), settle: "loaded_gauge", reason: "up to 3/4 in"},
		{name: "gauge alone too wide", wheel: wheel, mate: "-", place: "spot: gauge 59.26", verdict: conflict,
			margin: blurred(-.51, -.01), reason: "too wide before any load"},
		{name: "mate's rim read", wheel: wheel, mate: "rim_width 5.25", place: "spot: loaded_gauge 59.25",
			verdict: conflict, margin: at(-.25), reason: "the mate bears on the far rail"},
		{name: "reading beats design", wheel: wheel, mate: "rim_width 5.25; design wide flange 1:20",
			place: "spot: loaded_gauge 59.25", verdict: conflict, margin: at(-.25),
			reason: "its reading, else its design's"},
		{name: "mate's design", wheel: wheel, mate: "design wide flange 1:20", place: "spot: loaded_gauge 59.25",
			verdict: clears, margin: at(5.71875 - 5.5), close: true,
			reason: "5-23/32 by design (from memory in configs)"},
		{name: "own rim and design do not count", wheel: wheel + "; rim_width 5.25; design wide flange 1:20", mate: "-",
			place: "spot: loaded_gauge 59.25", verdict: clears, margin: at(0), close: true,
			reason: "the rim is the mate's"},
		{name: "no mate", wheel: wheel, place: "spot: loaded_gauge 59.25", verdict: clears, margin: at(0), close: true,
			reason: "the setting stands for a mate that is not in the sheet"},
		{name: "rim setting", settings: map[string]float64{"rim_width": 5 * inch}, wheel: wheel, mate: "-",
			place: "spot: loaded_gauge 59.25", verdict: conflict, margin: at(-.5), reason: "else the setting"},
		{name: "least bearing", settings: map[string]float64{"least_bearing": 1 * inch}, wheel: wheel, mate: "-",
			place: "spot: loaded_gauge 57.5", verdict: clears, margin: at(1), reason: "the setting"},
		{name: "both flanges worn", wheel: wheel, mate: "flange_thickness 1", place: "spot: gauge 57", verdict: clears,
			margin: blurred(1.75, 2.25), note: "effective gauge 57-5/16 in",
			reason: "gauge and 5/32 in lost by each flange of 1-5/32 new"},
		{name: "gauge missing", wheel: wheel, mate: "-", place: "curve: degree 4", verdict: notMeasured,
			settle: "gauge,loaded_gauge", reason: "either would do"},
		{name: "thickness missing", wheel: "back_to_back 53", mate: "flange_thickness 1", place: "spot: gauge 57",
			verdict: notMeasured, settle: "flange_thickness", reason: "the mate's flange does not stand for it"},
		{name: "one-sided flange", measured: true, wheel: "flange_thickness >15/16; back_to_back 53", mate: "-",
			place: "spot: loaded_gauge 57", verdict: clears,
			margin: blurred(52.96875+.90625+5.5-57.0625-.25, 53.03125+1.4375+5.5-56.9375-.25),
			reason: "a go/no-go flange can prove enough, and has no margin as written"},
	})
}

func TestTightGauge(t *testing.T) {
	const wheel = "flange_thickness 1.375; back_to_back 53"
	runChecks(t, "tight-gauge", []checkCase{
		{name: "at the limit", wheel: wheel, mate: "flange_thickness 1.125", place: "spot: gauge 55.5", verdict: clears,
			margin: at(0), close: true, reason: "53 + 1-3/8 + 1-1/8"},
		{name: "just below", wheel: wheel, mate: "flange_thickness 1.1251", place: "curve: gauge 55.5",
			verdict: conflict, margin: at(-.0001), reason: "too wide"},
		{name: "just above", wheel: wheel, mate: "flange_thickness 1.1249", place: "switch: gauge 55.5",
			verdict: clears, margin: at(.0001), close: true, reason: "fits"},
		{name: "greatest back-to-back", wheel: wheel + "; back_to_back_max 53.1", mate: "flange_thickness 1.125",
			place: "frog: gauge 55.5", verdict: conflict, margin: at(-.1),
			reason: "back_to_back_max else back_to_back"},
		{name: "static gauge counts", wheel: wheel, mate: "flange_thickness 1.125",
			place: "spot: gauge 55.5; loaded_gauge 57", verdict: clears, margin: at(0), close: true,
			reason: "tight track is not opened by the load"},
		{name: "loaded gauge alone", wheel: wheel, mate: "flange_thickness 1.125", place: "spot: loaded_gauge 57",
			verdict: notMeasured, settle: "gauge", reason: "gauge is not derived from the loaded one"},
		{name: "mate not in the sheet", wheel: wheel, place: "spot: gauge 56-1/2", verdict: notMeasured,
			settle: "flange_thickness of the mate", reason: "both flanges are needed"},
		{name: "mate not read", wheel: wheel, mate: "-", place: "spot: gauge 56-1/2", verdict: notMeasured,
			settle: "flange_thickness of the mate", reason: "both flanges are needed"},
	})
}

// TestOpenPoint holds needed clearances G - (B + t) worked by hand: with B 53 and t
// 7/8, 2-5/8 in at gauge 56-1/2, 3-5/8 at 57-1/2, 4-1/8 at 58.
func TestOpenPoint(t *testing.T) {
	const wheel = "flange_thickness 7/8; back_to_back 53"
	runChecks(t, "open-point", []checkCase{
		{name: "standard gauge", wheel: wheel, place: "switch: gauge 56.5; open_clearance 2.625", verdict: clears,
			margin: at(0), close: true, reason: "needs 2-5/8"},
		{name: "standard gauge just below", wheel: wheel, place: "switch: gauge 56.5; open_clearance 2.6249",
			verdict: conflict, margin: at(-.0001), reason: "the back strikes"},
		{name: "standard gauge just above", wheel: wheel, place: "switch: gauge 56.5; open_clearance 2.6251",
			verdict: clears, margin: at(.0001), close: true, reason: "passes"},
		{name: "wide gauge", wheel: wheel, place: "switch: gauge 57.5; open_clearance 3.625", verdict: clears,
			margin: at(0), close: true, reason: "needs 3-5/8"},
		{name: "widest gauge", wheel: wheel, place: "switch: gauge 58; open_clearance 4.125", verdict: clears,
			margin: at(0), close: true, reason: "needs 4-1/8"},
		{name: "trailing", wheel: wheel, place: "switch: direction trailing; gauge 56.5; open_clearance 2.5",
			verdict: conflict, margin: at(-.125), reason: "a trailing move passes the open point too"},
		{name: "least back-to-back", wheel: "flange_thickness 7/8; back_to_back 52.9; back_to_back_max 53.2",
			place: "switch: gauge 56.5; open_clearance 2.625", verdict: conflict, margin: at(-.1),
			reason: "the narrow place strikes"},
		{name: "clearance missing", wheel: wheel, place: "switch: gauge 56.5", verdict: notMeasured,
			settle: "open_clearance", reason: "named"},
		{name: "gauge missing", wheel: wheel, place: "switch: open_clearance 3", verdict: notMeasured, settle: "gauge",
			reason: "named"},
	})
}

func TestOuterTread(t *testing.T) {
	runChecks(t, "outer-tread", []checkCase{
		{name: "at the limit", wheel: "tread_hollow 8.35", place: "switch: heel_rise 6.35 mm", verdict: clears,
			margin: at(0), close: true, reason: "rise and ride_over of 2 mm"},
		{name: "just below", wheel: "tread_hollow 8.351", place: "switch: heel_rise 6.35 mm", verdict: conflict,
			margin: at(-.001), reason: "strikes"},
		{name: "just above", wheel: "tread_hollow 8.349", place: "switch: heel_rise 6.35 mm", verdict: clears,
			margin: at(.001), close: true, reason: "passes"},
		{name: "no ride over", settings: map[string]float64{"ride_over": 0}, wheel: "tread_hollow 7.94",
			place: "switch: heel_rise 1/4", verdict: conflict, margin: at(6.35 - 7.94),
			reason: "5/16 in of hollow, the limit of 49 CFR 229.75(g) for road engines, against a riser of 1/4 in"},
		{name: "trailing", wheel: "tread_hollow 3", place: "switch: direction trailing; heel_rise none",
			verdict: conflict, margin: at(-1), reason: "the heel is struck in either direction"},
		{name: "rise missing", wheel: "tread_hollow 3", place: "switch: gauge 56-1/2", verdict: notMeasured,
			settle: "heel_rise", reason: "named"},
	})
}

// TestPointClimb: with a tip radius of 1/2 in and a flange 1 in high the limit of 60
// degrees is reached at a point top 3/4 in low. A maintainer's form (ARTC ETE0301F-05)
// acts on blade damage deeper than 19 mm below the running surface: the same figure.
// acos(1 - s/r) for other s is worked by hand.
func TestPointClimb(t *testing.T) {
	half := map[string]float64{"flange_tip_radius": .5 * inch}
	const tip = "switch: chip_depth none; "
	deg := func(s float64) float64 { return math.Acos(1-s/.5)*180/math.Pi - 60 }
	runChecks(t, "point-climb", []checkCase{
		{name: "3/4 in low", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.75", verdict: clears,
			margin: at(0), close: true, note: "by tip height only",
			reason: "acos(1 - 0.25/0.5) is 60 degrees: the limit"},
		{name: "just below", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.7501",
			verdict: conflict, margin: at(deg(.2499)), note: "by tip height only", reason: "under 60 degrees"},
		{name: "just above", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.7499",
			verdict: clears, margin: at(deg(.2501)), close: true, reason: "over 60 degrees"},
		{name: "19 mm", settings: half, wheel: "flange_height 1", place: tip + "point_drop 19mm", verdict: clears,
			margin: at(deg(1 - 19/25.4)), close: true, reason: "19 mm is just good, as in the form"},
		{name: "19.1 mm", settings: half, wheel: "flange_height 1", place: tip + "point_drop 19.1mm", verdict: conflict,
			margin: at(deg(1 - 19.1/25.4)), reason: "deeper than 19 mm is damage"},
		{name: "0.30 in of overlap", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.7",
			verdict: clears, margin: at(6.4218215), reason: "acos(0.4) is 66.4218215 degrees"},
		{name: "at the cap", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.5", verdict: clears,
			margin: at(15), reason: "r(1 - cos 75) is 0.3706: at 0.5 the flange angle"},
		{name: "0.20 in of overlap", settings: half, wheel: "flange_height 1", place: tip + "point_drop 0.8",
			verdict: conflict, margin: at(-6.8698976), reason: "acos(0.6) is 53.1301024 degrees"},
		{name: "tip over the point", settings: half, wheel: "flange_height 1", place: tip + "point_drop 1.2",
			verdict: conflict, margin: at(-60), reason: "s < 0: no angle at all"},
		{name: "a higher flange helps", settings: half, wheel: "flange_height 1.25", place: tip + "point_drop 0.8",
			verdict: clears, margin: at(15), reason: "the two departments want opposite things"},
		{name: "default radius", wheel: "flange_height 1", place: tip + "point_drop 0.65625", verdict: clears,
			margin: at(0), close: true, reason: "s = r/2 = 11/32 of r 11/16"},
		{name: "chip deeper than the drop", settings: half, wheel: "flange_height 1",
			place: "switch: point_drop 0.25; chip_depth 0.8; chip_length 4", verdict: conflict, margin: at(-6.8698976),
			reason: "the deeper of the two counts"},
		{name: "chip of unread length", settings: half, wheel: "flange_height 1",
			place: "switch: point_drop 0.25; chip_depth 0.8", verdict: conflict, margin: at(-6.8698976),
			reason: "a chip is left out only where its length was read"},
		{name: "chip at 2 in", settings: half, wheel: "flange_height 1",
			place: "switch: point_drop 0.25; chip_depth 0.8; chip_length 2", verdict: conflict, margin: at(-6.8698976),
			reason: "2 in is not under 2 in"},
		{name: "chip under 2 in", settings: half, wheel: "flange_height 1",
			place: "switch: point_drop 0.25; chip_depth 0.8; chip_length 1.9999", verdict: clears, margin: at(15),
			reason: "a short chip is left out"},
		{name: "chip not surely under 2 in", measured: true, settings: half, wheel: "flange_height 1.00000000",
			place: "switch: point_drop 1/4; chip_depth 0.9000000000; chip_length 2", verdict: conflict,
			margin: &span{deg(.1), deg(.1), deg(.1)}, reason: "2 ±1/32 in may be over 2"},
		{name: "short chip and no drop", settings: half, wheel: "flange_height 1",
			place: "switch: chip_depth 0.9; chip_length 1", verdict: notMeasured, settle: "point_drop",
			note: "by tip height only", reason: "what is left out proves nothing"},
		{name: "drop alone in conflict", settings: half, wheel: "flange_height 1", place: "switch: point_drop 0.8",
			verdict: conflict, margin: onlyHi(-6.8698976), reason: "a chip can only lower the point: proven"},
		{name: "drop alone at the limit", settings: half, wheel: "flange_height 1", place: "switch: point_drop 0.75",
			verdict: notMeasured, settle: "chip_depth", reason: "not below 60 degrees: nothing is proven"},
		{name: "chip alone in conflict", settings: half, wheel: "flange_height 1",
			place: "switch: chip_depth 0.8; chip_length 3", verdict: conflict, margin: onlyHi(-6.8698976),
			reason: "the drop can only lower it further"},
		{name: "chip alone clear", settings: half, wheel: "flange_height 1", place: "switch: chip_depth none",
			verdict: notMeasured, settle: "point_drop", reason: "the drop may be anything"},
		{name: "neither", settings: half, wheel: "flange_height 1", place: "switch: gauge 56-1/2", verdict: notMeasured,
			settle: "point_drop,chip_depth", reason: "both are named"},
		{name: "neither height nor chip", settings: half, wheel: "tread_hollow 1", place: "switch: point_drop 0.25",
			verdict: notMeasured, settle: "flange_height,chip_depth", reason: "all that is missing is named"},
		{name: "face at the limit", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.25; face_angle 60", verdict: clears, margin: at(0), close: true,
			reason: "the lesser angle counts"},
		{name: "face just below", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.25; face_angle 59.9", verdict: conflict, margin: at(-.1),
			reason: "a shallow face is climbed at any height"},
		{name: "face just above", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.25; face_angle 60.1", verdict: clears, margin: at(.1), close: true,
			reason: "just steep enough"},
		{name: "face steeper than the tip", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.7; face_angle 70", verdict: clears, margin: at(6.4218215),
			reason: "the tip's angle is the lesser"},
		{name: "shallow face with no chip read", settings: half, wheel: "flange_height 1",
			place: "switch: point_drop 0.25; face_angle 50", verdict: conflict, margin: onlyHi(-10),
			reason: "the face proves it alone beside one depth"},
		{name: "face not sure", measured: true, settings: half, wheel: "flange_height 1.00",
			place: "switch: chip_depth none; point_drop 1/4; face_angle 60", verdict: undecided,
			margin: &span{-.5, .5, 0}, settle: "face_angle", reason: "a whole degree is ±0.5; the tip height is clear"},
		{name: "chip not sure", measured: true, settings: half, wheel: "flange_height 1.000000",
			place: "switch: point_drop 1/4; chip_depth 3/4; chip_length 4", verdict: undecided,
			margin: &span{deg(.21875 - .0000005), deg(.28125 + .0000005), 0}, settle: "chip_depth",
			reason: "the drop, the less certain reading, is surely the lesser: read again it settles nothing"},
		{name: "drop not sure", measured: true, settings: half, wheel: "flange_height 1.000000",
			place: "switch: chip_depth none; point_drop 3/4", verdict: undecided,
			margin: &span{deg(.1875 - .0000005), deg(.3125 + .0000005), 0}, settle: "point_drop",
			reason: "point_drop is never better than ±1/16"},
		{name: "at the reserve", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.25; face_angle 65", verdict: clears, margin: at(5),
			reason: "5 degrees is not below reserve_deg"},
		{name: "below the reserve", settings: half, wheel: "flange_height 1", place: tip +
			"point_drop 0.25; face_angle 64.9", verdict: clears, margin: at(4.9), close: true,
			reason: "close in degrees"},
	})
}

func TestPointPick(t *testing.T) {
	const whole, blank = "vertical_flange 3/4; flange_thickness 1.25",
		"stock_rail_wear was not read and is not counted; undercut was not read and is not counted"
	runChecks(t, "point-pick", []checkCase{
		{name: "whole flange at 1/4", wheel: whole, place: "switch: point_gap 0.25", verdict: clears, margin: at(0),
			close: true, note: blank, reason: "allowance 1/4"},
		{name: "whole flange just over", wheel: whole, place: "switch: point_gap 0.2501", verdict: conflict,
			margin: at(-.0001), note: blank, reason: "gap over the allowance"},
		{name: "whole flange just under", wheel: whole, place: "switch: point_gap 0.2499", verdict: clears,
			margin: at(.0001), close: true, reason: "gap under the allowance"},
		{name: "vertical to 7/8", wheel: "vertical_flange 0.875; flange_thickness 1.25",
			place: "switch: point_gap 0.125", verdict: clears, margin: at(0), close: true,
			reason: "reaching 7/8 is 1/8"},
		{name: "vertical to 7/8, just over", wheel: "vertical_flange 0.875; flange_thickness 1.25",
			place: "switch: point_gap 0.1251", verdict: conflict, margin: at(-.0001), reason: "allowance 1/8"},
		{name: "vertical just under 7/8", wheel: "vertical_flange 0.8749; flange_thickness 1.25",
			place: "switch: point_gap 0.125", verdict: clears, margin: at(.125), reason: "not reaching 7/8 is 1/4"},
		{name: "thin at 15/16", wheel: "vertical_flange none; flange_thickness 0.9375",
			place: "switch: point_gap 0.125", verdict: clears, margin: at(0), close: true,
			reason: "15/16 or less is 1/8"},
		{name: "just over 15/16", wheel: "vertical_flange none; flange_thickness 0.9376",
			place: "switch: point_gap 0.125", verdict: clears, margin: at(.125), reason: "thicker is 1/4"},
		{name: "thin, vertical unread", wheel: "flange_thickness 0.9", place: "switch: point_gap 0.1", verdict: clears,
			margin: at(.025), close: true, reason: "one of the two decides alone"},
		{name: "vertical, thickness unread", wheel: "vertical_flange 1", place: "switch: point_gap 0.2",
			verdict: conflict, margin: at(-.075), reason: "one of the two decides alone"},
		{name: "vertical unread", wheel: "flange_thickness 1.25", place: "switch: point_gap 0.2", verdict: undecided,
			margin: blurred(-.075, .05), settle: "vertical_flange",
			reason: "[1/8, 1/4], no margin as written, the reading named"},
		{name: "thickness unread", wheel: "vertical_flange 1/2", place: "switch: point_gap 0.2", verdict: undecided,
			margin: blurred(-.075, .05), settle: "flange_thickness", reason: "[1/8, 1/4]"},
		{name: "both unread", wheel: "flange_height 1", place: "switch: point_gap 0.2", verdict: undecided,
			margin: blurred(-.075, .05), settle: "flange_thickness,vertical_flange", reason: "[1/8, 1/4], both named"},
		{name: "both unread, gap over 1/4", wheel: "flange_height 1", place: "switch: point_gap 0.3", verdict: conflict,
			margin: blurred(-.175, -.05), settle: "flange_thickness,vertical_flange",
			reason: "over every allowance; the two are named whatever the verdict"},
		{name: "both unread, gap of 1/8", wheel: "flange_height 1", place: "switch: point_gap 0.125", verdict: clears,
			margin: blurred(0, .125), close: true, settle: "flange_thickness,vertical_flange",
			reason: "within every allowance"},
		{name: "vertical uncertain", measured: true, wheel: "vertical_flange 7/8; flange_thickness 1-1/4",
			place: "switch: point_gap 0.200000", verdict: undecided, margin: blurred(-.0750005, .0500005),
			settle: "vertical_flange", reason: "7/8 ±1/32 may reach it or not"},
		{name: "touched at 1 in", measured: true, wheel: "vertical_flange >=1; flange_thickness 1-1/4",
			place: "switch: point_gap 0.100000", verdict: clears, margin: &span{.0249995, .0250005, .025}, close: true,
			reason: "31/32 with the step is over 7/8: surely vertical"},
		{name: "not touched at 1 in", measured: true, wheel: "vertical_flange <1; flange_thickness 1-1/4",
			place: "switch: point_gap 0.100000", verdict: clears, margin: blurred(.0249995, .1500005), close: true,
			settle: "vertical_flange", reason: "<1 may reach 7/8"},
		{name: "notch did not touch", measured: true, wheel: "vertical_flange 1/2; flange_thickness >15/16",
			place: "switch: point_gap 0.200000", verdict: undecided, margin: blurred(-.0750005, .0500005),
			settle: "flange_thickness", reason: "with the step it may be thin"},
		{name: "notch did not touch, exact steps", wheel: "vertical_flange 1/2; flange_thickness >15/16",
			place: "switch: point_gap 0.200000", verdict: undecided, margin: blurred(-.075, .05),
			settle: "flange_thickness", reason: "its lower end is 15/16 itself, which is thin"},
		{name: "worn stock rail", wheel: whole, place: "switch: point_gap 0.1; stock_rail_wear 0.275", verdict: clears,
			margin: at(0), close: true, note: "undercut was not read and is not counted",
			reason: "0.15 beyond the free 1/8"},
		{name: "worn stock rail, just over", wheel: whole, place: "switch: point_gap 0.1; stock_rail_wear 0.2751",
			verdict: conflict, margin: at(-.0001), reason: "wear counts beyond 1/8"},
		{name: "free wear", wheel: whole, place: "switch: point_gap 0.1; stock_rail_wear 0.125; undercut none",
			verdict: clears, margin: at(.15), reason: "1/8 is free"},
		{name: "undercut", wheel: whole, place: "switch: point_gap 0.1; stock_rail_wear 0.5; undercut 0.2",
			verdict: conflict, margin: at(-.025), reason: "0.5 - 0.125 - 0.2 = 0.175"},
		{name: "deep undercut", wheel: whole, place: "switch: point_gap 0.1; stock_rail_wear 0.2; undercut 0.5",
			verdict: clears, margin: at(.15), reason: "never below 0: an undercut gives nothing back"},
		{name: "gap none", wheel: whole, place: "switch: point_gap none", verdict: clears, margin: at(.25),
			reason: "closes tight"},
		{name: "gap missing", wheel: whole, place: "switch: stock_rail_wear 1/8", verdict: notMeasured,
			settle: "point_gap", note: "undercut was not read", reason: "named"},
	})
}

func TestHollowCurve(t *testing.T) {
	runChecks(t, "hollow-curve", []checkCase{
		{name: "mild at the limit", wheel: "tread_hollow 4", place: "curve: degree 4", verdict: clears, margin: at(0),
			close: true, reason: "4 mm to 4 degrees"},
		{name: "mild just below", wheel: "tread_hollow 4.001", place: "curve: degree 4", verdict: conflict,
			margin: at(-.001), reason: "over 4 mm"},
		{name: "mild just above", wheel: "tread_hollow 3.999", place: "curve: degree 4", verdict: clears,
			margin: at(.001), close: true, reason: "under 4 mm"},
		{name: "just over 4 degrees", wheel: "tread_hollow 3.5", place: "curve: degree 4.01", verdict: conflict,
			margin: at(-.5), reason: "3 mm above 4 degrees"},
		{name: "8 degrees", wheel: "tread_hollow 3", place: "curve: degree 8°00'", verdict: clears, margin: at(0),
			close: true, reason: "3 mm to 8"},
		{name: "just over 8 degrees", wheel: "tread_hollow 3", place: "curve: degree D8-01", verdict: conflict,
			margin: at(-1), reason: "2 mm above 8"},
		{name: "sharp at the limit", wheel: "tread_hollow 2", place: "curve: degree 12", verdict: clears, margin: at(0),
			close: true, reason: "2 mm"},
		{name: "thin mate", wheel: "tread_hollow 5", mate: "flange_thickness 0.95", place: "curve: degree 4",
			verdict: conflict, margin: at(-1), note: "the mate R1 has a thin flange",
			reason: "one cause: the false flange holds the mate to its rail"},
		{name: "degree missing", wheel: "tread_hollow 5", place: "curve: gauge 57", verdict: notMeasured,
			settle: "degree", reason: "named"},
		{name: "hollow missing", wheel: "flange_height 1", place: "curve: degree 4", verdict: notMeasured,
			settle: "tread_hollow", reason: "named"},
	})
}

// TestChecksApply: which checks meet which place. Everything that is
// not named must not occur.
func TestChecksApply(t *testing.T) {
	data := fixture.Data(t)
	all := "flange_height 1; flange_thickness 1.25; back_to_back 53; tread_hollow 1"
	frog := []string{"flangeway-width", "frog-floor", "frog-point", "frog-wing", "guard-bind", "guard-flangeway",
		"tight-gauge", "wide-gauge"}
	trailing := []string{"open-point", "outer-tread", "tight-gauge", "wide-gauge"}
	facing := []string{"open-point", "outer-tread", "point-climb", "point-pick", "tight-gauge", "wide-gauge"}
	for _, tc := range []struct {
		name, place string
		want        []string
		reason      string
	}{
		{"plain frog", "frog: number 8", frog, "no type is none of the special ones"},
		{"bolted", "frog: type bolted", frog, "an ordinary frog"},
		{"rail-bound", "frog: type rbm", frog, "an ordinary frog"},
		{"solid", "frog: type solid", frog, "not self-guarded"},
		{"heavy point", "frog: type heavy-point", frog, "an ordinary frog"},
		{"spring", "frog: type spring", frog, "all of them, with its own wing hollow"},
		{"self-guarded", "frog: type self-guarded", []string{"flangeway-width", "frog-floor", "frog-wing",
			"tight-gauge", "wide-gauge"}, "no guard rail: no guard check, face or flangeway"},
		{"flange-bearing", "frog: type flange-bearing",
			slices.DeleteFunc(slices.Clone(frog), func(s string) bool { return s == "frog-floor" }),
			"the flange is meant to bear on the floor"},
		{"switch", "switch: direction both", facing, "run both ways"},
		{"switch, direction blank", "switch: gauge 57", facing, "blank is both"},
		{"facing switch", "switch: direction facing", facing, "the points are met"},
		{"trailing switch", "switch: direction trailing", trailing, "no point is climbed or picked trailing"},
		{"curve", "curve: degree 4", []string{"hollow-curve", "tight-gauge", "wide-gauge"}, "gauge and hollow"},
		{"joint", "joint: rail 115RE", []string{"joint-bar"}, "the bar"},
		{"spot", "spot: gauge 57", []string{"tight-gauge", "wide-gauge"}, "gauge alone"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var got []string
			for _, c := range interaction.CheckIDs() {
				if _, ok := onePair(t, data, c, checkCase{wheel: all, place: tc.place}); ok {
					got = append(got, c)
				}
			}
			slices.Sort(got)
			if !slices.Equal(got, tc.want) {
				t.Errorf("%v, want %v; %s", got, tc.want, tc.reason)
			}
		})
	}
}

// TestAxleListing: a check of the whole axle stands once an axle, at L, and at R
// where the sheet has no L.
func TestAxleListing(t *testing.T) {
	wheels := sheet(
		cells(t, "car A 1; position L1; flange_thickness 1.25; back_to_back 53"),
		cells(t, "car A 1; position R1; flange_thickness 1.25"),
		cells(t, "car A 1; position R2; flange_thickness 1.25; back_to_back 53"),
		cells(t, "car A 1; position L3; flange_thickness 1.25; back_to_back 53"))
	s := sheets{exact: true, files: map[string]string{"wheels.csv": wheels,
		"gauge.csv": "location,spot,gauge\nhere,G1,56-1/2\n"}}.read(t, fixture.Data(t))
	verdicts := map[string]interaction.Verdict{}
	for _, f := range judgeAll(t, s, interaction.Options{Check: "tight-gauge"}).all {
		verdicts[f.Wheel.Position.String()] = f.Verdict
	}
	want := map[string]interaction.Verdict{"L1": clears, "R2": notMeasured, "L3": notMeasured}
	if len(verdicts) != len(want) {
		t.Errorf("listed at %v, want %v", verdicts, want)
	}
	for p, v := range want {
		if got, ok := verdicts[p]; !ok || got != v {
			t.Errorf("%s: %s (listed %t), want %s", p, got, ok, v)
		}
	}
	if got := len(judgeAll(t, s, interaction.Options{Check: "wide-gauge"}).all); got != 4 {
		t.Errorf("wide-gauge has %d pairs, want one a wheel", got)
	}
}

// TestGuardArithmetic works the guard margins of typical axles at the limits of 49
// CFR 213.143(a), table: GC not less than, GF not more than. m1 is point protection
// without relief, m2 free passage, both in inches, worked by hand:
// m1 = GC - (B + t), m2 = B - GF.
func TestGuardArithmetic(t *testing.T) {
	data := fixture.Data(t)
	tracks := []struct {
		name, check, face string
		width             float64 // GC - GF
	}{
		{"class 1", "54-1/8", "53-1/4", .875}, {"class 2", "54-1/4", "53-1/8", 1.125},
		{"class 3 and 4", "54-3/8", "53-1/8", 1.25},
		{"class 5", "54-1/2", "53", 1.5}, {"as designed", "54-5/8", "52-3/4", 1.875},
	}
	for _, w := range []struct {
		name, b, t string
		m1, m2     [5]float64
	}{
		{"wide new", "53", "1.375", [5]float64{-.25, -.125, 0, .125, .25}, [5]float64{-.25, -.125, -.125, 0, .25}},
		{"narrow flange on a wide axle", "53.09375", "1.15625", [5]float64{-.125, 0, .125, .25, .375},
			[5]float64{-.15625, -.03125, -.03125, .09375, .34375}},
		{"worn to 15/16", "53", ".9375", [5]float64{.1875, .3125, .4375, .5625, .6875},
			[5]float64{-.25, -.125, -.125, 0, .25}},
		{"worn to 7/8, least back-to-back", "52.9375", ".875", [5]float64{.3125, .4375, .5625, .6875, .8125},
			[5]float64{-.3125, -.1875, -.1875, -.0625, .1875}},
	} {
		for i, tr := range tracks {
			t.Run(w.name+", "+tr.name, func(t *testing.T) {
				width := strconv.FormatFloat(tr.width, 'f', -1, 64)
				tc := checkCase{settings: map[string]float64{"point_relief": 0}, wheel: "flange_thickness " + w.t +
					"; back_to_back " + w.b,
					place: "frog: guard_check " + tr.check + "; guard_face " + tr.face + "; flangeway_width " + width}
				var m [3]float64
				for n, check := range []string{"frog-point", "guard-bind", "flangeway-width"} {
					f, ok := onePair(t, data, check, tc)
					if !ok || f.Margin.As == nil {
						t.Fatalf("%s has no margin", check)
					}
					m[n] = *f.Margin.As / inch
				}
				if !closeTo(m[0], w.m1[i], 1e-9) || !closeTo(m[1], w.m2[i], 1e-9) {
					t.Errorf("m1 %g, m2 %g; want %g, %g", m[0], m[1], w.m1[i], w.m2[i])
				}
				if !closeTo(m[0]+m[1], m[2], 1e-9) {
					t.Errorf("m1 + m2 = %g, and flangeway less flange is %g: they must be equal, since GC - GF is "+
						"the flangeway", m[0]+m[1], m[2])
				}
			})
		}
	}
}

// TestContactAngle holds angles of acos(1 - s/r) worked by hand for r = 1/2 in and a
// flange of 75 degrees; the unit of length does not matter.
func TestContactAngle(t *testing.T) {
	for _, tc := range []struct {
		name         string
		s, want, tol float64
		reason       string
	}{
		{"over the point", -.01, 0, 0, "s < 0: the flange passes over"},
		{"at the tip", 0, 0, 0, "the lowest point of the tip is level"},
		{"0.10", .10, 36.870, 5e-4, "acos(0.8)"},
		{"0.20", .20, 53.130, 5e-4, "acos(0.6)"},
		{"0.25", .25, 60, 1e-9, "acos(1/2) is exact"},
		{"0.30", .30, 66.422, 5e-4, "acos(0.4)"},
		{"just under the cap", .3705, 74.99, .01, "the arc reaches 75 degrees at 0.5(1 - cos 75) = 0.37059"},
		{"at the cap", .3706, 75, 0, "the flange face"},
		{"deep", 5, 75, 0, "never steeper than the face"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			for _, unit := range []float64{1, inch} {
				if got := interaction.ContactAngle(tc.s*unit, .5*unit, 75); !closeTo(got, tc.want, tc.tol) {
					t.Errorf("%g degrees, want %g; %s", got, tc.want, tc.reason)
				}
			}
		})
	}
}

// TestLegalWords: whose book a pair's readings are within. Federal limits: flange
// height 1-1/2 (49 CFR 215.103(b)), flangeway depth 1-3/8 in class 1 (213.137(a)).
func TestLegalWords(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, kind, height, class, depth string
		measured                         bool
		wheel, track                     limit.Word
		both                             bool
		reason                           string
	}{
		{"both legal", "freight", "1.49", "1", "1.375", false, limit.Yes, limit.Yes, true,
			"each book is kept and they strike"},
		{"wheel condemned", "freight", "1.5", "1", "1.375", false, limit.No, limit.Yes, false,
			"1-1/2 or more condemns"},
		{"track defect", "freight", "1.49", "1", "1.3749", false, limit.Yes, limit.No, false,
			"under 1-3/8 is a defect"},
		{"class 2", "freight", "1.49", "2", "1.4", false, limit.Yes, limit.No, false, "class 2 needs 1-1/2"},
		{"class unknown", "freight", "1.49", "", "1.375", false, limit.Yes, limit.Unknown, false,
			"class 2 condemns it, class 1 does not"},
		{"class unknown, deep", "freight", "1.499", "", "1.5", true, limit.Yes, limit.Yes, false,
			"no class condemns it"},
		{"excepted", "freight", "1.49", "excepted", "1.375", false, limit.Yes, limit.None, true,
			"213.4 has no flangeway limit: no rule stops it"},
		{"kind unknown", "", "1.49", "1", "1.375", false, limit.Unknown, limit.Yes, false,
			"no book of a kind judges it"},
		{"at the limit", "freight", "1-15/32", "1", "1-3/8", true, limit.Yes, limit.Yes, true,
			"within as written, though its interval crosses: that counts as met"},
		{"passenger", "passenger", "1.6", "1", "1-3/8", true, limit.None, limit.Yes, true,
			"Part 238 has no profile limit: no rule stops it"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := sheets{exact: !tc.measured, files: map[string]string{
				"cars.csv": "car,kind\nA 1," + tc.kind + "\n",
				// two good wheels, or the cause would be the place
				"wheels.csv": "car,position,flange_height\nA 1,L1," + tc.height + "\nB 1,L1,1\nB 1,R1,1\n",
				"frogs.csv": "location,frog,track_class,flangeway_depth\nhere,F1," + tc.class + "," + tc.depth +
					"\n"}}.read(t, data)
			f := byPair(t, judgeAll(t, s, interaction.Options{}).all)["frog-floor frog/F1 A 1 L1"]
			if f.WheelWithinLimits != tc.wheel || f.TrackWithinLimits != tc.track {
				t.Errorf("wheel %s, track %s; want %s, %s; %s", f.WheelWithinLimits, f.TrackWithinLimits, tc.wheel,
					tc.track, tc.reason)
			}
			if f.BothLegal() != tc.both {
				t.Errorf("both legal %t, want %t; %s", f.BothLegal(), tc.both, tc.reason)
			}
		})
	}
}

// TestStale: a clear pair on a reading older than stale_after (180 days), or on an
// undated one, is marked; other verdicts are not.
func TestStale(t *testing.T) {
	data := fixture.Data(t)
	for _, tc := range []struct {
		name, wheel, mate, frog, height string
		stale                           bool
		reason                          string
	}{
		{"fresh", "2026-06-01", "", "2026-06-01", "1", false, "both of the day"},
		{"at 180 days", "2025-12-03", "", "2026-06-01", "1", false,
			"2025-12-03 is 180 days before 2026-06-01: not older"},
		{"at 181 days", "2025-12-02", "", "2026-06-01", "1", true, "older than stale_after"},
		{"old frog", "2026-06-01", "", "2025-12-02", "1", true, "the track side counts too"},
		{"undated wheel", "", "", "2026-06-01", "1", true, "an undated reading"},
		{"undated frog", "2026-06-01", "", "", "1", true, "an undated reading"},
		{"old mate", "2026-06-01", "2020-01-01", "2026-06-01", "1", false, "the mate's row does not enter frog-floor"},
		{"conflict", "2020-01-01", "", "2020-01-01", "2", false, "only a clear pair is marked"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			rows := []row{{"car": "A 1", "position": "L1", "flange_height": tc.height, "date": tc.wheel}}
			if tc.mate != "" {
				rows = append(rows, row{"car": "A 1", "position": "R1", "date": tc.mate})
			}
			s := sheets{exact: true, date: "2026-06-01", files: map[string]string{"wheels.csv": sheet(rows...),
				"frogs.csv": sheet(row{"location": "here", "frog": "F1", "flangeway_depth": "1.5",
					"date": tc.frog})}}.read(t, data)
			if f := byPair(t, judgeAll(t, s, interaction.Options{}).all)["frog-floor frog/F1 A 1 L1"]; f.Stale != tc.stale {
				t.Errorf("stale %t, want %t; %s", f.Stale, tc.stale, tc.reason)
			}
		})
	}
}

// The reminders of a check are rules of the federal set that judge no reading; one that
// names no such rule would be printed nowhere. Each of that set is named by a check, but for
// those that bear on no pair.
func TestRemindersAreInTheBook(t *testing.T) {
	noPair := map[string]string{
		"213.4-keeping":     "conditions of a status",
		"213.9(b)":          "what to do with track that fails its class",
		"213.55(a)-tangent": "no check judges tangents by their line",
		"213.137(e)":        "crossing diamonds have no check",
		"215.105":           "the axle itself", "229.73(a)": "when wheels are applied",
		"229.73(b)": "when wheels are applied",
		"229.75(i)": "the tire's strength", "230.112(a)": "when wheels are applied",
		"230.112(d)": "the tire's strength",
		"238.119":    "the wheel's strength",
	}
	named := map[string]bool{}
	for _, c := range interaction.Checks() {
		for _, id := range c.Reminders {
			named[id] = true
		}
	}
	for _, r := range fixture.Data(t).Sets["federal"].Rules {
		_, none := noPair[r.ID]
		if r.Reminder && named[r.ID] == none {
			t.Errorf("%s: named by a check %t, bears on no pair %t", r.ID, named[r.ID], none)
		}
		if r.Reminder {
			delete(named, r.ID)
		}
	}
	for id := range named {
		t.Errorf("%s is no reminder of the federal set", id)
	}
}

package cases

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/internal/measure"
)

// Answer is the program's answer to a case: the json of check, and that of curve for each run.
type Answer struct {
	Report Report
	Curves []Curve
	runs   []Ran
}

// Report is the part of check's json that the cases look at.
type Report struct {
	Locations []Location `json:"locations"`
	Limits    []struct {
		Rule, Where, Quantity, Reading, Limit, Verdict, Action string
	} `json:"limits"`
	Track []struct {
		Feature string `json:"feature"`
		Met     string `json:"class_met"`
		Most    string `json:"class_at_most"`
	} `json:"track"`
}

// Location is one place with its pairs.
type Location struct {
	Location string          `json:"location"`
	Risk     json.RawMessage `json:"risk"`
	Findings []Finding       `json:"findings"`
}

// Finding is the part of a pair that the cases look at.
type Finding struct {
	Check, Feature, Car, Position, Verdict, Cause string
	PlainVerdict                                  string   `json:"plain_verdict"`
	MarginMM                                      *float64 `json:"margin_mm"`
	MarginLoMM                                    *float64 `json:"margin_lo_mm"`
	MarginHiMM                                    *float64 `json:"margin_hi_mm"`
	WheelWithinLimits                             string   `json:"wheel_within_limits"`
	TrackWithinLimits                             string   `json:"track_within_limits"`
	SettleBy                                      []string `json:"settle_by"`
	FixWheel                                      []string `json:"fix_wheel"`
	Notes                                         []string `json:"notes"`
}

// Curve is the part of curve's json that the cases look at.
type Curve struct {
	Lead struct {
		High struct{ LV float64 } `json:"high"`
		Low  struct{ LV float64 } `json:"low"`
	} `json:"lead"`
	TruckSide struct {
		High, Low float64
	} `json:"truck_side_lv"`
	ClimbMargin    *float64 `json:"climb_margin"`
	RolloverMargin *float64 `json:"rollover_margin"`
	SpreadingKN    float64  `json:"spreading_kN"`
	Unbalance      float64  `json:"unbalance_in"`
	Converged      bool     `json:"converged"`
}

// Ran is one run with its answer.
type Ran struct {
	Run
	Curve
}

// Line is one expectation with what was said.
type Line struct {
	Expect
	Said string
	OK   bool
}

// Result is a case with what the program says of it.
type Result struct {
	Case
	Lines []Line
	Ran   []Ran
}

// Compare holds an answer against a case.
func Compare(c Case, a Answer) Result {
	r := Result{Case: c}
	for i, run := range c.Runs {
		r.Ran = append(r.Ran, Ran{run, a.Curves[i]})
	}
	a.runs = r.Ran
	for _, e := range c.Expect {
		said, ok := e.test(a)
		r.Lines = append(r.Lines, Line{e, said, ok})
	}
	return r
}

func (a Answer) finding(check, feature, car, position string) (Finding, bool) {
	for _, l := range a.Report.Locations {
		for _, f := range l.Findings {
			if f.Check == check && f.Feature == feature && f.Car == car && f.Position == position {
				return f, true
			}
		}
	}
	return Finding{}, false
}

// plain is the verdict by the arithmetic on the readings.
func (f Finding) plain() string {
	if f.PlainVerdict != "" {
		return f.PlainVerdict
	}
	return f.Verdict
}

// inches prints a length in mm as inches.
func inches(mm float64) string { return fmt.Sprintf("%.2f", mm/measure.MMPerInch) }

func (f Finding) said(tread bool) string {
	s := f.Verdict
	if f.plain() != f.Verdict {
		s += ", " + f.plain() + " by the readings alone"
	}
	if f.Verdict != "not measured" && (f.Verdict == "conflict" || f.plain() == "conflict") {
		s += ", cause " + f.Cause
	}
	switch {
	case f.MarginMM != nil:
		s += fmt.Sprintf(", margin %s in as written", inches(*f.MarginMM))
	case f.MarginLoMM != nil && f.MarginHiMM != nil:
		s += fmt.Sprintf(", margin %s to %s in", inches(*f.MarginLoMM), inches(*f.MarginHiMM))
	}
	if tread {
		for _, n := range f.Notes {
			if strings.HasPrefix(n, treadNote) {
				s += "; " + n
			}
		}
	}
	if len(f.SettleBy) > 0 {
		s += "; asks for " + strings.Join(f.SettleBy, ", ")
	}
	if f.Verdict == "conflict" && len(f.FixWheel) > 0 {
		s += "; " + f.FixWheel[0]
	}
	return s
}

// treadNote is how the note of wide-gauge begins that says what of the tread is left.
const treadNote = "tread left on the rail: "

// tread reads the figures of that note: as it lies, and under a load that was read.
func (f Finding) tread() (lies, loaded float64, n int) {
	for _, note := range f.Notes {
		if rest, ok := strings.CutPrefix(note, treadNote); ok {
			n, _ = fmt.Sscanf(rest, "%f in as it lies, %f in under load", &lies, &loaded)
		}
	}
	return lies * measure.MMPerInch, loaded * measure.MMPerInch, n
}

func (f Finding) treadAsItLies() (float64, bool) {
	lies, _, n := f.tread()
	return lies, n >= 1
}

func (f Finding) treadUnderLoad() (float64, bool) {
	_, loaded, n := f.tread()
	return loaded, n == 2
}

func (a Answer) class(feature, most string) (string, bool) {
	for _, t := range a.Report.Track {
		if t.Feature == feature {
			class, how := t.Met, "meets class "
			if class == "" {
				class, how = t.Most, "at most class "
			}
			if class == "none" {
				return "meets no class", most == class
			}
			return how + class, class == most
		}
	}
	return "no class is said of it", false
}

func (a Answer) noCause(feature, cause string) (string, bool) {
	n := 0
	for _, l := range a.Report.Locations {
		for _, f := range l.Findings {
			if f.Feature == feature && f.Verdict == "conflict" && f.Cause == cause {
				n++
			}
		}
	}
	return fmt.Sprintf("%d conflicts there are put down to the %s", n, cause), n == 0
}

// worse compares the ranks of two locations.
func (a Answer) worse(first, second string) (string, bool) {
	rank := func(name string) int {
		for _, l := range a.Report.Locations {
			var risk struct{ Rank int }
			if l.Location == name && json.Unmarshal(l.Risk, &risk) == nil {
				return risk.Rank
			}
		}
		return 0
	}
	x, y := rank(first), rank(second)
	if x == 0 || y == 0 {
		return "the locations bear no rank", false
	}
	return fmt.Sprintf("%s is ranked %d, %s %d", first, x, second, y), x < y
}

// change compares the spreading force of the runs of one curve.
func (a Answer) change(of string, most float64) (string, bool) {
	least, greatest, ok := math.Inf(1), 0.0, true
	var said []string
	for _, r := range a.runs {
		if r.Of == of {
			least, greatest = math.Min(least, r.SpreadingKN), math.Max(greatest, r.SpreadingKN)
			said = append(said, fmt.Sprintf("%.1f kN at %s", r.SpreadingKN, r.At))
			ok = ok && r.Converged
		}
	}
	if len(said) < 2 {
		return "there are no two runs to compare", false
	}
	percent := (greatest/least - 1) * 100
	return fmt.Sprintf("spreads with %s in %s: %.1f percent more", strings.Join(said, ", "), of, percent), ok &&
		percent <= most
}

// Met reports that the program says all that it is expected to, but for what is not built.
func (r Result) Met() bool {
	return !slices.ContainsFunc(r.Lines, func(l Line) bool { return !l.OK && l.Awaits == "" })
}

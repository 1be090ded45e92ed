package export

import (
	"encoding/csv"
	"io"
	"strconv"
)

// Curve is the answer of the curve command. An absent key means unknown.
type Curve struct {
	Schema          int          `json:"schema"`
	Program         string       `json:"program"`
	Lead            CurveAxle    `json:"lead"`
	Middle          *CurveAxle   `json:"middle,omitempty"`
	Trail           CurveAxle    `json:"trail"`
	TruckSide       CurveSides   `json:"truck_side_lv"`
	Nadal           *float64     `json:"nadal_limit,omitempty"`
	ClimbMargin     *float64     `json:"climb_margin,omitempty"`
	ClimbWheel      string       `json:"climb_wheel,omitempty"`
	Thresholds      []Threshold  `json:"wheel_thresholds,omitempty"`
	ClimbDistanceFt *float64     `json:"climb_distance_ft,omitempty"`
	GuardKN         *float64     `json:"guard_kN,omitempty"`
	RolloverLimit   *float64     `json:"rollover_limit,omitempty"`
	RolloverMargin  *float64     `json:"rollover_margin,omitempty"`
	RolloverHeld    *float64     `json:"rollover_margin_fastened,omitempty"`
	RolloverRail    string       `json:"rollover_rail,omitempty"`
	States          []CurveState `json:"states"`
	Unloading       *Unloading   `json:"unloading,omitempty"`
	SpreadingKN     float64      `json:"spreading_kN"`
	LoadedGaugeMM   *float64     `json:"loaded_gauge_mm,omitempty"`
	BearingMM       *float64     `json:"bearing_margin_mm,omitempty"`
	WearN           float64      `json:"wear_number_N"`
	WarpMrad        *float64     `json:"warp_mrad,omitempty"`
	Unbalance       float64      `json:"unbalance_in"`
	SpeedMPH        float64      `json:"speed_mph"`
	Residual        float64      `json:"residual"`
	Iterations      int          `json:"iterations"`
	Converged       bool         `json:"converged"`
	Reason          string       `json:"reason,omitempty"`
	Degree          float64      `json:"degree"`
	RadiusFt        *float64     `json:"radius_ft,omitempty"`
	Inputs          []ShapeInput `json:"inputs"`
	Warnings        []string     `json:"warnings"`
	Cautions        []string     `json:"cautions"`
}

// Threshold is a fixed L/V of one wheel that people hold beside Nadal's limit, and what is left to it of the wheel
// nearest to climbing.
type Threshold struct {
	Name   string  `json:"name"`
	Limit  float64 `json:"limit"`
	LV     float64 `json:"lv"`
	Margin float64 `json:"margin"`
}

// CurveState is a way in which the truck can run steadily.
type CurveState struct {
	From           string   `json:"from"`
	Shift          float64  `json:"shift_mm"`
	Attack         float64  `json:"angle_of_attack_mrad"`
	ClimbMargin    *float64 `json:"climb_margin,omitempty"`
	RolloverMargin *float64 `json:"rollover_margin,omitempty"`
}

// CurveSides is the L/V of both truck sides.
type CurveSides struct {
	High float64 `json:"high"`
	Low  float64 `json:"low"`
}

// CurveAxle is an axle in the curve.
type CurveAxle struct {
	Attack   float64    `json:"angle_of_attack_mrad"`
	Shift    float64    `json:"shift_mm"`
	High     CurveWheel `json:"high"`
	Low      CurveWheel `json:"low"`
	Sum      float64    `json:"axle_sum"`
	SumLimit *float64   `json:"axle_sum_limit,omitempty"`
}

// CurveWheel is a wheel in the curve.
type CurveWheel struct {
	Position  string  `json:"position"`
	L         float64 `json:"L_kN"`
	V         float64 `json:"V_kN"`
	LV        float64 `json:"lv"`
	Angle     float64 `json:"contact_angle_deg"`
	Y         float64 `json:"contact_y_mm"`
	Contacts  int     `json:"contacts"`
	Flanging  bool    `json:"flanging"`
	FieldSide bool    `json:"field_side"`
	WearN     float64 `json:"wear_number_N"`
}

func digits(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// NamedAxle is an axle with its name.
type NamedAxle struct {
	Name string
	CurveAxle
}

// Axles are those of the truck from the lead axle on.
func (c *Curve) Axles() []NamedAxle {
	out := []NamedAxle{{"lead", c.Lead}}
	if c.Middle != nil {
		out = append(out, NamedAxle{"middle", *c.Middle})
	}
	return append(out, NamedAxle{"trail", c.Trail})
}

// CurveCSV writes one row for each wheel.
func CurveCSV(w io.Writer, c Curve) error {
	rows := [][]string{{"axle", "rail", "position", "angle_of_attack_mrad", "shift_mm", "L_kN", "V_kN", "lv",
		"contact_angle_deg", "contact_y_mm", "wear_number_N"}}
	for _, a := range c.Axles() {
		for _, s := range []struct {
			rail string
			w    CurveWheel
		}{{"high", a.High}, {"low", a.Low}} {
			rows = append(rows, []string{a.Name, s.rail, s.w.Position, digits(a.Attack), digits(a.Shift), digits(s.w.L),
				digits(s.w.V), digits(s.w.LV), digits(s.w.Angle), digits(s.w.Y), digits(s.w.WearN)})
		}
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, c.Cautions))
}

// Sweep is a range of answers.
type Sweep struct {
	Schema   int          `json:"schema"`
	Program  string       `json:"program"`
	Over     string       `json:"over"`
	Unit     string       `json:"unit"`
	Rows     []SweepRow   `json:"rows"`
	Inputs   []ShapeInput `json:"inputs"`
	Warnings []string     `json:"warnings"`
	Cautions []string     `json:"cautions"`
}

// SweepRow is the truck at one value of what is swept.
type SweepRow struct {
	Curve          string   `json:"curve,omitempty"`
	Value          float64  `json:"value"`
	Attack         *float64 `json:"angle_of_attack_mrad,omitempty"`
	HighLV         *float64 `json:"lead_high_lv,omitempty"`
	LowLV          *float64 `json:"lead_low_lv,omitempty"`
	ClimbMargin    *float64 `json:"climb_margin,omitempty"`
	RolloverMargin *float64 `json:"rollover_margin,omitempty"`
	SpreadingKN    *float64 `json:"spreading_kN,omitempty"`
	BearingMM      *float64 `json:"bearing_margin_mm,omitempty"`
	Why            string   `json:"why,omitempty"`
}

// SweepCSV writes a sweep as CSV.
func SweepCSV(w io.Writer, s Sweep) error {
	rows := [][]string{{"curve", s.Over, "angle_of_attack_mrad", "lead_high_lv", "lead_low_lv", "climb_margin",
		"rollover_margin", "spreading_kN", "bearing_margin_mm", "why"}}
	for _, r := range s.Rows {
		row := []string{r.Curve, digits(r.Value)}
		for _, v := range []*float64{r.Attack, r.HighLV, r.LowLV, r.ClimbMargin, r.RolloverMargin, r.SpreadingKN,
			r.BearingMM} {
			cell := ""
			if v != nil {
				cell = digits(*v)
			}
			row = append(row, cell)
		}
		rows = append(rows, append(row, r.Why))
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, s.Cautions))
}

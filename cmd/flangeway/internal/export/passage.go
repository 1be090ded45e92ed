package export

import (
	"encoding/csv"
	"io"
	"strconv"
)

// PassageJudged is check's computed verdict of the wheel at the place.
type PassageJudged struct {
	Check    string   `json:"check"`
	Verdict  string   `json:"verdict"`
	Close    bool     `json:"close,omitempty"`
	Margin   *float64 `json:"margin,omitempty"`
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Unit     string   `json:"unit,omitempty"`
	Why      string   `json:"why"`
	SettleBy []string `json:"settle_by,omitempty"`
	Doubt    string   `json:"read_again_first,omitempty"` // readings under a warning
	Text     string   `json:"-"`                          // the margin in words
	Settle   string   `json:"-"`
	OnPoint  bool     `json:"-"` // of the flange on the point
}

// PassageBearing is a flange whose tip carries the wheel over a flange-bearing frog.
type PassageBearing struct {
	From     float64  `json:"from_x_mm"`
	To       float64  `json:"to_x_mm"`
	Lift     float64  `json:"lift_mm"`
	Whole    bool     `json:"over_every_gap"`
	Slower   float64  `json:"turns_slower_percent"`
	Pressure *float64 `json:"pressure_N_mm2,omitempty"` // of the static load on a flat floor
	Reach    float64  `json:"floor_deeper_until_out_of_reach_mm"`
}

// PassageCut is a flangeway of the other track that cuts a rail of a diamond.
type PassageCut struct {
	From float64 `json:"from_x_mm"`
	To   float64 `json:"to_x_mm"`
}

// Passage is the answer of the passage command. Stations x run toward the heel: from the theoretical point of a frog,
// from the tip of a switch point; over a diamond from the first cut on. Heights are positive up, over the tread plane
// of the frog or the top of the stock rail.
type Passage struct {
	Schema   int    `json:"schema"`
	Program  string `json:"program"`
	Over     string `json:"over"` // frog, switch or diamond
	Stations []any  `json:"stations"`

	TransferX *float64 `json:"transfer_x_mm,omitempty"`
	Lift      float64  `json:"lift_mm"`
	LiftX     *float64 `json:"lift_x_mm,omitempty"`
	Drop      float64  `json:"drop_mm"`
	DropX     *float64 `json:"drop_x_mm,omitempty"`
	DipAngle  float64  `json:"dip_angle_mrad"`
	DipX      *float64 `json:"dip_x_mm,omitempty"`
	P2        float64  `json:"p2_kN"`
	Static    float64  `json:"static_kN"`
	Most      float64  `json:"most_kN"` // P2 or the static load with a strike, the greater
	Bound     float64  `json:"bound_kN"`
	BoundMPH  *float64 `json:"bound_speed_mph,omitempty"`
	BoundFrom string   `json:"bound_from,omitempty"` // how the bound is known; "" if it was given
	Strike    *bool    `json:"strike,omitempty"`     // of a frog: the floor or the blunt point

	TipClearance  *float64 `json:"least_tip_clearance_mm,omitempty"` // held as shown
	TipClearanceX *float64 `json:"least_tip_clearance_x_mm,omitempty"`
	TipAnywhere   *float64 `json:"least_tip_clearance_anywhere_mm,omitempty"` // over all positions
	PlainFloor    *float64 `json:"plain_floor_margin_mm,omitempty"`           // depth less flange height
	PointRoom     *float64 `json:"point_room_mm,omitempty"`
	Held          string   `json:"held,omitempty"`

	Dips      []PassageDip    `json:"dips"`
	Strikes   []PassageStrike `json:"strikes"`
	Positions []PassagePlace  `json:"positions,omitempty"`

	Bearing *PassageBearing `json:"bearing,omitempty"` // of a flange-bearing frog or diamond
	Rail    string          `json:"rail,omitempty"`    // of a diamond: flange-first or field-first
	Cuts    []PassageCut    `json:"cuts,omitempty"`    // of a diamond, at the gauge line

	YawMrad      *float64 `json:"yaw_mrad,omitempty"`
	PointMrad    *float64 `json:"point_angle_mrad,omitempty"`
	AttackMrad   *float64 `json:"angle_of_attack_mrad,omitempty"` // the point's angle and the yaw
	Friction     *float64 `json:"friction,omitempty"`
	HeldAngle    *float64 `json:"held_contact_angle_deg,omitempty"` // below it friction alone climbs
	TipRoom      *float64 `json:"tip_room_mm,omitempty"`
	FirstX       *float64 `json:"first_met_x_mm,omitempty"`
	LeastAngle   *float64 `json:"least_contact_angle_deg,omitempty"`
	LeastAngleX  *float64 `json:"least_contact_angle_x_mm,omitempty"`
	Chipped      bool     `json:"-"`                        // a chip was read
	StepX        *float64 `json:"chip_step_x_mm,omitempty"` // the end of the point behind a chip
	StepAngle    *float64 `json:"chip_step_angle_deg,omitempty"`
	RideUpX      *float64 `json:"ride_up_x_mm,omitempty"`
	BehindX      *float64 `json:"pass_behind_x_mm,omitempty"`
	FalseFlange  *float64 `json:"false_flange_clearance_mm,omitempty"`
	FalseFlangeX *float64 `json:"false_flange_x_mm,omitempty"`

	// ShapeAngle is the least angle of the shape with its vertical flange, if check's, which is LeastAngle, is another.
	ShapeAngle *float64 `json:"least_contact_angle_of_shape_deg,omitempty"`
	// Judged is the verdict of check on the pair over all that was read and not read.
	Judged []PassageJudged `json:"judged,omitempty"`

	Inputs   []ShapeInput `json:"inputs"`
	Assumed  []Default    `json:"defaults_used"`
	Warnings []string     `json:"warnings"`
	Cautions []string     `json:"cautions"`
}

// PassageStation is a wheel at one place of a frog.
type PassageStation struct {
	X            float64  `json:"x_mm"`
	Z            float64  `json:"z_mm"`
	RestsOn      string   `json:"rests_on"`
	TipClearance *float64 `json:"tip_clearance_mm,omitempty"` // absent if there is no floor
}

// SwitchStation is a wheel at one place of a switch.
type SwitchStation struct {
	X       float64  `json:"x_mm"`
	Z       float64  `json:"z_mm"`
	RestsOn string   `json:"rests_on"`
	Down    *float64 `json:"point_down_mm,omitempty"`
	Exposed *float64 `json:"point_exposed_mm,omitempty"`
	Angle   *float64 `json:"contact_angle_deg,omitempty"` // absent if the flange does not meet the point
	Over    bool     `json:"flange_over_point,omitempty"`
}

// PassageDip is a place where the path turns upward at once.
type PassageDip struct {
	X     float64 `json:"x_mm"`
	From  string  `json:"from"`
	To    string  `json:"to"`
	Angle float64 `json:"angle_mrad"`
}

// PassageStrike is a floor that carries the flange, or the blunt point met end-on.
type PassageStrike struct {
	What   string  `json:"what"`
	How    string  `json:"how"`
	From   float64 `json:"from_x_mm"`
	To     float64 `json:"to_x_mm"`
	Angle  float64 `json:"angle_mrad"`
	Rise   float64 `json:"rise_mm"`
	Met    float64 `json:"met_mm"` // overlap at the edge that is met, else the whole rise
	Added  float64 `json:"added_kN"`
	Capped bool    `json:"capped"`

	OffAngle *float64 `json:"off_angle_mrad,omitempty"` // where the wheel comes back to its tread
	OffAdded *float64 `json:"off_added_kN,omitempty"`
}

// PassagePlace is the passage at one position across.
type PassagePlace struct {
	Why          string   `json:"held"`
	Tape         float64  `json:"tape_line_mm"` // from the gauge line, to the field
	Shown        bool     `json:"shown"`
	TransferX    *float64 `json:"transfer_x_mm,omitempty"`
	Lift         float64  `json:"lift_mm"`
	Drop         float64  `json:"drop_mm"`
	DipAngle     float64  `json:"dip_angle_mrad"`
	TipClearance *float64 `json:"least_tip_clearance_mm,omitempty"`
	PointRoom    *float64 `json:"point_room_mm,omitempty"`
	Strike       bool     `json:"strike"`
}

// PassageCSV writes the stations as CSV.
func PassageCSV(w io.Writer, p Passage) error {
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	opt := func(v *float64) string {
		if v == nil {
			return ""
		}
		return num(*v)
	}
	rows := [][]string{{"x_mm", "z_mm", "rests_on", "tip_clearance_mm"}}
	if p.Over == "switch" {
		rows[0] = []string{"x_mm", "z_mm", "rests_on", "point_down_mm", "point_exposed_mm", "contact_angle_deg"}
	}
	for _, s := range p.Stations {
		switch s := s.(type) {
		case PassageStation:
			rows = append(rows, []string{num(s.X), num(s.Z), s.RestsOn, opt(s.TipClearance)})
		case SwitchStation:
			rows = append(rows, []string{num(s.X), num(s.Z), s.RestsOn, opt(s.Down), opt(s.Exposed), opt(s.Angle)})
		}
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, p.Cautions))
}

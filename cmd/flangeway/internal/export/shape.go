package export

import (
	"encoding/csv"
	"io"
	"strconv"
)

// Shape is the answer of the shape command.
type Shape struct {
	Schema       int             `json:"schema"`
	Program      string          `json:"program"`
	RRD          []ShapeRow      `json:"rrd"`
	Conicity     []ShapeConicity `json:"conicity"`
	PlayMM       *float64        `json:"play_mm,omitempty"`
	Hertz        []ShapeHertz    `json:"hertz"`
	Jumps        []ShapeJump     `json:"jumps"`
	Second       []ShapeSecond   `json:"second_contacts"`
	WavelengthM  *float64        `json:"wavelength_m,omitempty"`
	CentreMM     *float64        `json:"centre_mm,omitempty"`
	Degree       float64         `json:"degree"`
	NeededMM     *float64        `json:"rrd_needed_mm,omitempty"`
	Steering     *float64        `json:"reached_over_needed,omitempty"`
	SteeringText string          `json:"reached_over_needed_is,omitempty"`
	Wheels       []ShapeWheel    `json:"wheels"`
	Range        *ShapeRange     `json:"over_the_readings,omitempty"`
	Turning      []ShapeTurning  `json:"turning,omitempty"`
	Inputs       []ShapeInput    `json:"inputs"`
	Warnings     []string        `json:"warnings"`
	Cautions     []string        `json:"cautions"`
}

// ShapeRow is the axle at one shift.
type ShapeRow struct {
	Shift     float64 `json:"shift_mm"`
	RRD       float64 `json:"rrd_mm"`
	NearY     float64 `json:"near_y_mm"`
	FarY      float64 `json:"far_y_mm"`
	NearAngle float64 `json:"near_angle_deg"`
	FarAngle  float64 `json:"far_angle_deg"`
}

// ShapeConicity is the equivalent conicity at one amplitude; what does not exist is absent.
type ShapeConicity struct {
	Amplitude   float64  `json:"amplitude_mm"`
	Harmonic    *float64 `json:"harmonic,omitempty"`
	Integration *float64 `json:"integration,omitempty"`
	Regression  *float64 `json:"regression,omitempty"`
}

// ShapeHertz is the contact of one side under load; what does not exist is absent.
type ShapeHertz struct {
	Side     string   `json:"side"`
	A        *float64 `json:"a_mm,omitempty"`
	B        *float64 `json:"b_mm,omitempty"`
	P0       *float64 `json:"p0_MPa,omitempty"`
	Approach *float64 `json:"approach_mm,omitempty"`
}

// ShapeJump is a shift at which the contact moves at once.
type ShapeJump struct {
	Shift float64 `json:"shift_mm"`
	Side  string  `json:"side"`
	From  float64 `json:"from_y_mm"`
	To    float64 `json:"to_y_mm"`
}

// ShapeSecond is a second place that nearly touches at a shift.
type ShapeSecond struct {
	Shift float64 `json:"shift_mm"`
	Side  string  `json:"side"`
	Y     float64 `json:"y_mm"`
	Gap   float64 `json:"gap_mm"`
	Angle float64 `json:"angle_deg"`
}

// ShapeWheel holds the hand gauges' readings of a wheel's shape, mm and degrees.
type ShapeWheel struct {
	Side      string   `json:"side"`
	Name      string   `json:"name"`
	Height    *float64 `json:"flange_height_mm,omitempty"`
	Thickness *float64 `json:"flange_thickness_mm,omitempty"`
	Vertical  *float64 `json:"vertical_flange_mm,omitempty"`
	Hollow    *float64 `json:"tread_hollow_mm,omitempty"`
	Angle     *float64 `json:"flange_angle_deg,omitempty"`
	Length    *float64 `json:"flange_face_mm,omitempty"`
	Rim       *float64 `json:"rim_thickness_mm,omitempty"` // only if a trace reaches it
}

// ShapeSpan is the least and the greatest of a value.
type ShapeSpan struct {
	Least    float64 `json:"least"`
	Greatest float64 `json:"greatest"`
}

// ShapeRange is the range of the figures with the shapes at the ends of the readings' intervals.
type ShapeRange struct {
	Shapes   int        `json:"shapes"`
	Rooms    bool       `json:"gauge_and_back_to_back,omitempty"` // at their ends too
	Play     *ShapeSpan `json:"play_mm,omitempty"`
	Flange   *ShapeSpan `json:"rrd_at_flange_mm,omitempty"`
	Harmonic *ShapeSpan `json:"conicity_harmonic,omitempty"`
	Steering *ShapeSpan `json:"reached_over_needed,omitempty"`
}

// ShapeTurning is the lathe's work on a wheel: the cut that is enough whatever the readings' intervals, and the
// one that is enough at their best end.
type ShapeTurning struct {
	Side      string   `json:"side"`
	Design    string   `json:"design"`
	Cut       float64  `json:"cut_mm"`
	CutLeast  float64  `json:"cut_least_mm"`
	Need      float64  `json:"before_rounding_mm"`
	Thickness float64  `json:"flange_thickness_mm"`
	RimLeft   *float64 `json:"rim_left_mm,omitempty"`
	RimLimit  *float64 `json:"rim_limit_mm,omitempty"`
	Holds     *bool    `json:"rim_holds,omitempty"`
	More      *int     `json:"more_turnings,omitempty"`
	// what the book asks for if the rim does not hold; why it is not known whether it does
	Action string `json:"action,omitempty"`
}

// ShapeInput is one value that entered, with where it came from.
type ShapeInput struct {
	Name  string `json:"name"`
	Value string `json:"value"`
	From  string `json:"from"`
}

// ShapeCSV writes the rows of the rolling radius difference as CSV.
func ShapeCSV(w io.Writer, s Shape) error {
	out := csv.NewWriter(w)
	rows := [][]string{{"shift_mm", "rrd_mm", "near_y_mm", "far_y_mm", "near_angle_deg", "far_angle_deg"}}
	for _, r := range s.RRD {
		var row []string
		for _, v := range []float64{r.Shift, r.RRD, r.NearY, r.FarY, r.NearAngle, r.FarAngle} {
			row = append(row, strconv.FormatFloat(v, 'f', -1, 64))
		}
		rows = append(rows, row)
	}
	return out.WriteAll(cautioned(rows, s.Cautions))
}

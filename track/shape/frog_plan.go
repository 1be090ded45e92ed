package shape

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/track"
)

// ErrFrog is wrapped by every error of a frog that cannot be modelled.
var ErrFrog = errors.New("no such frog section")

// FrogPlan has the dimensions of a frog's sections, mm. Levels are taken from the tread plane of the unworn frog, which
// is the top of the rails at its ends.
type FrogPlan struct {
	Number         float64
	Type           string  // of ModelledFrogs; "" is taken as rbm
	Closed         bool    // of a spring frog: run on the route whose wing the spring holds closed
	FlangewayWidth float64 // at right angles between gauge line and wing
	FlangewayDepth float64 // as read now, from the worn tread plane
	TreadWear      float64 // of wings and point alike, below the original contour

	PointSpread      float64 // spread at which the point is blunt
	PointDrop        float64 // of the new point there
	PointLevelSpread float64 // spread at which the new point is level
	PointWornDown    float64 // loss of height at the blunt point, from the present wing plane less PointDrop
	PointWornBack    float64 // length over which that runs out
	PointCorner      float64

	WingCorner, WingWidth float64
	WingSlope             float64 // rise toward the field per width, of wings and point
	WingRiser             float64 // risers over the tread plane
	WingCrown             float64 // crown radius of bolted frogs; 0: flat

	FloorBefore    float64 // the floor begins this far ahead of the throat
	FloorEndSpread float64 // and ends at this spread
	FloorRamp      float64 // length per height of the ramps at its ends, 1:n; 0: blunt

	WearRunOut     float64
	GuardFaceOfRim float64 // of self-guarded frogs: gauge line to the raised guard
	HeelHeadWidth  float64
	HeelSpread     float64
	ToeBefore      float64
}

// The types whose sections differ in more than figures.
const (
	SpringFrog  = "spring"
	BearingFrog = "flange-bearing"
)

// ModelledFrogs are the frog types that have sections. Heavy-point ones keep the plain arithmetic.
func ModelledFrogs() []string {
	return []string{"rbm", "solid", "self-guarded", "bolted", SpringFrog, BearingFrog}
}

// FrogModelled reports whether the type has sections; "" (none of the special ones) is taken as rbm.
func FrogModelled(typ string) bool { return typ == "" || slices.Contains(ModelledFrogs(), typ) }

// FrogPlanConstants are the names of the built-in figures that enter a plan of the type besides number, type and
// readings.
func FrogPlanConstants(typ string) []string {
	names := []string{"point_spread", "frog_point_drop", "point_level_spread", "point_corner"}
	if typ == "bolted" {
		names = append(names, "bolted_corner", "bolted_crown")
	} else {
		names = append(names, "wing_corner")
	}
	names = append(names, "wing_width", "wing_slope", "wing_riser", "floor_before_throat", "floor_end_spread",
		"wear_run_out", "heel_head_width", "heel_spread", "toe_before_throat")
	switch typ {
	case "self-guarded":
		names = append(names, "guard_face_of_rim")
	case BearingFrog:
		names = append(names, "bearing_depth", "bearing_ramp")
	}
	return names
}

// NewFrogPlan is the unworn frog of a number and type with the built-in figures.
func NewFrogPlan(p *configs.Passage, typ string, number float64) FrogPlan {
	f := FrogPlan{Number: number,
		Type: typ, FlangewayWidth: p.Value("frog_flangeway_width"), FlangewayDepth: p.Value("frog_flangeway_depth"),
		PointSpread: p.Value("point_spread"), PointDrop: p.Value("frog_point_drop"),
		PointLevelSpread: p.Value("point_level_spread"), PointWornBack: p.Value("point_worn_back"),
		PointCorner: p.Value("point_corner"), WingCorner: p.Value("wing_corner"), WingWidth: p.Value("wing_width"),
		WingSlope: p.Value("wing_slope"), WingRiser: p.Value("wing_riser"), FloorBefore: p.Value("floor_before_throat"),
		FloorEndSpread: p.Value("floor_end_spread"), WearRunOut: p.Value("wear_run_out"),
		HeelHeadWidth: p.Value("heel_head_width"), HeelSpread: p.Value("heel_spread"),
		ToeBefore: p.Value("toe_before_throat")}
	switch typ {
	case "bolted":
		f.WingCorner, f.WingCrown = p.Value("bolted_corner"), p.Value("bolted_crown")
	case "self-guarded":
		f.GuardFaceOfRim = p.Value("guard_face_of_rim")
	case SpringFrog:
		f.Closed = true
	case BearingFrog:
		f.FlangewayDepth, f.FloorRamp = p.Value("bearing_depth"), p.Value("bearing_ramp")
	}
	return f
}

// FrogModel gives the cross-section of a frog at any station. Stations x are mm along the frog's axis from the
// theoretical point, positive to the heel.
type FrogModel struct {
	Plan           FrogPlan
	Toe, Heel      float64 // first and last station
	Throat         float64 // where the wings are nearest to each other, < 0
	Tip            float64 // the blunt point
	Level          float64 // where the new point is level
	FloorFrom      float64 // first and last station of the floor, ramps included
	FloorTo        float64
	gap            float64 // wing to point gauge line along the section, mm
	wearIn, wearTo float64 // between these the tread wear is full
}

// NewFrogModel checks a plan. It errs for types that are not modelled and for dimensions outside what a frog can have.
func NewFrogModel(p FrogPlan) (*FrogModel, error) {
	if !FrogModelled(p.Type) {
		return nil, fmt.Errorf("%w: type %q keeps the plain arithmetic (with sections: %s)", ErrFrog, p.Type,
			strings.Join(ModelledFrogs(), ", "))
	}
	if p.Closed && p.Type != SpringFrog {
		return nil, fmt.Errorf("%w: a wing of type %q that a spring holds closed", ErrFrog, p.Type)
	}
	angle, err := track.FrogAngleDeg(p.Number)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFrog, err)
	}
	for _, d := range []struct {
		what      string
		v, lo, hi float64
	}{
		{"flangeway width", p.FlangewayWidth, 10, 130}, {"flangeway depth", p.FlangewayDepth, 0, 110},
		{"tread wear", p.TreadWear, 0, 51},
		{"point spread", p.PointSpread, 1, 40}, {"point drop", p.PointDrop, 0, 30},
		{"spread of the level point", p.PointLevelSpread, p.PointSpread, 200},
		{"point worn down", p.PointWornDown, 0, 153}, {"point worn back", p.PointWornBack, 0, 1220},
		{"point corner", p.PointCorner, 0, 30},
		{"wing corner", p.WingCorner, 0, 30}, {"wing width", p.WingWidth, 2*p.WingCorner + 1, 200},
		{"wing slope", p.WingSlope, -0.2, 0.2},
		{"wing riser", p.WingRiser, -20, 30}, {"floor ahead of the throat", p.FloorBefore, 0, 2000},
		{"spread at the floor's end", p.FloorEndSpread, p.PointSpread, 250}, {"floor ramp 1:n", p.FloorRamp, 0, 1000},
		{"wear run-out", p.WearRunOut, 1, 3000},
		{"heel head width", p.HeelHeadWidth, 20, 100}, {"spread at the heel", p.HeelSpread, p.PointLevelSpread, 400},
		{"toe ahead of the throat", p.ToeBefore, 50, 5000},
	} {
		if !(d.v >= d.lo && d.v <= d.hi) {
			return nil, fmt.Errorf("%w: %s %.2f mm (%.2f to %.2f)", ErrFrog, d.what, d.v, d.lo, d.hi)
		}
	}
	if p.WingCrown != 0 && !(p.WingCrown >= 3*p.WingWidth && p.WingCrown < 1e5) {
		return nil, fmt.Errorf("%w: crown radius %.1f mm", ErrFrog, p.WingCrown)
	}
	if p.Type == "self-guarded" && !(p.GuardFaceOfRim > 50 && p.GuardFaceOfRim < 200) {
		return nil, fmt.Errorf("%w: raised guard %.1f mm from the gauge line", ErrFrog, p.GuardFaceOfRim)
	}
	if p.PointWornBack == 0 {
		p.PointWornDown = 0
	}
	m := &FrogModel{Plan: p}
	m.gap = p.FlangewayWidth / math.Cos(angle/2*math.Pi/180)
	m.Throat = -m.gap * p.Number
	m.Tip = p.PointSpread * p.Number
	m.Level = p.PointLevelSpread * p.Number
	m.Toe = m.Throat - p.ToeBefore
	m.Heel = p.HeelSpread * p.Number
	m.FloorFrom = math.Max(m.Throat-p.FloorBefore, m.Toe)
	m.FloorTo = p.FloorEndSpread * p.Number
	if p.Type == BearingFrog { // the floor is as long at its height, and its ramps come to it
		ramp := p.FloorRamp * RampFall
		m.FloorFrom, m.FloorTo = m.Throat-p.FloorBefore-ramp, m.FloorTo+ramp
		m.Toe, m.Heel = math.Min(m.Toe, m.FloorFrom-p.FloorBefore), math.Max(m.Heel, m.FloorTo+p.FloorBefore)
	}
	m.wearIn, m.wearTo = m.Throat, m.FloorTo
	if p.Type == "solid" || p.Type == "self-guarded" { // the casting reaches toe and heel
		m.wearIn, m.wearTo = m.Toe+p.WearRunOut, m.Heel-p.WearRunOut
	}
	return m, nil
}

// WingOverlap is how much of the tread lies on the wing where the point is w wide, with the flange tight to the point:
// rim width W less flange thickness t less (fw + w), all in one unit of length.
func WingOverlap(rim, thickness, flangeway, w float64) float64 {
	return rim - thickness - (flangeway + w)
}

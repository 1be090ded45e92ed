package shape

import (
	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
)

// FrogPlanOf is the plan of a frog as it was read: value gives the figure (mm) that stands for a measured reading, as
// written or an end of its interval. What was not read is as in [NewFrogPlan]; missing names what a passage cannot do
// without: the number, the depth, the width.
func FrogPlanOf(f *track.Feature, p *configs.Passage,
	value func(track.Quantity, measure.Reading) float64) (plan FrogPlan, missing []string) {
	plan = NewFrogPlan(p, f.Type, f.Number)
	if f.Number == 0 {
		missing = append(missing, "number")
	}
	for _, g := range []struct {
		q    track.Quantity
		to   *float64
		need bool
	}{{track.FlangewayDepth, &plan.FlangewayDepth, true}, {track.FlangewayWidth, &plan.FlangewayWidth, true},
		{track.TreadWear, &plan.TreadWear, false},
		{track.PointWornDown, &plan.PointWornDown, false}, {track.PointWornBack, &plan.PointWornBack, false}} {
		switch r := f.Read(g.q); {
		case r.Measured():
			*g.to = value(g.q, r)
		case g.need:
			missing = append(missing, g.q.String())
		}
	}
	return plan, missing
}

// DetailOf is the switch point detail that a switch is taken for: undercut if a recess was read, else plain.
func DetailOf(f *track.Feature) string {
	if r := f.Read(track.Undercut); r.Measured() && r.Lo > 0 {
		return "undercut"
	}
	return "plain"
}

// SwitchPlanOf is the plan of a switch as it was read, the detail by [DetailOf]; value as for [FrogPlanOf], face_angle
// in degrees. What was not read is the detail's.
func SwitchPlanOf(f *track.Feature, p *configs.Passage,
	value func(track.Quantity, measure.Reading) float64) (SwitchPlan, error) {
	plan, err := NewSwitchPlan(p, DetailOf(f))
	if err != nil {
		return plan, err
	}
	for q, to := range map[track.Quantity]*float64{track.PointGap: &plan.Gap, track.PointThickness: &plan.TipThickness,
		track.PointDrop: &plan.Drop, track.ChipDepth: &plan.ChipDepth,
		track.ChipLength: &plan.ChipLength, track.FaceAngle: &plan.FaceAngle, track.StockRailWear: &plan.StockWear,
		track.Undercut: &plan.Undercut, track.HeelRise: &plan.HeelRise} {
		if r := f.Read(q); r.Measured() {
			*to = value(q, r)
		}
	}
	return plan, nil
}

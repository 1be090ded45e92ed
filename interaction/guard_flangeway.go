package interaction

import (
	"fmt"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func guardFlangeway() *Check {
	return &Check{
		ID: "guard-flangeway", Meets: "a flange in the guard rail's flangeway",
		Happens:  "flange is too thick for the guard rail's flangeway",
		Severity: Marginal, // the flange wedges at the guard rail
		Drawing:  FlangeAtGuard,
		Works:    GuardRail,
		Formula:  "guard_flangeway - flange_thickness", Hurts: []string{"guard rail"},
		Believe: "Plain geometry; the flange needs more than this where the axle yaws.",
		Sources: []string{"49 CFR 213.133(c): flangeway width 1-1/2 in (read in an older text; 299.331(c) has the " +
			"same figure)", "guard arithmetic wg - t"},
		Reminders: []string{"213.133(a)"},
		Kinds:     []track.Kind{track.Frog}, NotTypes: []string{"self-guarded"},
		wheel: func(s *wheelSum) { s.add(-1, wheel.FlangeThickness) },
		place: func(s *PlaceSum) { s.add(1, track.GuardFlangeway) },
		FixTrack: func(x Fix) []string {
			return []string{fmt.Sprintf("move the guard rail to a flangeway of %s in or more (guard check moves with "+
				"it: check both)", measure.UpToSixteenth(x.Feature.Read(track.GuardFlangeway).As+x.By))}
		},
		FixWheel: turnThickness, Repairing: turnedSettings(),
	}
}

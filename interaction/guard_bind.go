package interaction

import (
	"fmt"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func guardBind() *Check {
	return &Check{
		ID: "guard-bind", Meets: "a narrow axle over a large guard face",
		Happens:  "wheel backs bind between guard and wing",
		Severity: Critical, // backs that bind lift the wheel or push the guard rail over
		Drawing:  BacksOverGuard,
		Works:    GuardRail | Width,
		Formula:  "back_to_back - guard_face", Hurts: []string{"derailment"},
		Believe: "Plain geometry at the 1/2 in point. Flared ends and worn backs are not in it.",
		Sources: []string{"49 CFR 213.143(a): guard face gage by class",
			"free passage B - GF: guard arithmetic, same as EN 13232-9 annex C"},
		Reminders: []string{"213.133(a)"},
		Kinds:     []track.Kind{track.Frog}, NotTypes: []string{"self-guarded"},
		wheel: func(s *wheelSum) { s.add(1, wheel.BackToBack) },
		place: func(s *PlaceSum) { s.add(-1, track.GuardFace) },
		FixTrack: func(x Fix) []string {
			most := x.Feature.Read(track.GuardFace).As - x.By
			if d := DesignedFeature(x.Rules.data, track.Frog); d != nil && most < d.Read(track.GuardFace).As-near {
				return []string{"none: it would take a guard face of " + measure.DownToSixteenth(most) +
					" in or less, under that of unworn track: the axle is too narrow"}
			}
			return []string{fmt.Sprintf("move the guard rail, or open the wing, to a guard face of %s in or less "+
				"(guard check moves with it: check both)", measure.DownToSixteenth(most))}
		},
		FixWheel: widenAxle,
	}
}

package interaction

import (
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
		wheel:    func(s *wheelSum) { s.add(1, wheel.BackToBack) },
		place:    func(s *PlaceSum) { s.add(-1, track.GuardFace) },
		FixTrack: narrowFace,
		FixWheel: widenAxle,
	}
}

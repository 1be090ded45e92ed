package interaction

import (
	"fmt"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func flangewayWidth() *Check {
	return &Check{
		ID: "flangeway-width", Meets: "a flange in the frog's flangeway",
		Happens:  "flange is too thick for the frog's flangeway",
		Severity: Marginal, // the flange wedges in the frog
		Drawing:  FlangeInFrog,
		Works:    Width,
		Formula:  "flangeway_width - flange_thickness", Hurts: []string{"frog"},
		Believe: "Plain geometry; the flange needs more than this where the axle yaws.",
		Sources: []string{"49 CFR 213.133(c): flangeway width 1-1/2 in (read in an older text; 299.331(c) has the " +
			"same figure)", "guard arithmetic wf - t"},
		Reminders: []string{"213.133(a)", "213.141", "213.143-self-guarded"},
		Kinds:     []track.Kind{track.Frog},
		wheel:     func(s *wheelSum) { s.add(-1, wheel.FlangeThickness) },
		place:     func(s *PlaceSum) { s.add(1, track.FlangewayWidth) },
		FixTrack: func(x Fix) []string {
			return []string{fmt.Sprintf("grind the lip, or clean the flangeway, to a width of %s in or more",
				measure.UpToSixteenth(x.Feature.Read(track.FlangewayWidth).As+x.By))}
		},
		FixWheel: turnThickness, Repairing: turnedSettings(),
	}
}

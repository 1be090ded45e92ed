package interaction

import (
	"strings"
	"testing"

	"flangeway/internal/fixture"
)

// TestChecksAreWhole names what a check does not say of itself.
func TestChecksAreWhole(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	settings := map[string]bool{}
	for _, s := range data.Settings {
		settings[s.Name] = true
	}
	for _, c := range Checks() {
		var lacks []string
		for name, is := range map[string]bool{
			"Meets": c.Meets != "", "Happens": c.Happens != "", "Formula": c.Formula != "",
			"Hurts":   len(c.Hurts) > 0 && Harm(c) >= 0,
			"Believe": c.Believe != "", "Sources": len(c.Sources) > 0, "Kinds": len(c.Kinds) > 0, "Works": c.Works != 0,
			"Severity": c.Severity != 0, "Drawing": c.Drawing != 0,
			"wheel": c.wheel != nil, "place": c.place != nil, "FixWheel": c.FixWheel != nil,
			"FixTrack": c.FixTrack != nil,
			"Computing, of a check that shapes judge": c.Passes == PlainAlone || len(c.Computing) > 0,
			"Passage, of a check that a passing wheel is judged by": c.Passes == PlainAlone || c.Passes == InTruck ||
				c.Passage != "",
			"Sampled, of a check whose parts do not add up": c.Join == nil || c.Sampled || c.Even,
		} {
			if !is {
				lacks = append(lacks, name)
			}
		}
		if len(lacks) > 0 {
			t.Errorf("%s does not say: %s", c.ID, strings.Join(lacks, ", "))
		}
		if c.Works.Any(WheelAlone) && c.Works != WheelAlone {
			t.Errorf("%s is mended at the wheel alone, and on the track too", c.ID)
		}
		for _, name := range append(append([]string{c.Reserve}, c.Settings...), c.Computing...) {
			if !settings[name] {
				t.Errorf("%s names the setting %s, which configs/settings.yaml has not", c.ID, name)
			}
		}
	}
}

package interaction

import (
	"slices"
	"testing"

	"flangeway/track"
	"flangeway/wheel"
)

// TestMarksAreWhole holds the table of marks to the words of the sheets and to the checks.
func TestMarksAreWhole(t *testing.T) {
	t.Parallel()
	written := map[string]bool{}
	for _, w := range wheel.Marks() {
		written["wheel marks "+w] = false
	}
	for k := range track.NumKinds {
		for _, w := range k.Marks() {
			written[k.String()+" marks "+w] = false
		}
	}
	written["switch condition worn"], written["switch condition poor"] = false, false
	for _, m := range Marks() {
		at := []string{"wheel"}
		if !m.OfWheel() {
			at = nil
			for _, k := range m.At {
				at = append(at, k.String())
			}
		}
		for _, a := range at {
			key := a + " " + m.Column + " " + m.Word
			if again, ok := written[key]; !ok || again {
				t.Errorf("%s is no word of a sheet, or stands twice", key)
			}
			written[key] = true
		}
		for _, b := range m.Bears {
			c := CheckByID(b.Check)
			switch {
			case c == nil || c.ComputedOnly:
				t.Errorf("%s bears on %q, which is no check of readings", m.Word, b.Check)
				continue
			case b.Asks == 0 || b.Says == "":
				t.Errorf("%s does not say what it says at %s, or asks for nothing", m.Word, b.Check)
			case !m.OfWheel() && !slices.ContainsFunc(m.At,
				func(k track.Kind) bool { return slices.Contains(c.Kinds, k) }):
				t.Errorf("%s bears on %s, which is not judged where it is seen", m.Word, b.Check)
			}
			own, mate, place := ColumnsOf(b.Asks)
			if len(mate) > 0 || m.OfWheel() && len(place) > 0 || len(own) > 0 && len(place) > 0 {
				t.Errorf("%s asks for %v of %s", m.Word, ReadingNames(b.Asks), b.Check)
			}
			for _, k := range m.At {
				for _, column := range place {
					if q, ok := track.QuantityOf(column); !ok || slices.Contains(c.Kinds, k) &&
						!slices.Contains(track.New(k, "here", "X", nil).Measured(), q) {
						t.Errorf("%s asks for %s, which a %s has not", m.Word, column, k)
					}
				}
			}
		}
	}
	for key, there := range written {
		if !there {
			t.Errorf("nothing is said of %s", key)
		}
	}
	for _, c := range Checks() {
		if len(c.Marks) > 32 {
			t.Errorf("%s has more marks than a set holds", c.ID)
		}
	}
}

package shape_test

import (
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/wheel/shape"
)

// TestBoundsDoNotContradict: a go/no-go reading that holds what the other readings make of
// the wheel contradicts nothing, wherever in it that lies.
func TestBoundsDoNotContradict(t *testing.T) {
	data, shapes := fixture.Data(t), fixture.Shapes(t)
	parse := func(column, cell string) measure.Reading {
		r, err := data.Columns[column].Parse(cell)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	tried := 0
	for _, name := range data.DesignNames() {
		design, err := shape.Named(shapes, name)
		if err != nil {
			t.Fatal(err)
		}
		for _, thickness := range []string{"", "1-1/8", "1", "7/8"} {
			for _, hollow := range []string{"", "none", "2", "4"} {
				r := shape.WornReadings{Thickness: parse("flange_thickness", thickness),
					Hollow: parse("tread_hollow", hollow)}
				alone, err := shape.Rebuild(design, r)
				if err != nil {
					continue // these two contradict each other
				}
				high, errH := alone.Middle.FlangeHeight()
				upright, errV := alone.Middle.VerticalFlange()
				if errH != nil || errV != nil {
					continue
				}
				for _, bound := range []string{"<1-1/4", "<1-3/8", "<1-1/2", ">=1-1/8", ">=1"} {
					r.Height, r.Vertical = parse("flange_height", bound), measure.Reading{}
					if r.Height.Lo <= high && high <= r.Height.Hi {
						tried++
						if _, err := shape.Rebuild(design, r); err != nil {
							t.Errorf("%s, thickness %q, hollow %q is %.2f mm high, and a height of %s is said to "+
								"contradict: %v", name, thickness, hollow, high, bound, err)
						}
					}
				}
				for _, bound := range []string{"<1", "<7/8", ">=1/4"} {
					r.Height, r.Vertical = measure.Reading{}, parse("vertical_flange", bound)
					if r.Vertical.Lo <= upright && upright <= r.Vertical.Hi {
						tried++
						if _, err := shape.Rebuild(design, r); err != nil {
							t.Errorf("%s, thickness %q, hollow %q is upright to %.2f mm, and %s is said to "+
								"contradict: %v", name, thickness, hollow, upright, bound, err)
						}
					}
				}
			}
		}
	}
	if tried < 30 {
		t.Errorf("%d bounds were tried: too few to say anything", tried)
	}
}

// TestStepLeavesWhatWasRead: where the step of a go/no-go reading goes with no other, that
// reading gives way and not those that were written as one value.
func TestStepLeavesWhatWasRead(t *testing.T) {
	data, shapes := fixture.Data(t), fixture.Shapes(t)
	parse := func(column, cell string) measure.Reading {
		r, err := data.Columns[column].Parse(cell)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	design, err := shape.Named(shapes, "narrow flange 1:20")
	if err != nil {
		t.Fatal(err)
	}
	r := shape.WornReadings{Height: parse("flange_height", "1-1/16"), Thickness: parse("flange_thickness", "1-1/8"),
		Vertical: parse("vertical_flange", "<1"), Hollow: parse("tread_hollow", "none")}
	w, err := shape.Rebuild(design, r)
	if err != nil {
		t.Fatal(err)
	}
	for i, x := range []measure.Reading{r.Height, r.Thickness, {}, r.Hollow} {
		if x.Measured() && w.MadeOf()[i] != x.As {
			t.Errorf("reading %d is %.3f mm, made of %.3f: a flange this thick cannot be vertical to 1 in, and <1 "+
				"does not say so", i, x.As, w.MadeOf()[i])
		}
	}
	if v := w.MadeOf()[2]; v != r.Vertical.Lo {
		t.Errorf("vertical to %.2f mm, want the far end of <1", v)
	}
}

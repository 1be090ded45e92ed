package configs

import "testing"

// Every rail section and every reference wheel that a sheet can name must have a
// shape, or a survey could not be carried from readings to contact.
func TestEverySheetNameHasAShape(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	s, err := d.LoadShapes()
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range d.SectionNames() {
		if _, ok := s.Rail(n); !ok {
			t.Errorf("no shape of rail %s", n)
		}
	}
	for _, g := range d.Designs {
		w, ok := s.Wheel(g.Name)
		if !ok {
			t.Errorf("no shape of wheel %s", g.Name)
			continue
		}
		if f := w.Freight; f != nil && (f.FlangeHeight != g.FlangeHeight || f.FlangeThickness != g.FlangeThickness ||
			w.RimWidth != g.RimWidth || w.BackToBack != g.BackToBack) {
			t.Errorf("%s: the shape's dimensions are not those of the design", g.Name)
		}
	}
	if _, ok := s.Rail("60E1"); !ok {
		t.Error("no 60E1")
	}
	if _, ok := s.Wheel("S1002"); !ok {
		t.Error("no S1002")
	}
}

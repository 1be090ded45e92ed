package survey

import (
	"fmt"

	"flangeway/configs"
	"flangeway/internal/measure"
	wheelshape "flangeway/wheel/shape"
)

// Shapes are the built-in shapes of wheels and rails. Freight wheels have the flange face and the tip that the
// railroad's own settings flange_angle and flange_tip_radius say; a setting that the railroad has not set leaves the
// design's. Of what leaves no flange on a design's other dimensions the warnings tell, and the design's own figure
// stands.
func (s *Survey) Shapes() (*configs.Shapes, []measure.Warning, error) {
	shapes, err := s.Data.LoadShapes()
	if err != nil {
		return nil, nil, err
	}
	var warnings []measure.Warning
	for i := range shapes.Wheels {
		w := &shapes.Wheels[i]
		if w.Freight == nil {
			continue
		}
		for _, of := range []struct {
			name string
			set  func(*configs.FreightWheel, float64)
		}{{"flange_angle", withFace}, {"flange_tip_radius", withTip}} {
			x, ok := s.Settings.Setting(of.name)
			if !ok || !x.Given {
				continue
			}
			own, changed := w.Freight, *w.Freight
			of.set(&changed, x.Value)
			w.Freight = &changed
			if err := makes(*w); err != nil {
				w.Freight = own
				warnings = append(warnings, measure.Warning{Place: measure.Place{File: railroadFile},
					Text: fmt.Sprintf("%s %s is not taken for shapes: %v", of.name, x.Text(), err)})
			}
		}
	}
	measure.SortWarnings(warnings)
	return shapes, warnings, nil
}

// withFace gives a flange another angle of its face, degrees; the tip then turns no farther than that.
func withFace(w *configs.FreightWheel, angle float64) {
	w.FlangeAngle, w.TipTo = angle, min(w.TipTo, angle-1)
}

// withTip gives a flange another radius of its tip, mm.
func withTip(w *configs.FreightWheel, radius float64) { w.TipRadius = radius }

// makes says why a wheel has no shape, or none that can be worn.
func makes(w configs.WheelShape) error {
	shape, err := wheelshape.New(w)
	if err == nil {
		_, err = wheelshape.Rebuild(shape, wheelshape.WornReadings{Hollow: measure.Exact(1, "1")})
	}
	return err
}

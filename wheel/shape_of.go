package wheel

import (
	"errors"
	"fmt"

	"flangeway/configs"
)

// ErrNoDesign says that no design of which a shape is known could be this wheel's.
var ErrNoDesign = errors.New("no design is known for this wheel")

// DesignShape is the shape of the wheel's design when new. Where the sheet names none
// it is the thinnest reference design of configs that is as thick as the flange read:
// metal does not grow. assumed says so.
func (w *Wheel) DesignShape(data *configs.Data, shapes *configs.Shapes) (s *Shape, assumed bool, err error) {
	if w.Design != "" {
		s, err = ShapeNamed(shapes, w.Design)
		return s, false, err
	}
	t := w.Read(FlangeThickness)
	best := -1
	for i, d := range data.Designs {
		if !d.Reference || t.Measured() && t.Lo > d.FlangeThickness {
			continue
		}
		if best < 0 || d.FlangeThickness < data.Designs[best].FlangeThickness {
			best = i
		}
	}
	if best < 0 {
		return nil, true, fmt.Errorf("%w: a flange %s thick", ErrNoDesign, t.Written)
	}
	s, err = ShapeNamed(shapes, data.Designs[best].Name)
	return s, true, err
}

// WornReadings are the wheel's readings that tell of its shape.
func (w *Wheel) WornReadings() WornReadings {
	return WornReadings{Height: w.Read(FlangeHeight), Thickness: w.Read(FlangeThickness), Vertical: w.Read(VerticalFlange), Hollow: w.Read(TreadHollow)}
}

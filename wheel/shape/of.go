package shape

import (
	"flangeway/configs"
	"flangeway/wheel"
)

// Of is the shape of the wheel's design when new. If the sheet names none it is the thinnest reference design of
// configs that is as thick as the flange read: metal does not grow. assumed says so.
func Of(w *wheel.Wheel, data *configs.Data, shapes *configs.Shapes) (s *Shape, assumed bool, err error) {
	name, assumed, err := w.DesignName(data)
	if err != nil {
		return nil, assumed, err
	}
	s, err = Named(shapes, name)
	return s, assumed, err
}

// ReadingsOf are the wheel's readings that tell of its shape.
func ReadingsOf(w *wheel.Wheel) WornReadings {
	return WornReadings{Height: w.Read(wheel.FlangeHeight), Thickness: w.Read(wheel.FlangeThickness),
		Vertical: w.Read(wheel.VerticalFlange), Hollow: w.Read(wheel.TreadHollow)}
}

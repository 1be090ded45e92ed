package wheel

import (
	"errors"
	"fmt"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// ErrNoDesign says that no design of which a shape is known could be this wheel's.
var ErrNoDesign = errors.New("no design is known for this wheel")

// DesignName is the name of the wheel's design. Where the sheet names none it is the
// thinnest reference design of configs that is as thick as the flange read, because metal
// does not grow; assumed says so.
func (w *Wheel) DesignName(data *configs.Data) (name string, assumed bool, err error) {
	if w.Design != "" {
		return w.Design, false, nil
	}
	t := w.Read(FlangeThickness)
	best := -1
	for i, d := range data.Designs {
		if !d.Reference || t.Measured() && t.Lo > d.FlangeThickness+measure.Near {
			continue
		}
		if best < 0 || d.FlangeThickness < data.Designs[best].FlangeThickness {
			best = i
		}
	}
	if best < 0 {
		return "", true, fmt.Errorf("%w: a flange %s thick", ErrNoDesign, t.Written)
	}
	return data.Designs[best].Name, true, nil
}

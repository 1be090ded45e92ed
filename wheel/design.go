package wheel

import (
	"errors"
	"fmt"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// ErrNoDesign says that no design of which a shape is known could be this wheel's.
var ErrNoDesign = errors.New("no design is known for this wheel")

// DesignName is the name of the wheel's design. If the sheet names none it is the thinnest reference design of configs
// that is as thick as the flange read, because metal does not grow; assumed says so.
func (w *Wheel) DesignName(data *configs.Data) (name string, assumed bool, err error) {
	if w.Design != "" {
		return w.Design, false, nil
	}
	t := w.Read(FlangeThickness)
	least := 0.0
	if t.Measured() {
		least = t.Lo
	}
	if name, err = DesignOfFlange(data, least); err != nil {
		err = fmt.Errorf("%w: a flange %s thick", err, t.Written)
	}
	return name, true, err
}

// DesignOfFlange is the name of the thinnest reference design of which a flange may be that is so thick (mm).
func DesignOfFlange(data *configs.Data, thickness float64) (string, error) {
	best := -1
	for i, d := range data.Designs {
		if !d.Reference || thickness > d.FlangeThickness+measure.Near {
			continue
		}
		if best < 0 || d.FlangeThickness < data.Designs[best].FlangeThickness {
			best = i
		}
	}
	if best < 0 {
		return "", ErrNoDesign
	}
	return data.Designs[best].Name, nil
}

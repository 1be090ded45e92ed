package shaped

import "flangeway/internal/measure"

// WornTread holds the readings that tell how much tread a wheel has lost at its tape line: the height of its flange
// beside a new one's (mm), and its hollow.
type WornTread struct {
	Height, Hollow measure.Reading
	New            float64
}

// MoreLost is by how much more tread in mm a wheel has lost at the tape line than its mate: by so much its flange
// stands higher over a new one's, or, if a height has no figure, by so much it is hollower. Mates that were mounted
// alike have equal flange tips, so by that much the radius at its tape line is less if no diameter tells.
func MoreLost(w, mate WornTread) float64 {
	if w.tall() && mate.tall() {
		return w.Height.As - w.New - (mate.Height.As - mate.New)
	}
	return figureOf(0, w.Hollow) - figureOf(0, mate.Hollow)
}

// tall reports whether the flange's height has a figure.
func (w WornTread) tall() bool { return w.New > 0 && w.Height.Measured() && pointed(w.Height) }

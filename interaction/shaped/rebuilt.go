package shaped

import (
	"errors"
	"math"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// Steps in mm to which readings are rounded before a wheel's shape is rebuilt, so that wheels which are nearly alike
// are laid on a rail, or taken through a place, once. Vertical flange, height and play count in passages only.
const (
	hollowStep    = 0.5
	thicknessStep = measure.MMPerInch / 8
	verticalStep  = measure.MMPerInch / 8
	heightStep    = measure.MMPerInch / 16
	playStep      = measure.MMPerInch / 4
)

// toStep is a figure rounded to a step; of one halfway between two, however it was written, to the greater by size.
func toStep(v, step float64) float64 {
	n := v / step
	return math.Round(n+math.Copysign(measure.Near, n)) * step
}

// nearest, upward and downward are a figure (mm) rounded to a step.
func nearest(v, step float64) measure.Reading { return measure.Exact(toStep(v, step), "") }

func upward(v, step float64) measure.Reading {
	return measure.Exact(math.Ceil(v/step-measure.Near)*step, "")
}

func downward(v, step float64) measure.Reading {
	return measure.Exact(math.Floor(v/step+measure.Near)*step, "")
}

// wornKey tells rebuilt wheels apart.
type wornKey struct {
	design string
	v      [4]float64 // thickness, hollow, vertical flange, height, mm; -1: free
}

// wornWheel is a rebuilt shape, with the readings that were set aside for it.
type wornWheel struct {
	shape *wheelshape.Shape
	aside []wheel.Quantity
}

// design is the new shape of a name, made once.
func (c *Computer) design(name string) (*wheelshape.Shape, error) {
	return c.fresh.get(name, func() (*wheelshape.Shape, error) { return wheelshape.Named(c.shapes, name) })
}

// designOf is the new shape of a wheel's design, made once; assumed says that the sheet names none.
func (c *Computer) designOf(w *wheel.Wheel) (s *wheelshape.Shape, assumed bool, err error) {
	name, assumed, err := w.DesignName(c.data)
	if errors.Is(err, wheel.ErrNoDesign) { // thicker than any: the thickest, and the reading is set aside
		s, err = c.thickest()
		return s, true, err
	}
	if err == nil {
		s, err = c.design(name)
	}
	return s, assumed, err
}

// thickest is the new shape of the thickest flange that is made.
func (c *Computer) thickest() (*wheelshape.Shape, error) {
	best := c.data.Designs[0]
	for _, d := range c.data.Designs {
		if d.Reference && d.FlangeThickness > best.FlangeThickness {
			best = d
		}
	}
	return c.design(best.Name)
}

// wornShape rebuilds a wheel once for each design and readings.
func (c *Computer) wornShape(design *wheelshape.Shape, r wheelshape.WornReadings) (*wheelshape.Shape, []wheel.Quantity,
	error) {
	key := wornKey{design: design.Name}
	any := false
	for i, x := range []measure.Reading{r.Thickness, r.Hollow, r.Vertical, r.Height} {
		key.v[i] = -1
		if x.Measured() {
			key.v[i], any = x.As, true
		}
	}
	if !any {
		return design, nil, nil
	}
	w, err := c.worn.get(key, func() (wornWheel, error) {
		w, aside, _, err := wheelshape.RebuildFrom(design, r)
		if err != nil {
			return wornWheel{aside: aside}, err
		}
		return wornWheel{w.Middle, aside}, nil
	})
	return w.shape, w.aside, err
}

// flangeThickness is that of a shape in mm, gauged once; 0 if it has no flange.
func (c *Computer) flangeThickness(s *wheelshape.Shape) float64 {
	t, err := c.thickness.get(s, s.FlangeThickness)
	if err != nil {
		return 0
	}
	return t
}

// atEnd are hollow and thickness as one-valued readings: as written to the nearest step, at the ends to the next step
// outward. Flange height and vertical flange are left out: in a curve the face and the throat bear.
func atEnd(r wheelshape.WornReadings, end int) wheelshape.WornReadings {
	at := func(x measure.Reading, step float64, high bool) measure.Reading {
		switch {
		case !x.Measured(), end == written && x.OneSided():
			return measure.Reading{} // no value of its own
		case end == written:
			return nearest(x.As, step)
		case high:
			return upward(x.Hi, step)
		}
		return downward(x.Lo, step)
	}
	return wheelshape.WornReadings{Thickness: at(r.Thickness, thicknessStep, end == newEnd),
		Hollow: at(r.Hollow, hollowStep, end == wornEnd)}
}

// sizedWheel makes a shape ready for passages, once. Its diameter is that of the setting:
// an inch more or less turns no verdict.
func (c *Computer) sizedWheel(s *wheelshape.Shape) (*passage.Wheel, error) {
	return c.sized.get(s, func() (*passage.Wheel, error) {
		return passage.NewWheel(s,
			c.Rules.Value("wheel_diameter"))
	})
}

type railKey struct {
	section           string
	head, face, angle float64
}

// rail is a worn rail, made once.
func (c *Computer) rail(k railKey) (*trackshape.RailHead, error) {
	if k.face == 0 {
		k.angle = 0
	}
	return c.rails.get(k, func() (*trackshape.RailHead, error) {
		r, err := trackshape.RailNamed(c.shapes, k.section)
		if err == nil && (k.head > 0 || k.face > 0) {
			r, err = r.Worn(k.head, k.face, k.angle)
		}
		return r, err
	})
}

// flankKey tells wheels on rails apart. Radii of the wheel are rounded to an inch:
// they enter the size of the contact only, the axle has its own.
type flankKey struct {
	wheel               *wheelshape.Shape
	rail                *trackshape.RailHead
	radius, cant, depth float64 // mm, rad, mm
	load                float64 // N
}

// Steps to which the radii of wheels (mm) and their static loads (N) are rounded for their
// flanks. A truck is solved with its own load: that of the flank says how tread and flange
// share it, and how large the contact is that grows with it.
const (
	radiusStep = measure.MMPerInch
	loadStep   = 20e3
)

// flank lays a wheel on a rail, once.
func (c *Computer) flank(k flankKey) (*curving.Flank, error) {
	k.radius = toStep(k.radius, radiusStep)
	k.load = math.Max(toStep(k.load, loadStep), loadStep)
	return c.flanks.get(k, func() (*curving.Flank, error) {
		return curving.Lay(&c.made, k.wheel, k.rail, k.radius, k.depth, k.cant, k.load, contact.Steel)
	})
}

// table joins an axle of its flanks.
func (c *Computer) table(room *curving.Room, a contact.Axle, load float64) (*curving.Table, error) {
	high, err := c.flank(flankKey{a.Near, a.NearRail, a.NearDiameter / 2, a.Cant, a.GaugeHeight, load})
	if err != nil {
		return nil, err
	}
	low, err := c.flank(flankKey{a.Far, a.FarRail, a.FarDiameter / 2, a.Cant, a.GaugeHeight, load})
	if err != nil {
		return nil, err
	}
	return room.Join(a, high, low)
}

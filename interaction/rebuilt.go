package interaction

import (
	"math"
	"sync"

	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Steps in mm to which readings are rounded before a wheel's shape is rebuilt, so that
// wheels which are nearly alike are laid on a rail, or taken through a place, once.
// Vertical flange, height and play count in passages only.
const (
	hollowStep    = 0.5
	thicknessStep = measure.MMPerInch / 8
	verticalStep  = measure.MMPerInch / 8
	heightStep    = measure.MMPerInch / 16
	playStep      = measure.MMPerInch / 4
)

// nearest, upward and downward are a figure (mm) rounded to a step.
func nearest(v, step float64) measure.Reading { return measure.Exact(math.Round(v/step)*step, "") }

func upward(v, step float64) measure.Reading { return measure.Exact(math.Ceil(v/step-near)*step, "") }

func downward(v, step float64) measure.Reading {
	return measure.Exact(math.Floor(v/step+near)*step, "")
}

// rebuilt keeps worn shapes by design and readings, and new ones by name.
type rebuilt struct {
	lock  sync.Mutex // of both maps
	worn  map[wornKey]*wornCell
	fresh map[string]*wheel.Shape
}

type wornKey struct {
	design string
	v      [4]float64 // thickness, hollow, vertical flange, height, mm; -1: free
}

type wornCell struct {
	once  sync.Once
	shape *wheel.Shape
	aside []wheel.Quantity
	err   error
}

// design is the new shape of a name, made once.
func (c *computer) design(name string) (*wheel.Shape, error) {
	c.lock.Lock()
	defer c.lock.Unlock()
	if s := c.fresh[name]; s != nil {
		return s, nil
	}
	s, err := wheel.ShapeNamed(c.shapes, name)
	if err == nil {
		c.fresh[name] = s
	}
	return s, err
}

// wornShape rebuilds a wheel once for each design and readings.
func (c *computer) wornShape(design *wheel.Shape, r wheel.WornReadings) (*wheel.Shape, []wheel.Quantity, error) {
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
	c.lock.Lock()
	cell := c.worn[key]
	if cell == nil {
		cell = &wornCell{}
		c.worn[key] = cell
	}
	c.lock.Unlock()
	cell.once.Do(func() {
		w, aside, _, err := wheel.RebuildFrom(design, r)
		cell.aside, cell.err = aside, err
		if err == nil {
			cell.shape = w.Middle
		}
	})
	return cell.shape, cell.aside, cell.err
}

// atEnd are hollow and thickness as one-valued readings: as written to the nearest step,
// at the ends to the next step outward. Flange height and vertical flange are left out:
// in a curve the face and the throat bear.
func atEnd(r wheel.WornReadings, end int) wheel.WornReadings {
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
	return wheel.WornReadings{Thickness: at(r.Thickness, thicknessStep, end == newEnd), Hollow: at(r.Hollow, hollowStep, end == wornEnd)}
}

type sizedCell struct {
	once  sync.Once
	wheel *passage.Wheel
	err   error
}

// sizedWheel makes a shape ready for passages, once. Its diameter is that of the setting:
// an inch more or less turns no verdict.
func (c *computer) sizedWheel(s *wheel.Shape) (*passage.Wheel, error) {
	c.sizing.Lock()
	cell := c.sized[s]
	if cell == nil {
		cell = &sizedCell{}
		c.sized[s] = cell
	}
	c.sizing.Unlock()
	cell.once.Do(func() { cell.wheel, cell.err = passage.NewWheel(s, c.e.Rules.value("wheel_diameter")) })
	return cell.wheel, cell.err
}

type railKey struct {
	section           string
	head, face, angle float64
}

// rail is a worn rail, made once.
func (c *computer) rail(k railKey) (*track.RailHead, error) {
	if k.face == 0 {
		k.angle = 0
	}
	if r := c.rails[k]; r != nil {
		return r, nil
	}
	r, err := track.RailNamed(c.shapes, k.section)
	if err != nil {
		return nil, err
	}
	if k.head > 0 || k.face > 0 {
		if r, err = r.Worn(k.head, k.face, k.angle); err != nil {
			return nil, err
		}
	}
	c.rails[k] = r
	return r, nil
}

// flankKey tells wheels on rails apart. Radii of the wheel are rounded to half an inch:
// they enter the size of the contact only, the axle has its own.
type flankKey struct {
	wheel               *wheel.Shape
	rail                *track.RailHead
	radius, cant, depth float64 // mm, rad, mm
	load                float64 // N
}

type flankCell struct {
	once  sync.Once
	flank *curving.Flank
	err   error
}

// radiusStep is to which step in mm the radii of wheels are rounded for their flanks.
const radiusStep = measure.MMPerInch / 2

// flank lays a wheel on a rail, once.
func (c *computer) flank(k flankKey) (*curving.Flank, error) {
	k.radius = math.Round(k.radius/radiusStep) * radiusStep
	c.memory.Lock()
	cell := c.flanks[k]
	if cell == nil {
		cell = &flankCell{}
		c.flanks[k] = cell
	}
	c.memory.Unlock()
	cell.once.Do(func() {
		cell.flank, cell.err = curving.NewFlank(k.wheel, k.rail, k.radius, k.depth, k.cant, k.load, contact.Steel)
	})
	return cell.flank, cell.err
}

// table joins an axle of its flanks.
func (c *computer) table(a contact.Axle, load float64) (*curving.Table, error) {
	high, err := c.flank(flankKey{a.Near, a.NearRail, a.NearDiameter / 2, a.Cant, a.GaugeHeight, load})
	if err != nil {
		return nil, err
	}
	low, err := c.flank(flankKey{a.Far, a.FarRail, a.FarDiameter / 2, a.Cant, a.GaugeHeight, load})
	if err != nil {
		return nil, err
	}
	return curving.Join(a, high, low)
}

package shaped

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/internal/parallel"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// noHollow is up to which hollow in mm a wheel is not to blame for how its truck runs, while another one of it is.
const noHollow = 0.5

// isHollow says that a wheel may be hollow. Of a reading with an own value that counts, of
// a go/no-go reading its high end.
func isHollow(q measure.Reading) bool {
	return q.Measured() && (q.Hi > noHollow+measure.Near || !q.OneSided() && q.As >= noHollow)
}

// mostWheels are those of the longest truck.
const mostWheels = 2 * mostAxles

// truckJob is a truck that is tried on every curve.
type truckJob struct {
	car     *wheel.Car
	number  int // 1 or 2 from the B end
	axles   int // of the truck, 2 or 3; what is by wheel has two for each
	wheels  [mostWheels]*wheel.Wheel
	index   [mostWheels]int // in the engine; -1: not in the sheet
	fits    []fit
	inner   []fit // besides, if it is clear by little
	designs [mostWheels]*wheelshape.Shape
	// over is by how much in mm each wheel is hollower than the least hollow one of the
	// truck, which has level, by state.
	over   [numEnds][mostWheels]float64
	level  [numEnds]float64
	lost   [mostWheels]float64 // of its tread at the tape line, mm: see treadLost
	turned [mostAxles]bool     // axles that are taken as turned, their mates alike
	gross  float64             // N
	base   float64             // between neighbouring axles, mm
	square bool                // its frame does not warp
	// untwisted and trimmed say that twist, or a load to one side, is left out, to tell what it does.
	untwisted, trimmed bool
	notes              []string // what was set aside or assumed
	broken             string   // why it cannot be computed
	// lacks are readings for want of which, or for whose values, it cannot be: then nothing is
	// clear. Without any it is of a make that is not in the model.
	lacks  []string
	hollow bool     // some wheel is
	unread []string // wheels whose hollow was not read: then nothing is clear
	unsure unsure
	// asRead is the truck with its readings as written; exact says that it is one of these.
	asRead *truckJob
	exact  bool
	// like is the first truck that differs from it by names alone, itself if there is no other, nil if nobody looked;
	// bare says that its hollow was taken away: see truck_like.go.
	like *truckJob
	bare bool
}

// fit is a truck's wheels but for their hollow, at one end of its readings.
type fit struct {
	end       int
	designs   [mostWheels]*wheelshape.Shape
	over      [mostWheels]float64         // hollow over the least hollow wheel's, mm: see truckJob.over
	thickness [mostWheels]measure.Reading // of the shapes
	flange    [mostWheels]float64         // as read, mm; 0: that of the shapes
	rim       [mostWheels]float64         // mm; 0: that of the shapes
	backs     [mostAxles]float64          // mm
	sizes     [2][mostWheels]float64      // diameters where the wheel runs on the high rail, and on the low one, mm
	unread    interaction.Mask            // readings that it takes a value for
	gross     float64                     // N
	light     bool                        // the weight was not read: as an empty car
	hollow    bool                        // a hollow in it lies between the ends of its reading
}

// all are the wheels of the truck, by axle, left and right; nil: not in the sheet.
func (t *truckJob) all() []*wheel.Wheel { return t.wheels[:2*t.axles] }

// listTrucks finds the trucks of cars with four and with six axles and rebuilds their wheels.
func (c *Computer) listTrucks() {
	index := map[*wheel.Wheel]int{}
	for i := range c.Wheels {
		index[c.Wheels[i].W] = i
	}
	for _, car := range c.Cars {
		trucks, ok := car.Trucks()
		if !ok {
			continue
		}
		for n, axles := range trucks {
			t := &truckJob{car: car, number: n + 1, axles: len(axles)}
			any := false
			for i, number := range axles {
				var l, r *wheel.Wheel
				if a := car.Axle(number); a != nil {
					l, r = a.L, a.R
				}
				t.wheels[2*i], t.wheels[2*i+1] = l, r
			}
			for i, w := range t.all() {
				t.index[i] = -1
				if w != nil {
					t.index[i], any = index[w], true
					t.hollow = t.hollow || isHollow(w.Read(wheel.TreadHollow))
				}
			}
			if any {
				c.trucks = append(c.trucks, t)
			}
		}
	}
	parallel.Each(len(c.trucks), func(i int) { c.prepare(c.trucks[i]) })
	findLike(c.trucks)
	// Those with the most levels of hollow take longest: they begin.
	slices.SortStableFunc(c.trucks, func(a, b *truckJob) int { return cmp.Compare(b.level[wornEnd], a.level[wornEnd]) })
}

// prepare gives a truck its designs, lengths and weight.
func (c *Computer) prepare(t *truckJob) {
	rules := c.Rules
	t.gross, t.base = t.car.GrossLb*measure.NewtonsPerPound, 0
	if b := t.car.TruckWheelbase; b.Measured() {
		t.base = b.As
	}
	if t.gross == 0 || t.base == 0 {
		if t.axles == mostAxles || t.car.Kind != "freight" && t.car.Kind != "" {
			t.wantsWeight()
			return
		}
		if t.gross == 0 {
			t.gross = c.BlankWeights()[0] * measure.NewtonsPerPound
		}
		if t.base == 0 {
			t.base = rules.Value("truck_wheelbase")
		}
	}
	t.square = t.axles == mostAxles || t.car.Kind != "freight" && t.car.Kind != ""
	if err := c.hollows(t); err != nil {
		t.broken = err.Error()
		if errors.Is(err, wheel.ErrNoDesign) {
			t.lacks = []string{wheel.FlangeThickness.String()}
		}
		return
	}
	t.findUnsure()
	c.fit(t)
	if s := t.readExactly(); s != nil && !t.exact {
		c.prepare(s)
		t.asRead = s
	}
}

// wantsWeight says that a truck cannot be computed for want of its car's weight or axle spacing: there is no usual one
// of its kind.
func (t *truckJob) wantsWeight() {
	of := "a " + t.car.Kind + " car"
	if t.axles == mostAxles {
		of = "a car of six axles"
	}
	what, is := "weight and truck wheelbase", "are"
	if t.gross == 0 {
		t.lacks = append(t.lacks, "gross_lb")
	} else {
		what, is = "truck wheelbase", "is"
	}
	if t.base == 0 {
		t.lacks = append(t.lacks, "truck_wheelbase")
	} else {
		what, is = "weight", "is"
	}
	t.broken = what + " of " + of + " " + is + " needed in cars.csv"
}

// hollows finds the designs of a truck's wheels and how hollow they are. A wheel that is
// not in the sheet, or whose hollow was not read, stands as not hollow there and is named.
func (c *Computer) hollows(t *truckJob) error {
	var q [mostWheels]measure.Reading
	least := [numEnds]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	for i, w := range t.all() {
		var err error
		if w != nil {
			if !t.exact {
				t.designs[i], _, err = c.designOf(w)
			}
			if q[i] = w.Read(wheel.TreadHollow); !q[i].Measured() {
				t.unread = append(t.unread, w.Position.String())
			}
		} else {
			t.designs[i], err = c.design(c.data.Designs[0].Name)
			if t.car.ID != "" {
				t.unread = append(t.unread, "a wheel that is not in the sheet")
			}
		}
		if err != nil {
			return err
		}
		for end, v := range [numEnds]float64{written: figureOf(0, q[i]), wornEnd: q[i].Hi, newEnd: q[i].Lo} {
			least[end] = math.Min(least[end], v)
		}
	}
	for i := range t.all() {
		for end, v := range [numEnds]float64{written: figureOf(0, q[i]), wornEnd: q[i].Hi, newEnd: q[i].Lo} {
			t.over[end][i] = math.Round((v-least[end])/hollowStep-measure.Near) * hollowStep
		}
	}
	t.level[written] = toStep(least[written], hollowStep)
	t.level[wornEnd] = math.Ceil((least[wornEnd]-levelSlack)/hollowStep-measure.Near) * hollowStep
	t.level[newEnd] = math.Floor((least[newEnd]+levelSlack)/hollowStep+measure.Near) * hollowStep
	t.level[wornEnd] = math.Max(t.level[wornEnd], t.level[written])
	t.level[newEnd] = math.Min(t.level[newEnd], t.level[written])
	return nil
}

// levelSlack is how far in mm the end of a hollow may lie beyond a step without the next one being tried.
const levelSlack = 0.1

// shapeReadings are the readings that a wheel is rebuilt from, if the least hollow one of its truck has a level in mm.
func (t *truckJob) shapeReadings(f *fit, i int, level float64) wheelshape.WornReadings {
	r := wheelshape.WornReadings{Thickness: f.thickness[i]}
	if h := level + f.over[i]; h > measure.Near {
		r.Hollow = measure.Exact(h, "")
	}
	return r
}

// unhollowed is a truck without its hollow: its hollow wheels are turned with their mates.
func (c *Computer) unhollowed(t *truckJob) *truckJob {
	n := *t
	n.over, n.level, n.hollow, n.bare = [numEnds][mostWheels]float64{}, [numEnds]float64{}, false, true
	for i := range t.all() {
		if t.level[written]+t.over[written][i] > measure.Near {
			n.lost[i], n.lost[i^1], n.turned[i/2] = 0, 0, true
		}
	}
	n.fits, n.inner = slices.Clone(t.fits), nil
	for _, f := range t.inner {
		if !f.hollow {
			n.inner = append(n.inner, f)
		}
	}
	for _, list := range [][]fit{n.fits, n.inner} {
		for i := range list {
			list[i].over = [mostWheels]float64{}
			for a := range n.axles {
				n.sizesOf(&list[i], a, c.Rules.Value("wheel_diameter"))
			}
		}
	}
	if t.asRead != nil {
		n.asRead = c.unhollowed(t.asRead)
	}
	return &n
}

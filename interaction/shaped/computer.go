package shaped

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/internal/parallel"
	"flangeway/track"
	trackshape "flangeway/track/shape"
	"flangeway/wheel"
	wheelshape "flangeway/wheel/shape"
)

// The three states of a wheel, a truck and its place that are looked at.
const (
	written = iota // the readings as written
	wornEnd        // hollow and height at their upper ends, thickness at its lower one, gauge wide
	newEnd         // the other ends
	numEnds
	wetRails // as written, on damp rails: sensitivity only
)

// Wheel is a wheel with its part of the margin of every check.
type Wheel struct {
	W     *wheel.Wheel
	Parts []interaction.Part
}

// Place is a place with the checks that apply to it.
type Place struct {
	F      *track.Feature
	Tables []*Table
	// Designed is a place as designed: nobody asks whether an ordinary wheel conflicts there, nor of a truck more than
	// whether it does.
	Designed bool
}

// Table is a place at one check.
type Table struct {
	Check int
	Part  interaction.Part
	// Ordinary names the reference wheels that conflict there: the place is at fault if there is one.
	Ordinary []string
	// Computed holds, by wheel, what shapes and forces say; nil: nothing is computed.
	Computed []*Computed
}

// AnyWheel reports whether an ordinary wheel conflicts there.
func (t *Table) AnyWheel() bool { return len(t.Ordinary) > 0 }

// Fleet is the rules, and the wheels with the cars that are judged by them. A car is one whose trucks are asked for.
type Fleet struct {
	Rules  *interaction.Rules
	Checks []*interaction.Check
	Wheels []*Wheel
	Cars   []*wheel.Car
	Today  measure.Date
	// Progress is told how much of a stage is done; nil if nobody asks.
	Progress func(stage string, done, total int)
}

// steps counts what is done of a stage of so many steps, from several goroutines.
func (f Fleet) steps(stage string, total int) (step func()) {
	if f.Progress == nil || total == 0 {
		return func() {}
	}
	var done atomic.Int64
	f.Progress(stage, 0, total)
	return func() { f.Progress(stage, int(done.Add(1)), total) }
}

// Computer computes trucks in curves, and wheels in frogs and over switches.
type Computer struct {
	Fleet
	data    *configs.Data
	shapes  *configs.Shapes
	Figures *configs.Passage
	trucks  []*truckJob
	// again says that what is judged is judged again: flanks are kept, and solved trucks.
	again bool
	*solved
}

// New prepares the shapes of a survey.
func New(fleet Fleet, data *configs.Data, shapes *configs.Shapes) (*Computer, error) {
	figures, err := data.LoadPassage()
	if err != nil {
		return nil, err
	}
	return &Computer{Fleet: fleet, data: data, shapes: shapes, Figures: figures, solved: &solved{}}, nil
}

// Beside takes over what another one has made and solved.
func (c *Computer) Beside(other *Computer) { c.solved = other.solved }

// Again computes other wheels, with all that was made and solved before.
func (c *Computer) Again(fleet Fleet) *Computer {
	return &Computer{Fleet: fleet, data: c.data, shapes: c.shapes, Figures: c.Figures, again: true, solved: c.solved}
}

// check is the one that shapes judge in a way.
func (c *Computer) check(by interaction.Passing) *interaction.Check {
	return c.Checks[slices.IndexFunc(c.Checks, func(k *interaction.Check) bool { return k.Passes == by })]
}

// Compute fills the computed verdicts of places.
func (c *Computer) Compute(places []*Place) {
	c.trucks = nil
	c.curves(places)
	c.passages(places)
}

// solved keeps everything that is made or solved once, for a survey and all that is judged again of it.
type solved struct {
	fresh     kept[string, *wheelshape.Shape]
	worn      kept[wornKey, wornWheel]
	sized     kept[*wheelshape.Shape, *passage.Wheel]
	feet      kept[*wheel.Wheel, *footing]
	faces     kept[facesKey, []*passage.Wheel]
	frogs     kept[trackshape.FrogPlan, *frogForm]
	points    kept[string, *pointKept]
	thickness kept[*wheelshape.Shape, float64]
	rails     kept[railKey, *trackshape.RailHead]
	made      contact.Made
	flanks    kept[flankKey, *curving.Flank]
	runs      kept[TruckRun, curving.Solution]
	// followed are runs from where others were, on the present curve or of trucks that are judged again.
	followed kept[followedKey, curving.Solution]
	rooms    sync.Pool // of *curving.Room
}

// Contradiction is a wheel of which no worn shape has all readings, and those that are set aside.
type Contradiction struct {
	Wheel   int // its number
	Aside   interaction.Mask
	Warning measure.Warning
}

// contradictionKey tells apart wheels whose readings contradict each other otherwise.
type contradictionKey struct {
	design *wheelshape.Shape
	r      wheelshape.WornReadings
}

// contradiction names the readings that are set aside, and why.
type contradiction struct {
	aside []wheel.Quantity
	why   error
}

// Contradictions are those of the wheels that are asked for. Wheels that read alike are rebuilt once.
func (c *Computer) Contradictions(asked func(wi int) bool) []Contradiction {
	list := make([]Contradiction, len(c.Wheels))
	var found kept[contradictionKey, contradiction]
	parallel.Each(len(list), func(i int) {
		w := c.Wheels[i].W
		r := wheelshape.ReadingsOf(w)
		if !asked(i) || r == (wheelshape.WornReadings{}) {
			return
		}
		design, _, err := c.designOf(w)
		if err != nil {
			return
		}
		for _, x := range []*measure.Reading{&r.Height, &r.Thickness, &r.Vertical, &r.Hollow} {
			x.Place = measure.Place{}
		}
		of, err := found.get(contradictionKey{design, r}, func() (contradiction, error) {
			_, aside, why, err := wheelshape.RebuildFrom(design, r)
			return contradiction{aside, why}, err
		})
		if err == nil && len(of.aside) > 0 {
			list[i] = Contradiction{Wheel: i, Warning: measure.Warning{Place: w.Place,
				Text: fmt.Sprintf("%s of wheel %s %s: %v; set aside where shapes are computed, measure it again",
					named(of.aside), w.Car.ID, w.Position, of.why)}}
			for _, q := range of.aside {
				list[i].Aside |= interaction.WheelMask(q)
			}
		}
	})
	return slices.DeleteFunc(list, func(x Contradiction) bool { return x.Aside == 0 })
}

package interaction

import (
	"fmt"
	"slices"

	"flangeway/configs"
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

// shapedWheel is a wheel with its part of the margin of every check.
type shapedWheel struct {
	w     *wheel.Wheel
	parts []Part
}

// shapedPlace is a place with the checks that apply to it.
type shapedPlace struct {
	f      *track.Feature
	tables []*shapedTable
}

// shapedTable is a place at one check.
type shapedTable struct {
	check int
	part  Part
	// anyWheel says that any ordinary wheel conflicts there: one of the reference
	// wheels does.
	anyWheel bool
	// computed holds, by wheel, what shapes and forces say; nil: nothing is computed.
	computed []*Computed
}

// shapedFleet is the rules, and the wheels with the cars that are judged by them. A car is
// one whose trucks are asked for.
type shapedFleet struct {
	rules  *Rules
	checks []*Check
	wheels []*shapedWheel
	cars   []*wheel.Car
}

// computer computes trucks in curves, and wheels in frogs and over switches.
type computer struct {
	shapedFleet
	data    *configs.Data
	shapes  *configs.Shapes
	figures *configs.Passage
	trucks  []*truckJob
	// again says that what is judged is judged again: flanks are kept, and solved trucks.
	again bool
	*solved
}

// newComputer prepares the shapes of a survey.
func newComputer(fleet shapedFleet, data *configs.Data, shapes *configs.Shapes) (*computer, error) {
	figures, err := data.LoadPassage()
	if err != nil {
		return nil, err
	}
	return &computer{shapedFleet: fleet, data: data, shapes: shapes, figures: figures, solved: &solved{}}, nil
}

// beside takes over what another one has made and solved.
func (c *computer) beside(other *computer) { c.solved = other.solved }

// judgeAgain computes other wheels, with all that was made and solved before.
func (c *computer) judgeAgain(fleet shapedFleet) *computer {
	return &computer{shapedFleet: fleet, data: c.data, shapes: c.shapes, figures: c.figures, again: true, solved: c.solved}
}

// check is the one that shapes judge in a way.
func (c *computer) check(by passing) *Check {
	return c.checks[slices.IndexFunc(c.checks, func(k *Check) bool { return k.passes == by })]
}

// compute fills the computed verdicts of places.
func (c *computer) compute(places []*shapedPlace) {
	c.trucks = nil
	c.curves(places)
	c.passages(places)
}

// solved is what was made or solved once, for an engine and all that judge again by it.
type solved struct {
	fresh     kept[string, *wheelshape.Shape]
	worn      kept[wornKey, wornWheel]
	sized     kept[*wheelshape.Shape, *passage.Wheel]
	feet      kept[*wheel.Wheel, *footing]
	frogs     kept[trackshape.FrogPlan, *frogForm]
	points    kept[string, *pointKept]
	thickness kept[*wheelshape.Shape, float64]
	rails     kept[railKey, *trackshape.RailHead]
	made      contact.Made
	flanks    kept[flankKey, *curving.Flank]
	runs      kept[TruckRun, curving.Solution]
	// followed are runs from where others were, of trucks that are judged again.
	followed kept[[2]TruckRun, curving.Solution]
}

// contradiction is a wheel of which no worn shape has all readings, and those that are set
// aside.
type contradiction struct {
	wheel   int // its number
	aside   Mask
	warning measure.Warning
}

// contradictions are those of the wheels that are asked for.
func (c *computer) contradictions(asked func(wi int) bool) []contradiction {
	list := make([]contradiction, len(c.wheels))
	parallel.Each(len(list), func(i int) {
		w := c.wheels[i].w
		r := wheelshape.ReadingsOf(w)
		if !asked(i) || r == (wheelshape.WornReadings{}) {
			return
		}
		design, _, err := c.designOf(w)
		if err != nil {
			return
		}
		if _, aside, why, err := wheelshape.RebuildFrom(design, r); err == nil && len(aside) > 0 {
			list[i] = contradiction{wheel: i, warning: measure.Warning{Place: w.Place, Text: fmt.Sprintf("%s of wheel %s %s: %v; set aside where shapes are computed, measure it again", named(aside), w.Car.ID, w.Position, why)}}
			for _, q := range aside {
				list[i].aside |= wheelMask(q)
			}
		}
	})
	return slices.DeleteFunc(list, func(x contradiction) bool { return x.aside == 0 })
}

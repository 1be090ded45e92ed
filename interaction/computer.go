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

// computer computes trucks in curves, and wheels in frogs and over switches, for an
// engine.
type computer struct {
	e       *Engine
	data    *configs.Data
	shapes  *configs.Shapes
	figures *configs.Passage
	trucks  []*truckJob
	// again says that it computes for an [Again], which keeps flanks and solved trucks.
	again bool
	*solved
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

// contradictions are the wheels of which no worn shape has all readings; those that are
// set aside are under a warning from then on.
func (c *computer) contradictions() []measure.Warning {
	list := make([]measure.Warning, len(c.e.wheels))
	parallel.Each(len(list), func(i int) {
		ws := &c.e.wheels[i]
		r := wheelshape.ReadingsOf(ws.w)
		if !ws.chosen || r == (wheelshape.WornReadings{}) {
			return
		}
		design, _, err := c.designOf(ws.w)
		if err != nil {
			return
		}
		if _, aside, why, err := wheelshape.RebuildFrom(design, r); err == nil && len(aside) > 0 {
			for _, q := range aside {
				ws.doubts |= wheelMask(q)
			}
			list[i] = measure.Warning{Place: ws.w.Place, Text: fmt.Sprintf("%s of wheel %s %s: %v; set aside where shapes are computed, measure it again", named(aside), ws.w.Car.ID, ws.w.Position, why)}
		}
	})
	return slices.DeleteFunc(list, func(w measure.Warning) bool { return w.Text == "" })
}

package judge

import (
	"fmt"

	"flangeway/interaction"
	"flangeway/interaction/shaped"
	"flangeway/internal/parallel"
	"flangeway/track"
	"flangeway/wheel"
)

// Row is the verdicts of the wheels of the fleet at a feature and check, in the order of the fleet; nil if the check
// does not apply there or is not asked for. If an axle is listed at the mate there is no pair, and the verdict is
// clear.
func (e *Engine) Row(f *track.Feature, check int) []interaction.Verdict {
	if t := e.table(f, check); t != nil {
		return e.row(t)
	}
	return nil
}

// table is a feature at a check; nil if there is none.
func (e *Engine) table(f *track.Feature, check int) *placeTable {
	_, t := e.placeOf(f, check)
	return t
}

// placeOf is a feature with its table at a check; nil if there is none.
func (e *Engine) placeOf(f *track.Feature, check int) (*placeSide, *placeTable) {
	i, ok := e.at[f]
	if !ok {
		return nil, nil
	}
	ps := &e.places[i]
	for j := range ps.tables {
		if t := &ps.tables[j]; t.Check == check {
			return ps, t
		}
	}
	return nil, nil
}

func (e *Engine) row(t *placeTable) []interaction.Verdict {
	out := make([]interaction.Verdict, len(e.wheels))
	parallel.Each(len(out), func(wi int) {
		out[wi] = interaction.Clear
		if w := e.wheels[wi].W; e.Checks[t.Check].ListedAt(w) {
			out[wi] = e.pair(wi, t).Verdict
		}
	})
	return out
}

// Chosen reports whether a wheel of the fleet is one of those that are asked for.
func (e *Engine) Chosen(wi int) bool { return e.wheels[wi].chosen }

// Computing reports whether verdicts come from shapes and forces too.
func (e *Engine) Computing() bool { return e.computer != nil }

// Computes reports whether verdicts of a check come from shapes or forces as well. They are then those of a wheel with
// its axle or, if Trucks says so, with its truck.
func (e *Engine) Computes(check int) bool {
	return e.computer != nil && e.Checks[check].Passes != interaction.PlainAlone
}

// trucks reports whether the computed verdict of a check is that of a whole truck.
func (e *Engine) trucks(check int) bool { return e.Checks[check].Passes == interaction.InTruck }

// Trucks are the axle numbers of the trucks that are judged as one at a check; nil if each axle of the car is judged by
// itself.
func (e *Engine) Trucks(check int, c *wheel.Car) [][]int {
	if !e.Computes(check) || !e.trucks(check) {
		return nil
	}
	trucks, _ := c.Trucks()
	return trucks
}

// AtBest is the best that the verdict of a pair can be, told by the plain one alone: what is computed of a passage
// never clears what the readings leave open, but for a guard that the plain rules do not know; what is computed of a
// truck may.
func (e *Engine) AtBest(f *track.Feature, check int, plain interaction.Verdict) interaction.Verdict {
	switch {
	case !e.Computes(check), plain == interaction.NotMeasured:
		return plain
	case e.trucks(check), e.Checks[check].Guarded(f):
		return interaction.Clear
	}
	return max(plain, interaction.Undecided)
}

// Section tells features apart of which something else is computed; those with the same one and the same plain share
// are judged alike.
func (e *Engine) Section(check int, f *track.Feature) string {
	if !e.Computes(check) {
		return ""
	}
	out := fmt.Sprint(f.Number, " ", f.Type, " ", f.Direction)
	if e.trucks(check) { // forces go by the speed, and that by the class if it is not known
		out += fmt.Sprint(" ", f.Class, f.Speed, f.SpeedKnown)
	}
	for _, q := range f.Measured() {
		switch q {
		case track.FlangewayDepth, track.GuardCheck, track.GuardFace, track.GuardFlangeway, track.OpenClearance:
		default:
			if r := f.Read(q); r.Measured() {
				out += fmt.Sprint(" ", q, r.Form, r.Lo, r.Hi, r.As)
			}
		}
	}
	return out
}

// Again judges other readings by the judge of an engine: the plain rules and, if the engine has computed, what shapes
// and forces say. What the engine or an earlier call has solved is not solved again.
type Again struct{ e *Engine }

// Again prepares wheels: those of the fleet, and for checks of whole trucks its cars with their axles.
func (e *Engine) Again(fleet *wheel.Fleet) *Again {
	sv := *e.Survey
	sv.Fleet = fleet
	a := &Engine{Survey: &sv, Book: e.Book, Rules: e.Rules, Checks: e.Checks, today: e.today,
		wheels: make([]wheelSide, len(fleet.Wheels))}
	parallel.Each(len(fleet.Wheels), func(i int) {
		w := fleet.Wheels[i]
		ws := &a.wheels[i]
		*ws = wheelSide{Wheel: shaped.Wheel{W: w, Parts: make([]interaction.Part, len(e.Checks))}, chosen: true}
		for k, c := range e.Checks {
			if c.ListedAt(w) {
				ws.Parts[k] = c.WheelPart(a.Rules, w, false).Part
			}
		}
	})
	if e.computer != nil {
		a.computer = e.computer.Again(a.fleet())
	}
	return &Again{a}
}

// Rows judges the wheels at features, by feature and check: those checks alone for which want is true.
func (a *Again) Rows(features []*track.Feature, want func(check int) bool) []map[int][]interaction.Verdict {
	e := a.e
	var places []placeSide
	for _, f := range features {
		ps := placeSide{f: f}
		for k, c := range e.Checks {
			if want(k) && c.Applies(f) {
				ps.tables = append(ps.tables, placeTable{Table: shaped.Table{Check: k,
					Part: c.PlacePart(e.Rules, f, false).Part}})
			}
		}
		places = append(places, ps)
	}
	e.setPlaces(places)
	if e.computer != nil {
		e.computer.Compute(e.everywhere())
	}
	out := make([]map[int][]interaction.Verdict, len(features))
	for i := range e.places {
		out[i] = map[int][]interaction.Verdict{}
		for j := range e.places[i].tables {
			t := &e.places[i].tables[j]
			out[i][t.Check] = e.row(t)
			t.Computed = nil
		}
	}
	return out
}

// Settles names the readings that would decide an undecided pair of the survey: those of the wheel, of its mate and of
// the place, by column.
func (e *Engine) Settles(f *track.Feature, check, wi int) (own, mate, place []string) {
	if t := e.table(f, check); t != nil {
		return interaction.ColumnsOf(e.pair(wi, t).Settle)
	}
	return nil, nil, nil
}

// Open tells how likely an undecided pair of the survey is a conflict.
func (e *Engine) Open(f *track.Feature, check, wi int) shaped.Open {
	t := e.table(f, check)
	if t == nil {
		return shaped.Open{Plain: true}
	}
	m := e.pair(wi, t)
	if m.against != 0 { // nothing tells how likely a mark is right
		return shaped.Open{Share: 0.5, Assumed: true}
	}
	if m.computed == nil || m.plain == interaction.Undecided {
		return shaped.Open{Plain: true}
	}
	return m.computed.Open(e.Rules)
}

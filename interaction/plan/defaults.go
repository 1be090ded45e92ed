package plan

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/track"
)

// defaults lists the figures that entered a plan without being the railroad's own: costs of the works that were
// offered, crew days of those that it takes (with a limit on them, of all), traffic, the tolerances.
func (p *Plan) defaults() []Default {
	m := p.model
	// What was offered and not taken decided the plan as much as what it takes.
	used := m.offered()
	days := map[string]bool{}
	for _, a := range p.Actions {
		days[a.Work] = true
	}
	if p.Options.CrewDays != nil {
		days = used
	}
	var out []Default
	if !m.sv.Costs.CurrencyGiven {
		out = append(out, Default{"currency", m.sv.Costs.Currency, "project's own choice, no source", "assumed"})
	}
	if !m.sv.Costs.HorizonGiven {
		out = append(out, Default{"costs.horizon_years", fmt.Sprintf("%d years", m.sv.Costs.Horizon),
			"project's own choice, no source", "assumed"})
	}
	for _, c := range m.sv.Costs.List {
		value := configs.Money(c.Cents) + " " + m.sv.Costs.Currency
		switch {
		case c.Yearly:
			value += " a year"
		case c.Life > 0:
			value += fmt.Sprintf(", assumed to hold %d years", c.Life)
		}
		if used[c.Name] && !c.Given {
			out = append(out, Default{"costs." + c.Name, value, c.Source, c.Kind})
		}
	}
	if d, ok := m.lengthDefault(used); ok {
		out = append(out, d)
	}
	for _, c := range m.sv.Costs.List {
		if days[c.Name] && !c.DayGiven && c.Millis > 0 {
			out = append(out, Default{"costs.crew_days." + c.Name, configs.Days(c.Millis) + " days",
				"project's own choice, no source", "assumed"})
		}
	}
	if by := p.Minimises(); p.Limited() && by != ByPasses {
		out = append(out, weightDefault(m.matrix, by))
	}
	out = append(out, trafficDefaults(m)...)
	out = append(out, p.toleranceDefaults()...)
	if !m.sv.Costs.ShopGiven && used["wheelset_change"] {
		out = append(out, Default{"costs.shop", "no lathe and no press, but where wheelset_turn or axle_press has a " +
			"price of the railroad's own", "project's own choice: a short line seldom has one", "assumed"})
	}
	if s, ok := m.sv.Settings.Setting("flange_turned"); ok && !s.Given && used["wheelset_turn"] {
		out = append(out, Default{s.Name, s.Text(), s.Source, s.Kind})
	}
	designs := map[string]bool{}
	for _, a := range p.Actions {
		for _, n := range a.Note {
			if d, ok := strings.CutPrefix(n, "design taken as "); ok {
				designs[d] = true
			}
		}
	}
	for _, d := range m.sv.Data.Designs {
		if designs[d.Name] {
			out = append(out, Default{"design", d.Name,
				"the sheet names none; a flange thicker than a new narrow one is taken for a wide one; its " +
					"dimensions " + d.Sure, "assumed"})
		}
	}
	return out
}

// lengthDefault is how long the wide or tight gauge of a place is taken to be, if works priced by length were offered
// at one of which the railroad does not say so.
func (m *model) lengthDefault(used map[string]bool) (d Default, ok bool) {
	for _, c := range m.sv.Costs.List {
		if c.OverFeet == 0 || !used[c.Name] {
			continue
		}
		for i := range m.places {
			p := &m.places[i]
			_, _, byDefault := m.sv.Costs.At(c, p.f.Name())
			if byDefault && (p.f.Kind == track.Curve || p.f.Kind == track.Spot) && slices.Contains(p.offered, c.Name) {
				return Default{"costs.lengths",
					fmt.Sprintf("%g ft of wide or tight gauge at a curve or spot", c.OverFeet),
					"project's own choice, no source", "assumed"}, true
			}
		}
	}
	return d, false
}

// toleranceDefaults are how far from the orders of the plan its works can be kept, where the railroad does not say.
func (p *Plan) toleranceDefaults() (out []Default) {
	sv := p.model.sv
	all, _ := sv.Settings.Setting("work_tolerance")
	if all.Given {
		return nil
	}
	unnamed := false // a work leaves a reading for which its costs have none
	for _, c := range sv.Costs.List {
		if c.Kept >= 0 {
			continue
		}
		columns := map[string]bool{}
		for i := range p.Actions {
			if a := &p.Actions[i]; a.Work == c.Name {
				for column := range a.Window {
					spec := sv.Columns[column]
					r, err := spec.Parse(a.Sets[column])
					columns[column] = columns[column] || err == nil && kept(spec, r)
				}
			}
		}
		var list []string
		for _, column := range slices.Sorted(maps.Keys(columns)) {
			v, named := c.Tolerance[column]
			switch {
			case !columns[column]:
			case named:
				list = append(list, column+" +-"+measure.Inch(v))
			default:
				unnamed = true
			}
		}
		if len(list) > 0 {
			out = append(out, Default{"costs.tolerance." + c.Name, strings.Join(list, ", ") + " in",
				"common practice, no source", "assumed"})
		}
	}
	if unnamed {
		out = append(out, Default{all.Name, "+-" + all.Text(), all.Source, all.Kind})
	}
	return out
}

// weightDefault is what passes of each severity weigh.
func weightDefault(matrix *configs.Risk, by string) Default {
	var list []string
	for i, w := range matrix.Weights {
		v := w.Harm
		if by == ByMoney {
			v = w.Money
		}
		list = append(list, fmt.Sprintf("%d: %g", i+1, v))
	}
	return Default{"weights by " + by, "a pass of severity " + strings.Join(list, ", "), matrix.Weights[0].Source,
		matrix.Weights[0].Kind}
}

// offered are the works that the plan could choose from, the needless ones too.
func (m *model) offered() map[string]bool {
	out := map[string]bool{}
	for _, a := range m.rereads {
		out[a.Work] = true
	}
	for i := range m.places {
		for _, name := range m.places[i].offered {
			out[name] = true
		}
	}
	for i := range m.axles {
		for j := range m.axles[i].opts {
			if name := m.axles[i].opts[j].work.name; name != "" {
				out[name] = true
			}
		}
	}
	if !m.opt.IgnoreLimits {
		for ci := range m.cars {
			if c := &m.cars[ci]; len(c.beyond) > 0 {
				out[outOfService(m.sv, c.car, nil).Work] = true
			}
		}
	}
	if m.opt.TrackOnly {
		return out
	}
	m.each(func(c *carModel, a *axleModel, side int, p *placeModel, k int, _ interaction.Verdict) {
		if m.asks(p, k, a.index[side]) {
			out[holding(m.sv, c.car, "", "").Work] = true
		}
	})
	return out
}

// trafficDefaults lists what the railroad did not say of its traffic.
func trafficDefaults(m *model) []Default {
	var out []Default
	t := m.exposure.Traffic()
	trips, free, facing := false, false, false // free: some pass is told by no job
	for _, c := range m.cars {
		any, assumed := m.exposure.Jobs(c.car)
		trips = trips || c.car.TripsPerYear == 0 && !m.exposure.Pooled(c.car) && (!any || assumed)
		free = free || !any
	}
	for _, p := range m.places {
		free = free || !m.exposure.OnTrack(p.f)
		for _, k := range p.checks {
			c := m.trial.Checks[k]
			_, named := t.Facing[p.f.Name()]
			_, place := t.Facing[p.f.Location]
			facing = facing || c.NoTrailing && p.f.Direction == "both" && !named && !place && m.exposure.Unsaid(p.f)
		}
	}
	if trips && !t.WorkingDaysGiven {
		out = append(out, Default{"traffic.working_days", fmt.Sprintf("%g", t.WorkingDays),
			"a car without trips_per_year makes a trip every working day; common practice, no source", "assumed"})
	}
	if free && len(t.At)+len(t.Of) == 0 {
		out = append(out, Default{"traffic.serves", "every car goes to every place", "project's own choice, no source",
			"assumed"})
	}
	if free && len(t.Pass) == 0 {
		out = append(out, Default{"traffic.passes", "one pass of every place a trip", "project's own choice, no source",
			"assumed"})
	}
	if facing {
		out = append(out, Default{"traffic.facing", "half of the passes of a switch run both ways",
			"project's own choice, no source", "assumed"})
	}
	return out
}

package plan

import (
	"fmt"
	"strconv"

	"flangeway/internal/measure"
	"flangeway/track"
)

// gauged are the works on the gauge of a curve or spot: rods that hold it under load as it lies, ties here and there to
// which it is spiked again as far as that reaches, both, or regauging all of it.
func (s *workshop) gauged() (out []draft) {
	list := []draft{{}}
	if d, ok := s.spotTies(); ok {
		list = append(list, d)
	}
	for _, d := range list {
		if len(d.acts) > 0 {
			out = append(out, d)
		}
		if r, ok := s.rods(d); ok {
			out = append(out, r)
		}
	}
	if d, ok := s.regauged(draft{}); ok {
		out = append(out, d)
	}
	return out
}

// byLength is a work on this place at the price of its length.
func (s *workshop) byLength(name string) (a Action, over string) {
	a = work(s.sv.Costs, name)
	c, _ := s.sv.Costs.Of(name)
	c, feet, byDefault := s.sv.Costs.At(c, s.f.Name())
	if feet > 0 && !byDefault {
		a.Cents, a.Millis = c.Cents*c.Times(s.sv.Costs.Years()), c.Millis
		over = " over " + strconv.FormatFloat(feet, 'f', -1, 64) + " ft"
	}
	return a, over
}

// gaugeTo is gauge, and gauge under load if it was read, brought to a value (mm).
func (s *workshop) gaugeTo(target float64) map[track.Quantity]string {
	to := map[track.Quantity]string{track.Gauge: nearest(target)}
	if s.read(track.LoadedGauge) {
		to[track.LoadedGauge] = measure.UpToSixteenth(target + s.spread())
	}
	return to
}

const readLoaded = "read the loaded gauge again under the load of the sheet"

// underLoad words what the gauge may open to.
func underLoad(a *Action, to map[track.Quantity]string) {
	if l, ok := to[track.LoadedGauge]; ok {
		a.What += ", not more than " + l + " under load"
		a.Note = append(a.Note, readLoaded)
	}
}

// regauged sets gauge and loaded gauge of a place without a guard rail.
func (s *workshop) regauged(d draft) (draft, bool) {
	if !s.read(track.Gauge) && !s.read(track.LoadedGauge) {
		return d, false
	}
	to := s.gaugeTo(s.designed(track.Gauge))
	if s.f.Kind == track.Switch && s.read(track.OpenClearance) {
		v, ok := s.as(track.OpenClearance)
		if !ok {
			return d, false
		}
		to[track.OpenClearance] = measure.DownToSixteenth(v)
	}
	a, over := s.byLength("regauge")
	a.What = "regauge to " + to[track.Gauge] + " in" + over
	underLoad(&a, to)
	if _, ok := to[track.OpenClearance]; ok {
		a.What += "; keep the open clearance"
	}
	return d.with(a, to), true
}

// spotTies spikes the gauge again to ties that are changed here and there, toward its design as far as the work
// reaches; ok is false if nobody knows how far it is off.
func (s *workshop) spotTies() (d draft, ok bool) {
	cost, _ := s.sv.Costs.Of("spot_ties")
	g, ok := s.as(track.Gauge)
	if !ok {
		return d, false
	}
	to := s.gaugeTo(min(max(s.designed(track.Gauge), g-cost.ReachMM), g+cost.ReachMM))
	a, over := s.byLength("spot_ties")
	a.What = "change the worst ties" + over + " and spike the rails to a gauge of " + to[track.Gauge] + " in"
	underLoad(&a, to)
	return d.with(a, to), true
}

// rods hold the gauge under load near what it is without: as near as sound ties do, and by no more than the work
// reaches; ok is false if that helps nothing or one of the two was not read.
func (s *workshop) rods(d draft) (draft, bool) {
	cost, _ := s.sv.Costs.Of("gauge_rods")
	g, ok1 := s.as(track.Gauge)
	l, ok2 := s.as(track.LoadedGauge)
	if !ok1 || !ok2 {
		return d, false
	}
	open := l - g
	if text, ok := d.to[track.Gauge]; ok { // ties are changed with them
		r, err := s.sv.Columns[track.Gauge.String()].Parse(text)
		if err != nil {
			return d, false
		}
		g, open = r.As, s.spread()
	}
	held := max(s.sv.Settings.Value("loaded_gauge_allowance_good"), open-cost.ReachMM)
	if held > open-measure.Near {
		return d, false
	}
	to := map[track.Quantity]string{track.LoadedGauge: measure.UpToSixteenth(g + held)}
	a, over := s.byLength("gauge_rods")
	a.What = fmt.Sprintf("put in gauge rods%s, gauge not more than %s in under load", over, to[track.LoadedGauge])
	a.Note = append(a.Note, readLoaded, "insulated rods where there are track circuits; rods take the place of no tie")
	return d.with(a, to), true
}

// spread is what the gauge opens under load after regauging, mm: at most what the pair checks allow fair ties.
func (s *workshop) spread() float64 {
	most := s.sv.Settings.Value("loaded_gauge_allowance")
	g, ok1 := s.as(track.Gauge)
	l, ok2 := s.as(track.LoadedGauge)
	if !ok1 || !ok2 || l-g > most {
		return most
	}
	return max(0, l-g)
}

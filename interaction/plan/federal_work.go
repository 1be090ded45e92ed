package plan

import (
	"maps"

	"flangeway/internal/measure"
	"flangeway/track"
)

// Works that set readings at all once they are done: a place tamped, and what regulations alone ask for, where no check
// of a pair rests on what a work sets, or the readings at hand do not tell by how much something is to be moved.

// surfaced adds to each draft that the place is raised and tamped: with its elevation as it is, and with a new one
// where that is asked for or can be what unloads a wheel.
func (s *workshop) surfaced(list []draft, c choices) []draft {
	if !c.surface {
		return list
	}
	ways := []bool{c.elevate}
	if c.unload && !c.elevate && s.read(track.Elevation) {
		ways = append(ways, true)
	}
	out := list
	for _, elevate := range ways {
		to := s.level(elevate)
		if len(to) == 0 {
			continue
		}
		a := work(s.sv.Costs, "surface")
		a.What = "raise and tamp the place: " + columnsText(to)
		a.Note = append(a.Note, "read crosslevel and warp again over the whole place, 62 ft to either side of it")
		for _, d := range list {
			out = append(out, d.with(a, to))
		}
	}
	return out
}

// The elevation to which a curve is tamped, inches: an inch short of balance, 4 in at most. The project's own choice,
// well within every class.
const tampedShortfall, tampedMost = 1, 4

// level is the readings after tamping: those of level that were read.
func (s *workshop) level(elevate bool) map[track.Quantity]string {
	to := map[track.Quantity]string{}
	set := func(q track.Quantity, text string) {
		if s.read(q) {
			to[q] = text
		}
	}
	cost, _ := s.sv.Costs.Of("surface")
	for column, text := range cost.Leaves {
		if q, ok := track.QuantityOf(column); ok {
			set(q, text)
		}
	}
	elevation, known := s.as(track.Elevation)
	if elevate || !known {
		elevation = 0
		if d, ok := s.as(track.Degree); ok && s.f.SpeedKnown {
			elevation = track.BalancedElevation(d, s.f.Speed) - tampedShortfall*measure.MMPerInch
			elevation = min(max(elevation, 0), tampedMost*measure.MMPerInch)
		}
		set(track.Elevation, nearest(elevation))
	}
	set(track.CrosslevelLeast, nearest(elevation))
	return to
}

// frogAnew sets the guard rail anew at design gauge, with the frog as it is and with a new one: where a reading that
// would be moved is known from one side alone, or contradicts another one, everything is set.
func (s *workshop) frogAnew(c choices) (out []draft) {
	if d, ok := s.pointBuiltUp(); ok && c.point {
		out = append(out, d)
	}
	if !c.anew || !s.read(track.Gauge) {
		return out
	}
	for _, renew := range []bool{false, true} {
		guard, ok := s.guardAnew(renew)
		if !ok {
			continue
		}
		d := draft{}
		if renew {
			a := work(s.sv.Costs, "frog_renew")
			cols := map[track.Quantity]string{track.FlangewayDepth: nearest(s.designed(track.FlangewayDepth)),
				track.FlangewayWidth: nearest(s.designed(track.FlangewayWidth)), track.TreadWear: "none",
				track.PointWornDown: "none", track.PointWornBack: "none"}
			maps.Copy(cols, guard)
			a.What = withFinal("renew the frog: flangeway depth "+cols[track.FlangewayDepth]+" in, width "+
				cols[track.FlangewayWidth]+" in", cols)
			d = d.with(a, cols)
		}
		a := work(s.sv.Costs, "regauge")
		cols := map[track.Quantity]string{track.Gauge: nearest(s.designed(track.Gauge))}
		if s.read(track.LoadedGauge) {
			cols[track.LoadedGauge] = measure.UpToSixteenth(s.designed(track.Gauge) + s.spread())
		}
		maps.Copy(cols, guard)
		a.What = withFinal("regauge to "+cols[track.Gauge]+" in", cols)
		d = d.with(a, cols)
		if len(guard) > 0 {
			a := work(s.sv.Costs, "guard_move")
			a.What = withFinal("set the guard rail anew", guard)
			a.Note = append(a.Note, "check guard check and guard face together")
			d = d.with(a, guard)
		}
		out = append(out, d)
	}
	return out
}

// guardAnew is the guard rail as designed, those of its readings that were taken. ok is false if nobody knows the face.
func (s *workshop) guardAnew(renew bool) (to map[track.Quantity]string, ok bool) {
	to = map[track.Quantity]string{}
	if s.f.Type == "self-guarded" {
		return to, true
	}
	check := s.designed(track.GuardCheck)
	if s.read(track.GuardCheck) {
		to[track.GuardCheck] = nearest(check)
	}
	if s.read(track.GuardFlangeway) {
		to[track.GuardFlangeway] = nearest(s.designed(track.GuardFlangeway))
	}
	if s.read(track.GuardFace) {
		width := s.designed(track.FlangewayWidth)
		if !renew {
			if width, ok = s.as(track.FlangewayWidth); !ok {
				return nil, false
			}
		}
		to[track.GuardFace] = nearest(check - width)
	}
	return to, true
}

// pointBuiltUp builds up a frog's worn point, and its tread with it; ok is false if the point is not known to be worn
// by no more than a weld reaches.
func (s *workshop) pointBuiltUp() (d draft, ok bool) {
	cost, _ := s.sv.Costs.Of("frog_weld")
	down, back := s.f.Read(track.PointWornDown), s.f.Read(track.PointWornBack)
	if !down.Measured() || s.most(down) > cost.ReachMM+measure.Near || s.most(back) > cost.AlongMM+measure.Near {
		return d, false
	}
	a := work(s.sv.Costs, "frog_weld")
	to := map[track.Quantity]string{track.PointWornDown: "none"}
	for _, q := range []track.Quantity{track.PointWornBack, track.TreadWear} {
		if s.read(q) {
			to[q] = "none"
		}
	}
	a.What = "build up the frog's point by welding and finish it to its contour"
	return d.with(a, to), true
}

// most is what was read, as written, or its greatest end where it is known from one side alone; 0 if it was not read.
func (s *workshop) most(r measure.Reading) float64 {
	switch {
	case !r.Measured():
		return 0
	case r.OneSided():
		return r.Hi
	}
	return r.As
}

// columnsText lists readings in the order of the columns.
func columnsText(to map[track.Quantity]string) string {
	text := ""
	for q := range track.NumQuantities {
		if v, ok := to[q]; ok {
			if text != "" {
				text += ", "
			}
			text += words(q.String()) + " " + v + " in"
		}
	}
	return text
}

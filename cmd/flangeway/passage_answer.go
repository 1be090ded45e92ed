package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/configs"
	"flangeway/interaction/contact"
	"flangeway/interaction/passage"
	"flangeway/internal/measure"
	"flangeway/track/shape"
)

// answer computes the passage and puts it into words.
func (in *passageInput) answer() (export.Passage, draw.Passages, error) {
	out := export.Passage{Schema: 1, Program: "flangeway " + version(), Over: "frog", Stations: []any{},
		Dips: []export.PassageDip{}, Strikes: []export.PassageStrike{}, Static: export.Rounded(in.load.Static / 1000),
		Bound: export.Rounded(in.load.Bound / 1000), Inputs: usedInputs(in.Used),
		Warnings: append([]string{}, in.Warnings...), Cautions: caution.Passage()}
	w, err := passage.NewWheel(in.axle.Near.Shape, in.axle.Diameter[0])
	if err != nil {
		return out, draw.Passages{}, err
	}
	var pic draw.Passages
	switch {
	case in.diamond != nil:
		out.Over = "diamond"
		pic, err = in.overADiamond(w, &out)
	case in.overFrog:
		pic, err = in.overAFrog(w, &out)
	default:
		out.Over = "switch"
		pic, err = in.overASwitch(w, &out)
	}
	out.Assumed = in.assumed()
	if c, ok := in.figures.Constant("force_bound"); ok && !in.given["force_bound"] {
		out.BoundFrom = strings.Trim(configs.MemoryMark(c.Source), " ()")
	}
	if !in.overFrog && configs.MemoryMark(in.detail.Source) != "" {
		out.Cautions = append([]string{"The heights and widths of the point are those of the detail " + in.detail.Name +
			", which is from memory: compare them with the railroad's own plan."}, out.Cautions...)
	}
	if err == nil {
		err = in.judged(&out)
	}
	return out, pic, err
}

// assumed lists the built-in figures that entered.
func (in *passageInput) assumed() []export.Default {
	names := shape.SwitchPlanConstants()
	if in.diamond != nil {
		names = shape.DiamondPlanConstants(in.diamond.Bearing)
	} else if in.overFrog {
		names = shape.FrogPlanConstants(in.frog.Type)
		if in.frog.PointWornDown > 0 {
			names = append(names, "point_worn_back")
		}
	} else {
		if in.point.ChipDepth > 0 {
			names = append(names, "chip_length")
		}
	}
	var out []export.Default
	add := func(c configs.Constant) {
		if !in.given[c.Name] {
			out = append(out, export.Default{Setting: c.Name, Value: c.Text(), Source: c.Source, Kind: c.Kind})
		}
	}
	for _, n := range append(names, "unsprung_mass", "force_bound") {
		if c, ok := in.figures.Constant(n); ok {
			add(c)
		}
	}
	for _, s := range in.BuiltIn {
		out = append(out, export.Default{Setting: s.Name, Value: s.Text(), Source: s.Source, Kind: s.Kind})
	}
	s := in.support
	out = append(out, export.Default{Setting: "track " + s.Name, Value: fmt.Sprintf("%g kg, %g N s/m, %g N/m", s.Mass,
		s.Damping, s.Stiffness), Source: s.Source, Kind: s.Kind})
	if !in.overFrog {
		out = append(out, export.Default{Setting: "detail " + in.detail.Name,
			Value: fmt.Sprintf("%d stations", len(in.detail.Stations)), Source: in.detail.Source, Kind: in.detail.Kind})
	}
	return out
}

func finite(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return value(v)
}

func (in *passageInput) overAFrog(w *passage.Wheel, out *export.Passage) (draw.Passages, error) {
	model, err := shape.NewFrogModel(in.frog)
	if err != nil {
		return draw.Passages{}, err
	}
	s, err := passage.Frog(model, w, in.frogAxle, in.opt)
	if err != nil {
		return draw.Passages{}, err
	}
	if err := in.passed(w, s, in.frog.FlangewayDepth, in.frog.Type == shape.BearingFrog, out); err != nil {
		return draw.Passages{}, err
	}
	p := s.Shown
	if p.Place.Beyond > 0 {
		out.Warnings = append(out.Warnings, fmt.Sprintf("The guard lets the flange face pass the frog's gauge line "+
			"by %.1f mm.", p.Place.Beyond))
	}
	return in.frogPicture(model, w, p, out), nil
}

// passed fills what a frog and a rail of a diamond have in common: the way through at a flangeway depth in mm, over a
// floor that is made to carry the flange or not.
func (in *passageInput) passed(w *passage.Wheel, s *passage.FrogSolution, depth float64, bearing bool,
	out *export.Passage) error {
	p := s.Shown
	f, err := p.Forces(in.load)
	if err != nil {
		return err
	}
	for _, st := range p.Stations {
		row := export.PassageStation{X: export.Rounded(st.X), Z: export.Rounded(st.Z), RestsOn: string(st.RestsOn)}
		if st.Floored {
			row.TipClearance = value(st.Tip)
		}
		out.Stations = append(out.Stations, row)
	}
	if p.Transfers {
		out.TransferX = value(p.Transfer)
	}
	out.Held = p.Place.Why
	in.levels(out, p.Lift, p.LiftX, p.Drop, p.DropX, p.Dips, p.Dip, f)
	strike := len(p.Strikes) > 0
	out.Strike = &strike
	blows := f.Blows
	if p.Dip.Angle > 0 {
		blows = blows[1:]
	}
	for _, k := range p.Strikes {
		row := export.PassageStrike{What: k.What, How: k.How, From: export.Rounded(k.From), To: export.Rounded(k.To),
			Angle: export.Rounded(k.Angle * 1000), Rise: export.Rounded(k.Rise), Met: export.Rounded(k.Met),
			Added: export.Rounded(blows[0].Added / 1000), Capped: blows[0].Capped}
		if blows = blows[1:]; k.Off > 0 {
			row.OffAngle, row.OffAdded = value(k.Off*1000), value(blows[0].Added/1000)
			blows = blows[1:]
		}
		out.Strikes = append(out.Strikes, row)
	}
	if bearing {
		if err := in.bearing(w, p, out); err != nil {
			return err
		}
	}
	out.PlainFloor = value(depth - w.Height)
	if !math.IsInf(p.FloorMargin, 0) {
		out.TipClearance, out.TipClearanceX, out.TipAnywhere = value(p.FloorMargin), value(p.FloorX),
			finite(s.FloorMargin)
	}
	if p.PointMet {
		out.PointRoom = value(p.PointMargin)
	}
	for _, q := range s.Paths {
		row := export.PassagePlace{Why: q.Place.Why, Tape: export.Rounded(q.Place.Tape), Shown: q == p,
			Lift: export.Rounded(q.Lift), Drop: export.Rounded(q.Drop), DipAngle: export.Rounded(q.Dip.Angle * 1000),
			TipClearance: finite(q.FloorMargin), Strike: len(q.Strikes) > 0}
		if q.Transfers {
			row.TransferX = value(q.Transfer)
		}
		if q.PointMet {
			row.PointRoom = value(q.PointMargin)
		}
		out.Positions = append(out.Positions, row)
	}
	return nil
}

// bearing fills what a flange-bearing frog does.
func (in *passageInput) bearing(w *passage.Wheel, p *passage.FrogPath, out *export.Passage) error {
	b, ok := p.Bears(w)
	if !ok {
		out.Warnings = append(out.Warnings, "The flange does not reach the floor: the tread carries the wheel over "+
			"the gap, for which a flange-bearing frog is not made.")
		return nil
	}
	out.Bearing = &export.PassageBearing{From: export.Rounded(b.From), To: export.Rounded(b.To),
		Lift: export.Rounded(b.Lift), Whole: b.Whole, Slower: export.Rounded(b.Slower * 100),
		Reach: export.Rounded(math.Max(0, -p.FloorMargin))}
	press, err := w.TipPressure(in.load.Static, 0)
	switch {
	case errors.Is(err, contact.ErrConformal): // a tip that is worn flat
	case err != nil:
		return err
	default:
		out.Bearing.Pressure = value(press.P0)
	}
	return nil
}

// levels fills what frog and switch have in common.
func (in *passageInput) levels(out *export.Passage, lift, liftX, drop, dropX float64, dips []passage.Dip,
	dip passage.Dip, f passage.Forces) {
	out.Lift, out.Drop = export.Rounded(lift), export.Rounded(drop)
	if lift > 0 {
		out.LiftX = value(liftX)
	}
	if drop > 0 {
		out.DropX = value(dropX)
	}
	out.DipAngle = export.Rounded(dip.Angle * 1000)
	if dip.Angle > 0 {
		out.DipX = value(dip.X)
	}
	for _, d := range dips {
		out.Dips = append(out.Dips, export.PassageDip{X: export.Rounded(d.X), From: string(d.From), To: string(d.To),
			Angle: export.Rounded(d.Angle * 1000)})
	}
	out.P2, out.Most = export.Rounded(f.P2/1000), export.Rounded(f.Most/1000)
	if f.Bounded {
		out.BoundMPH = value(f.Speed * 3600 / metresPerMile)
	}
}

func (in *passageInput) overASwitch(w *passage.Wheel, out *export.Passage) (draw.Passages, error) {
	model, err := shape.NewSwitchModel(in.point)
	if err != nil {
		return draw.Passages{}, err
	}
	held, err := passage.HeldAngle(in.mu)
	if err != nil {
		return draw.Passages{}, err
	}
	climb := in.climb
	if !in.opt.Trailing { // which climbs nothing
		facing, err := passage.FacingAngle(climb*degrees, in.mu)
		if err != nil {
			return draw.Passages{}, err
		}
		climb = facing / degrees
	}
	s, err := passage.Switch(model, w, in.swAxle, climb, in.opt.Step)
	if err != nil {
		return draw.Passages{}, err
	}
	point, err := model.Angle()
	if err != nil {
		return draw.Passages{}, err
	}
	if !in.opt.Trailing {
		out.PointMrad, out.Friction, out.HeldAngle = value(point*1000), value(in.mu), value(held*degrees)
	}
	f, err := s.Forces(in.load)
	if err != nil {
		return draw.Passages{}, err
	}
	for _, st := range s.Stations {
		row := export.SwitchStation{X: export.Rounded(st.X), Z: export.Rounded(st.Z), RestsOn: string(st.RestsOn),
			Over: st.Over}
		if st.X >= 0 {
			row.Down, row.Exposed = value(st.Down), value(st.Exposed)
		}
		if st.Touches {
			row.Angle = value(st.Angle * degrees)
		}
		out.Stations = append(out.Stations, row)
	}
	if s.Transfers {
		out.TransferX = value(s.Transfer)
	}
	in.levels(out, s.Lift, s.LiftX, s.Drop, s.DropX, s.Dips, s.Dip, f)
	out.Held = "the stock rail"
	if in.opt.Trailing {
		out.Warnings = append(out.Warnings, "A trailing move opens or runs along the point: it neither picks nor "+
			"climbs it. Tip room and contact angle are those of a facing move.")
	}
	if s.YawKnown {
		out.YawMrad = value(s.Yaw * 1000)
		if !in.opt.Trailing {
			out.AttackMrad = value((point + s.Yaw) * 1000)
		}
	}
	if !s.TipOver {
		out.TipRoom = finite(s.TipRoom)
	}
	if s.Meets {
		out.FirstX, out.LeastAngle, out.LeastAngleX = value(s.First), value(s.Least*degrees), value(s.LeastX)
	}
	out.Chipped = in.point.ChipDepth > 0
	if s.Steps {
		out.StepX, out.StepAngle = value(s.Step), value(s.StepAngle*degrees)
	}
	if s.RidesUp {
		out.RideUpX = value(s.RideUp)
	}
	if s.Behinds {
		out.BehindX = value(s.Behind)
	}
	if s.FalseKnown {
		out.FalseFlange, out.FalseFlangeX = value(s.FalseFlange), value(s.FalseFlangeX)
	}
	return in.switchPicture(model, w, s, out), nil
}

func (in *passageInput) frogPicture(m *shape.FrogModel, w *passage.Wheel, p *passage.FrogPath,
	out *export.Passage) draw.Passages {
	pic := draw.Passages{Title: fmt.Sprintf("Wheel through a No. %g frog, %s", in.frog.Number, in.frog.Type),
		PathName: "tread at the tape line", TipName: "flange tip", FloorName: "floor of the flangeway",
		Plane: "tread plane", Metric: in.Survey != nil && in.Survey.Metric}
	for _, st := range p.Stations {
		pic.Path = append(pic.Path, [2]float64{st.X, st.Z})
		pic.Tip = append(pic.Tip, [2]float64{st.X, st.Z - w.Height})
		if z, ok := m.FloorAt(st.X); ok {
			pic.Floor = append(pic.Floor, [2]float64{st.X, -z})
		}
	}
	pic.Marks = []draw.PassageMark{{X: m.Throat, Text: "throat"}, {X: m.Tip, Text: "1/2 in point"}}
	if p.Transfers {
		pic.Marks = append(pic.Marks, draw.PassageMark{X: p.Transfer, Text: "transfer"})
	}
	// The worst station: the floor if it is struck, else the greatest dip, else the least tip clearance.
	at, why := p.FloorX, "least tip clearance"
	switch {
	case len(p.Strikes) > 0 && p.Strikes[0].What == "floor":
		why = "where the flange bears hardest on the floor"
	case p.Dip.Angle > 0:
		at, why = p.Dip.X, "where the path turns most"
	}
	z, on := p.At(at)
	pic.Section = m.Section(at).Outlines(sectionBelow)
	in.wheelPicture(&pic, w, p.Place.Tape, z, at)
	pic.SectionNote = fmt.Sprintf("section %s the theoretical point, %s; rests on %s", behind(at), why,
		restsOn(on, "wing and point"))
	pic.Note = fmt.Sprintf("held by %s; lift %.1f mm, drop %.1f mm, dip %.1f mrad; %.0f kN at %.0f mph (static %.0f "+
		"kN)", p.Place.Why, p.Lift, p.Drop, p.Dip.Angle*1000, out.Most, in.load.Speed*3600/metresPerMile, out.Static)
	pic.Desc = fmt.Sprintf("%s. Above, heights along the frog, stretched: tread, flange tip and floor. Below, the %s, "+
		"to scale. %s.", pic.Title, pic.SectionNote, pic.Note)
	return pic
}

// restsOn names the part that carries a wheel; both are those of its place.
func restsOn(on passage.Carrier, both string) string {
	if on == passage.Both {
		return both
	}
	return "the " + string(on)
}

// sectionBelow is how far below the tread plane sections are drawn, mm.
const sectionBelow = 60.0

// behind says where a station is: 4.0 in behind.
func behind(mm float64) string {
	if mm < 0 {
		return inches(-mm) + " ahead of"
	}
	return inches(mm) + " behind"
}

func inches(mm float64) string { return fmt.Sprintf("%.1f in", mm/measure.MMPerInch) }

// wheelPicture places the wheel in the section.
func (in *passageInput) wheelPicture(pic *draw.Passages, w *passage.Wheel, tape, z, at float64) {
	for _, v := range w.Shape.Outline {
		pic.Wheel = append(pic.Wheel, [2]float64{v.Y + tape, v.Z - z})
	}
	pic.WheelTop = -z - 32
	pic.Marks = append(pic.Marks, draw.PassageMark{X: at, Text: "section"})
}

func (in *passageInput) switchPicture(m *shape.SwitchModel, w *passage.Wheel, s *passage.SwitchSolution,
	out *export.Passage) draw.Passages {
	pic := draw.Passages{Title: fmt.Sprintf("Wheel over a switch point, detail %s%s", in.point.Detail,
		configs.MemoryMark(in.detail.Source)), PathName: "tread at the tape line", FloorName: "top of the point",
		TipName: "flange tip", Plane: "top of the stock rail", Metric: in.Survey != nil && in.Survey.Metric}
	for _, st := range s.Stations {
		pic.Path = append(pic.Path, [2]float64{st.X, st.Z})
		pic.Tip = append(pic.Tip, [2]float64{st.X, st.Z - w.Height})
		if st.X >= 0 {
			pic.Floor = append(pic.Floor, [2]float64{st.X, -st.Down})
		}
	}
	pic.Marks = []draw.PassageMark{{X: 0, Text: "tip"}}
	if s.Transfers {
		pic.Marks = append(pic.Marks, draw.PassageMark{X: s.Transfer, Text: "transfer"})
	}
	at, why := 0.0, "the tip"
	switch {
	case s.RidesUp:
		at, why = s.RideUp, "where the flange can first ride up"
	case s.Behinds:
		at, why = s.Behind, "where the flange can first pass behind"
	case s.Meets:
		at, why = s.First, "where the flange first meets the point"
	}
	st := s.Nearest(at)
	pic.Section = m.Section(at).Outlines(sectionBelow)
	in.wheelPicture(&pic, w, st.Tape, st.Tread, at)
	pic.SectionNote = fmt.Sprintf("section %s behind the tip, %s", inches(at), why)
	pic.Note = "flange not met"
	if s.Meets {
		pic.Note = fmt.Sprintf("least contact angle %.1f degrees, %s behind the tip", s.Least*degrees, inches(s.LeastX))
	}
	if out.TipRoom != nil {
		pic.Note += fmt.Sprintf("; room beside the tip %.1f mm", *out.TipRoom)
	}
	pic.Desc = fmt.Sprintf("%s. Above, heights along the switch, stretched: tread, flange tip and the point's top. "+
		"Below, the %s, to scale. %s.", pic.Title, pic.SectionNote, pic.Note)
	return pic
}

package main

import (
	"math"
	"slices"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/track"
	"flangeway/wheel"
)

// ownOfPassage are the flags that change no reading of a wheel or a place.
func ownOfPassage() []string {
	return []string{"survey", "car", "position", "at", "over", "format", "draw", "step", "speed", "gross", "load",
		"unsprung", "track", "track-stiffness", "track-damping", "track-mass", "bound", "color", "help"}
}

// judged adds check's verdict of the wheel at the place, if both are those of the survey as they were read: a passage
// is one state of the readings, and check's verdict stands over all that they and what was not read can be.
func (in *passageInput) judged(out *export.Passage) error {
	if in.Survey == nil || in.of == nil || in.at == nil {
		return nil
	}
	for name := range in.Flags {
		if in.Flags[name] != "" && !slices.Contains(ownOfPassage(), name) {
			return nil
		}
	}
	book, err := in.Survey.Book()
	if err != nil {
		return err
	}
	// The car and the place by themselves: what else is in the sheets changes no verdict.
	one := *in.Survey
	one.Fleet = &wheel.Fleet{Cars: []*wheel.Car{in.of.Car}}
	for _, w := range in.Survey.Fleet.Wheels {
		if w.Car == in.of.Car {
			one.Fleet.Wheels = append(one.Fleet.Wheels, w)
		}
	}
	one.Track = &track.Track{Features: []*track.Feature{in.at}}
	engine, err := engineFor(&one, book, interaction.Options{}, false)
	if err != nil {
		return err
	}
	result := engine.Judge()
	return engine.EachPair(result.Tallies, func(f *judge.Finding) error {
		if f.Wheel == in.of && f.Computed != nil {
			out.Judged = append(out.Judged, judgedPair(f))
			in.oneAngle(f, out)
		}
		return nil
	})
}

// oneAngle puts check's contact angle in the place of that of the shape with its vertical flange: beside the flange's
// tip check takes the flange by its height and thickness alone.
func (in *passageInput) oneAngle(f *judge.Finding, out *export.Passage) {
	if f.Check.Passes != interaction.OnPoint || math.IsNaN(f.Computed.Margin) || f.Computed.Mechanism == "" ||
		out.LeastAngle == nil {
		return
	}
	shape := *out.LeastAngle
	out.LeastAngle = value(f.Computed.Margin + in.Setting("least_contact_angle").Value)
	if math.Abs(shape-*out.LeastAngle) > 0.05 {
		out.ShapeAngle = value(shape)
	}
}

func judgedPair(f *judge.Finding) export.PassageJudged {
	k := f.Computed
	out := export.PassageJudged{Check: f.Check.ID, Verdict: f.Verdict.String(),
		Close: f.Close, Text: k.Text(), Why: k.Why, SettleBy: f.SettleBy(), Doubt: f.Doubt, Settle: paper.SettleText(f),
		OnPoint: f.Check.Passes == interaction.OnPoint}
	for _, v := range f.Evidence {
		if v.Passes == 0 { // the passes of this car alone are no count of a place
			out.Why += "; " + v.Text()
		}
	}
	if k.Mechanism != "" {
		out.Unit, out.Low, out.High = k.Unit, finite(k.Low), finite(k.High)
		if !math.IsNaN(k.Margin) {
			out.Margin = finite(k.Margin)
		}
	}
	return out
}

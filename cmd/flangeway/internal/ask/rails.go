package ask

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/internal/measure"
	"flangeway/internal/outline"
	"flangeway/internal/regular"
	"flangeway/track"
	"flangeway/track/shape"
)

// Rails are both rails of a track, worn as read; all in mm and rad.
type Rails struct {
	Near, Far                *shape.RailHead
	Gauge, GaugeHeight, Cant float64
	GaugeRead                measure.Reading // that Gauge is the value of
}

// european reports whether a rail is a section of the EN, whose gauge is read 14 mm down.
func european(r *shape.RailHead) bool { return r.GaugeHeight < 15 }

// Rails asks for section, wear, gauge, its height and the cant, at a place of the survey or at none (nil).
func (s *Start) Rails(at *track.Feature) (Rails, error) {
	var r Rails
	near, far, err := s.Ask("rail", Flag("rail"), wordAt(at, func(f *track.Feature) string { return f.Rail }),
		Default("136RE", "default")).Two()
	if err != nil {
		return r, err
	}
	height := 0.0
	if text := s.Flags["gauge-height"]; text != "" {
		if height, err = Length("gauge-height", text, Inches("gauge height", 0, 2)); err != nil {
			return r, err
		}
	}
	if r.Near, err = s.openRail(near, height); err != nil {
		return r, err
	}
	if r.Far = r.Near; far != near {
		if r.Far, err = s.openRail(far, height); err != nil {
			return r, err
		}
	}
	if err := s.railWear(&r, at); err != nil {
		return r, err
	}
	if r.GaugeHeight = height; height == 0 {
		r.GaugeHeight = r.Near.GaugeHeight
		text := measure.Inch(r.GaugeHeight) + " in"
		if european(r.Near) {
			text = "14 mm"
		}
		s.Note("gauge height", text, "default of the section")
	} else {
		s.Note("gauge height", s.Flags["gauge-height"], "flag")
	}
	fallback := "56-1/2"
	if european(r.Near) {
		fallback = "1435mm"
	}
	gauge := s.Ask("gauge", Flag("gauge"), At(at, track.Gauge), Default(fallback, "default"))
	if r.GaugeRead, r.Gauge, err = gauge.measured(s.Columns["gauge"]); err != nil {
		return r, err
	}
	cant := s.Ask("cant", Flag("cant"), wordAt(at, func(f *track.Feature) string { return f.Cant }),
		Default("1:40", "default"))
	r.Cant, err = Cant("cant", cant.Text)
	return r, err
}

// Length parses a length of a flag that is asked for by no chain.
func Length(flag, text string, spec measure.Spec) (float64, error) {
	return Value{Text: text, From: "flag", flag: flag}.Length(spec)
}

// openRail is a section by name or a traced file; height (mm) is where the gauge of a trace is read, 0 for the usual.
func (s *Start) openRail(name string, height float64) (*shape.RailHead, error) {
	if _, ok := s.Shapes.Rail(name); !ok {
		data, ok, err := traced(name)
		if err != nil {
			return nil, err
		}
		if ok {
			if height == 0 {
				height = measure.MMPerInch * 5 / 8
			}
			r, q, err := shape.RailFromTrace(name, data, height, false)
			if err != nil {
				return nil, badName(err)
			}
			s.quality(name, q)
			return r, nil
		}
	}
	r, err := shape.RailNamed(s.Shapes, name)
	return r, badName(err)
}

// railWear applies head and gauge-face wear. Gauge-face wear of a feature is that of the near rail.
func (s *Start) railWear(r *Rails, at *track.Feature) error {
	head, err := s.Length("head wear", s.Columns["head_wear"], Flag("head-wear"), At(at, track.HeadWear))
	if err != nil {
		return err
	}
	read := nothing
	if at != nil && at.Read(track.GaugeFaceWear).Measured() {
		read = Both(at.Read(track.GaugeFaceWear), measure.Reading{Written: "none", Form: measure.None}, at.Place)
	}
	face, err := s.Lengths("gauge face wear", s.Columns["gauge_face_wear"], Flag("gauge-face-wear"), read)
	if err != nil {
		return err
	}
	angle, err := s.Length("gauge face angle", s.Columns["gauge_face_angle"], Flag("gauge-face-angle"),
		At(at, track.GaugeFaceAngle))
	if err != nil {
		return err
	}
	if head == 0 && face == [2]float64{} {
		return nil
	}
	near, err := r.Near.Worn(head, face[0], angle)
	if err != nil {
		return &cli.InputError{Err: err}
	}
	far := near
	if face[0] != face[1] || r.Far != r.Near {
		if far, err = r.Far.Worn(head, face[1], angle); err != nil {
			return &cli.InputError{Err: err}
		}
	}
	r.Near, r.Far = near, far
	return nil
}

// maxTrace caps a file of a traced profile, in bytes.
const maxTrace = 8 << 20

// traced reads a file of a traced profile; ok is false if there is none.
func traced(name string) ([]byte, bool, error) {
	st, err := os.Stat(name)
	switch {
	case errors.Is(err, fs.ErrNotExist), err != nil && !strings.ContainsAny(name, `./\`):
		return nil, false, nil
	case err != nil:
		return nil, false, cli.Inputf("%s: %s", name, regular.Why(err))
	case st.IsDir():
		return nil, false, cli.Inputf("%s is a folder, not a traced profile", name)
	}
	data, err := regular.Read(name, maxTrace)
	if err != nil {
		return nil, false, cli.Inputf("%s: %s", name, regular.Why(err))
	}
	return data, true, nil
}

// badName is the error of a wheel or rail that cannot be had: a wrong name is usage, a file that cannot be used is
// input.
func badName(err error) error {
	var input *cli.InputError
	switch {
	case err == nil, errors.As(err, &input):
		return err
	case strings.Contains(err.Error(), "(known: "):
		return &cli.UsageError{Err: err}
	}
	return &cli.InputError{Err: err}
}

// quality lists how good a traced profile is.
func (s *Start) quality(name string, q outline.Quality) {
	unit := q.Unit
	if q.Guessed {
		unit += " (told by the size; the file does not say)"
	}
	s.Note("trace "+name, fmt.Sprintf("%d points in %s, %d left out, longest gap %.2f mm, noise %.3f mm", q.Points,
		unit, q.Doubled+q.Spikes, q.Gap, q.Noise), "cleaned")
}

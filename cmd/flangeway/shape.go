package main

import (
	"errors"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction/contact"
	"flangeway/interaction/curving"
	"flangeway/interaction/load"
	"flangeway/wheel"
	"flangeway/wheel/shape"
)

func newShapeCmd(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use: "shape", Short: "both wheels of an axle on both rails: contact, conicity, pressure",
		Long: `shape lays both wheels of an axle on both rails as rigid bodies, the roll solved,
over a range of lateral shifts: where they touch and at which angle, the rolling
radius difference (RRD), the play, the equivalent conicity and the contact ellipse.

A wheel is a design by name (S1002, "narrow flange 1:20", "wide flange 1:20"), a
plain cone (cone:1/20) or a CSV file of a traced profile (x,y); a rail is a section
by name (60E1, 90RA-A to 141RE) or a traced file. Two names with a comma between
are near and far. With --hollow, --flange-height, --flange-thickness or
--vertical-flange the worn wheel is rebuilt from the design and the readings, at the
ends of their intervals too, and the page says what the lathe must take: the least
cut in sixteenths that restores the profile, the rim left and further turnings.

Lengths without a unit are inches, as everywhere; --max-shift, --step, --amplitude
and --hollow are millimetres. --load is newtons without a unit (159kN, 35750lb).
Shifts run from 0 toward the near rail, from the other side too where the sides
differ.`,
		Example: "  flangeway shape --wheel S1002 --rail 60E1 --gauge 1435mm --cant 1:40\n  flangeway shape --hollow " +
			"3 --draw axle.svg",
		Args: usageArgs(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runShape(s, typed(cmd.Flags()))
		},
	}
	f := cmd.Flags()
	outputFlags(f)
	f.String("wheel", "", "wheel design, cone:1/20 or traced file, `NEAR[,FAR]` (default narrow flange 1:20)")
	f.String("rail", "", "rail section or traced file, `NEAR[,FAR]` (default 136RE)")
	f.String("design", "", "`design` whose tape line and gauge heights a traced wheel has")
	f.String("gauge", "", "track `gauge` (default 56-1/2, 1435mm for EN sections)")
	f.String("gauge-height", "", "`depth` below the top of the rail at which gauge is read (default 14 mm EN, 5/8 RE)")
	f.String("back-to-back", "", "`distance` of the flange backs (default the design's)")
	f.String("cant", "", "inward lean of the rails: `1:40`, 1:20, none (default 1:40)")
	f.String("diameter", "", "wheel diameter at the tape line, `NEAR[,FAR]` (default 36, 920mm for S1002)")
	f.String("hollow", "", "tread hollow, `NEAR[,FAR]`, mm without a unit")
	f.String("flange-height", "", "flange height, `NEAR[,FAR]`")
	f.String("flange-thickness", "", "flange thickness, `NEAR[,FAR]`")
	f.String("vertical-flange", "", "height to which the face is vertical, `NEAR[,FAR]`")
	f.String("head-wear", "", "vertical wear of both rail heads, a `length`")
	f.String("gauge-face-wear", "", "gauge face wear, `NEAR[,FAR]`")
	f.String("gauge-face-angle", "", "angle of the worn gauge face, `degrees` from horizontal")
	f.String("max-shift", "", "last `shift`, mm without a unit (default the play, 10 for a cone)")
	f.String("step", "", "`step` of the shift, mm without a unit (default 0.25)")
	f.String("amplitude", "", "`list` of amplitudes for the conicity, mm without a unit (default 3)")
	f.String("load", "", "wheel `load` for the contact ellipse (default 35750lb)")
	f.String("degree", "", "`degree` of the curve whose needed difference is compared (default 4)")
	f.String("rim-thickness", "", "rim thickness, `NEAR[,FAR]`, for what the lathe leaves")
	f.String("rim-limit", "", "least rim `thickness` (default the federal limit of the car's kind, freight "+
		"where unknown)")
	f.String("cut", "", "the most the lathe may take off the radius, a `length`: the thickest flange it allows")
	f.String("turned-flange", "", "flange `thickness` that turning must restore (default the design's)")
	surveyFlags(f, "wheel `position` in the survey; it is the near wheel", "`feature` in the survey, as curve/C3")
	completeWords(cmd, "format", formats())
	completePlaces(cmd)
	completeShapes(cmd, "wheel", "rail", "design")
	groupFlags(cmd,
		flagGroup{"Wheel", []string{"wheel", "hollow", "flange-height", "flange-thickness", "vertical-flange",
			"diameter",
			"back-to-back", "design"}},
		flagGroup{"Rail and track", []string{"rail", "gauge", "gauge-height", "cant", "head-wear", "gauge-face-wear",
			"gauge-face-angle", "degree"}},
		flagGroup{"Lathe", []string{"rim-thickness", "rim-limit", "cut", "turned-flange"}},
		flagGroup{"What is computed", []string{"max-shift", "step", "amplitude", "load"}},
		surveyGroup())
	return cmd
}

func runShape(s streams, f ask.Flags) error {
	if err := asked(f); err != nil {
		return err
	}
	in, err := readShape(f)
	if err != nil {
		return err
	}
	answer, drawing, err := in.answer()
	if err != nil {
		return shapeError(err)
	}
	return deliver(s, f, in.Start, answer, func() []byte { return drawnIn(in.Start.Survey, draw.Shape(drawing)) },
		export.ShapeCSV, paper.Shape)
}

// shapeError turns what the shapes say about the input into an input error.
func shapeError(err error) error {
	for _, e := range []error{contact.ErrInput, contact.ErrOffRail, shape.ErrShape, shape.ErrContradiction,
		wheel.ErrNoDesign, curving.ErrInput, curving.ErrOverturns, load.ErrInput} {
		if errors.Is(err, e) {
			return &inputError{Err: err}
		}
	}
	return err
}

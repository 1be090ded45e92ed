package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
)

// curveOptions are the flags of curve; those it shares with shape are shape's.
type curveOptions struct {
	shapeOptions
	elevation, speed, mu, muHigh, muLow, gross, height, wheelbase string
	moment, warp, frame, high, leading, truckOf, sweep, over      string
}

func newCurveCmd(s streams) *cobra.Command {
	var o curveOptions
	cmd := &cobra.Command{
		Use: "curve", Short: "one truck of a car in one curve: steering, forces, climb, rollover",
		Long: `curve lets a two-axle truck run steadily through a curve, each of its four wheels
with its own shape, and says how it stands (angle of attack, shift), how hard each
wheel presses sideways and upright, and how far that is from climbing (Nadal), from
rolling the rail over (the whole truck side) and from spreading the gauge. A truck
on hollow wheels can have several steady states: it is let run from tangent track,
from the middle and from either rail, all are listed, and the worst one gives the
answer.

--hollow and the other readings are one value for all wheels or a list by position:
--hollow L1=3mm,R2=1mm. L wheels run on the high rail unless --high R. Where speed or
elevation is missing it is the one that balances the other. Without --survey the
truck is rigid and turns freely under the car; with it the settings of check stand.

--sweep degree|hollow|speed|mu|gauge runs through a range (--over FROM..TO) and
prints a table; with --draw it is a chart. With --survey and without --at the sweep
over hollow is drawn for every curve, the fleet's wheels marked.

Twist, load imbalance and motion are not in the model.`,
		Example: "  flangeway curve --degree 10 --speed 10 --rail 115RE --gauge 57 --hollow R1=4,R2=4\n  flangeway curve --degree 8 --rail 115RE --sweep hollow --over 0..4",
		Args:    usageArgs(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runCurve(cmd.Context(), s, o)
		},
	}
	f := cmd.Flags()
	o.outputFlags(f)
	f.StringVar(&o.degree, "degree", "", "`degree` of the curve, or R and its radius: 6.5, 6°30', R 955'")
	f.StringVar(&o.elevation, "elevation", "", "`elevation` of the high rail (default 0 where the speed is given)")
	f.StringVar(&o.speed, "speed", "", "`speed` in mph (default that which the elevation balances)")
	f.StringVar(&o.gauge, "gauge", "", "track `gauge` (default 56-1/2, 1435mm for EN sections)")
	f.StringVar(&o.gaugeHeight, "gauge-height", "", "`depth` below the top of the rail at which gauge is read (default 14 mm EN, 5/8 RE)")
	f.StringVar(&o.rail, "rail", "", "rail section or traced file, `HIGH[,LOW]` (default 136RE)")
	f.StringVar(&o.cant, "cant", "", "inward lean of the rails: `1:40`, 1:20, none (default 1:40)")
	f.StringVar(&o.headWear, "head-wear", "", "vertical wear of both rail heads, a `length`")
	f.StringVar(&o.faceWear, "gauge-face-wear", "", "gauge face wear, `HIGH[,LOW]`")
	f.StringVar(&o.faceAngle, "gauge-face-angle", "", "angle of the worn gauge face, `degrees` from horizontal")
	f.StringVar(&o.wheel, "wheel", "", "wheel design, cone:1/20 or traced `file` (default narrow flange 1:20)")
	f.StringVar(&o.design, "design", "", "`design` whose tape line and gauge heights a traced wheel has")
	f.StringVar(&o.hollow, "hollow", "", "tread hollow, mm without a unit, or a `list` such as L1=3mm,R2=1mm")
	f.StringVar(&o.flangeHeight, "flange-height", "", "flange height, or a `list` by position")
	f.StringVar(&o.flangeThickness, "flange-thickness", "", "flange thickness, or a `list` by position")
	f.StringVar(&o.vertical, "vertical-flange", "", "height to which the face is vertical, or a `list` by position")
	f.StringVar(&o.backToBack, "back-to-back", "", "`distance` of the flange backs (default the design's)")
	f.StringVar(&o.diameter, "diameter", "", "wheel diameter at the tape line, or a `list` by position (default 36, 920mm for S1002)")
	f.StringVar(&o.mu, "mu", "", "`friction` on both rails (default the setting dry_friction, 0.5)")
	f.StringVar(&o.muHigh, "mu-high", "", "`friction` on the high rail")
	f.StringVar(&o.muLow, "mu-low", "", "`friction` on the low rail")
	f.StringVar(&o.gross, "gross", "", "gross `weight` of the four-axle car, lb without a unit")
	f.StringVar(&o.height, "cg-height", "", "`height` of the car's centre of gravity above the rails")
	f.StringVar(&o.wheelbase, "wheelbase", "", "axle `spacing` in the truck")
	f.StringVar(&o.moment, "rotation-moment", "", "`moment` of centre plate and side bearings, N.m without a unit (2kN.m)")
	f.StringVar(&o.frame, "frame", "", "`frame` of the truck: rigid or three-piece")
	f.StringVar(&o.warp, "warp-stiffness", "", "`stiffness` of a three-piece truck against warp, N.m/rad")
	f.StringVar(&o.truckOf, "truck", "", "which truck of the car: `leading` or trailing (default leading)")
	f.StringVar(&o.high, "high", "", "`side` of the car on the high rail: L or R (default L)")
	f.StringVar(&o.leading, "leading", "", "`end` of the car that runs ahead: B or A (default B)")
	f.StringVar(&o.sweep, "sweep", "", "run through a range of `what`: "+strings.Join(sweeps(), ", "))
	f.StringVar(&o.over, "over", "", "the `range` of the sweep, FROM..TO")
	o.surveyFlags(f, "a wheel `position` of the truck in the survey (default the B-end truck)", "`curve` in the survey, as curve/C3")
	completeWords(cmd, "format", formats())
	return cmd
}

func runCurve(ctx context.Context, s streams, o curveOptions) error {
	if err := knownFormat(o.format); err != nil {
		return err
	}
	if o.survey != "" && o.at == "" && o.sweep != "" {
		return runFleetChart(ctx, s, o)
	}
	in, err := readTruck(o)
	if err != nil {
		return err
	}
	if o.sweep != "" {
		return in.sweep(s, o)
	}
	if o.over != "" {
		return usagef("--over needs --sweep")
	}
	answer, drawing, err := in.answer()
	if err != nil {
		return shapeError(err)
	}
	if o.draw != "" {
		if err := writeWhole(o.draw, draw.Truck(drawing), in.inputs(o.shapeOptions)...); err != nil {
			return err
		}
	}
	return writeAnswer(s, o.format, answer, export.CurveJSON, export.CurveCSV, text.Curve)
}

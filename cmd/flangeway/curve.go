package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/track"
)

func newCurveCmd(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use: "curve", Short: "one truck of a car in one curve: steering, forces, climb, rollover",
		Long: `curve lets a truck of two or three axles run steadily through a curve, each of its wheels
with its own shape, and says how it stands (angle of attack, shift), how hard each
wheel presses sideways and upright, and how far that is from climbing (Nadal), from
rolling the rail over (the whole truck side) and from spreading the gauge. A truck
on hollow wheels can have several steady states: it is let run from tangent track
and from either rail, all are listed, and the worst one gives the answer.

--hollow and the other readings are one value for all wheels or a list by position:
--hollow L1=3mm,R2=1mm. L wheels run on the high rail unless --high R. Where speed or
elevation is missing it is the one that balances the other. Without --survey the
truck is rigid and turns freely under the car; with it the settings of check stand.

--sweep degree|hollow|speed|mu|gauge runs through a range (--over FROM..TO) and
prints a table; with --draw it is a chart. With --survey and without --at the sweep
over hollow is drawn for every curve, the fleet's wheels marked.

--axles 6 is a car on two trucks of three axles in rigid frames, the middle axle free
sideways by the setting middle_axle_clearance; its weight must be given.

--warp and --load-imbalance, or the survey's, take load from wheels: the truck then runs with
the high side lighter and with the low side lighter by what an even ramp of the warp takes between
the truck centers, and the worse of both is shown. Motion is not in the model.`,
		Example: "  flangeway curve --degree 10 --speed 10 --rail 115RE --gauge 57 --hollow R1=4,R2=4\n  flangeway " +
			"curve --degree 8 --rail 115RE --sweep hollow --over 0..4",
		Args: usageArgs(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runCurve(cmd.Context(), s, typed(cmd.Flags()))
		},
	}
	f := cmd.Flags()
	outputFlags(f)
	f.String("degree", "", "`degree` of the curve, or R and its radius: 6.5, 6°30', R 955'")
	f.String("elevation", "", "`elevation` of the high rail (default 0 where the speed is given)")
	f.String("speed", "", "`speed` in mph (default that which the elevation balances)")
	f.String("gauge", "", "track `gauge` (default 56-1/2, 1435mm for EN sections)")
	f.String("loaded-gauge", "", "gauge as read under `load` (default what the spreading force opens)")
	f.String("gauge-height", "", "`depth` below the top of the rail at which gauge is read (default 14 mm EN, 5/8 RE)")
	f.String("rail", "", "rail section or traced file, `HIGH[,LOW]` (default 136RE)")
	f.String("cant", "", "inward lean of the rails: `1:40`, 1:20, none (default 1:40)")
	f.String("head-wear", "", "vertical wear of both rail heads, a `length`")
	f.String("gauge-face-wear", "", "gauge face wear, `HIGH[,LOW]`")
	f.String("gauge-face-angle", "", "angle of the worn gauge face, `degrees` from horizontal")
	f.String("wheel", "", "wheel design, cone:1/20 or traced `file` (default narrow flange 1:20)")
	f.String("design", "", "`design` whose tape line and gauge heights a traced wheel has")
	f.String("hollow", "", "tread hollow, mm without a unit, or a `list` such as L1=3mm,R2=1mm")
	f.String("flange-height", "", "flange height, or a `list` by position")
	f.String("flange-thickness", "", "flange thickness, or a `list` by position")
	f.String("vertical-flange", "", "height to which the face is vertical, or a `list` by position")
	f.String("back-to-back", "", "`distance` of the flange backs (default the design's)")
	f.String("diameter", "", "wheel diameter at the tape line, or a `list` by position (default the setting "+
		"wheel_diameter, 36; 920mm for S1002)")
	f.String("mu", "", "`friction` on both rails (default the setting dry_friction, 0.5)")
	f.String("mu-high", "", "`friction` on the high rail")
	f.String("mu-low", "", "`friction` on the low rail")
	f.String("axles", "", "`count` of the car's axles, 4 or 6 (default the survey's, else 4)")
	f.String("gross", "", "gross `weight` of the car, lb without a unit (needed with six axles)")
	f.String("cg-height", "", "`height` of the car's centre of gravity above the rails")
	f.String("wheelbase", "", "`spacing` of neighbouring axles in the truck")
	f.String("rotation-moment", "", "`moment` of centre plate and side bearings, N.m without a unit (2kN.m)")
	f.String("frame", "", "`frame` of the truck: rigid or three-piece")
	f.String("warp-stiffness", "", "`stiffness` of a three-piece truck against warp, N.m/rad")
	f.String("warp", "", "greatest `difference` of crosslevel along the track (default the survey's, else none)")
	f.String("warp-over", "", "`distance` in whole feet over which warp was read (default 62)")
	f.String("truck-centers", "", "`distance` between the truck centers (default the setting truck_centers)")
	f.String("body", "", "how the car's `body` gives way in twist: stiff, ordinary, soft")
	f.String("load-imbalance", "", "by how many `percent` the heavier side carries more than half")
	f.String("truck", "", "which truck of the car: `leading` or trailing (default leading)")
	f.String("high", "", "`side` of the car on the high rail: L or R (default L)")
	f.String("leading", "", "`end` of the car that runs ahead: B or A (default B)")
	f.String("sweep", "", "run through a range of `what`: "+strings.Join(sweeps(), ", "))
	f.String("over", "", "the `range` of the sweep, FROM..TO")
	surveyFlags(f, "a wheel `position` of the truck in the survey (default the B-end truck)",
		"`curve` in the survey, as curve/C3")
	completeWords(cmd, "format", formats())
	completePlaces(cmd, track.Curve)
	completeShapes(cmd, "wheel", "rail", "design")
	groupFlags(cmd,
		flagGroup{"Curve", []string{"degree", "elevation", "speed", "gauge", "gauge-height", "loaded-gauge", "warp",
			"warp-over", "mu", "mu-high", "mu-low"}},
		flagGroup{"Rail", []string{"rail", "cant", "head-wear", "gauge-face-wear", "gauge-face-angle"}},
		flagGroup{"Wheels", []string{"wheel", "hollow", "flange-height", "flange-thickness", "vertical-flange",
			"diameter",
			"back-to-back", "design"}},
		flagGroup{"Car and truck", []string{"gross", "cg-height", "load-imbalance", "body", "truck-centers", "axles",
			"wheelbase", "frame", "warp-stiffness", "rotation-moment", "truck", "leading", "high"}},
		flagGroup{"A range of one of them", []string{"sweep", "over"}},
		surveyGroup())
	return cmd
}

func runCurve(ctx context.Context, s streams, f ask.Flags) error {
	if err := asked(f); err != nil {
		return err
	}
	if f["survey"] != "" && f["at"] == "" && f["sweep"] != "" {
		return runFleetChart(ctx, s, f)
	}
	in, err := readTruck(f)
	if err != nil {
		return err
	}
	if f["sweep"] != "" {
		return in.sweep(s)
	}
	if f["over"] != "" {
		return usagef("--over needs --sweep")
	}
	answer, drawing, err := in.answer()
	if err != nil {
		return shapeError(err)
	}
	return deliver(s, f, in.Start, answer, func() []byte { return drawnIn(in.Start.Survey, draw.Truck(drawing)) },
		export.CurveCSV, paper.Curve)
}

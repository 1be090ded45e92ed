package main

import (
	"errors"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction/passage"
	"flangeway/track"
	"flangeway/track/shape"
)

func newPassageCmd(s streams) *cobra.Command {
	cmd := &cobra.Command{
		Use: "passage", Short: "one wheel through one frog or over one switch point, station by station",
		Long: `passage takes a wheel, its worn shape rebuilt from the readings, through a frog or
over a closed switch point: at each station what it rests on and how high, the
clearance of the flange tip over the floor, where the load passes from wing to point,
lift, drop and the dip angle; the force of the dip at speed (P2), what a floor adds that
the flange strikes, and the speed at which the force reaches a bound. At a switch point:
the angle at which the flange comes (the point's own and the yaw in the play), the
contact angle, the room beside the tip, the first station at which a flange can ride up
or pass behind, the outer tread over the stock rail.

--over switch, or --at switch/S2, asks for a switch; --over diamond for one rail of a
crossing, whose tracks cross at --angle: its head is cut by the flangeway of each rail
of the other track, two frogs in a row; else it is a frog. The wheel flags
are those of shape; the first of two values is this wheel, the second its mate. Lengths
without a unit are inches, --hollow and --step millimetres, --gross pounds of a
four-axle car. Heights are positive up; x runs toward the heel, from the theoretical
point of a frog, from the tip of a switch point. All frogs but heavy-point ones have
sections; of a spring frog check judges both routes, of a flange-bearing one the tread
and the flange by itself. No column of frogs.csv says that a frog is one of a diamond:
check judges it as the frog that was written, and not the cut that a wheel bridges.`,
		Example: "  flangeway passage --number 8 --flangeway-depth 1-3/8 --hollow 4 --speed 15\n  flangeway passage " +
			"--over switch --chip-depth 3/4 --chip-length 8 --point-gap 1/8\n" +
			"  flangeway passage --over diamond --angle 45 --speed 25",
		Args: usageArgs(cobra.NoArgs),
		RunE: func(cmd *cobra.Command, _ []string) error {
			return runPassage(s, typed(cmd.Flags()))
		},
	}
	f := cmd.Flags()
	outputFlags(f)
	f.String("over", "", "what the wheel passes: `frog`, switch or diamond (default frog)")
	f.String("wheel", "", "wheel design or traced file, `NAME[,MATE]` (default narrow flange 1:20)")
	f.String("design", "", "`design` whose tape line and gauge heights a traced wheel has")
	f.String("diameter", "", "wheel `diameter` at the tape line (default 36, 920mm for S1002)")
	f.String("hollow", "", "tread hollow, `WHEEL[,MATE]`, mm without a unit")
	f.String("flange-height", "", "flange height, `WHEEL[,MATE]`")
	f.String("flange-thickness", "", "flange thickness, `WHEEL[,MATE]`")
	f.String("vertical-flange", "", "height to which the face is vertical, `WHEEL[,MATE]`")
	f.String("back-to-back", "", "greatest `distance` of the flange backs (default the design's)")
	f.String("gauge", "", "track `gauge` (default 56-1/2)")
	f.String("number", "", "frog `number` (default 8)")
	f.String("type", "", "frog `type`: rbm, solid, self-guarded, bolted, spring, flange-bearing (default rbm)")
	f.String("flangeway-width", "", "flangeway `width` of the frog (default 1-7/8)")
	f.String("flangeway-depth", "", "flangeway `depth` as read now (default 1-7/8, a new frog's)")
	f.String("tread-wear", "", "wear of the frog's tread, a `length`")
	f.String("point-worn-down", "", "loss of `height` at the frog's point")
	f.String("point-worn-back", "", "`length` over which that runs out")
	f.String("point-drop", "", "`depth` of the point's top: a new frog's under the wings at the 1/2 in point; a "+
		"switch's under the stock rail")
	f.String("wing-riser", "", "`height` of risers on the frog's wings")
	f.String("wing-slope", "",
		"rise of the frog's tops toward the field, `1:20` conforms to a new tread (default flat)")
	f.String("route", "", "`route` run at a spring frog: closed, whose wing the spring holds, or open (default closed)")
	f.String("angle", "", "`degrees` at which the tracks of a diamond cross, 8 to 90 (default 90)")
	f.String("other-gauge", "", "`gauge` of the other track of a diamond (default --gauge)")
	f.String("rail", "", "`rail` of a diamond: flange-first, where a wheel comes to the far side of a cut with its "+
		"flange side first, or field-first (default the one whose path turns more)")
	f.String("floor-ramp", "", "rate of the ramps at the floor's ends, `1:40` (default blunt; of a flange-bearing "+
		"frog 1:100)")
	f.String("guard-check", "", "guard `check` of the frog; n/m leaves the axle free (default 54-5/8)")
	f.String("detail", "", "switch point `detail`: plain, undercut (default plain)")
	f.String("point-gap", "", "`gap` between switch point and stock rail")
	f.String("point-thickness", "", "`thickness` of the switch point's tip")
	f.String("chip-depth", "", "`depth` of a chip below the top of the stock rail")
	f.String("chip-length", "", "`length` of the chip from the tip (default 8)")
	f.String("face-angle", "", "shallowest worn face of point or stock rail, `degrees` from horizontal")
	f.String("stock-rail-wear", "", "wear of the stock rail's gauge side, a `length`")
	f.String("undercut", "", "`depth` of the recess for the tip")
	f.String("point-length", "", "`length` of the switch point, tip to heel (default the detail's, 16-1/2 ft)")
	f.String("mu", "", "`friction` of wheel on switch point (default the setting dry_friction, 0.5)")
	f.String("heel-rise", "", "rise of the switch rail over the stock rail, a `length`")
	f.String("wheelbase", "", "truck `wheelbase`, which bounds the axle's yaw (default 70)")
	f.String("direction", "", "`facing` (toe to heel) or trailing (default facing)")
	f.String("speed", "", "`mph` (default 10)")
	f.String("gross", "", "gross weight of a four-axle car, `lb` (default 286000)")
	f.String("load", "", "wheel `load` in place of the car's weight (159kN, 35750lb)")
	f.String("unsprung", "", "unsprung mass of one wheel, `kg` (default 1000)")
	f.String("track", "", "track support: `main` or short-line (default main)")
	f.String("track-stiffness", "", "stiffness under one wheel, `N/m`")
	f.String("track-damping", "", "damping under one wheel, `N s/m`")
	f.String("track-mass", "", "mass of the track under one wheel, `kg`")
	f.String("bound", "", "force whose speed is asked for, `kN` (default 322, from memory)")
	f.String("step", "", "`step` of the stations, mm without a unit")
	surveyFlags(f, "wheel `position` in the survey", "`feature` in the survey, frog/F4 or switch/S2")
	completeWords(cmd, "format", formats())
	completePlaces(cmd, track.Frog, track.Switch)
	completeShapes(cmd, "wheel", "design")
	groupFlags(cmd,
		flagGroup{"What is passed", []string{"over", "direction", "speed", "gauge"}},
		flagGroup{"Wheel", []string{"wheel", "hollow", "flange-height", "flange-thickness", "vertical-flange",
			"diameter",
			"back-to-back", "design"}},
		flagGroup{"Frog", []string{"type", "number", "flangeway-depth", "flangeway-width", "guard-check",
			"point-worn-down",
			"point-worn-back", "tread-wear", "wing-riser", "wing-slope", "floor-ramp", "route"}},
		flagGroup{"Diamond", []string{"angle", "other-gauge", "rail"}},
		flagGroup{"Switch", []string{"detail", "point-gap", "point-drop", "point-thickness", "chip-depth",
			"chip-length",
			"face-angle", "stock-rail-wear", "undercut", "heel-rise", "point-length", "mu"}},
		flagGroup{"Load and support", []string{"gross", "load", "unsprung", "wheelbase", "track", "track-stiffness",
			"track-damping", "track-mass", "bound"}},
		flagGroup{"What is computed", []string{"step"}},
		surveyGroup())
	return cmd
}

func runPassage(s streams, f ask.Flags) error {
	if err := asked(f); err != nil {
		return err
	}
	in, err := readPassage(f)
	if err != nil {
		return err
	}
	answer, drawing, err := in.answer()
	if err != nil {
		return passageError(err)
	}
	return deliver(s, f, in.Start, answer, func() []byte { return drawnIn(in.Start.Survey, draw.Passage(drawing)) },
		export.PassageCSV, paper.Passage)
}

// passageError turns what the models say about the input into an input error.
func passageError(err error) error {
	for _, e := range []error{passage.ErrInput, passage.ErrUnsupported, shape.ErrFrog, shape.ErrSwitch} {
		if errors.Is(err, e) {
			return &inputError{Err: err}
		}
	}
	return shapeError(err)
}

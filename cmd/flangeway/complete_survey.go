package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/configs"
	"flangeway/internal/survey"
	"flangeway/track"
)

// ofSurvey completes a flag from the survey that is typed already: as the command's argument, or with --survey.
func ofSurvey(names func(sv *survey.Survey, cmd *cobra.Command) []string) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		dir := ""
		if len(args) > 0 {
			dir = args[len(args)-1]
		}
		if f := cmd.Flags().Lookup("survey"); f != nil && f.Value.String() != "" {
			dir = f.Value.String()
		}
		if dir == "" {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		sv, err := survey.Read(dir)
		if err != nil { // the command says why
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		out := names(sv, cmd)
		slices.Sort(out)
		return slices.Compact(out), cobra.ShellCompDirectiveNoFileComp
	}
}

// complete registers a completion; a flag that the command does not have is a mistake of the program.
func complete(cmd *cobra.Command, flag string, with cobra.CompletionFunc) {
	if err := cmd.RegisterFlagCompletionFunc(flag, with); err != nil {
		panic(err)
	}
}

func locationsOf(sv *survey.Survey, _ *cobra.Command) (out []string) {
	for _, f := range sv.Track.Features {
		out = append(out, f.Location)
	}
	return out
}

func carsOf(sv *survey.Survey, _ *cobra.Command) (out []string) {
	for _, w := range sv.Fleet.Wheels {
		out = append(out, w.Car.ID)
	}
	return out
}

// featuresOf names the places of some kinds.
func featuresOf(kinds ...track.Kind) func(sv *survey.Survey, _ *cobra.Command) []string {
	return func(sv *survey.Survey, _ *cobra.Command) (out []string) {
		for _, f := range sv.Track.Features {
			if len(kinds) == 0 || slices.Contains(kinds, f.Kind) {
				out = append(out, f.Name())
			}
		}
		return out
	}
}

// positionsOf are those of the car that is typed, of all cars if none is.
func positionsOf(sv *survey.Survey, cmd *cobra.Command) (out []string) {
	car := strings.Join(strings.Fields(cmd.Flag("car").Value.String()), " ")
	for _, w := range sv.Fleet.Wheels {
		if car == "" || w.Car.ID == car {
			out = append(out, w.Position.String())
		}
	}
	return out
}

// completePlaces completes the flags that take readings from a survey.
func completePlaces(cmd *cobra.Command, kinds ...track.Kind) {
	complete(cmd, "car", ofSurvey(carsOf))
	complete(cmd, "position", ofSurvey(positionsOf))
	complete(cmd, "at", ofSurvey(featuresOf(kinds...)))
}

// completeShapes offers the designs of wheels and the sections of rails; files are traced profiles.
func completeShapes(cmd *cobra.Command, flags ...string) {
	for _, flag := range flags {
		complete(cmd, flag, func(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
			data, err := configs.Load()
			if err != nil {
				return nil, cobra.ShellCompDirectiveError
			}
			shapes, err := data.LoadShapes()
			if err != nil {
				return nil, cobra.ShellCompDirectiveError
			}
			if flag == "rail" {
				return shapes.RailNames(), cobra.ShellCompDirectiveDefault
			}
			return shapes.WheelNames(), cobra.ShellCompDirectiveDefault
		})
	}
}

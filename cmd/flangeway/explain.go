package main

import (
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/interaction"
)

func newExplainCmd(s streams) *cobra.Command {
	return &cobra.Command{
		Use: "explain CHECK", Short: "the formula of a check, its sources and how far to believe it",
		Long: "explain prints what a check compares, its formula, where its figures come " +
			"from, the\nsettings that enter it and how far to believe it. Why a frog or a wheel is on the\nlist, " +
			"and whose side the fault is on, stands in check --location or --car, at \"whose\".\n\nChecks: " +
			strings.Join(interaction.CheckIDs(), ", "),
		Example:           "  flangeway explain frog-floor",
		ValidArgsFunction: cobra.FixedCompletions(interaction.CheckIDs(), cobra.ShellCompDirectiveNoFileComp),
		Args:              usageArgs(cobra.ExactArgs(1)),
		RunE: func(_ *cobra.Command, args []string) error {
			c := interaction.CheckByID(args[0])
			if c == nil {
				if strings.Contains(args[0], "/") {
					return usagef("%q is not a check (one of %s); why a feature is on the list stands "+
						"in check, with its location", args[0], strings.Join(interaction.CheckIDs(), ", "))
				}
				return usagef("%q is not a check%s", args[0], offer(args[0], interaction.CheckIDs()))
			}
			data, err := configs.Load()
			if err != nil {
				return err
			}
			figures, err := data.LoadPassage()
			if err != nil {
				return err
			}
			return s.show(paper.Explain(c, data, figures.Constants)).Write(&checkedWriter{w: s.out})
		},
	}
}

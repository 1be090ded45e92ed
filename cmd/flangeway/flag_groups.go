package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// flagGroup is a part of a command's flags under one heading of its help.
type flagGroup struct {
	title string
	flags []string
}

// The flags that several commands have.
func surveyGroup() flagGroup {
	return flagGroup{"From a survey", []string{"survey", "car", "position", "at"}}
}

// groupFlags lists the flags of a command in groups. What is in none stands at the end under Output.
func groupFlags(cmd *cobra.Command, groups ...flagGroup) {
	cmd.SetUsageFunc(func(c *cobra.Command) error {
		out := c.OutOrStderr()
		fmt.Fprintf(out, "Usage:\n  %s\n\nExamples:\n%s\n", c.UseLine(), c.Example)
		rest := pflag.NewFlagSet("", pflag.ContinueOnError)
		rest.SortFlags = false
		grouped := map[string]bool{}
		for _, g := range groups {
			set := pflag.NewFlagSet("", pflag.ContinueOnError)
			set.SortFlags = false
			for _, name := range g.flags {
				set.AddFlag(c.Flags().Lookup(name))
				grouped[name] = true
			}
			fmt.Fprintf(out, "\n%s:\n%s", g.title, set.FlagUsages())
		}
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if !grouped[f.Name] && !f.Hidden {
				rest.AddFlag(f)
			}
		})
		_, err := fmt.Fprintf(out, "\nOutput:\n%s", strings.TrimRight(rest.FlagUsages(), "\n")+"\n")
		return err
	})
}

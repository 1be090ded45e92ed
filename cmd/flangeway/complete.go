package main

import (
	"maps"
	"slices"

	"github.com/spf13/cobra"

	"flangeway/configs"
)

// completeFolders offers folders and workbooks if a survey stands.
func completeFolders(_ *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []cobra.Completion{"xlsx"}, cobra.ShellCompDirectiveFilterFileExt
}

// completeWords offers a fixed list of words for a flag. A flag that the command does not have is a mistake of the
// program.
func completeWords(cmd *cobra.Command, flag string, words []string) {
	if err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(words,
		cobra.ShellCompDirectiveNoFileComp)); err != nil {
		panic(err)
	}
}

// setNames are the built-in limit sets, sorted.
func setNames(data *configs.Data) []string {
	return slices.Sorted(maps.Keys(data.Sets))
}

// completeSets offers the built-in limit sets.
func completeSets(*cobra.Command, []string, string) ([]cobra.Completion, cobra.ShellCompDirective) {
	data, err := configs.Load()
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	return setNames(data), cobra.ShellCompDirectiveNoFileComp
}

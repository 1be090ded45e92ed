package main

import (
	"errors"
	"io/fs"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// formatMan is the form of pages for the command man.
const formatMan = "man"

func newManualCmd() *cobra.Command {
	var format string
	cmd := &cobra.Command{
		Use: "manual DIR", Short: "write the manual: a page for each command",
		Long: `manual writes a page for each command into a folder, which is made if there is
none: pages for the command man (copied to a folder man1 of its path), or markdown.
They say what --help says.`,
		Example: "  flangeway manual man1\n  flangeway manual pages --format markdown",
		Args:    usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if format != formatMan && format != "markdown" {
				return usagef("--format %q is not one of %s, markdown", format, formatMan)
			}
			return writeManual(cmd.Root(), args[0], format)
		},
	}
	cmd.Flags().StringVar(&format, "format", formatMan, "`format` of the pages: man, markdown")
	completeWords(cmd, "format", []string{formatMan, "markdown"})
	return cmd
}

// writeManual writes a page for each command. The pages carry no day, so that two runs write the same.
func writeManual(root *cobra.Command, dir, format string) error {
	if err := os.Mkdir(dir, 0o755); err != nil && !errors.Is(err, fs.ErrExist) {
		return inputf("the folder %s for the manual cannot be made: %s", dir, fault(err))
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return inputf("%s is no folder (expected one for the manual)", dir)
	}
	undated(root)
	var err error
	if format == formatMan {
		err = doc.GenManTree(root, &doc.GenManHeader{Section: "1", Source: "flangeway " + version(),
			Manual: "Wheels and track together", Date: &time.Time{}}, dir)
	} else {
		err = doc.GenMarkdownTree(root, dir)
	}
	if err != nil {
		return inputf("the manual cannot be written into %s: %s", dir, fault(err))
	}
	return nil
}

// undated takes the generator's own line with the day away from a command and those below it, and breaks no text that
// is set in already.
func undated(cmd *cobra.Command) {
	cmd.DisableAutoGenTag = true
	cmd.Long = strings.TrimSpace(cmd.Long)
	for _, c := range cmd.Commands() {
		undated(c)
	}
}

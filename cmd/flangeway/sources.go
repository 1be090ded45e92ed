package main

import (
	"bytes"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/text"
	"flangeway/interaction"
	"flangeway/testdata"
)

var errDiffers = errors.New("a published value does not agree with what this program computes; do not use this build")

func newSourcesCmd(s streams) *cobra.Command {
	format := "text"
	cmd := &cobra.Command{
		Use: "sources", Short: "every published check value, computed again and compared",
		Long: `sources lists the published values that the program is checked against, with their
document and section, computes each of them again and prints both and their
difference.`,
		Example: "  flangeway sources\n  flangeway sources --format csv",
		Args:    usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) error {
			if err := knownFormat(format); err != nil {
				return err
			}
			return runSources(s, format)
		},
	}
	cmd.Flags().StringVar(&format, "format", format, "`format` of the result: "+strings.Join(formats(), ", "))
	completeWords(cmd, "format", formats())
	return cmd
}

func runSources(s streams, format string) error {
	values, err := interaction.CheckPublished(bytes.NewReader(testdata.Published))
	if err != nil {
		return err
	}
	out := &checkedWriter{w: s.out}
	switch format {
	case "json":
		err = export.SourcesJSON(out, "flangeway "+version(), values)
	case "csv":
		err = export.SourcesCSV(out, values)
	default:
		var page string
		if page, err = text.Sources(values, format == "markdown"); err == nil {
			_, err = fmt.Fprint(out, page)
		}
	}
	if err := out.done(err); err != nil {
		return err
	}
	for _, v := range values {
		if !v.Agrees {
			return errDiffers
		}
	}
	return nil
}

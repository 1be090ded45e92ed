package main

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/survey"
)

// formatMan is the form of pages for the command man.
const formatMan = "man"

// formatSchema is the form of what the outputs hold: a JSON schema each, and the columns of csv.
const formatSchema = "schema"

func newManualCmd() *cobra.Command {
	var format string
	cmd := &cobra.Command{
		Use: "manual DIR", Short: "write the manual: a page for each command",
		Long: `manual writes a page for each command into a folder, which is made if there is
none: pages for the command man (copied to a folder man1 of its path), or markdown.
They say what --help says. With --format schema it writes what the outputs hold in
their place: a JSON schema for the json of each command, and csv-columns.md.`,
		Example: "  flangeway manual man1\n  flangeway manual pages --format markdown\n" +
			"  flangeway manual schemas --format schema",
		Args: usageArgs(cobra.ExactArgs(1)),
		RunE: func(cmd *cobra.Command, args []string) error {
			if !slices.Contains(manualFormats(), format) {
				return usagef("--format %q is not one of %s", format, strings.Join(manualFormats(), ", "))
			}
			return writeManual(cmd.Root(), args[0], format)
		},
	}
	cmd.Flags().StringVar(&format, "format", formatMan, "`format` of the pages: "+strings.Join(manualFormats(), ", "))
	completeWords(cmd, "format", manualFormats())
	return cmd
}

func manualFormats() []string { return []string{formatMan, "markdown", formatSchema} }

func schemaPages() ([]survey.BlankFile, error) {
	out := []survey.BlankFile{{Name: "csv-columns.md", Data: export.CSVColumns()}}
	schemas := export.Schemas()
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		var b bytes.Buffer
		if err := export.JSON(&b, schemas[name]); err != nil {
			return nil, err
		}
		out = append(out, survey.BlankFile{Name: name + ".schema.json", Data: b.Bytes()})
	}
	return out, nil
}

func helpPages(cmd *cobra.Command, format string) ([]survey.BlankFile, error) {
	var b bytes.Buffer
	var err error
	name := ""
	if format == formatMan {
		name = strings.ReplaceAll(cmd.CommandPath(), " ", "-") + ".1"
		err = doc.GenMan(cmd, &doc.GenManHeader{Section: "1", Source: "flangeway " + version(),
			Manual: "Wheels and track together", Date: &time.Time{}}, &b)
	} else {
		name = strings.ReplaceAll(cmd.CommandPath(), " ", "_") + ".md"
		err = doc.GenMarkdown(cmd, &b)
	}
	out := []survey.BlankFile{{Name: name, Data: b.Bytes()}}
	for _, c := range cmd.Commands() {
		if err != nil || !c.IsAvailableCommand() || c.IsAdditionalHelpTopicCommand() {
			continue
		}
		var below []survey.BlankFile
		below, err = helpPages(c, format)
		out = append(out, below...)
	}
	return out, err
}

// writeManual writes a page for each command. The pages carry no day, so that two runs write the same.
func writeManual(root *cobra.Command, dir, format string) error {
	undated(root)
	pages, err := helpPages(root, format)
	if format == formatSchema {
		pages, err = schemaPages()
	}
	if err != nil {
		return err
	}
	created := true
	if err := os.Mkdir(dir, 0o755); errors.Is(err, fs.ErrExist) {
		created = false
	} else if err != nil {
		return inputf("the folder %s for the manual cannot be made: %s", dir, fault(err))
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return inputf("%s is no folder (expected one for the manual)", dir)
	}
	for i, p := range pages {
		if err := writeWhole(filepath.Join(dir, p.Name), p.Data); err != nil {
			if created { // half a manual helps nobody
				takeBack(dir, pages[:i], created)
			}
			return err
		}
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

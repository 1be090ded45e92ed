package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/configs"
	"flangeway/internal/survey"
)

func newBlankCmd(s streams) *cobra.Command {
	book, onPaper := false, false
	cmd := &cobra.Command{
		Use: "blank DIR", Short: "make an empty survey with every column explained",
		Long: `blank makes a folder with railroad.yaml and all sheets, empty but for their
headings; the lines above the headings say what each column holds. Delete the
sheets that are not needed: every file is optional.

With --xlsx the sheets are one workbook, survey.xlsx, beside railroad.yaml: columns
formatted as text, so that no spreadsheet turns a fraction into a date, and each
heading explained in its comment. Where the name ends in .xlsx, only that workbook
is made; flangeway check takes it by its name, with the railroad.yaml beside it if
there is one.

With --form it makes the form to take along into the yard, yard-form.html, to print on
letter paper: boxes for the notches of the gauges, the places and wheels of the survey
in the folder in the order in which they are walked, or empty rows if there is none.

Nothing is overwritten: where one of the files stands in the folder already, blank
writes none.`,
		Example: "  flangeway blank my-yard\n  flangeway blank --xlsx my-yard\n  flangeway blank --xlsx " +
			"my-yard.xlsx\n  flangeway blank --form my-yard",
		Args:              usageArgs(cobra.ExactArgs(1)),
		ValidArgsFunction: completeFolders,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := folderNamed("blank", args[0]); err != nil {
				return err
			}
			if onPaper {
				if book || survey.IsWorkbook(args[0]) {
					return usagef("--form makes a page to print and no workbook (expected a folder)")
				}
				return runForm(s, args[0])
			}
			return runBlank(s, args[0], book)
		},
	}
	cmd.Flags().BoolVar(&book, "xlsx", false, "one workbook instead of a CSV file per sheet")
	cmd.Flags().BoolVar(&onPaper, "form", false, "a form to print and to fill in by hand, of the survey in the "+
		"folder if there is one")
	return cmd
}

const formName = "yard-form.html"

// runForm makes the yard form of a folder: of its survey if it has one.
func runForm(s streams, dir string) error {
	var sv *survey.Survey
	if entries, err := os.ReadDir(dir); err == nil && slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		return slices.Contains(survey.SheetFiles(), e.Name())
	}) {
		if sv, err = survey.Read(dir); err != nil {
			return err
		}
	}
	page, err := paper.YardForm(sv, "flangeway "+version())
	if err != nil {
		return err
	}
	form := survey.BlankFile{Name: formName, What: "the form to print", Data: page}
	if err := placeFiles(dir, []survey.BlankFile{form}, false); err != nil {
		return err
	}
	out := &checkedWriter{w: s.out}
	fmt.Fprintf(out, "A form stands in %s:\n  %-14s %s\nPrint it from any browser (letter, landscape); what is "+
		"ticked is typed as it stands beside the box.\n", dir, formName, "to fill in by hand")
	return out.err
}

func runBlank(s streams, dir string, book bool) error {
	data, err := configs.Load()
	if err != nil {
		return err
	}
	files := survey.Blank(data)
	target := dir
	if book || survey.IsWorkbook(dir) {
		file, err := survey.BlankBook(data)
		if err != nil {
			return err
		}
		files = []survey.BlankFile{survey.BlankRailroad(data), file}
		if survey.IsWorkbook(dir) {
			dir, file.Name = filepath.Dir(target), filepath.Base(target)
			files = []survey.BlankFile{file}
		}
	}
	if err := placeFiles(dir, files, true); err != nil {
		return err
	}
	out := &checkedWriter{w: s.out}
	fmt.Fprintf(out, "An empty survey stands in %s:\n", target)
	for _, f := range files {
		fmt.Fprintf(out, "  %-14s %s\n", f.Name, f.What)
	}
	fmt.Fprintf(out, "Fill in what was measured, delete the sheets that are not needed, then:\n  flangeway check %s\n",
		paper.QuoteDir(target))
	return out.err
}

// placeFiles writes the files of a survey into a folder, which is made if there is none: all of them or, after an
// error, none. Nothing is overwritten; a survey takes no folder in which there is one.
func placeFiles(dir string, files []survey.BlankFile, asSurvey bool) error {
	info, err := os.Stat(dir)
	created := errors.Is(err, fs.ErrNotExist)
	if err == nil && !info.IsDir() {
		return inputf("%s is a file (expected a new or empty folder)", dir)
	}
	for _, name := range inTheWay(files, asSurvey) {
		_, err := os.Lstat(filepath.Join(dir, name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return inputf("%s cannot be looked into: %s", dir, fault(err))
		default:
			return inputf("%s stands in %s already, nothing was written (expected a new or empty folder)", name, dir)
		}
	}
	if created {
		if err := os.MkdirAll(dir, 0o755); err != nil {
			return inputf("the folder %s cannot be made: %s", dir, fault(err))
		}
	}
	var written []survey.BlankFile
	for _, f := range files {
		err := os.MkdirAll(filepath.Dir(filepath.Join(dir, f.Name)), 0o755) // traces may lie in a folder of their own
		if err == nil {
			err = writeNew(filepath.Join(dir, f.Name), f.Data)
		}
		if err != nil {
			takeBack(dir, written, created) // a half survey helps nobody
			return inputf("%s cannot be written: %s (nothing was kept)", filepath.Join(dir, f.Name), fault(err))
		}
		written = append(written, f)
	}
	return nil
}

// takeBack takes files out of a folder again, and the folders that were made for them where nothing else lies in them.
func takeBack(dir string, files []survey.BlankFile, created bool) {
	for _, f := range files {
		os.Remove(filepath.Join(dir, f.Name))
		for sub := filepath.Dir(f.Name); sub != "."; sub = filepath.Dir(sub) {
			os.Remove(filepath.Join(dir, sub)) // fails where something lies in it
		}
	}
	if created {
		os.Remove(dir)
	}
}

// inTheWay are the files that must not stand in the folder yet. A folder's sheets are CSV files or a workbook; with
// both, which one counts?
func inTheWay(files []survey.BlankFile, asSurvey bool) []string {
	var names []string
	folder := false
	for _, f := range files {
		names = append(names, f.Name)
		folder = folder || !survey.IsWorkbook(f.Name)
	}
	if folder && asSurvey {
		names = append(names, survey.SheetFiles()...)
	}
	return names
}

// writeNew writes a file that must not exist, whole or not at all.
func writeNew(name string, data []byte) (err error) {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			os.Remove(name)
		}
	}()
	if _, err = f.Write(data); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

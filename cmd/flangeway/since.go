package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"flangeway/cmd/flangeway/internal/caution"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/interaction/plan"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/survey"
)

type sinceOptions struct {
	format string
	output string
	plain  bool
}

const formatHTML = "html"

func newSinceCmd(s streams) *cobra.Command {
	var o sinceOptions
	cmd := &cobra.Command{
		Use: "since OLD NEW", Short: "what is new, worse, closed, overdue and still open from one survey to the next",
		Long: `since compares two surveys of a railroad, each a folder or a workbook: the readings
beyond a federal limit, and the wheels in conflict at each place. It prints what is
new, worse, closed, overdue and still open.

Nothing is closed but by a reading of a later day than the one that opened it: a place
that was not read again stays open, and so does one whose class was lowered, because
its readings are what they were. When each was opened, by when it is due and how it is
protected is taken from defects.csv in NEW, else in OLD (flangeway check DIR --log
writes it), else from the readings and the rules.

flangeway puts no place and no car back to service: a qualified person does.`,
		Example: "  flangeway since march april\n  flangeway since march april --format json\n  flangeway since " +
			"march april -o since.html",
		Args:              usageArgs(cobra.ExactArgs(2)),
		ValidArgsFunction: completeFolders,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := o.chooseFormat(cmd.Flags().Changed("format")); err != nil {
				return err
			}
			return runSince(cmd.Context(), s, o, args[0], args[1])
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(sinceFormats(), ", "))
	f.StringVarP(&o.output, "output", "o", "", "write the result to this `file`")
	f.BoolVar(&o.plain, "plain", false, "the arithmetic on the readings only, nothing computed from shapes or forces")
	completeWords(cmd, "format", sinceFormats())
	return cmd
}

// sinceFormats are those of since: a page for the table too.
func sinceFormats() []string { return append(formats(), formatHTML) }

// chooseFormat takes the format from the output file's ending if --format is not given.
func (o *sinceOptions) chooseFormat(given bool) error {
	forms := map[string]string{".txt": "text", ".md": "markdown", ".csv": "csv", ".json": "json", ".html": formatHTML,
		".htm": formatHTML}
	if err := writtenAs("-o", o.output, slices.Sorted(maps.Keys(forms)), nil); err != nil {
		return err
	}
	if ending := forms[strings.ToLower(filepath.Ext(o.output))]; !given && ending != "" {
		o.format = ending
	}
	if !slices.Contains(sinceFormats(), o.format) {
		return usagef("--format %q is not one of %s", o.format, strings.Join(sinceFormats(), ", "))
	}
	return nil
}

func runSince(ctx context.Context, s streams, o sinceOptions, oldDir, newDir string) error {
	if err := writable(o.output); err != nil {
		return err
	}
	work := startProgress(s.err, watched(s.err), progressAfter, time.Second)
	defer func() { work.end() }()
	work.at("judging the two surveys")
	var since *export.Since
	var old, now *judge.Result
	err := unlessInterrupted(ctx, func() (err error) {
		since, old, now, err = o.compare(oldDir, newDir)
		return err
	})
	if err != nil {
		return err
	}
	work.end() // before anything else is written
	if o.format != "json" {
		warn(s.err, now.Engine().Survey.Warnings)
	}
	var b bytes.Buffer
	switch o.format {
	case "json":
		err = export.SinceJSON(&b, since)
	case "csv":
		err = export.SinceCSV(&b, since)
	case formatHTML:
		err = paper.Since(since, now.Engine().Survey, paper.HTML).Write(&b)
	default:
		page := paper.Since(since, now.Engine().Survey, formOf(o.format))
		if o.output == "" {
			page = s.show(page)
		}
		err = page.Write(&b)
	}
	if err != nil {
		return err
	}
	if o.output != "" {
		inputs := append(inputsOf(old.Engine().Survey), inputsOf(now.Engine().Survey)...)
		return writeWhole(o.output, b.Bytes(), inputs...)
	}
	out := &checkedWriter{ctx: ctx, w: s.out}
	_, err = out.Write(b.Bytes())
	return out.done(err)
}

// compare judges both surveys and finds what became of each defect and conflict.
func (o sinceOptions) compare(oldDir, newDir string) (out *export.Since, old, now *judge.Result, err error) {
	result := func(dir string) (*judge.Result, error) {
		sv, book, err := readSurvey(dir)
		if err != nil {
			return nil, err
		}
		engine, err := engineFor(sv, book, interaction.Options{}, o.plain)
		if err != nil {
			return nil, err
		}
		return engine.Judge(), nil
	}
	if old, err = result(oldDir); err != nil {
		return nil, nil, nil, err
	}
	if now, err = result(newDir); err != nil {
		return nil, nil, nil, err
	}
	before, after := old.Engine(), now.Engine()
	if a, b := before.Today(), after.Today(); a.Known() && b.Known() && a > b {
		return nil, nil, nil, usagef("%s is of %s, later than %s, of %s (expected the older survey first)",
			oldDir, a, newDir, b)
	}
	logged, _, err := readLog(filepath.Join(after.Survey.Dir, survey.DefectsFile), after.Survey)
	if err == nil && logged == nil {
		logged, _, err = readLog(filepath.Join(before.Survey.Dir, survey.DefectsFile), after.Survey)
	}
	if err != nil {
		return nil, nil, nil, err
	}
	out = &export.Since{Program: "flangeway " + version(), Railroad: after.Survey.Railroad,
		OldSum: before.Survey.Sum(before.Book), NewSum: after.Survey.Sum(after.Book),
		OldPairs: old.Summary.Count(interaction.Conflict), NewPairs: now.Summary.Count(interaction.Conflict),
		Cautions: caution.OfSurvey(after.Survey)}
	if d := before.Today(); d.Known() {
		out.OldDay = d.String()
	}
	if d := after.Today(); d.Known() {
		out.NewDay = d.String()
	}
	out.List, err = plan.Since(old, now, logged)
	return out, old, now, err
}

// readLog reads defects.csv; there need not be one.
func readLog(name string, sv *survey.Survey) (rows []survey.Logged, data []byte, err error) {
	data, err = regular.Read(name, maxLog)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, nil
	case err != nil:
		return nil, nil, inputf("%s cannot be read: %s", name, regular.Why(err))
	}
	rows, err = survey.ReadDefects(filepath.Base(name), data, today(sv))
	return rows, data, err
}

// maxLog caps defects.csv.
const maxLog = 64 << 20

// today is the day of a survey, else of this run.
func today(sv *survey.Survey) measure.Date {
	if sv.Date.Known() {
		return sv.Date
	}
	return measure.DateOf(time.Now())
}

// logDefects goes on with defects.csv and says on standard error what stands in it.
func logDefects(s streams, name string, r *judge.Result, found []plan.Defect) error {
	sv := r.Engine().Survey
	rows, old, err := readLog(name, sv)
	if err != nil {
		return err
	}
	rows, err = plan.UpdateLog(rows, r, found, today(sv))
	if err != nil {
		return err
	}
	data, err := survey.WriteDefects(rows)
	if err != nil {
		return err
	}
	if !bytes.Equal(data, old) {
		if err := writeWhole(name, data, sv.Own()...); err != nil {
			return err
		}
	}
	open, overdue := 0, 0
	for i := range rows {
		if rows[i].Open() {
			open++
			if rows[i].Due.Known() && rows[i].Due < today(sv) {
				overdue++
			}
		}
	}
	fmt.Fprintf(s.err, "%s: %d open, %d of them overdue, %d closed by readings; it puts nothing back to service\n",
		name, open, overdue, len(rows)-open)
	return nil
}

// logged is the defects.csv that --log names: that of the survey's folder unless a file is given.
func logged(name string, sv *survey.Survey) string {
	if name == inSurvey {
		return filepath.Join(sv.Dir, survey.DefectsFile)
	}
	return name
}

// inSurvey stands for the survey's own folder.
const inSurvey = "DIR/" + survey.DefectsFile

func logFlag(cmd *cobra.Command, to *string) {
	f := cmd.Flags()
	f.StringVar(to, "log", "", "also go on with the sheet of readings beyond a federal limit, defects.csv in DIR, or "+
		"in this `FILE` (--log=FILE)")
	f.Lookup("log").NoOptDefVal = inSurvey
}

package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"flangeway/cmd/flangeway/internal/ask"
	"flangeway/cmd/flangeway/internal/cli"
	"flangeway/cmd/flangeway/internal/draw"
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/internal/each"
	"flangeway/internal/survey"
)

// inUnits is a page in the units of the survey that its readings are from, if there is one.
func inUnits[A any](sv *survey.Survey, page func(answer A, form paper.Form) *paper.Document,
) func(A, paper.Form) *paper.Document {
	return func(answer A, form paper.Form) *paper.Document {
		d := page(answer, form)
		d.Units, d.Survey = paper.AnalysisUnits(sv), sv
		return d
	}
}

// drawnIn is a drawing in the same units.
func drawnIn(sv *survey.Survey, svg []byte) []byte {
	return paper.AnalysisUnits(sv).Drawn(svg, sv)
}

// knownFormat refuses a format that is none.
func knownFormat(format string) error {
	if !slices.Contains(formats(), format) {
		return usagef("--format %q is not one of %s", format, strings.Join(formats(), ", "))
	}
	return nil
}

func writeAnswer[A any](s streams, format string, answer A, csv func(io.Writer, A) error,
	page func(answer A, form paper.Form) *paper.Document) error {
	out := &checkedWriter{w: s.out}
	switch format {
	case "json":
		return out.done(export.JSON(out, answer))
	case "csv":
		return out.done(csv(out, answer))
	}
	return out.done(s.show(page(answer, formOf(format))).Write(out))
}

// asked refuses a format that is none and a drawing that cannot be written.
func asked(f ask.Flags) error {
	if err := knownFormat(f["format"]); err != nil {
		return err
	}
	return drawnAs(f["draw"])
}

// deliver writes the drawing, if one is asked for, and prints the answer.
func deliver[A any](s streams, f ask.Flags, start *ask.Start, answer A, drawing func() []byte,
	csv func(io.Writer, A) error, page func(A, paper.Form) *paper.Document) error {
	named, err := namedOf(f, start)
	if err != nil {
		return err
	}
	if name := f["draw"]; name != "" {
		if err := writeWhole(name, draw.Named(drawing(), named), inputFiles(start)...); err != nil {
			return err
		}
	}
	return writeAnswer(s, f["format"], answer, csv, func(answer A, form paper.Form) *paper.Document {
		d := inUnits(start.Survey, page)(answer, form)
		d.Name(named)
		return d
	})
}

// mostNamed is how many letters have room at the foot of a drawing, and stand at the end of a page.
const mostNamed = 200

// namedOf says which wheel or car of which survey an answer is of, and where; "" without a survey.
func namedOf(f ask.Flags, start *ask.Start) (string, error) {
	if start.Survey == nil {
		return "", nil
	}
	book, err := start.Survey.Book()
	if err != nil {
		return "", err
	}
	at, err := start.Place("")
	if err != nil {
		return "", err
	}
	of := strings.TrimSpace(f["car"] + " " + f["position"])
	if at != nil {
		of += " at " + at.Name() + ", " + at.Location
	}
	name := paper.SheetName(start.Survey, start.Survey.Sum(book), "flangeway "+version())
	return cli.Cut(strings.TrimPrefix(of+"; "+name, "; "), mostNamed), nil
}

// formOf is the form of a page that is printed.
func formOf(format string) paper.Form {
	if format == "markdown" {
		return paper.Markdown
	}
	return paper.Text
}

// outputFlags are the flags of what an answer is written as.
func outputFlags(f *pflag.FlagSet) {
	f.String("format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.String("draw", "", "also write a drawing to this `file` (SVG)")
}

// surveyFlags are the flags that take readings from a survey, with what position and feature are there.
func surveyFlags(f *pflag.FlagSet, position, at string) {
	f.String("survey", "", "take readings from this survey `folder`; flags override")
	f.String("car", "", "`car` in the survey")
	f.String("position", "", position)
	f.String("at", "", at)
}

func typed(f *pflag.FlagSet) ask.Flags {
	out := ask.Flags{}
	f.VisitAll(func(x *pflag.Flag) { out[x.Name] = x.Value.String() })
	return out
}

// usedInputs lists the inputs of an answer, as it is printed.
func usedInputs(list []ask.Used) []export.ShapeInput {
	return each.Of(list, func(u ask.Used) export.ShapeInput { return export.ShapeInput(u) })
}

// inputFiles are the files that no drawing may be written over.
func inputFiles(s *ask.Start) []string {
	files := s.Files()
	if s.Survey != nil {
		files = append(files, inputsOf(s.Survey)...)
	}
	return files
}

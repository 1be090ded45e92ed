package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/pflag"
)

// knownFormat refuses a format that is none.
func knownFormat(format string) error {
	if !slices.Contains(formats(), format) {
		return usagef("--format %q is not one of %s", format, strings.Join(formats(), ", "))
	}
	return nil
}

// writeAnswer prints an answer in one of the formats.
func writeAnswer[A any](s streams, format string, answer A, json, csv func(io.Writer, A) error, page func(answer A, markdown bool) (string, error)) error {
	out := &checkedWriter{w: s.out}
	switch format {
	case "json":
		return out.done(json(out, answer))
	case "csv":
		return out.done(csv(out, answer))
	}
	text, err := page(answer, format == "markdown")
	if err != nil {
		return err
	}
	_, err = fmt.Fprint(out, text)
	return err
}

// outputFlags are the flags of what an answer is written as.
func (o *shapeOptions) outputFlags(f *pflag.FlagSet) {
	f.StringVar(&o.format, "format", "text", "`format` of the result: "+strings.Join(formats(), ", "))
	f.StringVar(&o.draw, "draw", "", "also write a drawing to this `file` (SVG)")
}

// surveyFlags are the flags that take readings from a survey, with what position and
// feature are there.
func (o *shapeOptions) surveyFlags(f *pflag.FlagSet, position, at string) {
	f.StringVar(&o.survey, "survey", "", "take readings from this survey `folder`; flags override")
	f.StringVar(&o.car, "car", "", "`car` in the survey")
	f.StringVar(&o.position, "position", "", position)
	f.StringVar(&o.at, "at", "", at)
}

package export

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"

	"flangeway/interaction/judge"
)

// Rounded rounds to a millionth and drops the sign of zero, so that the last digits of a sum do not differ between
// machines.
func Rounded(v float64) float64 {
	r := math.Round(v*1e6) / 1e6
	if r == 0 {
		return 0
	}
	return r
}

// CheckJSON writes the report of a check. With AllPairs the findings are streamed, so that no list of all pairs is ever
// in memory.
func CheckJSON(w io.Writer, in Input) error {
	r := newReport(in)
	if !in.AllPairs {
		return JSON(w, r)
	}
	return streamJSON(w, in, r)
}

// JSON writes v whole or, if it cannot be encoded, not at all.
func JSON(w io.Writer, v any) error {
	b, err := encode(v)
	if err != nil {
		return err
	}
	_, err = w.Write(b)
	return err
}

func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// errSplit is a mistake of this package: the mark was not found.
var errSplit = errors.New("the report has no list of locations")

// streamJSON writes the report with its findings between what stands before and behind them.
func streamJSON(w io.Writer, in Input, r *Report) error {
	const mark = "\x00"
	risk := map[string]Risk{}
	for _, l := range r.Locations {
		risk[l.Location] = l.Risk
	}
	r.Locations = []Location{{Location: mark}}
	b, err := encode(r)
	if err != nil {
		return err
	}
	hole, err := json.MarshalIndent(r.Locations[0], "  ", " ")
	if err != nil {
		return err
	}
	// json writes the NUL as an escape in both places.
	head, tail, ok := bytes.Cut(b, hole)
	if !ok {
		return errSplit
	}
	out := bufio.NewWriterSize(w, 1<<16)
	out.Write(head)
	last, first := "", true
	close := func() {
		if !first {
			out.WriteString("\n   ]\n  }")
		}
	}
	err = in.Result.Engine().EachPair(in.Result.Tallies, func(f *judge.Finding) error {
		loc := f.Feature.Location
		if first || loc != last {
			close()
			if !first {
				out.WriteString(",\n  ")
			}
			name, err := json.Marshal(loc)
			if err != nil {
				return err
			}
			what, err := json.Marshal(risk[loc])
			if err != nil {
				return err
			}
			fmt.Fprintf(out, "{\n   \"location\": %s,\n   \"risk\": %s,\n   \"findings\": [\n", name, what)
			first, last = false, loc
		} else {
			out.WriteString(",\n")
		}
		line, err := json.Marshal(newFinding(f))
		if err != nil {
			return err
		}
		out.WriteString("    ")
		_, err = out.Write(line)
		return err
	})
	if err != nil {
		return err
	}
	close()
	out.Write(tail)
	return out.Flush()
}

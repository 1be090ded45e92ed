package survey

import (
	"bytes"
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// Reread reads rows of some things anew, by the settings that the survey was read with: CSV sheets by file name, cars
// among them if wheels of listed cars are. The survey stays as it is. The error is a [measure.ProblemsError].
func (s *Survey) Reread(sheets map[string][]byte) (*wheel.Fleet, *track.Track, []measure.Warning, error) {
	source := func(name string) *sheet.Source {
		if data, ok := sheets[name]; ok {
			return sheet.CSV(name, data)
		}
		return nil
	}
	var problems measure.Problems
	fleet, warnings := wheel.Read(wheel.Sheets{Cars: source("cars.csv"), Wheels: source("wheels.csv"),
		Frame: s.frame.Frame}, s.Columns, s.Data, &problems)
	var places [track.NumKinds]*sheet.Source
	for k := range places {
		places[k] = source(track.Kind(k).File())
	}
	features, odd := track.Read(places, s.Columns, s.Data, s.frame, &problems)
	if err := problems.Err(); err != nil {
		return nil, nil, nil, err
	}
	more, _ := odd.Warnings(mostOdd)
	warnings = append(warnings, more...)
	measure.SortWarnings(warnings)
	return fleet, features, warnings, nil
}

// mostOdd is of how many contradictions of rows that were read anew is told.
const mostOdd = 100

// Dated is railroad.yaml with another date of the survey, all else as it stands; without data it is one that says
// nothing else.
func Dated(data []byte, day measure.Date) ([]byte, error) {
	v, none, err := dateOf(data)
	if err != nil {
		return nil, err
	}
	out := bytes.Clone(data)
	if v != nil {
		if out, err = dateAt(data, v, day); err != nil {
			return nil, err
		}
	} else {
		if len(out) > 0 && !bytes.HasSuffix(out, []byte("\n")) {
			out = append(out, '\n')
		}
		if none {
			out = append(out, "schema: 1\n"...)
		}
		out = fmt.Appendf(out, "date: %s\n", day)
	}
	if v, _, err = dateOf(out); err != nil || v == nil || v.Value != day.String() {
		return nil, errUndated
	}
	return out, nil
}

// dateOf is the date of a railroad.yaml, nil if it has none; none says that it has nothing at all.
func dateOf(data []byte) (v *yaml.Node, none bool, _ error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return nil, false, fmt.Errorf("%s: %w", railroadFile, err)
	}
	if len(doc.Content) == 0 {
		return nil, true, nil
	}
	if doc.Content[0].Kind != yaml.MappingNode {
		return nil, false, errUndated
	}
	fields := doc.Content[0].Content
	for i := 0; i+1 < len(fields); i += 2 {
		if fields[i].Value == dateColumn {
			return fields[i+1], false, nil
		}
	}
	return nil, false, nil
}

var errUndated = fmt.Errorf("%s: the date of the survey cannot be written (expected a line of its own, date: "+
	"YYYY-MM-DD)", railroadFile)

// dateAt is the text with another day where one stands.
func dateAt(data []byte, v *yaml.Node, day measure.Date) ([]byte, error) {
	lines := strings.SplitAfter(string(data), "\n")
	if v.Line > len(lines) || v.Column > len(lines[v.Line-1]) {
		return nil, errUndated
	}
	line := lines[v.Line-1]
	i := strings.Index(line[v.Column-1:], v.Value)
	if v.Kind != yaml.ScalarNode || v.Value == "" || i < 0 || i > 1 {
		return nil, errUndated
	}
	at := v.Column - 1 + i
	lines[v.Line-1] = line[:at] + day.String() + line[at+len(v.Value):]
	return []byte(strings.Join(lines, "")), nil
}

package configs

import (
	"cmp"
	"reflect"
	"slices"

	"gopkg.in/yaml.v3"
)

// Difference is a key of two mappings that do not hold the same under it, with line and column in each; 0 where the
// mapping has no such key.
type Difference struct {
	Key                string
	LineA, ColumnA     int
	LineB, ColumnB     int
	OnlyInOne, OnlyInA bool
}

// Differ lists the keys by which two mappings differ, in their order. What they hold is compared, not how it is
// written. Both must be readable: what is wrong in them their loader says.
func Differ(a, b []byte) ([]Difference, error) {
	inA, err := keysOf(a)
	if err != nil {
		return nil, err
	}
	inB, err := keysOf(b)
	if err != nil {
		return nil, err
	}
	var out []Difference
	for name, x := range inA {
		y, both := inB[name]
		if both && reflect.DeepEqual(x.value, y.value) {
			continue
		}
		out = append(out, Difference{Key: name, LineA: x.line, ColumnA: x.column, LineB: y.line, ColumnB: y.column,
			OnlyInOne: !both, OnlyInA: !both})
	}
	for name, y := range inB {
		if _, both := inA[name]; !both {
			out = append(out, Difference{Key: name, LineB: y.line, ColumnB: y.column, OnlyInOne: true})
		}
	}
	slices.SortFunc(out, func(x, y Difference) int { return cmp.Compare(x.Key, y.Key) })
	return out, nil
}

type keyed struct {
	value        any
	line, column int
}

func keysOf(data []byte) (map[string]keyed, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(data, &doc); err != nil {
		return nil, err
	}
	out := map[string]keyed{}
	if len(doc.Content) == 0 {
		return out, nil
	}
	top := doc.Content[0]
	for i := 0; i+1 < len(top.Content); i += 2 {
		k, v := top.Content[i], top.Content[i+1]
		var value any
		if err := v.Decode(&value); err != nil {
			return nil, err
		}
		if value == nil || value == "" {
			continue // a key without a value says nothing
		}
		out[k.Value] = keyed{value, k.Line, k.Column}
	}
	return out, nil
}

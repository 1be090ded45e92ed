package export

import (
	"reflect"
	"slices"
	"strings"
)

// Schemas are the JSON schemas of the outputs, by name, made of the types that are written: a key that is always there
// is required, no other key is allowed, and no value is null.
func Schemas() map[string]any {
	out := map[string]any{}
	for name, v := range map[string]any{"check": Report{}, "check-summary": overviewReport{}, "plan": Plan{},
		"since": SinceReport{}, "limits": Book{}, "job": JobReport{}, "shape": Shape{}, "curve": Curve{},
		"curve-sweep": Sweep{}, "passage": Passage{}, "sources": Sources{}, "sources-cases": Cases{}} {
		s := schemaMaker{defs: map[string]any{}}
		root := s.object(reflect.TypeOf(v))
		root["$schema"], root["title"] = "https://json-schema.org/draft/2020-12/schema", "flangeway "+name
		if len(s.defs) > 0 {
			root["$defs"] = s.defs
		}
		out[name] = root
	}
	return out
}

// schemaMaker collects the objects that a schema refers to, by the names of their types.
type schemaMaker struct{ defs map[string]any }

func (m schemaMaker) of(t reflect.Type) map[string]any {
	switch t.Kind() {
	case reflect.Pointer:
		return m.of(t.Elem())
	case reflect.Struct:
		if m.defs[t.Name()] == nil {
			m.defs[t.Name()] = true // being made: a type may hold itself
			m.defs[t.Name()] = m.object(t)
		}
		return map[string]any{"$ref": "#/$defs/" + t.Name()}
	case reflect.Slice, reflect.Array:
		return map[string]any{"type": "array", "items": m.of(t.Elem())}
	case reflect.Map:
		return map[string]any{"type": "object", "additionalProperties": m.of(t.Elem())}
	case reflect.Bool:
		return map[string]any{"type": "boolean"}
	case reflect.String:
		return map[string]any{"type": "string"}
	case reflect.Float64:
		return map[string]any{"type": "number"}
	case reflect.Interface: // the stations of a passage are all of a frog or all of a switch
		return map[string]any{"anyOf": []any{m.of(reflect.TypeFor[PassageStation]()),
			m.of(reflect.TypeFor[SwitchStation]())}}
	case reflect.Int:
		return map[string]any{"type": "integer"}
	}
	panic("export: no schema for " + t.String()) // a test makes all of them
}

func (m schemaMaker) object(t reflect.Type) map[string]any {
	properties, required := map[string]any{}, []string{}
	m.fields(t, properties, &required)
	slices.Sort(required)
	out := map[string]any{"type": "object", "properties": properties, "additionalProperties": false}
	if len(required) > 0 {
		out["required"] = required
	}
	return out
}

// fields adds those of an embedded type as if they were its own.
func (m schemaMaker) fields(t reflect.Type, properties map[string]any, required *[]string) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case name == "-":
		case f.Anonymous && name == "":
			m.fields(f.Type, properties, required)
		case f.IsExported():
			properties[name] = m.of(f.Type)
			if !strings.Contains(options, "omit") {
				*required = append(*required, name)
			}
		}
	}
}

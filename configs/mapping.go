package configs

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"flangeway/internal/measure"
)

// Mapping is a YAML mapping that is read key by key. Whatever is wrong is added to the problem list it was parsed with;
// [Mapping.Done] adds the keys that nobody asked for.
type Mapping struct {
	file     string
	name     string // of the mapping itself, for messages
	place    measure.Place
	problems *measure.Problems
	pairs    []pair         // in the order of the file
	at       map[string]int // where a key stands in pairs; nil if they are few
	asked    []string
}

type pair struct{ key, value *yaml.Node }

// manyPairs is from how many pairs on a key is looked for by a map.
const manyPairs = 24

// maxYAML caps a YAML file; settings and limits are a few kilobytes.
const maxYAML = 4 << 20

var (
	reYAMLLine = regexp.MustCompile(`^yaml: (?:line ([0-9]+): )?(.*)$`)
	// reOctal is 8 or 10 for 010, by the version of YAML.
	reOctal = regexp.MustCompile(`^-?0[0-9]`)
)

// ParseMapping parses a YAML file that is one mapping. An empty file is an empty mapping. Problems are added to the
// list; the mapping is never nil.
func ParseMapping(file string, data []byte, problems *measure.Problems) *Mapping {
	m := &Mapping{file: file, problems: problems, place: measure.Place{File: file, Line: 1, Col: 1}}
	if len(data) > maxYAML {
		problems.Add(measure.Place{File: file}, "", "the file is too large", fmt.Sprintf("at most %d bytes", maxYAML))
		return m
	}
	if !m.isText(data) {
		return m
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if !errors.Is(err, io.EOF) {
			m.syntax(err, data)
		}
		return m
	}
	var second yaml.Node
	if err := dec.Decode(&second); err == nil {
		problems.Add(measure.Place{File: file, Line: second.Line, Col: max(second.Column, 1)}, "",
			"a second document follows", "one document")
		return m
	} else if !errors.Is(err, io.EOF) {
		m.syntax(err, data)
		return m
	}
	if len(doc.Content) == 0 {
		return m
	}
	m.refuse(doc.Content[0], "")
	if top := doc.Content[0]; plainNode(top) && top.Tag != "!!null" {
		m.fill(top)
	}
	return m
}

// isText refuses what no text file holds, at its character. The YAML parser does not name the place.
func (m *Mapping) isText(data []byte) bool {
	line, col := 1, 1
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		place := measure.Place{File: m.file, Line: line, Col: col}
		switch {
		case r == utf8.RuneError && n == 1:
			m.problems.Add(place, "", "bytes that are not UTF-8 text", "save the file as UTF-8")
			return false
		case r < ' ' && r != '\n' && r != '\r' && r != '\t', r == 0x7f:
			m.problems.Add(place, "", "a control character", "a text file; save it as UTF-8")
			return false
		case r == '\r' && i+1 < len(data) && data[i+1] != '\n', r == '\u0085', r == '\u2028', r == '\u2029':
			// YAML counts these as lines, editors do not.
			m.problems.Add(place, "", "a line break other than a line feed", "lines that end in a line feed")
			return false
		case r == '\n':
			line, col = line+1, 0
		case r == '\ufeff' && i == 0:
			col = 0
		}
		i += n
		col++
	}
	return true
}

// syntax reports what the YAML parser did not understand, at the first character of the line it names.
func (m *Mapping) syntax(err error, data []byte) {
	place, text := measure.Place{File: m.file, Line: 1, Col: 1}, err.Error()
	if s := reYAMLLine.FindStringSubmatch(text); s != nil {
		text = s[2]
		if n, err := strconv.Atoi(s[1]); err == nil {
			place.Line = n
			lines := strings.Split(string(data), "\n")
			if n >= 1 && n <= len(lines) {
				line := lines[n-1]
				place.Col = len(line) - len(strings.TrimLeft(line, " \t")) + 1
			}
		}
	}
	m.problems.Add(place, "", "this is not YAML: "+text, "key: value lines")
}

// find gives the value of a key, nil if it is absent.
func (m *Mapping) find(key string) *yaml.Node {
	if m.at != nil {
		if i, ok := m.at[key]; ok {
			return m.pairs[i].value
		}
		return nil
	}
	for _, p := range m.pairs {
		if p.key.Value == key {
			return p.value
		}
	}
	return nil
}

func (m *Mapping) placeOf(n *yaml.Node) measure.Place {
	return measure.Place{File: m.file, Line: n.Line, Col: n.Column}
}

// plainNode reports whether a node has neither alias, anchor nor tag, which no settings file needs. ParseMapping has
// reported all others.
func plainNode(n *yaml.Node) bool {
	return n.Kind != yaml.AliasNode && n.Anchor == "" && n.Style&yaml.TaggedStyle == 0
}

// refuse reports every alias, anchor and tag; aliases are not followed.
func (m *Mapping) refuse(n *yaml.Node, field string) {
	switch {
	case n.Kind == yaml.AliasNode:
		m.problems.Add(m.placeOf(n), field, "aliases are not taken", "the value itself")
		return
	case n.Anchor != "":
		m.problems.Add(m.placeOf(n), field, "anchors are not taken", "the value itself")
	case n.Style&yaml.TaggedStyle != 0:
		m.problems.Add(m.placeOf(n), field, "tags are not taken", "the value itself")
	}
	for i, c := range n.Content {
		under := field
		if n.Kind == yaml.MappingNode && i%2 == 1 && n.Content[i-1].Kind == yaml.ScalarNode {
			under = measure.Short(n.Content[i-1].Value)
		}
		m.refuse(c, under)
	}
}

func (m *Mapping) fill(n *yaml.Node) {
	m.place = m.placeOf(n)
	if !plainNode(n) {
		return
	}
	if n.Kind != yaml.MappingNode {
		m.problems.Add(m.placeOf(n), m.name, "this is not a list of keys and values", "key: value lines")
		return
	}
	m.pairs = make([]pair, 0, len(n.Content)/2)
	if cap(m.pairs) > manyPairs {
		m.at = make(map[string]int, cap(m.pairs))
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		if k.Kind != yaml.ScalarNode || !plainNode(k) {
			if k.Kind != yaml.ScalarNode && plainNode(k) {
				m.problems.Add(m.placeOf(k), m.name, "a key that is not a word", "key: value lines")
			}
			continue
		}
		if m.find(k.Value) != nil {
			m.problems.Add(m.placeOf(k), measure.Short(k.Value), "the key stands twice", "each key once")
			continue
		}
		if m.at != nil {
			m.at[k.Value] = len(m.pairs)
		}
		m.pairs = append(m.pairs, pair{k, v})
	}
}

// Place is where the mapping begins.
func (m *Mapping) Place() measure.Place { return m.place }

// Keys are the keys in the order of the file.
func (m *Mapping) Keys() []string {
	out := make([]string, len(m.pairs))
	for i, p := range m.pairs {
		out[i] = p.key.Value
	}
	return out
}

// Has reports whether a key stands there with a value.
func (m *Mapping) Has(key string) bool {
	if m.asked == nil {
		m.asked = make([]string, 0, 16)
	}
	m.asked = append(m.asked, key)
	n := m.find(key)
	return n != nil && !(n.Tag == "!!null" && plainNode(n))
}

// PlaceOf is where the value of a key stands, or the mapping if it is absent.
func (m *Mapping) PlaceOf(key string) measure.Place {
	if n := m.find(key); n != nil {
		return m.placeOf(n)
	}
	return m.place
}

// Text is the value of a key as written; "" if it is absent or null.
func (m *Mapping) Text(key string) string {
	n := m.scalar(key)
	if n == nil {
		return ""
	}
	return n.Value
}

// scalar is the single value of a key; nil if it is absent or reported.
func (m *Mapping) scalar(key string) *yaml.Node {
	if !m.Has(key) {
		return nil
	}
	n := m.find(key)
	if !plainNode(n) {
		return nil
	}
	if n.Kind != yaml.ScalarNode {
		m.problems.Add(m.placeOf(n), key, "this is not a single value", "one value")
		return nil
	}
	return n
}

// Need is Text of a key that must be there.
func (m *Mapping) Need(key string) string {
	if !m.Has(key) {
		m.problems.Add(m.place, key, "the key is missing", key+": value")
		return ""
	}
	n := m.scalar(key)
	if n == nil {
		return ""
	}
	if strings.TrimSpace(n.Value) == "" {
		m.Fail(key, "the value is blank", key+": value")
	}
	return n.Value
}

// Texts is a list of single values, or one value in place of a list.
func (m *Mapping) Texts(key string) []Item {
	if !m.Has(key) {
		return nil
	}
	n := m.find(key)
	if !plainNode(n) {
		return nil
	}
	nodes := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		nodes = n.Content
	}
	var out []Item
	for _, c := range nodes {
		if !plainNode(c) {
			continue
		}
		if c.Kind != yaml.ScalarNode {
			m.problems.Add(m.placeOf(c), key, "this is not a single value", "a list of single values")
			continue
		}
		out = append(out, Item{Text: c.Value, Place: m.placeOf(c)})
	}
	return out
}

// Item is one entry of a list, with its place.
type Item struct {
	Text  string
	Place measure.Place
}

// Sub is the mapping under a key; an empty one if it is absent.
func (m *Mapping) Sub(key string) *Mapping {
	sub := &Mapping{file: m.file, name: key, place: m.PlaceOf(key), problems: m.problems}
	if m.Has(key) {
		sub.fill(m.find(key))
	}
	return sub
}

// List is the list of mappings under a key.
func (m *Mapping) List(key string) []*Mapping {
	if !m.Has(key) {
		return nil
	}
	n := m.find(key)
	if !plainNode(n) {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		m.problems.Add(m.placeOf(n), key, "this is not a list", "a list: lines that begin with -")
		return nil
	}
	out := make([]*Mapping, 0, len(n.Content))
	for _, c := range n.Content {
		sub := &Mapping{file: m.file, name: key, problems: m.problems}
		sub.fill(c)
		out = append(out, sub)
	}
	return out
}

// Fail adds a problem at the value of a key.
func (m *Mapping) Fail(key, what, expected string) {
	m.problems.Add(m.PlaceOf(key), key, what, expected)
}

// Length reads the value of a key as one exact length of the column (settings have no ±). ok is false if the key is
// absent or wrong.
func (m *Mapping) Length(key string, spec measure.Spec) (r measure.Reading, ok bool) {
	n := m.scalar(key)
	if n == nil {
		return r, false
	}
	text := n.Value
	r, err := spec.Parse(text)
	switch {
	case err != nil:
		m.FailWith(key, err)
		return r, false
	case n.Style == 0 && reOctal.MatchString(text):
		m.Fail(key, fmt.Sprintf("%q could be an octal number", measure.Short(text)), "a number without zeros in front")
		return r, false
	case r.Form == measure.None:
		r.Form = measure.Point
	case r.Form != measure.Point:
		m.Fail(key, fmt.Sprintf("%q is not one value", measure.Short(text)), "one value, such as 1/8")
		return r, false
	}
	r.Place = m.PlaceOf(key)
	return r, true
}

// FailWith adds what a parser of readings said at the value of a key.
func (m *Mapping) FailWith(key string, err error) {
	var f *measure.Fault
	if errors.As(err, &f) {
		m.Fail(key, f.What, f.Expected)
		return
	}
	m.Fail(key, err.Error(), "")
}

// Done reports the keys that nobody asked for, with a hint.
func (m *Mapping) Done() {
	names := slices.Compact(slices.Sorted(slices.Values(m.asked)))
	for _, p := range m.pairs {
		k := p.key
		if _, known := slices.BinarySearch(names, k.Value); known {
			continue
		}
		expected := "one of " + strings.Join(names, ", ")
		if near := measure.Nearest(k.Value, names); near != "" {
			expected = fmt.Sprintf("did you mean %q?", near)
		}
		m.problems.Add(m.placeOf(k), measure.Short(k.Value), "there is no such key", expected)
	}
}

// PlainNumber reads a number written in digits, with or without decimals: 10, 12.50, .5. ok is false for a sign, an
// exponent, an underscore or anything else that programs take for a number and people do not write.
func PlainNumber(text string) (v float64, ok bool) {
	if strings.Trim(text, "0123456789.") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

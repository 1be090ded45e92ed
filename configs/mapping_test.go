package configs

import (
	"fmt"
	"strings"
	"testing"

	"flangeway/internal/measure"
)

// inches is a setting read in inches.
var inches = measure.Spec{Column: "point_relief", Lo: 0, Hi: 100 * measure.MMPerInch}

func checkProblems(t *testing.T, ps *measure.Problems, want []string, reason string) {
	t.Helper()
	if ps.Len() != len(want) {
		t.Fatalf("%d problems, want %d; %s:\n%v", ps.Len(), len(want), reason, ps.Err())
	}
	if len(want) == 0 {
		return
	}
	for i, line := range strings.Split(ps.Err().Error(), "\n") {
		if !strings.Contains(line, want[i]) {
			t.Errorf("problem %d is %q, want %q in it; %s", i+1, line, want[i], reason)
		}
		checkWords(t, line)
	}
}

// checkWords: no message shows the insides of the program or of its parser.
func checkWords(t *testing.T, line string) {
	t.Helper()
	for _, inside := range []string{" yaml:", "unmarshal", "!!", "map[", "[]", "interface", "struct", "string", "int64",
		"float64", "strconv", "%!", "Node"} {
		if strings.Contains(line, inside) {
			t.Errorf("the message %q shows the program's insides", line)
		}
	}
	if len(line) > 400 {
		t.Errorf("the message %q is long", line)
	}
}

func TestParseMapping(t *testing.T) {
	for _, tc := range []struct {
		name, data string
		date       string // what Text("date") must give
		want       []string
		reason     string
	}{
		{"plain", "schema: 1\ndate: 2024-05-01\n", "2024-05-01", nil, "a date stays as typed"},
		{"empty", "", "", nil, "an empty file is an empty mapping"},
		{"explanations only", "# nothing set\n", "", nil, "an empty mapping"},
		{"null document", "---\n...\n", "", nil, "an empty mapping"},
		{"one document with its marks", "---\ndate: x\n...\n", "x", nil, "the marks of one document"},
		{"BOM and CRLF", "\ufeffschema: 1\r\ndate: x\r\n", "x", nil, "as editors save it"},
		{"octal", "date: 010\n", "010", nil, "kept as text"},
		{"hexadecimal", "date: 0x1F\n", "0x1F", nil, "kept as text"},
		{"underscore", "date: 1_000\n", "1_000", nil, "kept as text"},
		{"not a number", "date: .nan\n", ".nan", nil, "kept as text"},
		{"yes", "date: yes\n", "yes", nil, "kept as text"},
		{"base 60", "date: 1:40\n", "1:40", nil, "kept as text: a rail cant"},
		{"nulls", "schema: ~\ndate:\n", "", nil, "as if absent"},
		{"quoted blank", "date: ''\n", "", nil, "blank"},

		{"not closed list", "schema: [1\ndate: x\n", "",
			[]string{"f.yaml:1:1: file: this is not YAML: did not find expected ',' or ']'"}, "the line it begins in"},
		{"wrong indent", "schema: 1\n  date: x\n", "",
			[]string{"f.yaml:2:3: file: this is not YAML: mapping values are not allowed"},
			"the first character of the line"},
		{"tab", "schema: 1\n\tdate: x\n", "", []string{"f.yaml:2:2: file: this is not YAML: "}, "tabs do not indent"},
		{"colon missing", "schema: 1\ndate x\nlimits: y\n", "",
			[]string{"f.yaml:2:1: file: this is not YAML: could not find expected ':'"}, "the line without a colon"},
		{"list in place of a mapping", "- 1\n", "",
			[]string{"f.yaml:1:1: file: this is not a list of keys and values"}, "a list"},
		{"word in place of a mapping", "\n  federal\n", "",
			[]string{"f.yaml:2:3: file: this is not a list of keys and values"}, "a word"},
		{"list in place of a value", "date: [1, 2]\n", "", []string{"f.yaml:1:7: date: this is not a single value"},
			"at the list"},
		{"mapping in place of a value", "date:\n  a: 1\n", "", []string{"f.yaml:2:3: date: this is not a single value"},
			"at the mapping"},
		{"unknown key", "dat: x\n", "", []string{`f.yaml:1:1: dat: there is no such key (did you mean "date"?)`},
			"with a hint"},
		{"unknown key, nothing near", "schema: 1\nweather: x\n", "",
			[]string{"f.yaml:2:1: weather: there is no such key (one of date, schema)"}, "with the list"},
		{"doubled key", "date: x\nschema: 1\ndate: y\n", "x", []string{"f.yaml:3:1: date: the key stands twice"},
			"at the second"},
		{"doubled key, quoted", "date: x\n\"date\": y\n", "x", []string{"f.yaml:2:1: date: the key stands twice"},
			"quotes change no key"},
		{"alias", "schema: &a 1\ndate: *a\n", "", []string{"f.yaml:1:9: schema: anchors are not taken",
			"f.yaml:2:7: date: aliases are not taken"}, "both, at their places"},
		{"unknown alias", "date: *a\n", "", []string{"f.yaml:1:1: file: this is not YAML: unknown anchor"},
			"nothing to repeat"},
		{"anchor on nothing", "date: &a\n", "", []string{"f.yaml:1:7: date: anchors are not taken"},
			"not passed over as absent"},
		{"anchor on the file", "&a\ndate: x\n", "", []string{"anchors are not taken"}, "the whole mapping"},
		{"anchor deep inside", "limits: [{x: [&a y]}]\n", "", []string{"f.yaml:1:1: limits: there is no such key",
			"f.yaml:1:15: x: anchors are not taken"}, "wherever it stands"},
		{"tag", "date: !!str 5\n", "", []string{"f.yaml:1:7: date: tags are not taken"}, "a tag"},
		{"null tag", "date: !!null 5\n", "", []string{"f.yaml:1:7: date: tags are not taken"},
			"a value must not vanish"},
		{"own tag", "date: !x 5\n", "", []string{"f.yaml:1:7: date: tags are not taken"}, "a tag"},
		{"tag on a key", "!!str date: x\n", "", []string{"f.yaml:1:1: file: tags are not taken"}, "at the key"},
		{"merge key", "<<: {date: x}\n", "", []string{"f.yaml:1:1: <<: there is no such key"}, "nothing is merged"},
		{"merge key with an alias", "schema: &a {date: x}\n<<: *a\n", "", []string{"schema: anchors are not taken",
			"f.yaml:2:1: <<: there is no such key", "f.yaml:2:5: <<: aliases are not taken"}, "nothing is merged"},
		{"key that is a list", "? [a]\n: x\n", "", []string{"f.yaml:1:3: file: a key that is not a word"},
			"at the key"},
		{"second document", "date: x\n---\ndate: y\n", "",
			[]string{"f.yaml:2:1: file: a second document follows (one document)"}, "which one counts?"},
		{"broken second document", "date: x\n---\n[\n", "", []string{"this is not YAML"}, "not passed over"},
		{"not UTF-8", "schema: 1\ndate: ½\xe9\n", "",
			[]string{"f.yaml:2:8: file: bytes that are not UTF-8 text (save the file as UTF-8)"}, "at the character"},
		{"UTF-16", "\xff\xfed\x00", "", []string{"f.yaml:1:1: file: bytes that are not UTF-8 text"},
			"another encoding"},
		{"NUL", "date: \x00\n", "", []string{"f.yaml:1:7: file: a control character"}, "no text file"},
		{"control character behind a BOM", "\ufeffdate: \x07\n", "", []string{"f.yaml:1:7: file: a control character"},
			"the mark is no character"},
		{"bare carriage return", "schema: 1\rdate: x\n", "",
			[]string{"f.yaml:1:10: file: a line break other than a line feed"}, "lines would be counted in two ways"},
		{"carriage return at the end", "date: x\r", "x", nil, "half a CRLF"},
		{"line separator", "date: ½\u2028schema: 1\n", "",
			[]string{"f.yaml:1:8: file: a line break other than a line feed"}, "a sign of word processors"},
		{"nesting bomb", strings.Repeat("[", 50000), "", []string{"this is not YAML: exceeded max depth"},
			"refused, not followed"},
		{"nested mappings", strings.Repeat("{a: ", 50000), "", []string{"this is not YAML: exceeded max depth"},
			"refused, not followed"},
		{"too large", "#" + strings.Repeat("x", maxYAML), "", []string{"f.yaml:1:1: file: the file is too large"},
			"not parsed at all"},
		{"long unknown key", strings.Repeat("k", 900) + ": 1\n", "",
			[]string{strings.Repeat("k", 40) + "...: there is no such key"}, "cut in the message"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			m := ParseMapping("f.yaml", []byte(tc.data), &ps)
			m.Has("schema")
			if got := m.Text("date"); got != tc.date {
				t.Errorf("date is %q, want %q; %s", got, tc.date, tc.reason)
			}
			m.Done()
			checkProblems(t, &ps, tc.want, tc.reason)
		})
	}
}

// TestAliasBomb: nine levels of nine aliases each would be a thousand million values if any alias were followed.
func TestAliasBomb(t *testing.T) {
	var b strings.Builder
	b.WriteString("a: &a [x,x,x,x,x,x,x,x,x]\n")
	for c := 'b'; c <= 'j'; c++ {
		fmt.Fprintf(&b, "%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c,", c-1), 8), c-1)
	}
	var ps measure.Problems
	m := ParseMapping("f.yaml", []byte(b.String()), &ps)
	if items := m.Texts("j"); len(items) != 0 {
		t.Errorf("%d items were taken from aliases", len(items))
	}
	if n := ps.Len(); n != 10+9*9 {
		t.Errorf("%d problems, want one for every anchor and alias, %d", n, 10+9*9)
	}
}

func TestNeed(t *testing.T) {
	for _, tc := range []struct {
		name, data string
		want       []string
		reason     string
	}{
		{"there", "id: x\n", nil, "the plain case"},
		{"absent", "other: x\n", []string{"id: the key is missing (id: value)"}, "at the mapping"},
		{"null", "id: ~\n", []string{"id: the key is missing"}, "as if absent"},
		{"blank", "id: '  '\n", []string{"f.yaml:1:5: id: the value is blank"}, "at the value"},
		{"anchored", "id: &a x\n", []string{"anchors"}, "reported once"},
		{"list", "id: [x]\n", []string{"this is not a single value"}, "reported once"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			ParseMapping("f.yaml", []byte(tc.data), &ps).Need("id")
			checkProblems(t, &ps, tc.want, tc.reason)
		})
	}
}

func TestLength(t *testing.T) {
	for _, tc := range []struct {
		name, value string
		in          float64
		want        []string
		reason      string
	}{
		{"fraction", "1/8", 0.125, nil, "a length as in a sheet"},
		{"quoted", "'1/8'", 0.125, nil, "quotes change nothing"},
		{"whole", "2", 2, nil, "inches without a unit"},
		{"decimal", "0.5", 0.5, nil, "one zero before the point is no octal number"},
		{"millimetres", "25.4 mm", 1, nil, "with a unit"},
		{"none", "none", 0, nil, "exactly 0"},
		{"octal", "010", 0, []string{"f.yaml:1:4: x: \"010\" could be an octal number"},
			"8 or 10 by the version of YAML"},
		{"quoted leading zero", "'010'", 10, nil, "a quoted text is no octal number"},
		{"new octal", "0o10", 0, []string{"is not a length"}, "no notation of the trade"},
		{"hexadecimal", "0x1F", 0, []string{`"0x1F" is not a length`}, "no notation of the trade"},
		{"underscore", "1_000", 0, []string{`"1_000" is not a length`}, "no notation of the trade"},
		{"not a number", ".nan", 0, []string{`".nan" is not a length`}, "must not become a NaN"},
		{"infinite", ".inf", 0, []string{`".inf" is not a length`}, "must not become infinite"},
		{"exponent", "1e1", 0, []string{`"1e1" is not a length`}, "no notation of the trade"},
		{"date", "2016-01-07", 0, []string{"looks like a date"}, "as in a sheet"},
		{"out of bounds", "101", 0, []string{"0 to 100 in"}, "the bounds of the setting"},
		{"range", "1..2", 0, []string{"is not one value"}, "settings have no interval"},
		{"go/no-go", "'>1'", 0, []string{"is not one value"}, "settings have no interval"},
		{"blank", "''", 0, []string{"is not one value"}, "no value"},
		{"missing mark", "n/m", 0, []string{"is not one value"}, "a setting is not measured"},
		{"yes", "yes", 0, []string{"is not a length"}, "a word"},
		{"list", "[1]", 0, []string{"this is not a single value"}, "reported once"},
		{"mapping", "{a: 1}", 0, []string{"this is not a single value"}, "reported once"},
		{"tag", "!!float 1", 0, []string{"tags are not taken"}, "reported once"},
		{"null", "~", 0, nil, "as if absent"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			r, ok := ParseMapping("f.yaml", []byte("x: "+tc.value+"\n"), &ps).Length("x", inches)
			checkProblems(t, &ps, tc.want, tc.reason)
			if wantOK := tc.want == nil && tc.value != "~"; ok != wantOK {
				t.Errorf("ok is %v; %s", ok, tc.reason)
			}
			if ok && (r.Form != measure.Point || r.As < tc.in*measure.MMPerInch-1e-9 ||
				r.As > tc.in*measure.MMPerInch+1e-9) {
				t.Errorf("%+v, want %v in; %s", r, tc.in, tc.reason)
			}
		})
	}
}

func TestNested(t *testing.T) {
	const good = "limits: [federal, own.yaml]\nreading_error:\n  gauge: 1/8\nrules:\n  - id: a\n  - id: b\n"
	var ps measure.Problems
	m := ParseMapping("f.yaml", []byte(good), &ps)
	items := m.Texts("limits")
	if len(items) != 2 || items[1].Text != "own.yaml" ||
		items[1].Place != (measure.Place{File: "f.yaml", Line: 1, Col: 19}) {
		t.Errorf("limits are %+v", items)
	}
	if sub := m.Sub("reading_error"); sub.Text("gauge") != "1/8" || sub.PlaceOf("gauge").Line != 3 {
		t.Errorf("gauge is %q in line %d", sub.Text("gauge"), sub.PlaceOf("gauge").Line)
	}
	if list := m.List("rules"); len(list) != 2 || list[1].Text("id") != "b" {
		t.Errorf("%d rules", len(list))
	}
	if sub := m.Sub("absent"); len(sub.Keys()) != 0 {
		t.Errorf("an absent mapping has the keys %v", sub.Keys())
	}
	m.Done()
	checkProblems(t, &ps, nil, "all keys are asked for")

	for _, tc := range []struct {
		name, data string
		want       []string
		reason     string
	}{
		{"one in place of a list", "limits: federal\n", nil, "one word is a list of one"},
		{"mapping in a list of words", "limits: [federal, {a: 1}]\n",
			[]string{"f.yaml:1:19: limits: this is not a single value (a list of single values)"}, "at the entry"},
		{"value in place of a mapping", "reading_error: 1/8\n",
			[]string{"f.yaml:1:16: reading_error: this is not a list of keys and values"}, "at the value"},
		{"value in place of a list of mappings", "rules: 5\n",
			[]string{"f.yaml:1:8: rules: this is not a list (a list: lines that begin with -)"}, "at the value"},
		{"word in a list of mappings", "rules:\n  - a\n  - id: b\n",
			[]string{"f.yaml:2:5: rules: this is not a list of keys and values"}, "at the entry"},
		{"doubled key below", "reading_error: {gauge: 1, gauge: 2}\n",
			[]string{"f.yaml:1:27: gauge: the key stands twice"}, "at the second"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			m := ParseMapping("f.yaml", []byte(tc.data), &ps)
			m.Texts("limits")
			m.Sub("reading_error")
			m.List("rules")
			checkProblems(t, &ps, tc.want, tc.reason)
		})
	}
}

// manyKeys is a mapping that names every location of a large railroad, all but one of them asked for, and one twice.
func manyKeys(keys int) (*Mapping, *measure.Problems) {
	var b strings.Builder
	for i := range keys {
		fmt.Fprintf(&b, "location %06d: 1\n", i)
	}
	b.WriteString("unasked: 1\nlocation 000007: 2\n")
	ps := &measure.Problems{}
	m := ParseMapping("railroad.yaml", []byte(b.String()), ps)
	for _, key := range m.Keys()[:keys] {
		m.Text(key)
	}
	return m, ps
}

func TestManyKeys(t *testing.T) {
	const keys = 2_000
	m, ps := manyKeys(keys)
	m.Done()
	want := fmt.Sprintf("railroad.yaml:%d:1: location 000007: the key stands twice (each key once)", keys+2)
	if err := ps.Err(); err == nil || !strings.Contains(err.Error(), want) ||
		!strings.Contains(err.Error(), "unasked: there is no such key") || ps.Len() != 2 {
		t.Errorf("the problems are %.300v", err)
	}
}

// What nobody asked for is looked for in a time that grows with the keys, not with their square.
func BenchmarkManyKeys(b *testing.B) {
	for _, keys := range []int{1_000, 10_000, 100_000} {
		b.Run(fmt.Sprint(keys), func(b *testing.B) {
			for b.Loop() {
				m, _ := manyKeys(keys)
				m.Done()
			}
		})
	}
}

// FuzzParseMapping: any bytes give a mapping or problems, with places, and nothing of the parser's insides.
func FuzzParseMapping(f *testing.F) {
	for _, s := range []string{
		"", "schema: 1\nlimits: [federal]\n", "a: &x 1\nb: *x\n", "a: !!null 1\n", "<<: {a: 1}\n", "a: 1\n---\nb: 2\n",
		"- 1\n", "? [1]\n: 2\n", "\ufeffa: 1\r\n",
		"a: [1\n", "\ta: 1\n", "a: |\n x\n", "a: >-\n x\n", "%YAML 1.1\n---\na: 1\n", "a: \"\\u00bd\"\n", "[[[[",
		"{a: {a: {a: ", "a: 010\n", "&a\n", "*a", "rules:\n - id: x\n   condemns: {op: '<', value: 1}\n", "\xff",
		"a: \x00", "\r\r00", "! a: b", "a: # c\n  # d\n  - e # f\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var ps measure.Problems
		m := ParseMapping("f.yaml", data, &ps)
		for _, k := range m.Keys() {
			m.Text(k)
			m.Texts(k)
			m.Length(k, inches)
			m.Sub(k)
			m.List(k)
		}
		ParseSet(m, "own", &ps)
		err := ps.Err()
		if err == nil {
			return
		}
		lines := strings.Count(string(data), "\n") + 1
		for _, p := range err.(measure.ProblemsError) {
			if p.Place.File == "" || p.Place.Line > lines+1 || p.Place.Line > 0 && p.Place.Col < 1 || p.What == "" {
				t.Fatalf("%q: the problem %v has no place in the file", data, p)
			}
			for _, inside := range []string{"yaml: ", "unmarshal", "interface {", "map[string"} {
				if strings.Contains(p.What, inside) && !strings.Contains(string(data), inside) {
					t.Fatalf("%q: the message %q shows the program's insides", data, p.What)
				}
			}
		}
	})
}

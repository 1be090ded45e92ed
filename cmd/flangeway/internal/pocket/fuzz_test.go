package pocket

import (
	"encoding/json"
	"maps"
	"testing"

	"flangeway/internal/survey"
)

// yard is a small survey.
func yard() map[string][]byte {
	return map[string][]byte{
		"railroad.yaml": []byte("schema: 1\ndate: 2026-10-01 # last round\nlimits: [federal]\n"),
		"frogs.csv": []byte("# by hand\nlocation,frog,number,type,flangeway_depth,flangeway_width,date,note\n" +
			"\"lead, \"\"north\"\"\",F1,8,rbm,1-7/8,1-7/8,2026-09-01,\"two\nlines\"\nlead,F2,8,rbm,1-7/8,1-7/8,,\n"),
		"cars.csv": []byte("car,kind,axles\nA 1,freight,4\n"),
		"wheels.csv": []byte("car,position,date,flange_height,flange_thickness\nA 1,L1,2026-10-01,1,1-1/8\nA " +
			"1,R1,2026-10-01,1,1-1/8\n"),
	}
}

// FuzzTaken: whatever a device has kept, what is saved is a survey that can be read, as sheets and as a workbook, and
// taken again it is the same.
func FuzzTaken(f *testing.F) {
	for _, seed := range []string{`[]`, `[{"key":"frog/F1","column":"flangeway_depth","text":"1-7/8"}]`,
		`[{"key":"frog/F2","column":"note","text":"=1+1\"\n,<b>"},{"key":"wheel/A 1 L1","column":"flange_height","text":"<1-1/2"}]`,
		`[{"key":"frog/F1","column":"date","text":"2030-01-01"},{"key":"__proto__","column":"x","text":"y"}]`,
		`[{"key":"wheel/A 1 L1","column":"back_to_back","text":"53"},{"key":"wheel/A 1 R1","column":"back_to_back","text":"54"}]`,
		`[{"key":"frog/F1","column":"marks","text":"floor_bright none"},{"key":"frog/F1","column":"marks","text":"none"}]`,
		`[{"key":"frog/F2","column":"note","text":"_x0041_\u0000\u202e# "},{"key":"frog/F1","column":"flangeway_depth","text":"9"}]`} {
		f.Add([]byte(seed))
	}
	s, err := Open(yard(), "2026-11-30")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, kept []byte) {
		var list []Entry
		if json.Unmarshal(kept, &list) != nil || len(list) > 20 {
			return
		}
		refused, err := s.Take(list)
		if err != nil || len(refused) > len(list) {
			t.Fatalf("%q: %d refused, %v", list, len(refused), err)
		}
		files, err := s.Files()
		if err != nil {
			t.Fatal(err)
		}
		sv, err := survey.ReadFS(memory(files), s.data)
		if err != nil {
			t.Fatalf("%q gives sheets that cannot be read: %v\n%s\n%s", list, err, files["frogs.csv"],
				files["wheels.csv"])
		}
		if len(sv.Track.Features) != 2 || len(sv.Fleet.Wheels) != 2 {
			t.Fatalf("%q: %d places, %d wheels", list, len(sv.Track.Features), len(sv.Fleet.Wheels))
		}
		if _, err := s.Workbook(); err != nil {
			t.Fatal(err)
		}
		var again []Entry
		for key, columns := range s.entries {
			for column, text := range columns {
				again = append(again, Entry{key, column, text})
			}
		}
		if refused, err := s.Take(again); err != nil || len(refused) > 0 {
			t.Fatalf("%q: taken again %q is refused, %v", list, refused, err)
		}
		same, err := s.Files()
		if err != nil || !maps.EqualFunc(files, same, func(a, b []byte) bool { return string(a) == string(b) }) {
			t.Fatalf("%q: taken again it is something else, %v", list, err)
		}
	})
}

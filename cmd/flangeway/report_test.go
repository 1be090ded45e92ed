package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/internal/fixture"
)

// The same survey gives the same bytes.
func TestReportIsByteStable(t *testing.T) {
	fixture.InVolumes(t, "it makes one page twice")
	t.Parallel()
	small := smallDemo(t)
	a, errA := os.ReadFile(reportFile(t, small))
	b, errB := os.ReadFile(reportFile(t, small))
	if errA != nil || errB != nil || !bytes.Equal(a, b) {
		t.Errorf("two pages of the same survey differ (%v, %v)", errA, errB)
	}
}

// The page asks nobody for anything; the demo's, with FLANGEWAY_VOLUME, stays small.
func TestReportFetchesNothing(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	file := ""
	if volume() {
		file = plainReport(t)
	} else {
		file = reportFile(t, fewPlaces(t), "--appendix")
	}
	a, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(a) > 1500000 {
		t.Errorf("the demo's page has %d bytes", len(a))
	}
	t.Logf("the demo's page has %d bytes", len(a))
	// Nothing is fetched: no address that a browser would follow by itself. The
	// namespace of SVG is a name, not an address that is asked.
	for _, m := range regexp.MustCompile(`(?i)(src|href|action|data|poster)\s*=\s*"[^"]*"|url\([^)]*\)|@import|https?://[^" ]*`).FindAllString(string(a), -1) {
		if !strings.HasPrefix(m, `href="#`) && m != `href="data:,"` && m != "http://www.w3.org/2000/svg" {
			t.Errorf("the page refers to %s", m)
		}
	}
}

// The page grows with the locations, each with a frog, a switch, a curve, a joint and a gauge spot: 200 with 30 cars
// stay under 10 MB.
func TestReportOfManyLocations(t *testing.T) {
	fixture.InVolumes(t, "a page of many locations takes long")
	t.Parallel()
	const locations, cars, each = 200, 30, 1 << 20 / 20
	dir := t.TempDir()
	write := func(name string, lines []string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	wheels := []string{"car,position,date,flange_height,flange_thickness,vertical_flange,tread_hollow,back_to_back"}
	for c := range cars {
		for a := range 4 {
			wheels = append(wheels, fmt.Sprintf("GEN %d,L%d,2026-04-01,1-%d/16,1-%d/16,%d/16,%d,53-%d/16", 1000+c, a+1,
				1+(c+a)%8, 1+c%5, 6+c%9, c%6, 1+c%6),
				fmt.Sprintf("GEN %d,R%d,2026-04-01,1-%d/16,1-%d/16,%d/16,%d,", 1000+c, a+1, 1+c%8, 1+a%4, 6+a, a))
		}
	}
	frogs := []string{"location,frog,gauge,flangeway_depth,flangeway_width,guard_check,guard_face,guard_flangeway,date"}
	switches := []string{"location,switch,gauge,point_gap,point_drop,chip_depth,chip_length,stock_rail_wear,open_clearance,heel_rise,date"}
	curves := []string{"location,curve,degree,gauge,loaded_gauge,date"}
	joints := []string{"location,joint,rail,head_wear,bar_depth,date"}
	spots := []string{"location,spot,gauge,loaded_gauge,date"}
	for i := range locations {
		at := fmt.Sprintf("Generated siding number %d", i+1)
		frogs = append(frogs, fmt.Sprintf("%s,F%d,56-%d/16,1-%d/16,1-%d/16,54-%d/16,53-%d/16,1-%d/16,2026-04-01", at, i,
			4+i%8, 4+i%8, 4+i%10, 4+i%9, i%7, 3+i%12))
		switches = append(switches, fmt.Sprintf("%s,S%d,56-%d/16,%d/16,%d/16,%d/16,%d,%d/16,%d-1/4,%d/16,2026-04-01",
			at, i, 4+i%8, i%6, 3+i%8, i%14, 2+i%9, i%7, 2+i%2, i%5))
		curves = append(curves, fmt.Sprintf("%s,C%d,%d,56-%d/16,57-%d/16,2026-04-01", at, i, 2+i%12, 6+i%9, i%16))
		joints = append(joints, fmt.Sprintf("%s,J%d,115RE,%d/16,1-%d/16,2026-04-01", at, i, i%9, 3+i%9))
		spots = append(spots, fmt.Sprintf("%s,G%d,56-%d/16,58-%d/16,2026-04-01", at, i, 2+i%12, i%16))
	}
	write("railroad.yaml", []string{"schema: 1", "railroad: Generated", "date: 2026-05-01", "track_class: 1",
		"speed_mph: 10", "limits: [federal, interchange, yard-practice]"})
	write("wheels.csv", wheels)
	write("frogs.csv", frogs)
	write("switches.csv", switches)
	write("curves.csv", curves)
	write("joints.csv", joints)
	write("gauge.csv", spots)
	info, err := os.Stat(reportFile(t, dir))
	if err != nil {
		t.Fatal(err)
	}
	if info.Size() > locations*each {
		t.Errorf("the page has %d bytes", info.Size())
	}
	t.Logf("the page of %d locations has %d bytes", locations, info.Size())
}

// Every part that can be left out is there without --without and gone with it; the
// summary and the cautions always stand.
func TestReportParts(t *testing.T) {
	fixture.LeftToVolumes(t)
	marks := map[string]string{"list": `id="list"`, "words": `id="words"`, "places": `id="places"`,
		"drawings": "<figure>", "wheels": `id="wheels"`, "classes": `id="classes"`,
		"limits": `id="limits"`, "readings": `id="readings"`, "assumed": `id="assumed"`, "warnings": `id="warnings"`,
		"signatures": `id="signatures"`, "plan": `id="plan"`, "orders": `id="orders"`, "wear": `id="wear"`}
	t.Parallel()
	small := fewPlaces(t, "F14") // whose readings are warned of
	whole, err := os.ReadFile(reportFile(t, small))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range paper.ReportParts() {
		mark, ok := marks[part]
		if !ok {
			t.Fatalf("no mark for %s", part)
		}
		if !bytes.Contains(whole, []byte(mark)) {
			t.Errorf("the whole page has no %s", part)
		}
		left := part
		if part != "plan" && part != "orders" { // choosing the plan takes seconds
			left += ",plan,orders"
		}
		without, err := os.ReadFile(reportFile(t, small, "--without", left))
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(without, []byte(mark)) {
			t.Errorf("--without %s leaves it in", part)
		}
		for other, mark := range marks {
			gone := slices.Contains(strings.Split(left, ","), other) || part == "places" && other == "drawings"
			if !gone && !bytes.Contains(without, []byte(mark)) {
				t.Errorf("--without %s takes %s too", part, other)
			}
		}
		for _, always := range []string{`id="summary"`, `id="cautions"`, "releases no track and no cars", "SHA-256"} {
			if !bytes.Contains(without, []byte(always)) {
				t.Errorf("--without %s takes %s", part, always)
			}
		}
		for _, link := range regexp.MustCompile(`href="#([^"]+)"`).FindAllSubmatch(without, -1) {
			if !bytes.Contains(without, []byte(`id="`+string(link[1])+`"`)) {
				t.Errorf("--without %s leaves a link to #%s", part, link[1])
			}
		}
	}
}

// Each location has a drawing of its own name; names that would be one file, or none a system takes, are told apart.
func TestDrawingNames(t *testing.T) {
	long := strings.Repeat("a", 300)
	for _, tc := range []struct {
		name, in, want, reason string
	}{
		{"plain", "Rip track", `^rip-track\.svg$`, "letters, digits and a hyphen"},
		{"punctuation", "Quarry branch MP 4.2", `^quarry-branch-mp-4-2\.svg$`, "a dot is no letter"},
		{"up and out", "../../etc/passwd", `^etc-passwd\.svg$`, "no way out of the folder"},
		{"device", "CON", `^con-[0-9a-f]{8}\.svg$`, "Windows takes con for the console"},
		{"port", "com1", `^com1-[0-9a-f]{8}\.svg$`, "and com1 for a port"},
		{"other letters", "\u05e9\u05dc", `^[0-9a-f]{8}\.svg$`, "no letter of a to z is left"},
		{"empty of letters", "///", `^[0-9a-f]{8}\.svg$`, "likewise"},
		{"long", long, `^a{48}-[0-9a-f]{8}\.svg$`, "cut, and told from another long one"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := drawingNames([]string{tc.in})[0]; !regexp.MustCompile(tc.want).MatchString(got) {
				t.Errorf("%q, want %s: %s", got, tc.want, tc.reason)
			}
		})
	}
	names := []string{"East lead", "east lead", "East-lead", "EAST LEAD ", long, long + "b"}
	seen := map[string]bool{}
	for _, f := range drawingNames(names) {
		if seen[f] {
			t.Errorf("%s stands for two locations", f)
		}
		seen[f] = true
	}
}

// --draw writes a drawing for each location and no other file; a folder that cannot
// take one of them ends with none.
func TestCheckDraw(t *testing.T) {
	t.Parallel()
	demo := fewCars(t)
	dir := filepath.Join(t.TempDir(), "drawn")
	if _, stderr, code := runFor(t, "check", demo, "--plain", "--fail-on", "never", "--draw", dir); code != 0 {
		t.Fatal(stderr)
	}
	entries, err := os.ReadDir(dir)
	if err != nil || len(entries) != 12 {
		t.Fatalf("%d drawings for 12 locations (%v)", len(entries), err)
	}
	first := map[string][]byte{}
	for _, e := range entries {
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil || !bytes.HasPrefix(b, []byte("<svg ")) || !bytes.HasSuffix(b, []byte("</svg>\n")) {
			t.Errorf("%s is no drawing (%v)", e.Name(), err)
		}
		first[e.Name()] = b
	}
	if _, stderr, code := runFor(t, "check", demo, "--plain", "--fail-on", "never", "--draw", dir); code != 0 {
		t.Fatal(stderr)
	}
	for name, b := range first {
		if again, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !bytes.Equal(again, b) {
			t.Errorf("%s differs the second time (%v)", name, err)
		}
	}
	// One name is taken by a folder: no drawing is left behind.
	blocked := filepath.Join(t.TempDir(), "blocked")
	if err := os.MkdirAll(filepath.Join(blocked, "rip-track.svg"), 0o755); err != nil {
		t.Fatal(err)
	}
	stdout, stderr, code := runFor(t, "check", demo, "--plain", "--draw", blocked)
	if code != exitInput || stdout != "" || !strings.Contains(stderr, "rip-track.svg") {
		t.Errorf("exit code %d, %q, %q", code, stdout, stderr)
	}
	if entries, err := os.ReadDir(blocked); err != nil || len(entries) != 1 {
		t.Errorf("%d files are left (%v)", len(entries), err)
	}
	file := filepath.Join(t.TempDir(), "a-file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, code := runFor(t, "check", demo, "--plain", "--draw", file); code != exitInput {
		t.Errorf("a file as folder ends with %d", code)
	}
}

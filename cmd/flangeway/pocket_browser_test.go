package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"flangeway/cmd/flangeway/internal/pocket"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// pocketYard is a small yard, with a name that would do harm if it were taken for more than text.
func pocketYard() map[string]string {
	return map[string]string{
		"railroad.yaml": "schema: 1\nrailroad: \"Yard </script><script>alert(1)</script>\"\nlimits: [federal]\n",
		"frogs.csv": "location,frog,number,type,flangeway_depth,flangeway_width,guard_check,guard_face,guard_flangeway,gauge,date,note,marks\n" +
			"<img src=x onerror=alert(1)>,F1,8,rbm,1-3/4,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,,\nlead,F2,8,rbm,1-7/8,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,,\n",
		"switches.csv": "location,switch,direction,point_gap,point_drop,chip_depth,gauge,date,condition,marks\nlead,S1,facing,none,1/4,none,56-1/2,2026-01-02,,\n",
		"wheels.csv": "car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,marks\n" +
			"A 1,L1,2026-01-02,1-1/8,1-1/8,1,53-3/8,\nA 1,R1,2026-01-02,1-1/8,1-1/8,1,,\n",
	}
}

// pocketBrowser starts the browser for a page of pocket. What runs in such a page takes half a minute to build.
func pocketBrowser(t *testing.T) context.Context {
	t.Helper()
	fixture.InVolumes(t, "what runs in the page takes long to build")
	return browser(t)
}

// phone opens the page in a new tab as a phone does: small, touched, slow and without a network.
func phone(t *testing.T, ctx context.Context, file string) *tab {
	t.Helper()
	b := newTab(t, ctx)
	must := func(_ cdp.Empty, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(chromedp.Call(b.ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{Width: 360,
		Height: 640, DeviceScaleFactor: 2, Mobile: true}))
	must(chromedp.Call(b.ctx, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true}))
	must(chromedp.Call(b.ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}))
	must(chromedp.Call(b.ctx, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: true}))
	began := time.Now()
	if err := chromedp.Do(b.ctx, chromedp.Navigate(address(file))); err != nil {
		t.Fatal(err)
	}
	b.waits(`document.body.getAttribute("data-open") === "yes"`)
	t.Logf("a reading can be taken after %v, slowed four times", time.Since(began).Round(10*time.Millisecond))
	return b
}

// press presses a key of the page.
func (b *tab) press(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		name, err := json.Marshal(k)
		if err != nil {
			b.t.Fatal(err)
		}
		if !evaluated[bool](b, `(function () { var e = document.querySelector('[data-key="' + CSS.escape(`+string(name)+
			`) + '"]'); if (!e) { return false; } e.click(); return true; })()`) {
			b.t.Fatalf("there is no key %s in %s", k, evaluated[string](b, "document.getElementById('main').textContent"))
		}
	}
}

// waits waits until an expression is true.
func (b *tab) waits(expression string) {
	b.t.Helper()
	for end := time.Now().Add(60 * time.Second); !evaluated[bool](b, expression); time.Sleep(100 * time.Millisecond) {
		if time.Now().After(end) {
			b.t.Fatalf("never: %s; the page says %q", expression, evaluated[string](b, "document.body.innerText"))
		}
	}
}

// TestPocketInBrowser takes readings by pressing keys, kills the tab in the middle, opens the page again, takes more, and
// finds every reading in the sheets: the same bytes as the same entries give outside of a page.
func TestPocketInBrowser(t *testing.T) {
	ctx := pocketBrowser(t)
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "yard.html")
	files := map[string][]byte{}
	for name, text := range pocketYard() {
		files[name] = []byte(text)
		if err := os.WriteFile(filepath.Join(dir, name), files[name], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, errs, code := runFor(t, "pocket", dir, "-o", out); code != 0 {
		t.Fatal(errs)
	}
	b := phone(t, ctx, out)
	b.press("frog/F2") // before the engine has started
	for !strings.Contains(evaluated[string](b, "document.querySelector('h2').textContent"), "flangeway_depth") {
		b.press("skip")
	}
	b.press("1", "-", "7", "/", "8")
	b.waits(`typeof flangewayFiles === "function"`)
	b.press("take")
	b.waits(`document.querySelector('h2').textContent.includes("flangeway_width")`)
	if text := evaluated[string](b, "document.querySelector('section').textContent"); !strings.Contains(text, "frog-floor") ||
		!strings.Contains(text, "Still to read: ") {
		t.Errorf("after the first reading the page says %q", text)
	}
	b.press("before")        // as before: 1-7/8
	b.press("5", "4", "1/2") // guard_check, and the tab is killed before it is taken
	b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
	t.Log("ms of an entry, slowed four times:", evaluated[string](b, "document.body.getAttribute('data-ms')"))
	b.asked(out)
	if err := chromedp.Cancel(b.ctx); err != nil {
		t.Fatal(err)
	}

	b = phone(t, ctx, out)
	if typed := evaluated[string](b, "document.querySelector('.typed').textContent"); typed != "54-1/2" {
		t.Errorf("what was typed is %q after the tab was killed", typed)
	}
	b.waits(`typeof flangewayFiles === "function" && document.querySelector("table") !== null`)
	b.press("take")
	b.waits(`document.querySelector('h2').textContent.includes("guard_face")`)
	b.press("1", "/", "2", "take") // no guard face
	b.waits(`document.querySelector(".wrong") !== null`)
	b.press("delete", "delete", "delete")
	for !strings.Contains(evaluated[string](b, "document.querySelector('h2').textContent"), "marks") {
		b.press("skip")
	}
	b.press("floor_bright", "point_nicked", "take")
	evaluated[any](b, "document.getElementById('undo').click(), null") // and it was not so
	b.press("floor_bright", "take")
	evaluated[any](b, "document.getElementById('back').click(), null")
	b.press("wheel/A 1 L1")
	for !strings.Contains(evaluated[string](b, "document.querySelector('h2').textContent"), "flange_height") {
		b.press("skip")
	}
	b.press("+1/16", "take")
	b.waits(`document.querySelector('h2').textContent.includes("flange_thickness")`)
	day := evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`)
	var got struct{ Result map[string]string }
	if err := json.Unmarshal([]byte(evaluated[string](b, "flangewayFiles('0')")), &got); err != nil {
		t.Fatal(err)
	}
	b.asked(out)

	s, err := pocket.Open(files, day)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range []pocket.Entry{{Key: "frog/F2", Column: "flangeway_depth", Text: "1-7/8"},
		{Key: "frog/F2", Column: "flangeway_width", Text: "1-7/8"}, {Key: "frog/F2", Column: "guard_check", Text: "54-1/2"},
		{Key: "frog/F2", Column: "marks", Text: "floor_bright"}, {Key: "wheel/A 1 L1", Column: "flange_height", Text: "1-3/16"}} {
		if a, err := s.Enter(e); err != nil || a.Wrong != "" {
			t.Fatal(e, a.Wrong, err)
		}
	}
	want, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	if len(want) != 2 || len(got.Result) != 2 {
		t.Errorf("%d sheets changed in the page, %d outside", len(got.Result), len(want))
	}
	for name, text := range want {
		if got.Result[name] != string(text) {
			t.Errorf("%s is in the page\n%s\nand outside\n%s", name, got.Result[name], text)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(got.Result[name]), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if stdout, errs, code := runFor(t, "check", dir, "--fail-on", "never"); code != 0 || !strings.Contains(stdout, "frog-floor") {
		t.Errorf("check of what was saved: exit %d, %s", code, errs)
	}
}

// asked asserts that the page ran nothing but itself: no dialog, no exception, no request.
func (b *tab) asked(file string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, x := range b.did {
		if x != "request: "+address(file) {
			b.t.Errorf("the page did %q", x)
		}
	}
}

// wholeYard is a yard of 6 frogs, 4 switches and 12 cars, and the readings of a day in walking order.
func wholeYard() (files map[string]string, readings []pocket.Entry) {
	frogs := "location,frog,number,type,flangeway_depth,flangeway_width,guard_check,guard_face,guard_flangeway,gauge,date,marks\n"
	switches := "location,switch,direction,point_gap,point_drop,chip_depth,face_angle,gauge,date,marks\n"
	cars, wheels := "car,kind,axles\n", "car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,marks\n"
	read := func(key string, sets ...string) {
		for i := 0; i < len(sets); i += 2 {
			readings = append(readings, pocket.Entry{Key: key, Column: sets[i], Text: sets[i+1]})
		}
	}
	for i := range 6 {
		frogs += fmt.Sprintf("lead %d,F%d,8,rbm,1-3/4,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,\n", i/2, i)
		read(fmt.Sprintf("frog/F%d", i), "gauge", "56-1/2", "flangeway_depth", []string{"1-5/8", "1-1/4", "<1-1/2"}[i%3],
			"flangeway_width", "1-7/8", "guard_check", "54-5/8", "guard_face", "52-3/4", "guard_flangeway", "1-7/8", "marks",
			[]string{"floor_bright", "none"}[i%2])
	}
	for i := range 4 {
		switches += fmt.Sprintf("lead %d,S%d,facing,none,1/4,none,75,56-1/2,2026-01-02,\n", i/2, i)
		read(fmt.Sprintf("switch/S%d", i), "gauge", "56-9/16", "point_gap", "1/8", "point_drop", "5/16", "chip_depth", "1/2",
			"face_angle", "71")
	}
	for i := range 12 {
		cars += fmt.Sprintf("CAR %02d,freight,4\n", i)
		for a := 1; a <= 4; a++ {
			for _, side := range []string{"L", "R"} {
				wheels += fmt.Sprintf("CAR %02d,%s%d,2026-01-02,1-1/8,1-1/8,1,,\n", i, side, a)
				read(fmt.Sprintf("wheel/CAR %02d %s%d", i, side, a), "flange_height", []string{"1-1/8", "1-1/4", "<1-1/2"}[i%3],
					"flange_thickness", []string{"1-1/16", ">=15/16"}[a%2], "tread_hollow", []string{"1.5", "3"}[i%2])
			}
		}
	}
	return map[string]string{"frogs.csv": frogs, "switches.csv": switches, "cars.csv": cars, "wheels.csv": wheels}, readings
}

// take presses the keys of the readings of one thing, from column to column as they come.
const take = `(function (key, texts) {
	function press(k) { var e = document.querySelector('[data-key="' + CSS.escape(k) + '"]'); if (!e) { throw new Error("no key " + k); } e.click(); }
	document.getElementById("back").click();
	press(key);
	for (var left = Object.keys(texts).length; left > 0;) {
		var h = document.querySelector("h2").textContent, c = h.slice(h.lastIndexOf(": ") + 2);
		if (h.indexOf(key) !== 0) { return "ran past " + key; }
		if (!(c in texts)) { press("skip"); continue; }
		if (c === "marks") { texts[c].split(" ").forEach(press); } else { (texts[c].match(/>=|./g)).forEach(press); }
		press("take");
		if (document.querySelector(".wrong")) { return document.querySelector(".wrong").textContent; }
		left--;
	}
	return "";
})`

// TestPocketTakesAYard takes a whole yard by pressing keys, the tab killed in the middle: every reading is in the sheets.
func TestPocketTakesAYard(t *testing.T) {
	ctx := pocketBrowser(t)
	texts, readings := wholeYard()
	dir, out, files := t.TempDir(), filepath.Join(t.TempDir(), "yard.html"), map[string][]byte{}
	for name, text := range texts {
		files[name] = []byte(text)
		if err := os.WriteFile(filepath.Join(dir, name), files[name], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, errs, code := runFor(t, "pocket", dir, "-o", out); code != 0 {
		t.Fatal(errs)
	}
	byKey, order := map[string]map[string]string{}, []string(nil)
	for _, e := range readings {
		if byKey[e.Key] == nil {
			byKey[e.Key] = map[string]string{}
			order = append(order, e.Key)
		}
		byKey[e.Key][e.Column] = e.Text
	}
	var got struct{ Result map[string]string }
	day := ""
	for part := range slices.Chunk(order, len(order)/4+1) {
		b := phone(t, ctx, out)
		b.waits(`typeof flangewayFiles === "function"`)
		for _, key := range part {
			args, err := json.Marshal(byKey[key])
			if err != nil {
				t.Fatal(err)
			}
			if wrong := evaluated[string](b, take+fmt.Sprintf("(%q, %s)", key, args)); wrong != "" {
				t.Fatalf("%s: %s", key, wrong)
			}
		}
		t.Log("ms of the last entry, slowed four times:", evaluated[string](b, "document.body.getAttribute('data-ms')"))
		b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
		day = evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`)
		if err := json.Unmarshal([]byte(evaluated[string](b, "flangewayFiles('0')")), &got); err != nil {
			t.Fatal(err)
		}
		b.asked(out)
		if err := chromedp.Cancel(b.ctx); err != nil {
			t.Fatal(err)
		}
	}
	s, err := pocket.Open(files, day)
	if err != nil {
		t.Fatal(err)
	}
	if refused := s.Take(readings); len(refused) > 0 {
		t.Fatal(refused)
	}
	want, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range want {
		if got.Result[name] != string(text) {
			t.Errorf("%s is in the page\n%s\nand outside\n%s", name, got.Result[name], text)
		}
		if err := os.WriteFile(filepath.Join(dir, name), []byte(got.Result[name]), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	sv, err := survey.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, w := range sv.Fleet.Wheels {
		for column, text := range byKey["wheel/"+w.Car.ID+" "+w.Position.String()] {
			if q, _ := wheel.QuantityOf(column); w.Own(q).Written == text {
				found++
			}
		}
	}
	for _, f := range sv.Track.Features {
		for column, text := range byKey[f.Name()] {
			if q, ok := track.QuantityOf(column); ok && f.Read(q).Written == text || !ok && (f.Marks.Has(text) || f.Marks.Looked) {
				found++
			}
		}
	}
	if found != len(readings) {
		t.Errorf("%d of %d readings are in the sheets", found, len(readings))
	}
}

// TestPocketFolder: opened once from a web folder the page opens again when the server is gone, and has what was typed.
func TestPocketFolder(t *testing.T) {
	ctx := pocketBrowser(t)
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "web")
	for name, text := range pocketYard() {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, errs, code := runFor(t, "pocket", dir, "-o", out); code != 0 {
		t.Fatal(errs)
	}
	server := httptest.NewServer(http.FileServer(http.Dir(out)))
	defer server.Close()
	b := newTab(t, ctx)
	load := func() {
		t.Helper()
		if err := chromedp.Do(b.ctx, chromedp.Navigate(server.URL+"/")); err != nil {
			t.Fatal(err)
		}
		b.waits(`document.body.getAttribute("data-open") === "yes"`)
	}
	load()
	b.waits(`navigator.serviceWorker.controller !== null`)
	b.press("frog/F2", "5", "6")
	b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
	server.Close()
	load()
	if typed := evaluated[string](b, "document.querySelector('.typed').textContent"); typed != "56" {
		t.Errorf("what was typed is %q without the server", typed)
	}
	b.waits(`typeof flangewayFiles === "function"`)
}

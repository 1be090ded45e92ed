package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
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
		"railroad.yaml": "schema: 1\nrailroad: \"Yard </script><script>alert(1)</script>" +
			strings.Repeat("W", 60) + "\"\nlimits: [federal]\n",
		"frogs.csv": "location,frog,number,type,flangeway_depth,flangeway_width,guard_check,guard_face," +
			"guard_flangeway,gauge,date,note,marks\n" +
			"<img src=x onerror=alert(1)>,F1,8,rbm,1-3/4,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,,\n" +
			"lead,F2,8,rbm,1-7/8,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,,\n",
		"switches.csv": "location,switch,direction,point_gap,point_drop,chip_depth,gauge,date,condition,marks\n" +
			"lead,S1,facing,none,1/4,none,56-1/2,2026-01-02,,\n",
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
func phone(t testing.TB, ctx context.Context, file string) *tab {
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
	must(chromedp.Call(b.ctx, emulation.SetTouchEmulationEnabled,
		emulation.SetTouchEmulationEnabledParams{Enabled: true}))
	b.slowed(4)
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
			b.t.Fatalf("there is no key %s in %s", k,
				evaluated[string](b, "document.getElementById('main').textContent"))
		}
	}
}

// asks is what the screen asks for: the key of a thing and one of its columns.
func (b *tab) asks() (of, column string) {
	b.t.Helper()
	h := evaluated[[]string](b, `[document.querySelector("h2").dataset.of || "", document.querySelector("h2").dataset.column || ""]`)
	return h[0], h[1]
}

// skipTo skips readings until the screen asks for a column, of a thing if one is given.
func (b *tab) skipTo(key, column string) {
	b.t.Helper()
	for range 300 {
		if of, asked := b.asks(); asked == column && (key == "" || of == key) {
			return
		}
		b.press("skip")
	}
	b.t.Fatalf("no screen asks for %s %s", key, column)
}

// slowed makes the processor slower by so many times.
func (b *tab) slowed(by float64) {
	b.t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetCPUThrottlingRate,
		emulation.SetCPUThrottlingRateParams{Rate: by}); err != nil {
		b.t.Fatal(err)
	}
}

// touch touches keys of the page as a finger does.
func (b *tab) touch(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		name, err := json.Marshal(k)
		if err != nil {
			b.t.Fatal(err)
		}
		at := evaluated[[]float64](b, `(function () { var e = document.querySelector('[data-key="' + CSS.escape(`+
			string(name)+
			`) + '"]'); if (!e) { return []; } e.scrollIntoView({ block: "center" }); var r = e.getBoundingClientRect();
			return [r.x + r.width / 2, r.y + r.height / 2, r.height]; })()`)
		if len(at) == 0 || at[2] < 48 {
			b.t.Fatalf("the key %s is not there, or too small for a finger: %v", k, at)
		}
		for _, p := range []input.DispatchTouchEventParams{
			{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: at[0], Y: at[1]}}},
			{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}}} {
			if _, err := chromedp.Call(b.ctx, input.DispatchTouchEvent, p); err != nil {
				b.t.Fatal(err)
			}
		}
	}
}

// strike strikes keys of a keyboard.
func (b *tab) strike(keys ...string) {
	b.t.Helper()
	for _, k := range keys {
		down := input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: k, Text: k}
		if len(k) > 1 {
			down.Text, down.WindowsVirtualKeyCode = map[string]string{"Enter": "\r"}[k],
				map[string]int64{"Enter": 13, "Tab": 9, "Backspace": 8, "ArrowLeft": 37, "ArrowRight": 39}[k]
		}
		up := down
		up.Type, up.Text = input.DispatchKeyEventTypeKeyUp, ""
		for _, p := range []input.DispatchKeyEventParams{down, up} {
			if _, err := chromedp.Call(b.ctx, input.DispatchKeyEvent, p); err != nil {
				b.t.Fatal(err)
			}
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

// TestPocketInBrowser takes readings by pressing keys, kills the tab in the middle, opens the page again, takes more,
// and finds every reading in the sheets: the same bytes as the same entries give outside of a page.
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
	b.skipTo("", "flangeway_depth")
	b.press("1", "-", "7", "/", "8")
	b.waits(`document.body.getAttribute("data-judges") === "yes"`)
	b.press("take")
	b.waits(`document.querySelector('h2').textContent === "Frog F2 (lead): flangeway width"`)
	b.waits("document.querySelector('table') !== null")
	text := evaluated[string](b, "document.querySelector('section').textContent")
	if !strings.Contains(text, "flange strikes the frog floor") || !strings.Contains(text, "Still to read: ") {
		t.Errorf("after the first reading the page says %q", text)
	}
	b.press("before")        // as before: 1-7/8
	b.press("5", "4", "1/2") // guard_check, and the tab is killed before it is taken
	b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
	b.asked(out)
	if err := chromedp.Cancel(b.ctx); err != nil {
		t.Fatal(err)
	}

	b = phone(t, ctx, out)
	if typed := evaluated[string](b, "document.querySelector('.typed').textContent"); typed != "54-1/2" {
		t.Errorf("what was typed is %q after the tab was killed", typed)
	}
	b.waits(`document.body.getAttribute("data-judges") === "yes" && document.querySelector("table") !== null`)
	b.press("take")
	b.waits(`document.querySelector('h2').dataset.column === "guard_face"`)
	b.press("1", "/", "2", "take") // no guard face
	b.waits(`document.querySelector(".wrong") !== null`)
	evaluated[any](b, "scrollTo(0, 1e6), null")
	b.press("take") // far down: what is wrong comes to be seen
	top := evaluated[float64](b, `document.querySelector(".wrong").getBoundingClientRect().top`)
	if top < 0 || top > 640 {
		t.Errorf("what is wrong stands at %v, beyond the screen", top)
	}
	b.press("delete", "delete", "delete")
	b.skipTo("", "marks")
	b.press("floor_bright", "point_nicked", "take")
	evaluated[any](b, "document.getElementById('undo').click(), null") // and it was not so
	b.press("floor_bright", "take")
	// It was the last of the frog: what the frog comes to stands on the screen of what is next.
	b.waits(`document.querySelector("h2").dataset.of === "switch/S1"`)
	text = evaluated[string](b, `document.querySelector(".said").textContent`)
	if !strings.HasPrefix(text, "Frog F2: ") {
		t.Errorf("after the last reading of the frog the page says %q", text)
	}
	evaluated[any](b, "document.getElementById('back').click(), null")
	b.press("wheel/A 1 L1")
	if text := evaluated[string](b, `document.querySelector(".said").textContent`); strings.Contains(text, "Frog F2") {
		t.Errorf("at a wheel the page says %q", text)
	}
	b.skipTo("", "flange_height")
	b.press("+1/16", "take")
	b.waits(`document.querySelector('h2').dataset.of === "wheel/A 1 R1"`) // the other one of the axle
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
		{Key: "frog/F2", Column: "flangeway_width", Text: "1-7/8"},
		{Key: "frog/F2", Column: "guard_check", Text: "54-1/2"},
		{Key: "frog/F2", Column: "marks", Text: "floor_bright"},
		{Key: "wheel/A 1 L1", Column: "flange_height", Text: "1-3/16"}} {
		if a, err := s.Enter(e); err != nil || a.Wrong != "" {
			t.Fatal(e, a.Wrong, err)
		}
	}
	want, err := s.Changed()
	if err != nil {
		t.Fatal(err)
	}
	if len(want) != 3 || len(got.Result) != 3 { // and railroad.yaml
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
	if stdout, errs, code := runFor(t, "check", dir, "--fail-on", "never"); code != 0 ||
		!strings.Contains(stdout, "frog-floor") {
		t.Errorf("check of what was saved: exit %d, %s", code, errs)
	}
}

// tap presses a button of the page's head.
func (b *tab) tap(id string) {
	b.t.Helper()
	evaluated[any](b, fmt.Sprintf("document.getElementById(%q).click(), null", id))
}

// asked asserts that the page ran nothing but itself: no dialog, no exception, no request.
func (b *tab) asked(file string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, x := range b.did {
		// What computes beside the page is a script of the page's own, kept in memory.
		if x != "request: "+address(file) && !strings.HasPrefix(x, "request: blob:null/") {
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
	place := func(i int) {
		frogs += fmt.Sprintf("lead %d,F%d,8,rbm,1-3/4,1-7/8,54-5/8,52-3/4,1-7/8,56-1/2,2026-01-02,\n", i/2, i)
		read(fmt.Sprintf("frog/F%d", i), "gauge", "56-1/2", "flangeway_depth",
			[]string{"1-5/8", "1-1/4", "<1-1/2"}[i%3], "flangeway_width", "1-7/8", "guard_check", "54-5/8",
			"guard_face", "52-3/4", "guard_flangeway", "1-7/8", "marks", []string{"floor_bright", "none"}[i%2])
	}
	points := func(i int) {
		switches += fmt.Sprintf("lead %d,S%d,facing,none,1/4,none,75,56-1/2,2026-01-02,\n", i/2, i)
		read(fmt.Sprintf("switch/S%d", i), "gauge", "56-9/16", "point_gap", "1/8", "point_drop", "5/16", "chip_depth",
			"1/2", "face_angle", "71")
	}
	for i := range 3 { // of each lead its frogs, then its switches
		place(2 * i)
		place(2*i + 1)
		if i < 2 {
			points(2 * i)
			points(2*i + 1)
		}
	}
	for i := range 12 {
		cars += fmt.Sprintf("CAR %02d,freight,4\n", i)
		for a := 1; a <= 4; a++ {
			for _, side := range []string{"L", "R"} {
				wheels += fmt.Sprintf("CAR %02d,%s%d,2026-01-02,1-1/8,1-1/8,1,,\n", i, side, a)
				read(fmt.Sprintf("wheel/CAR %02d %s%d", i, side, a), "flange_height",
					[]string{"1-1/8", "1-1/4", "<1-1/2"}[i%3],
					"flange_thickness", []string{"1-1/16", ">15/16"}[a%2], "tread_hollow", []string{"1.5", "3"}[i%2])
			}
		}
	}
	return map[string]string{"frogs.csv": frogs, "switches.csv": switches, "cars.csv": cars, "wheels.csv": wheels},
		readings
}

// take walks on to one place or one axle, which has to be the next, and presses the keys of its readings from screen to
// screen as they come.
const take = `(function (key, texts) {
	function press(k) { var e = document.querySelector('[data-key="' + CSS.escape(k) + '"]'); if (!e) { throw new Error("no key " + k); } e.click(); }
	for (var n = 0; document.querySelector("h2").dataset.of !== key && n < 40; n++) { press("skip"); }
	for (var left = texts.n; left > 0;) {
		var h = document.querySelector("h2"), c = h.dataset.column, of = h.dataset.of;
		if (!(of in texts)) { return "ran past " + key + " to " + h.textContent; }
		if (!(c in texts[of])) { press("skip"); continue; }
		if (c === "marks") { texts[of][c].split(" ").forEach(press); } else { (texts[of][c].match(/[<>]=|./g)).forEach(press); }
		press("take");
		if (document.querySelector(".wrong")) { return document.querySelector(".wrong").textContent; }
		left--;
	}
	return "";
})`

// byHand takes the readings of a thing as a person does, with fingers or on a keyboard: those of the columns that are
// asked for, in the order of the screens.
func (b *tab) byHand(key string, texts map[string]map[string]string, keyboard bool) {
	b.t.Helper()
	evaluated[any](b, `document.getElementById("back").click(), null`)
	b.touch(key)
	left := 0
	for _, columns := range texts {
		left += len(columns)
	}
	for left > 0 {
		of, column := b.asks()
		text, ok := texts[of][column]
		switch {
		case !ok:
			b.touch("skip")
			continue
		case column == "marks":
			b.touch(strings.Fields(text)...)
			b.touch("take")
		case keyboard:
			b.strike(strings.Split(text, "")...)
			b.strike("Enter")
		default:
			b.touch(regexp.MustCompile("[<>]=|.").FindAllString(text, -1)...)
			b.touch("take")
		}
		left--
	}
}

// TestPocketTakesAYard takes a whole yard by pressing keys, some of it by touches and on a keyboard, the tab killed in
// the middle: every reading is in the sheets and in the workbook.
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
			if !strings.HasPrefix(e.Key, "wheel/") || strings.Contains(e.Key, " L") { // R is read with L
				order = append(order, e.Key)
			}
		}
		byKey[e.Key][e.Column] = e.Text
	}
	saved := t.TempDir()
	var got struct{ Result map[string]string }
	day, last := "", 0
	for part := range slices.Chunk(order, len(order)/3+1) {
		b := phone(t, ctx, out)
		b.waits(`document.body.getAttribute("data-judges") === "yes"`)
		for i, key := range part {
			of := map[string]map[string]string{key: byKey[key]}
			n := len(byKey[key])
			if mate := strings.Replace(key, " L", " R", 1); mate != key {
				of[mate] = byKey[mate]
				n += len(of[mate])
			}
			if i == 0 { // the first of each part by hand
				b.byHand(key, of, last > 0)
				b.slowed(1) // so that the rest takes no minute
				last++
				continue
			}
			args, err := json.Marshal(of)
			if err != nil {
				t.Fatal(err)
			}
			if wrong := evaluated[string](b, take+
				fmt.Sprintf("(%q, Object.assign(%s, {n: %d}))", key, args, n)); wrong != "" {
				t.Fatalf("%s: %s", key, wrong)
			}
		}
		b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
		day = evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`)
		if last == 3 {
			if err := json.Unmarshal([]byte(evaluated[string](b, "flangewayFiles('0')")), &got); err != nil {
				t.Fatal(err)
			}
			if _, err := chromedp.Call(b.ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{
				Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: saved}); err != nil {
				t.Fatal(err)
			}
			b.tap("book")
			b.waits(`document.getElementById("kept").textContent.indexOf("saved") === 0`)
		}
		b.asked(out)
		if last < 3 {
			if err := chromedp.Cancel(b.ctx); err != nil {
				t.Fatal(err)
			}
		}
	}
	book := filepath.Join(saved, "readings-"+day+".xlsx")
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		if _, err := os.Stat(book); err == nil {
			break
		} else if time.Now().After(end) {
			t.Fatal(err)
		}
	}
	s, err := pocket.Open(files, day)
	if err != nil {
		t.Fatal(err)
	}
	if refused, err := s.Take(readings); err != nil || len(refused) > 0 {
		t.Fatal(refused, err)
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
	// The workbook is checked as the sheets are, and both give one answer.
	answers := map[string]string{}
	for _, of := range []string{dir, book} {
		stdout, errs, code := runFor(t, "check", of, "--plain", "--format", "csv", "--fail-on", "never")
		if code != 0 {
			t.Fatalf("check %s: %s", of, errs)
		}
		answers[of] = stdout
	}
	if answers[dir] != answers[book] || len(answers[dir]) < 1000 {
		t.Errorf("the sheets give\n%s\nthe workbook\n%s", answers[dir], answers[book])
	}
	sv, err := survey.Read(book)
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
			if q, ok := track.QuantityOf(column); ok && f.Read(q).Written == text || !ok &&
				(f.Marks.Has(text) || f.Marks.Looked) {
				found++
			}
		}
	}
	if found != len(readings) {
		t.Errorf("%d of %d readings are in the sheets", found, len(readings))
	}
}

// TestPocketOfTheDemo: the file is small enough to carry, each key that brings a verdict is taken, and all that a
// reading needs stands on the screen of a phone with the verdict of the one before.
func TestPocketOfTheDemo(t *testing.T) {
	ctx := pocketBrowser(t)
	out := filepath.Join(t.TempDir(), "yard.html")
	if _, errs, code := runFor(t, "pocket", demo, "-o", out); code != 0 {
		t.Fatal(errs)
	}
	if info, err := os.Stat(out); err != nil || info.Size() > 4e6 {
		t.Errorf("the file has %d bytes, %v", info.Size(), err)
	}
	b := phone(t, ctx, out)
	b.demoKeys(1, func(name string, key func()) {
		key()
		for what, on := range map[string]bool{"h2": true, ".said": true, ".typed": true, `[data-key="1"]`: true,
			`[data-key="take"]`: name != "wheel/first"} { // which asks besides whether it was read right
			at := evaluated[[]float64](b, fmt.Sprintf(`(function () {
				var r = document.querySelector(%q).getBoundingClientRect();
				return [r.top, r.bottom];
			})()`, what))
			if on && (at[0] < 0 || at[1] > 640) {
				t.Errorf("%s: %s stands at %v, beyond the screen", name, what, at)
			}
		}
	})
}

// pocketPage makes the page of a survey.
func pocketPage(t *testing.T, texts map[string]string) (out string, files map[string][]byte) {
	t.Helper()
	dir := t.TempDir()
	out, files = filepath.Join(dir, "yard.html"), map[string][]byte{}
	for name, text := range texts {
		files[name] = []byte(text)
		if err := os.WriteFile(filepath.Join(dir, name), files[name], 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, errs, code := runFor(t, "pocket", dir, "-o", out); code != 0 {
		t.Fatal(errs)
	}
	return out, files
}

const judges = `document.body.getAttribute("data-judges") === "yes"`

// kept waits until everything is on the device.
func (b *tab) kept() {
	b.t.Helper()
	b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
}

// begins begins a new day of what was saved.
func (b *tab) begins() {
	b.t.Helper()
	b.tap("anew")
	b.tap("anew") // sure
	b.waits(`flangewayFiles("0") === '{"result":{}}'`)
}

// opened opens a page on a phone that is not slowed.
func opened(t testing.TB, ctx context.Context, out string) *tab {
	t.Helper()
	b := newTab(t, ctx)
	if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(360, 640), chromedp.Navigate(address(out))); err != nil {
		t.Fatal(err)
	}
	b.waits(`document.body.getAttribute("data-open") !== null`)
	b.tap("back")
	return b
}

// TestPocketHolds: one page under what can happen to it.
func TestPocketHolds(t *testing.T) {
	ctx := pocketBrowser(t)
	out, files := pocketPage(t, pocketYard())
	page, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	t.Run("two tabs", func(t *testing.T) {
		a, b := opened(t, ctx, out), opened(t, ctx, out)
		a.waits(judges)
		b.waits(judges)
		enter := func(b *tab, key, column string, keys ...string) {
			t.Helper()
			b.tap("back")
			b.press(key)
			b.skipTo("", column)
			b.press(append(keys, "take")...)
			b.kept()
		}
		enter(a, "frog/F1", "flangeway_depth", "1", "3/4")
		enter(b, "frog/F1", "guard_check", "5", "4", "1/2")
		enter(a, "frog/F2", "flangeway_depth", "2")
		enter(b, "wheel/A 1 L1", "flange_height", "<", "1", "1/2")
		want := `{"frog/F1":{"flangeway_depth":"1-3/4","guard_check":"54-1/2"},"frog/F2":{"flangeway_depth":"2"},` +
			`"wheel/A 1 L1":{"flange_height":"<1-1/2"}}`
		s, err := pocket.Open(files, evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`))
		if err != nil {
			t.Fatal(err)
		}
		var texts map[string]map[string]string
		if err := json.Unmarshal([]byte(want), &texts); err != nil {
			t.Fatal(err)
		}
		for key, columns := range texts {
			for column, text := range columns {
				if a, err := s.Enter(pocket.Entry{Key: key, Column: column, Text: text}); err != nil || a.Wrong != "" {
					t.Fatal(a.Wrong, err)
				}
			}
		}
		changed, err := s.Changed()
		if err != nil {
			t.Fatal(err)
		}
		for name, b := range map[string]*tab{"first": a, "second": b} {
			b.tap("save")
			b.waits(`document.getElementById("kept").textContent.indexOf("saved ") === 0`)
			var got struct{ Result map[string]string }
			if err := json.Unmarshal([]byte(evaluated[string](b, "flangewayFiles('0')")), &got); err != nil {
				t.Fatal(err)
			}
			for file, text := range changed {
				if got.Result[file] != string(text) {
					t.Errorf("%s of the %s tab is\n%s\nwant\n%s", file, name, got.Result[file], text)
				}
			}
		}
		a.begins()
		b.waits(`flangewayFiles("0") === '{"result":{}}' || (document.dispatchEvent(new Event("visibilitychange")), false)`)
	})
	t.Run("the same answers", func(t *testing.T) {
		b := opened(t, ctx, out)
		b.waits(judges)
		s, err := pocket.Open(files, evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`))
		if err != nil {
			t.Fatal(err)
		}
		same := func(name string, argument, result any) {
			t.Helper()
			arg, err := json.Marshal(argument)
			if err != nil {
				t.Fatal(err)
			}
			want, err := json.Marshal(map[string]any{"result": result})
			if err != nil {
				t.Fatal(err)
			}
			quoted, err := json.Marshal(string(arg))
			if err != nil {
				t.Fatal(err)
			}
			if got := evaluated[string](b, name+"("+string(quoted)+")"); got != string(want) {
				t.Errorf("%s(%s) is in the page\n%s\nand outside\n%s", name, arg, got, want)
			}
		}
		for _, e := range []pocket.Entry{{Key: "frog/F1", Column: "flangeway_depth", Text: "1-1/4"},
			{Key: "frog/F1", Column: "marks", Text: "floor_bright"},
			{Key: "frog/F2", Column: "guard_check", Text: "54-3/8"},
			{Key: "frog/F2", Column: "flangeway_width", Text: "<1-3/4"},
			{Key: "switch/S1", Column: "chip_depth", Text: "1"},
			{Key: "switch/S1", Column: "point_gap", Text: "1/4"},
			{Key: "wheel/A 1 L1", Column: "flange_height", Text: "1-7/16"},
			{Key: "wheel/A 1 R1", Column: "tread_hollow", Text: "4.5"},
			{Key: "wheel/A 1 R1", Column: "flange_height", Text: "8-Jan"},
			{Key: "wheel/A 1 R1", Column: "flange_thickness", Text: ">15/16"}} {
			a, err := s.Enter(e)
			if err != nil {
				t.Fatal(err)
			}
			same("flangewayEnter", e, a)
		}
		for _, x := range s.Things() {
			a, err := s.Judge(x.Key)
			if err != nil {
				t.Fatal(err)
			}
			same("flangewayJudge", x.Key, a)
			for _, check := range s.Checks(x.Key) {
				if a, err = s.Computed(x.Key, check); err != nil {
					t.Fatal(err)
				}
				same("flangewayComputed", map[string]string{"key": x.Key, "check": check}, a)
			}
		}
		book, err := s.Workbook()
		if err != nil {
			t.Fatal(err)
		}
		same("flangewayBook", 0, book)
	})
	t.Run("computed beside", func(t *testing.T) {
		b := opened(t, ctx, out)
		b.waits(judges)
		b.press("frog/F2")
		b.skipTo("", "flangeway_depth")
		b.press("2", "take")
		b.skipTo("", "marks")
		verdict := `(document.querySelector('tr[data-check="frog-floor"]') || document.body).textContent`
		b.waits("document.querySelector('table') !== null")
		if text := evaluated[string](b, verdict); !strings.Contains(text, "flange strikes the frog floorclear") {
			t.Errorf("by the plain rule: %s", text)
		}
		b.press("floor_bright", "take")
		b.tap("back")
		b.press("frog/F2")
		b.waits(verdict + `.indexOf("flange strikes the frog floorundecided") === 0`)
		if text := evaluated[string](b, verdict); !strings.Contains(text, "by the plain rule clear") ||
			!strings.Contains(text, "settle: flangeway depth") {
			t.Errorf("with a bright floor: %s", text)
		}
		b.waits(`document.querySelector(".by").textContent === "Judged by shapes, forces and what was seen too."`)
		b.asked(out)
	})
	t.Run("keyboard and screen reader", func(t *testing.T) { b := opened(t, ctx, out); b.waits(judges); b.readable(t) })
	t.Run("share", func(t *testing.T) { shared(t, ctx, out) })
	t.Run("another day", func(t *testing.T) {
		b := opened(t, ctx, out)
		b.waits(judges)
		read := func(day string) {
			t.Helper()
			b.tap("back")
			b.tap("day")
			evaluated[any](b, fmt.Sprintf(`document.getElementById("dayof").value = %q, null`, day))
			b.tap("setday")
			b.press("frog/F1")
			b.skipTo("", "flangeway_depth")
			b.press("1", "3/4", "take")
		}
		read("2025-12-01") // before the last row: the clock is behind
		if text := evaluated[string](b, `document.querySelector(".wrong").textContent`); !strings.Contains(text,
			"set the day") {
			t.Errorf("read before the last row: %q", text)
		}
		read("2026-03-01")
		b.kept()
		if err := chromedp.Cancel(b.ctx); err != nil {
			t.Fatal(err)
		}
		b = opened(t, ctx, out)
		b.waits(judges)
		if text := evaluated[string](b, `document.getElementById("today").textContent`); !strings.HasPrefix(text,
			"readings of 2026-03-01, and today is ") {
			t.Errorf("opened on another day the page says %q", text)
		}
		if files := evaluated[string](b, "flangewayFiles('0')"); strings.Count(files, "2026-03-01") != 1 {
			t.Errorf("saved is %s", files)
		}
		b.tap("save")
		b.waits(`!document.getElementById("anew").hidden`)
		b.begins()
	})
	t.Run("a new day", func(t *testing.T) {
		a, b := opened(t, ctx, out), opened(t, ctx, out)
		a.waits(judges)
		b.waits(judges)
		read := func(b *tab, key, column string) {
			t.Helper()
			b.tap("back")
			b.press(key)
			b.skipTo("", column)
			b.press("before")
			b.kept()
			b.tap("back")
		}
		anew := func() string {
			t.Helper()
			a.tap("save")
			a.waits(`document.getElementById("kept").textContent.indexOf("saved ") === 0`)
			return evaluated[string](a, "flangewayFiles('0')")
		}
		read(a, "frog/F1", "flangeway_depth")
		anew()
		read(a, "frog/F1", "guard_check") // since it was saved
		if !evaluated[bool](a, `document.getElementById("anew").hidden`) {
			t.Error("a reading that was not saved may go")
		}
		a.tap("anew")
		a.tap("anew")
		a.waits(`document.getElementById("kept").textContent.indexOf("something was read since") === 0`)
		anew()
		read(b, "frog/F2", "flangeway_depth") // by another tab since
		a.tap("anew")
		a.tap("anew")
		a.waits(`document.getElementById("kept").textContent.indexOf("something was read since") === 0`)
		if files := anew(); strings.Count(files, "rbm") != 4 {
			t.Errorf("of three readings stand %s", files)
		}
		a.begins()
		for _, key := range []string{"frog/F1", "frog/F2"} {
			text := evaluated[string](a, fmt.Sprintf(`document.querySelector('[data-key=%q]').textContent`, key))
			if !strings.Contains(text, "not read today") {
				t.Errorf("after a new day began: %q", text)
			}
		}
	})
	t.Run("a forged file", func(t *testing.T) {
		text := string(page)
		loose := pocketYard()
		loose["railroad.yaml"] = strings.Replace(loose["railroad.yaml"], "limits: [federal]", "limits: []", 1)
		forgery, _ := pocketPage(t, loose)
		anew, err := os.ReadFile(forgery)
		if err != nil {
			t.Fatal(err)
		}
		for name, forged := range map[string]string{
			"another limit":   strings.Replace(text, "limits: [federal]", "limits: []", 1),
			"another reading": strings.Replace(text, "1-3/4,1-7/8,54-5/8", "2-3/4,1-7/8,54-5/8", 1),
			"a script": strings.Replace(text, "</nav>", "</nav><script>document.title = 'forged'</script>"+
				"<img src=x onerror=\"document.title='forged'\">", 1),
			"what computes": strings.Replace(text, `"use strict";`, `"use strict"; postMessage(1);`, 1),
			"another script": strings.Replace(text, "(function () {\n  \"use strict\";",
				"(function () {\n  document.title = \"forged\";", 1),
			"half of the file":             text[:len(text)/2],
			"cut before the page's script": text[:strings.Index(text, "<script id=\"exec\"")],
			"another engine": func() string {
				i := strings.LastIndex(text, "</script>")
				return text[:i-10] + "AAAAAAAAAA" + text[i:]
			}(),
			"made anew": string(anew),
		} {
			if forged == text {
				t.Fatalf("%s changes nothing", name)
			}
			file := filepath.Join(t.TempDir(), "forged.html")
			if err := os.WriteFile(file, []byte(forged), 0o600); err != nil {
				t.Fatal(err)
			}
			b := newTab(t, ctx)
			if err := chromedp.Do(b.ctx, chromedp.Navigate(address(file))); err != nil {
				t.Fatal(err)
			}
			switch name {
			case "a script": // does not run, and the page does
				b.waits(judges)
			case "made anew": // a page cannot know it, and whoever can make it does
				b.waits(judges)
				if _, errs, code := runFor(t, "pocket", filepath.Dir(out), "--verify", out); code != 0 {
					t.Errorf("the page itself: exit %d, %s", code, errs)
				}
				if _, errs, code := runFor(t, "pocket", filepath.Dir(out), "--verify", file); code != 3 ||
					!strings.Contains(errs, "other is the survey (") {
					t.Errorf("%s: exit %d, %s", name, code, errs)
				}
			case "another script", "cut before the page's script":
				if text := evaluated[string](b, `document.getElementById("main").textContent`); !strings.Contains(text,
					"takes no readings") {
					t.Errorf("%s: the page says %q", name, text)
				}
			default:
				b.waits(`document.body.getAttribute("data-open") === "refused"`)
			}
			if title := evaluated[string](b, "document.title"); title == "forged" {
				t.Errorf("%s has run", name)
			}
			if err := chromedp.Cancel(b.ctx); err != nil {
				t.Fatal(err)
			}
		}
	})
	t.Run("a forged log", func(t *testing.T) {
		b := opened(t, ctx, out)
		b.waits(judges)
		evaluated[any](b, `window.forged = false, (function () {
			var ask = indexedDB.open("flangeway " + JSON.parse(document.getElementById("survey").textContent).sum);
			ask.onsuccess = function () {
				var t = ask.result.transaction(["log", "now"], "readwrite"), s = t.objectStore("log");
				[null, 7, "x", {}, { key: "__proto__", column: "constructor", text: "1", day: "2026-01-01" },
				 { key: "frog/F1", column: "__proto__", text: "1", day: "2026-01-01" },
				 { key: "frog/F1", column: "gauge", text: {}, day: "2026-01-01" },
				 { key: "frog/F1", column: "note", text: "x".repeat(1e6), day: "2026-01-01" },
				 { key: "frog/F1", column: "gauge", text: "57", day: "<b>" },
				 { key: "frog/F1", column: "gauge", text: "9'", day: "2026-11-30" },
				 { key: "frog/F1", column: "note", text: "<img src=x onerror=alert(1)>", day: "2026-11-30" }].forEach(function (e) { s.add(e); });
				t.objectStore("now").put({ key: "frog/F1", column: 999, typed: {} }, "now");
				t.oncomplete = function () { window.forged = true; };
			};
		})(), null`)
		b.waits("window.forged")
		if err := chromedp.Cancel(b.ctx); err != nil {
			t.Fatal(err)
		}
		b = opened(t, ctx, out)
		b.waits(judges)
		files := evaluated[string](b, "flangewayFiles('0')")
		if strings.Contains(files, "9'") || strings.Contains(files, ",57,") {
			t.Errorf("a forged log gives %s", files)
		}
		text := evaluated[string](b, `document.querySelector('[data-key="frog/F1"]').textContent`)
		if !strings.Contains(text, "2 read today, ") || !strings.Contains(text, "LOOK AGAIN") {
			t.Errorf("an entry that cannot be taken is listed as %q", text)
		}
		b.asked(out)
	})
}

// shared shares with what a phone has and this browser has not: what shares files, and says which.
func shared(t *testing.T, ctx context.Context, out string) {
	b := newTab(t, ctx)
	if _, err := chromedp.Call(b.ctx, cdppage.AddScriptToEvaluateOnNewDocument,
		cdppage.AddScriptToEvaluateOnNewDocumentParams{
			Source: `window.given = [], window.takes = 0, window.fails = false;
			navigator.canShare = function (x) { return x.files.length <= window.takes; };
			navigator.share = function (x) {
				window.given = x.files;
				return window.fails ? Promise.reject(new Error("nobody took it")) : Promise.resolve();
			};`}); err != nil {
		t.Fatal(err)
	}
	if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(360, 640), chromedp.Navigate(address(out))); err != nil {
		t.Fatal(err)
	}
	b.waits(judges)
	b.tap("back")
	b.press("frog/F2")
	b.skipTo("", "flangeway_depth")
	b.press("2", "take")
	b.tap("back")
	b.press("wheel/A 1 L1")
	b.skipTo("", "flange_height")
	b.press("1", "1/4", "take")
	if evaluated[bool](b, `document.getElementById("share").hidden`) {
		t.Error("nothing can be shared where files can")
	}
	says := func(takes int, fails bool, want string, names ...string) {
		t.Helper()
		evaluated[any](b, fmt.Sprintf("window.given = [], window.takes = %d, window.fails = %v, null", takes, fails))
		b.tap("share")
		b.waits(fmt.Sprintf(`document.getElementById("kept").textContent.indexOf(%q) === 0`, want))
		if got := evaluated[[]string](b, `Array.from(window.given).map(function (f) { return f.name; })`); !slices.Equal(got, names) {
			t.Errorf("%q: shared %q, want %q", want, got, names)
		}
	}
	day := evaluated[string](b, `document.getElementById("today").textContent.slice(12, 22)`)
	says(0, false, "this device shares no such files: save them")
	says(1, false, "shared readings-"+day+".xlsx", "readings-"+day+".xlsx")
	says(2, false, "shared railroad.yaml, readings-"+day+".xlsx", "railroad.yaml", "readings-"+day+".xlsx")
	says(3, true, "not shared: nobody took it", "frogs.csv", "railroad.yaml", "wheels.csv")
	says(3, false, "shared frogs.csv, railroad.yaml, wheels.csv", "frogs.csv", "railroad.yaml", "wheels.csv")
	var files struct{ Result map[string]string }
	if err := json.Unmarshal([]byte(evaluated[string](b, "flangewayFiles('0')")), &files); err != nil {
		t.Fatal(err)
	}
	evaluated[any](b, `window.given[2].text().then(function (x) { window.text = x; }), null`)
	b.waits(`typeof window.text === "string"`)
	if got := evaluated[string](b, "window.text"); got != files.Result["wheels.csv"] || got == "" {
		t.Errorf("shared is\n%s\nand saved\n%s", got, files.Result["wheels.csv"])
	}
	b.begins()
}

// legible asserts that what is written stands out from its ground, on a screen with a conflict, one with something
// wrong, one with marks, one of an axle and the list of places, and that no rule of axe-core is broken there.
func (b *tab) legible(t *testing.T, scheme string) {
	t.Helper()
	for _, screen := range []struct {
		name string
		show func()
	}{
		{"a conflict", func() { b.press("frog/F2"); b.skipTo("", "flangeway_depth"); b.press("1", "take") }},
		{"a wrong entry", func() {
			b.press("frog/F1")
			b.skipTo("", "flangeway_depth")
			b.press("1", "/", "/", "take")
		}},
		{"a mark", func() { b.press("frog/F2"); b.skipTo("", "marks"); b.press("point_nicked") }},
		{"an axle", func() { b.press("wheel/A 1 L1"); b.press("<", "1", "take") }},
		{"places", func() { b.tap("day") }},
	} {
		b.tap("back")
		screen.show()
		if low := evaluated[[]string](b, `(function () {`+contrast+`
			var low = [];
			document.querySelectorAll("body *").forEach(function (e) {
				var own = Array.from(e.childNodes).some(n => n.nodeType === 3 && n.textContent.trim());
				if (!own || !e.checkVisibility()) { return; }
				var ink = getComputedStyle(e).color, on = ground(e);
				if (contrast(ink, on) < 4.5) { low.push(e.tagName + "." + e.className + " " + ink + " on " + on); }
			});
			return low.slice(0, 5);
		})()`); len(low) > 0 {
			t.Errorf("%s, %s: hard to read: %v", scheme, screen.name, low)
		}
		t.Run("axe", func(t *testing.T) {
			for _, v := range b.violations(t) {
				t.Errorf("%s, %s: %s", scheme, screen.name, v)
			}
		})
	}
}

// readable goes over a page by keyboard and as a screen reader does, in light and dark.
func (b *tab) readable(t *testing.T) {
	t.Helper()
	b.press("wheel/A 1 L1")
	b.press("skip") // to the other one of its axle, which stands in the list with it
	b.tap("back")
	if key := evaluated[string](b, `document.activeElement.getAttribute("data-key")`); key != "wheel/A 1 L1" {
		t.Errorf("back from a wheel %q has the focus", key)
	}
	b.press("frog/F2")
	b.skipTo("", "flangeway_depth")
	b.strike("2", "Enter") // the heading has the focus
	b.waits(`document.querySelector("h2").textContent.endsWith(": flangeway width")`)
	if told := evaluated[string](b, `document.getElementById("told").textContent`); !strings.Contains(told, ": ") {
		t.Errorf("after an entry a screen reader is told %q", told)
	}
	if tag := evaluated[string](b, "document.activeElement.tagName"); tag != "H2" {
		t.Errorf("after an entry %s has the focus", tag)
	}
	column := func() (column string) { _, column = b.asks(); return column }
	if b.strike("1", "/", "/", "Enter"); !evaluated[bool](b, `document.querySelector(".wrong") !== null`) {
		t.Error("1// is taken for a width")
	}
	b.strike("ArrowRight") // what was wrong of another reading goes with it
	if column() == "flangeway_width" || evaluated[bool](b, `document.querySelector(".wrong") !== null`) {
		t.Errorf("an arrow leads to %s, and what was wrong stays", column())
	}
	if b.strike("ArrowLeft"); column() != "flangeway_width" {
		t.Errorf("an arrow back leads to %s", column())
	}
	b.strike("1", "7", "Backspace", "Tab")
	if key := evaluated[string](b, `document.activeElement.getAttribute("data-key")`); key != "1" {
		t.Errorf("behind the heading stands %q", key)
	}
	b.strike("Enter") // presses the key that has the focus, and keeps it there
	if got := evaluated[string](b, `document.querySelector(".typed").textContent +
		document.activeElement.getAttribute("data-key")`); got != "111" {
		t.Errorf("by the keyboard: %q", got)
	}
	tree, err := chromedp.Call(b.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		t.Fatal(err)
	}
	buttons, headings := 0, 0
	for _, n := range tree.Nodes {
		if n.Ignored || n.Role == nil {
			continue
		}
		role, name := strings.Trim(string(n.Role.Value), `"`), ""
		if n.Name != nil {
			name = strings.Trim(string(n.Name.Value), `"`)
		}
		switch role {
		case "button":
			if buttons++; name == "" || name == "⌫" {
				t.Errorf("a key is called %q", name)
			}
		case "heading":
			headings++
		}
	}
	if buttons < 25 || headings < 2 {
		t.Errorf("a screen reader finds %d keys and %d headings", buttons, headings)
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		b.legible(t, scheme)
		b.picture("pocket-" + scheme + ".png")
	}
	b.tap("back")
	b.press("frog/F2")
	b.skipTo("", "flangeway_depth")
	b.press(slices.Repeat([]string{"8"}, 50)...) // more than a line holds
	wide := evaluated[float64](b, "document.documentElement.scrollWidth")
	b.tap("back")
	if wide = max(wide, evaluated[float64](b, "document.documentElement.scrollWidth")); wide > 360 {
		t.Errorf("the page is %v px wide", wide)
	}
}

// fill fills the store of a page's origin until not a byte more goes in.
const fill = `(function () {
	function bytes(n) {
		var out = new Uint8Array(n);
		for (var i = 0; i < n; i += 65536) { crypto.getRandomValues(out.subarray(i, Math.min(n, i + 65536))); }
		return out;
	}
	var ask = indexedDB.open("filler", 1);
	ask.onupgradeneeded = function () { ask.result.createObjectStore("more", { autoIncrement: true }); };
	ask.onsuccess = function () {
		window.filler = ask.result;
		(function more(n) {
			if (n < 1) { window.full = true; return; }
			var t = window.filler.transaction("more", "readwrite");
			t.objectStore("more").add(bytes(n));
			t.oncomplete = function () { more(n); };
			t.onabort = function () { more(Math.floor(n / 8)); };
		})(1 << 21);
	};
})`

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
	// What a device has room for: the page, and some more.
	room := 3e7
	if _, err := chromedp.Call(b.ctx, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{
		Origin: server.URL, QuotaSize: &room}); err != nil {
		t.Fatal(err)
	}
	load()
	b.waits(`navigator.serviceWorker.controller !== null`)
	b.press("frog/F2", "5", "6")
	b.waits(`document.getElementById("kept").textContent === "kept on this device"`)
	// The device is full: something else of the same web address has taken all of what the browser gives.
	evaluated[any](b, fill+"(), null")
	b.waits("window.full === true")
	b.press("5")
	b.waits(`document.getElementById("kept").textContent.indexOf("NOT KEPT") === 0`)
	b.press("delete", "take") // taken while nothing can be kept
	b.press("5", "6")
	evaluated[any](b, `window.filler.close(), indexedDB.deleteDatabase("filler"), null`)
	b.kept() // by itself, as soon as there is room
	server.Close()
	load()
	if typed := evaluated[string](b, "document.querySelector('.typed').textContent"); typed != "56" {
		t.Errorf("what was typed is %q without the server", typed)
	}
	b.waits(judges)
	if files := evaluated[string](b, "flangewayFiles('0')"); !strings.Contains(files, ",56,") {
		t.Errorf("what was taken while the device was full is lost: %s", files)
	}
}

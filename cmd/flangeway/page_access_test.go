package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// contrast is that of two colours as WCAG 2.2 defines it, with the relative luminance of sRGB; 4.5 is what 1.4.3 asks
// of text.
const contrast = `
  function parts(c) { return (c.match(/[\d.]+/g) || []).map(Number); }
  function light(c) {
    var v = parts(c).slice(0, 3).map(x => (x /= 255) <= 0.04045 ? x / 12.92 : Math.pow((x + 0.055) / 1.055, 2.4));
    return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2];
  }
  function contrast(c, d) {
    var a = light(c), b = light(d);
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  }
  // What an element is written on: the grounds of it and of those around it, one through the other.
  function ground(e) {
    var through = [], over = [255, 255, 255];
    for (; e; e = e.parentElement) {
      var p = parts(getComputedStyle(e).backgroundColor);
      through.unshift(p.length > 3 ? p : p.concat(1));
      if (through[0][3] === 1) { break; }
    }
    through.forEach(p => { over = over.map((x, i) => x + (p[i] - x) * p[3]); });
    return "rgb(" + over.join(", ") + ")";
  }
`

// faint names what has too little contrast, or a colour that is no grey.
const faint = `(function () {` + contrast + `
  var bad = [];
  document.querySelectorAll("body *").forEach(function (e) {
    if (e.closest("svg") && e.tagName !== "svg") { return; } // a drawing is black on its own white
    var st = getComputedStyle(e);
    [st.color, st.backgroundColor, st.borderTopColor, st.fill].forEach(c => {
      var p = parts(c);
      if (p.length === 3 && (p[0] !== p[1] || p[1] !== p[2])) { bad.push(e.tagName + " is coloured " + c); }
    });
    if (contrast(st.color, ground(e)) < 4.5) { bad.push(e.tagName + "." + e.className + " has too little contrast"); }
  });
  return bad.slice(0, 5).join("; ");
})()`

// media sets what a page is shown on: screen or print, light or dark.
func (b *tab) media(t *testing.T, medium, scheme string) {
	t.Helper()
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: medium,
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
		t.Fatal(err)
	}
}

// key types keys.
func (b *tab) key(t *testing.T, keys string) {
	t.Helper()
	if err := chromedp.Do(b.ctx, chromedp.KeyEvent(keys)); err != nil {
		t.Fatal(err)
	}
}

// The page by keyboard, in the dark, at an address, and to the rules of axe-core.
func forEveryone(t *testing.T, ctx context.Context) {
	dir := fewPlaces(t)
	folded := filepath.Join(t.TempDir(), "review.html")
	if _, stderr, code := runFor(t, "report", dir, "--plain", "-o", folded); code != exitOK {
		t.Fatal(stderr)
	}
	open1 := reportFile(t, dir)

	t.Run("by keyboard", func(t *testing.T) { byKeyboard(t, open(t, ctx, folded, 1280)) })
	t.Run("in the dark", func(t *testing.T) {
		b := open(t, ctx, open1, 1280)
		b.media(t, "screen", "dark")
		if got := evaluated[string](b, `getComputedStyle(document.body).backgroundColor`); got != "rgb(18, 18, 18)" {
			t.Errorf("the page is %s", got)
		}
		if s := evaluated[string](b, faint); s != "" {
			t.Error(s)
		}
		b.picture("dark-1280.png")
		b.media(t, "print", "dark")
		got := evaluated[string](b,
			`getComputedStyle(document.body).backgroundColor + getComputedStyle(document.body).color`)
		if got != "rgb(255, 255, 255)rgb(0, 0, 0)" {
			t.Errorf("printed in %s", got)
		}
	})
	t.Run("targets", func(t *testing.T) {
		for _, width := range []int64{360, 1280} {
			b := open(t, ctx, open1, width)
			if s := evaluated[string](b, `Array.from(document.querySelectorAll("a, button, select, input, summary, [role=button]"))
  .filter(e => e.offsetHeight > 0 && !e.classList.contains("skip"))
  .map(e => [e.tagName + " " + e.textContent.slice(0, 20), e.getBoundingClientRect()])
  .filter(x => x[1].width < 24 || x[1].height < 24).slice(0, 5)
  .map(x => x[0] + " " + x[1].width + " by " + x[1].height).join("; ")`); s != "" {
				t.Errorf("%d px: smaller than 24 px: %s", width, s)
			}
		}
	})
	t.Run("at its address", func(t *testing.T) { atItsAddress(t, ctx) })
	t.Run("axe", func(t *testing.T) {
		b := open(t, ctx, open1, 1280)
		b.media(t, "screen", "dark")
		for _, v := range b.violations(t) {
			t.Error(v)
		}
		bad := filepath.Join(t.TempDir(), "bad.html")
		if err := os.WriteFile(bad, []byte(`<!DOCTYPE html><p style="color:#eee">x<input></p>`), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := open(t, ctx, bad, 1280).violations(t); len(got) < 3 {
			t.Errorf("a page that breaks rules breaks %q", got)
		}
	})
}

// violations runs axe-core, which FLANGEWAY_AXE names, with all its rules.
func (b *tab) violations(t *testing.T) []string {
	t.Helper()
	name := os.Getenv("FLANGEWAY_AXE")
	if name == "" {
		t.Skip("FLANGEWAY_AXE names no axe.min.js (npm package axe-core): its rules were not tried")
	}
	axe, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[any](string(axe)+"; null")); err != nil {
		t.Fatal(err)
	}
	out, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](`axe.run(document, {resultTypes: ["violations"]}).then(r => JSON.stringify(
  r.violations.map(v => v.id + ": " + v.help + ": " + v.nodes.length + " times, as " + v.nodes[0].html.slice(0, 200))))`,
		chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	var list []string
	if err := json.Unmarshal([]byte(out), &list); err != nil {
		t.Fatal(err)
	}
	return list
}

// byKeyboard walks through the page with the keys alone: everything that can be used is reached once, in the order of
// the page, and is seen to be reached.
func byKeyboard(t *testing.T, b *tab) {
	const usable = `Array.from(document.querySelectorAll("a, button, select, input, summary, [role=button]"))
  .filter(e => e.classList.contains("skip") || e.checkVisibility())`
	all := evaluated[int](b, usable+".length")
	if all < 10 {
		t.Fatalf("%d things to use", all)
	}
	var order []int
	for range all {
		b.key(t, "\t")
		order = append(order, evaluated[int](b, usable+".indexOf(document.activeElement)"))
		if got := evaluated[string](b, `getComputedStyle(document.activeElement).outlineStyle`); got == "none" {
			t.Errorf("not seen to be reached: %s",
				evaluated[string](b, `document.activeElement.outerHTML.slice(0, 80)`))
		}
	}
	want := make([]int, all)
	for i := range want {
		want[i] = i
	}
	if !slices.Equal(order, want) {
		t.Errorf("the order of the walk is %v", order)
	}
	evaluated[any](b, `document.querySelector(".skip").focus()`)
	b.key(t, "\r")
	if got := evaluated[string](b, `document.activeElement.id`); got != "main" {
		t.Errorf("the first link leads to %q", got)
	}
	// The list of locations: arrow keys choose, Enter jumps, and the walk goes on from there.
	evaluated[any](b, `document.querySelector(".jump select").focus()`)
	b.key(t, "\u0301") // arrow down
	if got := evaluated[string](b, `location.hash`); strings.HasPrefix(got, "#place-") {
		t.Errorf("an arrow key jumps to %q", got)
	}
	evaluated[any](b, `document.querySelector(".jump select").value = "place-2"`)
	b.key(t, "\r")
	if got := evaluated[string](b, `location.hash + " " + document.activeElement.parentNode.id + " " +
  document.getElementById("appendix").open`); got != "#place-2 place-2 true" {
		t.Errorf("jumped to %q", got)
	}
	evaluated[any](b, `document.querySelector("#appendix > summary").focus()`)
	b.key(t, "\r")
	if evaluated[bool](b, `document.getElementById("appendix").open`) {
		t.Error("Enter does not fold the appendix")
	}
}

// atItsAddress filters and orders a table and opens the address that this leaves in another tab.
func atItsAddress(t *testing.T, ctx context.Context) {
	file := plainReport(t)
	b := open(t, ctx, file, 1280)
	if err := chromedp.Do(b.ctx, chromedp.SendKeys(chromedp.CSS("#list .tools input"), "yard & 100% ~")); err != nil {
		t.Fatal(err)
	}
	evaluated[any](b, `(function () {
  var i = document.querySelector("#list .tools input");
  i.value = "pinder";
  i.dispatchEvent(new Event("input"));
})()`)
	evaluated[any](b, `(function () {
  var s = document.querySelector("#list .tools select");
  s.value = "3a";
  s.dispatchEvent(new Event("change"));
})()`)
	evaluated[any](b, `document.querySelector("nav a[href='#places']").click()`)
	const shown = `Array.from(document.querySelectorAll("#list-table tbody tr")).filter(r => r.offsetHeight > 0)
  .map(r => r.cells[1].textContent)`
	want := evaluated[[]string](b, shown)
	at := evaluated[string](b, `location.hash`)
	if at != "#places!list-table=pinder~3a" ||
		!slices.Equal(want, []string{"Pinder yard east lead", "Pinder yard west lead"}) {
		t.Errorf("%q shows %q", at, want)
	}
	for _, c := range []struct {
		hash string
		rows int
	}{{at, 2}, {"#places!list-table=%E0%A4~99d&x=y&constructor=a~b&__proto__=a~b", 12}} {
		again := newTab(t, ctx)
		again.load(file+c.hash, 1280)
		if got := evaluated[[]string](again, shown); len(got) != c.rows || c.hash == at && !slices.Equal(got, want) {
			t.Errorf("%s shows %q", c.hash, got)
		}
		again.mu.Lock()
		if s := fmt.Sprint(again.did); strings.Contains(s, "exception") {
			t.Errorf("%s: %s", c.hash, s)
		}
		again.mu.Unlock()
	}
}

package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"flangeway/cmd/flangeway/internal/paper"
	"flangeway/internal/fixture"
)

// browser starts Chromium once for a test and all its parts, or skips it.
func browser(t testing.TB) context.Context {
	t.Helper()
	bin, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("no chromium on this machine: the page was not looked at in a browser")
	}
	alloc, stop := chromedp.NewExecAllocator(t.Context(), append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(bin), chromedp.NoSandbox)...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(func() {
		chromedp.Cancel(ctx) // waits for the browser to end
		cancel()
	})
	// The context that starts the browser owns it, so the wait is bounded from outside.
	started := make(chan error, 1)
	go func() { started <- chromedp.Do(ctx, chromedp.Navigate("about:blank")) }()
	select {
	case err := <-started:
		if err != nil {
			t.Fatalf("the browser does not start: %v", err)
		}
	case <-time.After(time.Minute):
		cancel()
		t.Fatal("the browser does not start within a minute")
	}
	return ctx
}

// tab is one tab with everything noted that a page must not do.
type tab struct {
	t   testing.TB
	ctx context.Context
	mu  sync.Mutex
	did []string // console messages, exceptions, dialogs, requests
}

// open loads a file in a new tab of the given width.
func open(t *testing.T, ctx context.Context, file string, width int64) *tab {
	t.Helper()
	b := newTab(t, ctx)
	b.load(file, width)
	return b
}

func newTab(t testing.TB, ctx context.Context) *tab {
	t.Helper()
	own, cancel := chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	own, stop := context.WithTimeout(own, 90*time.Second)
	t.Cleanup(stop)
	b := &tab{t: t, ctx: own}
	note := func(format string, args ...any) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.did = append(b.did, fmt.Sprintf(format, args...))
	}
	err := chromedp.Listen(own, func(ev any) {
		switch ev := ev.(type) {
		case *runtime.EventConsoleAPICalled:
			note("console: %s", ev.Type)
		case *runtime.EventExceptionThrown:
			note("exception: %s", ev.ExceptionDetails.Text)
		case *log.EventEntryAdded:
			note("log: %s", ev.Entry.Text)
		case *cdppage.EventJavascriptDialogOpening:
			note("dialog: %s", ev.Message)
		case *network.EventRequestWillBeSent:
			if u := ev.Request.URL; !strings.HasPrefix(u, "data:") {
				note("request: %s", u)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func address(file string) string { return "file://" + filepath.ToSlash(file) }

func (b *tab) load(file string, width int64) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(address(file))); err != nil {
		b.t.Fatal(err)
	}
}

// clean asserts that the page said nothing and asked for nothing but itself.
func (b *tab) clean(file string) {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	if !slices.Equal(b.did, []string{"request: " + address(file)}) {
		b.t.Errorf("the page did %q", b.did)
	}
}

// evaluated is the value of an expression.
func evaluated[T any](b *tab, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// keep writes an artefact to look at.
func (b *tab) keep(name string, data []byte) {
	b.t.Helper()
	if err := os.WriteFile(filepath.Join(b.t.ArtifactDir(), name), data, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// picture keeps the whole page as a picture where the artefacts are kept (go test
// -artifacts); it takes a while on a long page.
func (b *tab) picture(name string) {
	b.t.Helper()
	if f := flag.Lookup("test.artifacts"); f == nil || f.Value.String() != "true" {
		return
	}
	// No more than the browser takes in one picture: what is farther down is looked at in print.
	size := evaluated[[]float64](b, `[document.documentElement.scrollWidth, Math.min(document.documentElement.scrollHeight, 16000)]`)
	beyond := true
	shot, err := chromedp.Call(b.ctx, cdppage.CaptureScreenshot, cdppage.CaptureScreenshotParams{
		Format: cdppage.CaptureScreenshotFormatPng, CaptureBeyondViewport: &beyond,
		Clip: &cdppage.Viewport{Width: size[0], Height: size[1], Scale: 1}})
	if err != nil {
		b.t.Fatal(err)
	}
	b.keep(name, shot.Data)
}

func reportFile(t *testing.T, dir string, flags ...string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "review.html")
	if _, stderr, code := runFor(t, append([]string{"report", dir, "--plain", "--appendix", "-o", file},
		flags...)...); code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	return file
}

// overflowing says how far the page is wider than its window, and by what.
const overflowing = `(function () {
  var w = document.documentElement.clientWidth, out = [];
  if (document.documentElement.scrollWidth > w) {
    document.querySelectorAll("body *").forEach(function (e) {
      if (e.getBoundingClientRect().right > w + 0.5 && out.length < 5) { out.push(e.tagName + "." + e.className + " " + e.textContent.slice(0, 30)); }
    });
    out.unshift(document.documentElement.scrollWidth + " of " + w);
  }
  return out.join("; ");
})()`

// The page in a real browser; one browser serves all, a tab each assertion.
func TestPageInBrowser(t *testing.T) {
	fixture.InVolumes(t, "half a minute of a browser")
	ctx := browser(t)
	t.Run("demo", func(t *testing.T) { demoInBrowser(t, ctx) })
	t.Run("print", func(t *testing.T) { inPrint(t, ctx) })
	t.Run("decision", func(t *testing.T) { decisionSheets(t, ctx) })
	t.Run("for everyone", func(t *testing.T) { forEveryone(t, ctx) })
	t.Run("hostile text", func(t *testing.T) { hostileText(t, ctx) })
}

func demoInBrowser(t *testing.T, ctx context.Context) {
	file := plainReport(t)

	t.Run("what the watch must see", func(t *testing.T) {
		// A page that does what a report must not: the assertions above can fail.
		bad := filepath.Join(t.TempDir(), "bad.html")
		html := `<!DOCTYPE html><meta charset="utf-8"><div style="width:3000px">wide</div><img src="no-such.png"><script>console.log("x"); nothing()</script>`
		if err := os.WriteFile(bad, []byte(html), 0o644); err != nil {
			t.Fatal(err)
		}
		b := open(t, ctx, bad, 360)
		b.mu.Lock()
		did := strings.Join(b.did, "\n")
		b.mu.Unlock()
		for _, want := range []string{"no-such.png", "console: log", "exception"} {
			if !strings.Contains(did, want) {
				t.Errorf("%s was not seen: %s", want, did)
			}
		}
		if evaluated[string](b, overflowing) == "" {
			t.Error("a wide page was not seen")
		}
	})

	t.Run("widths", func(t *testing.T) {
		// 721 and 1025 are the narrowest windows in which tables keep their form.
		b := open(t, ctx, file, 360)
		for _, width := range []int64{360, 721, 768, 1025, 1280} {
			if err := chromedp.Do(b.ctx, chromedp.EmulateViewport(width, 900)); err != nil {
				t.Fatal(err)
			}
			if got := evaluated[int64](b, "window.innerWidth"); got != width {
				t.Errorf("the window is %d px wide, want %d", got, width)
			}
			if s := evaluated[string](b, overflowing); s != "" {
				t.Errorf("%d px: the page is too wide: %s", width, s)
			}
			b.picture(fmt.Sprintf("demo-%d.png", width))
		}
		b.clean(file)
	})

	t.Run("sort", func(t *testing.T) {
		b := open(t, ctx, file, 1280)
		const (
			risk, location, worst, conflicts = 0, 1, 2, 3
			ascending, descending            = "ascending", "descending"
		)
		column := func(i int) []string {
			return evaluated[[]string](b, fmt.Sprintf(`Array.from(document.querySelectorAll("#list-table tbody tr")).map(r => r.cells[%d].textContent)`, i))
		}
		numbers := func(i int) (out []int) {
			for _, s := range column(i) {
				n, err := strconv.Atoi(strings.ReplaceAll(s, ",", ""))
				if err != nil {
					t.Errorf("column %d holds %q", i, s)
				}
				out = append(out, n)
			}
			return out
		}
		head := func(i int) string { return fmt.Sprintf(`document.querySelectorAll("#list-table thead th")[%d]`, i) }
		click := func(i int, want string) {
			evaluated[any](b, head(i)+`.querySelector("[role=button]").click()`)
			if got := evaluated[string](b, head(i)+`.getAttribute("aria-sort")`); got != want {
				t.Errorf("aria-sort of column %d is %q", i, got)
			}
		}
		ranks, places := numbers(risk), column(location)
		if len(ranks) != 12 || !slices.IsSorted(ranks) {
			t.Errorf("risks as printed: %v", ranks)
		}
		click(conflicts, ascending)
		if up := numbers(conflicts); !slices.IsSorted(up) || slices.Equal(column(location), places) {
			t.Errorf("conflicts sorted up: %v", up)
		}
		// The second turn is by the keyboard.
		evaluated[any](b, head(conflicts)+`.querySelector("[role=button]").focus()`)
		if err := chromedp.Do(b.ctx, chromedp.KeyEvent("\r")); err != nil {
			t.Fatal(err)
		}
		down := numbers(conflicts)
		if slices.Reverse(down); !slices.IsSorted(down) || down[0] == down[len(down)-1] {
			t.Errorf("conflicts sorted down, reversed: %v", down)
		}
		click(location, ascending)
		if up := column(location); slices.Equal(up, places) || up[0] > up[len(up)-1] {
			t.Errorf("locations sorted up: %q", up)
		}
		// The worst of each place sorts as the places are ranked, not by its letters.
		click(worst, ascending)
		if up := numbers(risk); !slices.Equal(up, ranks) {
			t.Errorf("the worst there sorted up, risks: %v", up)
		}
		click(worst, descending)
		down = numbers(risk)
		if slices.Reverse(down); !slices.Equal(down, ranks) {
			t.Errorf("the worst there sorted down, risks reversed: %v", down)
		}
		evaluated[any](b, `(function () { var s = document.querySelector("#list .tools select"); s.value = ""; s.dispatchEvent(new Event("change")); })()`)
		if again := column(location); !slices.Equal(again, places) {
			t.Errorf("as printed: %q", again)
		}
		// Margins sort as numbers, though they are written as fractions.
		evaluated[any](b, `(function () { var s = document.querySelector("#place-1 .tools select"); s.value = "4a"; s.dispatchEvent(new Event("change")); })()`)
		keys := evaluated[[]float64](b, `Array.from(document.querySelectorAll("#place-1-table tbody tr")).map(r => r.cells[4].getAttribute("data-k")).filter(k => k !== null).map(Number)`)
		if len(keys) < 5 || !slices.IsSorted(keys) {
			t.Errorf("margins sorted: %v", keys)
		}
		b.clean(file)
	})

	t.Run("filter", func(t *testing.T) {
		b := open(t, ctx, file, 1280)
		const shown = `Array.from(document.querySelectorAll("#list-table tbody tr")).filter(r => r.offsetHeight > 0).map(r => r.cells[1].textContent)`
		all := evaluated[[]string](b, shown)
		if err := chromedp.Do(b.ctx, chromedp.SendKeys(chromedp.CSS("#list .tools input"), "QUARRY 4.2")); err != nil {
			t.Fatal(err)
		}
		if got := evaluated[[]string](b, shown); !slices.Equal(got, []string{"Quarry branch MP 4.2"}) {
			t.Errorf("filtered: %q", got)
		}
		if got := evaluated[string](b, `document.querySelector("#list .tools [role=status]").textContent`); !strings.HasPrefix(got, "1 of 12 rows") {
			t.Errorf("the status says %q", got)
		}
		evaluated[any](b, `(function () { var i = document.querySelector("#list .tools input"); i.value = ""; i.dispatchEvent(new Event("input")); })()`)
		if got := evaluated[[]string](b, shown); !slices.Equal(got, all) || len(all) != 12 {
			t.Errorf("without a filter: %q", got)
		}
		b.clean(file)
	})

	t.Run("without script", func(t *testing.T) {
		b := newTab(t, ctx)
		if _, err := chromedp.Call(b.ctx, emulation.SetScriptExecutionDisabled,
			emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
			t.Fatal(err)
		}
		b.load(file, 1280)
		if n := evaluated[int](b, `document.querySelectorAll(".tools, [role=button]").length`); n != 0 {
			t.Errorf("%d controls that do nothing", n)
		}
		if n := evaluated[int](b, `Array.from(document.querySelectorAll("tbody tr")).filter(r => r.offsetHeight === 0).length`); n != 0 {
			t.Errorf("%d rows are hidden", n)
		}
		b.clean(file)
	})

	t.Run("sound for a screen reader", func(t *testing.T) {
		b := open(t, ctx, file, 1280)
		levels := evaluated[[]int](b, `Array.from(document.querySelectorAll("h1,h2,h3,h4,h5,h6")).map(h => +h.tagName[1])`)
		if levels[0] != 1 || len(levels) < 20 {
			t.Errorf("headings %v", levels)
		}
		for i := 1; i < len(levels); i++ {
			if levels[i] > levels[i-1]+1 || levels[i] == 1 {
				t.Errorf("heading %d has level %d after %d", i, levels[i], levels[i-1])
			}
		}
		for _, a := range []struct{ what, expression string }{
			{"table heads without a scope", `Array.from(document.querySelectorAll("th")).filter(h => !["row", "col"].includes(h.scope)).length`},
			{"tables without a caption", `Array.from(document.querySelectorAll("table")).filter(t => !t.caption || !t.caption.textContent).length`},
			{"rows that are not as wide as the head",
				`Array.from(document.querySelectorAll("tbody tr")).filter(r => r.cells.length !== r.closest("table").tHead.rows[0].cells.length).length`},
			{"drawings without a title and description",
				`Array.from(document.querySelectorAll("svg")).filter(s => s.getAttribute("role") !== "img" || s.getAttribute("aria-labelledby").split(" ").some(id => !s.contains(document.getElementById(id)) || !document.getElementById(id).textContent)).length`},
			{"ids that stand twice", `(ids => ids.length - new Set(ids).size)(Array.from(document.querySelectorAll("[id]")).map(e => e.id))`},
			{"links to nowhere", `Array.from(document.querySelectorAll("a")).filter(a => !document.getElementById(a.getAttribute("href").slice(1))).length`},
			{"fields without a label", `Array.from(document.querySelectorAll("input,select")).filter(e => !e.labels.length).length`},
			{"sections without a name", `Array.from(document.querySelectorAll("section")).filter(s => !document.getElementById(s.getAttribute("aria-labelledby"))).length`},
		} {
			if n := evaluated[int](b, a.expression); n != 0 {
				t.Errorf("%d %s", n, a.what)
			}
		}
		if n := evaluated[int](b, `document.querySelectorAll("svg").length`); n != 19 {
			t.Errorf("%d drawings for 12 locations, a cost curve and a sheet of six", n)
		}
		if s := evaluated[string](b, faint); s != "" {
			t.Error(s)
		}
		b.clean(file)
	})

	t.Run("what is in a cell stays together", func(t *testing.T) {
		// A row as blocks: the lines of a cell stand under one another, behind the name of their column.
		b := open(t, ctx, file, 360)
		if n := evaluated[int](b, `Array.from(document.querySelectorAll("table.data tbody td:not(.n)")).filter(c => c.offsetHeight > 0).filter(c => Array.from(c.childNodes).some(function (n) {
  var r = document.createRange();
  r.selectNodeContents(n);
  return n.textContent && r.getBoundingClientRect().left < c.getBoundingClientRect().left + 100;
})).length`); n != 0 {
			t.Errorf("%d cells are torn apart", n)
		}
	})

	t.Run("rows as blocks are rows to a screen reader", func(t *testing.T) {
		columns := []paper.Column{{Name: "what", Head: true}, {Name: "as read", Typed: true},
			{Name: "pairs", Number: true}, {Name: "a"}, {Name: "b"}, {Name: "c"}}
		table := paper.Table{ID: "rows", Caption: "rows", Columns: columns}
		for i := range 10 {
			table.Rows = append(table.Rows, paper.Row{{Text: fmt.Sprint("row ", i)}, {Text: "1-7/16"}, {Text: "3"},
				{Text: "x"}, {Text: "y"}, {Text: "z"}})
		}
		short := writtenPage(t, "rows", paper.Section{ID: "list", Title: "Rows", Blocks: []paper.Block{table}})
		want := map[string]int{"table": 1, "row": 11, "columnheader": 6, "rowheader": 10}
		for _, width := range []int64{360, 1280} {
			got := roles(t, open(t, ctx, short, width))
			for role, n := range want {
				if got[role] != n {
					t.Errorf("%d px: %d of %s, want %d", width, got[role], role, n)
				}
			}
			if n := got["cell"] + got["gridcell"]; n != 50 {
				t.Errorf("%d px: %d cells, want 50", width, n)
			}
		}
	})

	t.Run("a phone reads", func(t *testing.T) {
		b := open(t, ctx, file, 360)
		if px := evaluated[float64](b, `Math.min(...Array.from(document.querySelectorAll("main td, main th, main p, main dd")).filter(e => e.offsetHeight > 0 && e.textContent.trim()).map(e => parseFloat(getComputedStyle(e).fontSize)))`); px < 12 {
			t.Errorf("text of %g px", px)
		}
		if px := evaluated[float64](b, `Math.min(...Array.from(document.querySelectorAll("svg text")).map(e =>
  parseFloat(getComputedStyle(e).fontSize) * e.ownerSVGElement.getBoundingClientRect().width /
    e.ownerSVGElement.viewBox.baseVal.width))`); px < 11 {
			t.Errorf("text of the drawings is %g px", px)
		}
		// Each cell names its column, since the head is out of sight.
		if n := evaluated[int](b, `Array.from(document.querySelectorAll("table.data tbody td")).filter(c => c.textContent && getComputedStyle(c, "::before").content !== JSON.stringify(c.dataset.h)).length`); n != 0 {
			t.Errorf("%d cells do not name their column", n)
		}
	})
}

// roles counts what a screen reader is told.
func roles(t *testing.T, b *tab) map[string]int {
	t.Helper()
	tree, err := chromedp.Call(b.ctx, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]int{}
	for _, n := range tree.Nodes {
		if n.Ignored || n.Role == nil {
			continue
		}
		out[strings.Trim(string(n.Role.Value), `"`)]++
	}
	return out
}

var papers = map[string]chromedp.PaperSize{"letter": {Width: 8.5, Height: 11}, "A4": {Width: 8.27, Height: 11.69}}

// writtenPage writes a page of these parts to a file.
func writtenPage(t *testing.T, title string, parts ...paper.Block) string {
	t.Helper()
	file, err := os.Create(filepath.Join(t.TempDir(), title+".html"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if err := (&paper.Document{Form: paper.HTML, Title: title, Blocks: parts}).Write(file); err != nil {
		t.Fatal(err)
	}
	return file.Name()
}

// Printed pages: every row of a table once and whole, the head on every page.
func inPrint(t *testing.T, ctx context.Context) {
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext on this machine: the printed page was not read")
	}
	// A long table whose rows have a mark in their first and in their last line, and a head that is found again.
	const rows = 160
	table := paper.Table{ID: "long-table", Caption: "long", Columns: []paper.Column{{Name: "HEADMARK", Head: true,
		Long: true}, {Name: "words"}, {Name: "typed", Typed: true}}}
	for i := range rows {
		last := slices.Repeat([]string{"a line"}, 3*(i%4)) // tall enough to be cut where that is allowed
		table.Rows = append(table.Rows, paper.Row{{Text: fmt.Sprintf("FIRST%03d", i)},
			{Text: "words that fill the row", Lines: append(slices.Clone(last), fmt.Sprintf("LAST%03d", i))},
			{Text: "1-7/16"}})
	}
	// Short tables, one of which would leave its head alone at the foot of a page.
	const shorts = 80
	short := paper.Section{ID: "short", Title: "Short tables"}
	for i := range shorts {
		short.Blocks = append(short.Blocks, paper.Table{ID: fmt.Sprintf("short-%d", i),
			Caption: fmt.Sprintf("CAPTION%03d", i), Columns: []paper.Column{{Name: fmt.Sprintf("NAMES%03d", i),
				Head: true}, {Name: "b"}}, Rows: []paper.Row{{{Text: fmt.Sprintf("BODY%03d", i)},
				{Text: "x", Lines: slices.Repeat([]string{"y"}, i%5)}}}})
	}
	long := writtenPage(t, "print",
		paper.Section{ID: "long", Title: "A long table", Blocks: []paper.Block{table}}, short)
	review := plainReport(t)
	for name, size := range papers {
		t.Run(name, func(t *testing.T) {
			pages := printed(t, ctx, reader, long, "long-"+name, size)
			if len(pages) < 4 {
				t.Fatalf("only %d pages", len(pages))
			}
			firsts, lasts := regexp.MustCompile(`FIRST\d{3}`), regexp.MustCompile(`LAST\d{3}`)
			seen := 0
			for i, p := range pages {
				f, l := firsts.FindAllString(p, -1), lasts.FindAllString(p, -1)
				if len(f) == 0 {
					continue
				}
				if n := strings.Count(p, "HEADMARK"); n != 1 {
					t.Errorf("page %d has the head %d times", i+1, n)
				}
				for j := range f {
					if want := fmt.Sprintf("FIRST%03d", seen); f[j] != want {
						t.Errorf("page %d has %s where %s is due", i+1, f[j], want)
					}
					if j >= len(l) || l[j] != fmt.Sprintf("LAST%03d", seen) {
						t.Errorf("row %d is cut on page %d", seen, i+1)
					}
					seen++
				}
			}
			if seen != rows {
				t.Errorf("%d rows are printed, want %d", seen, rows)
			}
			for i := range shorts {
				for j, p := range pages {
					c, n, b := strings.Contains(p, fmt.Sprintf("CAPTION%03d", i)),
						strings.Contains(p, fmt.Sprintf("NAMES%03d", i)),
						strings.Contains(p, fmt.Sprintf("BODY%03d", i))
					if c != b || n != b {
						t.Errorf("page %d tears short table %d apart", j+1, i)
					}
				}
			}
			if name != "letter" {
				return // one size of the long demo is enough
			}
			// The demo: every location and both departments' limits are there.
			all := strings.Join(printed(t, ctx, reader, review, "demo-"+name, size), "\n")
			for _, want := range []string{"Location by location", "Scale track", "Track department:", "Car department:",
				"Signatures", "Operating department", "SHA-256"} {
				if !strings.Contains(all, want) {
					t.Errorf("%q is not printed", want)
				}
			}
			for _, control := range []string{"as printed", "Jump to a location"} {
				if strings.Contains(all, control) {
					t.Errorf("the control %q is printed", control)
				}
			}
		})
	}
}

// printed prints a page and gives the text of each sheet.
func printed(t *testing.T, ctx context.Context, reader, file, name string, size chromedp.PaperSize) []string {
	t.Helper()
	b := open(t, ctx, file, 1280)
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(size)))
	if err != nil {
		t.Fatal(err)
	}
	b.keep(name+".pdf", pdf)
	in := filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(in, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.CommandContext(t.Context(), reader, "-layout", "-enc", "UTF-8", in, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	b.clean(file)
	return strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
}

// Without --appendix the demo prints on six sheets and one wheel on one frog on one, each with its name at its foot;
// what is decided and signed stands on the first. A link into the folded appendix unfolds it.
func decisionSheets(t *testing.T, ctx context.Context) {
	one := t.TempDir()
	for name, text := range map[string]string{"wheels.csv": "car,position,flange_height\nTY 1,L1,1-1/2\n",
		"frogs.csv": "location,frog,flangeway_depth\nYard east,F1,1-3/8\n"} {
		if err := os.WriteFile(filepath.Join(one, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name, dir string
		most      int
	}{{"demo", demo, demoSheets}, {"one wheel and one frog", one, 1}} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "review.html")
			if _, stderr, code := runFor(t, "report", c.dir, "--plain", "-o", file); code != exitOK {
				t.Fatal(stderr)
			}
			pages := sheetsOfPaper(t, ctx, file, c.most)
			if c.dir == demo { // nothing of what decides is left to a list elsewhere
				s := pages[0] + pages[1]
				if strings.Contains(s, "work orders have all") || strings.Contains(s, "in the appendix") {
					t.Error("the first two sheets do not hold all places and all readings beyond a federal limit")
				}
				if n := strings.Count(pages[1], "answered by"); n != 15 {
					t.Errorf("%d readings beyond a federal limit on the second sheet, want 15", n)
				}
			}
			b := open(t, ctx, file, 1280)
			if evaluated[bool](b, `document.getElementById("appendix").open`) {
				t.Error("the appendix is not folded")
			}
			evaluated[any](b, `document.querySelector("nav a[href='#places']").click()`)
			if !evaluated[bool](b, `document.getElementById("appendix").open`) {
				t.Error("a link into the appendix does not unfold it")
			}
		})
	}
}

// demoSheets is on how many sheets of letter paper the demo prints at most.
const demoSheets = 6

// sheetsOfPaper asserts that a page prints on so many sheets at most, each of them headed and named and none clipped,
// with what is decided and signed on the first.
func sheetsOfPaper(t *testing.T, ctx context.Context, file string, most int) []string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("no pdftotext on this machine: the printed page was not read")
	}
	pages := printed(t, ctx, reader, file, "decision", papers["letter"])
	if len(pages) > most {
		t.Errorf("%d sheets, want at most %d", len(pages), most)
	}
	for i, p := range pages {
		if !strings.Contains(p, fmt.Sprintf("page %d of %d", i+1, len(pages))) || !strings.Contains(p, "; survey ") {
			t.Errorf("sheet %d does not name itself", i+1)
		}
		if !strings.HasPrefix(strings.TrimSpace(p), "Wheels and track together") {
			t.Errorf("sheet %d has no head: %.60q", i+1, strings.TrimSpace(p))
		}
	}
	whole(t, filepath.Join(t.ArtifactDir(), "decision.pdf"))
	for _, want := range []string{"To decide", "What hits:", "What it costs to end it:", "What is not known:",
		"Operating department"} {
		if !strings.Contains(pages[0], want) {
			t.Errorf("%q does not stand on the first sheet", want)
		}
	}
	return pages
}

// wordPlace is a word of a printed sheet with its place in points, as pdftotext -bbox has it.
var wordPlace = regexp.MustCompile(`<word xMin="([^"]+)" yMin="([^"]+)" xMax="([^"]+)" yMax="([^"]+)">([^<]*)<`)

// whole asserts that nothing is clipped at the edges of a printed letter sheet: every word lies within it.
func whole(t *testing.T, pdf string) {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "pdftotext", "-bbox", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	words := wordPlace.FindAllStringSubmatch(string(out), -1)
	if len(words) < 50 {
		t.Errorf("%d words are printed", len(words))
	}
	for _, w := range words {
		var at [4]float64
		for i := range at {
			if at[i], err = strconv.ParseFloat(w[i+1], 64); err != nil {
				t.Fatal(err)
			}
		}
		if at[0] < 34 || at[2] > 612-34 || at[1] < 12 || at[3] > 792-15 {
			t.Errorf("%q is printed at %v", w[5], at)
		}
	}
}

// Hostile text in every field stays text.
func hostileText(t *testing.T, ctx context.Context) {
	dir := t.TempDir()
	attack := `<script>window.hacked=1;alert(1)</script>`
	attribute := `"'><img src=x onerror=alert(2)>`
	turned := "\u05e9\u05dc\u05d5\u05dd \u202eabc\u2066def"
	long := strings.Repeat("W", 10000)
	template := "{{.}}${alert(3)}</style></title></svg>"
	cell := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
	write := func(name string, lines ...string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(strings.Join(lines, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("railroad.yaml", "schema: 1", "railroad: '"+strings.ReplaceAll(attack+attribute+turned, "'", "''")+"'",
		"limits: [federal, interchange, yard-practice, \"<b>house<b>.yaml\"]", "date: 2026-05-01", "track_class: 1")
	write("<b>house<b>.yaml", "schema: 1", `title: "<i>house</i>"`, "rules:", `  - id: "<i>house</i> height"`,
		"    subject: wheel", "    quantity: flange_height", `    condemns: {op: ">", value: "1-1/2"}`,
		"    action: '"+strings.ReplaceAll(attack+long, "'", "''")+"'", "    source: '"+
			strings.ReplaceAll(attribute, "'", "''")+"'", "    kind: practice")
	cars, wheels := []string{"car,kind,note"},
		[]string{"car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,note"}
	frogs, spots := []string{"location,frog,flangeway_depth,flangeway_width,guard_check,guard_face,gauge,date,note"},
		[]string{"location,spot,gauge,loaded_gauge,date,note"}
	for i, s := range []string{attack, attribute, turned, long, template} {
		cars = append(cars, cell(s)+",freight,"+cell(s))
		wheels = append(wheels, cell(s)+",L1,2026-04-01,1-9/16,1-1/16,5,52-7/8,"+cell(s),
			cell(s)+",R1,2026-04-01,1-3/8,15/16,2,,"+cell(s))
		frogs = append(frogs, fmt.Sprintf("%s,%s,1-%d/16,1-1/4,54-1/4,53-1/2,56-1/2,2026-04-01,%s", cell(s), cell(s),
			3+i, cell(s)))
		spots = append(spots, fmt.Sprintf("%s,%s,58,58-7/8,2026-04-01,%s", cell(s), cell(s), cell(s)))
	}
	write("cars.csv", cars...)
	write("wheels.csv", wheels...)
	write("frogs.csv", frogs...)
	write("gauge.csv", spots...)
	file := reportFile(t, dir)
	if info, err := os.Stat(file); err != nil || info.Size() > 1<<20 {
		t.Errorf("the page has %d bytes (%v)", info.Size(), err)
	}
	for _, width := range []int64{360, 1280} {
		b := open(t, ctx, file, width)
		if s := evaluated[string](b, overflowing); s != "" {
			t.Errorf("%d px: too wide: %s", width, s)
		}
		for _, a := range []struct{ what, expression string }{
			{"scripts beside the page's own", `document.querySelectorAll("script").length - 1`},
			{"images", `document.querySelectorAll("img, iframe, object, b, i").length`},
			{"handlers", `Array.from(document.querySelectorAll("*")).filter(e => Array.from(e.attributes).some(a => a.name.startsWith("on"))).length`},
			{"hacks", `window.hacked ? 1 : 0`},
			{"characters that turn the writing",
				`(document.body.textContent.match(/[\u202a-\u202e\u2066\u2067]/g) || []).length`},
		} {
			if n := evaluated[int](b, a.expression); n != 0 {
				t.Errorf("%d px: %d %s", width, n, a.what)
			}
		}
		text := evaluated[string](b, `document.querySelector("main").textContent`)
		for _, want := range []string{attack, attribute, template, "\u05e9\u05dc\u05d5\u05dd [U+202E]abc[U+2066]def",
			"(10000 characters)"} {
			if !strings.Contains(text, want) {
				t.Errorf("%d px: %q does not stand on the page", width, want)
			}
		}
		if n := evaluated[int](b, `document.querySelectorAll(".place").length`); n != 5 {
			t.Errorf("%d locations", n)
		}
		b.picture(fmt.Sprintf("hostile-%d.png", width))
		b.clean(file)
	}
}

package main

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// eventDurations has the browser note how long each click took, from the touch to its picture.
const eventDurations = `window.clicks = [], new PerformanceObserver(function (l) {
	l.getEntries().forEach(function (e) { if (e.name === "click") { window.clicks.push(e.duration); } });
}).observe({ type: "event", durationThreshold: 16 }), null`

// BenchmarkPocket measures how long a person waits with the page of the demo on a phone that is four times slower than
// this machine: until a reading can be taken, until it is judged, and from a touch to the verdict by the plain rules.
// Nothing is asserted, because other work on the machine lengthens what passes on the clock: the least is nearest to what
// the page needs, and the processor's time of the page's thread, times four, beside it has no other work in it.
func BenchmarkPocket(b *testing.B) {
	ctx := browser(b)
	out := filepath.Join(b.TempDir(), "yard.html")
	if _, errs, code := runFor(b, "pocket", demo, "-o", out); code != 0 {
		b.Fatal(errs)
	}
	b.Run("open", func(b *testing.B) {
		var open, judging []float64
		for b.Loop() {
			p := phone(b, ctx, out)
			p.waits(judges)
			open = append(open, evaluated[float64](p, `performance.getEntriesByName("open")[0].startTime`))
			judging = append(judging, evaluated[float64](p, `performance.getEntriesByName("judges")[0].startTime`))
			if err := chromedp.Cancel(p.ctx); err != nil {
				b.Fatal(err)
			}
		}
		spread(b, "reading", open)
		spread(b, "judging", judging)
	})
	// Every key is one that somebody waits for, the first of a page too: each time a new page.
	picture, thread := map[string][]float64{}, map[string][]float64{}
	b.Run("keys", func(b *testing.B) {
		for b.Loop() {
			p := phone(b, ctx, out)
			p.demoKeys(4, func(name string, key func()) {
				evaluated[any](p, "window.clicks = [], null")
				key()
				p.waits("window.clicks.length > 0")
				picture[name] = append(picture[name], slices.Max(evaluated[[]float64](p, "window.clicks")))
			})
			if err := chromedp.Cancel(p.ctx); err != nil {
				b.Fatal(err)
			}
			p = phone(b, ctx, out)
			p.demoKeys(1, func(name string, key func()) {
				// What comes after the picture is left for later.
				evaluated[any](p, `window.prepare = window.flangewayPrepare,
					window.flangewayPrepare = function () { return "{}"; }, null`)
				before := p.threadTime()
				key()
				time.Sleep(300 * time.Millisecond)
				thread[name] = append(thread[name], 4*(p.threadTime()-before))
				evaluated[any](p, `window.flangewayPrepare = window.prepare, window.flangewayPrepare(JSON.stringify(
					document.querySelector("h2").dataset.of)), null`)
			})
			if err := chromedp.Cancel(p.ctx); err != nil {
				b.Fatal(err)
			}
		}
		for _, name := range slices.Sorted(maps.Keys(picture)) {
			spread(b, name+"-picture", picture[name])
			spread(b, name+"-thread", thread[name])
		}
	})
}

// demoKeys strikes keys on the page of the demo that bring a verdict, each where it takes longest: the first of a page,
// of a kind, and the first after something was read on the other side. measure is called with the last key of each.
func (b *tab) demoKeys(slow float64, measure func(name string, key func())) {
	b.t.Helper()
	b.waits(judges)
	time.Sleep(2 * time.Second) // as long as somebody looks for the first place
	b.slowed(slow)
	evaluated[any](b, eventDurations)
	for _, e := range []struct {
		name, key, column string
		keys              []string
	}{{"frog/first", "frog/F4", "flangeway_depth", []string{"1", "1/2"}},
		{"wheel/first", "wheel/WPV 1204 L2", "flange_height", []string{"1", "1/4"}},
		{"wheel/next", "wheel/WPV 1204 L2", "flange_thickness", []string{"1"}},
		{"frog/after", "frog/F4", "guard_check", []string{"5", "4", "1/2"}},
		{"switch/first", "switch/S1", "chip_depth", []string{"1"}},
		{"wheel/after", "wheel/WPV 1188 L1", "tread_hollow", []string{"2"}}} {
		b.tap("back")
		b.press(strings.Replace(e.key, " L2", " L1", 1)) // as one comes to it
		b.skipTo(e.key, e.column)
		b.press(e.keys...)
		time.Sleep(time.Second) // nobody strikes faster than a phone draws
		measure(e.name, func() {
			b.touch("take")
			b.waits("document.querySelector('.said p') !== null && document.querySelector('table') !== null")
		})
		if of, column := b.asks(); of == e.key && column == e.column {
			b.t.Errorf("%s %s was not taken", e.key, e.column)
		}
	}
}

// threadTime is how much of the processor's time the page's thread has had, in milliseconds.
func (b *tab) threadTime() float64 {
	b.t.Helper()
	ticks := performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks}
	if _, err := chromedp.Call(b.ctx, performance.Enable, ticks); err != nil {
		b.t.Fatal(err)
	}
	list, err := chromedp.Call(b.ctx, performance.GetMetrics, cdp.Empty{})
	if err != nil {
		b.t.Fatal(err)
	}
	for _, m := range list.Metrics {
		if m.Name == "TaskDuration" {
			return 1000 * m.Value
		}
	}
	b.t.Fatal("the browser does not tell how long its thread has worked")
	return 0
}

// spread reports the least and the most of some times in milliseconds, and that in the middle.
func spread(b *testing.B, name string, ms []float64) {
	slices.Sort(ms)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(ms[0], name+"-ms-least")
	b.ReportMetric(ms[len(ms)/2], name+"-ms-middle")
	b.ReportMetric(ms[len(ms)-1], name+"-ms-most")
}

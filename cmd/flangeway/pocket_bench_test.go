package main

import (
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
	for _, e := range []struct {
		key, column string
		keys        []string
	}{{"frog/F4", "flangeway_depth", []string{"1", "1/2"}}, {"switch/S1", "chip_depth", []string{"1"}},
		{"wheel/WPV 1204 L2", "flange_height", []string{"1", "1/4"}}} {
		b.Run(e.key, func(b *testing.B) {
			p := phone(b, ctx, out)
			p.waits(judges)
			p.tap("back")
			p.press(strings.Replace(e.key, "L2", "L1", 1)) // as one comes to it
			p.skipTo(e.key, e.column)
			evaluated[any](p, eventDurations)
			var picture, thread []float64
			for b.Loop() {
				p.slowed(4)
				p.press(e.keys...)
				time.Sleep(time.Second) // nobody strikes faster than a phone draws
				evaluated[any](p, "window.clicks = [], null")
				p.touch("take")
				p.waits("window.clicks.length > 0 && document.querySelector('table') !== null")
				picture = append(picture, slices.Max(evaluated[[]float64](p, "window.clicks")))
				p.slowed(1)
				p.press("previous")
				p.press(e.keys...)
				time.Sleep(time.Second)
				evaluated[any](p, "window.flangewayPrepare = function () { return '{}'; }, null") // it comes after the picture
				before := p.threadTime()
				p.touch("take")
				p.waits("document.querySelector('table') !== null")
				thread = append(thread, 4*(p.threadTime()-before))
				p.press("previous")
			}
			spread(b, "picture", picture)
			spread(b, "thread", thread)
		})
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

package main

import (
	"encoding/json"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/tracing"
	"github.com/chromedp/chromedp"
)

// eventDurations has the browser note how long each click took from the touch to its picture, and of that how long
// until the page was told of it and how long the page took.
const eventDurations = `window.clicks = [], new PerformanceObserver(function (l) {
	l.getEntries().forEach(function (e) {
		if (e.name === "click") {
			window.clicks.push([e.duration, e.processingStart - e.startTime, e.processingEnd - e.processingStart]);
		}
	});
}).observe({ type: "event", durationThreshold: 16 }), null`

// BenchmarkPocket measures how long a person waits with the page of the demo on a phone that is four times slower than
// this machine: until a reading can be taken, until it is judged, and from a touch to the verdict by the plain rules.
// Nothing is asserted, because other work on the machine lengthens what passes on the clock: the least is nearest to
// what the page needs, and the processor's time of the page's thread until that picture, times four, beside it has no
// other work in it. The verdict stands above the keys in that picture; the table of all verdicts comes in the next.
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
	picture, told, done, thread := map[string][]float64{}, map[string][]float64{}, map[string][]float64{},
		map[string][]float64{}
	b.Run("keys", func(b *testing.B) {
		for b.Loop() {
			p := phone(b, ctx, out)
			p.demoKeys(4, func(name string, key func()) {
				evaluated[any](p, "window.clicks = [], null")
				key()
				p.waits("window.clicks.length > 0")
				click := slices.MaxFunc(evaluated[[][]float64](p, "window.clicks"), slices.Compare)
				picture[name] = append(picture[name], click[0])
				told[name] = append(told[name], click[1])
				done[name] = append(done[name], click[2])
			})
			if err := chromedp.Cancel(p.ctx); err != nil {
				b.Fatal(err)
			}
			p = phone(b, ctx, out)
			p.demoKeys(1, func(name string, key func()) {
				thread[name] = append(thread[name], 4*p.untilPicture(key))
			})
			if err := chromedp.Cancel(p.ctx); err != nil {
				b.Fatal(err)
			}
		}
		for _, name := range slices.Sorted(maps.Keys(picture)) {
			spread(b, name+"-picture", picture[name])
			spread(b, name+"-until-told", told[name])
			spread(b, name+"-in-the-page", done[name])
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

// untilPicture is how much of the processor's time the page's thread has from a touch to its picture, in milliseconds.
func (b *tab) untilPicture(key func()) float64 {
	b.t.Helper()
	type event struct {
		Name          string
		Pid, Tid      int
		Ts, Dur, Tdur float64
		Args          struct{ Data struct{ Type string } }
	}
	var events []event
	all := make(chan bool, 1)
	err := chromedp.Listen(b.ctx, func(ev any) {
		switch ev := ev.(type) {
		case *tracing.EventDataCollected:
			for _, text := range ev.Value {
				var e event
				if json.Unmarshal(text, &e) == nil { // others are of no concern
					events = append(events, e)
				}
			}
		case *tracing.EventTracingComplete:
			select { // those of an earlier touch still listen
			case all <- true:
			default:
			}
		}
	})
	if err != nil {
		b.t.Fatal(err)
	}
	if _, err := chromedp.Call(b.ctx, tracing.Start, tracing.StartParams{TraceConfig: &tracing.TraceConfig{
		IncludedCategories: []string{"devtools.timeline", "toplevel", "cc"}}}); err != nil {
		b.t.Fatal(err)
	}
	key()
	time.Sleep(300 * time.Millisecond)
	if _, err := chromedp.Call(b.ctx, tracing.End, cdp.Empty{}); err != nil {
		b.t.Fatal(err)
	}
	<-all
	i := slices.IndexFunc(events, func(e event) bool {
		return e.Name == "EventDispatch" && e.Args.Data.Type == "click"
	})
	if i < 0 {
		b.t.Fatal("the browser has traced no click")
	}
	click, picture := events[i], math.Inf(1)
	for _, e := range events {
		if e.Name == "ProxyMain::BeginMainFrame" && e.Pid == click.Pid && e.Tid == click.Tid &&
			e.Ts >= click.Ts+click.Dur {
			picture = min(picture, e.Ts)
		}
	}
	if math.IsInf(picture, 1) {
		b.t.Fatal("the browser has traced no picture")
	}
	took := 0.0
	for _, e := range events {
		if e.Name == "ThreadControllerImpl::RunTask" && e.Pid == click.Pid && e.Tid == click.Tid && e.Ts <= picture {
			took += e.Tdur / 1000
		}
	}
	return took
}

// spread reports the least and the most of some times in milliseconds, and that in the middle.
func spread(b *testing.B, name string, ms []float64) {
	slices.Sort(ms)
	b.ReportMetric(0, "ns/op")
	b.ReportMetric(ms[0], name+"-ms-least")
	b.ReportMetric(ms[len(ms)/2], name+"-ms-middle")
	b.ReportMetric(ms[len(ms)-1], name+"-ms-most")
}

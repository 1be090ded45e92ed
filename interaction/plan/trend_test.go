package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

// The chamber of F. A. Graybill and H. K. Iyer, Regression Analysis (1994), chapter 6, as the tests of the R package
// investr cite it: the dial at which the mean temperature is 400, with 99 % confidence. Their line has the residuals'
// variance alone.
func TestInversePredictionOfTheBook(t *testing.T) {
	ys := []float64{206.36, 225.52, 252.18, 289.33, 318.11, 349.49, 383.03, 410.70, 444.40, 469.14, 501.16}
	var xs []float64
	for i := range ys {
		xs = append(xs, float64(10*i))
	}
	line := trendOf(xs, ys, 0, 0)
	ss := line.noise * line.degrees
	line.degrees -= priorDegrees
	line.noise = ss / line.degrees
	a := line.to(400)
	q := studentsT(0.995, line.degrees)
	side := func(sign float64) float64 {
		return crossing(func(x float64) float64 { return a.value(x) + sign*q*math.Sqrt(a.variance(x)) }, 0, 50, 200)
	}
	for _, c := range []struct{ got, want, digit float64 }{{side(-1), 65.07, 0.005},
		{crossing(a.value, 0, 50, 200), 66.5, 0.05}, {side(1), 68.03, 0.005}} {
		if math.Abs(c.got-c.want) > c.digit {
			t.Errorf("%.4f, want %g", c.got, c.want)
		}
	}
}

// reader takes a reading of a true value in sixteenths, in inches, as one way of reading errs.
type reader struct {
	name string
	read func(r *rand.Rand, v float64) float64
}

// readers are those who err as their ± says, and as much again.
func readers() []reader {
	sixteenth := func(v float64) float64 { return math.Round(v*16) / 16 }
	return []reader{
		{"rounds to the sixteenth", func(_ *rand.Rand, v float64) float64 { return sixteenth(v) }},
		{"errs by a 32nd, then rounds", func(r *rand.Rand, v float64) float64 {
			return sixteenth(v + (2*r.Float64()-1)/32)
		}},
		{"errs by a 64th, normal, then rounds", func(r *rand.Rand, v float64) float64 {
			return sixteenth(v + r.NormFloat64()/64)
		}},
	}
}

// wearing draws a true value in inches at each of n years, worn by at least a sixteenth in all, and its rate.
func wearing(r *rand.Rand, n int, uneven bool, from, sign float64) (days []int, true_ []float64, rate float64) {
	rate = sign * (1.5 + 5*r.Float64()) / 64
	v, day := from+r.Float64()/16, 0
	for i := range n {
		if i > 0 {
			step := 150 + r.IntN(400)
			part := 1.0
			if uneven { // an even draw between these has a standard deviation of 15 %
				part += 0.26 * (2*r.Float64() - 1)
			}
			day += step
			v += rate * part * float64(step) / daysPerYear
		}
		days, true_ = append(days, day), append(true_, v)
	}
	return days, true_, rate
}

func inch(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// The true date lies in the window nine times of ten, whoever reads, from two rows on, of either side and several kinds
// of reading: many wheels and places are drawn whose true wear is known, and the window of a limit is looked at.
func TestWindowsHoldTheTrueDate(t *testing.T) {
	const day0 = "2008-03-01"
	from, _ := measure.ParseDate(day0)
	kinds := []struct {
		sheet, head, event string
		start, level, sign float64
		row                func(i int, date measure.Date, v string) []string
	}{
		{"frogs.csv", "location,frog,date,flangeway_depth", "213.137(a)", 1.875, 1.375, -1,
			func(i int, d measure.Date, v string) []string {
				return []string{"yard", fmt.Sprint("F", i), d.String(), v}
			}},
		{"gauge.csv", "location,spot,date,gauge", "213.53(b)-class1", 57.25, 58, 1,
			func(i int, d measure.Date, v string) []string {
				return []string{"yard", fmt.Sprint("G", i), d.String(), v}
			}},
		{"wheels.csv", "car,position,date,rim_thickness", "215.103(c)", 1.25, 0.6875, -1,
			func(i int, d measure.Date, v string) []string {
				return []string{fmt.Sprint("C ", i), "L1", d.String(), v}
			}},
		{"wheels.csv", "car,position,date,flange_height", "215.103(b)", 1.125, 1.5, 1,
			func(i int, d measure.Date, v string) []string {
				return []string{fmt.Sprint("C ", i), "L1", d.String(), v}
			}},
	}
	r := rand.New(rand.NewPCG(18, 11))
	for _, who := range readers() {
		for _, n := range []int{2, 3, 5, 8} {
			in, all, open := 0, 0, 0
			for k, kind := range kinds {
				f := files{kind.sheet: {strings.Split(kind.head, ",")}}
				cars := [][]string{{"car", "kind"}}
				dates := map[string]float64{}
				for i := range int(fixture.Drawn(60, 120)) {
					days, v, rate := wearing(r, n, k%2 == 1, kind.start, kind.sign)
					if days[n-1] < 180 || kind.sign*(kind.level-v[n-1]) < 1.0/16 {
						continue
					}
					for j, d := range days {
						read := kind.row(i, from+measure.Date(d), inch(who.read(r, v[j])))
						f[kind.sheet] = append(f[kind.sheet], read)
					}
					name := kind.row(i, 0, "")[1]
					if kind.sheet == "wheels.csv" {
						name = "wheel/" + kind.row(i, 0, "")[0] + " L1"
						cars = append(cars, []string{fmt.Sprint("C ", i), "freight"})
					}
					dates[name] = float64(from) + float64(days[n-1]) + (kind.level-v[n-1])/rate*daysPerYear
				}
				if kind.sheet == "wheels.csv" {
					f["cars.csv"] = cars
				}
				got, err := WearRates(f.write(t, "schema: 1\ntrack_class: 1\n"))
				if err != nil {
					t.Fatal(err)
				}
				for _, x := range got {
					name := x.Where
					if _, id, ok := strings.Cut(x.Where, "/"); ok && x.Place != "" {
						name = id
					}
					want := dates[name]
					for _, e := range x.Events {
						if strings.HasPrefix(e.What, "limit "+kind.event) {
							all++
							if !e.Latest.Known() {
								open++
							}
							if float64(e.Earliest)-1 <= want && (!e.Latest.Known() || want <= float64(e.Latest)+1) {
								in++
							}
							break
						}
					}
				}
			}
			t.Logf("%s, %d rows: %d of %d windows hold, %d open", who.name, n, in, all, open)
			if all < 100 || in*100 < 89*all {
				t.Errorf("%s, %d rows: %d of %d windows hold the true date, want nine of ten", who.name, n, in, all)
			}
			if n >= 4 && open*2 > all {
				t.Errorf("%s, %d rows: %d of %d windows are open", who.name, n, open, all)
			}
		}
	}
}

// Frog and wheel both wear: the day on which the flange reaches the floor is that of both lines together, and its
// window holds the true one nine times of ten. The wheel's own line alone, or the frog's, would give a later day.
func TestBothSidesWear(t *testing.T) {
	from, _ := measure.ParseDate("2008-03-01")
	r := rand.New(rand.NewPCG(18, 12))
	for _, n := range []int{2, 4, 6} {
		in, all, alone := 0, 0, 0
		for i := range fixture.Drawn(60, 600) {
			who := readers()[i%3]
			dd, depth, a := wearing(r, n, true, 1.75, -1)
			dh, height, b := wearing(r, n, false, 1.0625, 1)
			ends := max(dd[n-1], dh[n-1])
			gap := func(day float64) float64 {
				years := func(from int) float64 { return (day - float64(from)) / daysPerYear }
				return depth[n-1] + a*years(dd[n-1]) - height[n-1] - b*years(dh[n-1])
			}
			if gap(float64(ends)) < 1.0/16 || min(dd[n-1], dh[n-1]) < 180 {
				continue
			}
			frogs := [][]string{{"location", "frog", "date", "flangeway_depth"}}
			wheels := [][]string{{"car", "position", "date", "flange_height"}}
			for i := range n {
				day := func(d int) string { return (from + measure.Date(d)).String() }
				frogs = append(frogs, []string{"yard", "F1", day(dd[i]), inch(who.read(r, depth[i]))})
				wheels = append(wheels, []string{"A 1", "L1", day(dh[i]), inch(who.read(r, height[i]))})
			}
			want := float64(from) + float64(ends) + gap(float64(ends))/(b-a)*daysPerYear
			got, err := WearRates(files{"frogs.csv": frogs, "wheels.csv": wheels}.write(t, "schema: 1\n"))
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range got {
				for _, e := range x.Events {
					if x.Column != "flangeway_depth" ||
						!strings.HasPrefix(e.What, "first further conflict: frog-floor with A 1 L1") {
						continue
					}
					if all++; !strings.Contains(e.What, "flange_height of wheel/A 1 L1 wears too") {
						alone++
					}
					if float64(e.Earliest)-1 <= want && (!e.Latest.Known() || want <= float64(e.Latest)+1) {
						in++
					}
				}
			}
		}
		t.Logf("%d rows: %d of %d windows hold, %d go by the frog alone", n, in, all, alone)
		if all < 15 || in*100 < 88*all || alone*10 > all {
			t.Errorf("%d rows: %d of %d windows hold the true date, %d go by the frog alone", n, in, all, alone)
		}
	}
}

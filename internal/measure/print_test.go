package measure_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

func TestPrint(t *testing.T) {
	for _, tc := range []struct {
		name, cell string
		spec       measure.Spec
		want       string
		reason     string
	}{
		{"unicode half", "1½\"", flangeHeight, "1-1/2", "ASCII, as the trade writes it"},
		{"feet and inches", "4'8½", gauge, "56-1/2", "inches alone"},
		{"reduced", "1-14/16", flangeHeight, "1-7/8", "one ± for halves to 16ths"},
		{"improper", "23/16", flangeHeight, "1-7/16", "whole and fraction"},
		{"unreduced 32nd", "1-20/32", flangeHeight, "1-20/32", "the ± of 32nds is another than that of 5/8"},
		{"improper 32nd", "47/32", flangeHeight, "1-15/32", "whole and fraction"},
		{"whole in 32nds", "32/32", flangeHeight, "1-0/32", "the ± of 32nds stays"},
		{"64th", "62/64", flangeHeight, "62/64", "the ± of 64ths stays"},
		{"trailing zero", "1.50 in", flangeHeight, "1.50", "the zero carries the ±"},
		{"leading zero", ".94", flangeHeight, "0.94", "a zero before the point"},
		{"millimetres", "36.50mm", flangeHeight, "36.50 mm", "the unit stays"},
		{"hollow", "2.50 mm", hollow, "2.50", "mm without a unit"},
		{"hollow in inches", "⅛″", hollow, `1/8"`, "the mark stays"},
		{"at least", "≥ 1", verticalFlange, ">=1", "ASCII signs"},
		{"under", "< 1½", flangeHeight, "<1-1/2", "ASCII signs"},
		{"range", "1¼ … 1½", flangeHeight, "1-1/4..1-1/2", "ASCII dots"},
		{"scant whole inch", "8/8-", flangeHeight, "1-0/2-", "1- is no scant reading"},
		{"negative", "-1 1/4", elevation, "-1-1/4", "sign and fraction"},
		{"negative 32nds", "-33/32", elevation, "-1-1/32", "sign, whole and fraction"},
		{"negative millimetres", "-12.5mm", elevation, "-12.5 mm", "sign and unit"},
		{"missing", "n/m", flangeHeight, "", "a blank cell"},
		{"none", "none", verticalFlange, "none", "stays"},
		{"angle", "71.50°", faceAngle, "71.50", "degrees without a mark"},
		{"no reading", "std", gauge, "std", "comes back as it is"},
		{"no reading, trimmed", " ½½ ", gauge, "½½", "comes back as it is, trimmed"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := tc.spec.Print(tc.cell); got != tc.want {
				t.Errorf("Print(%q) = %q, want %q; %s", tc.cell, got, tc.want, tc.reason)
			}
		})
	}
}

// checkPrint holds Print to its promise: ASCII, and the same interval when read again.
func checkPrint(t *testing.T, s measure.Spec, cell string, r measure.Reading) {
	t.Helper()
	text := s.Print(cell)
	again, err := s.Parse(text)
	if err != nil {
		t.Fatalf("%s: %q prints as %q, which is refused: %v", s.Column, cell, text, err)
	}
	if again.Form != r.Form || !same(again.As, r.As) || !same(again.Lo, r.Lo) || !same(again.Hi, r.Hi) {
		t.Errorf("%s: %q is %v [%v, %v] but its print %q is %v [%v, %v]", s.Column, cell, r.As, r.Lo, r.Hi, text,
			again.As, again.Lo, again.Hi)
	}
	for _, c := range text {
		if c >= 0x80 {
			t.Errorf("%s: %q prints as %q, which is not ASCII", s.Column, cell, text)
		}
	}
}

// lengths gives one length in every notation of the trade, in 64ths of an inch.
func lengths(n int) []string {
	var out []string
	sign := ""
	if n < 0 {
		sign = "-"
	}
	abs := max(n, -n)
	for den := 64; den >= 2; den /= 2 {
		if abs%(64/den) != 0 {
			continue
		}
		k := abs / (64 / den)
		mixed := fmt.Sprintf("%d-%d/%d", k/den, k%den, den)
		out = append(out, fmt.Sprintf("%s%d/%d", sign, k, den), sign+mixed,
			sign+strings.Replace(mixed, "-", " ", 1)+`"`)
		feet := k / den / 12
		out = append(out, fmt.Sprintf(`%s%d' %d-%d/%d"`, sign, feet, k/den-feet*12, k%den, den))
	}
	if abs%64 == 0 {
		out = append(out, fmt.Sprintf("%s%d", sign, abs/64))
	}
	in := float64(abs) / 64
	for digits := 1; digits <= 6; digits++ {
		out = append(out, fmt.Sprintf("%s%.*f", sign, digits, in), fmt.Sprintf("%s%.*f mm", sign, digits, in*inch))
	}
	return append(out, fmt.Sprintf("%s%.0fmm", sign, in*inch))
}

// TestPrintRoundTrip walks over generated notations: 64ths from −5 to 100 in, each
// alone, one-sided and as a range, in every column that takes it.
func TestPrintRoundTrip(t *testing.T) {
	taken, step, least := 0, 29, 12_000
	if fixture.Volume() {
		step, least = 7, 50_000
	}
	for n := -5 * 64; n <= 100*64; n += step {
		for _, text := range lengths(n) {
			for _, cell := range []string{text, ">" + text, ">=" + text, "<" + text, "<= " + text, text + ".." + text,
				text + " .. 100"} {
				for _, s := range []measure.Spec{wide, elevation, gauge, flangeHeight} {
					r, err := s.Parse(cell)
					if err != nil {
						continue
					}
					taken++
					checkPrint(t, s, cell, r)
				}
			}
		}
	}
	if taken < least {
		t.Errorf("only %d generated readings were taken; the walk checks too little", taken)
	}
}

// TestNotationsAgree: every notation of one length gives that length, to half of what its own digits leave open.
func TestNotationsAgree(t *testing.T) {
	for n := -5 * 64; n <= 100*64; n += 3 {
		want := float64(n) / 64 * inch
		for _, text := range lengths(n) {
			r, err := wide.Parse(text)
			if err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if want < r.Lo-1e-9 || want > r.Hi+1e-9 || !same((r.Lo+r.Hi)/2, r.As) {
				t.Errorf("%q = %v [%v, %v] mm does not hold %v mm or is lopsided", text, r.As, r.Lo, r.Hi, want)
			}
		}
	}
}

// TestInchesAndMillimetresAgree: a length written in inches and the same written in
// millimetres are one value, and a bound cuts both at the same place.
func TestInchesAndMillimetresAgree(t *testing.T) {
	for n := 32; n <= 160; n++ {
		in, mmText := fmt.Sprintf("%d/64", n), fmt.Sprintf("%.7fmm", float64(n)/64*inch)
		a, errA := flangeHeight.Parse(in)
		b, errB := flangeHeight.Parse(mmText)
		if errA != nil || errB != nil {
			t.Fatalf("%q: %v; %q: %v", in, errA, mmText, errB)
		}
		if !same(a.As, b.As) {
			t.Errorf("%q is %v mm, %q is %v mm", in, a.As, mmText, b.As)
		}
	}
	for _, tc := range []struct {
		name, in, mm, reason string
	}{
		{"above", ">1", ">25.4mm", "the step is the column's, not the notation's"},
		{"below", "<=1-1/2", "<=38.1mm", "likewise"},
		{"range", "1..1-1/2", "25.4mm..38.1mm", "likewise at both ends"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			a, errA := flangeHeight.Parse(tc.in)
			b, errB := flangeHeight.Parse(tc.mm)
			if errA != nil || errB != nil {
				t.Fatal(errA, errB)
			}
			if !same(a.Lo, b.Lo) || !same(a.Hi, b.Hi) || !same(a.As, b.As) {
				t.Errorf("%q is [%v, %v], %q is [%v, %v]; %s", tc.in, a.Lo, a.Hi, tc.mm, b.Lo, b.Hi, tc.reason)
			}
		})
	}
}

func TestInch(t *testing.T) {
	for _, tc := range []struct {
		name   string
		mm     float64
		want   string
		reason string
	}{
		{"zero", 0, "0", "a whole number of 64ths"},
		{"64th", inch / 64, "1/64", "the finest fraction"},
		{"reduced", inch * 28 / 64, "7/16", "fractions are reduced"},
		{"mixed", 1.4375 * inch, "1-7/16", "whole and fraction"},
		{"negative", -0.25 * inch, "-1/4", "sign before the fraction"},
		{"negative mixed", -1.25 * inch, "-1-1/4", "sign before the whole number"},
		{"no 64th", 0.4 * inch, "0.400", "three digits"},
		{"negative near zero", -0.0001 * inch, "0.000", "no minus before zeros"},
		{"not a number", math.NaN(), "NaN", "no made-up figure"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := measure.Inch(tc.mm); got != tc.want {
				t.Errorf("Inch(%v) = %q, want %q; %s", tc.mm, got, tc.want, tc.reason)
			}
		})
	}
}

func TestNearestInch(t *testing.T) {
	for _, tc := range []struct {
		name   string
		in     float64
		n      int
		want   string
		reason string
	}{
		{"16ths down", 1.46, 16, "1-7/16", "1.46 is 23.36 sixteenths"},
		{"16ths up", 1.48, 16, "1-1/2", "1.48 is 23.68 sixteenths"},
		{"8ths", 0.3, 8, "1/4", "0.3 is 2.4 eighths"},
		{"64ths", 0.3, 64, "19/64", "0.3 is 19.2 64ths"},
		{"whole", 1.6, 1, "2", "whole inches"},
		{"negative", -0.3, 8, "-1/4", "away from the sign"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := measure.NearestInch(tc.in*inch, tc.n); got != tc.want {
				t.Errorf("NearestInch(%v in, %d) = %q, want %q; %s", tc.in, tc.n, got, tc.want, tc.reason)
			}
		})
	}
}

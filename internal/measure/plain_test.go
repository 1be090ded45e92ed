package measure

import (
	"fmt"
	"strings"
	"testing"
)

func plainSpecs() []Spec {
	return []Spec{
		{Column: "length", Unit: Inches, Lo: -1e7, Hi: 1e7},
		{Column: "flange_height", Unit: Inches, Lo: .5 * MMPerInch, Hi: 2.5 * MMPerInch, Step: 1.0 / 32 * MMPerInch},
		{Column: "gauge", Unit: Inches, Lo: 54 * MMPerInch, Hi: 62 * MMPerInch, Floor: MMPerInch / 16,
			Nominal: 56.5 * MMPerInch},
		{Column: "rim_width", Unit: Inches, Lo: 4 * MMPerInch, Hi: 8 * MMPerInch, HasReplace: true, Replace: .2},
		{Column: "tread_hollow", Unit: Millimetres, Lo: 0, Hi: 12},
		{Column: "face_angle", Unit: Degrees, Lo: 0, Hi: 90},
		{Column: "days", Unit: Degrees, Lo: 0, Hi: 400, Noun: "days"},
	}
}

// samePlain compares the short way with the whole grammar, to the last bit.
func samePlain(t *testing.T, cell string) (taken bool) {
	t.Helper()
	for _, s := range plainSpecs() {
		_, ok := s.plainEntry(cell)
		taken = taken || ok
		got, gotErr := s.Parse(cell)
		want, wantErr := s.parse(cell)
		if fmt.Sprint(gotErr) != fmt.Sprint(wantErr) || got != want {
			t.Fatalf("%s: %q is %+v, %v by the short way, %+v, %v by the grammar", s.Column, cell, got, gotErr,
				want, wantErr)
		}
	}
	return taken
}

// FuzzPlainEntry: what the short way takes, the grammar takes in the same sense, and what it leaves keeps its message.
func FuzzPlainEntry(f *testing.F) {
	for _, s := range []string{"1.4375", ".94", "53", "1-7/16", "1 7/16", "23/32", "0", "00.10", "1.", ".",
		"1/0", "1/3", "1-8/8", "999999", "1000000", "1000000.5", "1-7/16/2", "1--7/16", "1  7/16", "1- 7/16", "0/2",
		"12345/64", "1.5-7/16", "1.1/2", "-1.5", "1e3", "1.2345678901", "123456789", "1/16 ", "57/64", "9/128"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		samePlain(t, strings.TrimSpace(cell)) // as Parse does first
	})
}

// Every plain number of up to four digits on either side of the point, thinned out, and every common fraction.
func TestPlainEntryAgrees(t *testing.T) {
	taken := 0
	add := func(cell string) {
		if samePlain(t, cell) {
			taken++
		}
	}
	for n := range 70000 {
		if n%31 != 0 && n > 1000 {
			continue
		}
		add(fmt.Sprint(n))
		for digits := 1; digits <= 5; digits++ {
			scale := []int{1, 10, 100, 1000, 10000, 100000}[digits]
			add(fmt.Sprintf("%d.%0*d", n/scale, digits, n%scale))
		}
	}
	for den := 1; den <= 64; den++ {
		for num := range 2*den + 1 {
			add(fmt.Sprintf("%d/%d", num, den))
			add(fmt.Sprintf("1-%d/%d", num, den))
			add(fmt.Sprintf("56 %d/%d", num, den))
		}
	}
	if taken < 15000 {
		t.Errorf("only %d entries were taken the short way", taken)
	}
}

func TestPlainEntryAllocatesNothing(t *testing.T) {
	s := plainSpecs()[1]
	for _, cell := range []string{"1.4375", ".94", "1-7/16", "1 7/16", "23/32"} {
		if n := testing.AllocsPerRun(100, func() {
			if _, err := s.Parse(cell); err != nil {
				t.Fatal(err)
			}
		}); n > 0 {
			t.Errorf("%q takes %v allocations", cell, n)
		}
	}
}

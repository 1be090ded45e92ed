package main

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"strconv"
)

// draws is a small generator of uniform numbers in (0,1) on 32 bits (mulberry32), with nothing in it that could differ
// from one machine to the next.
type draws uint32

func (s *draws) uniform() float64 {
	*s += 0x6D2B79F5
	x := uint32(*s)
	t := (x ^ x>>15) * (1 | x)
	t = (t + (t^t>>7)*(61|t)) ^ t
	return (float64(t^t>>14) + 0.5) / 4294967296
}

// bell is a bell shape from six uniform numbers, rounded; never beyond 4.25 sd.
func (s *draws) bell(mean, sd float64) int {
	sum := 0.0
	for range 6 {
		sum += s.uniform()
	}
	// float64 keeps a machine from joining a product and a sum in one rounding.
	return round(mean + float64(float64(sd*(sum-3))*1.4142135623730951))
}

// blank is v, or a blank cell for a share of the cells.
func (s *draws) blank(share float64, v int) int {
	if s.uniform() < share {
		return -1
	}
	return v
}

// round is the nearest whole number, a half upward.
func round(x float64) int {
	f := math.Floor(x)
	if x-f >= 0.5 {
		f++
	}
	return int(f)
}

func clip(v, lo, hi int) int { return min(max(v, lo), hi) }

// sheet is a file under its heading line.
type sheet struct {
	f *os.File
	w *bufio.Writer
	b []byte // the row so far
}

func create(dir, name, head string) (*sheet, error) {
	f, err := os.Create(filepath.Join(dir, name))
	if err != nil {
		return nil, err
	}
	s := &sheet{f: f, w: bufio.NewWriterSize(f, 1<<20)}
	s.w.WriteString(head + "\n")
	return s, nil
}

// digits appends v with at least width digits.
func (s *sheet) digits(v, width int) {
	text := strconv.Itoa(v)
	for range width - len(text) {
		s.b = append(s.b, '0')
	}
	s.b = append(s.b, text...)
}

// decimal appends a comma and v in units of 10^-d, or nothing where v is negative.
func (s *sheet) decimal(v, d int) {
	s.b = append(s.b, ',')
	if v < 0 {
		return
	}
	q := 1
	for range d {
		q *= 10
	}
	s.b = strconv.AppendInt(s.b, int64(v/q), 10)
	s.b = append(s.b, '.')
	s.digits(v%q, d)
}

func (s *sheet) end() {
	s.b = append(s.b, '\n')
	s.w.Write(s.b)
	s.b = s.b[:0]
}

func (s *sheet) close() error {
	if err := s.w.Flush(); err != nil {
		return err
	}
	return s.f.Close()
}

const railroad = `schema: 1
railroad: Size Benchmark
date: 2026-03-31
track_class: 2
reading_error:
  flange_height: 0.0005
  flange_thickness: 0.0005
  back_to_back: 0.0005
  rim_width: 0.0005
  flangeway_depth: 0.0005
  flangeway_width: 0.0005
settings:
  least_bearing: 1
`

// makeSurvey writes the folder.
func makeSurvey(dir string, wheels, places int) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "railroad.yaml"), []byte(railroad), 0o644); err != nil {
		return err
	}
	if err := writeWheels(dir, wheels); err != nil {
		return err
	}
	return writePlaces(dir, places)
}

// writeWheels writes cars of eight wheels, sorted, with back_to_back on the L rows alone. Thousandths of an inch; the
// hollow in hundredths of a millimetre.
func writeWheels(dir string, n int) error {
	d := draws(20260101)
	s, err := create(dir, "wheels.csv",
		"car,position,date,flange_height,flange_thickness,tread_hollow,back_to_back,rim_width")
	if err != nil {
		return err
	}
	for car := 1; car <= n/8; car++ {
		day := 1 + int(d.uniform()*28)
		for k := range 8 {
			side := byte('L')
			if k >= 4 {
				side = 'R'
			}
			s.b = append(s.b, "CAR"...)
			s.digits(car, 7)
			s.b = append(s.b, ',', side, byte('1'+k%4))
			s.b = append(s.b, ",2026-03-"...)
			s.digits(day, 2)
			s.decimal(d.blank(0.03, clip(d.bell(1160, 100), 1000, 1620)), 3)
			s.decimal(d.blank(0.03, clip(d.bell(1220, 100), 800, 1400)), 3)
			hollow := 640 * d.uniform()
			hollow *= d.uniform()
			hollow *= d.uniform()
			s.decimal(d.blank(0.03, round(hollow)), 2)
			b := -1
			if side == 'L' {
				b = d.blank(0.03, clip(d.bell(53050, 40), 52900, 53250))
			}
			s.decimal(b, 3)
			s.decimal(d.blank(0.04, clip(d.bell(5600, 80), 5300, 5900)), 3)
			s.end()
		}
	}
	return s.close()
}

// writePlaces writes one feature at each place: of ten, five frogs, two curves and three spots.
func writePlaces(dir string, n int) error {
	const kinds = "FSFCFSFSFC"
	d := draws(20260202)
	sheets := map[byte]*sheet{}
	for _, f := range []struct {
		kind       byte
		name, head string
	}{
		{'F', "frogs.csv", "location,frog,gauge,loaded_gauge,flangeway_depth,flangeway_width,guard_check,guard_face"},
		{'C', "curves.csv", "location,curve,degree,loaded_gauge"},
		{'S', "gauge.csv", "location,spot,loaded_gauge"},
	} {
		s, err := create(dir, f.name, f.head)
		if err != nil {
			return err
		}
		sheets[f.kind] = s
	}
	for i := 1; i <= n; i++ {
		kind := kinds[i%10]
		s := sheets[kind]
		s.b = append(s.b, 'P')
		s.digits(i, 6)
		s.b = append(s.b, ',', kind)
		s.digits(i, 6)
		switch kind {
		case 'F':
			s.decimal(-1, 3) // gauge is blank at every frog
		case 'C':
			s.decimal(500+round(d.uniform()*13500), 3)
		}
		s.decimal(d.blank(0.02, d.bell(57900, 400)), 3)
		if kind == 'F' {
			s.decimal(d.blank(0.02, d.bell(1600, 150)), 3)
			s.decimal(d.blank(0.02, d.bell(1750, 150)), 3)
			s.decimal(d.blank(0.02, d.bell(54400, 120)), 3)
			s.decimal(d.blank(0.02, d.bell(52850, 120)), 3)
		}
		s.end()
	}
	for _, s := range sheets {
		if err := s.close(); err != nil {
			return err
		}
	}
	return nil
}

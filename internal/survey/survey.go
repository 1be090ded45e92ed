package survey

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Errors of a folder that cannot be a survey.
var (
	ErrNoFolder = errors.New("there is no such survey folder")
	ErrNoSheets = errors.New("the folder holds no sheet of a survey")
)

// Survey is a folder, read.
type Survey struct {
	Dir      string
	Railroad string
	Date     measure.Date
	Class    string // of the railroad; "" unknown
	Settings Settings
	// Sets are the names of the limit sets and files, in their order.
	Sets     []string
	Limits   []configs.Set
	Fleet    *wheel.Fleet
	Track    *track.Track
	Warnings []measure.Warning
	Columns  map[string]measure.Spec // as the railroad reads them
	Data     *configs.Data
}

// Locations counts the places of the survey.
func (s *Survey) Locations() int {
	n, last := 0, ""
	for i, f := range s.Track.Features {
		if i == 0 || f.Location != last {
			n++
		}
		last = f.Location
	}
	return n
}

// maxSheet caps a sheet that is read whole.
const maxSheet = 4 << 30

// Read reads a survey folder. The error is a [measure.ProblemsError] with every
// defect, or says why the folder cannot be read at all.
func Read(dir string) (*Survey, error) {
	f, err := openFolder(dir)
	if err != nil {
		return nil, err
	}
	s := f.s
	sheets := wheel.Sheets{Cars: f.load("cars.csv"), Wheels: f.load("wheels.csv")}
	places := f.places()
	if err := f.empty(); err != nil {
		return nil, err
	}
	var warnings []measure.Warning
	s.Fleet, warnings = wheel.Read(sheets, s.Columns, s.Data, &f.problems)
	s.Warnings = append(s.Warnings, warnings...) // behind those of railroad.yaml
	s.Track, warnings = track.Read(places, s.Columns, s.Data, f.defaults, &f.problems)
	s.Warnings = append(s.Warnings, warnings...)
	s.strangers(&f.problems)
	if err := f.problems.Err(); err != nil {
		return nil, err
	}
	sortWarnings(s.Warnings)
	return s, nil
}

// folder is a survey folder while it is read.
type folder struct {
	s        *Survey
	defaults track.Defaults
	problems measure.Problems
	found    int // files
}

// openFolder reads railroad.yaml, which says how the sheets are read.
func openFolder(dir string) (*folder, error) {
	info, err := os.Stat(dir)
	if err != nil || !info.IsDir() {
		return nil, fmt.Errorf("%s: %w", dir, ErrNoFolder)
	}
	data, err := configs.Load()
	if err != nil {
		return nil, err
	}
	f := &folder{s: &Survey{Dir: dir, Data: data}}
	f.defaults = f.s.readRailroad(f.load(railroadFile), &f.problems)
	return f, nil
}

// load reads a file of the folder whole; nil is one that is not there.
func (f *folder) load(name string) []byte {
	b, err := readFile(filepath.Join(f.s.Dir, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		f.unreadable(name, err)
		return nil
	}
	f.found++
	if b == nil {
		b = []byte{}
	}
	return b
}

func (f *folder) unreadable(name string, err error) {
	f.problems.Add(measure.Place{File: name}, "", why(err), "a file that can be read")
}

// places loads the sheets of the track.
func (f *folder) places() (out [track.NumKinds][]byte) {
	for k := range out {
		out[k] = f.load(track.Kind(k).File())
	}
	return out
}

// empty refuses a folder without any file of a survey.
func (f *folder) empty() error {
	if f.found == 0 && f.problems.Len() == 0 {
		return fmt.Errorf("%s: %w (expected wheels.csv, frogs.csv and so on)", f.s.Dir, ErrNoSheets)
	}
	return nil
}

// readFile reads a regular file whole, up to maxSheet.
func readFile(name string) ([]byte, error) {
	f, size, err := openFile(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if size > maxSheet {
		return nil, errTooLarge
	}
	b := make([]byte, size)
	n, err := io.ReadFull(f, b)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return b[:n], nil
}

// openFile opens a regular file.
func openFile(name string) (f *os.File, size int64, err error) {
	info, err := os.Stat(name) // before opening: a named pipe would wait for a writer
	if err != nil {
		return nil, 0, err
	}
	if !info.Mode().IsRegular() {
		return nil, 0, errNotRegular
	}
	if f, err = os.Open(name); err != nil {
		return nil, 0, err
	}
	return f, info.Size(), nil
}

var (
	errNotRegular = errors.New("it is a folder or a device, not a file")
	errTooLarge   = errors.New("the file is larger than 4 GiB")
)

// why words a file error without the operating system's own text, which differs
// from one to the next.
func why(err error) string {
	switch {
	case errors.Is(err, errNotRegular), errors.Is(err, errTooLarge):
		return err.Error()
	case errors.Is(err, fs.ErrPermission):
		return "the file may not be read by this user"
	}
	return "the file cannot be read"
}

// strangers warns of csv files in the folder that are no sheet, a mistyped
// wheel.csv most of all: its readings would silently be missing.
func (s *Survey) strangers(problems *measure.Problems) {
	names := []string{"cars.csv", "wheels.csv", "railroad.yaml"}
	for k := track.Kind(0); k < track.NumKinds; k++ {
		names = append(names, k.File())
	}
	entries, err := os.ReadDir(s.Dir)
	if err != nil {
		problems.Add(measure.Place{File: s.Dir}, "", "the folder cannot be listed", "a folder that can be read")
		return
	}
	for _, e := range entries {
		n := e.Name()
		low := strings.ToLower(n)
		if ext := filepath.Ext(low); ext != ".csv" && ext != ".yaml" && ext != ".yml" || s.isLimits(n) {
			continue
		}
		known := false
		for _, k := range names {
			known = known || n == k
		}
		if known {
			continue
		}
		text := "the file is no sheet of a survey and was not read"
		if near := measure.Nearest(n, names); near != "" {
			text += fmt.Sprintf("; did you mean %s?", near)
		}
		s.Warnings = append(s.Warnings, measure.Warning{Place: measure.Place{File: n}, Text: text})
	}
}

func (s *Survey) isLimits(name string) bool {
	for _, set := range s.Sets {
		if filepath.Base(filepath.FromSlash(set)) == name {
			return true
		}
	}
	return false
}

func sortWarnings(w []measure.Warning) {
	slices.SortStableFunc(w, func(a, b measure.Warning) int {
		return cmp.Or(a.Place.Compare(b.Place), cmp.Compare(a.Text, b.Text))
	})
}

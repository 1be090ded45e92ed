package survey

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/sheet"
	"flangeway/track"
	"flangeway/wheel"
)

// Errors of a folder that cannot be a survey.
var (
	ErrNoFolder = errors.New("there is no such survey folder or workbook")
	ErrForm     = errors.New("it is a workbook of a form that is not read")
	ErrNoSheets = errors.New("the folder holds no sheet of a survey")
)

// Survey is a folder, read.
type Survey struct {
	Dir string
	// Files are the files that were read, limits files among them, with their folder.
	Files    []string
	Railroad string
	Date     measure.Date
	Class    string // of the railroad; "" unknown
	Settings Settings
	// Sets are the names of the limit sets and files, in their order.
	Sets     []string
	Limits   []configs.Set
	Fleet    *wheel.Fleet
	Track    *track.Track
	Held     Held // of what is tried
	Warnings []measure.Warning
	unread   []measure.Warning       // those of files that were not read
	Columns  map[string]measure.Spec // as the railroad reads them
	Metric   bool                    // units: metric; its pages are in mm, m, km/h and kN
	Data     *configs.Data
	// Costs, Traffic and Routes feed the joint plan and no verdict.
	Costs   Costs
	Traffic Traffic
	Routes  Routes
	traffic trafficText
	// Incidents are the accidents in the railroad's own log.
	Incidents Incidents
	incidents incidentsText
	lengths   []namedNumber
	sheets    string // sum of all files that were read
	tracer    *tracer
	files     files
	frame     track.Defaults // by which rows are read
}

// Trains says by whose speeds the track is judged, see [trainsOf].
func (s *Survey) Trains() string {
	if s.Fleet == nil {
		return "freight"
	}
	return trainsOf(s.Fleet.Cars)
}

// trainsOf is passenger if every car is a passenger car, else freight: the speeds of 49 CFR 213.9(a) are lower for
// freight trains, and a survey does not say what else runs.
func trainsOf(cars []*wheel.Car) string {
	if len(cars) == 0 || slices.ContainsFunc(cars, func(c *wheel.Car) bool { return c.Kind != "passenger" }) {
		return "freight"
	}
	return "passenger"
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

// maxSheet caps a sheet that is read whole: ten million rows, more than can be judged pair by pair.
const maxSheet = 512 << 20

// maxYAML caps railroad.yaml and a file of limits.
const maxYAML = 64 << 20

// Read reads a survey: a folder of CSV files, with a workbook survey.xlsx among them or alone, or a workbook of any
// name and the railroad.yaml beside it. The error is a [measure.ProblemsError] with every defect, or says why nothing
// can be read at all.
func Read(name string) (*Survey, error) {
	o, err := open(name)
	if err != nil {
		return nil, err
	}
	return o.read(name)
}

func (o *opened) read(name string) (*Survey, error) {
	var err error
	s, l, problems := o.s, o.loader, &o.loader.problems
	sheets := wheel.Sheets{Cars: l.source("cars"), Wheels: l.source("wheels"), Frame: o.defaults.Frame}
	places := o.places()
	tracks, jobs := l.source(tracksSheet), l.source(jobsSheet)
	if err := o.empty(name); err != nil {
		return nil, err
	}
	s.Files = append(s.Files, l.found...) // behind the limits files
	var warnings []measure.Warning
	s.Fleet, warnings = wheel.Read(sheets, s.Columns, s.Data, problems)
	s.Warnings = append(s.Warnings, warnings...) // behind those of railroad.yaml
	var odd *track.Odd
	s.Track, odd = track.Read(places, s.Columns, s.Data, o.defaults, problems)
	warnings, _ = odd.Warnings(math.MaxInt)
	s.Warnings = append(s.Warnings, warnings...)
	s.Traffic = s.traffic.resolve(s.Track, s.Fleet.Cars, problems)
	s.Incidents = s.incidents.resolve(s.Track, problems)
	s.resolveLengths(problems)
	s.Routes = readRoutes(tracks, jobs, problems).resolve(s.Track, s.Fleet.Cars, s.Traffic.WorkingDays, problems)
	o.besides()
	if err := problems.Err(); err != nil {
		return nil, err
	}
	measure.SortWarnings(s.Warnings)
	if s.sheets, err = sumFiles(append(slices.Clone(s.Files), s.traced()...), s.files); err != nil {
		return nil, err
	}
	return s, nil
}

// opened is a survey whose railroad.yaml was read, which says how the sheets are.
type opened struct {
	s        *Survey
	loader   *loader
	defaults track.Defaults
}

// open reads railroad.yaml and the workbook, if there is one.
func open(name string) (*opened, error) {
	info, err := os.Stat(name)
	isBook := err == nil && !info.IsDir() && IsWorkbook(name)
	if err == nil && !info.IsDir() && otherBook(name) {
		return nil, fmt.Errorf("%s: %w (expected %s)", name, ErrForm, savedAs)
	}
	if err != nil || !info.IsDir() && !isBook {
		return nil, fmt.Errorf("%s: %w", name, ErrNoFolder)
	}
	l := &loader{dir: name, book: workbookFile, files: disk{}}
	if isBook {
		l.dir, l.book, l.alone = filepath.Dir(name), filepath.Base(name), true
	}
	return openIn(l)
}

// openIn reads railroad.yaml and the workbook where a survey lies.
func openIn(l *loader) (*opened, error) {
	data, err := l.data, error(nil)
	if data == nil {
		if data, err = configs.Load(); err != nil {
			return nil, err
		}
	}
	o := &opened{s: &Survey{Dir: l.dir, Data: data, files: l.files}, loader: l}
	o.defaults = o.s.readRailroad(l.bytes(railroadFile), &l.problems)
	o.defaults.Beside = o.s.beside
	o.s.tracer = &tracer{survey: o.s}
	o.defaults.Traced = o.s.tracer.trace
	o.s.frame = o.defaults
	l.open()
	return o, nil
}

func (o *opened) places() (out [track.NumKinds]*sheet.Source) {
	for k := range out {
		out[k] = o.loader.source(track.Kind(k).Sheet())
	}
	return out
}

// savedAs is how a workbook of another form becomes one that is read.
const savedAs = "an Excel workbook (.xlsx): open it in its program, choose Save As, and that type"

// otherBook reports by its name whether a file is a workbook of a form that is not read.
func otherBook(name string) bool {
	return slices.Contains([]string{".ods", ".xls", ".xlsm", ".xlsb", ".numbers"}, strings.ToLower(filepath.Ext(name)))
}

// otherBooks refuses workbooks of a form that is not read in the folder, if the sheet that they are named after stands
// in no other form there: its readings would silently be missing.
func (o *opened) otherBooks() {
	entries, err := o.s.files.list(o.s.Dir)
	if o.loader.alone || err != nil { // which strangers says
		return
	}
	stem := func(name string) string {
		name = strings.ToLower(filepath.Base(name))
		return strings.TrimSuffix(name, filepath.Ext(name))
	}
	for _, e := range entries {
		is := func(file string) bool { return stem(file) == stem(e.Name()) }
		if otherBook(e.Name()) && slices.ContainsFunc(SheetFiles(), is) && !slices.ContainsFunc(o.loader.found, is) {
			o.loader.problems.Add(measure.Place{File: e.Name()}, "", ErrForm.Error(), savedAs)
		}
	}
}

// empty refuses a folder without any file of a survey.
func (o *opened) empty(name string) error {
	o.otherBooks()
	if len(o.loader.found) == 0 && o.loader.problems.Len() == 0 {
		return fmt.Errorf("%s: %w (expected wheels.csv, frogs.csv and so on, or %s)", name, ErrNoSheets, workbookFile)
	}
	return nil
}

// besides warns of files that were not read.
func (o *opened) besides() {
	if o.loader.alone {
		o.s.besides(o.loader.book)
	} else {
		o.s.strangers(&o.loader.problems)
	}
}

// beside says what is wrong with a file that a sheet names: it must lie in the folder.
func (s *Survey) beside(name string) string {
	if name = filepath.FromSlash(name); !filepath.IsLocal(name) {
		return "the file does not lie beside the sheet"
	}
	info, err := s.files.stat(filepath.Join(s.Dir, name))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case err != nil:
		return regular.Why(err)
	case !info.Mode().IsRegular():
		return regular.ErrKind.Error()
	}
	return ""
}

// Own lists the files that no result may be written over: those that were read, and those beside them that have the
// name of a sheet, as beside a workbook given by name.
func (s *Survey) Own() []string {
	files := slices.Clone(s.Files)
	for _, name := range append([]string{railroadFile}, SheetFiles()...) {
		files = append(files, filepath.Join(s.Dir, name))
	}
	return files
}

// strangers warns of sheets in the folder that are none of a survey, a mistyped wheel.csv most of all: its readings
// would silently be missing.
func (s *Survey) strangers(problems *measure.Problems) {
	names := append([]string{railroadFile, DefectsFile}, SheetFiles()...)
	entries, err := s.files.list(s.Dir)
	traces := s.tracer.files()
	if err != nil {
		problems.Add(measure.Place{File: s.Dir}, "folder", "the folder cannot be listed", "a folder that can be read")
		return
	}
	for _, e := range entries {
		n := e.Name()
		low := strings.ToLower(n)
		if ext := filepath.Ext(low); ext != ".csv" && ext != ".yaml" && ext != ".yml" && ext != workbookExt ||
			s.isLimits(n) {
			continue
		}
		if traces[n] || strings.HasPrefix(n, "~$") ||
			slices.Contains(names, n) { // ~$ is the mark of a workbook that is open
			continue
		}
		text := "the file is no sheet of a survey and was not read"
		if near := nearestSheet(n, names); near != "" {
			text += fmt.Sprintf("; did you mean %s?", near)
		}
		s.passOver(n, text)
	}
}

// nearestSheet is the file that a mistyped name was meant for, "" for none: by its name without the ending, that of a
// kind of feature too, since the spots stand in gauge.csv.
func nearestSheet(name string, files []string) string {
	var stems, of []string
	for _, file := range files {
		stems, of = append(stems, strings.TrimSuffix(file, filepath.Ext(file))), append(of, file)
	}
	for kind := range track.NumKinds {
		stems, of = append(stems, kind.String()+"s"), append(of, kind.File())
	}
	near := measure.Nearest(strings.TrimSuffix(name, filepath.Ext(name)), stems)
	if near == "" {
		return ""
	}
	return of[slices.Index(stems, near)]
}

// besides warns of the CSV files beside a workbook that was given by its name: they belong to the folder's survey, and
// only the workbook was asked for.
func (s *Survey) besides(book string) {
	for _, n := range sheetNames() {
		file := n + ".csv"
		if _, err := s.files.stat(filepath.Join(s.Dir, file)); err == nil {
			s.passOver(file,
				fmt.Sprintf("the file stands beside %s and was not read; give the folder to read both", book))
		}
	}
}

func (s *Survey) passOver(file, why string) {
	w := measure.Warning{Place: measure.Place{File: file}, Text: why}
	s.Warnings, s.unread = append(s.Warnings, w), append(s.unread, w)
}

func (s *Survey) isLimits(name string) bool {
	return slices.ContainsFunc(s.Sets, func(set string) bool { return filepath.Base(filepath.FromSlash(set)) == name })
}

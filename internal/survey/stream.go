package survey

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"os"
	"path/filepath"

	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/track"
	"flangeway/wheel"
	"flangeway/wheel/bulk"
)

// Stream is a survey whose wheels stay in their file: everything else is read, and Fleet is nil.
type Stream struct {
	*Survey
	// Wheels is nil if the folder has no wheels.csv, or one that cannot be read, which Done reports.
	Wheels *bulk.Stream
	Roster *wheel.Roster
	opened *opened
	file   *os.File
	kinds  [track.NumKinds]bool // there is a sheet
	routes routeText
	done   chan struct{} // closed when the track is read
	// of the reading of the track
	problems measure.Problems
	odd      *track.Odd
	// More counts warnings of the track that were not worded.
	More int
}

// TrainsOf says by whose speeds the track is judged if so many cars have wheels and are not listed: nobody knows of
// what kind they are, see [trainsOf].
func (s *Stream) TrainsOf(unlisted int) string {
	if unlisted > 0 {
		return "freight"
	}
	return trainsOf(s.Roster.Cars())
}

const wheelsFile = "wheels.csv"

// Open opens a survey folder for reading its wheels as a stream. It reads on in the background: wait for the track with
// [Stream.WaitTrack]. The survey is to be used only when [Stream.Done] gave no error.
func Open(dir string) (*Stream, error) {
	o, err := open(dir)
	if err != nil {
		return nil, err
	}
	l := o.loader
	s := &Stream{Survey: o.s, opened: o, done: make(chan struct{})}
	s.Roster = wheel.ReadCars(l.source("cars"), s.Columns, s.Data, &l.problems)
	var size int64
	if l.alone || l.sheets["wheels"] != nil {
		l.problems.Add(measure.Place{File: l.book}, "", "the wheels of a workbook cannot be taken one after the other",
			"wheels.csv beside it, or check without --summary")
	}
	if !l.alone {
		s.file, size, err = regular.Open(filepath.Join(dir, wheelsFile))
	} else {
		err = fs.ErrNotExist
	}
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		l.problems.Add(measure.Place{File: wheelsFile}, "", regular.Why(err), "a file that can be read")
	default:
		l.found = append(l.found, filepath.Join(dir, wheelsFile))
		s.Wheels = bulk.OpenStream(s.file, size, s.Roster, s.Columns, s.Data, o.defaults.Frame, &l.problems)
	}
	places := o.places()
	s.routes = readRoutes(l.source(tracksSheet), l.source(jobsSheet), &l.problems)
	if err := o.empty(dir); err != nil {
		return nil, err
	}
	s.Files = append(s.Files, l.found...) // behind the limits files
	for k := range places {
		s.kinds[k] = places[k] != nil
	}
	go func() {
		defer close(s.done)
		s.Track, s.odd = track.Read(places, s.Columns, s.Data, o.defaults, &s.problems)
	}()
	return s, nil
}

// HasKind reports whether the survey has a sheet of a kind of feature.
func (s *Stream) HasKind(k track.Kind) bool { return s.kinds[k] }

// Close closes the file of the wheels.
func (s *Stream) Close() error {
	<-s.done
	if s.file == nil {
		return nil
	}
	return s.file.Close()
}

// WaitTrack is the track, when it is read. It is not complete if the survey has a defect.
func (s *Stream) WaitTrack() *track.Track {
	<-s.done
	return s.Track
}

// trafficCars are the listed cars, and those others that traffic or jobs name: the sheet of wheels is gone through for
// them only if it names something that is nowhere else.
func (s *Stream) trafficCars(ctx context.Context) ([]*wheel.Car, error) {
	names := s.traffic.named()
	maps.Copy(names, s.routes.named())
	if len(names)+len(s.routes.jobs) == 0 {
		return nil, nil
	}
	cars := s.Roster.Cars()
	for _, c := range cars {
		delete(names, c.ID)
		delete(names, c.Group)
	}
	for _, f := range s.Track.Features {
		delete(names, f.Location)
	}
	if s.Wheels == nil || len(names) == 0 {
		return cars, nil
	}
	found, err := s.Wheels.Named(ctx, names)
	if err == nil && len(found) < len(names) { // a slip: which car did it mean?
		found, err = s.Wheels.Named(ctx, nil)
	}
	for _, id := range found {
		cars = append(cars, &wheel.Car{ID: id})
	}
	return cars, err
}

// Done gives the defects of the whole survey, those of the wheels looked for if the stream has not been read without
// one (wheelsRead), and takes over the warnings of the stream.
func (s *Stream) Done(ctx context.Context, wheelsRead bool, totals bulk.Totals) error {
	<-s.done
	problems := &s.opened.loader.problems
	if s.Wheels != nil && !wheelsRead {
		if err := s.Wheels.Defects(ctx, problems); err != nil {
			return err
		}
	}
	problems.Append(s.problems.List()...)
	cars, err := s.trafficCars(ctx)
	if err != nil {
		return err
	}
	s.Traffic = s.traffic.resolve(s.Track, cars, problems)
	s.Incidents = s.incidents.resolve(s.Track, problems)
	s.resolveLengths(problems)
	s.Routes = s.routes.resolve(s.Track, cars, s.Traffic.WorkingDays, problems)
	var warnings []measure.Warning
	warnings, s.More = s.odd.Warnings(bulk.MaxWarnings)
	s.Warnings = append(append(s.Warnings, totals.Warnings...), warnings...)
	s.opened.besides()
	if err := problems.Err(); err != nil {
		return err
	}
	measure.SortWarnings(s.Warnings)
	return nil
}

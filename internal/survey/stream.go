package survey

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Stream is a survey whose wheels stay in their file: everything else is read, and
// Fleet is nil.
type Stream struct {
	*Survey
	// Wheels is nil where the folder has no wheels.csv, or one that cannot be read,
	// which Done reports.
	Wheels *wheel.Stream
	Roster *wheel.Roster
	folder *folder
	file   *os.File
	kinds  [track.NumKinds]bool // there is a sheet
	done   chan struct{}        // closed when the track is read
	// of the reading of the track
	problems measure.Problems
	warnings []measure.Warning
}

// ErrChanged is a sheet that changed while it was read.
var ErrChanged = errors.New("wheels.csv changed while it was read")

// Open opens a survey folder for reading its wheels as a stream. It reads on in the
// background: wait for the track with [Stream.WaitTrack]. The survey is to be used
// only when [Stream.Done] gave no error.
func Open(dir string) (*Stream, error) {
	f, err := openFolder(dir)
	if err != nil {
		return nil, err
	}
	s := &Stream{Survey: f.s, folder: f, done: make(chan struct{})}
	s.Roster = wheel.ReadCars(f.load("cars.csv"), s.Columns, s.Data, &f.problems)
	var size int64
	s.file, size, err = openFile(filepath.Join(dir, "wheels.csv"))
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		f.unreadable("wheels.csv", err)
	default:
		f.found++
		s.Wheels = wheel.OpenStream(s.file, size, s.Roster, s.Columns, s.Data, &f.problems)
	}
	places := f.places()
	if err := f.empty(); err != nil {
		return nil, err
	}
	for k := range places {
		s.kinds[k] = places[k] != nil
	}
	go func() {
		defer close(s.done)
		s.Track, s.warnings = track.Read(places, s.Columns, s.Data, f.defaults, &s.problems)
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

// WaitTrack is the track, when it is read. It is not complete where the survey has a
// defect.
func (s *Stream) WaitTrack() *track.Track {
	<-s.done
	return s.Track
}

// Done gives the defects of the whole survey, those of the wheels looked for where
// the stream has not been read without one (wheelsRead), and takes over the warnings
// of the stream.
func (s *Stream) Done(ctx context.Context, wheelsRead bool, totals wheel.Totals) error {
	<-s.done
	f := s.folder
	if s.Wheels != nil && !wheelsRead {
		before := f.problems.Len()
		if err := s.Wheels.Defects(ctx, &f.problems); err != nil {
			return err
		}
		if f.problems.Len() == before {
			return ErrChanged
		}
	}
	f.problems.Append(s.problems.List()...)
	s.Warnings = append(append(s.Warnings, totals.Warnings...), s.warnings...)
	s.strangers(&f.problems)
	if err := f.problems.Err(); err != nil {
		return err
	}
	sortWarnings(s.Warnings)
	return nil
}

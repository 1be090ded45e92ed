package survey

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/internal/regular"
	"flangeway/internal/sheet"
	"flangeway/track"
)

const (
	// workbookFile is the workbook that a folder may hold instead of CSV files.
	workbookFile = "survey.xlsx"
	workbookExt  = ".xlsx"
	// maxWorkbook caps the packed file; what it unpacks to has a bound of its own.
	maxWorkbook = 64 << 20
)

// IsWorkbook reports whether a file is a workbook by its name.
func IsWorkbook(name string) bool { return strings.EqualFold(filepath.Ext(name), workbookExt) }

// sheetNames are the sheets of a survey: names of CSV files without their ending, and of the sheets in a workbook.
func sheetNames() []string {
	names := []string{"cars", "wheels"}
	for k := track.Kind(0); k < track.NumKinds; k++ {
		names = append(names, k.Sheet())
	}
	return append(names, tracksSheet, jobsSheet)
}

// SheetFiles are the names of all files that the sheets of a folder can stand in.
func SheetFiles() []string {
	names := each.Of(sheetNames(), func(n string) string { return n + ".csv" })
	return append(names, workbookFile)
}

// loader finds the files of a survey.
type loader struct {
	dir, book string
	files     files
	data      *configs.Data // nil: it is loaded
	// alone says that the workbook was asked for by its name: no CSV file counts.
	alone    bool
	sheets   map[string]*sheet.Source // of the workbook
	found    []string                 // files that were read
	problems measure.Problems
}

// bytes are those of a file of the folder, nil if there is none.
func (l *loader) bytes(name string) []byte {
	path := filepath.Join(l.dir, name)
	most := int64(maxSheet)
	if name == railroadFile {
		most = maxYAML
	}
	b, err := l.files.read(path, most)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		l.problems.Add(measure.Place{File: name}, "", regular.Why(err), "a file that can be read")
		return nil
	}
	l.found = append(l.found, path)
	if b == nil {
		b = []byte{}
	}
	return b
}

// open reads the workbook, if there is one.
func (l *loader) open() {
	data := l.bytes(l.book)
	if data == nil {
		return
	}
	place := measure.Place{File: l.book}
	if len(data) > maxWorkbook {
		l.problems.Add(place, "", fmt.Sprintf("the workbook is larger than %d MiB", maxWorkbook>>20),
			"a larger survey stays in CSV files")
		return
	}
	book, err := sheet.OpenWorkbook(l.book, data)
	var fault *measure.Fault
	if errors.As(err, &fault) {
		l.problems.Add(place, "", fault.What, fault.Expected)
		return
	}
	before := l.problems.Len()
	l.sheets = book.Sources(sheetNames(), &l.problems)
	if len(l.sheets) == 0 && l.problems.Len() == before {
		l.problems.Add(place, "", "the workbook holds no sheet of a survey", "sheets named "+
			strings.Join(sheetNames(), ", ")+"; settings stay in railroad.yaml beside it")
	}
}

// source is a sheet by name, from the workbook or from its CSV file, nil if there is neither. Both are a problem: which
// one counts?
func (l *loader) source(name string) *sheet.Source {
	inBook := l.sheets[name]
	if l.alone {
		return inBook
	}
	file := name + ".csv"
	data := l.bytes(file)
	switch {
	case data == nil:
		return inBook
	case inBook != nil:
		l.problems.Add(measure.Place{File: file}, "", fmt.Sprintf("%s has a sheet %s too", l.book, name),
			"one of the two; which one counts?")
		return inBook
	}
	return sheet.CSV(file, data)
}

package main

import (
	"path/filepath"
	"strings"
)

// The forms of output that a user may think of by a file's ending and that this program has under another.
const (
	paperAdvice   = "write a page with flangeway report DIR -o FILE.html and print it from a browser, to a PDF too"
	bookAdvice    = "write a workbook with flangeway check DIR -o FILE.xlsx, which every spreadsheet program opens"
	drawingAdvice = "drawings are SVG, which browsers and word processors show: --draw FILE.svg"
)

// foreign says for the endings of files that are never written what to use in their place.
func foreign(ending string) string {
	switch ending {
	case ".pdf", ".doc", ".docx", ".odt", ".rtf":
		return paperAdvice
	case ".ods", ".xls", ".xlsm", ".xlsb", ".numbers":
		return bookAdvice
	case ".png", ".jpg", ".jpeg", ".gif", ".tif", ".tiff", ".bmp", ".webp", ".dxf", ".dwg":
		return drawingAdvice
	}
	return ""
}

// writtenAs refuses an output file whose ending promises what is not written. own are the endings that are, any that
// is not foreign if there are none; elsewhere are those that another command writes, with its advice.
func writtenAs(flag, name string, own []string, elsewhere map[string]string) error {
	ending := strings.ToLower(filepath.Ext(name))
	if ending == "" {
		return nil
	}
	for _, e := range own {
		if e == ending {
			return nil
		}
	}
	advice := foreign(ending)
	if advice == "" {
		advice = elsewhere[ending]
	}
	switch {
	case advice != "":
		return usagef("%s %s: no %s file is written here (%s)", flag, name, ending, advice)
	case len(own) > 0:
		return usagef("%s %s: the ending %s names no form of a result (expected %s)", flag, name, ending,
			strings.Join(own, ", "))
	}
	return nil
}

// drawnAs refuses a name for a drawing that cannot be one, and a place where it cannot be written.
func drawnAs(name string) error {
	if name == "" {
		return nil
	}
	if ending := strings.ToLower(filepath.Ext(name)); foreign(ending) != "" {
		return usagef("--draw %s: no %s file is written (%s)", name, ending, drawingAdvice)
	}
	return writable(name)
}

// folderNamed refuses a folder to be made whose name promises a file that is not written.
func folderNamed(flag, name string) error {
	if ending := strings.ToLower(filepath.Ext(name)); foreign(ending) != "" {
		return usagef("%s %s: no %s file is written here (expected a new folder)", flag, name, ending)
	}
	return nil
}

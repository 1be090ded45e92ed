package main

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"golang.org/x/sys/unix"

	"flangeway/internal/measure"
)

// terminal opens a terminal of this width: the program's side and the reader's.
func terminal(t *testing.T, columns uint16) (program, reader *os.File) {
	t.Helper()
	reader, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("this system gives no terminals: ", err)
	}
	t.Cleanup(func() { reader.Close() })
	fd := int(reader.Fd())
	n, err := unix.IoctlGetInt(fd, unix.TIOCGPTN)
	if err != nil {
		t.Skip("this system gives no terminals: ", err)
	}
	if err := unix.IoctlSetPointerInt(fd, unix.TIOCSPTLCK, 0); err != nil {
		t.Fatal(err)
	}
	if err := unix.IoctlSetWinsize(fd, unix.TIOCSWINSZ, &unix.Winsize{Row: 24, Col: columns}); err != nil {
		t.Fatal(err)
	}
	if program, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0); err != nil {
		t.Skip("this system gives no terminals: ", err)
	}
	return program, reader
}

// Warnings and errors keep to the width of a terminal and break between words; elsewhere each is one line.
func TestMessagesFitTheTerminal(t *testing.T) {
	long := "wheels.csv:153:24: warning: flange_height 3/4 of WPV 1207 R4 is low for a flange: was it read " +
		"at the tape line?"
	program, reader := terminal(t, 60)
	list := []measure.Warning{{Place: measure.Place{File: "wheels.csv", Line: 153, Col: 24},
		Text: strings.TrimPrefix(long, "wheels.csv:153:24: warning: ")}}
	go func() {
		warn(program, list)
		program.Close()
	}()
	var words []string
	for in := bufio.NewScanner(reader); in.Scan(); {
		l := strings.TrimRight(in.Text(), "\r")
		if n := utf8.RuneCountInString(l); n > 60 {
			t.Errorf("%d characters on a terminal of 60: %q", n, l)
		}
		words = append(words, strings.Fields(l)...)
	}
	if got := strings.Join(words, " "); got != long {
		t.Errorf("the words are %q", got)
	}
	var b bytes.Buffer
	if warn(&b, list); b.String() != long+"\n" {
		t.Errorf("in a file: %q", b.String())
	}
}

// Help keeps to the width of a terminal and loses no word on it.
func TestHelpFitsTheTerminal(t *testing.T) {
	for _, args := range [][]string{{"--help"}, {"curve", "--help"}, {"explain", "--help"}, {"check", "--help"}} {
		whole, _, _ := runFor(t, args...)
		program, reader := terminal(t, 60)
		go func() {
			run(args, strings.NewReader(""), program, program)
			program.Close()
		}()
		var words []string
		for in := bufio.NewScanner(reader); in.Scan(); {
			l := strings.TrimRight(in.Text(), "\r")
			if n := utf8.RuneCountInString(l); n > 60 {
				t.Errorf("%s: %d characters on a terminal of 60: %q", args, n, l)
			}
			words = append(words, strings.Fields(l)...)
		}
		if got, want := strings.Join(words, " "), strings.Join(strings.Fields(whole), " "); got != want {
			t.Errorf("%s says other words on a terminal:\n%s\n%s", args, got, want)
		}
	}
}

// On a terminal the program keeps to its width and lets headings stand out; NO_COLOR takes that away.
func TestTerminalWidth(t *testing.T) {
	for _, c := range []struct {
		columns uint16
		noColor string
	}{{60, ""}, {60, "1"}, {100, ""}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			t.Setenv("NO_COLOR", c.noColor)
			t.Setenv("TERM", "xterm")
			program, reader := terminal(t, c.columns)
			code := make(chan int, 1)
			go func() {
				code <- run([]string{"shape", "--hollow", "3"}, strings.NewReader(""), program, program)
				program.Close()
			}()
			bold := false
			for in := bufio.NewScanner(reader); in.Scan(); {
				l := strings.TrimRight(in.Text(), "\r")
				bold = bold || strings.Contains(l, "\x1b[1m")
				l = strings.NewReplacer("\x1b[1m", "", "\x1b[0m", "").Replace(l)
				if n := utf8.RuneCountInString(l); n > int(c.columns) {
					t.Errorf("%d characters on a terminal of %d: %q", n, c.columns, l)
				}
			}
			if got := <-code; got != exitOK {
				t.Errorf("exit code %d", got)
			}
			if bold != (c.noColor == "") {
				t.Errorf("letters stand out: %v with NO_COLOR=%q", bold, c.noColor)
			}
		})
	}
}

// Command size makes the survey folders of the size measurements: invented readings, the same bytes on every machine.
// With -floor it measures instead what reading the decimals of a wheels.csv and counting them takes at least.
//
//	go run ./testdata/size -wheels 1600 -places 120 DIR
//	go run ./testdata/size -floor DIR
//
// The numbers say nothing of a real fleet.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	wheels := flag.Int("wheels", 1600, "`number` of wheels, a multiple of 8")
	places := flag.Int("places", 120, "`number` of places")
	floor := flag.Bool("floor", false, "read the decimals of DIR/wheels.csv and count them, nothing else")
	flag.Parse()
	if flag.NArg() != 1 || *wheels <= 0 || *wheels%8 != 0 || *places <= 0 {
		fmt.Fprintln(os.Stderr, "usage: size [-wheels N] [-places N] [-floor] DIR (wheels a multiple of 8)")
		os.Exit(2)
	}
	run := func() error { return makeSurvey(flag.Arg(0), *wheels, *places) }
	if *floor {
		run = func() error { return floorOf(flag.Arg(0)) }
	}
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "size:", err)
		os.Exit(1)
	}
}

// Command flangeway joins the track department's book and the car department's,
// and judges every wheel on every place.
package main

import "os"

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

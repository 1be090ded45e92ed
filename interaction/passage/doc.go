// Package passage takes a real wheel through a real frog and over a worn switch point,
// station by station.
package passage

// Package survey reads the folder that a survey is: railroad.yaml and all sheets, with one sorted list of everything
// that is wrong in them.
package survey

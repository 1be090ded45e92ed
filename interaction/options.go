package interaction

// Options narrow the pairs that are judged; empty means all.
type Options struct {
	Location string
	Car      string
	Check    string
	// NoLimits leaves out what each reading is against the limits by itself.
	NoLimits bool
	// Progress is told how much of a stage of long work is done; nil if nobody asks. It may be called by several
	// goroutines.
	Progress func(stage string, done, total int)
}

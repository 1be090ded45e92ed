//go:build !js && !pocketengine

package pocket

// Built is the engine that a release carries inside, packed, and what runs it; ok is false where the program was built
// without it.
func Built() (engine []byte, run string, ok bool) { return nil, "", false }

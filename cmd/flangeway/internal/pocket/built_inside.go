//go:build !js && pocketengine

package pocket

import _ "embed"

//go:embed built/engine.wasm.gz
var engineBuilt []byte

//go:embed built/wasm_exec.js
var execBuilt string

// Built is the engine that a release carries inside, packed, and what runs it.
func Built() (engine []byte, run string, ok bool) { return engineBuilt, execBuilt, true }

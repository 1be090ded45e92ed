package main

import "runtime/debug"

// Version is stamped by the release script; without it the build's own record serves.
var Version string

func version() string {
	if Version != "" {
		return Version
	}
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" || info.Main.Version == "(devel)" {
		return "unversioned build"
	}
	return info.Main.Version
}

package main

func floorOf(dir string) error { return nil }

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"sync/atomic"
)

// What the floor counts: plain decimals below floorValues, in a table for each column.
const (
	floorBlock  = 1 << 20
	floorValues = 1 << 17
	floorCells  = 32
)

// floorOf reads every cell of wheels.csv that begins with a digit as a decimal and counts how often each comes, on all
// cores: what any reading of the sheet takes at least in this language. It checks nothing and judges nothing.
func floorOf(dir string) error {
	f, err := os.Open(filepath.Join(dir, "wheels.csv"))
	if err != nil {
		return err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	blocks := (info.Size() + floorBlock - 1) / floorBlock
	var next, cells, different atomic.Int64
	var failed atomic.Value
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			counts := make([]int32, floorCells*floorValues)
			b := make([]byte, floorBlock+4096)
			n := int64(0)
			for k := next.Add(1) - 1; k < blocks; k = next.Add(1) - 1 {
				got, err := f.ReadAt(b, k*floorBlock)
				if err != nil && !errors.Is(err, io.EOF) {
					failed.Store(err)
					return
				}
				n += floorCount(b[:got], k > 0, got > floorBlock, counts)
			}
			cells.Add(n)
			for _, c := range counts {
				if c > 0 {
					different.Add(1)
				}
			}
		})
	}
	wait.Wait()
	if err, ok := failed.Load().(error); ok {
		return err
	}
	fmt.Printf("%d cells, %d different by core\n", cells.Load(), different.Load())
	return nil
}

// floorCount counts the decimals of the lines that begin in a block.
func floorCount(b []byte, inside, more bool, counts []int32) (cells int64) {
	i, end := 0, len(b)
	if inside {
		i = bytes.IndexByte(b, '\n') + 1
	}
	if more {
		end = floorBlock + bytes.IndexByte(b[floorBlock:], '\n') + 1
	}
	column := 0
	for i < end {
		if d := b[i] - '0'; d <= 9 {
			v := 0
			for ; i < end; i++ {
				if d = b[i] - '0'; d <= 9 {
					v = v*10 + int(d)
				} else if b[i] != '.' {
					break
				}
			}
			counts[column%floorCells*floorValues+v%floorValues]++
			cells++
		}
		for i < end && b[i] != ',' && b[i] != '\n' {
			i++
		}
		if i < end && b[i] == '\n' {
			column = -1
		}
		column++
		i++
	}
	return cells
}

package main

import (
	"os"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
)

// How much garbage a run lets pile up: so much whatever it holds, and a share of that. Most of what it holds are rows without pointers,
// which a collection does not look at, so that collections are cheap in a large run (DEVELOPERS.md, Measured).
const (
	garbageBytes   = 16 << 20
	garbagePercent = 8
	mostPercent    = 50 // of what is held; a choice of this program, as the others

	returnedBytes = 64 << 20 // a run that took less has little to give back, and soon asks for it again
)

// garbagePercentOf is the garbage that is let pile up, in per cent of what is held.
func garbagePercentOf(heldBytes uint64) int {
	if heldBytes == 0 {
		return mostPercent
	}
	return int(min(mostPercent, garbagePercent+100*garbageBytes/heldBytes))
}

// isGOGCSet tells whether whoever runs the program decided with GOGC how much garbage a run lets pile up.
func isGOGCSet() bool {
	_, set := os.LookupEnv("GOGC")
	return set
}

// paceCollections lets less garbage pile up the more a run holds, after every collection anew. Whoever sets GOGC decides instead, and a
// GOMEMLIMIT holds beside it.
func paceCollections() {
	if isGOGCSet() {
		return
	}
	held := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	now := mostPercent
	debug.SetGCPercent(now)
	var pace func()
	pace = func() {
		metrics.Read(held)
		if percent := garbagePercentOf(held[0].Value.Uint64()); percent != now {
			now = percent
			debug.SetGCPercent(now)
		}
		runtime.SetFinalizer(new([32]byte), func(*[32]byte) { pace() }) // which the next collection finds
	}
	pace()
}

// returnMemory gives back to the system what a stage took that has ended, where that is much and nobody set GOGC.
func returnMemory() {
	taken := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
	if metrics.Read(taken); !isGOGCSet() && taken[0].Value.Uint64()-taken[1].Value.Uint64() > returnedBytes {
		debug.FreeOSMemory()
	}
}

//go:build race

package read

// raceDetector tells whether the tests run with it.
const raceDetector = true

package report

import (
	"errors"
	"os"
	"time"

	"golang.org/x/sys/windows"
)

// link makes no second name: while a program has the file open, such as a spreadsheet, neither name could be taken away again. So old
// files are moved aside, which such a program refuses before anything is changed.
func link(string, string) error { return errors.ErrUnsupported }

// For how long a rename is tried again, and how often: programs that look at each new file, as those against viruses do, hold it for a moment.
const (
	renamesFor  = time.Second
	renamePause = 50 * time.Millisecond
)

func rename(old, new string) error {
	for began := time.Now(); ; time.Sleep(renamePause) {
		err := os.Rename(old, new)
		held := errors.Is(err, windows.ERROR_SHARING_VIOLATION) || errors.Is(err, windows.ERROR_ACCESS_DENIED)
		if !held || time.Since(began) > renamesFor {
			return err
		}
	}
}

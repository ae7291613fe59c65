package report

import (
	"io/fs"
	"os"

	"golang.org/x/sys/windows"
)

// What to open a file with. There are no such flags.
const noFollow, noWait = 0, 0

// namesOf counts the names that an open file has.
func namesOf(file *os.File, _ fs.FileInfo) (uint64, error) {
	var info windows.ByHandleFileInformation
	err := windows.GetFileInformationByHandle(windows.Handle(file.Fd()), &info)
	return uint64(info.NumberOfLinks), err
}

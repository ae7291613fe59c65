package report

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"runtime"
	"syscall"
)

// disk is all that writing outputs asks of the file system, so that a test can refuse or stop it between any two
// operations.
type disk interface {
	// Mkdir makes a folder that is not there yet.
	Mkdir(path string) error
	// Create makes a file that is not there yet.
	Create(path string) (diskFile, error)
	// Link gives a file a second name that is not there yet.
	Link(old, new string) error
	// Rename gives a file another name, and takes that from the file that has it.
	Rename(old, new string) error
	// Remove removes a file or an empty folder.
	Remove(path string) error
	// SyncFolder sees the names in a folder onto the disk.
	SyncFolder(path string) error
	// Lstat and ReadDir are those of package os.
	Lstat(path string) (fs.FileInfo, error)
	ReadDir(path string) ([]fs.DirEntry, error)
	// ReadFile reads a regular file.
	ReadFile(path string) ([]byte, error)
}

type diskFile interface {
	io.Writer
	io.WriterAt
	// Sync sees what was written onto the disk.
	Sync() error
	io.Closer
}

// realDisk is the file system.
type realDisk struct{}

func (realDisk) Mkdir(path string) error                    { return os.Mkdir(path, 0o777) }
func (realDisk) Link(old, new string) error                 { return link(old, new) }
func (realDisk) Rename(old, new string) error               { return rename(old, new) }
func (realDisk) Remove(path string) error                   { return os.Remove(path) }
func (realDisk) Lstat(path string) (fs.FileInfo, error)     { return os.Lstat(path) }
func (realDisk) ReadDir(path string) ([]fs.DirEntry, error) { return os.ReadDir(path) }

func (realDisk) Create(path string) (diskFile, error) {
	return os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666)
}

func (realDisk) ReadFile(path string) ([]byte, error) {
	file, err := openRegular(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(file)
}

// openRegular opens a file for reading, and no pipe or device, of which reading might never end.
func openRegular(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_RDONLY|noWait, 0)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = &fs.PathError{Op: "open", Path: path, Err: errNotRegular}
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

var errNotRegular = errors.New("is no regular file")

// SyncFolder does nothing where folders cannot be synced: on Windows, and on file systems that refuse it.
func (realDisk) SyncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	err = folder.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, errors.ErrUnsupported) {
		err = nil
	}
	return errors.Join(err, folder.Close())
}

// exists tells whether a name is taken, by whatever it is.
func exists(d disk, path string) (bool, error) {
	_, err := d.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// removeIfThere removes a file or an empty folder that may be gone already.
func removeIfThere(d disk, path string) error {
	if err := d.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

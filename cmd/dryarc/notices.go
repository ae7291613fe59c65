package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"
	"strings"
)

// noticesFolder holds the licence texts of all that any build of the program links, in a folder for each module and
// version. The test of the notices writes it.
//
//go:embed notices
var noticesFolder embed.FS

// standardLibrary is the folder of the standard library among the notices; its texts are those of every version of Go.
const standardLibrary = "go"

// dataNotices tell of the data in the program that come from others.
const dataNotices = `The parameters of coordinate systems are those of the EPSG Geodetic Parameter Dataset of IOGP, the International
Association of Oil & Gas Producers, as PROJ 9.1 has them. They were chosen, shortened and written anew for this program.
`

// noticeFolder is the folder of a module's licence texts.
func noticeFolder(module, version string) string { return module + "@" + version }

// writeNotices writes the licence texts of the standard library and of each module that a program was built from, and
// the notices of data. A module without a text is an error, as a list that is not whole would look whole.
func writeNotices(w io.Writer, build *debug.BuildInfo, texts fs.FS) error {
	var b strings.Builder
	fmt.Fprintf(&b, "dryarc contains the libraries below, each under its own licence.\n\n%s", dataNotices)
	if err := addNotices(&b, "Go standard library "+build.GoVersion, texts, standardLibrary); err != nil {
		return err
	}
	for _, module := range build.Deps {
		if err := addNotices(&b, module.Path+" "+module.Version, texts, noticeFolder(module.Path, module.Version)); err != nil {
			return err
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// addNotices adds every text of a folder under a heading.
func addNotices(b *strings.Builder, title string, texts fs.FS, folder string) error {
	err := fs.WalkDir(texts, folder, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(texts, file)
		if err != nil {
			return err
		}
		fmt.Fprintf(b, "\n%s\n%s: %s\n\n%s", strings.Repeat("=", 80), title, strings.TrimPrefix(file, folder+"/"), text)
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is no licence text of %s", title)
	}
	return err
}

// printNotices writes the notices of the running program.
func printNotices(w io.Writer) error {
	build, ok := debug.ReadBuildInfo()
	if !ok {
		return errors.New("the program does not know what it was built from")
	}
	texts, err := fs.Sub(noticesFolder, "notices")
	if err != nil {
		return err
	}
	return writeNotices(w, build, texts)
}

// Command linegen writes a project of invented lines for measurements: as many structures as wanted, with zones and a
// register of three rows a structure. The same options always give the same project. Every file is written as it comes, so that no size takes
// more memory than another, but for the names of lines in a workbook.
//
//	go run ./cmd/linegen --structures 100000 DIR
//	go run ./cmd/dryarc audit DIR/audit.yaml
package main

import (
	"fmt"
	"os"
	"strconv"

	"github.com/alecthomas/kong"
)

type options struct {
	Structures int    `default:"100000" placeholder:"N" help:"Structures, in lines of 300 (default: ${default})."`
	Sheets     int    `default:"1" placeholder:"N" help:"Sheets or CSV files that hold the assemblies (default: ${default}); there are more where a sheet would have more than 1 048 575 rows, and more workbooks where one would have more than ${books} of them."`
	CSV        bool   `name:"csv" help:"Write the register as CSV files rather than a workbook."`
	Dir        string `arg:"" help:"Folder to write to; it is made where there is none."`
}

func main() {
	var o options
	kong.Parse(&o, kong.Name("linegen"), kong.Description("Write a project of invented lines for measurements."), kong.Vars{"books": strconv.Itoa(sheetsPerBook)})
	if err := write(o); err != nil {
		fmt.Fprintln(os.Stderr, "linegen:", err)
		os.Exit(1)
	}
}

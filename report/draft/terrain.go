package draft

import (
	"fmt"
	"slices"
)

// rasters are files of which the same is known and the same is open.
type rasters struct {
	paths []string
	of    [2]string // system and vertical datum that they name; empty for none
	why   string    // of the first
}

// raster takes up a raster of ground levels, with those that tell the same of themselves.
func (d *draft) raster(s source) {
	look := s.look.Raster
	if look.Refused != "" {
		d.leave(s.path, "is not read as a raster of ground levels: "+look.Refused)
		return
	}
	of := [2]string{look.System, look.Vertical}
	i := slices.IndexFunc(d.rasters, func(r rasters) bool { return r.of == of })
	if i < 0 {
		i = len(d.rasters)
		d.rasters = append(d.rasters, rasters{of: of, why: fmt.Sprintf("%s of %d by %d samples", s.look.Format, look.Width, look.Height)})
	}
	d.rasters[i].paths = append(d.rasters[i].paths, s.path)
}

// terrain writes the section of rasters, whose levels structures take that state none. Without a system, or without structures, it is all a question.
func (d *draft) terrain(to *page) {
	if len(d.rasters) == 0 {
		return
	}
	placed := slices.ContainsFunc(d.parts, func(p *part) bool { return p.section == "structures" && !p.asked })
	isAsked := func(r rasters) bool { return !placed || r.of[0] == "" }
	say := func(asked bool) func(int, string, string) {
		if asked {
			return to.ask
		}
		return to.add
	}
	to.WriteString("\n")
	say(!slices.ContainsFunc(d.rasters, func(r rasters) bool { return !isAsked(r) }))(0, "terrain:", "ground levels, for structures that state none: where rasters overlap the first that has a level gives it")
	for _, r := range d.rasters {
		asked := isAsked(r)
		line := say(asked)
		if len(r.paths) == 1 {
			line(1, "- file: "+quotedPath(r.paths[0]), r.why)
		} else {
			line(1, "- file:", r.why+", the first")
			for _, path := range r.paths {
				line(3, "- "+quotedPath(path), "")
			}
		}
		if r.of[0] == "" {
			to.ask(2, "crs: EPSG:0", "which system are the positions of its samples in? The file does not say, dryarc read --systems lists those that are read")
		} else {
			to.remark(2, "positions in "+r.of[0])
		}
		if r.of[1] == "" {
			to.ask(2, `vertical: "?"`, "above which datum are the levels, such as EGM2008? The file does not say; as long as nothing is said here, they are taken to be above that of the other levels")
		} else {
			to.remark(2, "levels above "+r.of[1])
		}
		to.ask(2, `accuracy_m: "?"`, "standard error of a level in metres, as its maker states it; as long as nothing is said here, what rests on the levels is judged as computed")
		to.ask(2, "surface: true", "are they levels of a surface model, with trees and roofs?")
	}
}

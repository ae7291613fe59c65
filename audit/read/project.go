package read

import (
	"context"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Project reads the project file at path and every input it names. The error is a *ProjectFileError, an *InputError
// or the context's own.
func Project(ctx context.Context, path string) (*audit.Project, error) {
	file, err := readProjectFile(path)
	if err != nil {
		return nil, err
	}
	p := &audit.Project{
		Title: file.title, File: path, Criteria: file.criteria,
		Makeups: make([]audit.Makeup, 1), Units: basis.Catalogue(), Conductors: basis.Conductors(),
		RegisterGiven: len(file.register.files) > 0,
	}
	extent, err := readStructures(ctx, file, p)
	if err != nil {
		return nil, err
	}
	course, err := readRoutes(ctx, file, p)
	if err != nil {
		return nil, err
	}
	if p.RoutesAlone {
		extent = course
	}
	if err := readZones(ctx, file, p, extent); err != nil {
		return nil, err
	}
	if err := readCrossings(ctx, file, p); err != nil {
		return nil, err
	}
	if err := readRegister(ctx, file, p); err != nil {
		return nil, err
	}
	nameConductors(p, file.structures.conductorAhead)
	return p, nil
}

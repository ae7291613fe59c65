package read

import (
	"context"
	"os"
	"sync"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// Project reads the project file at path and every input it names. The error is a *ProjectFileError, an *InputError
// or the context's own.
func Project(ctx context.Context, path string) (*audit.Project, error) {
	p, _, err := readProject(ctx, path)
	if err != nil {
		return nil, err
	}
	return p, nil
}

// ForScope reads a project as Project does, and the zones files of its scenarios too. Project leaves out scenarios that have one: nothing
// of what they name tells on an audit.
func ForScope(ctx context.Context, path string) (*audit.Project, error) {
	file, err := readProjectFile(path)
	if err != nil {
		return nil, err
	}
	file.forScope = true
	p, _, err := file.read(ctx, path)
	if err != nil {
		return nil, err
	}
	return p, nil
}

// readProject reads the layers and the register at the same time. Tables, inputs and faults stand in the order of the
// project file all the same, and so do their errors.
func readProject(ctx context.Context, path string) (*audit.Project, []Understanding, error) {
	file, err := readProjectFile(path)
	if err != nil {
		return nil, nil, err
	}
	return file.read(ctx, path)
}

func (file *projectFile) read(ctx context.Context, path string) (*audit.Project, []Understanding, error) {
	removeLeftovers(os.TempDir())
	if problem := file.findFiles(path); problem != nil {
		problem.File = path
		return nil, nil, problem
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	defer file.databases.Close()
	if err := file.holdDatabases(ctx); err != nil {
		return nil, nil, err
	}
	layers, register := half{projectFile: file}, half{projectFile: file}
	gis, p := &audit.Project{}, file.newProject(path)
	var layersErr, registerErr error
	var both sync.WaitGroup
	both.Go(func() {
		var trouble problems
		if layersErr = readLayers(ctx, &layers, gis); trouble.stop(layersErr) {
			cancel()
		}
	})
	registerErr = readRegister(ctx, &register, p)
	if register.mergedLate && ctx.Err() == nil {
		register, p = half{projectFile: file, mergedFirst: true}, file.newProject(path)
		registerErr = readRegister(ctx, &register, p)
	}
	if registerErr == nil && ctx.Err() == nil {
		registerErr = readInspections(ctx, &register, p)
	}
	both.Wait()
	understood := append(layers.understood, register.understood...)
	var trouble problems
	for _, failed := range [...]error{layersErr, registerErr, joinLayers(p, gis)} {
		if trouble.stop(failed) {
			break
		}
	}
	if err := trouble.err(); err != nil {
		return p, understood, err
	}
	noteSame(p)
	if err := refuseTwice(p.Inputs); err != nil {
		return p, understood, err
	}
	nameConductors(p, file.structures.conductorAhead)
	p.WordsTwice = file.words.twice(p)
	if problem := file.overlay(p, register.lineCells); problem != nil {
		problem.File = path
		return p, understood, problem
	}
	return p, understood, nil
}

// newProject is a project of which only the project file is known.
func (file *projectFile) newProject(path string) *audit.Project {
	var taken []string
	if file.moments != "" {
		taken = append(taken, file.moments)
	}
	var files []audit.FileList
	for i, list := range file.lists() {
		taken = append(taken, list.taken...)
		if len(list.asStated) > 0 {
			files = append(files, audit.FileList{Section: file.sectionOf(i), Names: list.names(file.folder), LeavesOut: list.leavesOut})
		}
	}
	return &audit.Project{
		FilesTaken: taken, Files: files,
		Title: file.title, File: path, Criteria: file.criteria, Reading: file.reading(), Tables: make([]audit.Table, file.layerCount()),
		Makeups: make([]audit.Makeup, 1), Units: basis.Catalogue(), Conductors: basis.Conductors(),
		Decisions:     file.decisionsPath(),
		Write:         file.write,
		RegisterGiven: len(file.register.files()) > 0 && !file.register.scheduleOnly,
	}
}

// layerCount is the number of tables that the layers have: one for each file.
func (file *projectFile) layerCount() int {
	count := len(file.structures.files) + len(file.routes.files) + len(file.zones.files) + len(file.crossings.files) + len(file.places.files) + len(file.terrain.files())
	for _, s := range file.withZones() {
		count += len(s.zones.in.files)
	}
	return count
}

// readLayers reads every layer. Where one cannot be used the others are read all the same, to tell what is wrong with them; what
// rests on the structures is then left out.
func readLayers(ctx context.Context, f *half, p *audit.Project) error {
	var trouble problems
	var zones zonesBeside
	zones.start(ctx, f)
	defer zones.reading.Wait()
	structures, err := readStructures(ctx, f, p)
	p.Structures.Trim()
	if trouble.stop(err) {
		return trouble.err()
	}
	if trouble.stop(readGround(ctx, f, p)) {
		return trouble.err()
	}
	routes, err := readRoutes(ctx, f, p)
	if trouble.stop(err) {
		return trouble.err()
	}
	if p.RoutesAlone {
		structures = routes
	}
	if trouble.err() != nil {
		structures = extent{nothing(), nothing(), nil}
	}
	if trouble.stop(zones.end(f, p, structures)) {
		return trouble.err()
	}
	if trouble.err() == nil {
		distrustExchanged(p, structures.Bound)
	}
	if trouble.stop(readCrossings(ctx, f, p)) {
		return trouble.err()
	}
	if trouble.stop(readPlaces(ctx, f, p)) {
		return trouble.err()
	}
	for _, s := range f.withZones() {
		before := len(p.Inputs)
		if trouble.stop(s.zones.read(ctx, f, p, structures)) {
			break
		}
		for i := range p.Inputs[before:] {
			if input := &p.Inputs[before+i]; input.Section != "" {
				input.Section = "scenario " + s.name
			}
		}
	}
	if trouble.err() == nil {
		trouble.add(f.checkDegrees(p, structures.eitherWay))
	}
	if trouble.err() == nil {
		doubtApart(p)
	}
	return trouble.err()
}

// joinLayers adds what the layers gave to a project whose first tables are kept free for them. Symbols and texts are
// numbered anew.
func joinLayers(p, gis *audit.Project) error {
	copy(p.Tables, gis.Tables)
	p.Inputs = append(gis.Inputs, p.Inputs...)
	gis.Faults.Merge(&p.Faults)
	p.Faults = gis.Faults
	p.Structures, p.Rooms, p.Routes, p.Zones, p.Crossings, p.Places = gis.Structures, gis.Rooms, gis.Routes, gis.Zones, gis.Crossings, gis.Places
	p.Terrain = gis.Terrain
	p.SignsTaken = append(gis.SignsTaken, p.SignsTaken...)
	p.RoutesAlone, p.CrossingsGiven = gis.RoutesAlone, gis.CrossingsGiven
	p.RoutesUnnamed, p.LostStructures, p.UnplacedStructures = gis.RoutesUnnamed, gis.LostStructures, gis.UnplacedStructures
	known := map[audit.Symbol]audit.Symbol{}
	symbol := func(s audit.Symbol) audit.Symbol {
		n, ok := known[s]
		if !ok {
			n = p.Symbols.Number(gis.Symbols.Text(s))
			known[s] = n
		}
		return n
	}
	p.Carried.Merge(&gis.Carried, symbol)
	err := p.Structures.Renumber(symbol, func(at audit.TextAt) (audit.TextAt, error) { return p.Texts.Add(gis.Texts.Get(at)) })
	if err != nil {
		return &InputError{File: p.Tables[0].File, Message: err.Error(), Err: err, Hint: fullHint}
	}
	for i := range p.Routes {
		p.Routes[i].Line = symbol(p.Routes[i].Line)
	}
	for i := range p.Crossings {
		p.Crossings[i].Kind = symbol(p.Crossings[i].Kind)
	}
	for i := range p.Places {
		p.Places[i].Name = symbol(p.Places[i].Name)
	}
	return nil
}

const fullHint = "divide the inputs and audit a part of the lines at a time"

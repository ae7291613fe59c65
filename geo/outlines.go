package geo

import "sync"

// Outlines keeps what is prepared of polygons, so that areas of the same polygons, of another rank or key perhaps, are prepared once. A
// polygon is the same where its coordinates stand at the same place in memory; they must not change. The zero value is ready and safe for
// use by many goroutines; nil keeps nothing.
type Outlines struct {
	mutex    sync.Mutex
	prepared map[outline]bands
}

// outline tells a polygon from others.
type outline struct {
	first         *float64
	figures, ends int
}

func outlineOf(p Polygon) outline { return outline{&p.Flat[0], len(p.Flat), len(p.Ends)} }

// bandsOf prepares a polygon, or gives what was prepared of it; ok is false where it is none.
func (o *Outlines) bandsOf(p Polygon) (b bands, ok bool) {
	if o != nil && len(p.Flat) > 0 {
		o.mutex.Lock()
		b, ok = o.prepared[outlineOf(p)]
		o.mutex.Unlock()
		if ok {
			return b, true
		}
	}
	rings, err := p.rings()
	if err != nil {
		return bands{}, false
	}
	b = newBands(p, rings)
	if o != nil {
		o.mutex.Lock()
		defer o.mutex.Unlock()
		if o.prepared == nil {
			o.prepared = map[outline]bands{}
		}
		o.prepared[outlineOf(p)] = b
	}
	return b, true
}

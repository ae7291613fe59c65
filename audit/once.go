package audit

import (
	"sync"
	"sync/atomic"
)

// once keeps values that many share once each, so that what has one of them holds a small number. Values may be kept and asked for
// by several goroutines; which number a value has may differ from run to run. The zero value is ready.
type once[T comparable] struct {
	mutex  sync.Mutex
	places map[T]uint32
	values atomic.Pointer[[]T]
}

// keep returns the number of a value, a new one if the value is new.
func (o *once[T]) keep(value T) uint32 {
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if at, kept := o.places[value]; kept {
		return at
	}
	var values []T
	if before := o.values.Load(); before != nil {
		values = *before
	} else {
		o.places = map[T]uint32{}
	}
	at := uint32(len(values))
	values = append(values, value) // beyond what anybody reads of an earlier slice
	o.values.Store(&values)
	o.places[value] = at
	return at
}

// get returns the value of a number.
func (o *once[T]) get(at uint32) T { return (*o.values.Load())[at] }

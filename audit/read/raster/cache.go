package raster

import "container/list"

// cacheBytes is how much of a file is held decoded, and largestBlock how much one block of it may take (choices of this program). One
// block is held whatever its size.
const (
	cacheBytes   = 64 << 20
	largestBlock = 64 << 20
)

// cache holds the blocks that were asked for last.
type cache[T any] struct {
	order list.List // the latest first
	at    map[uint64]*list.Element
	bytes int
}

type cached[T any] struct {
	key   uint64
	block T
	bytes int
}

// get returns a block, made anew where it is not held.
func (c *cache[T]) get(key uint64, decode func() (T, int, error)) (T, error) {
	if e, ok := c.at[key]; ok {
		if e != c.order.Front() {
			c.order.MoveToFront(e)
		}
		return e.Value.(*cached[T]).block, nil
	}
	block, size, err := decode()
	if err != nil {
		return block, err
	}
	if c.at == nil {
		c.at = map[uint64]*list.Element{}
	}
	c.at[key] = c.order.PushFront(&cached[T]{key, block, size})
	for c.bytes += size; c.bytes > cacheBytes && c.order.Len() > 1; {
		last := c.order.Remove(c.order.Back()).(*cached[T])
		delete(c.at, last.key)
		c.bytes -= last.bytes
	}
	return block, nil
}

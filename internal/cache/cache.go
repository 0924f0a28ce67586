// Package cache keeps the results of stages by a hash of all that they were made from: in memory for a process that goes on,
// and on disk between runs of the command line.
//
//	key := c.KeyOf("order", cache.Input{"stops", stops}, cache.Input{"options", opt})
//	plan, err := cache.Get(c, key, func() (order.Plan, error) { return order.Sequence(stops, opt) })
//
// A result is shared by all who ask for it, so it must not be changed. A nil Cache keeps nothing, and every result is made.
// What is kept is never needed: an entry that is damaged, of another program, or gone is made again.
package cache

import (
	"sync"
	"sync/atomic"
)

// runsKept is how many runs a result stays in memory without being asked for.
const runsKept = 16

// Cache holds results. It may be used from many goroutines.
type Cache struct {
	mu       sync.Mutex
	kept     map[Key]*entry
	run      int
	disk     *disk // nil: memory only
	hits     atomic.Int64
	misses   atomic.Int64
	leaveOut func(stage, input string) bool // see LeaveOut
}

// LeaveOut makes keys that leave out the inputs of which it is told so. That is wrong: it is for tests of whether a stage's
// inputs are all in its key.
func (c *Cache) LeaveOut(input func(stage, input string) bool) { c.leaveOut = input }

type entry struct {
	value any
	run   int // that asked for it last
}

// New keeps results in memory.
func New() *Cache { return &Cache{kept: map[Key]*entry{}} }

// Begin starts a run: what sixteen runs have not asked for is forgotten.
func (c *Cache) Begin() {
	if c == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.run++
	for k, e := range c.kept {
		if e.run < c.run-runsKept {
			delete(c.kept, k)
		}
	}
}

// Counts are how often results were found, and how often they had to be made.
func (c *Cache) Counts() (found, made int64) {
	if c == nil {
		return 0, 0
	}
	return c.hits.Load(), c.misses.Load()
}

func (c *Cache) recall(key Key) (any, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	e, ok := c.kept[key]
	if !ok {
		return nil, false
	}
	e.run = c.run
	return e.value, true
}

func (c *Cache) remember(key Key, value any) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.kept[key] = &entry{value, c.run}
}

// Get is the result of a key: from memory, from disk, or made and kept. An error is not kept.
func Get[T any](c *Cache, key Key, make func() (T, error)) (T, error) {
	if c == nil {
		return make()
	}
	return get(c, key, true, make)
}

// GetHere is Get for results that are kept in memory only.
func GetHere[T any](c *Cache, key Key, make func() (T, error)) (T, error) {
	if c == nil {
		return make()
	}
	return get(c, key, false, make)
}

func get[T any](c *Cache, key Key, onDisk bool, make func() (T, error)) (T, error) {
	if v, ok := c.recall(key); ok {
		c.hits.Add(1)
		return v.(T), nil
	}
	var out T
	if onDisk && c.disk.read(key, &out) {
		c.hits.Add(1)
		c.remember(key, out)
		return out, nil
	}
	c.misses.Add(1)
	out, err := make()
	if err != nil {
		return out, err
	}
	c.remember(key, out)
	if onDisk {
		c.disk.write(key, &out)
	}
	return out, nil
}

// Each is the results of many keys. In memory each is kept by itself; on disk all of them together, as one entry. Make gets
// the places of those that are wanting, and returns their results in that order.
func Each[T any](c *Cache, keys []Key, make func(wanting []int) ([]T, error)) ([]T, error) {
	out, wanting := recallAll[T](c, keys)
	if c != nil && len(wanting) == len(keys) && len(keys) > 0 {
		var all []T
		if c.disk.read(c.KeyOf("together", Input{"keys", keys}), &all) && len(all) == len(keys) {
			c.hits.Add(int64(len(keys)))
			for i := range all {
				c.remember(keys[i], all[i])
			}
			return all, nil
		}
	}
	if len(wanting) > 0 {
		made, err := make(wanting)
		if err != nil {
			return nil, err
		}
		for k, i := range wanting {
			out[i] = made[k]
			if c != nil {
				c.misses.Add(1)
				c.remember(keys[i], made[k])
			}
		}
		if c != nil {
			c.disk.write(c.KeyOf("together", Input{"keys", keys}), &out)
		}
	}
	return out, nil
}

func recallAll[T any](c *Cache, keys []Key) (out []T, wanting []int) {
	out = make([]T, len(keys))
	for i, key := range keys {
		if c != nil {
			if v, ok := c.recall(key); ok {
				c.hits.Add(1)
				out[i] = v.(T)
				continue
			}
		}
		wanting = append(wanting, i)
	}
	return out, wanting
}

package balance

// loader lists the loads of one station worth while after a set of tasks is done: those to which nothing can be added
// and in which no task could be changed for a better one.
type loader struct {
	line   *line
	takt   int64
	done   *set
	load   set
	chosen []int // its tasks
	list   []int // tasks that may be chosen, in the order in which they came free
	rest   int64 // time of the tasks that are neither done nor chosen nor left out
	steps  int64
	most   int64                            // steps after which it gives up
	gaveUp bool                             // not every load was listed
	all    bool                             // list loads with tasks that could be changed for better ones too
	each   func(load *set, idle int64) bool // false: enough
	stop   bool
}

// run lists the loads after done; rest is the time of all tasks that are not done.
func (d *loader) run(done *set, rest int64) {
	d.done, d.load, d.rest, d.stop, d.gaveUp, d.steps = done, set{}, rest, false, false, 0
	d.list, d.chosen = d.list[:0], d.chosen[:0]
	for i := range d.line.time {
		if !done.has(i) && d.line.before[i].within(done, done) {
			d.list = append(d.list, i)
		}
	}
	d.from(0, d.takt, d.takt+1)
}

// from decides on the tasks of the list from k on. shortest is the shortest time left out though it fitted.
func (d *loader) from(k int, room, shortest int64) {
	for k < len(d.list) && d.line.time[d.list[k]] > room {
		k++
	}
	if d.steps++; d.steps > d.most {
		d.gaveUp, d.stop = true, true
	}
	switch {
	case d.stop, room-d.rest >= shortest: // even with all that is undecided, one that was left out would fit
		return
	case k == len(d.list):
		if room < shortest && (d.all || !d.exchangeable(room)) {
			d.stop = !d.each(&d.load, room)
		}
		return
	}
	i, t, known := d.list[k], d.line.time[d.list[k]], len(d.list)
	d.rest -= t
	d.load.add(i)
	d.chosen = append(d.chosen, i)
	for _, j := range d.line.next[i] {
		if d.line.before[j].within(d.done, &d.load) {
			d.list = append(d.list, j)
		}
	}
	d.from(k+1, room-t, shortest)
	d.list = d.list[:known]
	d.load.remove(i)
	d.chosen = d.chosen[:len(d.chosen)-1]
	if d.stop {
		return
	}
	d.from(k+1, room, min(shortest, t))
	d.rest += t
}

// exchangeable says whether a task that could have been chosen beats one of the load and would fit in its place.
func (d *loader) exchangeable(room int64) bool {
	for _, j := range d.list {
		if d.load.has(j) {
			continue
		}
		least, beaten := d.line.time[j]-room, &d.line.beats[j]
		for _, i := range d.chosen {
			if d.line.time[i] >= least && beaten.has(i) {
				return true
			}
		}
	}
	return false
}

package balance

// bound is a number of stations that no line at the takt goes below.
func (s *search) bound() int {
	return packed(s.line.time, s.takt)
}

// packed bounds the number of stations for tasks in falling order of time, whatever they come after. For each time p up
// to half a takt, tasks longer than takt - p stand alone, tasks longer than half a takt are apart from each other, and
// what of the tasks from p on does not fit beside those needs stations of its own (the bin-packing bound L2 of Martello
// and Toth, from memory). p = 0 is the plain sum.
func packed(falling []int64, takt int64) int {
	best := ceil(total(falling), takt)
	for i := len(falling) - 1; i >= 0; i-- {
		p := falling[i]
		if 2*p > takt {
			break
		}
		if i+1 < len(falling) && falling[i+1] == p {
			continue
		}
		alone, apart, room, rest := int64(0), int64(0), int64(0), int64(0)
		for _, t := range falling {
			switch {
			case t > takt-p:
				alone++
			case 2*t > takt:
				apart++
				room += takt - t
			case t >= p:
				rest += t
			}
		}
		n := alone + apart
		if rest > room {
			n += ceil64(rest-room, takt)
		}
		best = max(best, int(n))
	}
	alone := int64(0)
	for _, t := range falling {
		if 2*t > takt {
			alone++
		}
	}
	return max(best, int(alone), thirds(falling, takt))
}

// thirds counts tasks longer than two thirds of a takt whole, those of two thirds as 2/3, longer than a third as a half
// and those of a third as 1/3 (bound LM3, from memory). It counts in sixths.
func thirds(times []int64, takt int64) int {
	sixths := int64(0)
	for _, t := range times {
		switch {
		case 3*t > 2*takt:
			sixths += 6
		case 3*t == 2*takt:
			sixths += 4
		case 3*t > takt:
			sixths += 3
		case 3*t == takt:
			sixths += 2
		}
	}
	return int(ceil64(sixths, 6))
}

func total(times []int64) int64 {
	sum := int64(0)
	for _, t := range times {
		sum += t
	}
	return sum
}

func ceil(sum, takt int64) int { return int(ceil64(sum, takt)) }

func ceil64(a, b int64) int64 { return (a + b - 1) / b }

// leastTakt is a takt that no line of so many stations goes below: the longest task, the even share, and for each k the
// k+1 shortest of the k x stations + 1 longest tasks, of which some station gets that many.
func (l *line) leastTakt(stations int) int64 {
	low := max(l.time[0], ceil64(l.total, int64(stations)))
	for k := 1; k*stations < len(l.time); k++ {
		sum := int64(0)
		for i := range k + 1 {
			sum += l.time[k*stations-i]
		}
		low = max(low, sum)
	}
	return low
}

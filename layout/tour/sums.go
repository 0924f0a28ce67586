package tour

// sums answers what a list adds up to before each of its places. It is kept in blocks: where a stretch of it changes, only the
// stretch's blocks are added up anew.
type sums struct {
	each   []float64
	within []float64 // before each place, from its block's first on
	before []float64 // before each block
}

const blockBits = 6 // of a place within its block

func sumsOf(n int) sums {
	return sums{make([]float64, n), make([]float64, n), make([]float64, n>>blockBits+1)}
}

// to is the sum of all before place i.
func (s *sums) to(i int) float64 { return s.before[i>>blockBits] + s.within[i] }

// add adds up again after the values of the places from first to last have changed.
func (s *sums) add(first, last int) {
	block := first >> blockBits
	for at := block << blockBits; at < len(s.each); block++ {
		end := min(at+1<<blockBits, len(s.each))
		sum := 0.0
		if at <= last {
			for ; at < end; at++ {
				s.within[at] = sum
				sum += s.each[at]
			}
		} else {
			at = end
			sum = s.within[end-1] + s.each[end-1]
		}
		if block+1 < len(s.before) {
			s.before[block+1] = s.before[block] + sum
		}
	}
}

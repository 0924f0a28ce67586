package stations

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/seams/shell"
)

// order puts each station after those that make what arrives at it; of those that could come next the file's
// first one does.
func order(list []shell.Station) ([]shell.Station, error) {
	before := waits(list)
	done := make([]bool, len(list))
	var sorted []shell.Station
	for len(sorted) < len(list) {
		next := -1
		for i := range list {
			if !done[i] && !slices.ContainsFunc(before[i], func(j int) bool { return !done[j] }) {
				next = i
				break
			}
		}
		if next < 0 {
			return nil, fmt.Errorf("stations: %s wait for each other: take a part out of arrives or makes of one", circle(list, before, done))
		}
		done[next] = true
		sorted = append(sorted, list[next])
	}
	return sorted, nil
}

// waits lists for each station the indices of those that make what arrives at it.
func waits(list []shell.Station) [][]int {
	maker := map[string]int{}
	for i, s := range list {
		if s.Makes != "" {
			maker[s.Makes] = i
		}
	}
	before := make([][]int, len(list))
	for i, s := range list {
		for _, part := range s.Arrives {
			if j, ok := maker[part]; ok {
				before[i] = append(before[i], j)
			}
		}
	}
	return before
}

// circle names the stations of one circle among those that are not done: each of them waits for another.
func circle(list []shell.Station, before [][]int, done []bool) string {
	at := slices.Index(done, false)
	var way []int
	for !slices.Contains(way, at) {
		way = append(way, at)
		at = before[at][slices.IndexFunc(before[at], func(j int) bool { return !done[j] })]
	}
	way = append(way[slices.Index(way, at):], at)
	slices.Reverse(way) // from maker to user
	names := make([]string, len(way))
	for i, j := range way {
		names[i] = list[j].ID
	}
	return strings.Join(names, " > ")
}

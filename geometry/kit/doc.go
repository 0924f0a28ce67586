// Package kit has the small tools that the finder's packages share: numbers by edge or by place in hash tables with open
// addressing, places scattered in space, medians, and orders of things that rounding does not change.
//
// Whatever is decided by comparing two measures of a panel is decided with a margin, AlikeTo of their size, and by a rule that
// turns with the panels where they are alike, so that panels which are turned, moved or mirrored give what they gave before:
//
//	SortByKeys   area, then spread, then ...      (the first key in which two differ by more than AlikeTo)
//	Before       x, then y, then z                (only where nothing else tells two apart)
package kit

// Package pitch sets out places along a length: the fewest with every pitch, from each to the next, between a least and a greatest, off
// what is blocked, and of all ways to place that number the evenest. It knows lengths alone: neither where in space the line runs nor
// what is welded there.
//
// Open is an open line, Ring one that closes on itself, Rows several rows beside each other; Tacks chooses some of the places.
//
//   - How many places fit at all is found exactly, by following from each place where the next can be (reachable).
//   - The evenest way has the least sum of squared pitches, and so the least greatest and the greatest least: a string pulled tight through
//     the free stretches (taut), with both sides of every blocked one tried (evenest).
//   - A gap too long for the greatest pitch gets a place at each of its ends.
//   - A closed line is closed by the same rule and turned so that its places miss what is blocked (turn).
//   - Two rows are staggered or side by side where that holds what is wanted, else packed weld by weld (densest) and evened out (relaxed);
//     more rows stand in columns.
package pitch

package host

import "strings"

// Nearest returns the one of the names that is most likely meant by word, or
// "" where none is like it: at most a third of its letters may differ, or it is
// how one of them alone begins. Of equals the first is returned. Capitals do not
// count.
func Nearest(word string, names []string) string {
	best, least := "", len([]rune(word))/3+1
	for _, name := range names {
		if d := distance(strings.ToLower(word), strings.ToLower(name)); d < least {
			best, least = name, d
		}
	}
	if best == "" {
		return begunBy(word, names)
	}
	return best
}

// begunBy is the one of the names that begins with three letters or more, or "".
func begunBy(word string, names []string) (one string) {
	for _, name := range names {
		if len(word) < 3 || len(name) <= len(word) || !strings.EqualFold(name[:len(word)], word) {
			continue
		}
		if one != "" {
			return ""
		}
		one = name
	}
	return one
}

// distance is the least number of letters to change, add, drop or swap with
// their neighbour to get from a to b: the optimal string alignment distance.
func distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i, c := range s {
		row[0] = i + 1
		for j, d := range t {
			change := 1
			if c == d {
				change = 0
			}
			row[j+1] = min(last[j]+change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && c == t[j-1] && s[i-1] == d {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}

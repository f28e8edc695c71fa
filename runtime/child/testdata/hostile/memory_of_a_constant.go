// # memory of a constant
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"

const (
	a = "0123456789"
	b = a + a + a + a
	c = b + b + b + b
	d = c + c + c + c
	e = d + d + d + d
	f = e + e + e + e
	g = f + f + f + f
	h = g + g + g + g
	i = h + h + h + h
	j = i + i + i + i
	k = j + j + j + j
	l = k + k + k + k
	m = l + l + l + l
	n = m + m + m + m
	o = n + n + n + n
	p = o + o + o + o
	q = p + p + p + p
	r = q + q + q + q
	s = r + r + r + r
	t = s + s + s + s
	u = t + t + t + t
	v = u + u + u + u
	w = v + v + v + v
	x = w + w + w + w
	y = x + x + x + x
	z = y + y + y + y
)

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(len(z))
}

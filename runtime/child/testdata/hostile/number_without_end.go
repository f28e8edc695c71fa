// # number without end
//
// want: wrong: constant multiplication overflow
package main

import "fmt"

const (
	a = 1 << 500
	b = a * a
	c = b * b
	d = c * c
	e = d * d
	f = e * e
	g = f * f
	h = g * g
	i = h * h
	j = i * i
	k = j * j
	l = k * k
	m = l * l
	n = m * m
	o = n * n
	p = o * o
	q = p * p
	r = q * q
	s = r * r
	t = s * s
	u = t * t
	v = u * u
	w = v * v
	x = w * w
	y = x * x
	z = y * y
)

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(z > 0)
}

// # random in one bite
//
// want: limit: the recipe holds more than 64 MB of memory
package main

import "fmt"
import "math/rand/v2"

func main() {
	// ## Before
	fmt.Println("before")

	// ## The attempt
	fmt.Println(len(rand.New(rand.NewPCG(1, 2)).Perm(1 << 40)))
}

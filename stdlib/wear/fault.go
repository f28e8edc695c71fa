package wear

import "lapwright/stdlib/mirror"

// Fault says why setting s cannot be worked on mirror m, in the words New stops
// the recipe with, or "" where it can.
func (s Setting) Fault(m *mirror.Mirror) string {
	_, message := s.ready(m, 1)
	return message
}

package document

import "io"

// WriteText writes a block as plain text with an empty line after it. It is
// the form a compiled recipe prints and the plain renderer uses.
func WriteText(w io.Writer, b Block) {
}

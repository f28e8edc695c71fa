package child

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// folder is the recipe's folder, to read from. It refuses names that lead out of
// it, links among them, and whatever is neither a file nor a folder: a pipe
// could make a recipe wait, and a device has no end.
type folder struct{ root *os.Root }

var errNotAFile = errors.New("it is neither a file nor a folder")

// Open makes folder an fs.FS.
func (f folder) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	// Without O_NONBLOCK, opening a pipe waits for its writer.
	file, err := f.root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil {
		file.Close()
		return nil, err
	}
	if !info.Mode().IsRegular() && !info.IsDir() {
		file.Close()
		return nil, &fs.PathError{Op: "open", Path: name, Err: errNotAFile}
	}
	return file, nil
}

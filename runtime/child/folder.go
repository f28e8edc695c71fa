package child

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// folder is the recipe's folder, to read from. It refuses names that lead out of
// it, links among them, and whatever is neither a file nor a folder: a pipe
// could make a recipe wait, and a device has no end.
//
// The parent is told of every file. A file is read once, whole, so that it is the
// same each time the recipe opens it and its sum is that of what the recipe had.
type folder struct {
	root *os.Root
	tell func(event)
	had  map[string]content
}

type content struct {
	data []byte
	info fs.FileInfo
}

func newFolder(root *os.Root, t *teller) folder {
	return folder{root, t.tell, make(map[string]content)}
}

var errNotAFile = errors.New("it is neither a file nor a folder")

// mostRead is the size up to which a file is read whole. No primitive takes a file
// that is larger.
const mostRead = 16 << 20

// Open makes folder an fs.FS.
func (f folder) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	if c, ok := f.had[name]; ok {
		return c.open(), nil
	}
	// Without O_NONBLOCK, opening a pipe waits for its writer.
	file, err := f.root.OpenFile(name, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && info.Mode().IsRegular() && info.Size() <= mostRead {
		return f.take(name, file, info)
	}
	if err == nil && !info.Mode().IsRegular() && !info.IsDir() {
		err = &fs.PathError{Op: "open", Path: name, Err: errNotAFile}
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

// take reads a file whole and tells of it.
func (f folder) take(name string, file fs.File, info fs.FileInfo) (fs.File, error) {
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, mostRead))
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(data)
	f.tell(event{File: &File{Name: name, Size: int64(len(data)), Sum: hex.EncodeToString(sum[:])}})
	c := content{data, info}
	f.had[name] = c
	return c.open(), nil
}

func (c content) open() fs.File { return opened{bytes.NewReader(c.data), c.info} }

// opened is a file that has been read whole.
type opened struct {
	*bytes.Reader
	info fs.FileInfo
}

func (o opened) Stat() (fs.FileInfo, error) { return o.info, nil }
func (o opened) Close() error               { return nil }

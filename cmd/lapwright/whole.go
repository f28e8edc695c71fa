package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// beside opens a new file in the folder of target, to be renamed to it when it is
// whole.
func beside(target string, mode os.FileMode) (file *os.File, err error) {
	folder, base := filepath.Split(target)
	for n := range 100 {
		name := fmt.Sprintf("%s.%s.%d-%d.part", folder, base, os.Getpid(), n)
		if file, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode); !os.IsExist(err) {
			break
		}
	}
	return file, err
}

// writeWhole puts data into the file of that name: at any moment there is the old
// file or the new one.
func writeWhole(name string, data []byte) error {
	file, err := beside(name, 0o666)
	if err != nil {
		return err
	}
	_, err = file.Write(data)
	if err == nil {
		err = file.Sync()
	}
	if closed := file.Close(); err == nil {
		err = closed
	}
	if err == nil {
		err = os.Rename(file.Name(), name)
	}
	if err != nil {
		os.Remove(file.Name())
	}
	return err
}

// readUpTo reads a file that is at most so large, and a byte more of one that is
// larger.
func readUpTo(name string, most int64) ([]byte, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return io.ReadAll(io.LimitReader(file, most+1))
}

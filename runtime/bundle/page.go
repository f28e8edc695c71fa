package bundle

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"errors"
	"fmt"
	"html"
	"io"
)

// A page carries a bundle in a link of its footer, which any browser can save as a
// file. The link is the last of its kind on the page, so that nothing a recipe
// writes can pass for it.
const (
	linkHead = `<p class="carried"><a download="%s.gz" href="` + dataHead
	dataHead = "data:application/gzip;base64,"
	linkTail = `">Recipe and data</a> of this page, %.1f kB; lapwright unpack takes them from the page itself.</p>` + "\n"
	pageTail = "</footer>"
)

// Carry returns a page with the bundle in its footer. name is what a browser saves
// it as, without an ending. The page is one that package render has drawn.
func (b *Bundle) Carry(page []byte, name string) ([]byte, error) {
	at := bytes.LastIndex(page, []byte(pageTail))
	if at < 0 {
		return nil, errors.New("the page has no footer to carry a bundle in")
	}
	data, err := b.Bytes()
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	w, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	out.Write(page[:at])
	fmt.Fprintf(&out, linkHead, html.EscapeString(name+Ending))
	out.WriteString(base64.StdEncoding.EncodeToString(packed.Bytes()))
	fmt.Fprintf(&out, linkTail, float64(packed.Len())/1e3)
	out.Write(page[at:])
	return out.Bytes(), nil
}

// carriedBy returns the bundle that a page carries, or that is in data packed as a
// browser saves it from there.
func carriedBy(data []byte) ([]byte, error) {
	packed := data
	if !bytes.HasPrefix(data, []byte("\x1f\x8b")) {
		at := bytes.LastIndex(data, []byte(dataHead))
		if at < 0 {
			return nil, errors.New("it is no bundle, nor a page that carries one")
		}
		text, _, whole := bytes.Cut(data[at+len(dataHead):], []byte(`"`))
		var err error
		if packed, err = base64.StdEncoding.DecodeString(string(text)); err != nil || !whole {
			return nil, errors.New("what the page carries is damaged")
		}
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("what it carries is damaged: %w", err)
	}
	unpacked, err := io.ReadAll(io.LimitReader(r, MaxSize+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("what it carries is damaged: %w", err)
	case len(unpacked) > MaxSize:
		return nil, fmt.Errorf("what it carries is larger than %d MB", MaxSize>>20)
	}
	return unpacked, nil
}

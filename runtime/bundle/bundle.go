// Package bundle puts a recipe with all that belongs to it into one file to share,
// and takes it out again without believing anything the file says.
//
// A bundle is a ZIP archive whose entries are stored, not compressed, so that its
// bytes depend on nothing but what is in it:
//
//	bundle.txt             the list of all else, with sizes and SHA-256 sums
//	bundle.sig             an SSH signature of bundle.txt, where there is one
//	page.html              the document, to be read without lapwright
//	recipe/recipe.go       the recipe
//	recipe/recipe.record   its record
//	recipe/readings.csv    the files it reads
//
// An archive is a bundle only if it is, to the byte, what this package writes.
// What lies inside twice, compressed, linked, hidden, unlisted or under a name
// that leads elsewhere therefore has no way in. A bundle is at most 64 MB, holds
// at most 1000 files, and cannot be larger inside than outside.
package bundle

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"lapwright/runtime/record"
)

// Format is the first line of a bundle's list. It changes when a reader of the old
// form could misread the new one.
const Format = "lapwright bundle 1"

// The most a bundle may be and hold.
const (
	MaxSize  = 64 << 20
	MaxFiles = 1000
)

// Ending is what the name of a bundle ends in.
const Ending = ".lapwright.zip"

// A Bundle is a recipe and what belongs to it.
type Bundle struct {
	Recipe    string // name of the recipe's file
	Files     []File // of the recipe's folder: recipe, record, data; by name
	Page      []byte // nil for none
	Signature []byte // of List; nil for none
}

// A File is a file of the recipe's folder.
type File struct {
	Name string // within the folder, with slashes
	Data []byte
}

// The names of entries.
const (
	listName      = "bundle.txt"
	signatureName = "bundle.sig"
	pageName      = "page.html"
	folderName    = "recipe/"
)

// File returns what the bundle holds of a file, and whether it does.
func (b *Bundle) File(name string) ([]byte, bool) {
	for _, f := range b.Files {
		if f.Name == name {
			return f.Data, true
		}
	}
	return nil, false
}

// Record returns the record of the recipe, nil where the bundle holds none.
func (b *Bundle) Record() (*record.Record, error) {
	data, ok := b.File(record.Beside(b.Recipe))
	if !ok {
		return nil, nil
	}
	return record.Read(data)
}

// List returns the list of what the bundle holds, which is what is signed.
func (b *Bundle) List() []byte {
	var list bytes.Buffer
	fmt.Fprintf(&list, "%s\n%s\n", Format, b.Recipe)
	for _, e := range b.entries() {
		fmt.Fprintf(&list, "%s\t%d\t%s\n", record.SHA256(e.Data), len(e.Data), e.Name)
	}
	return list.Bytes()
}

// entries are the listed entries of the archive.
func (b *Bundle) entries() []File {
	var all []File
	if b.Page != nil {
		all = append(all, File{pageName, b.Page})
	}
	for _, f := range b.Files {
		all = append(all, File{folderName + f.Name, f.Data})
	}
	slices.SortFunc(all, func(a, b File) int { return strings.Compare(a.Name, b.Name) })
	return all
}

// Bytes returns the bundle as a file. It is an error where it is too large, where
// the recipe is not in it, or where a name is not one that every system can have.
func (b *Bundle) Bytes() ([]byte, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	entries := []File{{listName, b.List()}}
	if b.Signature != nil {
		entries = append(entries, File{signatureName, b.Signature})
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, e := range append(entries, b.entries()...) {
		h := &zip.FileHeader{
			Name: e.Name, Method: zip.Store, CRC32: crc32.ChecksumIEEE(e.Data),
			CompressedSize64: uint64(len(e.Data)), UncompressedSize64: uint64(len(e.Data)),
			//lint:ignore SA1019 CreateRaw writes this field, and Modified not
			ModifiedDate: 1<<5 | 1, // 1 January 1980, the first there is
		}
		h.SetMode(0o644)
		if !ascii(e.Name) {
			h.Flags = 1 << 11 // the name is UTF-8
		}
		entry, err := w.CreateRaw(h)
		if err == nil {
			_, err = entry.Write(e.Data)
		}
		if err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	if out.Len() > MaxSize {
		return nil, fmt.Errorf("it would be %.0f MB; a bundle is at most %d MB", float64(out.Len())/(1<<20), MaxSize>>20)
	}
	return out.Bytes(), nil
}

func ascii(s string) bool {
	return !strings.ContainsFunc(s, func(c rune) bool { return c > unicode.MaxASCII })
}

// check returns an error where the bundle is not what Bytes promises.
func (b *Bundle) check() error {
	if len(b.Files) > MaxFiles {
		return fmt.Errorf("it holds %d files; the most is %d", len(b.Files), MaxFiles)
	}
	if _, ok := b.File(b.Recipe); !ok || !strings.HasSuffix(b.Recipe, ".go") || strings.Contains(b.Recipe, "/") {
		return fmt.Errorf("it does not hold its recipe, %q", b.Recipe)
	}
	seen := make(map[string]string)
	for _, f := range b.Files {
		if err := checkName(f.Name); err != nil {
			return err
		}
		// Some systems hold names for the same that differ in capitals alone.
		low := strings.ToLower(f.Name)
		if other, twice := seen[low]; twice {
			return fmt.Errorf("it holds %q twice, as %q", f.Name, other)
		}
		seen[low] = f.Name
	}
	return nil
}

// checkName returns an error where a name could lead out of a folder, be hidden,
// or mean something else on another system.
func checkName(name string) error {
	bad := func(why string) error { return fmt.Errorf("it holds a file named %q: %s", name, why) }
	switch {
	case !utf8.ValidString(name) || len(name) > 200 || strings.ContainsFunc(name, func(c rune) bool { return !unicode.IsPrint(c) }):
		return bad("that is no name")
	case strings.ContainsAny(name, `\:*?"<>|`):
		return bad("a name has none of \\ : * ? \" < > |")
	case !fs.ValidPath(name) || name == ".":
		return bad("that leads out of the folder")
	}
	for _, part := range strings.Split(name, "/") {
		stem, _, _ := strings.Cut(strings.ToUpper(part), ".")
		switch {
		case part[0] == '.':
			return bad("that is hidden")
		case strings.HasSuffix(part, ".") || strings.HasSuffix(part, " ") || reserved(strings.TrimSpace(stem)):
			return bad("it means something else on some systems")
		}
	}
	return nil
}

// reserved tells whether a name is that of a device on Windows.
func reserved(stem string) bool {
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	port, numbered := strings.CutPrefix(stem, "COM")
	if !numbered {
		port, numbered = strings.CutPrefix(stem, "LPT")
	}
	return numbered && utf8.RuneCountInString(port) == 1 && strings.ContainsAny(port, "0123456789¹²³")
}

// Read reads a bundle, or a page that carries one (see Carry). An error says why it
// is none. Nothing of a bundle that is refused is to be used.
func Read(data []byte) (*Bundle, error) {
	if len(data) > MaxSize {
		return nil, fmt.Errorf("it is larger than %d MB", MaxSize>>20)
	}
	if !bytes.HasPrefix(data, []byte("PK\x03\x04")) {
		carried, err := carriedBy(data)
		if err != nil {
			return nil, err
		}
		data = carried
	}
	return readArchive(data)
}

func readArchive(data []byte) (*Bundle, error) {
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, fmt.Errorf("it is no whole archive: %w", err)
	}
	if len(archive.File) > MaxFiles+3 {
		return nil, fmt.Errorf("it holds %d files; the most is %d", len(archive.File), MaxFiles)
	}
	b := new(Bundle)
	var list []byte
	left := uint64(len(data)) // what is stored cannot be more than there is
	had := make(map[string]bool)
	for _, f := range archive.File {
		name, inFolder := strings.CutPrefix(f.Name, folderName)
		if inFolder || f.Name != listName && f.Name != signatureName && f.Name != pageName {
			if err := checkName(name); err != nil {
				return nil, err
			}
		}
		switch {
		case had[f.Name]:
			return nil, fmt.Errorf("it holds %q twice", f.Name)
		case !f.Mode().IsRegular():
			return nil, fmt.Errorf("%q in it is not a file but a link, a folder or something else", f.Name)
		case f.Method != zip.Store:
			return nil, fmt.Errorf("%q in it is compressed; a bundle holds its files as they are", f.Name)
		case f.UncompressedSize64 != f.CompressedSize64 || f.UncompressedSize64 > left:
			return nil, fmt.Errorf("%q in it says that it is larger than it can be", f.Name)
		}
		left -= f.UncompressedSize64
		had[f.Name] = true
		content, err := contentOf(f)
		if err != nil {
			return nil, fmt.Errorf("%q in it is damaged: %w", f.Name, err)
		}
		switch {
		case f.Name == listName:
			list = content
		case f.Name == signatureName:
			b.Signature = content
		case f.Name == pageName:
			b.Page = content
		case inFolder:
			b.Files = append(b.Files, File{name, content})
		default:
			return nil, fmt.Errorf("%q in it has no place in a bundle", f.Name)
		}
	}
	if err := b.holds(list); err != nil {
		return nil, err
	}
	if again, err := b.Bytes(); err != nil {
		return nil, err
	} else if !bytes.Equal(again, data) {
		return nil, errors.New("it is not written as lapwright writes a bundle: something has been added, moved or packed anew")
	}
	return b, nil
}

func contentOf(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return io.ReadAll(r)
}

// holds returns an error where the bundle is not what its list says. It takes the
// recipe's name from the list.
func (b *Bundle) holds(list []byte) error {
	if list == nil {
		return fmt.Errorf("it holds no %s: it is some other archive", listName)
	}
	lines := strings.Split(string(list), "\n")
	if lines[0] != Format || len(lines) < 3 {
		return fmt.Errorf("the first line of its list is not %q", Format)
	}
	b.Recipe = lines[1]
	listed := make(map[string][]string)
	for _, text := range lines[2 : len(lines)-1] {
		columns := strings.SplitN(text, "\t", 3)
		if len(columns) != 3 {
			return fmt.Errorf("%q in its list is not a sum, a size and a name", text)
		}
		listed[columns[2]] = columns
	}
	for _, e := range b.entries() {
		columns, ok := listed[e.Name]
		if !ok {
			return fmt.Errorf("it holds %q, which is not on its list", e.Name)
		}
		if columns[0] != record.SHA256(e.Data) || columns[1] != strconv.Itoa(len(e.Data)) {
			return fmt.Errorf("%q is not the file that its list says: it has been changed", path.Base(e.Name))
		}
		delete(listed, e.Name)
	}
	for name := range listed {
		return fmt.Errorf("%q is on its list and not in it", name)
	}
	return nil
}

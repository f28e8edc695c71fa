package bundle

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/ed25519"
	"encoding/pem"
	"io/fs"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/crypto/ssh"

	"lapwright/runtime/record"
)

// sample is a bundle of everything there can be but a signature.
func sample() *Bundle {
	return &Bundle{
		Recipe: "recipe.go",
		Page:   []byte("<p>a page</p>"),
		Files: []File{
			{"recipe.go", []byte("package main\n\nfunc main() {}\n")},
			{"data/über.csv", []byte("a\n1\n")},
			{"empty.csv", nil},
		},
	}
}

func written(t testing.TB, b *Bundle) []byte {
	t.Helper()
	data, err := b.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func TestBundlesReadBackAsTheyWere(t *testing.T) {
	data := written(t, sample())
	b, err := Read(data)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(written(t, b), data) || b.Recipe != "recipe.go" || string(b.Page) != "<p>a page</p>" {
		t.Errorf("%+v", b)
	}
	if got, ok := b.File("data/über.csv"); !ok || string(got) != "a\n1\n" {
		t.Errorf("the data are %q", got)
	}
}

// A bundle made years ago must be written the same today, or it is not read any
// more: this sum may change with Format alone.
func TestBundlesAreWrittenTheSameByteForByte(t *testing.T) {
	const want = "91844c44ac8e19e41c5350c73dfee1720ab3fdc3b8975671e5b47407b9f89b80"
	if got := record.SHA256(written(t, sample())); got != want {
		t.Errorf("the sum is %s, not %s", got, want)
	}
}

// archive makes an archive of entries that are as their headers say.
func archive(t *testing.T, entries ...any) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for i := 0; i < len(entries); i += 2 {
		h, ok := entries[i].(*zip.FileHeader)
		if !ok {
			h = &zip.FileHeader{Name: entries[i].(string)}
		}
		e, err := w.CreateHeader(h)
		if err == nil {
			_, err = e.Write([]byte(entries[i+1].(string)))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestWhatIsNoBundleIsRefused(t *testing.T) {
	whole := written(t, sample())
	link := &zip.FileHeader{Name: "recipe/link"}
	link.SetMode(fs.ModeSymlink | 0o777)
	changed := func(old, new string) []byte {
		t.Helper()
		data := bytes.Replace(whole, []byte(old), []byte(new), 1)
		if bytes.Equal(data, whole) || len(old) != len(new) {
			t.Fatalf("%q does not become %q", old, new)
		}
		return data
	}
	// The sums inside agree, the list does not.
	other := sample()
	other.Files[1].Data = []byte("a\n2\n")
	forged := bytes.Replace(written(t, other), other.List(), sample().List(), 1)

	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"nothing", nil, "no bundle, nor a page"},
		{"words", []byte("hello"), "no bundle, nor a page"},
		{"half of one", whole[:len(whole)/2], "no whole archive"},
		{"another archive", archive(t, "recipe/recipe.go", "x"), "holds no bundle.txt"},
		{"a path up", archive(t, "../evil.go", "x"), `"../evil.go": that leads out`},
		{"a path up from inside", archive(t, "recipe/../../evil.go", "x"), "that leads out"},
		{"a path from the root", archive(t, "recipe//etc/passwd", "x"), "that leads out"},
		{"a path of another system", archive(t, `recipe/..\evil.go`, "x"), `a name has none of \`},
		{"a drive", archive(t, "recipe/C:evil.go", "x"), "a name has none of"},
		{"a device", archive(t, "recipe/nul.csv", "x"), "means something else"},
		{"a hidden file", archive(t, "recipe/.git/config", "x"), "that is hidden"},
		{"no name", archive(t, "recipe/", ""), "leads out"},
		{"a name that turns writing", archive(t, "recipe/a\u202egpj.go", "x"), "that is no name"},
		{"a file beside", archive(t, "evil.go", "x"), "has no place in a bundle"},
		{"a link", archive(t, link, "/etc/passwd"), "not a file but a link"},
		{"one twice", archive(t, &zip.FileHeader{Name: "recipe/a", Method: zip.Store}, "x", &zip.FileHeader{Name: "recipe/a", Method: zip.Store}, "y"), "twice"},
		{"a bomb", archive(t, &zip.FileHeader{Name: "recipe/a", Method: zip.Deflate}, strings.Repeat("0", 1<<20)), "is compressed"},
		{"a byte of the data changed", changed("a\n1\n", "a\n2\n"), "checksum error"},
		{"a byte of the list changed", changed("recipe/empty.csv\n", "recipe/emptx.csv\n"), "checksum error"},
		{"a file changed with its check sum", forged, "damaged"},
		{"something before", append([]byte("PK\x03\x04"), whole...), "not written as lapwright"},
		{"something behind", append(bytes.Clone(whole), 0), ""},
		{"another date", changed("\x00\x00\x21\x00", "\x00\x00\x22\x00"), "not written as lapwright"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if b, err := Read(c.data); err == nil || !strings.Contains(err.Error(), c.want) || b != nil {
				t.Errorf("%v, which lacks %q", err, c.want)
			}
		})
	}
}

func TestListsThatAreNotOfTheFilesAreRefused(t *testing.T) {
	whole := string(sample().List())
	for _, c := range []struct{ old, new, want string }{
		{"bundle 1", "bundle 0", "the first line of its list"},
		{"\t4\t", "\t5\t", `"über.csv" is not the file that its list says`},
		{"page.html", "other.html", `it holds "page.html", which is not on its list`},
		{record.SHA256(nil), record.SHA256([]byte("x")), `"empty.csv" is not the file`},
		{"\t4\t", " 4 ", "is not a sum, a size and a name"},
	} {
		b := sample()
		list := strings.Replace(whole, c.old, c.new, 1)
		if err := b.holds([]byte(list)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q for %q: %v, which lacks %q", c.new, c.old, err, c.want)
		}
	}
	b := sample()
	b.Files = b.Files[:2]
	if err := b.holds([]byte(whole)); err == nil || !strings.Contains(err.Error(), "on its list and not in it") {
		t.Errorf("a file is missing: %v", err)
	}
}

func TestWhatCannotBeSharedIsNotBundled(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Bundle)
		want   string
	}{
		{"no recipe", func(b *Bundle) { b.Files = b.Files[1:] }, "does not hold its recipe"},
		{"a name in capitals and small", func(b *Bundle) { b.Files = append(b.Files, File{"EMPTY.csv", nil}) }, "twice"},
		{"a name with a colon", func(b *Bundle) { b.Files[2].Name = "a:b" }, "a name has none of"},
		{"a file too large", func(b *Bundle) { b.Files[2].Data = make([]byte, MaxSize) }, "at most 64 MB"},
		{"too many files", func(b *Bundle) { b.Files = make([]File, MaxFiles+1) }, "the most is 1000"},
	} {
		b := sample()
		c.change(b)
		if _, err := b.Bytes(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, which lacks %q", c.name, err, c.want)
		}
	}
}

const page = "<!DOCTYPE html>\n<main><p>&lt;/footer&gt; data:application/gzip;base64,AAAA&#34;</p></main>\n<footer><p>Made.</p></footer>\n"

func TestPagesCarryABundle(t *testing.T) {
	b := sample()
	carrying, err := b.Carry([]byte(page), `high "ring"`)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(carrying), `download="high &#34;ring&#34;.lapwright.zip.gz"`) {
		t.Errorf("the page is\n%s", carrying)
	}
	got, err := Read(carrying)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(written(t, b)), string(written(t, got))); diff != "" {
		t.Error(diff)
	}
	for name, c := range map[string]struct{ old, new, want string }{
		"no link":     {dataHead + "H4", "data:,H4", "damaged"},
		"cut off":     {`">Recipe`, ``, "damaged"},
		"not base 64": {dataHead + "H4", dataHead + "!!", "damaged"},
	} {
		bad := strings.Replace(string(carrying), c.old, c.new, 1)
		if _, err := Read([]byte(bad)); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := b.Carry([]byte("<p>"), "x"); err == nil {
		t.Error("a page without a footer carries something")
	}
}

func TestWhatGrowsBeyondMeasureIsNotUnpacked(t *testing.T) {
	var bomb bytes.Buffer
	w := gzip.NewWriter(&bomb)
	zeros := make([]byte, 1<<20)
	for range MaxSize>>20 + 1 {
		if _, err := w.Write(zeros); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(bomb.Bytes()); err == nil || !strings.Contains(err.Error(), "larger than 64 MB") {
		t.Errorf("%v", err)
	}
}

// key makes a private key as ssh-keygen writes it, the same for the same letter.
func key(t *testing.T, letter string) []byte {
	t.Helper()
	block, err := ssh.MarshalPrivateKey(ed25519.NewKeyFromSeed([]byte(strings.Repeat(letter, 32))), "")
	if err != nil {
		t.Fatal(err)
	}
	return pem.EncodeToMemory(block)
}

func TestSignaturesSayWhoseTheyAre(t *testing.T) {
	b := sample()
	if k, err := b.Signer(); k != nil || err != nil {
		t.Errorf("an unsigned bundle is signed by %v, %v", k, err)
	}
	if err := b.Sign(key(t, "a")); err != nil {
		t.Fatal(err)
	}
	b, err := Read(written(t, b))
	if err != nil {
		t.Fatal(err)
	}
	signer, err := b.Signer()
	if err != nil {
		t.Fatal(err)
	}
	public := strings.TrimSpace(string(ssh.MarshalAuthorizedKey(signer)))
	trusted, err := ReadTrusted([]byte("# the club\n\nanna " + public + " her laptop\n"))
	if err != nil {
		t.Fatal(err)
	}
	if who := trusted.Who(signer); who != "anna" {
		t.Errorf("it is signed by %q", who)
	}
	other := sample()
	if err := other.Sign(key(t, "b")); err != nil {
		t.Fatal(err)
	}
	stranger, err := other.Signer()
	if err != nil || trusted.Who(stranger) != "" {
		t.Errorf("a stranger is %q, %v", trusted.Who(stranger), err)
	}

	b.Files[0].Data = append(b.Files[0].Data, ' ')
	if k, err := b.Signer(); err == nil || k != nil {
		t.Error("a changed bundle is still signed")
	}
	b.Signature = []byte("nonsense")
	if _, err := b.Signer(); err == nil {
		t.Error("nonsense is a signature")
	}
	if err := b.Sign([]byte("nonsense")); err == nil {
		t.Error("nonsense signs")
	}
	for _, bad := range []string{"anna", "anna ssh-ed25519 AAAA", `anna cert-authority ` + public} {
		if _, err := ReadTrusted([]byte(bad)); err == nil {
			t.Errorf("%q is trusted", bad)
		}
	}
}

func FuzzBundlesAreReadWholeOrRefused(f *testing.F) {
	data := written(f, sample())
	f.Add(data)
	f.Add(data[:len(data)-30])
	carrying, err := sample().Carry([]byte(page), "x")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(carrying)
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := Read(data)
		if err != nil {
			return
		}
		for _, file := range b.Files {
			if !fs.ValidPath(file.Name) || strings.Contains(file.Name, `\`) {
				t.Errorf("a file is named %q", file.Name)
			}
		}
		if bytes.HasPrefix(data, []byte("PK")) && !bytes.Equal(written(t, b), data) {
			t.Error("what was read is not what is written")
		}
		if _, err := b.Signer(); b.Signature == nil && err != nil {
			t.Error(err)
		}
	})
}

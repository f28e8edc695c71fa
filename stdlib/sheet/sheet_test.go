package sheet

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"lapwright/stdlib/host"
)

// stop returns the Stop that f ends with.
func stop(f func()) (s *host.Stop) {
	defer func() {
		if r := recover(); r != nil {
			s = r.(*host.Stop)
		}
	}()
	f()
	return nil
}

func texts(rows [][]Cell) (list []string) {
	for _, row := range rows {
		for _, c := range row {
			list = append(list, fmt.Sprintf("%d:%d %s", c.Position.Line, c.Position.Column, c.Text))
		}
	}
	return list
}

func TestCellsKeepTheirPlace(t *testing.T) {
	for name, text := range map[string]string{
		"plain":              "# made up\nset,zone 1\n\nfirst,0.10\nsecond, 0.2 \n",
		"byte order mark":    "\xef\xbb\xbf# made up\nset,zone 1\n\nfirst,0.10\nsecond, 0.2 \n",
		"carriage returns":   "# made up\r\nset,zone 1\r\n\r\nfirst,0.10\r\nsecond, 0.2 \r\n",
		"old line ends":      "# made up\rset,zone 1\r\rfirst,0.10\rsecond, 0.2 \r",
		"empty cells beyond": "# made up\nset,zone 1,,\n,,,\nfirst,0.10,\nsecond, 0.2 ,,\n",
		"comments in cells":  "# made up\nset,zone 1\n\"# made up, too\",,\nfirst,0.10\nsecond, 0.2 \n  # the end\n",
	} {
		s := parse("zone.Read", "r.csv", []byte(text))
		if diff := cmp.Diff([]string{"2:1 set", "2:5 zone 1"}, texts([][]Cell{s.Head})); diff != "" {
			t.Errorf("%s: head:\n%s", name, diff)
		}
		if diff := cmp.Diff([]string{"4:1 first", "4:7 0.10", "5:1 second", "5:9 0.2"}, texts(s.Rows)); diff != "" {
			t.Errorf("%s: rows:\n%s", name, diff)
		}
		if v := s.Rows[1][1].Number(); v != 0.2 {
			t.Errorf("%s: number %v", name, v)
		}
	}
}

func TestNumbersAreReadAsOthersAre(t *testing.T) {
	s := parse("zone.Read", "r.csv", []byte("a\n−1.5\n2 1/2\n1e-3\n"))
	for i, want := range []float64{-1.5, 2.5, 1e-3} {
		if got := s.Rows[i][0].Number(); math.Abs(got-want) > 1e-15 {
			t.Errorf("%q is %v", s.Rows[i][0].Text, got)
		}
	}
}

func TestMalformedSheetsNameThePlace(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "r.csv is empty"},
		{"comments only", "# nothing\n\n", "r.csv is empty"},
		{"head only", "a,b\n", "r.csv has one line and no more; the first names the columns"},
		{"semicolons", "set;zone 1;zone 2\n1;0,5;0,7\n", "r.csv:1:1: the columns are separated by semicolons; save the sheet with commas"},
		{"tabs", "set\tzone 1\n1\t0.5\n", "r.csv:1:1: the columns are separated by tabs"},
		{"UTF-16", "\xff\xfea\x00,\x00", "r.csv is written in UTF-16; save it as CSV in UTF-8"},
		{"spreadsheet", "PK\x03\x04rest", "r.csv is a spreadsheet, not text; save it as CSV"},
		{"old spreadsheet", "\xd0\xcf\x11\xe0rest", "r.csv is a spreadsheet"},
		{"binary", "a,b\n1,\x00\n", "r.csv is not text"},
		{"nameless column", "a,,c\n1,2,3\n", "r.csv:1:3: column 2 has no name"},
		{"column twice", "zone 1,b,Zone_1\n1,2,3\n", `r.csv:1:10: the column "Zone_1" is there twice, first at column 1 of line 1`},
		{"long row", "a,b\nx,2,good\n", "r.csv:2:5: the row has 3 columns where the head has 2"},
		{"decimal commas", "a,b,c\n1,5,2,5,3,5\n", "r.csv:2:1: the row has 6 columns where the head has 3; if 1,5 is one number, write a point before decimals, not a comma"},
		{"one decimal comma", "a,b,c\n1.5,−2,5,3.5\n", "r.csv:2:5: the row has 4 columns where the head has 3; if −2,5 is one number"},
		{"semicolons below a good head", "a,b\n1;2\n", "r.csv:2:1: the columns of this row are separated by semicolons"},
		{"title above the head", "My readings,,\na,b\n1,2\n", `r.csv:1:1: the first line must name the columns; it holds "My readings" alone, and line 2 has 2 entries`},
		{"not UTF-8", "a,b\nK\xe4the,2\n", "r.csv:2:2: this is no character of UTF-8; save the sheet as CSV in UTF-8"},
		{"short row", "a,b,c\n1,2,3\n4,5\n", `r.csv:3:3: the row ends after column 2 where the head has 3; "c" is the first that is missing`},
		{"quote inside", "a,b\n1,2\"3\n", "r.csv:2:4: a quotation mark that does not enclose a whole entry"},
		{"quote never closed", "a,b\n1,\"2\n3,4\n", "r.csv:2:3: an entry opens with a quotation mark that is never closed"},
		{"word", "a,b\n1,2\n1, x2\n", `r.csv:3:4: "x2" is not a number; write a plain number`},
		{"nothing", "a,b\n1,\n", "r.csv:2:3: there is no number here"},
		{"quoted decimal comma", "a,b\n1,\"2,5\"\n", "r.csv:2:3: \"2,5\" is not a number; write a point before decimals"},
		{"NaN", "a,b\n1,NaN\n", `"NaN" is not a number`},
		{"infinity", "a,b\n1,-Inf\n", `"-Inf" is not a number`},
		{"too large", "a,b\n1,1e999\n", `"1e999" is not a number`},
		{"endless entry", "a,b\n1," + strings.Repeat("x", 9000) + "\n", "xxx…"},
		{"too many rows", "a\n" + strings.Repeat("1\n", MaxRows+1), "r.csv:10002:1: the sheet has more than 10000 rows"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := stop(func() {
				for _, row := range parse("zone.Read", "r.csv", []byte(c.text)).Rows {
					for _, cell := range row {
						cell.Number()
					}
				}
			})
			if got == nil {
				t.Fatal("accepted")
			}
			if !strings.Contains(got.Message, c.want) || strings.Contains(got.Message, "\n") || got.Call != "zone.Read" {
				t.Errorf("got  %q\nwant %q", got.Message, c.want)
			}
			if strings.HasPrefix(c.want, "r.csv:") {
				n := got.Notes[0]
				if n.Position.Line == 0 || n.Excerpt == "" || n.Width < 1 || !strings.HasPrefix(got.Message, n.Position.String()+": "+n.Message) {
					t.Errorf("note %+v", n)
				}
			}
		})
	}
}

func TestNoteShowsTheCell(t *testing.T) {
	got := stop(func() { parse("zone.Read", "d/r.csv", []byte("# x\na,b\n1,oops\n")).Rows[0][1].Number() })
	n := got.Notes[0]
	if n.Position.String() != "d/r.csv:3:3" || n.Excerpt != "1,oops" || n.Width != 4 {
		t.Errorf("note %+v", n)
	}
}

func TestFilesOutsideTheFolderAreRefused(t *testing.T) {
	host.Begin(host.Run{Folder: fstest.MapFS{
		"readings.csv":    {Data: []byte("a\n1\n")},
		"old/before.csv":  {Data: []byte("a\n2\n")},
		"big.csv":         {Data: make([]byte, MaxBytes+1)},
		"recipe.go":       {Data: []byte("package main\n")},
		"old/another.txt": {Data: []byte("x")},
	}})
	for _, c := range []struct{ file, want, hint string }{
		{"reading.csv", "there is no file reading.csv in the recipe's folder", "There is readings.csv."},
		{"old/befor.csv", "there is no file old/befor.csv", "There is old/before.csv."},
		{"temperatures.csv", "there is no file temperatures.csv", ""},
		{"nowhere/x.csv", "there is no file nowhere/x.csv", ""},
		{"../readings.csv", `file is "../readings.csv"; it must be the name of a file in the recipe's own folder`, ""},
		{"/etc/passwd", "it must be the name of a file in the recipe's own folder", ""},
		{"", `file is ""; it must be`, ""},
		{".", `file is "."; it must be`, ""},
		{"old", "old is a folder, not a file", ""},
		{"big.csv", "big.csv is larger than 1024 kB", ""},
	} {
		got := stop(func() { Read("zone.Read", c.file) })
		if got == nil || !strings.Contains(got.Message, c.want) || got.Hint != c.hint {
			t.Errorf("%q: %+v", c.file, got)
		}
	}
	if s := Read("zone.Read", "old/before.csv"); s.Rows[0][0].Number() != 2 {
		t.Error("a file in a folder below is misread")
	}
}

func FuzzSheet(f *testing.F) {
	for _, s := range []string{"a,b\n1,2\n", "# c\r\nset,zone 1\r\nx,\"1\"\r\n", "a;b\n1;2", "a\r1\r", "\xef\xbb\xbfa,b\n1,\"2\n", "a,b\n\xff,2\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		got := stop(func() {
			s := parse("zone.Read", "r.csv", data)
			for _, row := range s.Rows {
				if len(row) != len(s.Head) {
					t.Errorf("a row of %d under a head of %d", len(row), len(s.Head))
				}
				for _, c := range row {
					if v := c.Number(); math.IsNaN(v) || math.IsInf(v, 0) {
						t.Errorf("%q is read as %v", c.Text, v)
					}
				}
			}
		})
		if got == nil {
			return
		}
		if strings.ContainsAny(got.Message, "\n\r") || !utf8.ValidString(got.Message) {
			t.Errorf("message %q", got.Message)
		}
		for _, n := range got.Notes {
			if n.Position.Line < 1 || n.Position.Column < 1 || strings.Contains(n.Excerpt, "\n") || !utf8.ValidString(n.Excerpt) {
				t.Errorf("note %+v", n)
			}
		}
	})
}

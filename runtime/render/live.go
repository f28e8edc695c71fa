package render

import (
	"html/template"
	"strconv"
	"strings"

	"lapwright/stdlib/document"
)

// A Piece is an element of a page that can be replaced by itself: no other piece
// changes with it. Its ID is that of the element.
type Piece struct{ ID, HTML string }

// Pieces are what a page is made of, but for the table or form of its inputs.
type Pieces struct {
	Title    string // of the page
	Top      Piece  // title, summary, contents
	Faults   Piece  // what is wrong, where that does not belong to a section; HTML is "" where nothing is
	Sections []Piece
}

// Live is a document on a page that follows its recipe.
type Live struct {
	Document *document.Document
	Older    *document.Document // what an older run gave, for sections that this one has not reached; nil for none
	Running  bool               // the run goes on
	Section  int                // that main is in, while Running
}

type sectionView struct {
	ID, Title string
	State     string // in words; "" for a section that ran to its end
	Short     string // the same for the list of contents; "" also for one whose turn has not come
	Prose     template.HTML
	Blocks    []template.HTML
	Older     []template.HTML // blocks of an older run
	Code      template.HTML
	From      int // line of the code's part
	Faults    []faultView
	Declared  bool
}

// Pieces draws the document.
func (l Live) Pieces() (Pieces, error) {
	d := l.Document
	sections := d.Sections
	if len(sections) == 0 && l.Older != nil {
		// There is nothing to show but what there was.
		sections = make([]document.Section, len(l.Older.Sections))
		for i, s := range l.Older.Sections {
			s.Blocks = nil
			if s.State != document.Declared {
				s.State = document.NotReached
			}
			sections[i] = s
		}
	}
	older := l.olderBlocks()
	p := Pieces{Title: document.Line(d.Title)}
	var contents []*sectionView
	atSection := false // the faults belong to a section
	for i, id := range sectionIDs(sections) {
		s := sections[i]
		v, err := l.section(i, id, s, older[id])
		if err != nil {
			return Pieces{}, err
		}
		atSection = atSection || len(v.Faults) > 0
		html, err := execute("section", v)
		if err != nil {
			return Pieces{}, err
		}
		p.Sections = append(p.Sections, piece(id, html))
		if v.Title != "" {
			contents = append(contents, v)
		}
	}
	top, err := execute("top", struct {
		Title    string
		Summary  template.HTML
		Contents []*sectionView
	}{p.Title, proseHTML(d.Summary, 2), contents})
	if err != nil {
		return Pieces{}, err
	}
	p.Top = piece("top", top)
	if len(d.Faults) > 0 && !atSection {
		v := struct {
			Faults []faultView
			More   int
		}{More: d.More}
		for _, f := range d.Faults {
			v.Faults = append(v.Faults, faultHTML(f))
		}
		html, err := execute("faults", v)
		if err != nil {
			return Pieces{}, err
		}
		p.Faults = piece("faults", html)
	}
	return p, nil
}

// piece makes what was drawn a piece. Entities in prose may have brought
// characters that act.
func piece(id string, html template.HTML) Piece {
	return Piece{id, document.Visible(string(html))}
}

func (l Live) section(i int, id string, s document.Section, older document.Blocks) (*sectionView, error) {
	v := &sectionView{
		ID: id, Title: document.Line(s.Title), From: s.Line,
		Declared: s.State == document.Declared,
	}
	heading := 2
	if v.Title != "" {
		heading = 3
	}
	switch {
	case s.State == document.Stopped && len(l.Document.Faults) == 0: // by the reader
		v.State, v.Short = "Stopped here.", "stopped here"
	case s.State != document.NotReached:
	case l.Running && i == l.Section:
		v.State, v.Short = "Running.", "running"
	case l.Running:
		v.State = "Not run yet."
	default:
		v.State, v.Short = "Not reached.", "not reached"
	}
	v.Prose = proseHTML(s.Prose, heading)
	if s.Code != "" {
		v.Code = codeHTML(s.Code)
	}
	var err error
	if v.Blocks, err = blocksOnPage(id+"_", heading, s.Blocks); err != nil {
		return nil, err
	}
	if len(older) > 0 && len(s.Blocks) == 0 && v.State != "" {
		v.State += " This is of an older run."
		if v.Older, err = blocksOnPage(id+"_", heading, older); err != nil {
			return nil, err
		}
	}
	if s.State == document.Stopped {
		for _, f := range l.Document.Faults {
			v.Faults = append(v.Faults, faultHTML(f))
		}
	}
	return v, nil
}

// blocksOnPage draws blocks. Ids of theirs are prefix and a number.
func blocksOnPage(prefix string, heading int, blocks document.Blocks) ([]template.HTML, error) {
	var all []template.HTML
	for i, b := range blocks {
		drawn, err := blockOnPage(place{prefix + strconv.Itoa(i+1), heading}, b)
		if err != nil {
			return nil, err
		}
		all = append(all, drawn)
	}
	return all, nil
}

// olderBlocks returns what the older run showed, by the ids of its sections.
func (l Live) olderBlocks() map[string]document.Blocks {
	if l.Older == nil {
		return nil
	}
	all := make(map[string]document.Blocks)
	for i, id := range sectionIDs(l.Older.Sections) {
		all[id] = l.Older.Sections[i].Blocks
	}
	return all
}

// sectionIDs makes ids of the titles of sections: unique, the same on every run,
// and of small letters, digits and hyphens alone, so that an id with an underscore
// clashes with none.
func sectionIDs(sections []document.Section) []string {
	given := map[string]int{"top": 1, "faults": 1} // ids, and how often each was asked for
	ids := make([]string, len(sections))
	for i, s := range sections {
		slug := strings.Trim(strings.Join(strings.FieldsFunc(strings.ToLower(document.Line(s.Title)), func(c rune) bool {
			return !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9')
		}), "-"), "-")
		if len(slug) > 40 {
			slug = slug[:40]
		}
		if slug == "" || slug[0] <= '9' {
			slug = strings.TrimSuffix("s-"+slug, "-")
		}
		id := slug
		for given[id] > 0 {
			given[slug]++
			id = slug + "-" + strconv.Itoa(given[slug])
		}
		given[id] = 1
		ids[i] = id
	}
	return ids
}

// Merge returns the newer document with what the older one showed in sections that
// the newer run did not reach. Where the newer has no sections it is the older.
func Merge(newer, older *document.Document) *document.Document {
	if older == nil {
		return newer
	}
	if len(newer.Sections) == 0 {
		return older
	}
	shown := Live{Older: older}.olderBlocks()
	merged := *newer
	merged.Sections = nil
	for i, id := range sectionIDs(newer.Sections) {
		s := newer.Sections[i]
		if s.State == document.NotReached {
			s.Blocks = shown[id]
		}
		merged.Sections = append(merged.Sections, s)
	}
	return &merged
}

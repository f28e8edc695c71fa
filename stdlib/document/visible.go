package document

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Visible returns s with every character that acts instead of showing made
// visible, so that no words of a recipe can steer a terminal or turn the text
// of a page about: escape becomes ␛, other control characters, bytes that are
// not UTF-8 and marks that change the direction of writing become a picture or
// �. Tabs and line ends stay; "\r\n" becomes "\n".
func Visible(s string) string {
	if plain(s) {
		return s
	}
	var b strings.Builder
	b.Grow(len(s))
	for i, c := range s {
		switch {
		case c == '\r' && strings.HasPrefix(s[i+1:], "\n"):
		case shown(c):
			b.WriteRune(c)
		case c < 0x20:
			b.WriteRune('␀' + c)
		case c == 0x7f:
			b.WriteRune('␡')
		default:
			b.WriteRune(utf8.RuneError)
		}
	}
	return b.String()
}

// Line returns s made visible in one line: tabs and line ends become spaces.
func Line(s string) string {
	s = Visible(s)
	if strings.ContainsAny(s, "\t\n") {
		s = strings.Join(strings.FieldsFunc(s, func(c rune) bool { return c == '\t' || c == '\n' }), " ")
	}
	return s
}

func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c >= utf8.RuneSelf || c < 0x20 && c != '\t' && c != '\n' || c == 0x7f {
			return utf8.ValidString(s) && strings.IndexFunc(s, func(c rune) bool { return !shown(c) }) < 0
		}
	}
	return true
}

// shown tells whether a character only shows. U+200D and U+200C join letters and
// signs in some scripts; they are harmless.
func shown(c rune) bool {
	switch {
	case c == '\t' || c == '\n' || c == '\u200c' || c == '\u200d' || c == '\u00ad':
		return true
	case c == '\u2028' || c == '\u2029' || unicode.Is(unicode.Cc, c) || unicode.Is(unicode.Cf, c):
		return false
	case unicode.Is(unicode.Co, c) || !unicode.IsPrint(c) && !unicode.IsSpace(c) && c != utf8.RuneError:
		return false
	}
	return true
}

package page

import (
	"html/template"
	"net/http"
	"net/url"
	"strings"
)

// list shows the recipes there are.
func (s *Server) list(w http.ResponseWriter, r *http.Request, recipes []Recipe) {
	type entry struct{ Path, Name, File string }
	var entries []entry
	for _, recipe := range recipes {
		entries = append(entries, entry{escaped(recipe.Name) + "/", recipe.Name, recipe.Told})
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_ = pages().ExecuteTemplate(w, "list", struct {
		Style   template.CSS
		Recipes []entry
	}{template.CSS(style()), entries})
}

// escaped is a path as it stands in an address.
func escaped(name string) string {
	parts := strings.Split(name, "/")
	for i, p := range parts {
		parts[i] = url.PathEscape(p)
	}
	return strings.Join(parts, "/")
}

#!/bin/sh
# Holds the pages to the rules of HTML, by the Nu HTML checker, and to WCAG 2.2 AA in
# both themes and narrow, by axe-core in a real Chromium. Needs Go, npm, Java, curl and
# Chromium, and the npm registry.
set -eu
cd "$(dirname "$0")/.."
work=$(mktemp -d)
served=
trap '[ -z "$served" ] || kill "$served"; rm -rf "$work"' EXIT
mkdir "$work/pages" "$work/live"

npm install --prefix "$work" --ignore-scripts --no-audit --no-fund --silent axe-core@4.14.1 vnu-jar@26.9.27

# The pages of the recipes that ship, of the samples, and live ones.
go build -o "$work/lapwright" ./cmd/lapwright
for recipe in recipes/*/; do
	"$work/lapwright" run -o "$work/pages/$(basename "$recipe").html" "$recipe" >/dev/null
done
for sample in runtime/render/testdata/*.txtar; do
	awk '/^-- .* --$/ { page = $2 == "page.html"; next } page' "$sample" >"$work/pages/sample-$(basename "$sample" .txtar).html"
done
"$work/lapwright" open recipes >"$work/address" 2>"$work/said" &
served=$!
while ! [ -s "$work/address" ]; do sleep 0.1; done
address=$(cat "$work/address")
curl -fsL -o "$work/live/list.html" "$address"
for recipe in recipes/*/; do
	name=$(basename "$recipe")
	until curl -fsL -o "$work/live/$name.html" "$address$name/" && grep -q 'data-phase="\(done\|failed\)"' "$work/live/$name.html"; do sleep 0.2; done
done

# The checker knows neither vector-effect, a property of SVG 2, nor that "img-src data:"
# lets pictures be that are in the page itself, which the browser below confirms.
java -jar "$work/node_modules/vnu-jar/build/dist/vnu.jar" --Werror --filterpattern '.*(vector-effect|image .data:.* blocked by .img-src).*' "$work"/pages/*.html "$work"/live/*.html
LAPWRIGHT_AXE=$work/node_modules/axe-core/axe.min.js LAPWRIGHT_PAGES=$work/pages \
	go test -count=1 -run 'CanBeUsedByAll' ./runtime/page

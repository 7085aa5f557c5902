#!/bin/sh
# report.sh: report and plot leave what they promise, refuse what they should, and never harm an older file.
. "$(dirname "$0")/driver.sh"

expect 0 run small-vat.conf -q
expect 0 report small-vat.h5
has "$out" "small-vat.html"
has small-vat.html "<title>Ribbons for a window</title>"
has small-vat.html "The charts of this page are drawn by the library dygraphs"
has small-vat.html "THE SOFTWARE IS PROVIDED"
lacks small-vat.html "sourceMappingURL"
lacks small-vat.html "@@data@@"
lacks small-vat.html "@@page.js@@"
cp small-vat.html first.html
expect 4 report small-vat.h5
has "$err" "exists already"
expect 0 report small-vat.h5 --force -q
is_silent "$out"
cmp -s small-vat.html first.html || fail "the same result gave two different pages"

expect 0 report small-vat.h5 small-vat.h5 -o both.html
has both.html '"runs":['
expect 4 report small-vat.conf -o none.html
is_not_there none.html
expect 4 report missing.h5
expect 4 report small-vat.h5 -o no/such/folder.html
expect 2 report
expect 2 report 1 2 3 4 5 6 7 8 9

expect 0 plot small-vat.h5
has small-vat.svg "<svg"
expect 0 plot small-vat.h5 --series=temperature,air_temperature,ph -o warm.svg
has warm.svg "pH of the liquor"
has warm.svg "<desc>"
expect 2 plot small-vat.h5 --series=warmth -o no.svg
has "$err" "'warmth' is no series"
expect 2 plot small-vat.h5 --series=state -o no.svg
expect 2 plot small-vat.h5 --series=ph,,ph -o no.svg
expect 2 plot small-vat.h5 --series=ph,ph,ph,ph,ph,ph,ph,ph,ph -o no.svg
expect 0 plot small-vat.h5 -o picture.png
"${PYTHON3:-python3}" -B "$TESTS_DIR/cli/common_png.py" picture.png || fail "picture.png is no whole PNG of two pixels a unit"
expect 4 plot small-vat.h5 -o picture.png
expect 2 plot small-vat.h5 -o picture.jpg
has "$err" ".svg"
is_not_there no.svg
expect 4 plot small-vat.h5
expect 0 plot small-vat.h5 --force

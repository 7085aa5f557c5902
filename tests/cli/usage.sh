#!/bin/sh
# usage.sh: help, version, and what is said to a wrong command line.
. "$(dirname -- "$0")/driver.sh"

expect 0 --help
has "$out" "Usage: vatcast VERB"
has "$out" "Exit status:"
is_silent "$err"
expect 0 --version
grep -q -E '^vatcast [0-9]+\.[0-9]+\.[0-9]+$' "$out" || fail "no version"
for verb in run check show export processes materials; do
    expect 0 "$verb" --help
    has "$out" "Usage: vatcast $verb"
    has "$out" "--help"
    is_silent "$err"
    expect 0 --help
    has "$out" "  $verb "
    [ "$("$VATCAST" "$verb" --help | awk 'length > 80' | wc -l)" -eq 0 ] || fail "help of $verb is too wide"
done

# The manual page tells the same verbs and exit statuses, each in the same words.
expect 0 --help
told=$(sed -n '/^Verbs:/,/^Models/p' "$out" | sed "/^$/d; /^Verbs:/d; /^Exit/d; /^Models/d; /^'vatcast/d; /^version/d" |
    awk '/^  [a-z0-9]/ { printf "\n" } { $1 = $1; printf "%s ", $0 }' | sed '/^ *$/d; s/ *$//' | tr -s ' ')
paged=$(sed -n '/^\.SH VERBS/,/^\.SH ENVIRONMENT/p' "$TESTS_DIR/../docs/vatcast.1" | sed 's/^\.IR NAME /NAME/; /^\.SH/d' |
    awk '/^\.TP/ { printf "\n"; next } { sub(/^\.B /, ""); printf "%s ", $0 }' | sed '/^ *$/d; s/ *$//')
[ "$told" = "$paged" ] || fail "the manual page differs from --help: $paged"

expect 2
has "$err" "a verb is missing"
is_silent "$out"
expect 2 brew
has "$err" "'brew' is no verb; try 'vatcast --help'"
expect 2 run
has "$err" "needs SCENARIO; try 'vatcast run --help'"
expect 2 run a.conf b.conf
has "$err" "'b.conf' is one word too many"
expect 2 run --colour=always small-vat.conf
has "$err" "'--colour=always' is unknown"
expect 2 run -z small-vat.conf
has "$err" "'-z' is unknown"
expect 2 run small-vat.conf --output
has "$err" "'--output' needs a value"
expect 2 run small-vat.conf --force=yes
has "$err" "'--force' takes no value"
expect 2 run small-vat.conf --color=pink
has "$err" "expected auto, always or never"
expect 2 run small-vat.conf --rtol=fast
has "$err" "expected a number from 1e-12 to 0.01"
expect 2 export result.h5
has "$err" "needs -o FOLDER"
expect 2 materials indigo
is_not_there small-vat.h5

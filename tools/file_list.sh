#!/bin/sh
# file_list.sh [--write | --check]: one line per file of src, from the comment that opens it.
# --write puts the list into DEVELOPERS.md between its two marks; --check fails when what stands there is out of date.
set -eu

top=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
cd "$top"
guide=DEVELOPERS.md

# One line per module: a header speaks for the source beside it.
list() {
    for room in base chem scenario process sim record study rehearse cli; do
        files=$(find "src/$room" -name '*.[ch]' 2>/dev/null | LC_ALL=C sort)
        [ -n "$files" ] || continue
        printf '\n**src/%s**\n\n' "$room"
        for file in $files; do
            stem=${file%.*}
            case $file in *.c) [ ! -e "$stem.h" ] || continue ;; esac
            name=${stem##*/}
            [ -e "$stem.c" ] && [ -e "$stem.h" ] && ends=".h, .c" || ends=".${file##*.}"
            awk -v title="\`$name\` ($ends)" '
                FNR == 1 && !/^\/\*/ { exit }
                { line = $0; last = line ~ /\*\//; sub(/^ *\/?\*+\/? ?/, "", line); sub(/ *\*\/.*/, "", line)
                  if (FNR > 1 && line == "") exit
                  text = text (text == "" ? "" : " ") line
                  if (last) exit }
                END {
                    sub(/^[A-Za-z0-9_]+\.[ch]: */, "", text)
                    if (match(text, /\.( |$)/)) text = substr(text, 1, RSTART - 1)
                    print "- " title ": " (text == "" ? "(no opening comment)" : text)
                }' "$file"
        done
    done
}

replaced() {
    list >"$scratch/list"
    awk -v list="$scratch/list" '
        /^<!-- files end -->/ { skipping = 0 }
        !skipping { print }
        /^<!-- files begin/ { skipping = 1; while ((getline line < list) > 0) print line; print "" }' "$guide"
}

scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
case ${1:-} in
'') list ;;
--write) replaced >"$scratch/guide" && cat "$scratch/guide" >"$guide" ;;
--check)
    replaced >"$scratch/guide"
    if ! diff -u "$guide" "$scratch/guide" >"$scratch/diff"; then
        grep '^[-+][^-+]' "$scratch/diff" >&2
        echo "file_list: the list of files in $guide is out of date; run: sh tools/file_list.sh --write" >&2
        exit 1
    fi
    if grep -q '(no opening comment)' "$guide"; then
        grep '(no opening comment)' "$guide" >&2
        echo "file_list: a file opens with a comment on what it is for" >&2
        exit 1
    fi
    ;;
*) echo "usage: file_list.sh [--write | --check]" >&2; exit 2 ;;
esac

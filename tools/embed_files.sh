#!/bin/sh
# embed_files.sh OUTPUT.c FILE...: writes the files as constant bytes in C, as src/record/page_parts.h declares them.
# A zero follows the bytes of each. What names a source map is left out: the page must not send a browser looking for one.
set -eu

output=$1
shift
{
    echo '#include "record/page_parts.h"'
    number=0
    for file in "$@"; do
        echo "static const unsigned char part_$number[] = {"
        sed -e '/^\/\/# sourceMappingURL=/d' -e 's|/\*# sourceMappingURL=[^*]*\*/||' "$file" | od -An -v -tu1 | sed 's/  */,/g; s/^,//; s/$/,/'
        echo '0};'
        number=$((number + 1))
    done
    echo 'const struct page_part page_parts[] = {'
    number=0
    for file in "$@"; do
        echo "    {\"$(basename "$file")\", part_$number, sizeof part_$number - 1},"
        number=$((number + 1))
    done
    echo '    {0, 0, 0},'
    echo '};'
} >"$output.new"
mv "$output.new" "$output"

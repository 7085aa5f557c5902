#!/bin/sh
# show_bad.sh: files that are no results, or not any more.
. "$(dirname -- "$0")/driver.sh"

for verb in show export; do
    folder=
    [ "$verb" = show ] || folder="-o tables"
    expect 4 $verb missing.h5 $folder
    has "$err" "'missing.h5' cannot be read"
    expect 4 $verb small-vat.conf $folder
    has "$err" "'small-vat.conf' cannot be read"
    is_silent "$out"
done
is_not_there tables
expect 0 run -q small-vat.conf
head -c 20000 small-vat.h5 >short.h5
expect 4 show short.h5
has "$err" "cut short"

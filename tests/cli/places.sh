#!/bin/sh
# places.sh: where a result cannot go, it is said why before and after the run, and nothing is harmed or left.
. "$(dirname -- "$0")/driver.sh"
cp "$here/../faults/short-vat.conf" .

run_short="run -q short-vat.conf"
no_litter() {
    [ -z "$(find . -name '.*.tmp')" ] || fail "a temporary file was left: $(find . -name '.*.tmp')"
}

# A folder that is not there, or is none; a folder in place of the file; no name.
expect 4 $run_short -o missing/result.h5
has "$err" "the folder 'missing' cannot be reached"
printf 'x' >file
expect 4 $run_short -o file/result.h5
has "$err" "'file' is not a folder"
mkdir folder
expect 4 $run_short -o folder
has "$err" "'folder' is a folder"
expect 4 $run_short -o folder/
has "$err" "names no file"
expect 4 $run_short -o "$(printf '%300s' x | tr ' ' n).h5"
has "$err" "File name too long"

# An existing result is kept, unless asked otherwise; so is what a name that leads elsewhere points to.
printf 'older' >old.h5
expect 4 $run_short -o old.h5
has "$err" "exists already"
[ "$(cat old.h5)" = older ] || fail "the older result was harmed"
ln -s nowhere dangling.h5
expect 4 $run_short -o dangling.h5
has "$err" "exists already"
is_not_there nowhere
expect 0 $run_short -o old.h5 --force
expect 0 show old.h5

# A limit of file sizes is a full disk to whoever runs into it.
printf 'older' >kept.h5
status=0
(ulimit -f 16 && exec "$VATCAST" $run_short -o kept.h5 --force) >"$out" 2>"$err" || status=$?
[ "$status" -eq 4 ] || fail "a run onto a limit of file sizes ended with $status, expected 4"
has "$err" "File too large"
[ "$(cat kept.h5)" = older ] || fail "the older result was harmed"
no_litter

# A folder that may only be read. Root may write anywhere, so another user is taken where that can be.
mkdir locked
printf 'older' >locked/result.h5
chmod 555 locked
as_other=
if [ "$(id -u)" -eq 0 ]; then
    chmod 755 "$scratch" "$scratch/work"
    as_other="setpriv --reuid=65534 --regid=65534 --clear-groups"
    cp -r "$VATCAST_MODELS" models # that other one may not be let into the folder of the project
    VATCAST_MODELS=models
    $as_other "$VATCAST" check short-vat.conf >/dev/null 2>&1 || { echo "as root: read-only folder not tried"; exit 0; }
fi
for name in result.h5 other.h5; do
    status=0
    $as_other "$VATCAST" $run_short -o locked/$name --force >"$out" 2>"$err" || status=$?
    [ "$status" -eq 4 ] || fail "a run into a read-only folder ended with $status, expected 4"
    has "$err" "Permission denied"
done
[ "$(cat locked/result.h5)" = older ] || fail "the older result was harmed"
is_not_there locked/other.h5
chmod 755 locked
no_litter

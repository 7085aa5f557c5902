# driver.sh: sourced by the scripts here. Each runs the program in a folder of its own, which is removed at the end.
#
#   expect STATUS ARGUMENT...   runs vatcast, fails unless it ends with STATUS; its output is in $out and $err
#   has FILE TEXT               fails unless the file holds the text
#   lacks FILE TEXT             fails when it does
#   is_silent FILE              fails unless the file is empty
set -eu
LC_ALL=C
export LC_ALL

: "${VATCAST:?VATCAST names the program under test}"
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
scratch=$(mktemp -d "${TMPDIR:-.}/vatcast-cli-XXXXXX")
scratch=$(CDPATH='' cd -- "$scratch" && pwd)
case $VATCAST in
    */*) VATCAST=$(CDPATH='' cd -- "$(dirname -- "$VATCAST")" && pwd)/$(basename -- "$VATCAST") ;;
esac
out=$scratch/out
err=$scratch/err
mkdir "$scratch/work"
cp "$here/small-vat.conf" "$scratch/work"
cd "$scratch/work"
trap 'rm -rf -- "$scratch"' EXIT

fail() {
    echo "FAILED: $*" >&2
    [ ! -s "$out" ] || { echo "--- stdout" >&2; head -n 60 "$out" >&2; }
    [ ! -s "$err" ] || { echo "--- stderr" >&2; head -n 60 "$err" >&2; }
    exit 1
}

expect() {
    wanted=$1
    shift
    status=0
    "$VATCAST" "$@" >"$out" 2>"$err" || status=$?
    [ "$status" -eq "$wanted" ] || fail "vatcast $*: ended with $status, expected $wanted"
}

has() {
    grep -q -F -e "$2" -- "$1" || fail "$(basename -- "$1") lacks '$2'"
}

lacks() {
    ! grep -q -F -e "$2" -- "$1" || fail "$(basename -- "$1") holds '$2'"
}

is_silent() {
    [ ! -s "$1" ] || fail "$(basename -- "$1") is not empty"
}

is_there() {
    [ -e "$1" ] || fail "'$1' is missing"
}

is_not_there() {
    [ ! -e "$1" ] || fail "'$1' is there"
}

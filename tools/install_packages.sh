#!/bin/sh
# Installs what tools/packages.txt lists on Debian or a relative of it; does nothing when all is there.
# `install_packages.sh build` leaves out what stands below "# to test": a browser is much to ask of one who only dyes.
# `install_packages.sh FILE` installs what another list names.
set -eu

tools=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
list=$tools/packages.txt
cut=''
case ${1:-} in
'') ;;
build) cut='/^# to test/,$d' ;;
*) list=$1 ;;
esac
wanted=$(sed -e "$cut" "$list" | sed 's/#.*//' | tr -s ' \t\n' ' ')

if ! command -v dpkg-query >/dev/null 2>&1 || ! command -v apt-get >/dev/null 2>&1; then
    echo "install_packages: this is not Debian; going on with what is installed. Needed:$wanted" >&2
    exit 0
fi

missing=
for package in $wanted; do
    if ! dpkg-query -W -f='${Status}\n' "$package" 2>/dev/null | grep -q '^install ok installed$'; then
        missing="$missing $package"
    fi
done
[ -n "$missing" ] || exit 0

as_root=
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo >/dev/null 2>&1; then
        echo "install_packages: please install as root:$missing" >&2
        exit 1
    fi
    as_root=sudo
fi

log=$(mktemp)
trap 'rm -f "$log"' EXIT
install() {
    # shellcheck disable=SC2086 # the list is meant to fall apart into words
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -o DPkg::Lock::Timeout=300 -q -y --no-install-recommends \
        install $missing >"$log" 2>&1
}

echo "Installing:$missing"
# The package lists may be absent or old: fetch them only when installing without them fails.
if ! install; then
    if ! $as_root apt-get -q update >"$log" 2>&1 || ! install; then
        cat "$log" >&2
        echo "install_packages: could not install:$missing" >&2
        exit 1
    fi
fi

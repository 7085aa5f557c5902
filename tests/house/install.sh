#!/bin/sh
# install.sh BUILD: installs the build into a prefix of its own, runs what is installed with the models and a scenario that are
# installed, uninstalls, and looks for what is left.
set -eu

build=$1
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT
unset VATCAST_MODELS DESTDIR
fail() {
    echo "FAILED: $*" >&2
    exit 1
}

# The prefix lies in a folder called vatcast, which is the user's; and someone else's file lies where ours go.
prefix=$scratch/vatcast/prefix
mkdir -p "$prefix/share/vatcast/models"
echo 'mine' >"$prefix/share/vatcast/models/own.txt"
[ ! -e "$build/install_manifest.txt" ] || mv "$build/install_manifest.txt" "$scratch/manifest"
cmake --install "$build" --prefix "$prefix" >"$scratch/log" || { cat "$scratch/log"; fail "installing"; }
for file in bin/vatcast share/vatcast/models/sugar-lime.conf share/vatcast/scenarios/fresh-vat.conf share/doc/vatcast/README.md \
    share/doc/vatcast/copyright share/doc/vatcast/security.md; do
    [ -f "$prefix/$file" ] || fail "$file is not installed"
done
[ -n "$(find "$prefix/share/man/man1" -name 'vatcast.1*')" ] || fail "the manual page is not installed"

mkdir "$scratch/work"
cd "$scratch/work"
PATH=$prefix/bin:$PATH
export PATH
vatcast run "$prefix/share/vatcast/scenarios/fresh-vat.conf" >said || fail "the installed program does not run"
grep -q 'fresh-vat.h5' said || fail "no result"
vatcast show fresh-vat.h5 >/dev/null || fail "the result does not read"
vatcast plot fresh-vat.h5 -o fresh-vat.svg >/dev/null || fail "no picture"
vatcast report fresh-vat.h5 -o fresh-vat.html >/dev/null || fail "no page"

# It is the installed models that are read, not those of the folder it was built from.
mv "$prefix/share/vatcast/models/sugar-lime.conf" sugar-lime.conf
! vatcast check "$prefix/share/vatcast/scenarios/fresh-vat.conf" >said 2>&1 || fail "models other than the installed ones are read"
grep -q 'sugar-lime' said || fail "the missing model is not named"
mv sugar-lime.conf "$prefix/share/vatcast/models/sugar-lime.conf"

(cd "$build" && cmake -P "$(sed -n 's/^CMAKE_HOME_DIRECTORY:INTERNAL=//p' CMakeCache.txt)/tools/cmake/uninstall.cmake") >"$scratch/log" 2>&1 ||
    { cat "$scratch/log"; fail "uninstalling"; }
[ ! -e "$scratch/manifest" ] || mv "$scratch/manifest" "$build/install_manifest.txt"
left=$(cd "$prefix" && find . | LC_ALL=C sort | tr '\n' ' ')
[ "$left" = ". ./bin ./share ./share/doc ./share/man ./share/man/man1 ./share/vatcast ./share/vatcast/models ./share/vatcast/models/own.txt " ] ||
    fail "after uninstalling there is: $left"
echo "installed, run, uninstalled; nothing left"

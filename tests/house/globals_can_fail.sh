#!/bin/sh
# The check of changeable variables complains about each kind of them, and lets constants be.
set -eu

check=$1
compiler=$2
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"

archive() {
    rm -f ./*.a ./*.o
    printf '%s\n' "$1" >one.c
    "$compiler" -fPIC -c one.c -o one.o
    ar rc one.a one.o
}
archive 'static const char *const words[] = {"a", "b"}; const int table[2] = {1, 2}; const char *word(int i) { return words[i]; }'
sh "$check" one.a || { echo "complains about constants"; exit 1; }
for fault in 'int counter;' 'int counter = 3;' 'int f(void) { static int calls; return ++calls; }' \
    'int f(void) { static int calls = 1; return ++calls; }' '_Thread_local int counter = 1;' \
    'static const char *words[] = {"a"}; void f(const char *w) { words[0] = w; } const char *g(void) { return words[0]; }'; do
    archive "$fault"
    if sh "$check" one.a 2>told; then echo "missed: $fault"; exit 1; fi
    grep -q 'a variable that can change' told || { cat told; exit 1; }
done

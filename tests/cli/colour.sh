#!/bin/sh
# colour.sh: colour only where it is wanted.
. "$(dirname -- "$0")/driver.sh"

escape=$(printf '\033')
expect 0 run small-vat.conf
lacks "$out" "$escape"
lacks "$err" "$escape"
expect 0 show small-vat.h5 --color=always
has "$out" "$escape[1mDyed"
NO_COLOR=1
export NO_COLOR
expect 0 show small-vat.h5 --color=always
has "$out" "$escape"
expect 0 show small-vat.h5 --color=never
lacks "$out" "$escape"
# on_terminal TERM: shows the result on a terminal of that kind
on_terminal() {
    TERM=$1 script -q -e -c "'$VATCAST' show small-vat.h5" /dev/null >"$out" </dev/null 2>"$err" ||
        fail "no run on a terminal"
}

if script -q -e -c true /dev/null >/dev/null 2>&1 </dev/null; then # where there is a terminal to be had
    on_terminal xterm
    lacks "$out" "$escape"
    unset NO_COLOR
    on_terminal xterm
    has "$out" "$escape[1m"
    on_terminal dumb
    lacks "$out" "$escape"
fi

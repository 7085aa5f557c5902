#!/bin/sh
# rehearse.sh: a session from a pipe: its answers, its files, its journal, and what is said of lines that are not understood.
. "$(dirname -- "$0")/driver.sh"

say() { # STATUS ARGUMENT... with sentences on stdin
    wanted=$1
    shift
    status=0
    "$VATCAST" rehearse "$@" >"$out" 2>"$err" || status=$?
    [ "$status" -eq "$wanted" ] || fail "vatcast rehearse $*: ended with $status, expected $wanted"
}
vat=$SCENARIOS_DIR/fresh-vat.conf

# The whole of a day; the saved scenario gives the bytes of the saved result.
say 0 "$vat" <<'END'
# a teacher's script may have remarks
look
stir 2 min

wait 1 hour
add 20 g fructose
add 20 g lime as slurry
add 10 g lime
read strip
test strip
warm to 50 C
dip napkin for 8 min
air 20 min
why since 10:00
reveal
what if stir hard then wait 2 hours
top up with 1 L hot water
rack off the bed
throw away
save day.conf
save day.h5
report day.html
END
is_silent "$err"
! grep -q '.\{81\}' "$out" || fail "a line is wider than 80 columns"
lacks "$out" "> "
has "$out" "It is day 1 10:02. At "
has "$out" "The strip shows pH "
has "$out" "In goes 20 g of fructose."
has "$out" "The test strip, 8 min in and 2 min in the air, is "
has "$out" "The napkin numbered 1 goes in and comes out, dip 1: "
has "$out" "Since day 1 10:00, weighed where no dyer can:"
has "$out" "Left alone: "
has "$out" "Nothing was done."
# Cautions: in full the first time, in short the second; heat; the drain.
has "$out" "Care, slaked lime: burns eyes and skin"
[ "$(grep -c 'Care, slaked lime' "$out")" -eq 1 ] || fail "the caution is told in full twice"
has "$out" "Care: goggles and gloves."
has "$out" "Care: hot liquor scalds; burners outdoors"
has "$out" "Care: hot water scalds."
has "$out" "down the drain untreated"
has "$out" "local rules first"
expect 0 run -q day.conf -o again.h5
cmp -s day.h5 again.h5 || fail "the saved scenario gives another result than the session"
expect 0 check day.conf
has day.conf '# day 1 10:02: add 20 g fructose'
has day.html '<html'
[ -z "$(ls ./*.session 2>/dev/null)" ] || fail "a script left a journal without being asked"

# A wrong line is told with its number, changes nothing, and the others are done.
printf 'stir\nwibble\nwait 1 h\nad 20 g lime\nsave none/at/all.conf\ntime\n' | say 3 "$vat"
has "$err" "line 2: \"wibble\" is not understood."
has "$err" "line 4: \"ad\" is not understood. Did you mean: add 50 g slaked lime?"
has "$err" "line 5: "
has "$err" "3 lines were not understood or could not be done; the first is line 2"
has "$out" "It is day 1 10:02."
head -c 3000 /dev/zero | tr '\0' x | say 3 "$vat"
has "$err" "line 1: That is too long for one sentence."
printf 'time\rlook\0 \033[31m\n\001\002\n' | say 3 "$vat"
! grep -q "$(printf '\033')" "$err" || fail "a letter that steers the terminal came through"

# Files that are there are kept, unless --force.
echo precious >mine.conf
printf 'stir\nsave mine.conf\n' | say 3 "$vat"
has mine.conf precious
printf 'stir\nsave mine.conf\n' | say 0 "$vat" --force
lacks mine.conf precious

# The journal, and taking it up again.
printf 'stir\nwait 2 h\nread meter\nwhy\nwibble\n' | say 3 "$vat" --journal it.session
cp "$out" first
printf 'story\nread meter\nsave one.h5\n' | say 0 --resume it.session
has "$out" "day 1 11:02  why"
printf 'stir\nwait 2 h\nread meter\nread meter\nsave two.h5\n' | say 0 "$vat"
printf 'save three.h5\n' | say 0 --resume it.session
# Alike but for the name of the scenario, which is that of the file.
expect 0 export one.h5 -o csv-one
expect 0 export two.h5 -o csv-two
diff -r csv-one csv-two >/dev/null || fail "taken up again, the session is another"
cmp -s one.h5 three.h5 && fail "the name of the file is not in it"
printf 'stir\n' | say 4 "$vat" --journal it.session
has "$err" "is there already; --resume takes it up"
printf 'torn li' >>it.session
printf 'time\n' | say 0 --resume it.session
! grep -q 'torn' it.session || fail "a torn line was left"
sed 's/wait 2 h/wait 3 h/' it.session >other.session
say 4 --resume other.session </dev/null
has "$err" "is damaged after sentence 1"
cp small-vat.conf changed.conf
printf 'stir\n' | say 0 changed.conf --journal changed.session
sed -i 's/^title/# later\ntitle/' changed.conf
say 3 --resume changed.session </dev/null
has "$err" "is not what it was when the session began"

# Seed, settings and calendar go with it.
printf 'wait 3 h\nread meter\n' | say 0 "$vat" --seed 5 --set 'vat.water.temperature=30 degC' --calendar --journal set.session
has "$out" "by the calendar: stir."
printf 'back 1\nread meter\nsave set.h5\nsave set.conf\n' | say 0 --resume set.session
expect 0 run -q set.conf -o set-again.h5
cmp -s set.h5 set-again.h5 || fail "a session with a calendar is not reproduced"

# Usage.
expect 2 rehearse
expect 2 rehearse "$vat" --resume it.session
expect 2 rehearse "$vat" --seed -1
expect 4 rehearse nowhere.conf
expect 4 rehearse --resume nowhere.session
expect 3 rehearse "$TESTS_DIR/bad/vat-empty.conf"
has "$err" "vat-empty.conf:"
expect 0 rehearse --help
has "$out" "take up the session of a journal"

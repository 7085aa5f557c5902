# lesson.sh: the list of lessons, unknown ones, hints, what is withheld, leaving early, running out of time.
set -eu

fail()
{
    echo "$1" >&2
    exit 1
}

# expect STATUS TEXT COMMAND...: the command ends so, and says so on stderr.
expect()
{
    status=$1
    text=$2
    shift 2
    got=0
    "$@" >out.txt 2>err.txt </dev/null || got=$?
    [ "$got" -eq "$status" ] || fail "'$*' ended with $got, not $status: $(cat err.txt)"
    grep -q -F -e "$text" err.txt || fail "'$*' does not say '$text' but: $(cat err.txt)"
}

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
cd "$folder"

"$VATCAST" lesson >list.txt
[ "$(grep -c '^ *[0-9]' list.txt)" -eq "$(ls "$SCENARIOS_DIR"/lessons/*.conf | wc -l)" ] || fail "not all lessons are listed"
grep -q '^ 1  The first vat ' list.txt || fail "the first lesson is not the first vat"
if grep -q -i 'lime\|air\|sediment\|sour' list.txt; then
    fail "the list tells what is hidden: $(cat list.txt)"
fi
"$VATCAST" lesson 3 </dev/null >out.txt
grep -q '^Lesson *The hungry vat' out.txt || fail "the third lesson is not found by its number"
expect 2 "there is no lesson 77" "$VATCAST" lesson 77
expect 2 "there is no lesson 0" "$VATCAST" lesson 0

expect 2 "did you mean 'lime-short'?" "$VATCAST" lesson lime-shrt
expect 2 "'vatcast lesson' lists them" "$VATCAST" lesson quite-another-thing
expect 3 "holds no lesson" "$VATCAST" lesson "$SCENARIOS_DIR/fresh-vat.conf"
expect 4 "no folder of lessons" env VATCAST_LESSONS=/nowhere "$VATCAST" lesson
expect 3 "'ledger' is \"hexose\"" "$VATCAST" lesson "$TESTS_DIR/bad/lesson-wrong.conf"

# A faulty lesson in the folder is told of, and the others are there.
mkdir mixed
cp "$SCENARIOS_DIR/lessons/lime-short.conf" "$TESTS_DIR/bad/lesson-wrong.conf" mixed/
expect 3 "'ledger' is" env VATCAST_LESSONS=mixed "$VATCAST" lesson
grep -q '^ 1  The hungry vat ' out.txt || fail "a faulty lesson hides the others"
VATCAST_LESSONS=mixed "$VATCAST" lesson 1 </dev/null >out.txt 2>err.txt || fail "a faulty lesson bars the others"

# More files than a list of lessons takes are told of, none left out unsaid.
mkdir many
i=1
while [ "$i" -le 201 ]; do
    : >"many/lesson-$i.conf"
    i=$((i + 1))
done
expect 6 "has 201 files; expected at most 200 lessons" env VATCAST_LESSONS=many "$VATCAST" lesson
expect 6 "has 201 files" env VATCAST_LESSONS=many "$VATCAST" lesson lesson-7

# A good course that is not understood is the teacher's mistake, and told as such.
sed 's/"add 40 g slaked lime"/"sprinkle some lime"/' "$SCENARIOS_DIR/lessons/lime-short.conf" >mine.conf
expect 3 '"sprinkle some lime", is not understood' "$VATCAST" lesson ./mine.conf

# Hints come one by one and then no more.
printf 'hint\nHint.\nhint\nhint\nhint\nDone\n' | "$VATCAST" lesson lime-short >out.txt
grep -q '^Hint 1 ' out.txt && grep -q '^Hint 4 ' out.txt || fail "hints are missing"
grep -q 'no more hints' out.txt || fail "hints do not end"
grep -q 'with 4 of the 4 hints' out.txt || fail "hints are not counted"

# Nothing hidden is told, however it is asked for.
printf 'reveal\nwhy\nadvice\nwhat if wait 2 h\nwait 1 h then reveal\nthrow away\nWhat now?\nreport mine.html\n' | "$VATCAST" lesson lime-short >out.txt
[ "$(grep -c 'told at the end' out.txt)" -eq 8 ] || fail "what is hidden is told: $(cat out.txt)"

# The time is told with what is left of it, and help lists only what is answered.
printf 'wait 1 h\nhow much time is left?\nhelp\n' | "$VATCAST" lesson lime-short >out.txt
sed '/^Debrief/,$d' out.txt >before.txt
[ "$(grep -c 'It is day 1 10:00; you have until day 2 12:00' before.txt)" -eq 1 ] || fail "the time left is not told: $(cat before.txt)"
grep -q '^  Ask *story; time; help dip$' before.txt || fail "help lists what is not answered: $(cat before.txt)"

# A strip does not tell how limy a limy vat is.
printf 'add 200 g slaked lime\nstir\nread strip\nread strip\nread strip\nread strip\n' | "$VATCAST" lesson cold-shed >out.txt
grep -q 'The strip shows its top field, pH 14: 12.5 or more' out.txt || fail "the top of a strip is not told: $(cat out.txt)"

# Whether it is ready may be asked: the answer holds what is seen, and no advice.
printf 'is it ready?\n' | "$VATCAST" lesson lime-short >out.txt
sed '/^Debrief/,$d; /^Time /,/say\.$/d' out.txt >before.txt
grep -q 'That is for you to tell' before.txt || fail "whether it is ready is not answered"
if grep -q 'advice\|leuco\|9\.[0-9]' before.txt; then
    fail "whether it is ready tells too much: $(cat before.txt)"
fi

{
    printf 'then reveal\ni reveal\nI why\nnow please why\nwait 1 h then then reveal\nwait 1 h THEN reveal\nwait 1 h\tThen\treveal\n'
    printf 'please now please advice\nplease what if stir then wait 2 h\nwhy%400s\nwhy\001\n' ''
} | "$VATCAST" lesson lime-short >out.txt
[ "$(grep -c 'told at the end' out.txt)" -eq 11 ] || fail "what is hidden is told when asked in other words: $(cat out.txt)"

# What is saved holds it too, and is written when it has been told; a name that is taken is refused at once.
: >taken.conf
got=0
printf 'save taken.conf\nsave early.h5\nsave early.conf\nsave early.h5\nadd 40 g lime\n' | "$VATCAST" lesson lime-short >out.txt 2>err.txt || got=$?
[ "$got" -eq 3 ] || fail "a save to a file that is there ended with $got"
grep -q "line 1: 'taken.conf' is there already" err.txt || fail "a file that is there is not refused: $(cat err.txt)"
[ ! -s taken.conf ] || fail "a file that was there is not what it was"
sed '/^Debrief/,$d' out.txt >before.txt
[ "$(grep -c 'is written after the debrief' before.txt)" -eq 3 ] || fail "saving in a lesson is not put off: $(cat out.txt)"
[ "$(sed '1,/^Debrief/d' out.txt | grep -c '^Written to early.h5\.$\|^Saved. .vatcast run early.conf. does')" -eq 2 ] || fail "nothing is written after the debrief: $(cat out.txt)"
"$VATCAST" run early.conf -o again.h5 -q
cmp early.h5 again.h5 || fail "the lesson that was saved gives another result"
"$VATCAST" export early.h5 -o tables >/dev/null
grep -q 'add' tables/events.csv || fail "what was done after the sentence 'save' is not in it"
got=0
printf 'save nowhere/x.conf\nsave late.conf\n' | "$VATCAST" lesson lime-short >out.txt 2>err.txt || got=$?
[ "$got" -eq 4 ] || fail "a save into no folder ended with $got: $(cat err.txt)"
[ -s late.conf ] || fail "a save that failed kept another from being done"
i=1
while [ "$i" -le 9 ]; do
    echo "save $i.conf"
    i=$((i + 1))
done | "$VATCAST" lesson lime-short >out.txt 2>err.txt || true
grep -q 'saves 8 files at most' err.txt || fail "a ninth file is not refused: $(cat err.txt)"

# What only lets time pass is no step, however it is said.
printf 'stir\nWait 1 h\nLet it rest 1 h\nplease rest 1 h\nair 20 min\nlook\n' | "$VATCAST" lesson lime-short >out.txt
if grep -q '^[0-9:]* *\(Wait\|Let it\|please\)' out.txt; then
    fail "waiting is told as a step: $(cat out.txt)"
fi
grep -q '^[0-9:]* stir' out.txt && grep -q '^[0-9:]* look' out.txt || fail "steps are missing: $(cat out.txt)"

# Leaving is a course too: nothing done, and the debrief of that.
"$VATCAST" lesson lime-short </dev/null >out.txt
grep -q '^MISSED *1\.' out.txt || fail "nothing done should not do"
grep -q 'goals met, with 0 of' out.txt || fail "no debrief after leaving"

# Time runs out: waiting goes to the end, and what else goes beyond it is not done.
got=0
printf 'wait 26 h then dip 4 napkins for 10 min 50 times\nadd 40 g lime\ndone\n' | "$VATCAST" lesson lime-short >out.txt 2>err.txt || got=$?
[ "$got" -eq 3 ] || fail "a dip beyond the end is no mistake: $got"
grep -q 'beyond the end of the lesson. Nothing was done' err.txt || fail "a dip beyond the end is not refused: $(cat err.txt)"
grep -q '^09:00 add 40 g lime' out.txt || fail "a dip beyond the end takes time"
printf 'wait 3 weeks\nadd 40 g slaked lime\n' | "$VATCAST" lesson lime-short >out.txt
grep -q 'beyond the end' out.txt || fail "the end is not told"
grep -q 'nothing given' out.txt || fail "something was done after the end"

# Going back does not lead to before the lesson.
printf 'wait 1 h\nadd 10 g fructose\nback to start\nlesson\ndone\n' | "$VATCAST" lesson whipped-with-air >out.txt
[ "$(grep -c 'It is day 2 09:15; you have' out.txt)" -eq 2 ] || fail "the past can be changed"
grep -q '^You .*nothing given' out.txt || fail "back does not lead to the beginning"

# A journal says which lesson it is; a foreign file is refused, and so is another name beside it.
printf 'look\n' | "$VATCAST" lesson lime-short --journal mine.session >out.txt
expect 4 "is there already" "$VATCAST" lesson lime-short --journal mine.session
long=$(printf '%04200d' 0)
expect 4 "is too long" "$VATCAST" lesson lime-short --journal "$long"
expect 4 "is too long" "$VATCAST" rehearse "$SCENARIOS_DIR/fresh-vat.conf" --journal "$long"
expect 2 "--resume goes alone" "$VATCAST" lesson lime-short --resume mine.session
expect 4 "" "$VATCAST" lesson --resume list.txt
sed 's/lime = "0 g"/lime = "9 g"/' "$SCENARIOS_DIR/lessons/lime-short.conf" >mine.conf
printf 'look\n' | "$VATCAST" lesson ./mine.conf --journal other.session >out.txt
echo '# changed' >>mine.conf
expect 3 "is not what it was" "$VATCAST" lesson --resume other.session

# The good course of each lesson, as the teacher sees it.
"$VATCAST" lesson lime-short --good >out.txt
grep -q '^4 of the 4 goals met,' out.txt || fail "the good course does not meet its goals"

#!/bin/sh
# advise.sh: what vatcast advise tells, as words and as JSON; its calendar lines run; mistakes are told.
. "$(dirname -- "$0")/driver.sh"

expect 0 advise --quiet "$SCENARIOS_DIR/advice-cold.conf"
is_silent "$err"
has "$out" "Found cold in March: 28 L, 9 degC, pH 12.6"
has "$out" "Now       warm it to"
has "$out" "Only this, then rest it, covered."
has "$out" "left alone not within 36 h"
has "$out" "Give up"
has "$out" "as advised                         left alone"
has "$out" "hot liquor scalds"
! grep -q '.\{81\}' "$out" || fail "a line is wider than 80 columns"
! grep -q ' $' "$out" || fail "a line ends in a blank"

# The lines for the calendar are a calendar.
sed -n '/^Calendar/,/^Care/p' "$out" | grep '^    {' >calendar
{
    sed '/^vat = /,$!d' "$SCENARIOS_DIR/advice-cold.conf"
    sed -n '/^start/p;/^lasts/p' "$SCENARIOS_DIR/advice-cold.conf"
    echo 'calendar = ('
    cat calendar
    echo ');'
} >pasted.conf
expect 0 check pasted.conf
expect 0 run pasted.conf -o pasted.h5

# Lime first, and in two measures.
expect 0 advise -q "$SCENARIOS_DIR/advice-thirsty.conf"
has "$out" "Now       slaked lime: "
has "$out" "tbsp, stirred in slowly"
has "$out" "Order     lime first; the other way round:"
has "$out" "never water onto dry lime"

expect 0 advise -q "$SCENARIOS_DIR/advice-suspect.conf"
has "$out" "Suspect   pH 13.4 cannot be"
has "$out" "does without the pH"

# The same answer from any number of threads.
expect 0 advise -q -j 1 "$SCENARIOS_DIR/advice-thirsty.conf"
cp "$out" one
expect 0 advise -q -j 3 "$SCENARIOS_DIR/advice-thirsty.conf"
cmp one "$out" || fail "the number of threads changes the advice"

# The end of a vat.
expect 0 advise -q "$SCENARIOS_DIR/advice-last.conf"
has "$out" "It lacks indigo"
has "$out" "before anything told here"
has "$out" "of vinegar, or"
has "$out" "no storm drain"
expect 0 advise -q --retire "$SCENARIOS_DIR/advice-last.conf"
lacks "$out" "Now       "
has "$out" "3 Acid"
expect 0 advise -q --retire "$SCENARIOS_DIR/advice-last.conf" --set 'vat.existing.ph=7.8' --set 'vat.existing.lime=0 g'
has "$out" "it needs no acid"

# JSON, by another program.
expect 0 advise -q --json "$SCENARIOS_DIR/advice-last.conf"
cp "$out" last.json
expect 0 advise -q --json "$SCENARIOS_DIR/advice-thirsty.conf"
if command -v python3 >/dev/null; then
    python3 - "$out" last.json <<'PYTHON' || fail "the JSON does not hold what it should"
import json
import sys

advice = json.load(open(sys.argv[1]))["advice"]
first = advice["plan"][0]
assert first["correction"] == "lime" and first["material"] == "slaked lime" and first["mass_g"] > 0, first
assert len(first["calendar"]) == 2 and len(advice["course_left_alone"]) == len(advice["course_as_advised"]) == 8
assert advice["course_left_alone"][-1]["after_h"] == 36 and advice["suspect_readings"] == []
last = json.load(open(sys.argv[2]))
assert last["advice"]["verdict"].startswith("top up") and last["advice"]["plan"] == []
acids = last["disposal"]["acids"]
assert [a["material"] for a in acids] == ["vinegar", "citric acid"]
for acid in acids:
    per_gram = {"vinegar": 0.83e-3, "citric acid": 15.6e-3}[acid["material"]]
    lime = (acid["with_all_lime_g"] - acid["clear_liquor_g"]) * per_gram / 2 * 74.093  # 2 mol of acid per mol of lime
    assert abs(lime - 90) < 1, lime
PYTHON
fi

# Mistakes.
expect 3 advise -q small-vat.conf
has "$err" "needs one that lives already"
expect 3 advise -q "$SCENARIOS_DIR/bran-seeded.conf"
expect 2 advise
expect 2 advise --threads 0 "$SCENARIOS_DIR/advice-cold.conf"
expect 0 advise --help
has "$out" "--retire"

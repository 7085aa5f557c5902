"""The scenarios of the benchmarks, made from six-weeks.conf: so many weeks, happenings and pieces."""
import pathlib

TEMPLATE = pathlib.Path(__file__).with_name("six-weeks.conf")

# A round of work, as (hour of the day, what is done): the vat is warmed, filled up and stirred, dyed in, and fed.
WARM = 'do = "heat"; to = "34 degC";'
FILL = 'do = "top up"; to = "52 L"; temperature = "45 degC";'
STIR = 'do = "stir";'
DIP = 'do = "dip"; pieces = {group}; soak = "12 min"; air = "20 min"; dips = 1;'
SUGAR = 'do = "add"; what = "fructose"; amount = "{sugar:.3g} g";'
LIME = 'do = "add"; what = "slaked lime"; amount = "{lime:.3g} g";'
ROUND = ((7.5, WARM), (8.5, FILL), (8.6, STIR), (10.0, DIP), (17.0, SUGAR), (17.1, LIME))
# What a run counts of one round: warmed, filled up, stirred and still, cloth in, out and aired, fed twice.
HAPPENINGS = 9
# Fed as much in a day whether in few rounds or in many.
SUGAR_A_DAY, LIME_A_DAY = 16.0, 5.0     # g


def text(weeks=6.0, events=100, pieces=24, rtol=None):
    """A scenario of `weeks` weeks with about `events` happenings, spread evenly, in which `pieces` pieces are dyed in
    turn, a quarter of them at a time. Without `rtol` it is calculated at the program's own default."""
    rounds = max(1, round(events / HAPPENINGS))
    days = 7.0 * weeks
    apart = days / rounds
    lines = []
    for i in range(rounds):
        first = float(int(i * apart)) if apart >= 1.0 else i * apart    # whole days, as long as there are enough
        for hour, what in ROUND:
            minute = round(1440 * first + 60 * hour * min(apart, 1.0))
            what = what.format(group=max(1, pieces // 4), sugar=SUGAR_A_DAY * apart, lime=LIME_A_DAY * apart)
            lines.append('  { at = "+%d min"; %s }' % (minute, what))
    filled = TEMPLATE.read_text()
    for key, value in (("hours", "%g" % (24.0 * days)), ("rtol", "" if rtol is None else "rtol = %g;" % rtol),
                       ("pieces", "%d" % pieces), ("calendar", ",\n".join(lines))):
        filled = filled.replace("@%s@" % key, value)
    return filled


if __name__ == "__main__":
    print(text(), end="")

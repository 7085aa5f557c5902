/* verbs.c: see verbs.h. */
#include "faults/verbs.h"

#define SHORT TESTS_DIR "/faults/short-vat.conf"
#define ADVICE SCENARIOS_DIR "/advice-last.conf"
#define CLASS SCENARIOS_DIR "/workshop-class.conf"
#define SWEEP "sweep", SHORT, "--over=leuco_pk2", "--over=vat.water.temperature=45..50 degC", "--runs=3"
#define SESSION                                                                                                        \
    "stir\nadd 5 g lime then wait 2 min\nread strip\nwarm to 51 C\ndip ribbon for 1 min\nwhat if stir hard\nwhy "      \
    "since 09:00\n"                                                                                                    \
    "back 1\nadvise\nreveal\nstory\nhelp dip\n"

const struct verb_case verb_makers[] = {
    {.name = "run", .arguments = {"run", SHORT, "-q", "-o", "in/run.h5"}},
    {.name = "run again", .arguments = {"run", SHORT, "-q", "--set=vat.water.temperature=40 degC", "-o", "in/cool.h5"}},
    {.name = "a sweep", .arguments = {SWEEP, "-q", "-o", "in/sweep.h5"}},
    {.name = "part 1", .arguments = {SWEEP, "-q", "--part=1/2", "-o", "in/one.part"}},
    {.name = "part 2", .arguments = {SWEEP, "-q", "--part=2/2", "-o", "in/two.part"}},
    {.name = "a session", .arguments = {"rehearse", SHORT, "--journal=in/kept.session"}, .input = SESSION},
};
const size_t verb_maker_count = sizeof verb_makers / sizeof verb_makers[0];

const struct verb_case verb_cases[] = {
    {.name = "sweep",
     .firsts_only = true,
     .arguments = {SWEEP, "--threads=1", "-o", "out/sweep.h5"},
     .leaves = ".partial"},
    {.name = "sweep",
     .firsts_only = true,
     .arguments = {SWEEP, "--threads=1", "--summary-only", "--part=1/2", "-o", "out/1"},
     .leaves = ".partial",
     .in_brief = true},
    {.name = "sweep",
     .firsts_only = true,
     .arguments = {SWEEP, "--threads=2", "-o", "out/sweep.h5"},
     .leaves = ".partial",
     .has_threads = true,
     .in_brief = true},
    {.name = "merge", .arguments = {"merge", "in/two.part", "in/one.part", "-o", "out/merged.h5"}},
    {.name = "plot", .arguments = {"plot", "in/run.h5", "-o", "out/plot.svg"}},
    {.name = "plot", .arguments = {"plot", "in/run.h5", "-o", "out/plot.png"}},
    {.name = "report", .arguments = {"report", "in/run.h5", "in/cool.h5", "-o", "out/report.html"}},
    {.name = "export", .arguments = {"export", "in/run.h5", "-o", "out"}, .one_by_one = true},
    {.name = "run",
     .arguments = {"run", SHORT, "-o", "out/run.h5"},
     .leaves = ".partial.h5",
     .goes_on = {"show", "out/run.partial.h5"},
     .tells = "\nStopped "},
    {.name = "run",
     .arguments = {"run", SHORT, "--members=2", "--threads=1", "-o", "out/run.h5"},
     .leaves = ".partial.h5",
     .goes_on = {"show", "out/run.partial.h5"},
     .tells = "\nStopped "},
    {.name = "show", .arguments = {"show", "in/run.h5"}},
    {.name = "show", .arguments = {"show", "in/sweep.h5"}},
    {.name = "check", .arguments = {"check", SHORT, ADVICE}},
    {.name = "tables", .arguments = {"processes"}},
    {.name = "tables", .arguments = {"materials"}},
    {.name = "tables", .arguments = {"lesson"}},
    {.name = "compare", .arguments = {"compare", SHORT, "in/other.conf", "-o", "out/"}, .one_by_one = true},
    {.name = "capacity", .arguments = {"capacity", SHORT, "--members=0", "-q"}, .in_brief = true},
    {.name = "advise", .arguments = {"advise", ADVICE, "--threads=1", "-q"}, .in_brief = true},
    {.name = "advise", .arguments = {"advise", ADVICE, "--retire", "--json", "-q"}, .in_brief = true},
    {.name = "workshop", .arguments = {"workshop", CLASS, "--no-table", "--replications=1", "-q", "-o", "out/day.h5"}},
    {.name = "rehearse",
     .arguments = {"rehearse", SHORT, "--journal=out/mine.session"},
     .input = SESSION,
     .leaves = ".session",
     .goes_on = {"rehearse", "--resume=out/mine.session"}},
    {.name = "rehearse",
     .arguments = {"rehearse", "--resume=in/kept.session"},
     .input = "save out/saved.conf\nsave out/saved.h5\nreport out/page.html\n",
     .one_by_one = true},
    {.name = "lesson", .arguments = {"lesson", "first-vat"}, .input = "stir\nhint\ndone\n"},
};
const size_t verb_case_count = sizeof verb_cases / sizeof verb_cases[0];

#!/bin/sh
# check_layers.sh [TOP]: which file may include what. The table below is the floor plan; see DEVELOPERS.md.
set -eu

top=${1:-$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)}
cd "$top"
[ -d src/base ] || { echo "check_layers: no src/base under $top" >&2; exit 1; }

find src -type f -name '*.[ch]' | LC_ALL=C sort | xargs awk '
BEGIN {
    # Room: rooms it may include. A scenario and a model are plain data, so the floors above chem may read their structs.
    plain = " scenario/scenario.h scenario/model.h "
    rooms["base"]     = " base "
    rooms["chem"]     = " base chem "
    rooms["scenario"] = " base chem scenario "
    rooms["process"]  = " base chem process ";            also["process"] = plain
    rooms["sim"]      = " base chem process sim ";        also["sim"] = plain
    rooms["record"]   = " base sim record ";              also["record"] = plain
    rooms["study"]    = " base chem scenario process sim study "
    rooms["rehearse"] = " base chem scenario process sim study record rehearse "
    rooms["cli"]      = " base chem scenario process sim study record rehearse cli "

    # Header of a library of the outside world: where it may be included, as a pattern over the path.
    outside["libconfig"] = "^src/scenario/settings\\.c$"
    outside["udunits2"]  = "^src/scenario/quantity\\.c$"
    outside["jansson"]   = "^src/record/(report_data|sweep_heading)\\.c$|^src/cli/json\\.h$"
    outside["librsvg"]   = "^src/record/png\\.c$"
    outside["histedit"]  = "^src/cli/line_reader\\.c$"
    outside["hdf5"]      = "^src/record/"
    outside["H5"]        = "^src/record/"
    # Threads have one place; POSIX, not <threads.h>, whose support varies.
    outside["pthread"]   = "^src/study/many\\.c$"
    outside["threads"]   = "^$"
    # The program switches off the handler of GSL errors, once, in main.
    outside["gsl"]       = "^src/(chem|process|sim|study)/|^src/cli/main\\.c$"

    # Headers of the C library that a room has no business with.
    files_and_clocks = " time.h unistd.h fcntl.h pthread.h threads.h signal.h "
    barred["chem"]    = files_and_clocks
    barred["process"] = files_and_clocks " stdio.h "
    barred["sim"]     = files_and_clocks
}

function complain(what) {
    printf "%s:%d: %s\n", FILENAME, FNR, what
    bad = 1
}

# The line without comments and without what stands in quotes (kept for #include lines).
function bare(line,    out, rest, at) {
    if (in_comment) {
        at = index(line, "*/")
        if (at == 0) return ""
        in_comment = 0
        line = substr(line, at + 2)
    }
    if (line !~ /^[ \t]*#[ \t]*include/) {
        gsub(/\\\\/, "", line); gsub(/\\"/, "", line); gsub(/'\''"'\''/, "", line); gsub(/"[^"]*"/, "\"\"", line)
    }
    out = ""
    while ((at = index(line, "/*")) > 0) {
        out = out substr(line, 1, at - 1) " "
        rest = substr(line, at + 2)
        at = index(rest, "*/")
        if (at == 0) { in_comment = 1; line = ""; break }
        line = substr(rest, at + 2)
    }
    out = out line
    sub(/\/\/.*/, "", out)
    return out
}

FNR == 1 {
    in_comment = 0
    split(FILENAME, part, "/")
    room = part[2]
    files++
    if (!(room in rooms)) complain("the folder src/" room " has no floor; give it a row in tools/check_layers.sh")
}

{
    line = bare($0)

    if (line ~ /^[ \t]*#[ \t]*include[ \t]*"/) {
        header = line
        sub(/^[^"]*"/, "", header); sub(/".*/, "", header)
        if (header !~ /\// || header ~ /\.\./) {
            complain("includes \"" header "\"; name it from src, as \"" room "/" header "\"")
        } else {
            split(header, part, "/")
            if (index(rooms[room], " " part[1] " ") == 0 && index(also[room], " " header " ") == 0)
                complain("src/" room " may not include \"" header "\"; it may include:" rooms[room] also[room])
        }
    } else if (line ~ /^[ \t]*#[ \t]*include[ \t]*</) {
        header = line
        sub(/^[^<]*</, "", header); sub(/>.*/, "", header)
        for (name in outside)
            if (index(header, name) == 1 && FILENAME !~ outside[name])
                complain("<" header "> belongs in " outside[name])
        if (index(barred[room], " " header " ") > 0)
            complain("<" header "> has no place in src/" room)
    } else if (room != "cli" && FILENAME != "src/record/guard.c") { # whose child ends by itself
        if (line ~ /(^|[^A-Za-z0-9_])(printf|vprintf|puts|putchar|putc|perror|exit|_Exit|_exit|quick_exit|abort)[ \t]*\(/)
            complain("only src/cli prints or ends the program")
        if (line ~ /(^|[^A-Za-z0-9_])(stdout|stderr)([^A-Za-z0-9_]|$)/)
            complain("only src/cli knows stdout and stderr")
        if (line ~ /(^|[^A-Za-z0-9_])(rand|srand|random|drand48|strtok|gets|sprintf|vsprintf|atoi|atof)[ \t]*\(/)
            complain("a call with hidden state or without bounds")
    }
}

END {
    if (files < 3) { print "check_layers: found hardly any sources"; bad = 1 }
    exit bad
}'

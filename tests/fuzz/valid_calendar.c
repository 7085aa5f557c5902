/* valid_calendar.c: the calendar of a scenario that is in order; see valid_scenario.h.
 *
 * What the reader would refuse is kept out by rank: an entry that follows an action does something of a higher rank than
 * what it follows, and only entries with times of their own bear labels, so none follows itself. At most GROUPS dips stand
 * at fixed times, each again only when its last is over.
 */
#include "fuzz/valid_scenario.h"

#include <math.h>
#include <string.h>

#define ENTRIES 10
#define GROUPS 3 /* fewer than may be in the liquor at once */

enum deed { ADD, TOP_UP, HEAT, HEAT_OFF, STIR, DIP, COVER, WRAP, MOVE, SKIM, RACK, READ, RINSE, SOUR, WASH, DEEDS };
static const char *const deed_words[DEEDS] = {"add",  "top up", "heat", "heat off", "stir",  "dip",  "cover", "wrap",
                                              "move", "skim",   "rack", "read",     "rinse", "sour", "wash"};

struct entries {
    enum deed deeds[ENTRIES];
    bool labelled[ENTRIES];
    size_t count;
};

/* What the timing of a dip must know. */
struct dip {
    double soak, air; /* min */
    size_t dips;
    size_t first; /* 0: any piece */
};

static void put_dip(struct choices *choices, const struct valid_scene *scene, const struct dip *dip)
{
    static const char *const wrings[] = {"hand", "drip", "spin"};
    static const char *const picks[] = {"fewest", "unfinished", "palest"};
    put(choices,
        "cloth = \"c%zu\"; soak = \"%.2f min\"; air = \"%.2f min\"; dips = %zu; pieces = %zu; wring = \"%s\"; ",
        below(choices, scene->cloths), dip->soak, dip->air, dip->dips, 1 + below(choices, 3), PICK(choices, wrings));
    if (dip->first > 0) {
        put(choices, "first = %zu; ", dip->first);
    } else if (scene->targets) {
        put(choices, "pick = \"%s\"; ", PICK(choices, picks));
    }
}

static void put_deed(struct choices *choices, const struct valid_scene *scene, enum deed deed)
{
    static const char *const hows[] = {"gentle", "brisk", "whip"};
    static const char *const lids[] = {"none", "loose", "tight"};
    static const char *const wraps[] = {"none", "blanket", "foam"};
    switch (deed) {
    case ADD:
        valid_dose_write(choices, "what", scene->litres);
        if (seldom(choices, 4)) {
            put(choices, " temperature = \"%.0f degC\";", from_to(choices, 1, 80));
        }
        break;
    case TOP_UP:
        if (yes(choices)) {
            put(choices, "amount = \"%.3f L\"; temperature = \"%.0f degC\"; ", from_to(choices, 0, 0.3) * scene->litres,
                from_to(choices, 1, 80));
        } else if (yes(choices)) {
            put(choices, "to = \"%.3f L\"; ", from_to(choices, 0.5, 1) * scene->litres);
        }
        break;
    case HEAT:
        put(choices, "to = \"%.1f degC\"; ", from_to(choices, 15, 82));
        if (yes(choices)) {
            put(choices, "for = \"%.0f min\"; ", from_to(choices, 1, 120));
        }
        if (!(scene->heater > 0) || seldom(choices, 4)) {
            put(choices, "power = \"%.0f W\"; ", ratio_from_to(choices, 50, 6000));
        }
        break;
    case STIR:
        put(choices, "how = \"%s\"; for = \"%.1f min\"; ", PICK(choices, hows), from_to(choices, 0.1, 20));
        break;
    case COVER:
        put(choices, "lid = \"%s\"; ", PICK(choices, lids));
        break;
    case WRAP:
        put(choices, "wrap = \"%s\"; ", PICK(choices, wraps));
        break;
    case MOVE:
        put(choices, "place = \"p%zu\"; ", below(choices, scene->places));
        break;
    case RACK:
        if (yes(choices)) {
            put(choices, "amount = \"%.3f L\"; ", from_to(choices, 0, 0.6) * scene->litres);
        }
        break;
    case RINSE:
    case SOUR:
    case WASH:
        put(choices, "cloth = \"c%zu\"; ", below(choices, scene->cloths));
        break;
    case HEAT_OFF:
    case DIP: /* with its timing */
    case SKIM:
    case READ: /* with its instrument */
    case DEEDS:
        break;
    }
}

/* Conditions, and what they are read with. */
static void put_conditions(struct choices *choices, enum deed deed, bool conditional)
{
    static const char *const reads[] = {"strip", "meter", "thermometer", "look", "test strip", "orp"};
    static const char *const fitting[][2] = {
        {"ph < 10.5", "strip"},
        {"ph >= 9 and temperature < 45 degC", "meter"},
        {"ph != 11 and ph <= 12.2 and idle > 20 min and temperature > 5 degC", "strip"},
        {"temperature > 30 degC", "thermometer"},
        {"orp > -500 mV", "orp"},
        {"orp <= -450 mV and temperature >= 15 degC", "orp"},
        {"look = faint bronze", "look"},
        {"look != blue", "look"},
        {"level < 48 L", NULL},
        {"idle > 1 h", NULL},
        {"test strip paler than light", "test strip"},
        {"test strip darker than palest", "test strip"},
        {"test strip < 0.3 %", "test strip"},
    };
    if (conditional) {
        size_t which = below(choices, COUNT(fitting));
        put(choices, "when = \"%s\"; ", fitting[which][0]);
        if (fitting[which][1] != NULL) {
            put(choices, "read = \"%s\"; ", fitting[which][1]);
        }
    } else if (deed == READ) {
        put(choices, "read = \"%s\"; ", PICK(choices, reads));
    }
}

/* A time as it may be written, at or just before so many minutes after the start. */
static void put_time(struct choices *choices, const struct valid_scene *scene, const char *key, double minutes)
{
    int of_day = scene->start_min + (int)minutes;
    if (seldom(choices, 3)) {
        put(choices, "%s = \"day %d %02d:%02d\"; ", key, of_day / 1440 + 1, of_day / 60 % 24, of_day % 60);
    } else {
        put(choices, "%s = \"+%.4f min\"; ", key, minutes);
    }
}

/* Deeds that nothing stands in the way of. */
static enum deed choose_deed(struct choices *choices, const struct valid_scene *scene, size_t least)
{
    static const enum deed often[] = {ADD, STIR, DIP, DIP, ADD, TOP_UP};
    size_t deed = yes(choices) ? (size_t)PICK(choices, often) : below(choices, DEEDS);
    if (deed < least) {
        deed = least + deed % (DEEDS - least);
    }
    return deed == MOVE && scene->places == 0 ? SKIM : (enum deed)deed;
}

/* After an action or a label of an entry before. */
static bool put_after(struct choices *choices, const struct entries *all, size_t leader, enum deed deed)
{
    if (all->labelled[leader] && yes(choices)) {
        put(choices, "after = \"e%zu\"; ", leader);
    } else if (all->deeds[leader] < deed) {
        put(choices, "after = \"%s\"; ", deed_words[all->deeds[leader]]);
    } else {
        return false;
    }
    put(choices, "delay = \"%.2f min\"; ", seldom(choices, 3) ? 0.0 : from_to(choices, 0, 30));
    return true;
}

static void put_entry(struct choices *choices, struct valid_scene *scene, struct entries *all)
{
    size_t number = all->count;
    double slot = scene->lasts / ENTRIES;
    /* Now and then at the same moment as the one before. */
    double at = slot * ((double)(number > 0 && seldom(choices, 5) ? number - 1 : number));
    at += seldom(choices, 4) ? 0.0 : finely_from_to(choices, 0, 0.95 * slot);
    struct dip dip = {ratio_from_to(choices, 0.2, 20), from_to(choices, 0, 20), 1 + below(choices, 4), 0};
    size_t kind = below(choices, 8);
    bool conditional = below(choices, 4) == 0;
    enum deed deed = choose_deed(choices, scene, 0);
    put(choices, "%s\n { do = \"%s\"; ", scene->entries++ > 0 ? "," : "", deed_words[deed]);
    bool follows = kind >= 6 && number > 0 && put_after(choices, all, below(choices, number), deed);
    if (!follows && deed == DIP && !conditional) {
        conditional = scene->dips == GROUPS;
        if (!conditional && kind < 4 && seldom(choices, 3)) {
            dip.first = 1 + 4 * scene->dips; /* pieces of its own */
        }
        scene->dips += !conditional;
    }
    if (!follows && (kind == 4 || kind == 5)) {
        double over = deed == DIP ? (double)dip.dips * (dip.soak + dip.air) + 0.1 : 1.0;
        double every = fmax(over, slot * ratio_from_to(choices, 0.5, 8));
        put(choices, "every = \"%.3f min\"; ", every);
        put_time(choices, scene, "from", at);
        if (yes(choices)) {
            put(choices, "until = \"+%.4f min\"; ", at + (scene->lasts - at) * from_to(choices, 0.1, 1));
        }
    } else if (!follows) {
        put_time(choices, scene, "at", at);
    }
    all->deeds[number] = deed;
    all->labelled[number] = !follows && yes(choices);
    if (all->labelled[number]) {
        put(choices, "label = \"e%zu\"; ", number);
    }
    all->count++;
    put_conditions(choices, deed, conditional);
    if (deed == DIP) {
        put_dip(choices, scene, &dip);
    }
    put_deed(choices, scene, deed);
    put(choices, "}");
}

void valid_calendar_write(struct choices *choices, struct valid_scene *scene)
{
    struct entries all = {.count = 0};
    size_t count = below(choices, ENTRIES + 1);
    bool scheduled = seldom(choices, 10);
    put(choices, "calendar = (");
    for (size_t i = 0; i < count; i++) {
        if (scheduled && i == count / 2) {
            put(choices, " );\nschedules = ( { name = \"a\"; calendar = (");
            scene->entries = 0;
        }
        put_entry(choices, scene, &all);
    }
    if (scheduled && count > 0) {
        put(choices,
            " ); }, { name = \"b\"; calendar = ( { do = \"stir\"; at = \"+1 min\"; } ); } );\nschedule = \"%s\"",
            yes(choices) ? "a" : "b");
        put(choices, ";\n");
    } else {
        put(choices, " );\n");
    }
}

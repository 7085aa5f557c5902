/* read_workshop.c: the workshop of a scenario: who comes when, with how many pieces, and what stands ready for them. */
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>

#define PEOPLE_MOST 200
#define SPAN_MOST_S (7 * DAY_S)

static const char arrive_form[] = "( { at = \"day 2 10:00\"; people = 12; over = \"20 min\"; }, ... )";
static const char breaks_form[] = "( { at = \"day 2 12:00\"; for = \"45 min\"; }, ... )";

/* A time of the workshop; NAN when missing or wrong. */
static double moment_read(struct reader *reader, const struct setting *group, const char *key)
{
    const struct setting *item = setting_find(group, key);
    if (item == NULL) {
        (void)group_needs(reader, group, key, "\"day 2 10:00\"");
        return NAN;
    }
    double time = time_read(reader, item, key, DAY_AT_START_CLOCK);
    if (time < 0.0 || time > reader->scenario->lasts) {
        complain(reader, item, "'%s' lies outside the scenario; expected a time from its start to its end", key);
        return NAN;
    }
    return time;
}

static void arrivals_read(struct reader *reader, const struct setting *group, struct workshop *workshop)
{
    static const char *const keys[] = {"at", "people", "over", NULL};
    const struct setting *list = group_needed(reader, group, "arrive", SETTING_LIST, arrive_form);
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP || workshop->arrival_count == ARRIVALS_MOST) {
            complain(reader, item, "an entry of 'arrive' is %s; expected at most %d groups, as %s",
                     item->type == SETTING_GROUP ? "one too many" : setting_type_words(item->type), ARRIVALS_MOST,
                     arrive_form);
            return;
        }
        group_check_keys(reader, item, "arrive", keys);
        struct arrival *arrival = &workshop->arrivals[workshop->arrival_count++];
        arrival->at = moment_read(reader, item, "at");
        (void)group_needs(reader, item, "people", "12");
        arrival->people = (int)group_whole(reader, item, "people", 1, PEOPLE_MOST, 1);
        arrival->over = group_quantity(reader, item, "over", &form_duration, 0, SPAN_MOST_S, 0);
        workshop->people += arrival->people;
    }
    if (list != NULL && list->count == 0) {
        complain(reader, list, "'arrive' is empty; expected who comes when, as %s", arrive_form);
    }
}

static void breaks_read(struct reader *reader, const struct setting *group, struct workshop *workshop)
{
    static const char *const keys[] = {"at", "for", NULL};
    const struct setting *list = group_typed(reader, group, "breaks", SETTING_LIST, breaks_form);
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP || workshop->break_count == BREAKS_MOST) {
            complain(reader, item, "an entry of 'breaks' is %s; expected at most %d groups, as %s",
                     item->type == SETTING_GROUP ? "one too many" : setting_type_words(item->type), BREAKS_MOST,
                     breaks_form);
            return;
        }
        group_check_keys(reader, item, "breaks", keys);
        struct pause *pause = &workshop->breaks[workshop->break_count++];
        pause->at = moment_read(reader, item, "at");
        (void)group_needs(reader, item, "for", "\"45 min\"");
        pause->lasts = group_quantity(reader, item, "for", &form_duration, 60, SPAN_MOST_S, 60);
    }
}

/* Which cloth is dyed: named, or the only one. */
static int workshop_cloth_read(struct reader *reader, const struct setting *group)
{
    const struct scenario *scenario = reader->scenario;
    const struct setting *item = group_typed(reader, group, "cloth", SETTING_TEXT, "\"bandana\"");
    if (item != NULL) {
        return named_find(reader, item, "cloth", item->text, scenario->cloth, scenario->cloth_count,
                          sizeof *scenario->cloth);
    }
    if (setting_find(group, "cloth") == NULL && scenario->cloth_count != 1) {
        complain(reader, group, "the workshop does not say which cloth it dyes; expected cloth = \"NAME\"");
    }
    return 0;
}

static void work_read(struct reader *reader, const struct setting *group, struct workshop *workshop)
{
    workshop->pieces = (int)group_whole(reader, group, "pieces", 1, 20, 1);
    workshop->dips = (int)group_whole(reader, group, "dips", 1, DIPS_MOST, 3);
    workshop->vats = (int)group_whole(reader, group, "vats", 1, VATS_MOST, 1);
    workshop->at_once = (int)group_whole(reader, group, "at_once", 1, AT_ONCE_MOST, 2);
    (void)group_needs(reader, group, "soak", "\"6 min\"");
    workshop->soak = group_quantity(reader, group, "soak", &form_duration, 10, 6 * 3600, NAN);
    workshop->air = group_quantity(reader, group, "air", &form_duration, 60, 12 * 3600, 15 * 60);
    workshop->handling = group_quantity(reader, group, "handling", &form_duration, 0, 3600, 150);
    workshop->vary = group_quantity(reader, group, "vary", &form_share, 0, 1, 0.2);
    workshop->chemistry = group_flag(reader, group, "chemistry", true);
    workshop->wring = (enum wring_kind)group_word(reader, group, "wring", wring_words, WRING_HAND);
    workshop->helpers = (int)group_whole(reader, group, "helpers", 0, 100, 0);
    workshop->help = group_quantity(reader, group, "help", &form_duration, 0, 3600, 60);
    workshop->lines = (int)group_whole(reader, group, "lines", 0, 500, 0);
    workshop->tubs = (int)group_whole(reader, group, "tubs", 0, 100, 0);
    workshop->rinse = group_quantity(reader, group, "rinse", &form_duration, 0, 3600, 120);
    workshop->wait_most = group_quantity(reader, group, "wait", &form_duration, 60, 6 * 3600, 15 * 60);
    workshop->replications = (int)group_whole(reader, group, "replications", 1, 1000, 20);
}

/* All places of a vat taken: the vessel must still hold its liquor. */
static void room_check(struct reader *reader, const struct setting *group, const struct workshop *workshop)
{
    const struct scenario *scenario = reader->scenario;
    if (scenario->cloth_count == 0 || workshop->cloth < 0) {
        return;
    }
    double holds = vessel_area(&scenario->vessel) * scenario->vessel.depth;
    double cloth = workshop->at_once * scenario->cloth[workshop->cloth].each;
    double room = cloth * WET_CLOTH_M3_PER_KG;
    if (scenario->fill <= holds && scenario->fill + room > holds) {
        const struct setting *item = setting_find(group, "at_once");
        complain(reader, item != NULL ? item : group,
                 "%d pieces at once, %.3g kg, take %.3g L beside %.4g L of liquor; expected at most the %.4g L that the "
                 "vessel holds",
                 workshop->at_once, cloth, 1e3 * room, 1e3 * scenario->fill, 1e3 * holds);
    }
}

/* Nobody comes when all is over. */
static void arrivals_check(struct reader *reader, const struct setting *group, const struct workshop *workshop)
{
    const struct setting *list = setting_find(group, "arrive");
    for (int i = 0; workshop->closes > workshop->opens && i < workshop->arrival_count; i++) {
        if (workshop->arrivals[i].at >= workshop->closes) {
            complain(reader, &list->items[i], "people come when the workshop has closed; expected 'at' before 'closes'");
        }
    }
}

void workshop_read(struct reader *reader, const struct setting *root)
{
    static const char *const keys[] = {"cloth",  "arrive", "pieces", "dips",     "vats",  "at_once",      "opens",
                                       "closes", "soak",   "air",    "handling", "wring", "helpers",      "help",
                                       "lines",  "tubs",   "rinse",  "breaks",   "wait",  "replications", "vary",
                                       "chemistry", NULL};
    const struct setting *group =
        group_typed(reader, root, "workshop", SETTING_GROUP, "{ arrive = ( ... ); soak = \"6 min\"; ... }");
    if (group == NULL) {
        return;
    }
    struct workshop *workshop = &reader->scenario->workshop;
    workshop->exists = true;
    group_check_keys(reader, group, "workshop", keys);
    workshop->cloth = workshop_cloth_read(reader, group);
    arrivals_read(reader, group, workshop);
    breaks_read(reader, group, workshop);
    workshop->opens = moment_read(reader, group, "opens");
    workshop->closes = moment_read(reader, group, "closes");
    work_read(reader, group, workshop);
    if (workshop->closes <= workshop->opens) {
        complain(reader, setting_find(group, "closes"), "'closes' is not after 'opens'; expected a later time");
    }
    arrivals_check(reader, group, workshop);
    room_check(reader, group, workshop);
    if (workshop->people > PEOPLE_MOST || workshop->people * workshop->pieces > PIECES_MOST) {
        complain(reader, group, "%d people bring %d pieces; expected at most %d people and %d pieces", workshop->people,
                 workshop->people * workshop->pieces, PEOPLE_MOST, PIECES_MOST);
    }
}

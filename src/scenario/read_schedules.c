/* read_schedules.c: named ways of keeping one vat, each a calendar beside the common one; and prices.
 *
 * Each schedule is read and checked together with the common calendar, so that either may follow labels of the other. What
 * is wrong with the common calendar is then found once for each schedule; scenario_read drops what is repeated.
 */
#include "scenario/price.h"
#include "scenario/reader.h"
#include "scenario/words.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char calendar_form[] = "( { at = \"day 1 09:30\"; do = \"stir\"; }, ... )";
static const char schedules_form[] = "( { name = \"daily\"; calendar = ( ... ); }, ... )";
static const char prices_form[] = "( \"slaked lime = 2.50/kg\", \"water = 4/m3\" )";

/* Reads and checks two lists of events (either may be NULL) as one calendar. The entries stay the lists'. */
static struct status joined_read(struct reader *reader, const struct setting *root, const struct setting *first,
                                 const struct setting *second)
{
    size_t of_first = first != NULL ? first->count : 0;
    size_t of_second = second != NULL ? second->count : 0;
    struct setting joined = {.type = SETTING_LIST, .count = of_first + of_second};
    const struct setting *place = second != NULL ? second : first != NULL ? first : root;
    joined.file = place->file;
    joined.line = place->line;
    joined.items = calloc(joined.count + 1, sizeof *joined.items);
    if (joined.items == NULL) {
        return status_fail(STATUS_MEMORY, "no memory left to read the calendar");
    }
    if (of_first > 0) {
        memcpy(joined.items, first->items, of_first * sizeof *joined.items);
    }
    if (of_second > 0) {
        memcpy(joined.items + of_first, second->items, of_second * sizeof *joined.items);
    }
    struct status status = calendar_read(reader, &joined);
    if (status_is_ok(&status) && setting_find(root, "vat") != NULL) {
        status = scenario_check(reader, root, &joined);
    }
    free(joined.items);
    return status;
}

static void name_read(struct reader *reader, const struct setting *item, struct schedule_name *name)
{
    struct scenario *scenario = reader->scenario;
    (void)group_needs(reader, item, "name", "\"daily\"");
    group_text(reader, item, "name", name->name, sizeof name->name);
    for (int i = 0; i < scenario->schedule_count && name->name[0] != '\0'; i++) {
        if (strcmp(scenario->schedules[i].name, name->name) == 0) {
            complain(reader, setting_find(item, "name"), "there is a second schedule \"%s\"; expected each name once",
                     name->name);
        }
    }
}

static void names_read(struct reader *reader, const struct setting *list)
{
    static const char *const keys[] = {"name", "calendar", NULL};
    struct scenario *scenario = reader->scenario;
    for (size_t i = 0; i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_GROUP || i == SCHEDULES_MOST) {
            complain(reader, item, "an entry of 'schedules' is %s; expected at most %d groups, as %s",
                     item->type == SETTING_GROUP ? "one too many" : setting_type_words(item->type), SCHEDULES_MOST,
                     schedules_form);
            return;
        }
        struct schedule_name name = {.name = ""};
        group_check_keys(reader, item, "a schedule", keys);
        name_read(reader, item, &name);
        scenario->schedules[scenario->schedule_count++] = name;
    }
}

/* Which one is meant: the one that `schedule` names, else the first. */
static void choice_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *chosen = group_typed(reader, root, "schedule", SETTING_TEXT, "\"daily\"");
    if (chosen == NULL) {
        return;
    }
    if (scenario->schedule_count == 0) {
        complain(reader, chosen, "'schedule' chooses \"%.60s\", but there are no 'schedules'; expected %s",
                 chosen->text, schedules_form);
        return;
    }
    int index = named_find(reader, chosen, "schedule", chosen->text, scenario->schedules,
                           (size_t)scenario->schedule_count, sizeof *scenario->schedules);
    scenario->schedule = index < 0 ? 0 : index;
    scenario->schedule_named = true;
}

/* "Towels in a barrel: daily" */
static void title_complete(struct scenario *scenario)
{
    char name[NAME_SIZE];
    size_t used = strlen(scenario->title);
    memcpy(name, scenario->schedules[scenario->schedule].name, sizeof name);
    (void)snprintf(scenario->title + used, sizeof scenario->title - used, ": %s", name);
}

struct status schedules_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *common = group_typed(reader, root, "calendar", SETTING_LIST, calendar_form);
    const struct setting *list = group_typed(reader, root, "schedules", SETTING_LIST, schedules_form);
    if (list != NULL) {
        names_read(reader, list);
    }
    choice_read(reader, root);
    if (scenario->schedule_count == 0) {
        return joined_read(reader, root, common, NULL);
    }
    struct event_spec *kept = NULL;
    size_t kept_count = 0;
    struct status status = status_ok();
    for (int i = 0; i < scenario->schedule_count && status_is_ok(&status); i++) {
        /* NOLINTNEXTLINE(clang-analyzer-core.NullDereference): without a list there are no schedules */
        const struct setting *own = group_needed(reader, &list->items[i], "calendar", SETTING_LIST, calendar_form);
        status = joined_read(reader, root, common, own);
        if (i == scenario->schedule) {
            kept = scenario->events;
            kept_count = scenario->event_count;
        } else {
            free(scenario->events);
        }
        scenario->events = NULL;
        scenario->event_count = 0;
    }
    scenario->events = kept;
    scenario->event_count = kept_count;
    title_complete(scenario);
    return status;
}

void prices_read(struct reader *reader, const struct setting *root)
{
    struct scenario *scenario = reader->scenario;
    const struct setting *list = group_typed(reader, root, "prices", SETTING_LIST, prices_form);
    for (size_t i = 0; list != NULL && i < list->count; i++) {
        const struct setting *item = &list->items[i];
        if (item->type != SETTING_TEXT || i == PRICES_MOST) {
            complain(reader, item, "an entry of 'prices' is %s; expected at most %d texts, as %s",
                     item->type == SETTING_TEXT ? "one too many" : setting_type_words(item->type), PRICES_MOST,
                     prices_form);
            return;
        }
        struct price *price = &scenario->prices[scenario->price_count];
        struct status status = price_read(item->text, price);
        const char *nearest = NULL;
        if (!status_is_ok(&status)) {
            complain(reader, item, "%s", status.message);
        } else if (reader->model != NULL && price_unknown(price, 1, reader->model, &nearest) != NULL) {
            complain(reader, item, "there is no material \"%s\"; %s%s%s", price->material,
                     nearest != NULL ? "did you mean \"" : "'vatcast materials' lists them",
                     nearest != NULL ? nearest : "", nearest != NULL ? "\"?" : "");
        } else {
            scenario->price_count++;
        }
    }
}

/* reader.h: inside src/scenario: the typed getters over settings, and what the readers of each part share. */
#ifndef VATCAST_SCENARIO_READER_H
#define VATCAST_SCENARIO_READER_H

#include "base/complaints.h"
#include "base/status.h"
#include "scenario/quantity.h"
#include "scenario/scenario.h"
#include "scenario/settings.h"
#include "scenario/times.h"

#include <stdbool.h>
#include <stddef.h>

#define DURATION_MOST_S (3 * 366 * DAY_S)
#define EVENTS_MOST 2000
#define PIECES_MOST 500
#define EXPANSIONS_MOST 100000
#define WET_CLOTH_M3_PER_KG 1.3e-3 /* room that a kilogram of dry cloth takes once wet; estimate */
#define MAX_SOAKING_GROUPS 4 /* groups of cloth in the liquor at once */
#define DIPS_MOST 50

/* A kind of quantity: its SI unit, what to call it, an example of the right form, and how to show limits. */
struct unit_form {
    const char *si;
    const char *what;
    const char *example;
    const char *shown; /* unit of limits in complaints: shown value = SI value * factor + offset */
    double factor;
    double offset;
};

extern const struct unit_form form_mass, form_volume, form_length, form_duration, form_temperature, form_power,
    form_speed, form_fabric, form_share, form_altitude, form_voltage, form_number;

struct reader {
    const struct quantities *quantities;
    struct complaints *complaints;
    const struct model *model; /* NULL when it could not be read: nothing is checked against it */
    struct scenario *scenario; /* being filled */
};

void complain(struct reader *reader, const struct setting *at, const char *format, ...) PRINTF_LIKE(3, 4);
bool reader_has_complained(const struct reader *reader, size_t since);

/* Complains of each member of the group that is not among `known` (NULL-terminated), naming the nearest. `where`
 * names the group. */
void group_check_keys(struct reader *reader, const struct setting *group, const char *where, const char *const *known);

/* The member if it is there and of the given type; a complaint when it is there and of another. */
const struct setting *group_typed(struct reader *reader, const struct setting *group, const char *key,
                                  enum setting_type type, const char *example);

/* The same, and a complaint when it is missing. */
const struct setting *group_needed(struct reader *reader, const struct setting *group, const char *key,
                                   enum setting_type type, const char *example);

/* True when the key is there; complains when it is not. */
bool group_needs(struct reader *reader, const struct setting *group, const char *key, const char *example);

/* A quantity from low to high (SI). `fallback` when the key is missing, NAN after a complaint. */
double group_quantity(struct reader *reader, const struct setting *group, const char *key, const struct unit_form *form,
                      double low, double high, double fallback);

/* The same from a setting in hand. */
double setting_quantity(struct reader *reader, const struct setting *item, const char *key,
                        const struct unit_form *form, double low, double high);

/* The same from a text in hand, standing at `at`; no range. NAN after a complaint. */
double text_quantity(struct reader *reader, const struct setting *at, const char *key, const char *text,
                     const struct unit_form *form);

/* A whole number from low to high. `fallback` when missing or wrong. */
long group_whole(struct reader *reader, const struct setting *group, const char *key, long low, long high,
                 long fallback);

/* Index of a word of the list; `fallback` when missing or wrong. */
int group_word(struct reader *reader, const struct setting *group, const char *key, const char *const *words,
               int fallback);

bool group_flag(struct reader *reader, const struct setting *group, const char *key, bool fallback);

/* Copies a text, "" when missing; complains when it does not fit. */
void group_text(struct reader *reader, const struct setting *group, const char *key, char *text, size_t size);

/* Complains that `written` is not known; names the nearest of a NULL-terminated list, else lists the known ones. */
void complain_unknown(struct reader *reader, const struct setting *at, const char *kind, const char *written,
                      const char *const *known);

/* Index of a named thing in an array whose elements begin with their name; -1 after a complaint. */
int named_find(struct reader *reader, const struct setting *at, const char *kind, const char *written,
               const void *array, size_t count, size_t element_size);

/* ---- times (times.c) ---- */

/* How a day without a time of day is taken. */
enum day_part { DAY_AT_START_CLOCK, DAY_BEGINS, DAY_ENDS };
/* Reads "day 2 10:00", "day 3", a date, or "+90 min" into seconds since the start; NAN after a complaint. */
double time_read(struct reader *reader, const struct setting *item, const char *key, enum day_part part);

/* ---- the parts; each fills reader->scenario and complains ---- */

/* `item` has `what_key` ("add" or "what"), amount and purity. */
void dose_read(struct reader *reader, const struct setting *item, const char *what_key, struct dose *dose);
struct status vat_read(struct reader *reader, const struct setting *vat) MUST_USE;
struct status places_read(struct reader *reader, const struct setting *vat, const struct setting *root) MUST_USE;
struct status cloth_read(struct reader *reader, const struct setting *root) MUST_USE;
/* Reads the calendar, or with schedules each of them with it, checks it, and keeps the chosen one (read_schedules.c). */
struct status schedules_read(struct reader *reader, const struct setting *root) MUST_USE;
/* Reads a list of events into an empty scenario->events. */
struct status calendar_read(struct reader *reader, const struct setting *list) MUST_USE;
/* Reads one more event, the last of the list, behind those that scenario->events has room for. */
void calendar_read_last(struct reader *reader, const struct setting *list);
void prices_read(struct reader *reader, const struct setting *root);
void workshop_read(struct reader *reader, const struct setting *root);
struct status lesson_read(struct reader *reader, const struct setting *root) MUST_USE;
void conditions_read(struct reader *reader, const struct setting *event, struct event_spec *spec);
/* scenario_read with unit definitions that are already open. */
struct status scenario_read_with(const struct quantities *quantities, const char *path, const char *const *overrides,
                                 size_t override_count, const char *const *process_names, const char *models_folder,
                                 struct scenario *scenario, struct complaints *complaints) MUST_USE;
/* The settings of a template, as its file has them, and its unit definitions. */
struct scenario_template;
struct document *template_document(struct scenario_template *kept);
const struct quantities *template_quantities(const struct scenario_template *kept);
/* model_read with unit definitions that are already open. */
struct status model_read_with(const struct quantities *quantities, const char *name, const char *base_folder,
                              const char *const *process_names, const char *models_folder, struct model *model,
                              struct complaints *complaints) MUST_USE;
/* `to` is zeroed after a failure (STATUS_MEMORY). */
struct status model_copy(const struct model *from, struct model *to) MUST_USE;
void constants_override(struct reader *reader, const struct setting *root, struct model *model);
void constant_read(struct reader *reader, const struct setting *group, const char *name, const char *unit,
                   struct constant *constant);
struct status materials_read(struct reader *reader, const struct setting *root, struct model *model) MUST_USE;
struct status fibres_read(struct reader *reader, const struct setting *root, struct model *model) MUST_USE;
/* True for the corrosive hydroxides sold as caustic soda, caustic potash or lye. */
bool material_is_hydroxide(const char *name);

/* What only shows when all is read: cloth in the vessel, groups at once, loops of `after`, counts. */
struct status scenario_check(struct reader *reader, const struct setting *root, const struct setting *calendar) MUST_USE;
struct status dips_check(struct reader *reader, const struct setting *calendar) MUST_USE;
double vessel_area(const struct vessel *vessel);
/* Boiling point of water, K, at an altitude in m. */
double water_boils_K(double altitude);

#endif

/* series.h: the recorded series and the columns of the other result tables: the one list that the recorder fills, the file
 * format documents and the summary reads.
 */
#ifndef VATCAST_SIM_SERIES_H
#define VATCAST_SIM_SERIES_H

#include <stdint.h>

/* X(enum, dataset name, unit, long name) in order; time is column 0. */
#define SERIES_LIST(X)                                                                                                   \
    X(TIME, "time", "s", "time since start")                                                                             \
    X(TEMPERATURE, "temperature", "degC", "liquor temperature")                                                          \
    X(AIR_TEMPERATURE, "air_temperature", "degC", "air temperature")                                                     \
    X(VOLUME, "volume", "L", "liquor volume")                                                                            \
    X(LEVEL, "level", "cm", "height of the liquor surface above the vessel's bottom")                                    \
    X(PH, "ph", "1", "pH of the liquor at its own temperature")                                                          \
    X(PH_METER, "ph_meter", "1", "pH that an ideal meter without temperature compensation, set at 25 degC, shows")       \
    X(ORP, "orp", "mV", "redox potential against Ag/AgCl, 3 mol/L KCl")                                                  \
    X(ORP_SHE, "orp_she", "mV", "redox potential against the standard hydrogen electrode")                               \
    X(LEUCO, "leuco", "g L-1", "dissolved leuco-indigo, as indigotin")                                                   \
    X(LEUCO_HELD, "leuco_held", "g L-1", "leuco-indigo held by the sediment or precipitated as acid, as indigotin")      \
    X(INDIGO_SUSPENDED, "indigo_suspended", "g L-1", "suspended indigotin, wetted or not")                               \
    X(INDIGO_BED, "indigo_bed", "g", "indigotin in the bed")                                                             \
    X(INDIGO_FILM, "indigo_film", "g", "indigotin in surface film and flower")                                           \
    X(REDUCED_SHARE, "reduced_share", "1", "leuco in all forms as a share of the indigotin in the vat")                  \
    X(HEXOSE, "hexose", "g L-1", "fructose and glucose")                                                                 \
    X(FRUCTOSE, "fructose", "g L-1", "fructose")                                                                         \
    X(GLUCOSE, "glucose", "g L-1", "glucose")                                                                            \
    X(REDUCTONE, "reductone", "mmol L-1", "short-lived reductone from sugar")                                            \
    X(RESERVE, "reserve", "mmol L-1", "slow coloured reductant left from sugar")                                         \
    X(ACID, "acid", "mmol L-1", "acid anion charge from spent sugar and added acids")                                    \
    X(CALCIUM, "calcium", "mmol L-1", "dissolved calcium, all forms")                                                    \
    X(HYDROXIDE, "hydroxide", "mmol L-1", "free hydroxide")                                                              \
    X(CARBONATE, "carbonate", "mmol L-1", "dissolved inorganic carbon")                                                  \
    X(IONIC_STRENGTH, "ionic_strength", "mol L-1", "ionic strength")                                                     \
    X(LIME_SOLID, "lime_solid", "g", "undissolved Ca(OH)2, suspended and in the bed")                                    \
    X(LIME_SUSPENDED, "lime_suspended", "g", "undissolved Ca(OH)2 in suspension")                                        \
    X(CHALK, "chalk", "g", "solid CaCO3, suspended, in the bed and in the crust")                                        \
    X(FEED, "feed", "g L-1", "feed of a fermentation still to be opened up, quick and slow")                             \
    X(NITROGEN, "nitrogen", "mmol L-1", "nitrogen that cells can use")                                                   \
    X(CELLS, "cells", "mg L-1", "living cells that reduce indigo, dry")                                                  \
    X(SPOILERS, "spoilers", "mg L-1", "living spoilers, dry")                                                            \
    X(PH_FALL, "ph_fall", "day-1", "pH lost in a day at the present rate of fermenting")                                 \
    X(FLOWER, "flower", "1", "flower of fermentation: 0 none, 1 a full head of blue froth")                              \
    X(OXYGEN, "oxygen", "mg L-1", "dissolved oxygen")                                                                    \
    X(TURBIDITY, "turbidity", "g L-1", "suspended solids")                                                               \
    X(BED_DEPTH, "bed_depth", "cm", "depth of the settled bed")                                                          \
    X(BED_SHARE, "bed_share", "1", "bed depth as a share of the liquor's height")                                        \
    X(FILM_COVER, "film_cover", "1", "share of the surface under bronze film")                                           \
    X(LIME_THIRST, "lime_thirst", "1", "how fast a pinch of lime vanishes: 1 sucked in at once, 0 it stays")             \
    X(BLUEING_TIME, "blueing_time", "s", "time a film of liquor takes in air from yellow-green to blue")                 \
    X(CLOTH_IN, "cloth_in", "kg", "dry mass of cloth in the liquor")                                                     \
    X(CLOTH_DIPS, "cloth_dips", "kg", "dry mass of cloth times dips since the start")                                    \
    X(LIQUOR_RED, "liquor_red", "1", "colour of a glass of liquor: red of sRGB, 0 to 255")                               \
    X(LIQUOR_GREEN, "liquor_green", "1", "colour of a glass of liquor: green of sRGB, 0 to 255")                         \
    X(LIQUOR_BLUE, "liquor_blue", "1", "colour of a glass of liquor: blue of sRGB, 0 to 255")                            \
    X(LIQUOR_HAZE, "liquor_haze", "1", "how cloudy a glass of liquor is: 0 clear, 1 not to be seen through")             \
    X(LIQUOR_CLARITY, "liquor_clarity", "1", "how far one sees into a glass of liquor")                                  \
    X(LIQUOR_HUE, "liquor_hue", "1", "colour of a glass of liquor in words")                                             \
    X(STATE, "state", "1", "diagnosis of the vat")                                                                       \
    X(LOOK, "look", "1", "what the liquor and its surface look like")                                                    \
    X(SMELL, "smell", "1", "what the vat smells of")

enum series_id {
#define SERIES_ENUM(id, name, unit, long_name) SERIES_##id,
    SERIES_LIST(SERIES_ENUM)
#undef SERIES_ENUM
    SERIES_COUNT
};

/* Sets of series. */
#define SERIES_BIT(id) (UINT64_C(1) << SERIES_##id)
#define SERIES_ALL ((UINT64_C(1) << SERIES_COUNT) - 1)
_Static_assert(SERIES_COUNT < 64, "a bit for each series");

/* Diagnoses in order of their codes; the first that applies is named. */
#define STATE_WORDS                                                                                                      \
    "ready tired oxidised sugar_spent lime_short lime_heavy over_reduced too_cold indigo_spent stirred_up starting frozen "         \
    "asleep runaway putrid stalled"
enum vat_state {
    VAT_READY, VAT_TIRED, VAT_OXIDISED, VAT_SUGAR_SPENT, VAT_LIME_SHORT, VAT_LIME_HEAVY, VAT_OVER_REDUCED, VAT_TOO_COLD,
    VAT_INDIGO_SPENT, VAT_STIRRED_UP, VAT_STARTING, VAT_FROZEN, VAT_ASLEEP, VAT_RUNAWAY, VAT_PUTRID,
    VAT_STALLED
};

/* Looks, in the order of enum look_kind. */
#define LOOK_WORDS "unknown blue green faint_bronze bronze"

/* A glass of liquor, in the order of the enums of chem/liquor_colour.h. */
#define LIQUOR_CLARITY_WORDS "clear hazy milky cloudy"
#define LIQUOR_HUE_WORDS                                                                                                 \
    "black white pale_grey grey pale_straw reddish reddish_brown red_brown dark_brown amber brown yellow " \
    "olive_brown yellow_green olive green dark_green blue_green dark_teal blue dark_blue"

/* Depths of blue, in the order of enum shade of chem/shade.h. */
#define SHADE_WORDS "hardly_tinted palest_blue pale_blue light_blue mid_blue dark_blue navy near_black"

/* Smells, in the order of enum smell. */
#define SMELL_WORDS "flat sweet caramel limey sour earthy sharp fetid"
enum smell { SMELL_FLAT, SMELL_SWEET, SMELL_CARAMEL, SMELL_LIMEY, SMELL_SOUR, SMELL_EARTHY, SMELL_SHARP, SMELL_FETID };

/* Columns of /events. `source` indexes result.event_labels. A skipped event is one whose conditions did not hold. */
#define EVENT_COLUMNS(X)                                                                                                 \
    X("time", "s", "time since start", NULL)                                                                             \
    X("action", "1", "what was done", ACTION_FLAGS)                                                                      \
    X("source", "1", "index into the scenario's list of events", NULL)                                                   \
    X("done", "1", "whether it was done or skipped because its conditions did not hold", "skipped done")                 \
    X("mass", "kg", "mass added, or taken off with skimming or racking", NULL)                                           \
    X("water", "L", "water or liquor added (positive) or lost (negative)", NULL)                                         \
    X("reading_ph", "1", "pH as read", NULL)                                                                             \
    X("reading_temperature", "degC", "temperature as read", NULL)                                                        \
    X("reading_orp", "mV", "redox potential as read, Ag/AgCl 3 mol/L KCl", NULL)                                         \
    X("reading_look", "1", "look as seen", LOOK_WORDS)                                                                   \
    X("reading_strip", "g kg-1", "indigotin that a test strip took in a standard dip", NULL)                             \
    X("ph_before", "1", "pH just before", NULL)                                                                          \
    X("ph_after", "1", "pH just after", NULL)                                                                            \
    X("temperature_before", "degC", "liquor temperature just before", NULL)                                              \
    X("temperature_after", "degC", "liquor temperature just after", NULL)                                                \
    X("volume_before", "L", "liquor volume just before", NULL)                                                           \
    X("volume_after", "L", "liquor volume just after", NULL)                                                             \
    X("leuco_before", "g L-1", "dissolved leuco just before", NULL)                                                      \
    X("leuco_after", "g L-1", "dissolved leuco just after", NULL)
/* The scenario's actions in enum order, then those that the run adds by itself. */
#define ACTION_FLAGS                                                                                                     \
    "add top_up heat heat_off stir dip cover wrap move skim rack read rinse sour wash cloth_out overflow heater_reached stir_end start end"
enum run_action { /* codes after the scenario's own actions */
    RUN_ACTION_CLOTH_OUT = 15, RUN_ACTION_OVERFLOW, RUN_ACTION_HEATER_REACHED, RUN_ACTION_STIR_END, RUN_ACTION_START,
    RUN_ACTION_END
};

/* Columns of /dips: one row per soak of a group of pieces. */
#define DIP_COLUMNS(X)                                                                                                   \
    X("time", "s", "when the cloth went in, since start", NULL)                                                          \
    X("soak", "s", "time in the liquor", NULL)                                                                           \
    X("kind", "1", "index into the scenario's cloth", NULL)                                                              \
    X("first_piece", "1", "number of the first piece, from 1, within its kind", NULL)                                    \
    X("pieces", "1", "pieces in the group", NULL)                                                                        \
    X("dip", "1", "how many-th dip of these pieces, from 1", NULL)                                                       \
    X("leuco", "g L-1", "dissolved leuco when the cloth went in", NULL)                                                  \
    X("temperature", "degC", "liquor temperature when the cloth went in", NULL)                                          \
    X("ph", "1", "pH when the cloth went in", NULL)                                                                      \
    X("before", "g kg-1", "indigotin on the dry cloth before", NULL)                                                     \
    X("sorbed", "g kg-1", "indigotin sorbed in this dip", NULL)                                                          \
    X("carried", "g kg-1", "indigotin carried out in the liquor held by the cloth", NULL)                                \
    X("pickup", "L kg-1", "liquor carried out less water brought in", NULL)                                              \
    X("air_in", "L kg-1", "air carried under by the cloth", NULL)                                                        \
    X("stripped", "g kg-1", "indigotin stripped by an over-reduced liquor", NULL)                                        \
    X("after", "g kg-1", "indigotin on the dry cloth after, some of it still to turn blue", NULL)                        \
    X("shade", "1", "depth of blue that would be left after washing", SHADE_WORDS)                                       \
    X("bed_touched", "1", "whether the cloth reached the bed", "no yes")

/* Columns of /pieces: one row per piece of cloth. */
#define PIECE_COLUMNS(X)                                                                                                 \
    X("kind", "1", "index into the scenario's cloth", NULL)                                                              \
    X("number", "1", "number of the piece within its kind, from 1", NULL)                                                \
    X("mass", "kg", "dry mass", NULL)                                                                                    \
    X("dips", "1", "dips so far", NULL)                                                                                  \
    X("sorbed", "g kg-1", "sorbed indigotin on the cloth", NULL)                                                         \
    X("inner", "g kg-1", "sorbed indigotin in the inner zone of folded cloth; flat cloth has none", NULL)                \
    X("carried", "g kg-1", "indigotin from carried liquor on the cloth", NULL)                                           \
    X("owf", "1", "indigotin on weight of fibre, per cent, before washing", NULL)                                        \
    X("owf_washed", "1", "indigotin on weight of fibre expected after washing, per cent", NULL)                          \
    X("k_over_s", "1", "Kubelka-Munk K/S of the dye at its peak, after washing", NULL)                                   \
    X("lightness", "1", "CIELAB L* after washing, D65", NULL)                                                            \
    X("lab_a", "1", "CIELAB a* after washing, D65", NULL)                                                                \
    X("lab_b", "1", "CIELAB b* after washing, D65", NULL)                                                                \
    X("red", "1", "swatch after washing: red of sRGB, 0 to 255", NULL)                                                   \
    X("green", "1", "swatch after washing: green of sRGB, 0 to 255", NULL)                                               \
    X("blue", "1", "swatch after washing: blue of sRGB, 0 to 255", NULL)                                                 \
    X("shade", "1", "depth of blue after washing", SHADE_WORDS)                                                          \
    X("rinsed_off", "g kg-1", "indigotin that rinsing and washing took off", NULL)                                       \
    X("specked", "1", "whether it touched the bed", "no yes")                                                            \
    X("highest_ph", "1", "highest pH it was in", NULL)                                                                   \
    X("target", "1", "depth wanted; not applicable without one", SHADE_WORDS)                                            \
    X("done_at", "s", "when it came out at its target, from the start; not applicable without one, or when it never did", NULL)

/* The part of the balance that a row of a ledger belongs to, and its word. */
enum ledger_part { PART_IN, PART_OUT, PART_LEFT };
#define PART_WORDS "in out left"

/* Columns of a ledger table: rows are named in row_names. */
#define LEDGER_COLUMNS(X)                                                                                                \
    X("amount", LEDGER_UNIT, "amount; positive came in, negative went out or is left", NULL)                             \
    X("part", "1", "which part of the balance the row belongs to", PART_WORDS)

#endif

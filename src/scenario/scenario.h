/* scenario.h: what a dyer wrote, as plain immutable data in SI units (m, kg, s, K, mol, W, Pa).
 *
 * Read by scenario_read (src/scenario), laid out into a vat by src/sim. Nothing here depends on a library.
 * "Unset" quantities are NAN, unset indices -1.
 */
#ifndef VATCAST_SCENARIO_SCENARIO_H
#define VATCAST_SCENARIO_SCENARIO_H

#include "scenario/model.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#define NAME_SIZE 64
#define TITLE_SIZE 200
#define CONDITIONS_MOST 4

/* ---- the vessel and its place -------------------------------------------------------------------------------- */

enum vessel_shape { SHAPE_ROUND, SHAPE_SQUARE }; /* SQUARE is rectangular: length x width */
enum wall_kind { WALL_PLASTIC, WALL_METAL, WALL_WOOD, WALL_CERAMIC };
enum wrap_kind { WRAP_NONE, WRAP_BLANKET, WRAP_FOAM };
enum lid_kind { LID_NONE, LID_LOOSE, LID_TIGHT };
enum sun_kind { SUN_SHADE, SUN_HALF, SUN_FULL };
enum stir_kind { STIR_GENTLE, STIR_BRISK, STIR_WHIP };
enum wring_kind { WRING_HAND, WRING_DRIP, WRING_SPIN };
/* Which free pieces a dip takes: those dipped least; or only those paler than their target, by number or palest first. */
enum pick_kind { PICK_FEWEST, PICK_UNFINISHED, PICK_PALEST };

struct vessel {
    enum vessel_shape shape;
    double diameter; /* m, round */
    double length;   /* m, square */
    double width;    /* m, square */
    double depth;    /* m, inside */
    enum wall_kind wall;
    enum wrap_kind wrap;
    enum lid_kind lid;
    double heater_power; /* W; 0 when there is none */
};

struct place {
    char name[NAME_SIZE];
    double night_K;  /* coldest air of the day, at 03:00; the air swings as a cosine */
    double day_K;    /* warmest air of the day, at 15:00 */
    double altitude; /* m */
    double humidity; /* 0 to 1 */
    double draught;  /* m/s */
    double co2;      /* mol/mol in the air */
    enum sun_kind sun;
};

struct make_up_water {
    double temperature_K;
    double alkalinity; /* mol/m3 of charge (eq/m3) */
    double hardness;   /* mol/m3 of Ca */
};

/* ---- what goes in ------------------------------------------------------------------------------------------- */

struct dose {
    int material;   /* index into model.materials */
    double mass;    /* kg as weighed or measured */
    double purity;  /* kg active per kg; NAN: the material's own */
    bool by_volume; /* measured by spoon or cup: +-25 % */
    int line;       /* of the scenario file */
};
/* kg of indigotin that a dose brings: by its own purity, when that is said, else by the material's content. */
double dose_indigotin(const struct model *model, const struct dose *dose);

/* A vat that already lives when the scenario starts. Readings are what the dyer last read. */
enum look_kind { LOOK_UNKNOWN, LOOK_BLUE, LOOK_GREEN, LOOK_FAINT_BRONZE, LOOK_BRONZE, LOOK_COUNT };
/* What becomes of a pinch of lime strewn on the liquor; a limy liquor leaves it lying. */
enum pinch_kind { PINCH_UNKNOWN, PINCH_SUCKED_IN, PINCH_SLOW, PINCH_STAYS };
enum smell_kind { SMELLED_UNKNOWN, SMELLED_FLAT, SMELLED_SWEET, SMELLED_CARAMEL, SMELLED_LIMEY, SMELLED_SOUR };

struct existing_vat {
    bool exists;          /* false: a fresh vat made from `charge` */
    double temperature_K; /* liquor now */
    double ph;            /* as read at that temperature; NAN: not read */
    double age;           /* s since it was made */
    enum look_kind look;
    double indigotin;  /* mol, in all forms still in the vat */
    double hexose;     /* mol of sugar still there */
    double lime_solid; /* mol Ca(OH)2 undissolved */
    double chalk;      /* mol CaCO3 undissolved */
    double acid;       /* mol of acid anion charge from spent sugar; NAN: worked out from ph */
    double residue;    /* kg of other insoluble matter in the bed */
    double leuco;      /* mol, dissolved and held by the bed; NAN: worked out from look; no key: a study may know better */

    /* What only advice makes use of. */
    bool sugar_known, lime_known; /* whether the dyer said how much is there, were it none */
    double idle;                  /* s since it was last worked; NAN */
    double strip;                 /* kg/kg on a test strip, on weight of fibre; NAN */
    enum pinch_kind pinch;
    enum smell_kind smell;
};

/* ---- cloth -------------------------------------------------------------------------------------------------- */

struct cloth_kind {
    char name[NAME_SIZE];
    int fibre;              /* index into model.fibres */
    double each;            /* kg dry mass of one piece */
    double fabric;          /* kg/m2 */
    int count;              /* pieces */
    bool wetted;            /* wetted out before its first dip */
    bool folded;            /* bound, folded or clamped: air stays inside and liquor comes late */
    char target[NAME_SIZE]; /* shade word, "" when not given; used by later studies */
    int line;
};

/* ---- the calendar ------------------------------------------------------------------------------------------- */

enum action {
    ACTION_ADD,    /* dose of a material */
    ACTION_TOP_UP, /* water, to a volume or of a volume */
    ACTION_HEAT,   /* heater to a temperature, optionally held */
    ACTION_HEAT_OFF,
    ACTION_STIR,
    ACTION_DIP,   /* cloth in, soak, out, air, repeated */
    ACTION_COVER, /* sets the lid */
    ACTION_WRAP,  /* sets the insulation */
    ACTION_MOVE,  /* to another place */
    ACTION_SKIM,  /* film and flower off */
    ACTION_RACK,  /* liquor off the bed: the bed is thrown away with a share of liquor */
    ACTION_READ,  /* a reading noted in /events */
    ACTION_RINSE, /* cloth in plain water */
    ACTION_SOUR,  /* cloth soaked in weak acid, which takes the lime out of it */
    ACTION_WASH,  /* cloth in soap */
    ACTION_COUNT
};

enum timing { TIMING_AT, TIMING_EVERY, TIMING_AFTER };

enum instrument {
    INSTRUMENT_NONE,
    INSTRUMENT_STRIP,
    INSTRUMENT_METER,
    INSTRUMENT_THERMOMETER,
    INSTRUMENT_LOOK,
    INSTRUMENT_ORP,
    INSTRUMENT_TEST_STRIP, /* a strip of cotton after a standard dip */
    INSTRUMENT_COUNT
};

/* What a condition compares. Looks compare against enum look_kind values. */
enum observable {
    OBSERVE_PH,
    OBSERVE_TEMPERATURE,
    OBSERVE_ORP,
    OBSERVE_LOOK,
    OBSERVE_LEVEL,
    OBSERVE_IDLE,
    OBSERVE_TEST_STRIP,
    OBSERVE_COUNT
};
enum comparison { LESS, LESS_EQUAL, GREATER, GREATER_EQUAL, EQUAL, NOT_EQUAL };

struct condition {
    enum observable observable;
    enum comparison comparison;
    double value; /* pH units; K; V vs Ag/AgCl 3 M KCl; enum look_kind; m3 of liquor; s since the last dip */
};

struct event_spec {
    enum action action;
    char label[NAME_SIZE]; /* "" or a name that other events may follow */
    int line;

    enum timing timing;
    double at;    /* s from start: the time (AT) or the first time (EVERY) */
    double every; /* s, EVERY */
    double until; /* s from start, last allowed time, EVERY; the end of the scenario when not given */
    int after;    /* AFTER: index of the event followed in scenario.events; -1: any event with action after_action */
    enum action after_action; /* AFTER, when `after` is -1 */
    double delay;             /* s, AFTER: time after the followed event has ended */

    enum instrument instrument;                   /* how the conditions are read; with ACTION_READ what is read */
    struct condition conditions[CONDITIONS_MOST]; /* all must hold */
    int condition_count;

    struct dose dose;     /* ADD */
    double volume;        /* m3: TOP_UP `amount` (NAN when `to` is given); RACK liquor lost with the bed (NAN: none) */
    double to_volume;     /* m3: TOP_UP target liquor volume, NAN when `volume` is given */
    double temperature_K; /* TOP_UP water (NAN: as make-up water); ADD the material's water; HEAT set point */
    double duration;      /* s: STIR length; HEAT how long held after reaching (0: not held) */
    double power;         /* W: HEAT; NAN: the vessel's heater */
    enum stir_kind stir;
    enum lid_kind lid;
    enum wrap_kind wrap;
    int place; /* MOVE: index into scenario.places */

    int cloth;       /* DIP: index into scenario.cloth */
    int pieces;      /* DIP: how many at once */
    int first_piece; /* DIP: from 1; 0: those that `pick` says */
    enum pick_kind pick; /* DIP: with other than PICK_FEWEST the group also ends when all its pieces are at their target */
    double soak;     /* s in the liquor */
    double air;      /* s in the air after each soak */
    int dips;        /* how often */
    enum wring_kind wring;
};

/* ---- a class or an open day ----------------------------------------------------------------------------------- */

#define ARRIVALS_MOST 48
#define BREAKS_MOST 12
#define VATS_MOST 24
#define AT_ONCE_MOST 40

struct arrival {
    double at;   /* s from start */
    int people;
    double over; /* s: they come at any moment of this span; 0: all at once */
};

struct pause {
    double at, lasts; /* s from start, s: no cloth goes in */
};

struct workshop {
    bool exists;
    int cloth;              /* index into scenario.cloth */
    int people;             /* in all, the sum over arrivals */
    int pieces;             /* of each person */
    int dips;               /* of each piece */
    int vats;               /* like the scenario's */
    int at_once;            /* pieces in a vat at a time */
    double opens, closes;   /* s from start: first and last moment at which cloth goes in */
    double soak, air;       /* s */
    double handling;        /* s a place is taken besides the soak: opening, sliding in, squeezing */
    double vary;            /* how soak and handling differ from dip to dip: standard deviation over mean */
    bool chemistry;         /* false: a vat never tires; only people and places are looked at */
    enum wring_kind wring;
    int helpers;            /* 0: people dip by themselves */
    double help;            /* s of a helper at each dip */
    int lines;              /* pieces that can hang at once; 0: no want of lines */
    int tubs;               /* pieces that can be rinsed at once at the end; 0: not rinsed here */
    double rinse;           /* s */
    double wait_most;       /* s: a wait for a place that is still agreeable */
    int replications;
    struct arrival arrivals[ARRIVALS_MOST];
    int arrival_count;
    struct pause breaks[BREAKS_MOST];
    int break_count;
};

/* ---- ways of keeping the vat, and money ------------------------------------------------------------------------- */

#define SCHEDULES_MOST 12
#define PRICES_MOST 40

struct schedule_name {
    char name[NAME_SIZE];
};

struct price {
    char material[MODEL_NAME_SIZE]; /* or "water" */
    double per_kg;                  /* in whatever money; a litre of water is a kilogram */
};

struct lesson; /* scenario/lesson.h */

/* ---- the whole ---------------------------------------------------------------------------------------------- */

struct scenario {
    char title[TITLE_SIZE];
    char path[512];      /* as given on the command line */
    double start_unix;   /* s since 1970-01-01 UTC, of the wall clock written in `start` taken as UTC */
    double lasts;        /* s */
    bool ends_when_done; /* the run ends, before that, when all cloth with a target has come to it and is dry */
    double record_every; /* s */
    uint64_t seed;       /* of the instrument errors */
    double rtol;         /* relative tolerance of the integration */

    struct vessel vessel;
    struct make_up_water water;
    double fill; /* m3 of liquor at the start (fresh: of make-up water) */
    struct existing_vat existing;
    struct dose *charge; /* owned; fresh: stirred in at time 0, in this order */
    size_t charge_count;

    struct place *places; /* owned; [0] is where the vat starts */
    size_t place_count;
    struct cloth_kind *cloth; /* owned */
    size_t cloth_count;
    struct event_spec *events; /* owned, in file order */
    size_t event_count;        /* with schedules: the calendar's, then those of the chosen one */
    struct schedule_name schedules[SCHEDULES_MOST];
    int schedule_count; /* 0: there is only the calendar */
    int schedule;       /* index of the chosen one */
    bool schedule_named; /* chosen by name, else it is the first */
    struct price prices[PRICES_MOST];
    size_t price_count;
    struct workshop workshop;
    struct lesson *lesson; /* owned; NULL: the scenario is no lesson */

    struct model model; /* owned */

    char *scenario_text; /* owned: the scenario file in full, then each --set line; for provenance */
};

/* Frees what the scenario owns and zeroes it; safe on a zeroed struct. */
void scenario_free(struct scenario *scenario);

/* Words of the enums, as written in scenario files; NULL-terminated, in enum order. */
extern const char *const vessel_shape_words[];
extern const char *const wall_words[];
extern const char *const wrap_words[];
extern const char *const lid_words[];
extern const char *const sun_words[];
extern const char *const stir_words[];
extern const char *const wring_words[];
extern const char *const pick_words[];
extern const char *const look_words[]; /* "unknown", "blue", "green", "faint bronze", "bronze" */
extern const char *const pinch_words[]; /* "unknown", "sucked in", "slow", "stays" */
extern const char *const smell_words[]; /* "unknown", "flat", "sweet", "caramel", "limey", "sour" */
extern const char *const action_words
    []; /* "add", "top up", "heat", "heat off", "stir", "dip", "cover", "wrap", "move", "skim", "rack", "read" */
extern const char *const instrument_words[]; /* "none", "strip", "meter", "thermometer", "look", "orp" */
extern const char *const observable_words[]; /* "ph", "temperature", "orp", "look", "level", "idle" */

#endif

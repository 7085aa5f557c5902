/* vat.h: a vat while it runs: amounts, settings, cloth, and the books of what came and went. Private to src/sim. */
#ifndef VATCAST_SIM_VAT_H
#define VATCAST_SIM_VAT_H

#include "chem/liquor_colour.h"
#include "process/oxygen_uptake.h"
#include "process/partials.h"
#include "process/registry.h"
#include "scenario/scenario.h"
#include "sim/ode.h"
#include "sim/result.h"
#include "sim/series.h"

#include <gsl/gsl_rng.h>

/* Ways in which matter and heat come and go at an event. */
enum flow {
    FLOW_INITIAL,     /* what the vat held when the run began */
    FLOW_ADDED,       /* materials */
    FLOW_TOPPED_UP,   /* make-up water */
    FLOW_CLOTH_IN,    /* clean water, heat and air that cloth brings */
    FLOW_CLOTH_BACK,  /* liquor and leuco that cloth brings back from its last dip */
    FLOW_STIRRED_IN,  /* oxygen in air stirred under */
    FLOW_STRIPPED,    /* indigo taken back from cloth by an over-reduced liquor */
    FLOW_ON_CLOTH,    /* leuco sorbed by cloth that left */
    FLOW_CARRIED_OFF, /* liquor that left on cloth */
    FLOW_OVERFLOWED,
    FLOW_SKIMMED,
    FLOW_RACKED,
    FLOW_COUNT
};

/* Where oxygen came from, for the ledger of what met it. */
enum oxygen_source { OXYGEN_BY_SURFACE, OXYGEN_BY_STIRRING, OXYGEN_BY_CLOTH, OXYGEN_BY_WATER, OXYGEN_SOURCE_COUNT };

/* mol of indigo on and in cloth out of the liquor: sorbed, from carried liquor, loose. */
struct cloth_indigo {
    double sorbed, carried, loose;
};

struct books {
    double flows[FLOW_COUNT][STATE_COUNT];
    double moved[STATE_COUNT]; /* from bed or film to liquor by stirring; nothing comes or goes */
    double extents[PROCESSES_KNOWN_MOST];
    double oxygen_pending[OXYGEN_SOURCE_COUNT]; /* mol brought by events since the last leg */
    double oxygen_shares[OXYGEN_SOURCE_COUNT];  /* of the last leg that had any */
    double hexose_taken[PROCESSES_KNOWN_MOST];  /* by each active process, mol of hexose units for oxygen per extent */
    int oxygen_brought[PROCESSES_KNOWN_MOST];   /* the source that it is, or -1 */
    double indigo_dripped;     /* mol of indigo in liquor that dripped off cloth hung to air */
    double indigo_rinsed;      /* mol that went with rinse and wash water */
    double hexose_met[OXYGEN_SOURCE_COUNT];     /* mol of hexose units that met oxygen, by its source */
    struct cloth_indigo handed_on;              /* on cloth that went over to another vat, less what came from one */
};

#define ZONES 2 /* of a piece: outer, or all of a flat one; inner */

struct piece {
    int kind, number;
    double mass;              /* kg dry */
    int dips;
    bool busy;                /* soaking or airing */
    bool soaking;
    bool wet;                 /* wetted out or still wet from a dip */
    bool rinsed;              /* since its last dip: what it holds is clean water */
    bool specked;             /* has touched the bed */
    double highest_ph;        /* that it was in; NAN: never dipped */
    double hung_at;           /* s: since when its oxidation is reckoned */
    double done_at;           /* s: when it came out at its target; NAN: not yet */
    double leuco[ZONES];      /* mol sorbed, still yellow-green */
    double sorbed[ZONES];     /* mol sorbed and oxidised */
    double carried;           /* mol on the surface, oxidised from carried liquor: it rubs off */
    double wash_done;         /* share of what washing takes off that is off already */
    double rinsed_off;        /* mol */
    double held[STATE_COUNT]; /* liquor in the cloth; its indigo is loose */
};

/* A group of pieces working through its dips. */
struct dipping {
    bool used;
    int event;               /* index of the scenario event */
    int slots[ZONES];        /* soaking zones while in the liquor, else -1 */
    int kind;
    int first, count;        /* indices of its pieces in vat.group_pieces */
    int dips_left;
    double in_time;
    double before[3];        /* leuco g/L, temperature degC, pH when it went in */
    double air_in;           /* m3 */
    double water_in;         /* kg */
    double brought[ZONES];   /* mol of leuco already on the cloth when it went in */
    double taken[ZONES];     /* mol of the zone's leuco that is this group's, when the zone was last shared out */
    double room[ZONES];      /* kg: mass times the room left on the surface, by which the uptake of a zone is shared */
    double zone_mass[ZONES]; /* kg */
};

/* Some of the active processes. */
struct readers {
    int count;
    int rate[PROCESSES_KNOWN_MOST];
};

/* The states by which derivatives are asked for, a column for each. */
struct columns {
    int count;
    int states[STATE_COUNT];
    int of[STATE_COUNT];       /* -1: not asked for */
    int of_total[TOTAL_COUNT]; /* of the amount that is a total of the equilibria, or stands for it */
    int other_acids;           /* how many more are asked for */
};

/* What all amounts act through: the totals, by an amount in each (enum liquor_total), and these. */
enum { BROAD_VOLUME = TOTAL_COUNT, BROAD_TEMPERATURE, BROAD_COUNT };

/* How a value that rates share moves. */
struct shared_slopes {
    bool reads_ions; /* else no total moves it */
    double broad[BROAD_COUNT];
    double by_time;
    struct {
        enum species species;
        int column;
        double slope;
    } entries[PROCESS_READS_MOST]; /* the amounts that it reads by themselves, first those that have a column */
    int entry_count;               /* of these */
};

/* The rates as the integrator sees them. */
struct reaction {
    const struct settings *settings;
    size_t count;                                /* active processes */
    const struct process *active[PROCESSES_KNOWN_MOST];
    size_t index[PROCESSES_KNOWN_MOST];          /* in the registry */
    struct ode_term terms[PROCESSES_KNOWN_MOST][PROCESS_TERMS_MOST + 1];
    bool reads_ions[PROCESSES_KNOWN_MOST];       /* by itself or through what it shares */
    bool plain[PROCESSES_KNOWN_MOST];            /* a product of amounts alone */
    struct readers live;                         /* under base_settings */
    enum shared shared_live[SHARED_COUNT];       /* what these share, in order; SHARED_NONE ends it */
    struct ode_term readings[STATE_COUNT];       /* see ode.h */
    int reads[PROCESSES_KNOWN_MOST][STATE_COUNT + 1];
    double typical[STATE_COUNT];                 /* size of each amount worth telling apart from nothing */
    struct liquor base;
    struct temperature_table temperatures;
    bool has_uptake;                             /* all of uptake_rate are active, and no cells share the oxygen */
    size_t uptake_rate[OXYGEN_UPTAKE_PROCESSES];
    struct oxygen_uptake uptake;                 /* of the oxygen that was there at the last restart */
    struct liquor_slopes slopes;                 /* of the equilibria where the rates were last differentiated */
    bool slopes_known, base_known, settings_known;
    int failed;       /* active process whose rate was no number when last evaluated, or -1 */
    double failed_at; /* s */
    double base_amount[STATE_COUNT];             /* of `base`, which was worked out for them, its time and base_settings */
    struct settings base_settings;
    /* work of the derivatives */
    struct temperature_factors by_K;
    double air_slope, sun_slope;                 /* per s */
    struct columns columns;
    double ions[ION_COUNT][BROAD_COUNT];
    struct shared_slopes shared[SHARED_COUNT];
    struct partials partials;                    /* zeros between two laws */
};

struct vat {
    const struct scenario *scenario;
    struct result *result;
    double constants[CONSTANT_COUNT];
    struct settings settings;
    double amount[STATE_COUNT];
    double time;
    struct books books;
    struct reaction reaction;
    struct ode *ode;
    struct liquor liquor;    /* at (time, amount) when fresh */
    struct liquor_shapes shapes; /* for the colour of a glass of it, where that is seen */
    gsl_rng *rng;

    int place;
    enum lid_kind lid;
    enum wrap_kind wrap;
    double capacity;         /* m3 to the brim */
    int heater_event;        /* scenario event that switched the heater on; -1: off */
    double heater_goal_K;    /* set point still to be reached; 0: none */
    double heater_hold_until; /* s; hold after reaching, or 0 */
    double heater_hold_for;
    double last_dip_end;     /* s; minus infinity when never */
    double cloth_dips;       /* kg */

    struct piece *pieces;    /* owned */
    size_t piece_count;
    int *group_pieces;       /* owned: pieces of each dipping, MAX_DIPPINGS x piece_count */
    struct dipping *dippings; /* owned */
    size_t dipping_count;
    struct {
        double time, amount;  /* s, mol: when a soaking zone was last shared out among its groups, and what it held */
    } shared[MAX_SOAKING_ZONES];
    int last_state;          /* enum vat_state at the last recorded row, -1 before the first */
    bool ferments;           /* that the model lets cells grow */
    bool bed_told;           /* that the bed takes a third of the depth */
    struct {
        bool warmth, ph, strength;
    } told_of; /* limits of the model that were passed */
};

/* vat_start.c */
#define BELOW_ZERO_MOST 0.1 /* of its absolute tolerance, that an amount may stand below zero */
struct status vat_start(struct vat *vat, const struct scenario *scenario, struct result *result) MUST_USE;
void vat_free(struct vat *vat);
/* Brings vat.liquor up to (time, amount), as far as it is looked at: what only rates share is not worked out (looks_only of
 * process/liquor.h). */
struct status vat_refresh(struct vat *vat) MUST_USE;
/* The vat as it will be at some time. */
struct foreseen {
    double time;
    double amount[STATE_COUNT];
    struct liquor liquor;
};
/* The liquors of `count` times at once, 1 to LANES, whose amounts are known; slopes are known, too. On a processor that has `kind`. */
void vat_foresee(struct vat *vat, enum lanes_kind kind, struct foreseen foreseen[], int count);
/* As vat_refresh at the time and amounts foreseen, to the last bit. */
struct status vat_refresh_as(struct vat *vat, const struct foreseen *foreseen) MUST_USE;
void vat_set_place(struct vat *vat, int place);
void vat_set_lid(struct vat *vat, enum lid_kind lid);
void vat_set_wrap(struct vat *vat, enum wrap_kind wrap);

/* vat_existing.c: fills a vat that already lives, from its last readings. */
struct status vat_fill_existing(struct vat *vat) MUST_USE;

/* flows.c */
void vat_flow(struct vat *vat, enum flow flow, enum species species, double amount);
/* Water of the make-up kind, m3 at its temperature, with its hardness, alkalinity and air. */
void vat_pour_water(struct vat *vat, enum flow flow, double volume, double temperature_K);
/* A dose of a material; `temperature_K` of the water in it, NAN: air temperature. */
void vat_add_dose(struct vat *vat, const struct dose *dose, double temperature_K);
/* Takes a share of the liquor with all that is dissolved and suspended in it. Adds what it took to `taken` when not NULL. */
void vat_take_liquor(struct vat *vat, enum flow flow, double share, double *taken);
/* Oxygen, mol, with where it came from. */
void vat_bring_oxygen(struct vat *vat, enum flow flow, enum oxygen_source source, double amount);
void vat_resuspend(struct vat *vat, double share);
/* Moves an amount inside the vat. */
void vat_move(struct vat *vat, enum species from, enum species to, double amount);
bool species_is_dissolved(enum species species);
bool species_is_suspended(enum species species);
bool species_is_settled(enum species species);
double vat_volume(const struct vat *vat);
/* Liquor above the brim runs over. Returns the volume lost, m3. */
double vat_overflow(struct vat *vat);
/* mol of O2 in a m3 of moist air at a temperature. */
double air_oxygen(const struct vat *vat, double temperature_K);

/* rhs.c */
void reaction_prepare(struct vat *vat);
struct ode_problem reaction_problem(struct reaction *reaction);

/* Brings reaction.base to (t, y), unless it is there. Returns non-zero when no pH balances the charges. */
int reaction_bring_base(struct reaction *reaction, double t, const double *y);
/* Takes over what the rates depend on beside the amounts: before they are asked for, whenever an event may have changed it. */
void reaction_look_at_settings(struct reaction *reaction);

/* uptake.c: whether the processes that are active let the oxygen of an event be taken up at once, and `quick` and `quick_to_come` of
 * ode.h. */
void reaction_find_uptake(struct reaction *reaction);
double reaction_uptake(void *context, double t, const double *y, const double *rates, bool again, double *extents);
void reaction_uptake_to_come(void *context, double elapsed, double *extents);

/* slopes.c: differentiate of ode.h. */
int reaction_differentiate(void *context, double t, const double *y, const double *rates, const int *states, size_t count,
                           double *by_state, double *by_time);

/* cloth_pick.c */
/* Picks pieces for a dip event. Returns the index of the dipping, or -1 with a reason in `why`; the reason is "" when all
 * that the event may take are at their target. */
int cloth_pick(struct vat *vat, int event, char *why, size_t size);
/* Whether a piece has a target and has come to it; whether a group, or all pieces of a kind, need no further dip. */
bool cloth_is_done(const struct vat *vat, const struct piece *piece);
bool cloth_group_is_done(const struct vat *vat, int dipping);
bool cloth_kind_is_done(const struct vat *vat, int kind);
/* Whether all cloth with a target has come to it, and none is being worked. */
bool cloth_all_is_done(const struct vat *vat);

/* cloth_work.c */
struct status cloth_prepare(struct vat *vat) MUST_USE;
/* kg/kg that a piece is expected to keep after washing, once it has turned blue. */
double cloth_owf_expected(const struct vat *vat, const struct piece *piece);
/* Into the liquor; returns false with a reason when no soaking place is free. */
bool cloth_put_in(struct vat *vat, int dipping, char *why, size_t size);
struct status cloth_take_out(struct vat *vat, int dipping) MUST_USE;
/* A piece out of the liquor goes over to another vat of the same scenario. STATUS_BUG when it cannot. */
struct status cloth_hand_over(struct vat *from, struct vat *to, int kind, int number) MUST_USE;
/* After airing for the last time: the pieces are free. */
void cloth_release(struct vat *vat, int dipping);
struct status cloth_fill_pieces_table(struct vat *vat, bool in_colour) MUST_USE;
/* Of all pieces out of the liquor. */
struct cloth_indigo cloth_indigo_now(const struct vat *vat);
/* kg/kg that would be left on a rinsed cotton test strip after a standard dip now. */
double cloth_test_strip(const struct vat *vat);

const struct fibre *cloth_fibre(const struct vat *vat, int kind);

/* soaking.c */
bool cloth_is_folded(const struct vat *vat, int kind);
/* Whether a group, dry or wetted, finds a place: a free one, or with cloth that takes up at the same rate. */
bool soaking_has_room(const struct vat *vat, const struct dipping *dipping, bool dry);
/* The group's pieces begin to take up. */
void soaking_begin(struct vat *vat, struct dipping *dipping, bool dry);
/* They end: their leuco is on them, in proportion to their mass; from the bed some of it loose. Returns what the dip
 * added, mol. */
double soaking_end(struct vat *vat, struct dipping *dipping, double mass, bool touched);

/* finishing.c */
/* Rinse, sour or wash all pieces of a kind that are out of the liquor. Returns how many. */
int finishing_do(struct vat *vat, enum action action, int kind);
/* Lets the leuco on a piece turn blue up to now. */
void finishing_oxidise(const struct vat *vat, struct piece *piece);
/* mol of the leuco in the liquor that a piece holds which will turn blue on the fibre. */
double finishing_to_fix(const struct vat *vat, const struct piece *piece);

/* notes.c */
/* Notes what changed since the last recorded row: a new diagnosis, a deep bed. `row` is a row of the series. */
struct status vat_watch(struct vat *vat, const double *row) MUST_USE;
/* Notes, once each, that the liquor is outside what the model is made for; the vat then stands at `time`. Asked at every step. */
struct status vat_watch_range(struct vat *vat, double time, const struct liquor *liquor) MUST_USE;
struct status vat_note(struct vat *vat, enum note_kind kind, const char *format, ...) PRINTF_LIKE(3, 4) MUST_USE;

#endif

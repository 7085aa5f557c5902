/* act.h: what one sentence asks for, before it is done; and the table of sentences.
 *
 * Reading a sentence changes nothing. What it asks of the vat becomes events in the form of scenario files.
 */
#ifndef VATCAST_REHEARSE_ACT_H
#define VATCAST_REHEARSE_ACT_H

#include "rehearse/phrase.h"
#include "rehearse/session.h"
#include "sim/run.h"

#define EVENT_SIZE 400
#define HINT_SIZE 400

enum act_kind {
    /* Done to the vat. */
    ACT_ADD,
    ACT_STIR,
    ACT_WARM,
    ACT_HEATER_OFF,
    ACT_COVER,
    ACT_WRAP,
    ACT_TOP_UP,
    ACT_MOVE,
    ACT_SKIM,
    ACT_RACK,
    ACT_WAIT,
    ACT_DIP,
    ACT_FINISH,
    ACT_AIR,
    /* Read. */
    ACT_LOOK,
    ACT_READ,
    ACT_TEST_STRIP,
    ACT_PINCH,
    /* Asked. */
    ACT_CLOTH,
    ACT_READY,
    ACT_REVEAL,
    ACT_WHY,
    ACT_ADVICE,
    ACT_WHAT_IF,
    ACT_STORY,
    ACT_TIME,
    ACT_HELP,
    ACT_DISPOSAL,
    /* Of the session. */
    ACT_BACK,
    ACT_SAVE,
    ACT_REPORT,
    ACT_QUIT
};

struct act {
    enum act_kind kind;
    char event[EVENT_SIZE];   /* what happens now, without its time: `do = "stir"; for = "120 s";`; "" for nothing */
    double lasts;             /* s that pass */
    bool is_warming;          /* it lasts until the heater has done its work, and holds for `lasts` */
    double moment;            /* WHY, BACK: s since the start; NAN: not said */
    int count;                /* BACK: how many sentences; 0: to the moment */
    int pieces, first;        /* DIP */
    bool stays_on;            /* WARM: the heater keeps it there; DIP: the cloth is left in; no time passes */
    char rest[SENTENCE_SIZE]; /* WHAT_IF, SAVE, REPORT, HELP: the words that follow; ADD: the amount as said */
};

/* What a sentence is read by: the vat as it stands, and what is known of the session. */
struct setting_of_act {
    const struct scenario *scenario;
    const struct quantities *quantities;
    const struct run *run;
    double now;
    int last_kind, last_first, last_pieces; /* of the cloth dipped last; last_pieces 0: none yet */
    char *hint;                             /* HINT_SIZE: what would be understood, when it is not */
};

struct sentence {
    const char *name;  /* by which it goes; also the first of its words */
    const char *words; /* with which it begins; alternatives parted by '|' */
    enum act_kind kind;
    /* Reads what follows the words into the act; false: not understood, and the hint says why. NULL: nothing may follow. */
    bool (*read)(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
    const char *form;    /* "add AMOUNT MATERIAL" */
    const char *example; /* "add 50 g slaked lime" */
    const char *what;    /* a line on what it does */
};

extern const struct sentence sentence_table[];
extern const size_t sentence_count;

/* The sentence that the words at the front begin, which are taken, with what is said before them ("please", "I"); NULL: none. */
const struct sentence *sentence_begun(struct phrase *phrase);
/* The enum act_kind of sentence that a text begins as; -1: none. */
int sentence_kind(const char *text);

/* Whether what is asked so would tell what a lesson tells only at its end: the hidden numbers, a forecast, advice, a report. */
bool act_is_withheld(enum act_kind kind);

/* A line without control characters and the blanks around it, as it is read; false: it is too long. */
bool sentence_clean(const char *line, char clean[SENTENCE_SIZE]);
/* What follows the first "then" that stands as a word of its own within a line; `length`: of what stands before it. NULL:
 * there is none. */
const char *after_then(const char *line, size_t *length);
/* Takes the next sentence off a line of several joined by "then"; *line becomes NULL with the last. What follows "what if" is
 * all its own. False: none is left. */
bool sentence_next(const char **line, char sentence[SENTENCE_SIZE]);

#define EXAMPLE_SIZE 160
/* An example with what this scenario has. */
void sentence_example(const struct scenario *scenario, const struct sentence *sentence, char example[EXAMPLE_SIZE]);

/* Reads a sentence. False: not understood; of->hint says what would be. */
bool act_read(const struct setting_of_act *of, const char *sentence, struct act *act);

/* Of the groups of sentences (acts_vat.c, acts_cloth.c, acts_ask.c), for the table. */
bool read_add(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_stir(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_warm(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_keep(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_heater_off(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_cover(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_uncover(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_wrap(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_unwrap(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_top_up(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_move(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_skim(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_rack(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_wait(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_overnight(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_dip(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_take_out(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_air(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_rinse(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_sour(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_wash(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_look(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_instrument(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_thermometer(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_test_strip(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_pinch(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_since(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_back(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_start_over(const struct setting_of_act *of, struct phrase *phrase, struct act *act);
bool read_words(const struct setting_of_act *of, struct phrase *phrase, struct act *act); /* any, kept in `rest` */
bool read_file(const struct setting_of_act *of, struct phrase *phrase, struct act *act);

/* Writes the hint; false, to be returned. */
bool hint(const struct setting_of_act *of, const char *format, ...) PRINTF_LIKE(2, 3);
/* Whether no words are left; else the hint names them and the example. */
bool is_all_said(const struct setting_of_act *of, const struct phrase *phrase, const char *example);
/* False: the hint names the words that are left, or says that some are left out, and the example. */
bool is_nonsense(const struct setting_of_act *of, const struct phrase *phrase, const char *example);
/* The cloth that is meant: by its name, alone or as one of many; with one kind only, or with the last dipped, it goes
 * without saying. -1: a name is wanted. */
int cloth_named(const struct setting_of_act *of, struct phrase *phrase);
/* The material that is meant by a name as said: "lime" is the lime of this vat. The name as said when none is meant. */
const char *material_meant(const struct scenario *scenario, const char *said);
/* Writes text into an event, with what must not stand in quotes escaped. */
void event_quote(const char *from, char *to, size_t size);

#endif

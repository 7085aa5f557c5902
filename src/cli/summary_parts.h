/* summary_parts.h: what the files of the summary share. */
#ifndef VATCAST_CLI_SUMMARY_PARTS_H
#define VATCAST_CLI_SUMMARY_PARTS_H

#include "cli/text.h"
#include "sim/result.h"

#include <stdio.h>

#define DAY_SECONDS 86400.0
#define HOUR_SECONDS 3600.0
#define LABEL_INDENT 9  /* of the lines from Dyed to Result */
#define STORY_INDENT 15 /* of the lines day by day */
#define STORY_WIDTH 66
#define SWATCH_WIDTH 7  /* columns of a block of colour and the blank after it */
#define NOTHING ((size_t)-1)

struct story {
    FILE *out;
    const struct result *result;
    struct text_style style;
    double midnight; /* s into the day when the run starts */
    /* columns of the series, NULL when missing */
    const struct column *time, *temperature, *ph, *volume, *state, *look, *cloth_dips;
};

/* Day number, from 1, of a time since the start. */
int story_day(const struct story *story, double time);
/* "09:30" */
void story_clock(const struct story *story, double time, char clock[6]);
/* Last row of the series at or before a time; NOTHING when there is none. */
size_t story_row(const struct story *story, double time);
/* A value of a series column, NAN when missing. */
double story_value(const struct column *column, size_t row);
/* "amber under a bronze film, 31 C, pH 11.2" */
void story_add_look(const struct story *story, size_t row, struct text *text);

/* summary_days.c */
void summary_days(const struct story *story);
/* summary_session.c: whether an event of a row can begin a session: something that a person did, or that ran over. */
bool session_counts(const struct story *story, size_t row);
/* summary_session.c: tells the events from row `first` up to `end` (not included) in one line. False when there was
 * nothing to tell but readings. */
bool session_tell(const struct story *story, size_t first, size_t end, struct text *text);
/* A line with its label in the margin. */
void story_line(const struct story *story, const char *label, const struct text *text);

/* summary_cloth.c: Dyed, Pieces, Pigment */
void summary_cloth(const struct story *story);
/* summary_ledger.c: Indigo, Sugar, Lime ... */
void summary_ledger(const struct story *story);
/* summary_likely.c: Likely, how far the run can be trusted, when it has members */
void summary_likely(const struct story *story);
/* summary_watch.c: Watch and Care */
void summary_watch(const struct story *story);

#endif

/* moment.c: moments as a dyer says them; part of phrase.h. */
#include "rehearse/phrase.h"

#include "scenario/times.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HOUR 3600.0

/* Times of day by name; common practice, no source. */
static const struct {
    const char *words;
    double clock;
} parts_of_day[] = {
    {"the morning|morning", 8 * HOUR},  {"noon|midday|lunch", 12 * HOUR}, {"the afternoon|afternoon", 15 * HOUR},
    {"the evening|evening", 18 * HOUR}, {"night|bedtime", 22 * HOUR},     {"midnight", 0.0},
};

/* "9", "nine", "nine o'clock". */
static bool take_hour(struct phrase *phrase, double *clock)
{
    int hour;
    if (!phrase_count(phrase, &hour) || hour > 23) {
        return false;
    }
    (void)phrase_take(phrase, "o'clock");
    *clock = HOUR * hour;
    return true;
}

/* Takes a time of day: "14:30", "2 pm", "2:30 pm", "8am", "morning"; after "at", or a `day` that was said, "9" too. */
static bool take_clock(struct phrase *phrase, bool day, double *clock)
{
    bool is_hour = phrase_take(phrase, "at") || day;
    for (size_t i = 0; i < sizeof parts_of_day / sizeof parts_of_day[0]; i++) {
        if (phrase_take(phrase, parts_of_day[i].words)) {
            *clock = parts_of_day[i].clock;
            return true;
        }
    }
    char word[16];
    (void)snprintf(word, sizeof word, "%s", phrase_word(phrase, 0));
    size_t digits = strspn(word, "0123456789:");
    const char *half = word[digits] != '\0' ? word + digits : phrase_word(phrase, 1);
    bool is_am = strcmp(half, "am") == 0;
    bool is_pm = strcmp(half, "pm") == 0;
    int taken = (is_am || is_pm) && word[digits] == '\0' ? 2 : 1;
    if (digits == 0 || (word[digits] != '\0' && !is_am && !is_pm)) {
        return is_hour && take_hour(phrase, clock);
    }
    word[digits] = '\0';
    char text[24];
    bool is_whole = strchr(word, ':') == NULL; /* "2 pm" */
    (void)snprintf(text, sizeof text, "%s%s", word, is_whole ? ":00" : "");
    if (is_whole && !is_am && !is_pm) {
        return is_hour && take_hour(phrase, clock);
    }
    if (!clock_read(text, clock) || ((is_am || is_pm) && *clock >= 13 * HOUR)) {
        return false;
    }
    if (is_pm && *clock < 12 * HOUR) {
        *clock += 12 * HOUR;
    } else if (is_am && *clock >= 12 * HOUR) {
        *clock -= 12 * HOUR;
    }
    phrase->at += taken;
    return true;
}

/* Midnight before a time, s since the start. */
static double midnight_of(const struct scenario *scenario, double time)
{
    double first = start_midnight(scenario);
    return first + floor((time - first) / DAY_S) * DAY_S;
}

/* The time of day that follows, else the one it is now. */
static double clock_or(struct phrase *phrase, const struct scenario *scenario, double now)
{
    double clock;
    struct phrase ahead = *phrase;
    if (take_clock(&ahead, true, &clock)) {
        *phrase = ahead;
        return clock;
    }
    return now - midnight_of(scenario, now);
}

/* "2026-05-06 10:00" and "day 3 10:00", whose words stand apart. */
static bool take_date(struct phrase *phrase, const struct scenario *scenario, double *moment)
{
    char text[80];
    bool is_day = strcmp(phrase_word(phrase, 0), "day") == 0;
    int words = is_day ? 2 : 1;
    double midnight = 0.0;
    double clock = 0.0;
    double unix_s = 0.0;
    bool has_clock = false;
    (void)snprintf(text, sizeof text, "%.30s%s%.30s", phrase_word(phrase, 0), is_day ? " " : "",
                   is_day ? phrase_word(phrase, 1) : "");
    if (is_day && day_read(scenario, text, &midnight, &has_clock, &clock)) {
        phrase->at += words;
    } else if (!is_day && date_read(text, &unix_s, &has_clock)) {
        phrase->at += words;
        midnight = unix_s - scenario->start_unix;
    } else {
        return false;
    }
    *moment = midnight + clock_or(phrase, scenario, 0.0);
    return true;
}

static bool take_ago(struct phrase *phrase, const struct quantities *quantities, double now, double *moment)
{
    double seconds;
    struct phrase ahead = *phrase;
    if (!phrase_duration(&ahead, quantities, &seconds) || !phrase_take(&ahead, "ago")) {
        return false;
    }
    *phrase = ahead;
    *moment = now - seconds;
    return true;
}

bool phrase_moment(struct phrase *phrase, const struct quantities *quantities, const struct scenario *scenario,
                   double now, bool past, double *moment)
{
    double clock;
    struct phrase ahead = *phrase;
    double today = midnight_of(scenario, now);
    if (phrase_take(&ahead, "the start|start|the beginning|beginning")) {
        *moment = 0.0;
    } else if (phrase_take(&ahead, "tomorrow")) {
        *moment = today + DAY_S + clock_or(&ahead, scenario, now);
    } else if (phrase_take(&ahead, "yesterday")) {
        *moment = today - DAY_S + clock_or(&ahead, scenario, now);
    } else if (phrase_take(&ahead, "this|today") && take_clock(&ahead, true, &clock)) {
        *moment = today + clock;
    } else if (take_ago(&ahead, quantities, now, moment) || take_date(&ahead, scenario, moment)) {
        (void)moment;
    } else if ((void)phrase_take(&ahead, "next"), take_clock(&ahead, false, &clock)) {
        *moment = today + clock;
        if (past) {
            *moment -= *moment > now ? DAY_S : 0.0;
        } else {
            *moment += *moment <= now ? DAY_S : 0.0;
        }
    } else {
        return false;
    }
    *moment = floor(*moment + 0.5);
    *phrase = ahead;
    return true;
}

/* times.c: see times.h; and the times of a calendar, see reader.h. */
#include "scenario/reader.h"
#include "scenario/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static bool digits_read(const char **text, int least, int most, int *value)
{
    int count = 0;
    *value = 0;
    while (count < most && **text >= '0' && **text <= '9') {
        *value = *value * 10 + (**text - '0');
        (*text)++;
        count++;
    }
    return count >= least;
}

/* Days from 1970-01-01 to a date of the Gregorian calendar. Source: the usual count of days by eras of 400 years. */
static double days_since_1970(int year, int month, int day)
{
    int shifted_year = month <= 2 ? year - 1 : year;
    int era = shifted_year / 400;
    int year_of_era = shifted_year - era * 400;
    int day_of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
    int day_of_era = year_of_era * 365 + year_of_era / 4 - year_of_era / 100 + day_of_year;
    return era * 146097.0 + day_of_era - 719468.0;
}

static int days_of_month(int year, int month)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month == 2 && leap ? 29 : days[month - 1];
}

bool clock_read(const char *text, double *seconds)
{
    int hour;
    int minute;
    int second = 0;
    text = skip_blanks(text);
    if (!digits_read(&text, 1, 2, &hour) || *text++ != ':' || !digits_read(&text, 2, 2, &minute)) {
        return false;
    }
    if (*text == ':') {
        text++;
        if (!digits_read(&text, 2, 2, &second)) {
            return false;
        }
    }
    *seconds = hour * 3600.0 + minute * 60.0 + second;
    return *skip_blanks(text) == '\0' && hour <= 23 && minute <= 59 && second <= 59;
}

bool date_read(const char *text, double *unix_s, bool *has_clock)
{
    int year;
    int month;
    int day;
    text = skip_blanks(text);
    if (!digits_read(&text, 4, 4, &year) || *text++ != '-' || !digits_read(&text, 2, 2, &month) || *text++ != '-' ||
        !digits_read(&text, 2, 2, &day)) {
        return false;
    }
    if (year < 1900 || year > 2200 || month < 1 || month > 12 || day < 1 || day > days_of_month(year, month)) {
        return false;
    }
    double clock = 0;
    *has_clock = *skip_blanks(text) != '\0';
    if (*has_clock && ((*text != ' ' && *text != 'T') || !clock_read(text + 1, &clock))) {
        return false;
    }
    *unix_s = days_since_1970(year, month, day) * DAY_S + clock;
    return true;
}

double start_midnight(const struct scenario *scenario)
{
    return floor(scenario->start_unix / DAY_S) * DAY_S - scenario->start_unix;
}

bool day_read(const struct scenario *scenario, const char *text, double *midnight, bool *has_clock, double *clock)
{
    text = skip_blanks(text);
    if (strncmp(text, "day", 3) != 0) {
        return false;
    }
    int day;
    text = skip_blanks(text + 3);
    if (!digits_read(&text, 1, 4, &day) || day < 1) {
        return false;
    }
    *midnight = start_midnight(scenario) + (day - 1) * DAY_S;
    *has_clock = *skip_blanks(text) != '\0';
    return !*has_clock || ((*text == ' ' || *text == '\t') && clock_read(text, clock));
}

double time_read(struct reader *reader, const struct setting *item, const char *key, enum day_part part)
{
    const struct scenario *scenario = reader->scenario;
    static const char forms[] = "\"day 2 10:00\", \"2026-05-05 10:00\" or \"+90 min\"";
    if (item->type != SETTING_TEXT) {
        complain(reader, item, "'%s' is %s; expected a time, as %s", key, setting_type_words(item->type), forms);
        return NAN;
    }
    double midnight = 0;
    double clock = 0;
    double date = 0;
    bool has_clock = false;
    if (skip_blanks(item->text)[0] == '+') {
        return text_quantity(reader, item, key, skip_blanks(item->text) + 1, &form_duration);
    }
    if (date_read(item->text, &date, &has_clock)) {
        clock = fmod(date, DAY_S);
        midnight = date - clock - scenario->start_unix;
    } else if (!day_read(scenario, item->text, &midnight, &has_clock, &clock)) {
        complain(reader, item, "'%s' is \"%.60s\", which is no time; expected %s", key, item->text, forms);
        return NAN;
    }
    if (has_clock) {
        return midnight + clock;
    }
    if (part == DAY_BEGINS) { /* the day of the start begins with the start */
        return midnight < 0 && midnight + DAY_S > 0 ? 0 : midnight;
    }
    return midnight + (part == DAY_ENDS ? DAY_S - 1 : -start_midnight(scenario));
}

void time_show(const struct scenario *scenario, double time, char *text, size_t size)
{
    if (!(fabs(time) < 1e10) || isnan(scenario->start_unix)) { /* 300 years; a start that did not read */
        (void)snprintf(text, size, "%g days from the start", time / DAY_S);
        return;
    }
    double minutes = floor((time - start_midnight(scenario)) / 60 + 0.5);
    double day = floor(minutes / 1440);
    int clock = (int)(minutes - day * 1440);
    (void)snprintf(text, size, "day %.0f %02d:%02d", day + 1, clock / 60, clock % 60);
}

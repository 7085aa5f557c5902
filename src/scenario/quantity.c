/* quantity.c: see quantity.h. The only file that calls UDUNITS-2. */
#include "scenario/quantity.h"

#include "scenario/words.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <udunits2.h>

#define UNIT_SIZE 160

struct quantities {
    ut_system *units;
};

struct spelling {
    const char *written;
    const char *udunits;
    bool kitchen; /* a household measure of volume */
};

/* Names of two words come before their second word. UDUNITS would read C as coulomb, F as farad, oz as a fluid ounce
 * and
 * gal as a unit of acceleration. */
static const struct spelling two_words[] = {
    {"imperial gallons", "Canadian_liquid_gallon", true},
    {"imperial gallon", "Canadian_liquid_gallon", true},
    {"imperial gal", "Canadian_liquid_gallon", true},
    {"imp gal", "Canadian_liquid_gallon", true},
    {"US gallons", "US_liquid_gallon", true},
    {"US gallon", "US_liquid_gallon", true},
    {"US gal", "US_liquid_gallon", true},
    {"fl oz", "US_fluid_ounce", true},
    {"fluid ounces", "US_fluid_ounce", true},
    {"fluid ounce", "US_fluid_ounce", true},
    {"deg C", "degC", false},
    {"deg F", "degF", false},
    {"\xc2\xb0\x43", "degC", false}, /* the sign for degrees and C */
    {"\xc2\xb0\x46", "degF", false},
};

static const struct spelling one_word[] = {
    {"C", "degC", false},
    {"F", "degF", false},
    {"gal", "US_liquid_gallon", true},
    {"gallon", "US_liquid_gallon", true},
    {"gallons", "US_liquid_gallon", true},
    {"US_liquid_gallon", "US_liquid_gallon", true},
    {"qt", "US_liquid_quart", true},
    {"quart", "US_liquid_quart", true},
    {"quarts", "US_liquid_quart", true},
    {"pt", "US_liquid_pint", true},
    {"pint", "US_liquid_pint", true},
    {"pints", "US_liquid_pint", true},
    {"cup", "cup", true},
    {"cups", "cup", true},
    {"tbsp", "tablespoon", true},
    {"Tbsp", "tablespoon", true},
    {"tablespoon", "tablespoon", true},
    {"tablespoons", "tablespoon", true},
    {"tsp", "teaspoon", true},
    {"teaspoon", "teaspoon", true},
    {"teaspoons", "teaspoon", true},
    {"floz", "US_fluid_ounce", true},
    {"oz", "avoirdupois_ounce", false},
    {"ounce", "avoirdupois_ounce", false},
    {"ounces", "avoirdupois_ounce", false},
    {"lb", "avoirdupois_pound", false},
    {"lbs", "avoirdupois_pound", false},
    {"in", "inch", false},
    {"hr", "hour", false},
    {"hrs", "hour", false},
    {"mins", "minute", false},
    {"sec", "second", false},
    {"secs", "second", false},
    {"wk", "week", false},
    {"gram", "g", false},
    {"eq", "mol", false},
    {"meq", "mmol", false},
};

struct status quantities_open(struct quantities **quantities)
{
    static const char *const places[] = {NULL, "/usr/share/xml/udunits/udunits2.xml", "/usr/share/udunits/udunits2.xml",
                                         "/usr/local/share/udunits/udunits2.xml"};
    *quantities = NULL;
    ut_error_message_handler earlier = ut_set_error_message_handler(ut_ignore);
    ut_system *units = NULL;
    for (size_t i = 0; i < sizeof places / sizeof places[0] && units == NULL; i++) {
        units =
            ut_read_xml(places[i]); /* NULL: the environment's UDUNITS2_XML_PATH, or where the library was installed */
    }
    (void)ut_set_error_message_handler(earlier);
    if (units == NULL) {
        return status_fail(STATUS_IO,
                           "the definitions of units (udunits2.xml) were not found; install UDUNITS-2 or set "
                           "UDUNITS2_XML_PATH");
    }
    struct quantities *opened = malloc(sizeof *opened);
    if (opened == NULL) {
        ut_free_system(units);
        return status_fail(STATUS_MEMORY, "no memory for the definitions of units");
    }
    opened->units = units;
    *quantities = opened;
    return status_ok();
}

void quantities_close(struct quantities *quantities)
{
    if (quantities != NULL) {
        ut_free_system(quantities->units);
        free(quantities);
    }
}

static bool is_digit(char letter)
{
    return letter >= '0' && letter <= '9';
}

/* Reads decimal digits into value; returns where they end, NULL when there are none or too many. */
static const char *whole_read(const char *text, double *value)
{
    const char *start = text;
    *value = 0;
    while (is_digit(*text)) {
        *value = *value * 10 + (*text - '0');
        text++;
    }
    return text == start || text - start > 6 ? NULL : text;
}

/* Reads "/2" after a numerator; returns where it ends, NULL when it is no fraction. */
static const char *denominator_read(const char *text, double *denominator)
{
    return *text == '/' ? whole_read(text + 1, denominator) : NULL;
}

/* Reads the number at the start of text; returns where it ends, NULL when there is none. */
static const char *number_read(const char *text, double *value)
{
    const char *digits = *text == '-' || *text == '+' ? text + 1 : text;
    double sign = *text == '-' ? -1 : 1;
    if (!is_digit(digits[0]) && !(digits[0] == '.' && is_digit(digits[1]))) {
        return NULL;
    }
    if (digits[0] == '0' && (digits[1] == 'x' || digits[1] == 'X')) {
        return NULL;
    }
    double whole;
    double over;
    double under;
    const char *end = whole_read(digits, &whole);
    if (end != NULL) {
        const char *after = denominator_read(end, &under);
        if (after != NULL && under > 0) {
            *value = sign * whole / under;
            return after;
        }
        const char *second = skip_blanks(end);
        const char *second_end = second > end ? whole_read(second, &over) : NULL;
        after = second_end != NULL ? denominator_read(second_end, &under) : NULL;
        if (after != NULL && under > 0) {
            *value = sign * (whole + over / under);
            return after;
        }
    }
    char *number_end;
    *value = sign * strtod(digits, &number_end);
    /* "1,5" and "1.2.3" are no numbers; an exponent may not run into a second number. */
    return *number_end == ',' || *number_end == '.' || *number_end == ':' || is_digit(*number_end) ? NULL : number_end;
}

static const struct spelling *spelling_find(const char *text, size_t length, const struct spelling *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (strlen(list[i].written) == length && strncmp(list[i].written, text, length) == 0) {
            return &list[i];
        }
    }
    return NULL;
}

static const struct spelling *two_words_find(const char *text)
{
    for (size_t i = 0; i < sizeof two_words / sizeof two_words[0]; i++) {
        size_t length = strlen(two_words[i].written);
        if (strncmp(text, two_words[i].written, length) == 0 && !isalpha((unsigned char)text[length])) {
            return &two_words[i];
        }
    }
    return NULL;
}

static bool is_unit_letter(char letter)
{
    return isalpha((unsigned char)letter) || letter == '_';
}

/* Length of the word at the start of text, and its spelling when it is one of ours. */
static size_t word_match(const char *text, const struct spelling **spelling)
{
    *spelling = two_words_find(text);
    if (*spelling != NULL) {
        return strlen((*spelling)->written);
    }
    size_t length = 0;
    while (is_unit_letter(text[length])) {
        length++;
    }
    *spelling = spelling_find(text, length, one_word, sizeof one_word / sizeof one_word[0]);
    return length;
}

/* True for a digit that is no exponent: "g 2" would otherwise double what is weighed. */
static bool is_factor(const char *unit, const char *digit)
{
    if (digit == unit) {
        return true;
    }
    char before = digit[-1];
    if (before == '-' || before == '+') {
        return digit - 1 == unit || !(is_unit_letter(digit[-2]) || digit[-2] == '^' || digit[-2] == ')');
    }
    return !(is_unit_letter(before) || is_digit(before) || before == '^' || before == ')');
}

/* Rewrites a unit into UDUNITS' spelling. False: too long, or with a character or word that no unit has. */
static bool unit_rewrite(const char *unit, char *text, size_t size)
{
    const char *whole = unit;
    size_t used = 0;
    if (unit[0] == '/') {
        text[used++] = '1';
    }
    while (*unit != '\0') {
        const char *piece = unit;
        size_t length = 1;
        if (is_unit_letter(*unit) || two_words_find(unit) != NULL) {
            const struct spelling *spelling;
            size_t written = word_match(unit, &spelling);
            if ((written == 5 && strncmp(unit, "since", 5) == 0) || (written == 2 && strncmp(unit, "re", 2) == 0) ||
                (written == 4 && (strncmp(unit, "from", 4) == 0)) || (written == 5 && strncmp(unit, "after", 5) == 0)) {
                return false; /* UDUNITS would shift the zero */
            }
            piece = spelling != NULL ? spelling->udunits : unit;
            length = spelling != NULL ? strlen(piece) : written;
            unit += written;
        } else {
            bool allowed = strchr(" \t/*.^-+()%", *unit) != NULL || (unsigned char)*unit >= 0x80 ||
                           (is_digit(*unit) && !is_factor(whole, unit));
            if (!allowed) {
                return false;
            }
            unit++;
        }
        if (used + length + 1 > size) {
            return false;
        }
        memcpy(text + used, piece, length);
        used += length;
    }
    text[used] = '\0';
    return true;
}

bool unit_is_kitchen_measure(const char *unit)
{
    const struct spelling *spelling;
    size_t length = word_match(unit, &spelling);
    return spelling != NULL && spelling->kitchen && unit[length] == '\0';
}

bool unit_is_temperature_scale(const char *unit)
{
    char text[UNIT_SIZE];
    if (!unit_rewrite(unit, text, sizeof text)) {
        return false;
    }
    static const char *const scales[] = {"degC",    "degF",       "\xc2\xb0\x43", "\xc2\xb0\x46", "celsius",
                                         "Celsius", "fahrenheit", "Fahrenheit",   "degree_C",     "degree_F"};
    for (size_t i = 0; i < sizeof scales / sizeof scales[0]; i++) {
        if (strcmp(text, scales[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Converts a number in `from` to `to`; both are parsed units. */
static enum quantity_result unit_convert(ut_unit *from, ut_unit *to, double number, double *value)
{
    if (!ut_are_convertible(from, to)) {
        return QUANTITY_OTHER_KIND;
    }
    cv_converter *converter = ut_get_converter(from, to);
    if (converter == NULL) {
        return QUANTITY_OTHER_KIND;
    }
    *value = cv_convert_double(converter, number);
    cv_free(converter);
    return isfinite(*value) ? QUANTITY_OK : QUANTITY_NOT_FINITE;
}

enum quantity_result quantity_read(const struct quantities *quantities, const char *text, const char *si_unit,
                                   double *value, char *unit, size_t unit_size)
{
    unit[0] = '\0';
    double number;
    const char *rest = number_read(skip_blanks(text), &number);
    if (rest == NULL) {
        return QUANTITY_NO_NUMBER;
    }
    rest = skip_blanks(rest);
    size_t length = strlen(rest);
    while (length > 0 && (rest[length - 1] == ' ' || rest[length - 1] == '\t')) {
        length--;
    }
    if (length >= unit_size || length >= UNIT_SIZE) {
        return QUANTITY_UNKNOWN_UNIT;
    }
    memcpy(unit, rest, length);
    unit[length] = '\0';
    bool pure = strcmp(si_unit, "1") == 0;
    if (length == 0 && !pure) {
        return QUANTITY_NO_UNIT;
    }
    if (length == 0) {
        *value = number;
        return isfinite(number) ? QUANTITY_OK : QUANTITY_NOT_FINITE;
    }
    char rewritten[UNIT_SIZE + UNIT_SIZE];
    if (is_digit(unit[0]) || !unit_rewrite(unit, rewritten, sizeof rewritten)) {
        return QUANTITY_UNKNOWN_UNIT;
    }
    ut_error_message_handler earlier = ut_set_error_message_handler(ut_ignore);
    ut_unit *from = ut_parse(quantities->units, rewritten, UT_UTF8);
    ut_unit *to = ut_parse(quantities->units, si_unit, UT_UTF8);
    enum quantity_result result =
        from == NULL || to == NULL ? QUANTITY_UNKNOWN_UNIT : unit_convert(from, to, number, value);
    ut_free(from);
    ut_free(to);
    (void)ut_set_error_message_handler(earlier);
    return result;
}

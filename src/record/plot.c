/* plot.c: see plot.h. */
#include "record/plot.h"

#include "base/file.h"
#include "record/markup.h"
#include "record/png.h"
#include "record/publish.h"
#include "record/thinning.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WIDTH 760.0
#define LEFT 62.0
#define RIGHT 18.0
#define TOP 46.0
#define PANEL_HEIGHT 190.0
#define PANEL_FOOT 40.0 /* holds the days */
#define HEADING_ROW 17.0
#define SIGN 26.0 /* piece of a line before its name */
#define BOTTOM 12.0
#define ROWS_MOST 2000
#define DAY_SECONDS 86400.0
#define TICKS_WANTED 5.0

/* Colours that the colour-blind tell apart, each with its dashes. */
static const struct {
    const char *colour, *dashes;
} strokes[PLOT_SERIES_MOST] = {
    {"#0b4f8a", "none"}, {"#c05a00", "7 3"},     {"#007a5a", "2 3"},     {"#8a3b7c", "10 3 2 3"},
    {"#333333", "none"}, {"#2f8fc4", "1 2 6 2"}, {"#9a7b00", "12 4"}, {"#b03030", "4 2"},
};

struct plot {
    FILE *out;
    const struct result *result;
    const struct column *time;
    const struct column *columns[PLOT_SERIES_MOST];
    size_t count;
    const bool *keep;
    double midnight; /* s from midnight to the start */
    double end;      /* s */
};

/* Value range of a panel and its step of ticks. */
struct scale {
    double low, high, step;
};

/* Units as a reader of a handout writes them. */
static const char *unit_said(const char *unit)
{
    static const char *const said[][2] = {
        {"degC", "°C"}, {"g L-1", "g/L"}, {"mmol L-1", "mmol/L"}, {"mol L-1", "mol/L"}, {"mg L-1", "mg/L"}, {"1", ""},
    };
    for (size_t i = 0; i < sizeof said / sizeof said[0]; i++) {
        if (strcmp(said[i][0], unit) == 0) {
            return said[i][1];
        }
    }
    return unit;
}

static double nice_step(double range)
{
    double raw = range / TICKS_WANTED;
    double power = pow(10.0, floor(log10(raw)));
    double lead = raw / power;
    return power * (lead <= 1.0 ? 1.0 : lead <= 2.0 ? 2.0 : lead <= 5.0 ? 5.0 : 10.0);
}

/* Whether the series number `i` is drawn in the panel of series number `panel`: both are of one unit, and pH, shares
 * and other pure numbers each have their own. */
static bool shares_panel(const struct plot *plot, size_t panel, size_t i)
{
    const char *unit = plot->columns[panel]->unit;
    return i == panel || (strcmp(unit, "1") != 0 && strcmp(unit, plot->columns[i]->unit) == 0);
}

static bool heads_panel(const struct plot *plot, size_t i)
{
    for (size_t before = 0; before < i; before++) {
        if (shares_panel(plot, before, i)) {
            return false;
        }
    }
    return true;
}

/* The lower (0) and upper (1) bound of a series where the run has members; NULL otherwise. */
static const struct column *band_of(const struct plot *plot, size_t i, int end)
{
    static const char *const ends[2] = {"_p05", "_p95"};
    char name[sizeof plot->columns[i]->name + 8];
    (void)snprintf(name, sizeof name, "%s%s", plot->columns[i]->name, ends[end]);
    return table_column(&plot->result->series, name);
}

static void take_in(const struct column *column, size_t rows, double *low, double *high)
{
    for (size_t row = 0; column != NULL && row < rows; row++) {
        if (isfinite(column->values[row])) {
            *low = fmin(*low, column->values[row]);
            *high = fmax(*high, column->values[row]);
        }
    }
}

static struct scale panel_scale(const struct plot *plot, size_t panel)
{
    double low = (double)INFINITY;
    double high = -(double)INFINITY;
    for (size_t i = panel; i < plot->count; i++) {
        if (shares_panel(plot, panel, i)) {
            size_t rows = plot->result->series.rows;
            take_in(plot->columns[i], rows, &low, &high);
            take_in(band_of(plot, i, 0), rows, &low, &high);
            take_in(band_of(plot, i, 1), rows, &low, &high);
        }
    }
    if (!isfinite(low)) {
        low = 0.0;
        high = 1.0;
    }
    if (low < 0.4 * high && low > -1e-6 * high) { /* below zero by round-off too */
        low = 0.0;
    }
    if (!(high - low > 1e-12 * fmax(fabs(low), fabs(high)))) {
        low -= 0.5;
        high += 0.5;
    }
    double step = nice_step(high - low);
    return (struct scale){floor(low / step) * step, ceil(high / step) * step, step};
}

static double x_of(const struct plot *plot, double time)
{
    double start = plot->time->values[0];
    return LEFT + (WIDTH - LEFT - RIGHT) * (time - start) / fmax(plot->end - start, 1.0);
}

static double y_of(const struct scale *scale, double top, double value)
{
    return top + PANEL_HEIGHT * (scale->high - value) / (scale->high - scale->low);
}

/* How many-th of its panel a series is; the strokes begin anew in each panel. */
static size_t place_in_panel(const struct plot *plot, size_t panel, size_t i)
{
    size_t place = 0;
    for (size_t before = panel; before < i; before++) {
        place += shares_panel(plot, panel, before);
    }
    return place;
}

static void begin_stroke(const struct plot *plot, size_t place)
{
    fprintf(plot->out, "<path fill=\"none\" stroke=\"%s\" stroke-width=\"1.6\" stroke-dasharray=\"%s\" d=\"",
            strokes[place].colour, strokes[place].dashes);
}

/* The band of a series, where it has one, row by row along the upper bound and back along the lower one. */
static void draw_band(const struct plot *plot, const struct scale *scale, double top, size_t i, size_t place)
{
    const struct column *low = band_of(plot, i, 0);
    const struct column *high = band_of(plot, i, 1);
    size_t rows = plot->result->series.rows;
    if (low == NULL || high == NULL) {
        return;
    }
    fprintf(plot->out, "<path fill=\"%s\" fill-opacity=\"0.16\" d=\"", strokes[place].colour);
    for (size_t first = 0; first < rows; first++) {
        size_t end = first;
        while (end < rows && isfinite(low->values[end]) && isfinite(high->values[end])) {
            end++;
        }
        const char *pen = "M";
        for (size_t step = 0; step < 2 * (end - first); step++) {
            bool there = step < end - first;
            size_t row = there ? first + step : end - 1 - (step - (end - first));
            if (plot->keep[row]) {
                fprintf(plot->out, "%s%.1f %.1f", pen, x_of(plot, plot->time->values[row]),
                        y_of(scale, top, there ? high->values[row] : low->values[row]));
                pen = "L";
            }
        }
        fputs(end > first ? "Z" : "", plot->out);
        first = end > first ? end : first;
    }
    fputs("\"/>\n", plot->out);
}

static void draw_line(const struct plot *plot, const struct scale *scale, double top, size_t i, size_t place)
{
    begin_stroke(plot, place);
    bool pen_down = false;
    for (size_t row = 0; row < plot->result->series.rows; row++) {
        double value = plot->columns[i]->values[row];
        if (!plot->keep[row]) {
            continue;
        }
        if (!isfinite(value)) {
            pen_down = false;
            continue;
        }
        fprintf(plot->out, "%s%.1f %.1f", pen_down ? "L" : "M", x_of(plot, plot->time->values[row]),
                y_of(scale, top, value));
        pen_down = true;
    }
    fputs("\"/>\n", plot->out);
}

static void draw_value_axis(const struct plot *plot, const struct scale *scale, double top)
{
    int digits = scale->step < 1.0 ? (int)ceil(-log10(scale->step) - 1e-9) : 0;
    digits = digits > 12 ? 12 : digits;
    int ticks = (int)floor((scale->high - scale->low) / scale->step + 0.5);
    for (int k = 0; k <= ticks; k++) {
        double value = scale->low + k * scale->step;
        double y = y_of(scale, top, value);
        fprintf(plot->out, "<path stroke=\"#d9d5cc\" d=\"M%.1f %.1fH%.1f\"/>\n", LEFT, y, WIDTH - RIGHT);
        fprintf(plot->out, "<text class=\"tick\" text-anchor=\"end\" x=\"%.1f\" y=\"%.1f\">%.*f</text>\n", LEFT - 7.0,
                y + 4.0, digits, fabs(value) < 1e-9 * scale->step ? 0.0 : value);
    }
}

/* Midnights, or every so many of them, as "day 8"; hours for a run of less than three days. */
static void draw_time_axis(const struct plot *plot, double top, double bottom)
{
    double start = plot->time->values[0];
    double days = (plot->end - start) / DAY_SECONDS;
    double step = days > 3.0 ? ceil(days / 12.0) * DAY_SECONDS : days > 1.0 ? DAY_SECONDS / 4.0 : DAY_SECONDS / 12.0;
    double first = ceil((start + plot->midnight) / step) * step - plot->midnight;
    const int count = first <= plot->end ? (int)((plot->end - first) / step) + 1 : 0;
    for (int i = 0; i < count; i++) {
        double time = first + i * step;
        double x = x_of(plot, time);
        double day = floor((time + plot->midnight) / DAY_SECONDS + 1e-9);
        double hour = (time + plot->midnight - day * DAY_SECONDS) / 3600.0;
        fprintf(plot->out, "<path stroke=\"#efece5\" d=\"M%.1f %.1fV%.1f\"/>\n", x, top, bottom);
        fprintf(plot->out, "<text class=\"tick\" text-anchor=\"middle\" x=\"%.1f\" y=\"%.1f\">", x, bottom + 17.0);
        if (hour < 0.01) {
            fprintf(plot->out, "day %.0f</text>\n", day + 1.0);
        } else {
            fprintf(plot->out, "%02.0f:00</text>\n", hour);
        }
    }
}

/* Heading of a panel: a row for each series with a piece of its line. Ends at the panel's top. */
static void draw_heading(const struct plot *plot, size_t panel, double top)
{
    const char *unit = unit_said(plot->columns[panel]->unit);
    for (size_t i = panel; i < plot->count; i++) {
        if (!shares_panel(plot, panel, i)) {
            continue;
        }
        size_t place = place_in_panel(plot, panel, i);
        double y = top + HEADING_ROW * (double)place;
        begin_stroke(plot, place);
        fprintf(plot->out, "M%.1f %.1fH%.1f\"/>\n<text class=\"name\" x=\"%.1f\" y=\"%.1f\">", LEFT, y - 4.0, LEFT + SIGN,
                LEFT + SIGN + 8.0, y);
        markup_write_text(plot->out, plot->columns[i]->long_name);
        if (unit[0] != '\0') {
            fputs(" (", plot->out);
            markup_write_text(plot->out, unit);
            fputs(")", plot->out);
        }
        fputs("</text>\n", plot->out);
    }
}

static double heading_height(const struct plot *plot, size_t panel)
{
    return HEADING_ROW * (double)place_in_panel(plot, panel, plot->count);
}

/* In words: each series with its first, lowest, highest and last value. */
static void write_description(const struct plot *plot)
{
    size_t rows = plot->result->series.rows;
    fputs("<desc>", plot->out);
    for (size_t i = 0; i < plot->count; i++) {
        const struct column *column = plot->columns[i];
        double low = (double)NAN;
        double high = (double)NAN;
        for (size_t row = 0; row < rows; row++) {
            low = fmin(low, column->values[row]); /* fmin and fmax pass over NAN */
            high = fmax(high, column->values[row]);
        }
        markup_write_text(plot->out, column->long_name);
        fprintf(plot->out, ": begins with %.4g, lowest %.4g, highest %.4g, ends with %.4g %s. ", column->values[0], low,
                high, column->values[rows - 1], unit_said(column->unit));
        const struct column *bounds[2] = {band_of(plot, i, 0), band_of(plot, i, 1)};
        if (bounds[0] != NULL && bounds[1] != NULL) {
            fprintf(plot->out, "Of %zu vats that this one may be, nine in ten end at %.4g to %.4g %s. ",
                    plot->result->members.rows, bounds[0]->values[rows - 1], bounds[1]->values[rows - 1],
                    unit_said(column->unit));
        }
    }
    fputs("</desc>\n", plot->out);
}

static void draw(const struct plot *plot)
{
    double height = TOP + BOTTOM;
    for (size_t i = 0; i < plot->count; i++) {
        height += heads_panel(plot, i) ? heading_height(plot, i) + PANEL_HEIGHT + PANEL_FOOT : 0.0;
    }
    const char *title = plot->result->title[0] != '\0' ? plot->result->title : plot->result->scenario_name;
    fprintf(plot->out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"%.0f\" height=\"%.0f\" viewBox=\"0 0 %.0f %.0f\" "
            "role=\"img\">\n<title>",
            WIDTH, height, WIDTH, height);
    markup_write_text(plot->out, title);
    fputs("</title>\n", plot->out);
    write_description(plot);
    fputs("<style>text{font-family:Georgia,'Liberation Serif',serif;fill:#26221c}.tick{font-size:12px;fill:#5d574d}"
          ".name{font-size:13px}.title{font-size:18px}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n",
          plot->out);
    fprintf(plot->out, "<text class=\"title\" x=\"%.1f\" y=\"28\">", LEFT);
    markup_write_text(plot->out, title);
    fputs("</text>\n", plot->out);
    double top = TOP;
    for (size_t i = 0; i < plot->count; i++) {
        if (!heads_panel(plot, i)) {
            continue;
        }
        struct scale scale = panel_scale(plot, i);
        draw_heading(plot, i, top + HEADING_ROW - 5.0);
        top += heading_height(plot, i) + 4.0;
        draw_time_axis(plot, top, top + PANEL_HEIGHT);
        draw_value_axis(plot, &scale, top);
        for (size_t k = i; k < plot->count; k++) {
            if (shares_panel(plot, i, k)) {
                draw_band(plot, &scale, top, k, place_in_panel(plot, i, k));
            }
        }
        for (size_t k = i; k < plot->count; k++) {
            if (shares_panel(plot, i, k)) {
                draw_line(plot, &scale, top, k, place_in_panel(plot, i, k));
            }
        }
        top += PANEL_HEIGHT + PANEL_FOOT - 4.0;
    }
    fputs("</svg>\n", plot->out);
}

static struct status find_series(const struct result *result, const char *const *names, size_t count,
                                 struct plot *plot)
{
    if (count == 0 || count > PLOT_SERIES_MOST) {
        return status_fail(STATUS_USAGE, "a picture takes one to %d series, not %zu", PLOT_SERIES_MOST, count);
    }
    for (size_t i = 0; i < count; i++) {
        const struct column *column = table_column(&result->series, names[i]);
        if (column == NULL || strcmp(names[i], "time") == 0) {
            return status_fail(STATUS_USAGE, "'%.60s' is no series of this result; see docs/result-format.md for names",
                               names[i]);
        }
        if (column->flags != NULL) {
            return status_fail(STATUS_USAGE, "'%.60s' holds words, which have no curve; choose a series of numbers",
                               names[i]);
        }
        plot->columns[plot->count++] = column;
    }
    return status_ok();
}

struct status plot_make(const struct result *result, const char *const *names, size_t count, char **svg, size_t *size)
{
    struct plot plot = {.result = result, .time = table_column(&result->series, "time")};
    size_t rows = result->series.rows;
    *svg = NULL;
    *size = 0;
    if (rows == 0 || plot.time == NULL) {
        return status_fail(STATUS_IO, "the result holds no series to draw");
    }
    RETURN_IF_FAILED(find_series(result, names, count, &plot));
    plot.end = plot.time->values[rows - 1];
    plot.midnight = result->start_unix - floor(result->start_unix / DAY_SECONDS) * DAY_SECONDS;
    bool *keep = calloc(rows, sizeof *keep);
    plot.out = keep != NULL ? open_memstream(svg, size) : NULL;
    if (plot.out == NULL) {
        free(keep);
        return status_fail(STATUS_MEMORY, "no memory left to draw the series");
    }
    (void)series_thin(&result->series, ROWS_MOST, keep);
    plot.keep = keep;
    draw(&plot);
    free(keep);
    if (!file_close(plot.out)) {
        free(*svg);
        *svg = NULL;
        return status_fail(STATUS_MEMORY, "no memory left to draw the series");
    }
    return status_ok();
}

struct status plot_write(const struct result *result, const char *const *names, size_t count, enum plot_format format,
                         const char *path, bool force)
{
    char *svg;
    size_t size;
    RETURN_IF_FAILED(publish_check(path, force));
    RETURN_IF_FAILED(plot_make(result, names, count, &svg, &size));
    struct status status;
    if (format == PLOT_PNG) {
        unsigned char *png = NULL;
        size_t png_size = 0;
        status = png_of_svg(svg, size, PNG_SCALE, &png, &png_size);
        if (status_is_ok(&status)) {
            status = publish_bytes(path, png, png_size, force);
        }
        free(png);
    } else {
        status = publish_bytes(path, svg, size, force);
    }
    free(svg);
    return status;
}

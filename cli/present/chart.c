/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "chart.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Room around the field of a chart, in its units. */
#define ROOM_LEFT 58.0
#define ROOM_RIGHT 138.0
#define ROOM_TOP 12.0
#define ROOM_BOTTOM 40.0
#define ROOM_BOTTOM_PLAIN 8.0

/* The least distance of two labels. */
#define LABEL_HEIGHT 13.0

/* The most characters of a label. */
#define LABEL_MOST 22

double chart_place(const chart_scale *scale, double value)
{
    return scale->from + (value - scale->low) / (scale->high - scale->low) * (scale->to - scale->from);
}

void chart_hold(chart_scale *scale, const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (isfinite(values[i])) {
            scale->low = fmin(scale->low, values[i]);
            scale->high = fmax(scale->high, values[i]);
        }
    }
}

/* A step of 1, 2 or 5 times a power of ten that cuts a range into so many pieces or fewer. */
static double round_step(double range, double pieces)
{
    const double least = range / pieces;
    const double decade = pow(10, floor(log10(least)));
    const double share = least / decade;
    return decade * (share <= 1 ? 1 : share <= 2 ? 2 : share <= 5 ? 5 : 10);
}

/* A step between the ticks of y: a low chart has fewer. */
static double step_of_y(const chart *of)
{
    return round_step(of->y.high - of->y.low, of->height < 200 ? 4 : 7);
}

void chart_round(chart *of)
{
    chart_scale *scale = &of->y;
    scale->low = fmin(scale->low, 0);
    scale->high = fmax(scale->high, 0);
    if (!(scale->high - scale->low > 0)) {
        scale->high = 1;
    }
    const double step = step_of_y(of);
    scale->low = floor(scale->low / step + 1e-9) * step;
    scale->high = ceil(scale->high / step - 1e-9) * step;
}

/* Decimals with which the steps of an axis differ. */
static int decimals_of(double step)
{
    return (int)fmax(0, -floor(log10(step) + 1e-9));
}

static void tick_text(html *page, double x, double y, double value, double step, const char *class_name)
{
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", x);
    html_attribute_f(page, "y", "%.2f", y);
    html_attribute(page, "class", class_name);
    char text[48];
    (void)snprintf(text, sizeof text, "%.*f", decimals_of(step), fabs(value) < step / 2 ? 0 : value);
    html_number(page, text);
    html_end(page);
}

static void straight(html *page, double x1, double y1, double x2, double y2, const char *class_name)
{
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fL%.2f %.2f", x1, y1, x2, y2);
    html_attribute(page, "class", class_name);
    html_end(page);
}

static void axis_words(html *page, double x, double y, const char *words, bool upright)
{
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", x);
    html_attribute_f(page, "y", "%.2f", y);
    html_attribute(page, "class", "axis-words");
    if (upright) {
        html_attribute_f(page, "transform", "rotate(-90 %.2f %.2f)", x, y);
    }
    html_text(page, words);
    html_end(page);
}

/* The multiples of a step that lie on a scale. */
typedef struct ticks {
    long first;
    long last;
} ticks;

static ticks ticks_of(double low, double high, double step)
{
    return (ticks){.first = lround(ceil(low / step - 1e-9)), .last = lround(floor(high / step + 1e-9))};
}

static void draw_axes(const chart *of, html *page)
{
    const double x_step = round_step(of->x.high - of->x.low, 7);
    const double y_step = step_of_y(of);
    html_start(page, "g");
    html_attribute(page, "aria-hidden", "true");
    const ticks across = ticks_of(of->x.low, of->x.high, x_step);
    for (long i = across.first; i <= across.last; i++) {
        const double x = (double)i * x_step;
        straight(page, chart_place(&of->x, x), of->y.from, chart_place(&of->x, x), of->y.to, "grid");
        if (!of->plain_x) {
            tick_text(page, chart_place(&of->x, x), of->y.from + 15, x, x_step, "tick x");
        }
    }
    const ticks upward = ticks_of(of->y.low, of->y.high, y_step);
    for (long i = upward.first; i <= upward.last; i++) {
        const double y = (double)i * y_step;
        straight(page, of->x.from, chart_place(&of->y, y), of->x.to, chart_place(&of->y, y),
                 fabs(y) < y_step / 2 ? "zero" : "grid");
        tick_text(page, of->x.from - 5, chart_place(&of->y, y) + 4, y, y_step, "tick y");
    }
    if (!of->plain_x) {
        axis_words(page, (of->x.from + of->x.to) / 2, of->height - 6, of->x_words, false);
    }
    axis_words(page, 12, (of->y.from + of->y.to) / 2, of->y_words, true);
    html_end(page);
}

/* What is drawn within the field is cut off at its border. */
static void define_field(const chart *of, html *page)
{
    html_start(page, "clipPath");
    html_attribute_f(page, "id", "%s-field", of->id);
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fH%.2fV%.2fH%.2fZ", of->x.from, of->y.to - 1, of->x.to, of->y.from + 1,
                     of->x.from);
    html_end(page);
    html_end(page);
}

/* A scale of one value, such as the times of a leaf that never moved, has a place for it all the same. */
static void give_extent(chart_scale *scale)
{
    if (!(scale->high > scale->low)) {
        scale->high = scale->low + fmax(1, fabs(scale->low));
    }
}

void chart_begin(chart *of, html *page, const char *described)
{
    of->label_count = 0;
    give_extent(&of->x);
    give_extent(&of->y);
    of->x.from = ROOM_LEFT;
    of->x.to = CHART_WIDTH - ROOM_RIGHT;
    of->y.from = of->height - (of->plain_x ? ROOM_BOTTOM_PLAIN : ROOM_BOTTOM);
    of->y.to = ROOM_TOP;
    html_start(page, "svg");
    html_attribute(page, "class", "chart");
    html_attribute(page, "id", of->id);
    html_attribute_f(page, "viewBox", "0 0 %.0f %.0f", CHART_WIDTH, of->height);
    html_attribute(page, "role", "img");
    html_attribute_f(page, "aria-labelledby", "%s-title %s-words", of->id, of->id);
    html_start(page, "title");
    html_attribute_f(page, "id", "%s-title", of->id);
    html_text(page, of->title);
    html_end(page);
    html_start(page, "desc");
    html_attribute_f(page, "id", "%s-words", of->id);
    html_text(page, described);
    html_end(page);
    define_field(of, page);
    draw_axes(of, page);
}

static void add_label(chart *of, const char *text, double value, int style)
{
    if (of->label_count < CHART_LABELS && text != NULL) {
        const double place = chart_place(&of->y, value);
        of->labels[of->label_count++] =
            (chart_label){.text = text, .place = fmin(fmax(place, of->y.to), of->y.from), .style = style};
    }
}

void chart_line(chart *of, html *page, const double *x, const double *y, size_t count, int style, const char *label)
{
    bool drawing = false;
    double last = (double)NAN;
    html_start(page, "path");
    html_attribute_f(page, "class", "line s%d", style % CHART_STYLES);
    html_attribute_f(page, "clip-path", "url(#%s-field)", of->id);
    (void)fputs(" d=\"", page->stream);
    for (size_t i = 0; i < count; i++) {
        if (isfinite(y[i])) {
            (void)fprintf(page->stream, "%c%.2f %.2f", drawing ? 'L' : 'M', chart_place(&of->x, x[i]),
                          chart_place(&of->y, y[i]));
            last = y[i];
        }
        drawing = isfinite(y[i]);
    }
    (void)fputc('"', page->stream);
    html_end(page);
    if (isfinite(last)) {
        add_label(of, label, last, style % CHART_STYLES);
    }
}

void chart_level(chart *of, html *page, double y, const char *label)
{
    if (y < of->y.low || y > of->y.high) {
        return;
    }
    straight(page, of->x.from, chart_place(&of->y, y), of->x.to, chart_place(&of->y, y), "limit");
    add_label(of, label, y, -1);
}

void chart_upright(const chart *of, html *page, double x, const char *mark)
{
    const double place = chart_place(&of->x, x);
    straight(page, place, of->y.from, place, of->y.to, "upright");
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", place + 2);
    html_attribute_f(page, "y", "%.2f", of->y.to + 9);
    html_attribute(page, "class", "tick mark");
    html_text(page, mark);
    html_end(page);
}

static int compare_labels(const void *a, const void *b)
{
    const chart_label *first = a;
    const chart_label *second = b;
    return first->place < second->place   ? -1
           : first->place > second->place ? 1
                                          : (first->style > second->style) - (first->style < second->style);
}

/* Keep labels apart: pushed down from the top, then up from the bottom where they ran out of the chart. */
static void spread_labels(const chart *of, double *places)
{
    const double lowest = of->height - 6;
    for (size_t i = 0; i < of->label_count; i++) {
        const double above = i > 0 ? places[i - 1] + LABEL_HEIGHT : ROOM_TOP;
        places[i] = fmax(of->labels[i].place, above);
    }
    for (size_t i = of->label_count; i > 0; i--) {
        const double below = i < of->label_count ? places[i] - LABEL_HEIGHT : lowest;
        places[i - 1] = fmin(places[i - 1], below);
    }
}

/* The text of a label, shortened by whole characters. */
static void label_text(html *page, const char *text)
{
    char shown[4 * LABEL_MOST + 8];
    size_t bytes = 0;
    size_t characters = 0;
    while (text[bytes] != '\0' && characters < LABEL_MOST) {
        bytes++;
        while (((unsigned char)text[bytes] & 0xC0) == 0x80) {
            bytes++;
        }
        characters++;
    }
    (void)snprintf(shown, sizeof shown, "%.*s%s", (int)bytes, text, text[bytes] != '\0' ? "…" : "");
    html_text(page, shown);
}

void chart_end(chart *of, html *page)
{
    double places[CHART_LABELS];
    qsort(of->labels, of->label_count, sizeof of->labels[0], compare_labels);
    spread_labels(of, places);
    html_start(page, "g");
    html_attribute(page, "aria-hidden", "true");
    for (size_t i = 0; i < of->label_count; i++) {
        const chart_label *one = &of->labels[i];
        char class_name[24] = "lead";
        if (one->style >= 0) {
            (void)snprintf(class_name, sizeof class_name, "lead s%d", one->style);
        }
        straight(page, of->x.to + 1, one->place, of->x.to + 8, places[i], class_name);
        html_start(page, "text");
        html_attribute_f(page, "x", "%.2f", of->x.to + 11);
        html_attribute_f(page, "y", "%.2f", places[i] + 4);
        (void)snprintf(class_name, sizeof class_name, one->style >= 0 ? "label t%d" : "label", one->style);
        html_attribute(page, "class", class_name);
        label_text(page, one->text);
        html_end(page);
    }
    html_end(page);
    html_end(page);
}

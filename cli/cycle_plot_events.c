/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The events in the picture of a run: lines through its panels with numbers, and a list under them. */
#include <string.h>

#include "cycle_panels.h"
#include "cycle_words.h"
#include "present/plot.h"

const trn_run *drawn_run(const panels *of)
{
    return &of->runs[of->direction];
}

double share_of(const panels *of, double pt)
{
    return pt / of->page_pt;
}

/* Whether the axis of time shows an event; the end of the axis is told to so many digits only. */
static bool is_shown(const panels *of, double time_s)
{
    return time_s >= of->from_s && time_s <= of->to_s * (1 + 1e-9);
}

static size_t events_drawn(const trn_run *run)
{
    return run->event_count < EVENTS_DRAWN ? run->event_count : EVENTS_DRAWN;
}

/* Events too near to each other in time for numbers of their own. */
typedef struct group {
    size_t first;
    size_t last;
    double time_s;
    double half_width_s;
} group;

static group joined(const panels *of, size_t first, size_t last)
{
    const trn_run *run = drawn_run(of);
    const double letter_s = (of->to_s - of->from_s) * 9.0 / (900 * (of->place.right - of->place.left));
    const int letters =
        (last > first ? 1 + snprintf(NULL, 0, "%zu", first + 1) : 0) + snprintf(NULL, 0, "%zu", last + 1);
    return (group){first, last, (run->events[first].time_s + run->events[last].time_s) / 2,
                   letter_s * (letters + 1) / 2};
}

static size_t group_events(const panels *of, group groups[EVENTS_DRAWN])
{
    const size_t events = events_drawn(drawn_run(of));
    size_t count = 0;
    for (size_t i = 0; i < events; i++) {
        group one = joined(of, i, i);
        if (!is_shown(of, one.time_s)) {
            continue;
        }
        while (count > 0 && groups[count - 1].time_s + groups[count - 1].half_width_s > one.time_s - one.half_width_s) {
            one = joined(of, groups[--count].first, one.last);
        }
        groups[count++] = one;
    }
    return count;
}

double crowded_since_s(const panels *of)
{
    const trn_run *run = drawn_run(of);
    panels whole = *of;
    group groups[EVENTS_DRAWN];
    whole.from_s = 0;
    whole.to_s = ready_s(run);
    const size_t count = group_events(&whole, groups);
    return count > 0 ? run->events[groups[count - 1].first].time_s : 0;
}

void mark_events(const panels *of, bool numbers)
{
    const trn_run *run = drawn_run(of);
    group groups[EVENTS_DRAWN];
    for (size_t i = 0; i < events_drawn(run); i++) {
        if (!is_shown(of, run->events[i].time_s)) {
            continue;
        }
        (void)fprintf(of->script,
                      "set arrow from first %.8g, graph 0 to first %.8g, graph 1 nohead dashtype 3 linewidth 0.8 "
                      "linecolor rgb '#606060'\n",
                      run->events[i].time_s, run->events[i].time_s);
    }
    const size_t count = numbers ? group_events(of, groups) : 0;
    for (size_t i = 0; i < count; i++) {
        if (!is_shown(of, groups[i].time_s)) {
            continue;
        }
        (void)fprintf(of->script, "set label '%zu", groups[i].first + 1);
        if (groups[i].last > groups[i].first) {
            (void)fprintf(of->script, "–%zu", groups[i].last + 1);
        }
        (void)fprintf(of->script, "' at first %.8g, graph 1.08 center font ',9'\n", groups[i].time_s);
    }
}

/* How many letters of an event and its detail have room in the column. */
static size_t event_letters(const panels *of)
{
    return (size_t)(132 * (of->place.right - of->place.left));
}

void list_events(const panels *of)
{
    const trn_run *run = drawn_run(of);
    const double pitch = share_of(of, 12.5);
    const double top = of->top - of->count * of->height - share_of(of, 12);
    for (size_t i = 0; i < events_drawn(run); i++) {
        const trn_run_event *event = &run->events[i];
        char detail[RUN_WORDS];
        char angle[DISPLAY_TEXT];
        const double y = top - pitch * (double)i;
        const char *more = event_detail(of->of, of->direction, event, detail);
        (void)fprintf(of->script, "set label '%zu' at screen %.4f, screen %.4f right font ',8'\n", i + 1,
                      of->place.left - 0.025, y);
        (void)fprintf(of->script, "set label '%.2f s' at screen %.4f, screen %.4f right font ',8'\n", event->time_s,
                      of->place.left + 0.035, y);
        (void)fprintf(of->script, "set label '%s°' at screen %.4f, screen %.4f right font ',8'\n",
                      display_text(&of->of->shown, QUANTITY_ANGLE, event->angle_rad, angle), of->place.left + 0.09, y);
        (void)fprintf(of->script, "set label '%s%s'.", trn_event_words(event->kind), more[0] != '\0' ? ": " : "");
        plot_short_string(of->script, more, event_letters(of) - strlen(trn_event_words(event->kind)));
        (void)fprintf(of->script, " at screen %.4f, screen %.4f left font ',8'\n", of->place.left + 0.1, y);
    }
    if (run->event_count > EVENTS_DRAWN) {
        (void)fprintf(of->script, "set label 'and %zu more' at screen %.4f, screen %.4f left font ',8'\n",
                      run->event_count - EVENTS_DRAWN, of->place.left + 0.1, top - pitch * EVENTS_DRAWN);
    }
}

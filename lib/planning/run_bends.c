/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where forces bend: the angles at which the wind on a surface does, where a strip lies level, and where its incidence
 * is one of a table's points; and what is held straight for the time of a step. */
#include <math.h>
#include <stdlib.h>

#include "run_parts.h"

static const double half_turn = 3.14159265358979323846;

static void keep(run_state *of, double angle_rad)
{
    if (angle_rad > of->lowest_rad && angle_rad < of->highest_rad) {
        of->bends_rad[of->bend_count++] = angle_rad;
    }
}

/* A strip of a slope has the inclination slope + theta, and the incidence i where that is i or -i, half turns apart. */
static void keep_incidence(run_state *of, double slope_rad, double incidence_rad)
{
    for (int half_turns = -2; half_turns <= 2; half_turns++) {
        keep(of, half_turns * half_turn + incidence_rad - slope_rad);
        keep(of, half_turns * half_turn - incidence_rad - slope_rad);
    }
}

static int ascending(const void *a, const void *b)
{
    const double *one = a;
    const double *other = b;
    return (*one > *other) - (*one < *other);
}

/* In calm air nothing bends. */
static bool may_blow(const run_state *of)
{
    bool gusts = of->setting->gust != NULL;
    for (size_t i = 0; i < of->setting->upset_count; i++) {
        gusts = gusts || of->setting->upsets[i].kind == TRN_UPSET_GUST;
    }
    return gusts || of->setting->wind_record != NULL || trn_wind_pressure(&of->moving.load_case.wind) > 0;
}

bool run_find_bends(run_state *of)
{
    const trn_leaf *leaf = of->leaf;
    const trn_wind *wind = &of->moving.load_case.wind;
    const size_t incidences = wind->law == TRN_WIND_INCIDENCE ? wind->table_count + 2 : 1;
    enum { TIMES = 10 };
    of->bends_rad = calloc(TIMES * incidences * leaf->surface_count + 1, sizeof *of->bends_rad);
    if (of->bends_rad == NULL) {
        return false;
    }
    for (size_t i = 0; i < leaf->surface_count && wind->law != TRN_WIND_NORMAL && may_blow(of); i++) {
        const trn_surface *surface = &leaf->surfaces[i];
        const double slope = atan2(surface->to.y - surface->from.y, surface->to.x - surface->from.x);
        if (!surface->takes_wind) {
            continue;
        }
        keep_incidence(of, slope, 0);
        for (size_t point = 0; point + 2 < incidences; point++) {
            keep_incidence(of, slope, wind->table[point].incidence_rad);
        }
        if (wind->law == TRN_WIND_INCIDENCE) {
            keep_incidence(of, slope, half_turn / 2);
        }
    }
    qsort(of->bends_rad, of->bend_count, sizeof *of->bends_rad, ascending);
    return true;
}

bool run_next_bend(const run_state *of, double angle_rad, trn_direction direction, double *bend_rad)
{
    /* The first that is beyond the angle; below it, the last before. */
    size_t low = 0;
    size_t high = of->bend_count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const bool beyond =
            direction == TRN_OPENING ? of->bends_rad[middle] > angle_rad : of->bends_rad[middle] >= angle_rad;
        if (beyond) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    if (direction == TRN_CLOSING) {
        if (low == 0) {
            return false;
        }
        low--;
    }
    if (low >= of->bend_count) {
        return false;
    }
    *bend_rad = of->bends_rad[low];
    return true;
}

static double sign_of(double value)
{
    return (value > 0) - (value < 0);
}

void run_hold_bends(run_state *of, const motion_now *start)
{
    /* At a change itself the sign is rounding. */
    const bool watched = of->moving.mode == MODE_FOLLOW && of->time_s > of->side_changed_s;
    of->moving.geared = watched ? sign_of(start->net_Nm) : 0;
    of->moving.driving = watched ? sign_of(start->motor_Nm) : 0;
    of->moving.pressed = of->moving.on_buffers && start->buffer_push_N > 0 && of->time_s > of->off_buffers_s;
}

void run_release_bends(run_state *of)
{
    of->moving.geared = 0;
    of->moving.driving = 0;
    of->moving.pressed = false;
}

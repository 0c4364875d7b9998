/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of an operation: a bar for each step against time, and the time that the road is closed. */
#include <math.h>

#include "cycle_operation.h"
#include "cycle_plot.h"
#include "present/plot.h"

/* 1 start, 2 end, 3 row from below, 4 whether the leaf moves. */
static void write_steps(const operation *timed, FILE *script)
{
    const trn_leaf *leaf = timed->of->leaf;
    (void)fputs("$steps << EOD\n", script);
    for (size_t i = 0; i < leaf->step_count; i++) {
        (void)fprintf(script, "%.8g %.8g %zu %d\n", timed->times[i].start_s, timed->times[i].end_s,
                      leaf->step_count - i, leaf->steps[i].motion != TRN_STEP_STILL);
    }
    (void)fputs("EOD\n", script);
}

/* The road is closed from the start of a step to the end of another. */
static void shade_closed(const operation *timed, FILE *script)
{
    const trn_leaf *leaf = timed->of->leaf;
    double since_s = -1;
    bool named = false;
    for (size_t i = 0; i < leaf->step_count; i++) {
        if (leaf->steps[i].road == TRN_ROAD_CLOSES && since_s < 0) {
            since_s = timed->times[i].start_s;
        }
        const bool last = i + 1 == leaf->step_count;
        if (since_s >= 0 && (leaf->steps[i].road == TRN_ROAD_OPENS || last)) {
            (void)fprintf(script,
                          "set object rectangle from first %.8g, graph 0 to first %.8g, graph 1 behind fillcolor rgb "
                          "'#f3ead6' fillstyle solid 1 border linecolor rgb '#a8842a'\n",
                          since_s, timed->times[i].end_s);
            if (!named) {
                (void)fprintf(script, "set label 'road closed: %.0f s' at first %.8g, graph 1.025 center font ',10'\n",
                              timed->whole.road_closed_s, (since_s + timed->times[i].end_s) / 2);
            }
            named = true;
            since_s = -1;
        }
    }
}

static void name_steps(const operation *timed, FILE *script)
{
    const trn_leaf *leaf = timed->of->leaf;
    (void)fputs("set ytics scale 0 font ',9' (", script);
    for (size_t i = 0; i < leaf->step_count; i++) {
        (void)fputs(i == 0 ? "" : ", ", script);
        plot_tic_string(script, leaf->steps[i].name, 34);
        (void)fprintf(script, " %zu", leaf->step_count - i);
    }
    (void)fputs(")\n", script);
}

/* How long each step takes, behind its bar; before it where there is no room behind. */
static void label_durations(const operation *timed, FILE *script)
{
    const size_t count = timed->of->leaf->step_count;
    const double all_s = fmax(timed->whole.total_s, 1e-3);
    for (size_t i = 0; i < count; i++) {
        const trn_step_time *time = &timed->times[i];
        const bool behind = time->end_s < 0.92 * all_s;
        (void)fprintf(script, "set label '%.0f s' at first %.8g, first %zu %s font ',8'\n", time->end_s - time->start_s,
                      behind ? time->end_s + 0.008 * all_s : time->start_s - 0.008 * all_s, count - i,
                      behind ? "left" : "right");
    }
}

exit_status operation_plot(const void *result, FILE *script)
{
    const operation *timed = result;
    const size_t count = timed->of->leaf->step_count;
    (void)fputs("set label 998 ", script);
    cycle_title(timed->of, "one operation in time", script);
    (void)fprintf(script,
                  " at screen 0.5, screen 0.965 center font ',13'\nset xlabel 'time, s (hatched: the leaf moves)'\n"
                  "set tmargin at screen %.4f\nset rmargin 4\nset bmargin 5\nunset key\n",
                  fmax(0.94 - 0.03 * (double)cycle_title_lines(timed->of), 0.5));
    if (!timed->there) {
        (void)fputs("set label 1 'no time line: the leaf does not arrive' at graph 0.5, graph 0.5 center\n"
                    "plot [0:1] [0:1] NaN\n",
                    script);
        return EXIT_DONE;
    }
    write_steps(timed, script);
    name_steps(timed, script);
    shade_closed(timed, script);
    label_durations(timed, script);
    (void)fprintf(script,
                  "set xrange [0:%.8g]\nset yrange [0.4:%zu.6]\nset grid xtics noytics\n"
                  "plot $steps using (($4 == 0) ? $1 : NaN):3:1:2:($3-0.32):($3+0.32) with boxxyerror linecolor rgb "
                  "'#1f5fa8' fillstyle solid 0.85 border, \\\n "
                  "$steps using (($4 == 1) ? $1 : NaN):3:1:2:($3-0.32):($3+0.32) with boxxyerror linecolor rgb "
                  "'#c2571a' fillstyle pattern 4 border\n",
                  fmax(timed->whole.total_s, 1e-3), count);
    return EXIT_DONE;
}

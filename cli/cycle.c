/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle: an opening and a closing in time: switches, creep, seating, what goes wrong. */
#include "cycle.h"

#include <math.h>

#include "angles.h"
#include "command.h"
#include "cycle_plot.h"
#include "cycle_words.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"

/* The most rows of a trace whose step is not asked for. */
#define TRACE_ROWS 200

/* Points of a curve. */
#define CURVE_POINTS 1000

trn_run_setting cycle_setting(const cycle *of, trn_direction direction, double every_s)
{
    const cycle_direction *one = &of->of[direction];
    trn_run_setting setting = trn_default_run_setting(of->leaf);
    setting.load_case = of->load_case;
    setting.direction = direction;
    setting.gust = of->has_gust ? &of->gust : NULL;
    setting.wind_record = of->wind.record.count > 0 ? &of->wind.record : NULL;
    setting.upsets = one->upsets;
    setting.upset_count = one->upset_count;
    setting.sample_every_s = every_s;
    return setting;
}

trn_run_setting cycle_curve(const cycle *of, trn_direction direction, const trn_run *run)
{
    const double until_s = fmax(ready_s(run), 1e-3);
    trn_run_setting setting = cycle_setting(of, direction, until_s / CURVE_POINTS);
    setting.sample_until_s = until_s;
    return setting;
}

exit_status cycle_run(const cycle *of, const trn_run_setting *setting, trn_run *run)
{
    trn_error error;
    return trn_leaf_run(of->leaf, setting, run, &error) == TRN_OK ? EXIT_DONE : fail_leaf(of->asked, &error);
}

static exit_status run_with_trace(cycle *of, double every_s)
{
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS && status == EXIT_DONE; k++) {
        cycle_direction *one = &of->of[k];
        if (one->asked) {
            const trn_run_setting setting = cycle_setting(of, (trn_direction)k, every_s);
            trn_run_free(&one->run);
            one->run = (trn_run){0};
            status = cycle_run(of, &setting, &one->run);
        }
    }
    return status;
}

exit_status cycle_run_all(cycle *of)
{
    return run_with_trace(of, 0);
}

/* The least of 1, 2, 5 times a power of ten with which the longest run has no more rows than that. */
static double round_step(const cycle *of)
{
    const double least =
        fmax(of->of[TRN_OPENING].run.end_time_s, of->of[TRN_CLOSING].run.end_time_s) / (TRACE_ROWS - 2);
    const double decade = least > 0 ? pow(10, floor(log10(least))) : 1;
    for (int i = 0; i < 3; i++) {
        const double step = decade * (const double[]){1, 2, 5}[i];
        if (step >= least) {
            return step;
        }
    }
    return 10 * decade;
}

static void csv_trace(const cycle *of, trn_direction direction, FILE *stream)
{
    const trn_run *run = &of->of[direction].run;
    for (size_t i = 0; i < run->row_count; i++) {
        const trn_run_row *row = &run->rows[i];
        csv_text(stream, of->load_case->name, true);
        csv_text(stream, direction_words[direction], false);
        csv_number(stream, row->time_s, false);
        csv_number(stream, degrees_of(row->angle_rad), false);
        csv_number(stream, degrees_of(row->speed_rad_s), false);
        csv_number_if(stream, !of->by_cylinders, row->motor_Nm);
        csv_number_if(stream, !of->by_cylinders, row->limit_Nm);
        csv_number_if(stream, of->by_cylinders, row->pressure_Pa);
        csv_number(stream, row->wind_Pa, false);
        csv_end_line(stream);
    }
}

exit_status cycle_csv(const void *result, FILE *stream)
{
    const cycle *of = result;
    (void)fputs("case,direction,t_s,angle_deg,speed_deg_s,motor_Nm,limit_Nm,pressure_Pa,wind_Pa\r\n", stream);
    for (size_t k = 0; k < DIRECTIONS; k++) {
        csv_trace(of, (trn_direction)k, stream);
    }
    return EXIT_DONE;
}

bool cycle_met(const cycle *of, trn_direction direction, const trn_run *run)
{
    const bool faulty = of->of[direction].upset_count > 0;
    return trn_run_is_safe(run) && trn_run_seats_gently(run, of->leaf->travel) &&
           (faulty || (run->reached_switch && run->at_creep));
}

exit_status cycle_verdict(const cycle *of, bool all_arrive)
{
    exit_status status = EXIT_DONE;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        const cycle_direction *one = &of->of[k];
        const trn_run *run = &one->run;
        const bool met = cycle_met(of, (trn_direction)k, run) && (run->reached_switch || !all_arrive);
        char ended[RUN_WORDS];
        char held[RUN_WORDS];
        char creep[RUN_WORDS];
        if (one->asked && !met) {
            (void)creep_words(of, run, creep);
            status = not_met("case '%s', %s: the leaf %s; %s%s%s", of->load_case->name, direction_words[k],
                             end_words(of, run, rest_s(run), (trn_direction)k, ended), hold_words(of, run, held),
                             creep[0] != '\0' && one->upset_count == 0 ? ". " : "", one->upset_count == 0 ? creep : "");
        }
    }
    return status;
}

exit_status cycle_trace(cycle *of, double every_s)
{
    exit_status status = cycle_run_all(of);
    return status == EXIT_DONE ? run_with_trace(of, every_s > 0 ? every_s : round_step(of)) : status;
}

static exit_status tell(cycle *of)
{
    const presentation how = {cycle_table, cycle_csv, cycle_json, cycle_plot, {900, cycle_page_height(of)}};
    const options *asked = of->asked;
    const bool wants_trace = asked->format != FORMAT_TABLE || asked->every_given;
    exit_status status = wants_trace ? cycle_trace(of, asked->every_given ? asked->every_s : 0) : cycle_run_all(of);
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, of);
    }
    return status == EXIT_DONE ? cycle_verdict(of, false) : status;
}

static exit_status cycle_leaf(const options *asked, const trn_leaf *leaf)
{
    cycle of;
    exit_status status = cycle_read(asked, leaf, &of);
    if (status == EXIT_DONE) {
        input_note_choice(asked, "case", of.load_case->name);
        status = asked->sweep       ? cycle_sweep(&of)
                 : asked->switches  ? cycle_switches(&of)
                 : asked->operation ? cycle_operation(&of)
                                    : tell(&of);
    }
    cycle_free(&of);
    return status;
}

exit_status command_cycle(const options *asked)
{
    return input_with_leaf(asked, cycle_leaf);
}

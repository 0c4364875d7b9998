/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "option_apply.h"

#include <stdlib.h>
#include <string.h>

#include "angles.h"
#include "message.h"
#include "present/plot.h"
#include "trunnion/describe.h"

/* A search for a plan. */
#define SECONDS_LEAST 0.01
#define SECONDS_MOST 86400.0

/* The step of a trace. */
#define EVERY_LEAST_S 0.001
#define EVERY_MOST_S 3600.0

/* How far a limit switch drifts. */
#define DRIFT_LEAST_DEG 0.001
#define DRIFT_MOST_DEG 30.0

/* An option that is only there or not, and one whose text is kept as it is. */
#define SWITCH(function, member)                            \
    exit_status function(options *asked, const char *value) \
    {                                                       \
        (void)value;                                        \
        asked->member = true;                               \
        return EXIT_DONE;                                   \
    }
#define KEEP(function, member)                              \
    exit_status function(options *asked, const char *value) \
    {                                                       \
        asked->member = value;                              \
        return EXIT_DONE;                                   \
    }

SWITCH(apply_ordinary, ordinary)
SWITCH(apply_by_reaction, friction_by_reaction)
SWITCH(apply_sweep, sweep)
SWITCH(apply_switches, switches)
SWITCH(apply_operation, operation)
SWITCH(apply_merge, merge)
SWITCH(apply_quiet, quiet)
SWITCH(apply_verbose, verbose)
SWITCH(apply_help, help)
SWITCH(apply_version, version)
KEEP(apply_output, output_file)
KEEP(apply_case, case_name)
KEEP(apply_record, record_file)
KEEP(apply_gust, gust)
KEEP(apply_wind_record, wind_record_file)

static exit_status set_format(options *asked, output_format format)
{
    if (asked->format_given && asked->format != format) {
        return fail(EXIT_BAD_INPUT, "--json and --csv exclude each other: give one of them");
    }
    asked->format = format;
    asked->format_given = true;
    return EXIT_DONE;
}

exit_status apply_json(options *asked, const char *value)
{
    (void)value;
    return set_format(asked, FORMAT_JSON);
}

exit_status apply_csv(options *asked, const char *value)
{
    (void)value;
    return set_format(asked, FORMAT_CSV);
}

exit_status apply_plot(options *asked, const char *value)
{
    asked->plot_file = value != NULL ? value : PLOT_HERE;
    return strcmp(asked->plot_file, PLOT_HERE) == 0 ? EXIT_DONE : plot_form_check(value);
}

exit_status apply_units(options *asked, const char *value)
{
    const bool us = strcmp(value, "us") == 0;
    if (!us && strcmp(value, "metric") != 0) {
        return fail(EXIT_BAD_INPUT, "--units %s: expected metric or us", value);
    }
    asked->units_given = true;
    asked->units = us ? TRN_UNITS_US : TRN_UNITS_METRIC;
    return EXIT_DONE;
}

exit_status apply_step(options *asked, const char *value)
{
    asked->step_given = true;
    return angle_option("--step", value, STEP_LEAST_DEG, STEP_MOST_DEG, &asked->step_deg);
}

exit_status apply_at(options *asked, const char *value)
{
    return angle_option("--at", value, 0, 120, &asked->at_deg);
}

exit_status apply_from(options *asked, const char *value)
{
    asked->from_given = true;
    return angle_option("--from", value, 0, 120, &asked->from_deg);
}

exit_status apply_to(options *asked, const char *value)
{
    asked->to_given = true;
    return angle_option("--to", value, 0, 120, &asked->to_deg);
}

exit_status apply_drift(options *asked, const char *value)
{
    asked->drift_given = true;
    return angle_option("--drift", value, DRIFT_LEAST_DEG, DRIFT_MOST_DEG, &asked->drift_deg);
}

/* One more text of an option that may be given as often as needed, up to a number. */
static exit_status collect(const char *option, const char *text, int most, const char *what, const char **texts,
                           size_t *count)
{
    if (*count == (size_t)most) {
        return fail(EXIT_BAD_INPUT, "%s '%s': expected at most %d %s", option, text, most, what);
    }
    texts[(*count)++] = text;
    return EXIT_DONE;
}

exit_status apply_add(options *asked, const char *text)
{
    return collect("--add", text, ADDITIONS_MAX, "additions", asked->additions, &asked->addition_count);
}

/* Decimal digits and a point; all of the text or nothing. */
exit_status apply_seconds(options *asked, const char *text)
{
    char *end = NULL;
    const bool plain = text[0] != '\0' && strspn(text, "0123456789.") == strlen(text);
    asked->seconds = plain ? strtod(text, &end) : 0;
    if (!plain || *end != '\0' || !(asked->seconds >= SECONDS_LEAST && asked->seconds <= SECONDS_MOST)) {
        return fail(EXIT_BAD_INPUT, "--seconds %s: expected a number of seconds from %g to %g, such as 30", text,
                    SECONDS_LEAST, SECONDS_MOST);
    }
    return EXIT_DONE;
}

exit_status apply_fault(options *asked, const char *text)
{
    return collect("--fault", text, FAULTS_MAX, "faults", asked->faults, &asked->fault_count);
}

exit_status apply_every(options *asked, const char *text)
{
    trn_error error;
    const trn_status status = trn_time_read(text, &asked->every_s, &error);
    if (status == TRN_NO_MEMORY || status == TRN_NO_UNITS) {
        return fail(EXIT_MACHINE, "%s", trn_status_text(status));
    }
    if (status != TRN_OK) {
        return fail(EXIT_BAD_INPUT, "--every %s: %s", text, error.text);
    }
    if (!(asked->every_s >= EVERY_LEAST_S && asked->every_s <= EVERY_MOST_S)) {
        return fail(EXIT_BAD_INPUT, "--every %s: expected a time from %g to %g s, such as 0.5s", text, EVERY_LEAST_S,
                    EVERY_MOST_S);
    }
    asked->every_given = true;
    return EXIT_DONE;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What would help where a requirement is not met, a line each. */
#include "remedy.h"
#include "report.h"
#include "report_text.h"

static void remedy_row(html *page, const char *what, const char *words)
{
    if (words != NULL) {
        text_row(page, what);
        text_cell(page, words);
        html_end(page);
    }
}

static const char *target_words(const report *of, char text[REMEDY_WORDS])
{
    if (!of->has_plan) {
        return "Loose blocks: the description has no 'pockets' to plan with.";
    }
    if (!of->plan.plan.feasible) {
        return "No blocks in the pockets bring it there; 'Balance target' below tells what stands in the way.";
    }
    (void)snprintf(text, REMEDY_WORDS, "%d %s to handle, as 'Balance target' below tells.",
                   of->plan.plan.blocks_handled, of->plan.plan.blocks_handled == 1 ? "block" : "blocks");
    return text;
}

static bool out_of_target(const report *of)
{
    return of->has_target.there && !(of->verdicts[0].met && of->verdicts[1].met);
}

void report_write_remedies(const report *of, html *page)
{
    static const heading headings[] = {{"Not met", "", false}, {"What would help", "", false}};
    static const char *const runs[DIRECTIONS] = {"opening in time", "closing in time"};
    char text[REMEDY_WORDS];
    text_table(page, "What would help where something is not met", NULL, headings, 2);
    if (out_of_target(of)) {
        remedy_row(page, "balance target", target_words(of, text));
    }
    if (of->has_drive.there) {
        remedy_row(page, "drive", remedy_drive(&of->drive, text));
    }
    if (of->has_brakes.there) {
        remedy_row(page, "brakes, holding", remedy_holding(&of->brakes, text));
        remedy_row(page, "brakes, stop", remedy_stop(&of->brakes));
    }
    if (of->has_wind.there) {
        remedy_row(page, "posted wind", remedy_wind(&of->wind, text));
    }
    for (size_t k = 0; k < DIRECTIONS && of->has_cycle.there; k++) {
        remedy_row(page, runs[k], remedy_run(&of->cycle, (trn_direction)k, &of->cycle.of[k].run));
    }
    text_table_end(page);
}

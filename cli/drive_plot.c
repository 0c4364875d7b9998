/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plot of drive: how much of what is allowed each case uses. */
#include "drive_plot.h"

#include "present/plot.h"

exit_status drive_plot(const void *result, FILE *script)
{
    const drive_result *of = result;
    (void)fputs("$use << EOD\n", script);
    for (size_t i = 0; i < of->case_count; i++) {
        const trn_rating *opening = &of->all[2 * i];
        (void)fprintf(script, "%zu %.6g %.6g %.6g %.6g\n", i, opening[0].use * 100, opening[1].use * 100,
                      of->left > 0 ? of->one_out[2 * i].use * 100 : 0,
                      of->left > 0 ? of->one_out[2 * i + 1].use * 100 : 0);
    }
    (void)fputs("EOD\nset title ", script);
    plot_short_string(script, of->leaf->name, 46);
    (void)fputs(
        ".': use of what is allowed at the worst angle'.additions\nset ylabel '% of allowed'\nset yrange [0:*]\n"
        "set style data histograms\nset style histogram clustered gap 1\nset xtics scale 0 rotate by -20 (",
        script);
    for (size_t i = 0; i < of->case_count; i++) {
        (void)fputs(i == 0 ? "" : ", ", script);
        plot_tic_string(script, of->cases[i].name, of->case_count > 6 ? 14 : 24);
        (void)fprintf(script, " %zu", i);
    }
    (void)fputs(")\nset grid noxtics ytics\nset key below horizontal maxcols 2\n"
                "plot $use using 2 title 'opening' linecolor rgb '#1f5fa8' fillstyle solid 0.85 noborder, \\\n"
                " $use using 3 title 'closing' linecolor rgb '#c2571a' fillstyle pattern 4 border",
                script);
    if (of->left > 0) {
        (void)fputs(", \\\n $use using 4 title 'opening, one motor out' linecolor rgb '#1f5fa8' fillstyle pattern 2 "
                    "border, \\\n"
                    " $use using 5 title 'closing, one motor out' linecolor rgb '#c2571a' fillstyle pattern 5 border",
                    script);
    }
    (void)fputs(", \\\n 100 with lines linecolor rgb '#101010' linewidth 2 dashtype 4 title 'allowed'\n", script);
    return EXIT_DONE;
}

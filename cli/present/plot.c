/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "plot.h"

#include <stdbool.h>
#include <string.h>

#include "caution.h"
#include "gnuplot.h"
#include "message.h"
#include "output.h"
#include "plot_run.h"
#include "width.h"

typedef enum plot_form { FORM_NONE, FORM_SVG, FORM_PNG, FORM_PDF, FORM_SCRIPT } plot_form;

static plot_form form_of(const char *file)
{
    static const struct {
        const char *ending;
        plot_form form;
    } endings[] = {{".svg", FORM_SVG}, {".png", FORM_PNG}, {".pdf", FORM_PDF}, {".gp", FORM_SCRIPT}};
    const char *ending = strrchr(file, '.');
    for (size_t i = 0; ending != NULL && i < sizeof endings / sizeof endings[0]; i++) {
        if (strcmp(ending, endings[i].ending) == 0) {
            return endings[i].form;
        }
    }
    return FORM_NONE;
}

exit_status plot_form_check(const char *file)
{
    if (form_of(file) == FORM_NONE) {
        return fail(EXIT_BAD_INPUT,
                    "--plot %s: expected a file that ends in .svg, .png, .pdf or .gp, or - to draw where "
                    "standard output goes",
                    file);
    }
    return EXIT_DONE;
}

/* Text is taken as it is: no mark-up, so that a name is drawn and never obeyed. */
static void set_terminal(FILE *stream, plot_form form, plot_size size)
{
    const double inch = 72;
    switch (form) {
    case FORM_SVG:
        (void)fprintf(stream, "set terminal svg noenhanced size %d,%d font 'sans-serif,12' background 'white'\n",
                      size.width_pt, size.height_pt);
        break;
    case FORM_PNG:
        (void)fprintf(stream,
                      "set terminal pngcairo noenhanced size %d,%d font 'Sans,12' fontscale 1.5 linewidth 1.5\n",
                      size.width_pt * 3 / 2, size.height_pt * 3 / 2);
        break;
    case FORM_PDF:
        (void)fprintf(stream,
                      "set terminal pdfcairo noenhanced size %.3fin,%.3fin font 'Sans,12' fontscale 1 linewidth 1.8\n",
                      size.width_pt / inch, size.height_pt / inch);
        break;
    default:
        (void)fputs("# Draw it with: gnuplot -p FILE.gp\nset termoption noenhanced\n", stream);
        break;
    }
}

exit_status plot_run(const output *script, const output *given, output *picture)
{
    exit_status status = output_open(picture);
    if (status != EXIT_DONE) {
        return status;
    }
    status = gnuplot_run(script->text, script->length, given, picture->stream);
    if (status == EXIT_DONE && !output_is_whole(picture)) {
        status = fail_memory();
    } else if (status == EXIT_DONE && picture->length == 0) {
        status = fail(EXIT_MACHINE, "gnuplot drew nothing");
    }
    if (status != EXIT_DONE) {
        output_discard(picture);
    }
    return status;
}

/* gnuplot leaves ]]> in texts as it is, which only the end of a piece of CDATA may be. */
static exit_status commit_svg(const output *picture, const char *file)
{
    static const char begin[] = "<![CDATA[";
    static const char end[] = "]]>";
    bool in_data = false;
    output mended;
    const exit_status status = output_open(&mended);
    if (status != EXIT_DONE) {
        return status;
    }
    for (const char *at = picture->text; *at != '\0';) {
        const bool ends = strncmp(at, end, sizeof end - 1) == 0;
        if (ends && !in_data) {
            (void)fputs("]]&gt;", mended.stream);
            at += sizeof end - 1;
        } else {
            in_data = (in_data && !ends) || strncmp(at, begin, sizeof begin - 1) == 0;
            (void)fputc(*at++, mended.stream);
        }
    }
    return output_commit(&mended, file);
}

static exit_status draw_picture(const char *file, plot_form form, const output *script)
{
    output picture;
    exit_status status = plot_run(script, NULL, &picture);
    if (status == EXIT_DONE && form == FORM_SVG) {
        status = commit_svg(&picture, file);
        output_discard(&picture);
    } else if (status == EXIT_DONE) {
        status = output_commit(&picture, file);
    }
    return status;
}

exit_status plot_draw(const char *file, const char *script, size_t length, plot_size size)
{
    output whole;
    const plot_form form = form_of(file);
    exit_status status = output_open(&whole);
    if (status != EXIT_DONE) {
        return status;
    }
    set_terminal(whole.stream, form, size);
    (void)fwrite(script, 1, length, whole.stream);
    if (form == FORM_SCRIPT) {
        return output_commit(&whole, file);
    }
    status = output_is_whole(&whole) ? draw_picture(file, form, &whole) : fail_memory();
    output_discard(&whole);
    return status;
}

/* Between single quotes nothing is obeyed but a macro, which begins with @; that
   and the single quote itself are joined on in double quotes. */
static void write_string(FILE *script, const char *text, size_t most, const char *per_cent)
{
    const char *end = text + text_fitting(text, most);
    (void)fputc('\'', script);
    for (; text != end; text++) {
        if (*text == '\'') {
            (void)fputs("'.\"'\".'", script);
        } else if (*text == '@') {
            (void)fputs("'.\"\\100\".'", script);
        } else if (*text == '%') {
            (void)fputs(per_cent, script);
        } else {
            (void)fputc(*text, script);
        }
    }
    (void)fputs(*end != '\0' ? "…'" : "'", script);
}

void plot_short_string(FILE *script, const char *text, size_t most)
{
    write_string(script, text, most, "%");
}

void plot_tic_string(FILE *script, const char *text, size_t most)
{
    write_string(script, text, most, "%%");
}

/* A title or a name that runs from edge to edge of the page at most. */
void plot_string(FILE *script, const char *text)
{
    plot_short_string(script, text, 58);
}

/* Height of the line of the caution, and room above it. */
#define CAUTION_PT 16

void plot_common_settings(FILE *script, plot_size size, bool with_caution)
{
    const double strip = with_caution ? (double)CAUTION_PT / size.height_pt : 0;
    (void)fprintf(script, "strip = %.4f\nset origin 0, strip\nset size 1, 1 - strip\n", strip);
    if (with_caution) {
        (void)fprintf(script,
                      "set label 999 '" CAUTION_PLOT
                      "' at screen 0.995, screen %.4f right font ',7' textcolor rgb '#606060'\n",
                      6.0 / size.height_pt);
    }
    (void)fputs("set encoding utf8\n"
                "if (!exists('letters')) letters = 0\n"
                "set border 3 linewidth 0.8 linecolor rgb '#404040'\n"
                "set grid linewidth 0.5 linecolor rgb '#d0d0d0'\n"
                "set tics nomirror out\n"
                "set format '%h'\n"
                "set key outside right center Left reverse maxcols 1 samplen 3 spacing 1.15 width 1\n"
                "set style line 1 linecolor rgb '#101010' linewidth 2.6\n"
                "set style line 2 linecolor rgb '#1f5fa8' linewidth 1.8\n"
                "set style line 3 linecolor rgb '#c2571a' linewidth 1.8\n"
                "set style line 4 linecolor rgb '#5c9440' linewidth 1.8\n"
                "set style line 5 linecolor rgb '#8a5fb0' linewidth 1.8\n"
                "set style line 6 linecolor rgb '#a8842a' linewidth 1.8\n"
                "set style line 7 linecolor rgb '#4f9fb8' linewidth 1.8\n"
                "set style line 8 linecolor rgb '#777777' linewidth 1.8\n",
                script);
}

/* The caution stands there once. */
void plot_panel(FILE *script, int index, int count)
{
    (void)fprintf(script, "set origin 0, strip + (1 - strip) * %d / %d\nset size 1, (1 - strip) / %d\n",
                  count - 1 - index, count, count);
    if (index > 0) {
        (void)fputs("unset label 999\n", script);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Plots where standard output goes: in sixels or in letters. */
#include "caution.h"
#include "gnuplot.h"
#include "message.h"
#include "plot.h"
#include "plot_run.h"
#include "terminal.h"

/* Pixels of a cell where the terminal does not tell them. */
#define CELL_WIDTH_PX 9

/* Columns a line for a square: cells are twice as high as wide, but a picture of letters needs more lines. */
#define CELL_RATIO 1.5

/* Wide enough to be read, and no wider than a page. */
#define SIXELS_LEAST_PX 600
#define SIXELS_MOST_PX 1200

/* The fewest lines in which curves can be told apart. */
#define LINES_LEAST 24

typedef struct pixels {
    int width;
    int height;
} pixels;

static pixels sixels_for(const terminal_size *of, plot_size size)
{
    const int told = of->columns * (of->cell_width_px > 0 ? of->cell_width_px : CELL_WIDTH_PX);
    const int width = told < SIXELS_LEAST_PX ? SIXELS_LEAST_PX : told > SIXELS_MOST_PX ? SIXELS_MOST_PX : told;
    return (pixels){.width = width, .height = width * size.height_pt / size.width_pt};
}

static void set_pixels(FILE *stream, pixels picture, plot_size size)
{
    const double scale = (double)picture.width / size.width_pt;
    (void)fprintf(stream, "set terminal pngcairo noenhanced size %d,%d font 'Sans,%.3g' linewidth %.3g\n",
                  picture.width, picture.height, 9 * scale, scale);
}

/* The sixel terminal knows no broken lines: it shows a picture of the one that does. */
static exit_status sixels_of(const output *png, pixels size, output *picture)
{
    output script;
    exit_status status = output_open(&script);
    if (status != EXIT_DONE) {
        return status;
    }
    (void)fprintf(script.stream,
                  "set terminal sixelgd truecolor size %d,%d\nset margins 0,0,0,0\nunset border\nunset tics\n"
                  "unset key\nset autoscale xfix\nset autoscale yfix\n"
                  "plot '" GNUPLOT_GIVEN "' binary filetype=png with rgbimage pixels\n",
                  size.width, size.height);
    status = output_is_whole(&script) ? plot_run(&script, png, picture) : fail_memory();
    output_discard(&script);
    return status;
}

/* Letters draw the curves; no escape sequence is among them, so that it can go anywhere. */
static void set_letters(FILE *stream, const terminal_size *of, plot_size size)
{
    const int columns = of->columns - 1;
    const int lines = (int)(columns * size.height_pt / (CELL_RATIO * size.width_pt));
    (void)fprintf(stream, "letters = 1\nset terminal dumb noenhanced mono size %d,%d\n", columns,
                  lines > LINES_LEAST ? lines : LINES_LEAST);
}

/* Without the form feed that gnuplot puts before a page, and without blanks at the ends of lines. */
static void write_letters(FILE *stream, const output *picture)
{
    size_t blanks = 0;
    for (size_t i = 0; i < picture->length; i++) {
        const char letter = picture->text[i];
        if (letter == ' ') {
            blanks++;
        } else if (letter != '\f') {
            (void)fprintf(stream, "%*s%c", letter == '\n' ? 0 : (int)blanks, "", letter);
            blanks = 0;
        }
    }
}

static exit_status draw_letters(const char *script, size_t length, plot_size size, FILE *shown)
{
    output whole;
    output picture = {0};
    const terminal_size here = terminal_measure();
    exit_status status = output_open(&whole);
    if (status != EXIT_DONE) {
        return status;
    }
    set_letters(whole.stream, &here, size);
    (void)fwrite(script, 1, length, whole.stream);
    status = output_is_whole(&whole) ? plot_run(&whole, NULL, &picture) : fail_memory();
    if (status == EXIT_DONE) {
        write_letters(shown, &picture);
        output_discard(&picture);
    }
    output_discard(&whole);
    return status;
}

static exit_status draw_sixels(const char *script, size_t length, plot_size size, FILE *shown)
{
    output whole;
    output png = {0};
    output picture = {0};
    const terminal_size here = terminal_measure();
    const pixels wanted = sixels_for(&here, size);
    exit_status status = output_open(&whole);
    if (status != EXIT_DONE) {
        return status;
    }
    set_pixels(whole.stream, wanted, size);
    (void)fwrite(script, 1, length, whole.stream);
    status = output_is_whole(&whole) ? plot_run(&whole, NULL, &png) : fail_memory();
    output_discard(&whole);
    if (status != EXIT_DONE) {
        return status;
    }
    status = sixels_of(&png, wanted, &picture);
    output_discard(&png);
    if (status == EXIT_DONE) {
        (void)fwrite(picture.text, 1, picture.length, shown);
        output_discard(&picture);
    }
    return status;
}

exit_status plot_draw_here(const char *script, size_t length, plot_size size, const char *heading)
{
    output shown;
    exit_status status = output_open(&shown);
    if (status != EXIT_DONE) {
        return status;
    }
    (void)fputs(heading, shown.stream);
    status = (terminal_draws_sixels() ? draw_sixels : draw_letters)(script, length, size, shown.stream);
    if (status == EXIT_DONE) {
        (void)fputs("\n" CAUTION "\n", shown.stream);
        return output_commit(&shown, NULL);
    }
    output_discard(&shown);
    return status;
}

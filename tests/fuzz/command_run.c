/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Linked with --wrap: output_commit, plot_draw and plot_draw_here come here, so that no file and no process is made. */
#include <ctype.h>
#include <jansson.h>
#include <string.h>

#include "command_line.h"
#include "output.h"
#include "present/plot.h"
#include "require.h"

/* The linker asks for these names. NOLINTBEGIN(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
exit_status __wrap_output_commit(output *out, const char *file);
exit_status __wrap_plot_draw(const char *file, const char *script, size_t length, plot_size size);
exit_status __wrap_plot_draw_here(const char *script, size_t length, plot_size size, const char *heading);
/* NOLINTEND(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */

static const char *const leaves[] = {"examples/metric.yaml",   "examples/us.yaml",       "examples/linked.yaml",
                                     "examples/cylinder.yaml", "examples/strut.yaml",    "examples/teaching.yaml",
                                     "examples/metric.yaml",   "examples/uncertain.yaml"};

static struct {
    FILE *own; /* the real standard error */
    char *text;
    size_t length;
    output_format format;
} caught;

void said_begin(void)
{
    caught.own = stderr;
    FILE *stream = open_memstream(&caught.text, &caught.length);
    REQUIRE(stream != NULL);
    stderr = stream;
}

size_t said_end(void)
{
    const int closed = fclose(stderr);
    stderr = caught.own;
    REQUIRE(closed == 0);
    REQUIRE(caught.length == 0 || caught.text[caught.length - 1] == '\n');
    /* Whatever the words of the command line hold, a terminal has nothing to obey. */
    for (size_t i = 0; i < caught.length; i++) {
        const unsigned char byte = (unsigned char)caught.text[i];
        REQUIRE(byte == '\n' || (byte >= ' ' && byte != 0x7F));
    }
    const size_t length = caught.length;
    free(caught.text);
    return length;
}

/* Behind a sign, what is no number begins so wherever it is printed; the examples have no such word. */
static bool is_no_number(const char *word, size_t length)
{
    while (length > 0 && (*word == '-' || *word == '+')) {
        word++;
        length--;
    }
    return length == 3 && (strncmp(word, "nan", 3) == 0 || strncmp(word, "inf", 3) == 0);
}

static void check_text(const char *text, size_t length)
{
    for (size_t at = 0; at < length;) {
        size_t word = 0;
        while (at + word < length && (isalnum((unsigned char)text[at + word]) || strchr("-+_", text[at + word]))) {
            word++;
        }
        REQUIRE(!is_no_number(text + at, word));
        at += word + 1;
    }
}

exit_status __wrap_output_commit(output *out, const char *file)
{
    (void)file;
    REQUIRE(fflush(out->stream) == 0);
    check_text(out->text, out->length);
    if (caught.format == FORMAT_JSON) {
        json_t *read = json_loadb(out->text, out->length, JSON_REJECT_DUPLICATES, NULL);
        REQUIRE(read != NULL);
        json_decref(read);
    }
    output_discard(out);
    return EXIT_DONE;
}

exit_status __wrap_plot_draw(const char *file, const char *script, size_t length, plot_size size)
{
    REQUIRE(file != NULL && script != NULL && length > 0 && size.width_pt > 0 && size.height_pt > 0);
    return EXIT_DONE;
}

exit_status __wrap_plot_draw_here(const char *script, size_t length, plot_size size, const char *heading)
{
    REQUIRE(heading != NULL);
    return __wrap_plot_draw("-", script, length, size);
}

/* What an option asks for may take long, and what it adds may be named as no number is. */
static bool is_quick(const command_entry *wanted, const options *asked)
{
    static const char *const quick[] = {"weigh", "curve", "explain", "drive", "brake", "wind", "cycle", "measure"};
    bool known = false;
    for (size_t i = 0; i < sizeof quick / sizeof *quick; i++) {
        known = known || strcmp(quick[i], wanted->name) == 0;
    }
    const bool long_run = asked->sweep || asked->switches || (asked->every_given && asked->every_s < 0.2) ||
                          (asked->step_given && asked->step_deg < 0.5);
    bool misleading = false;
    for (size_t i = 0; i < asked->addition_count; i++) {
        misleading = misleading || strstr(asked->additions[i], "nan") || strstr(asked->additions[i], "inf");
    }
    return known && !long_run && !misleading;
}

void run_quick(const command_entry *wanted, const options *asked, size_t pick)
{
    if (!is_quick(wanted, asked)) {
        return;
    }
    options run = *asked;
    run.leaf_file = leaves[pick % (sizeof leaves / sizeof *leaves)];
    run.further.count = 0;
    run.record_file = asked->record_file != NULL ? "examples/records/metric.csv" : NULL;
    run.wind_record_file = asked->wind_record_file != NULL ? "examples/records/gusty.csv" : NULL;
    caught.format = run.format;
    said_begin();
    const exit_status status = wanted->run(&run);
    const size_t said = said_end();
    REQUIRE(status <= EXIT_BAD_INPUT);
    REQUIRE(status == EXIT_DONE || said > 0);
}

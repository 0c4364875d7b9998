/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "deliver.h"

#include <stdbool.h>
#include <string.h>

#include "additions.h"
#include "batch.h"
#include "message.h"
#include "output.h"
#include "present/caution.h"

/* What a command writes, on its way to a stream of its own; of several leaves the caution comes once, at the end. */
static exit_status write_with_additions(const options *asked, const presentation *how, const void *result, FILE *stream)
{
    output plain;
    const bool as_json = asked->format == FORMAT_JSON;
    exit_status status = output_open(&plain);
    if (status != EXIT_DONE) {
        return status;
    }
    status = as_json ? how->json(result, plain.stream) : how->table(result, plain.stream);
    if (status == EXIT_DONE && !output_is_whole(&plain)) {
        status = fail_memory();
    } else if (status == EXIT_DONE && as_json) {
        status = additions_in_json(asked, plain.text, plain.length, stream);
    } else if (status == EXIT_DONE) {
        additions_in_table(asked, plain.text, plain.length, stream);
        (void)fputs(asked->batch == NULL ? "\n" CAUTION "\n" : "", stream);
    }
    output_discard(&plain);
    return status;
}

static exit_status write_text(const options *asked, const presentation *how, const void *result)
{
    output out;
    exit_status status = output_open(&out);
    if (status != EXIT_DONE) {
        return status;
    }
    status = asked->format == FORMAT_CSV ? how->csv(result, out.stream)
                                         : write_with_additions(asked, how, result, out.stream);
    if (status == EXIT_DONE && asked->batch == NULL) {
        return output_commit(&out, asked->output_file);
    }
    if (status == EXIT_DONE) {
        status = output_is_whole(&out) ? batch_add(asked, out.text, out.length) : fail_memory();
    }
    output_discard(&out);
    return status;
}

/* Pictures of several leaves come one by one, each under its heading; letters may have no room for a long title. */
static exit_status draw_here(const options *asked, const output *script, plot_size size)
{
    output heading;
    exit_status status = output_open(&heading);
    if (status != EXIT_DONE) {
        return status;
    }
    if (asked->batch != NULL) {
        batch_heading(asked, heading.stream);
    }
    (void)fprintf(heading.stream, "%s\n", asked->leaf_name);
    status =
        output_is_whole(&heading) ? plot_draw_here(script->text, script->length, size, heading.text) : fail_memory();
    output_discard(&heading);
    return status;
}

static exit_status draw(const options *asked, const presentation *how, const void *result)
{
    output script;
    exit_status status = output_open(&script);
    if (status != EXIT_DONE) {
        return status;
    }
    const bool here = strcmp(asked->plot_file, PLOT_HERE) == 0;
    plot_common_settings(script.stream, how->size, !here);
    additions_in_plot(asked, script.stream);
    status = how->plot(result, script.stream);
    if (status == EXIT_DONE && !output_is_whole(&script)) {
        status = fail_memory();
    } else if (status == EXIT_DONE) {
        status = here ? draw_here(asked, &script, how->size)
                      : plot_draw(asked->plot_file, script.text, script.length, how->size);
    }
    output_discard(&script);
    return status;
}

exit_status deliver(const options *asked, const presentation *how, const void *result)
{
    const bool plot_alone = asked->plot_file != NULL && !asked->format_given && asked->output_file == NULL;
    exit_status status = EXIT_DONE;
    /* A terminal is not asked what it can draw when nothing shall be drawn. */
    const bool unseen = asked->quiet && asked->plot_file != NULL && strcmp(asked->plot_file, PLOT_HERE) == 0;
    if (asked->plot_file != NULL && !unseen) {
        status = draw(asked, how, result);
    }
    if (status == EXIT_DONE && !plot_alone) {
        status = write_text(asked, how, result);
    }
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "deliver.h"

#include <stdbool.h>

#include "additions.h"
#include "message.h"
#include "output.h"
#include "present/caution.h"

/* What a command writes, on its way to a stream of its own. */
static exit_status write_with_additions(const options *asked, const presentation *how, const void *result, FILE *stream)
{
    output plain;
    const bool as_json = asked->format == FORMAT_JSON;
    exit_status status = output_open(&plain);
    if (status != EXIT_DONE) {
        return status;
    }
    status = as_json ? how->json(result, plain.stream) : how->table(result, plain.stream);
    if (status == EXIT_DONE && fflush(plain.stream) != 0) {
        status = fail_memory();
    } else if (status == EXIT_DONE && as_json) {
        status = additions_in_json(asked, plain.text, plain.length, stream);
    } else if (status == EXIT_DONE) {
        additions_in_table(asked, plain.text, plain.length, stream);
        (void)fputs("\n" CAUTION "\n", stream);
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
    if (status == EXIT_DONE) {
        return output_commit(&out, asked->output_file);
    }
    output_discard(&out);
    return status;
}

static exit_status draw(const options *asked, const presentation *how, const void *result)
{
    output script;
    exit_status status = output_open(&script);
    if (status != EXIT_DONE) {
        return status;
    }
    plot_common_settings(script.stream);
    additions_in_plot(asked, script.stream);
    status = how->plot(result, script.stream);
    if (status == EXIT_DONE && fflush(script.stream) == 0) {
        status = plot_draw(asked->plot_file, script.text, script.length, how->size);
    }
    output_discard(&script);
    return status;
}

exit_status deliver(const options *asked, const presentation *how, const void *result)
{
    const bool plot_alone = asked->plot_file != NULL && !asked->format_given && asked->output_file == NULL;
    exit_status status = EXIT_DONE;
    if (asked->plot_file != NULL) {
        status = draw(asked, how, result);
    }
    if (status == EXIT_DONE && !plot_alone) {
        status = write_text(asked, how, result);
    }
    return status;
}

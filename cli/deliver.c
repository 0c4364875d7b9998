/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "deliver.h"

#include <stdbool.h>

#include "output.h"
#include "present/caution.h"

static exit_status table_with_caution(const presentation *how, const void *result, FILE *stream)
{
    const exit_status status = how->table(result, stream);
    (void)fputs("\n" CAUTION "\n", stream);
    return status;
}

static exit_status write_text(const options *asked, const presentation *how, const void *result)
{
    output out;
    exit_status status = output_open(&out);
    if (status != EXIT_DONE) {
        return status;
    }
    if (asked->format == FORMAT_JSON) {
        status = how->json(result, out.stream);
    } else if (asked->format == FORMAT_CSV) {
        status = how->csv(result, out.stream);
    } else {
        status = table_with_caution(how, result, out.stream);
    }
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

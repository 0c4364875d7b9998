/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "additions.h"

#include <string.h>

#include "message.h"
#include "present/json.h"
#include "present/plot.h"

exit_status additions_apply(const options *asked, trn_description *description)
{
    for (size_t i = 0; i < asked->addition_count; i++) {
        trn_error error;
        const trn_status status = trn_description_add(description, asked->additions[i], &error);
        if (status == TRN_OUT_OF_DOMAIN) {
            return fail(EXIT_BAD_INPUT, "--add '%s': %s", asked->additions[i], error.text);
        }
        if (status != TRN_OK) {
            return fail(EXIT_MACHINE, "%s", trn_status_text(status));
        }
    }
    return EXIT_DONE;
}

void additions_in_table(const options *asked, const char *text, size_t length, FILE *stream)
{
    const char *end = memchr(text, '\n', length);
    const size_t first = end != NULL ? (size_t)(end - text) + 1 : length;
    (void)fwrite(text, 1, first, stream);
    for (size_t i = 0; i < asked->addition_count; i++) {
        (void)fprintf(stream, "with %s\n", asked->additions[i]);
    }
    (void)fwrite(text + first, 1, length - first, stream);
}

static json_t *texts(const options *asked)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < asked->addition_count && failed == 0; i++) {
        failed = json_array_append_new(list, json_string(asked->additions[i]));
    }
    return json_unless(failed, list);
}

/* The object is read back, so that no command needs to know of additions; its numbers come back to the last bit. */
exit_status additions_in_json(const options *asked, const char *text, size_t length, FILE *stream)
{
    if (asked->addition_count == 0) {
        (void)fwrite(text, 1, length, stream);
        return EXIT_DONE;
    }
    json_t *object = json_loadb(text, length, 0, NULL);
    return json_write(json_unless(json_object_set_new(object, "additions", texts(asked)), object), stream);
}

/* The most of them in a title. */
enum { ADDITIONS_DRAWN = 4 };

size_t additions_drawn(const options *asked)
{
    return asked->addition_count <= ADDITIONS_DRAWN ? asked->addition_count : ADDITIONS_DRAWN + 1;
}

void additions_in_plot(const options *asked, FILE *script)
{
    (void)fprintf(script, "addition_lines = %zu\nadditions = ''", additions_drawn(asked));
    for (size_t i = 0; i < asked->addition_count && i < ADDITIONS_DRAWN; i++) {
        (void)fputs(".\"\\nwith \".", script);
        plot_string(script, asked->additions[i]);
    }
    if (asked->addition_count > ADDITIONS_DRAWN) {
        (void)fprintf(script, ".\"\\nand %zu additions more\"", asked->addition_count - ADDITIONS_DRAWN);
    }
    (void)fputc('\n', script);
}

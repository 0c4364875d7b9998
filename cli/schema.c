/* SPDX-License-Identifier: GPL-3.0-or-later */
/* schema: the JSON Schemas of the leaf file and of each result, as they are installed. */
#include "schemas.h"

#include <string.h>

#include "command.h"
#include "message.h"
#include "output.h"

void schema_names(FILE *stream)
{
    for (size_t i = 0; i < schema_count; i++) {
        (void)fprintf(stream, "%s\n", schemas[i].name);
    }
}

static exit_status find(const char *name, const schema **found)
{
    for (size_t i = 0; i < schema_count; i++) {
        if (strcmp(schemas[i].name, name) == 0) {
            *found = &schemas[i];
            return EXIT_DONE;
        }
    }
    return fail(EXIT_BAD_INPUT, "no schema '%s': 'trunnion schema' lists those that there are", name);
}

exit_status command_schema(const options *asked)
{
    const schema *one = NULL;
    output out;
    exit_status status = asked->name != NULL ? find(asked->name, &one) : EXIT_DONE;
    if (status == EXIT_DONE) {
        status = output_open(&out);
    }
    if (status != EXIT_DONE) {
        return status;
    }
    if (one != NULL) {
        (void)fputs(one->text, out.stream);
    } else {
        schema_names(out.stream);
    }
    return output_commit(&out, asked->output_file);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "json.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistr.h>

#include "message.h"

static void *take_or_end(size_t size)
{
    void *piece = malloc(size);
    if (piece == NULL) {
        exit((int)fail_memory());
    }
    return piece;
}

void json_guard_memory(void)
{
    json_set_alloc_funcs(take_or_end, free);
}

exit_status json_write(json_t *object, FILE *stream)
{
    if (object == NULL) {
        return fail(EXIT_MACHINE, "the result cannot be written as JSON: a number is not finite");
    }
    const int written = json_dumpf(object, stream, JSON_INDENT(1) | JSON_REAL_PRECISION(17));
    json_decref(object);
    return written == 0 && fputc('\n', stream) != EOF ? EXIT_DONE : fail_memory();
}

int json_put(json_t *object, const char *key, bool there, double value)
{
    return json_object_set_new(object, key, there ? json_real(value) : json_null());
}

json_t *json_name(const char *name)
{
    return u8_check((const uint8_t *)name, strlen(name)) == NULL ? json_string(name) : json_null();
}

json_t *json_unless(int failed, json_t *value)
{
    if (failed == 0) {
        return value;
    }
    json_decref(value);
    return NULL;
}

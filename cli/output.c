/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "output.h"

#include <errno.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "draft.h"
#include "message.h"

exit_status output_open(output *out)
{
    *out = (output){0};
    out->stream = open_memstream(&out->text, &out->length);
    return out->stream != NULL ? EXIT_DONE : fail_memory();
}

void output_discard(output *out)
{
    (void)fclose(out->stream);
    free(out->text);
    *out = (output){0};
}

static exit_status cannot_write(const char *name, int reason)
{
    return fail(EXIT_MACHINE, "cannot write %s: %s", name, strerror(reason));
}

/* Closes the stream; the first failure is the one that is told. */
static exit_status write_all(FILE *stream, const output *out, const char *name)
{
    int reason = 0;
    if (fwrite(out->text, 1, out->length, stream) != out->length || fflush(stream) != 0) {
        reason = errno;
    }
    if (fclose(stream) != 0 && reason == 0) {
        reason = errno;
    }
    return reason == 0 ? EXIT_DONE : cannot_write(name, reason);
}

static exit_status write_file(const char *file, const output *out)
{
    draft made;
    exit_status status = draft_open(file, &made);
    if (status != EXIT_DONE) {
        return status;
    }
    FILE *stream = fopen(made.path != NULL ? made.path : made.target, "wb");
    if (stream == NULL) {
        status = cannot_write(file, errno);
    } else {
        status = write_all(stream, out, file);
    }
    if (status == EXIT_DONE) {
        return draft_finish(&made);
    }
    draft_discard(&made);
    return status;
}

/* A name for our own standard output, such as /dev/stdout: what flows there goes on flowing. */
static bool is_standard_output(const char *file)
{
    struct stat named;
    struct stat ours;
    return stat(file, &named) == 0 && fstat(STDOUT_FILENO, &ours) == 0 && named.st_dev == ours.st_dev &&
           named.st_ino == ours.st_ino;
}

/* Through a stream of its own: closing it tells what failed, and standard output is there for what comes after. */
static exit_status write_standard_output(const output *out)
{
    static const char name[] = "standard output";
    const int copy = dup(STDOUT_FILENO);
    FILE *stream = copy >= 0 ? fdopen(copy, "wb") : NULL;
    if (stream != NULL) {
        return write_all(stream, out, name);
    }
    const exit_status status = cannot_write(name, errno);
    if (copy >= 0) {
        (void)close(copy);
    }
    return status;
}

exit_status output_commit(output *out, const char *named)
{
    const char *file = named != NULL && strcmp(named, "-") == 0 ? NULL : named;
    exit_status status;
    if (fflush(out->stream) != 0 || ferror(out->stream) != 0) {
        status = fail_memory();
    } else if (file != NULL && !is_standard_output(file)) {
        status = write_file(file, out);
    } else {
        status = message_is_quiet() && file == NULL ? EXIT_DONE : write_standard_output(out);
    }
    output_discard(out);
    return status;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* For fopencookie: an open_memstream that gets no memory leaves a hole in the text, and no error. */
#define _GNU_SOURCE /* NOLINT(bugprone-reserved-identifier,cert-dcl37-c,cert-dcl51-cpp) */
#include "output.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "draft.h"
#include "message.h"

static bool make_room(output *out, size_t length)
{
    const size_t wanted = out->length + length + 1;
    if (wanted <= out->room) {
        return true;
    }
    const size_t room = wanted < 8192 ? 8192 : 2 * wanted;
    char *grown = realloc(out->text, room);
    if (grown == NULL) {
        return false;
    }
    out->text = grown;
    out->room = room;
    return true;
}

/* Once something is missing, nothing follows: what memory there is later changes nothing. */
static ssize_t take(void *into, const char *piece, size_t length)
{
    output *out = into;
    if (out->failed || !make_room(out, length)) {
        out->failed = true;
        return 0;
    }
    (void)memcpy(out->text + out->length, piece, length);
    out->length += length;
    out->text[out->length] = '\0';
    return (ssize_t)length;
}

exit_status output_open(output *out)
{
    *out = (output){0};
    if (make_room(out, 0)) {
        out->text[0] = '\0';
        out->stream = fopencookie(out, "w", (cookie_io_functions_t){.write = take});
    }
    if (out->stream == NULL) {
        free(out->text);
        *out = (output){0};
        return fail_memory();
    }
    return EXIT_DONE;
}

bool output_is_whole(output *out)
{
    return fflush(out->stream) == 0 && ferror(out->stream) == 0 && !out->failed;
}

void output_discard(output *out)
{
    out->failed = true;
    (void)fclose(out->stream);
    free(out->text);
    *out = (output){0};
}

static const char standard_output[] = "standard output";

/* A reader that has seen enough, such as head, is nothing to worry about. */
static exit_status cannot_write(const char *name, int reason)
{
    if (reason == EPIPE && name == standard_output) {
        return fail(EXIT_MACHINE, "cannot write standard output to its end: its reader has gone");
    }
    return fail(EXIT_MACHINE, "cannot write %s: %s", name, strerror(reason));
}

/* Closes the stream; the first failure is the one that is told. What shall last is on the disk before it is named. */
static exit_status write_all(FILE *stream, const output *out, const char *name, bool lasts)
{
    int reason = 0;
    if (fwrite(out->text, 1, out->length, stream) != out->length || fflush(stream) != 0 ||
        (lasts && fsync(fileno(stream)) != 0)) {
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
        status = write_all(stream, out, file, made.path != NULL);
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
    const int copy = dup(STDOUT_FILENO);
    FILE *stream = copy >= 0 ? fdopen(copy, "wb") : NULL;
    if (stream != NULL) {
        return write_all(stream, out, standard_output, false);
    }
    /* What was closed when we began is there for reading only, and fdopen calls that invalid. */
    const exit_status status = cannot_write(standard_output, copy >= 0 && errno == EINVAL ? EBADF : errno);
    if (copy >= 0) {
        (void)close(copy);
    }
    return status;
}

exit_status output_commit(output *out, const char *named)
{
    const char *file = named != NULL && strcmp(named, "-") == 0 ? NULL : named;
    exit_status status;
    if (!output_is_whole(out)) {
        status = fail_memory();
    } else if (file != NULL && !is_standard_output(file)) {
        status = write_file(file, out);
    } else {
        status = message_is_quiet() && file == NULL ? EXIT_DONE : write_standard_output(out);
    }
    output_discard(out);
    return status;
}

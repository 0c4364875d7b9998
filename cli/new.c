/* SPDX-License-Identifier: GPL-3.0-or-later */
/* new: a leaf file to start from. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "command.h"
#include "draft.h"
#include "message.h"
#include "output.h"
#include "starts.h"

static const char *text_in(const char *units)
{
    const char *text = starts[0].text;
    for (size_t i = 0; i < start_count; i++) {
        if (strcmp(starts[i].name, units) == 0) {
            text = starts[i].text;
        }
    }
    return text;
}

/* Someone else's file of that name stays as it is, even one that comes between the look and the leap. */
static exit_status make_file(const char *file, output *made)
{
    const int descriptor = open(file, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor < 0) {
        const int reason = errno;
        output_discard(made);
        return reason == EEXIST ? fail(EXIT_BAD_INPUT,
                                       "%s is there already, and stays as it is: expected the name of a new file", file)
                                : fail(EXIT_MACHINE, "cannot write %s: %s", file, strerror(reason));
    }
    (void)close(descriptor);
    const exit_status status = output_commit(made, file);
    if (status != EXIT_DONE) {
        (void)unlink(file);
    } else {
        note("wrote %s: try 'trunnion weigh %s'", file, file);
    }
    return status;
}

exit_status command_new(const options *asked)
{
    const char *units = asked->units_given && asked->units == TRN_UNITS_US ? "us" : "metric";
    output made;
    const exit_status status = output_open(&made);
    if (status != EXIT_DONE) {
        return status;
    }
    (void)fputs(text_in(units), made.stream);
    return asked->name == NULL || strcmp(asked->name, "-") == 0 ? output_commit(&made, NULL)
                                                                : make_file(asked->name, &made);
}

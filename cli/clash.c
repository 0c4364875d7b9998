/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "clash.h"

#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "message.h"

/* The name without what leaves it as it is. */
static const char *plain(const char *name)
{
    while (strncmp(name, "./", 2) == 0) {
        name += 2;
    }
    return name;
}

/* What a file that is read or written is; - is standard input, since it can only be read here. */
static bool is_there(const char *file, struct stat *about)
{
    return strcmp(file, "-") == 0 ? fstat(STDIN_FILENO, about) == 0 : stat(file, about) == 0;
}

/* Links and other spellings count: the same ordinary file, or the same name of one that is still to come. */
static bool same_file(const char *written, const char *other)
{
    struct stat first;
    struct stat second;
    if (written == NULL || other == NULL || strcmp(written, "-") == 0) {
        return false;
    }
    const bool first_there = is_there(written, &first);
    const bool second_there = is_there(other, &second);
    if (first_there && second_there) {
        return S_ISREG(first.st_mode) && first.st_dev == second.st_dev && first.st_ino == second.st_ino;
    }
    return !first_there && !second_there && strcmp(plain(written), plain(other)) == 0;
}

exit_status clash_check(const options *asked)
{
    const char *const written[] = {asked->output_file, asked->plot_file};
    const char *const read[] = {asked->leaf_file, asked->record_file, asked->wind_record_file};
    const size_t given = sizeof read / sizeof read[0];
    for (size_t i = 0; i < 2; i++) {
        for (size_t k = 0; k < given + asked->further.count; k++) {
            if (same_file(written[i], k < given ? read[k] : asked->further.names[k - given])) {
                return fail(EXIT_BAD_INPUT, "%s %s would overwrite what is read: expected another name",
                            i == 0 ? "-o" : "--plot", written[i]);
            }
        }
    }
    return written[1] != NULL && strcmp(written[1], "-") != 0 && same_file(written[0], written[1])
               ? fail(EXIT_BAD_INPUT, "-o and --plot name the same file, %s: expected two", written[0])
               : EXIT_DONE;
}

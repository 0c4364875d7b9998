/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "gnuplot.h"

#include <errno.h>
#include <spawn.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "message.h"

extern char **environ;

/* The descriptor of GNUPLOT_GIVEN. */
enum { GIVEN_FILENO = 3 };

/* The streams of gnuplot. All but the picture are files without a name, so
   that only the picture flows and nobody waits for the other. */
typedef struct channels {
    FILE *script;
    FILE *given; /* NULL: none */
    FILE *complaints;
    int picture[2]; /* a pipe: read end, write end */
} channels;

/* Ready to be read from its start. */
static FILE *file_of(const char *text, size_t length)
{
    FILE *file = tmpfile();
    if (file != NULL &&
        (fwrite(text, 1, length, file) != length || fflush(file) != 0 || lseek(fileno(file), 0, SEEK_SET) != 0)) {
        (void)fclose(file);
        return NULL;
    }
    return file;
}

static bool open_channels(channels *with, const char *script, size_t length, const output *given)
{
    *with = (channels){.script = file_of(script, length),
                       .given = given != NULL ? file_of(given->text, given->length) : NULL,
                       .complaints = tmpfile(),
                       .picture = {-1, -1}};
    return with->script != NULL && (given == NULL || with->given != NULL) && with->complaints != NULL &&
           pipe(with->picture) == 0;
}

static void close_end(int *end)
{
    if (*end >= 0) {
        (void)close(*end);
        *end = -1;
    }
}

static void close_file(FILE *file)
{
    if (file != NULL) {
        (void)fclose(file);
    }
}

static void close_channels(channels *with)
{
    close_file(with->script);
    close_file(with->given);
    close_file(with->complaints);
    close_end(&with->picture[0]);
    close_end(&with->picture[1]);
}

/* Scripts are UTF-8, whatever the person's locale; and what a person has set for gnuplot or for the libraries under it
   neither ends a plot nor changes it. */
static void calm_environment(void)
{
    static const char *const theirs[] = {"GNUTERM", "FC_DEBUG", "PANGOCAIRO_BACKEND"};
    (void)setenv("LC_ALL", "C.UTF-8", 1);
    for (size_t i = 0; i < sizeof theirs / sizeof theirs[0]; i++) {
        (void)unsetenv(theirs[i]);
    }
}

/* -d: nor do the settings in their files. */
static int start(const channels *with, pid_t *child)
{
    char *arguments[] = {"gnuplot", "-d", NULL};
    posix_spawn_file_actions_t actions;
    int reason = posix_spawn_file_actions_init(&actions);
    if (reason != 0) {
        return reason;
    }
    (void)posix_spawn_file_actions_adddup2(&actions, fileno(with->script), STDIN_FILENO);
    (void)posix_spawn_file_actions_adddup2(&actions, with->picture[1], STDOUT_FILENO);
    (void)posix_spawn_file_actions_adddup2(&actions, fileno(with->complaints), STDERR_FILENO);
    (void)posix_spawn_file_actions_addclose(&actions, with->picture[0]);
    /* Last, since any of the others may have had that number. */
    if (with->given != NULL) {
        (void)posix_spawn_file_actions_adddup2(&actions, fileno(with->given), GIVEN_FILENO);
    }
    calm_environment();
    reason = posix_spawnp(child, "gnuplot", &actions, NULL, arguments, environ);
    (void)posix_spawn_file_actions_destroy(&actions);
    return reason;
}

/* Returns 0, or why not all of it came. */
static int take_picture(int from, FILE *picture)
{
    char piece[8192];
    ssize_t length;
    while ((length = read(from, piece, sizeof piece)) != 0) {
        if (length > 0) {
            (void)fwrite(piece, 1, (size_t)length, picture);
        } else if (errno != EINTR) {
            return errno;
        }
    }
    return 0;
}

static bool ended_well(pid_t child)
{
    int state;
    while (waitpid(child, &state, 0) < 0) {
        if (errno != EINTR) {
            return false;
        }
    }
    return WIFEXITED(state) && WEXITSTATUS(state) == 0;
}

/* The first line that says something of what gnuplot had to say; it sets
   carets under the place of a fault on lines of their own. */
static void first_complaint(FILE *complaints, char *line, int size)
{
    rewind(complaints);
    while (fgets(line, size, complaints) != NULL) {
        line[strcspn(line, "\n")] = '\0';
        if (line[strspn(line, " \t^")] != '\0') {
            return;
        }
    }
    line[0] = '\0';
}

static exit_status converse(channels *with, FILE *picture)
{
    pid_t child;
    int reason = start(with, &child);
    if (reason != 0) {
        return fail(EXIT_MACHINE, "gnuplot cannot be started: %s; --plot needs it, but for a .gp file",
                    strerror(reason));
    }
    close_end(&with->picture[1]);
    reason = take_picture(with->picture[0], picture);
    /* One that has more to say shall not wait for us. */
    close_end(&with->picture[0]);
    if (ended_well(child)) {
        return reason == 0 ? EXIT_DONE : fail(EXIT_MACHINE, "cannot read what gnuplot has drawn: %s", strerror(reason));
    }
    char line[200] = "";
    first_complaint(with->complaints, line, (int)sizeof line);
    return fail(EXIT_MACHINE, "gnuplot did not finish the plot%s%s", line[0] != '\0' ? ": " : "", line);
}

exit_status gnuplot_run(const char *script, size_t length, const output *given, FILE *picture)
{
    channels with;
    exit_status status;
    if (open_channels(&with, script, length, given)) {
        status = converse(&with, picture);
    } else {
        status = fail(EXIT_MACHINE, "gnuplot cannot be started: %s", strerror(errno));
    }
    close_channels(&with);
    return status;
}

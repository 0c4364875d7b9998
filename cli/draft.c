/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draft.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "message.h"

/* The unfinished file of this process: a signal handler can reach nothing else. */
static char *volatile unfinished;

static const int ending_signals[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT};

enum { ENDING_SIGNALS = sizeof ending_signals / sizeof ending_signals[0] };

static void remove_unfinished(int signal_number)
{
    char *path = unfinished;
    if (path != NULL) {
        (void)unlink(path);
    }
    (void)signal(signal_number, SIG_DFL);
    (void)raise(signal_number);
}

void draft_guard_signals(void)
{
    struct sigaction action = {.sa_handler = remove_unfinished};
    (void)sigemptyset(&action.sa_mask);
    for (size_t i = 0; i < ENDING_SIGNALS; i++) {
        struct sigaction before;
        /* What whoever starts us has us ignore, as nohup does, stays ignored. */
        if (sigaction(ending_signals[i], NULL, &before) == 0 && before.sa_handler != SIG_IGN) {
            (void)sigaction(ending_signals[i], &action, NULL);
        }
    }
    /* A closed pipe or a file grown too large shall be an error that is told, not a silent end. */
    (void)signal(SIGPIPE, SIG_IGN);
    (void)signal(SIGXFSZ, SIG_IGN);
}

/* Where a link leads, seen from the folder it lies in; NULL where memory ran out or it is no link. */
static char *step_along(const char *link)
{
    char leads[4096];
    const ssize_t length = readlink(link, leads, sizeof leads - 1);
    if (length < 0) {
        return NULL;
    }
    leads[length] = '\0';
    const char *slash = strrchr(link, '/');
    const size_t folder = leads[0] == '/' || slash == NULL ? 0 : (size_t)(slash - link) + 1;
    char *path = malloc(folder + (size_t)length + 1);
    if (path != NULL) {
        (void)memcpy(path, link, folder);
        (void)memcpy(path + folder, leads, (size_t)length + 1);
    }
    return path;
}

/* Links are followed, so that the file behind a link is replaced and not the
   link, also where that file is still to come. NULL: errno says why. */
static char *resolve(const char *target)
{
    char *real = realpath(target, NULL);
    if (real != NULL || errno == ELOOP) {
        return real;
    }
    char *path = strdup(target);
    for (int steps = 0; steps < 40 && path != NULL; steps++) {
        char *next = step_along(path);
        if (next == NULL) {
            break;
        }
        free(path);
        path = next;
    }
    return path;
}

/* The permissions of the file that is replaced, or those of a new one. */
static mode_t permissions(const struct stat *old)
{
    if (old != NULL) {
        return old->st_mode & 07777;
    }
    const mode_t mask = umask(0);
    (void)umask(mask);
    return 0666 & ~mask;
}

/* No signal comes between the making of the file and the note of its name. */
static int make_noted(char *name)
{
    sigset_t ending;
    sigset_t before;
    (void)sigemptyset(&ending);
    for (size_t i = 0; i < ENDING_SIGNALS; i++) {
        (void)sigaddset(&ending, ending_signals[i]);
    }
    (void)sigprocmask(SIG_BLOCK, &ending, &before);
    const int descriptor = mkstemp(name);
    const int reason = errno;
    unfinished = descriptor >= 0 ? name : NULL;
    (void)sigprocmask(SIG_SETMASK, &before, NULL);
    errno = reason;
    return descriptor;
}

static exit_status make_beside(const char *target, const struct stat *old, char **path)
{
    static const char own[] = ".trunnion-XXXXXX";
    const char *slash = strrchr(target, '/');
    const size_t folder = slash == NULL ? 0 : (size_t)(slash - target) + 1;
    char *name = malloc(folder + sizeof own);
    if (name == NULL) {
        return fail_memory();
    }
    (void)memcpy(name, target, folder);
    (void)memcpy(name + folder, own, sizeof own);
    const int descriptor = make_noted(name);
    if (descriptor < 0) {
        const int reason = errno;
        free(name);
        return fail(EXIT_MACHINE, "cannot write %s: %s", target, strerror(reason));
    }
    (void)fchmod(descriptor, permissions(old));
    (void)close(descriptor);
    *path = name;
    return EXIT_DONE;
}

exit_status draft_open(const char *target, draft *made)
{
    struct stat old;
    *made = (draft){.target = resolve(target)};
    if (made->target == NULL) {
        return errno == ELOOP ? fail(EXIT_MACHINE, "cannot write %s: %s", target, strerror(ELOOP)) : fail_memory();
    }
    const bool exists = stat(made->target, &old) == 0;
    if (exists && !S_ISREG(old.st_mode)) {
        return EXIT_DONE;
    }
    if (exists && access(made->target, W_OK) != 0) {
        const int reason = errno;
        draft_discard(made);
        return fail(EXIT_MACHINE, "cannot write %s: %s", target, strerror(reason));
    }
    const exit_status status = make_beside(made->target, exists ? &old : NULL, &made->path);
    if (status != EXIT_DONE) {
        draft_discard(made);
        return status;
    }
    return EXIT_DONE;
}

static void forget(draft *made)
{
    unfinished = NULL;
    free(made->path);
    free(made->target);
    *made = (draft){0};
}

exit_status draft_finish(draft *made)
{
    exit_status status = EXIT_DONE;
    if (made->path != NULL && rename(made->path, made->target) != 0) {
        status = fail(EXIT_MACHINE, "cannot write %s: %s", made->target, strerror(errno));
        (void)unlink(made->path);
    }
    forget(made);
    return status;
}

void draft_discard(draft *made)
{
    if (made->path != NULL) {
        (void)unlink(made->path);
    }
    forget(made);
}

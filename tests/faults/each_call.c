/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Every call for memory of one run of the tool failed, without a run from the start for each: at a call the process
 * forks, and the child goes on without that memory in a copy of the folder, so that nothing it does is met by the
 * others. FAIL_EACH=FOLDER gets these copies, named by the number of the call and whether all after it failed too; the
 * descriptor FAIL_TELL gets a line for each child, with how it ended. FAIL_FROM=N begins with the nth call;
 * FAIL_ONCE=1 fails of the calls that come by the same way, which is the stack, the first alone.
 *
 * Where there is more to the process than a child has, or than files can be copied (other threads, a pipe, a file
 * without a name), the call is told as one that wants a run of its own.
 */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <fcntl.h>
#include <limits.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <unwind.h>

#include "failing_memory.h"

enum {
    TELLING = 900,    /* where the descriptor is kept, out of the way of those that the tool opens */
    DESCRIPTORS = 64, /* more than the tool opens */
    STACKS = 1 << 16, /* more than there are, as a power of two */
    SECONDS = 60      /* a child that lasts longer hangs */
};

static const char *copies;
static long first;
static long once;
/* The names of those that were met; mapped, so that a search for leaks does not read through it. */
static _Atomic uint64_t *stacks;

static void must(bool done)
{
    if (!done) {
        abort();
    }
}

static _Unwind_Reason_Code take_frame(struct _Unwind_Context *frame, void *into)
{
    uint64_t *name = into;
    *name = (*name ^ (uint64_t)_Unwind_GetIP(frame)) * 0x100000001b3U;
    *name ^= *name >> 29;
    return _URC_NO_REASON;
}

static uint64_t name_of_stack(void)
{
    uint64_t name = 0xcbf29ce484222325U;
    (void)_Unwind_Backtrace(take_frame, &name);
    return name;
}

static bool is_new(uint64_t stack)
{
    for (size_t at = stack % STACKS;; at = (at + 1) % STACKS) {
        uint64_t found = 0;
        if (atomic_compare_exchange_strong(&stacks[at], &found, stack)) {
            return true;
        }
        if (found == stack) {
            return false;
        }
    }
}

static bool is_chosen(long nth)
{
    return nth >= first && (once == 0 || is_new(name_of_stack()));
}

static bool can_be_copied(void)
{
    struct stat seen;
    /* Itself, its parent, and a folder for each thread. */
    must(stat("/proc/self/task", &seen) == 0);
    bool copied = seen.st_nlink == 3;
    for (int i = 3; i < DESCRIPTORS && copied; i++) {
        if (fstat(i, &seen) == 0) {
            copied = !S_ISFIFO(seen.st_mode) && !S_ISSOCK(seen.st_mode) && seen.st_nlink > 0;
        }
    }
    return copied;
}

static void copy_file(const char *name, int into)
{
    char piece[1 << 14];
    const int reading = open(name, O_RDONLY);
    const int writing = openat(into, name, O_WRONLY | O_CREAT | O_EXCL, 0666);
    must(reading >= 0 && writing >= 0);
    ssize_t length;
    while ((length = read(reading, piece, sizeof piece)) > 0) {
        must(write(writing, piece, (size_t)length) == length);
    }
    must(length == 0);
    (void)close(reading);
    (void)close(writing);
}

static void copy_folder(const char *to)
{
    DIR *here = opendir(".");
    must(here != NULL && mkdir(to, 0777) == 0);
    const int into = open(to, O_RDONLY | O_DIRECTORY);
    for (const struct dirent *entry = readdir(here); entry != NULL; entry = readdir(here)) {
        if (entry->d_type == DT_REG) {
            copy_file(entry->d_name, into);
        }
    }
    (void)close(into);
    (void)closedir(here);
}

/* An open file gets a place of its own to read on from, or to write on in the copy of its folder. */
static void open_own(int descriptor, const char *old_folder, const char *folder)
{
    char link[32];
    char path[PATH_MAX];
    char own[2 * PATH_MAX];
    struct stat seen;
    if (fstat(descriptor, &seen) != 0 || !S_ISREG(seen.st_mode)) {
        return;
    }
    (void)snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
    const ssize_t length = readlink(link, path, sizeof path - 1);
    must(length > 0);
    path[length] = '\0';
    const size_t above = strlen(old_folder);
    const bool within = strncmp(path, old_folder, above) == 0 && path[above] == '/';
    (void)snprintf(own, sizeof own, "%s%s", within ? folder : "", within ? path + above : path);
    const off_t place = lseek(descriptor, 0, SEEK_CUR);
    const int opened = open(own, fcntl(descriptor, F_GETFL) & (O_ACCMODE | O_APPEND));
    must(opened >= 0 && lseek(opened, place, SEEK_SET) == place && dup2(opened, descriptor) == descriptor);
    (void)close(opened);
}

static void move_into_copy(const char *folder)
{
    char old_folder[PATH_MAX];
    must(getcwd(old_folder, sizeof old_folder) != NULL);
    copy_folder(folder);
    for (int i = 0; i < DESCRIPTORS; i++) {
        open_own(i, old_folder, folder);
    }
    must(chdir(folder) == 0);
}

static pid_t begin_without(long nth, bool forever)
{
    const pid_t child = fork();
    must(child >= 0);
    if (child == 0) {
        char folder[PATH_MAX];
        (void)memory_holds();
        memory_watched(NULL);
        (void)snprintf(folder, sizeof folder, "%s/%ld%s", copies, nth, forever ? "+" : "");
        move_into_copy(folder);
        (void)close(TELLING);
        (void)unsetenv("FAIL_COUNT");
        (void)alarm(SECONDS);
        memory_fails(forever ? 1 : 0, forever);
    }
    return child;
}

/* Takes no memory of its own. */
static void tell(long nth, const char *what, int number)
{
    char line[80];
    const int length = snprintf(line, sizeof line, "%ld %s %d\n", nth, what, number);
    must(write(TELLING, line, (size_t)length) == length);
}

static int end_of(pid_t child)
{
    int status;
    must(waitpid(child, &status, 0) == child);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status);
}

/* Whether the call shall fail, which it does in the children alone; both run at once. */
static bool fail_in_children(long nth)
{
    static const bool forever[] = {false, true};
    pid_t child[2];
    if (!is_chosen(nth)) {
        return false;
    }
    if (!can_be_copied()) {
        tell(nth, "alone", 0);
        return false;
    }
    for (int i = 0; i < 2; i++) {
        child[i] = begin_without(nth, forever[i]);
        if (child[i] == 0) {
            return true;
        }
    }
    for (int i = 0; i < 2; i++) {
        tell(nth, forever[i] ? "forever" : "once", end_of(child[i]));
    }
    return false;
}

/* A whole name would lead out of the copy; and a sanitizer's own would take memory past us. */
char *realpath(const char *restrict path, char *restrict resolved)
{
    char here[PATH_MAX];
    char *(*const real)(const char *, char *) = (char *(*)(const char *, char *))dlsym(RTLD_NEXT, "realpath");
    char *own = resolved != NULL ? resolved : malloc(PATH_MAX);
    must(real != NULL && getcwd(here, sizeof here) != NULL);
    if (own == NULL) {
        return NULL;
    }
    char *found = real(path, own);
    const size_t above = strlen(here);
    if (found == NULL && own != resolved) {
        free(own);
    } else if (found != NULL && copies != NULL && strncmp(found, here, above) == 0 && found[above] == '/') {
        (void)memmove(found, found + above + 1, strlen(found + above));
    }
    return found;
}

static long number_of(const char *name)
{
    const char *text = getenv(name);
    return text != NULL ? strtol(text, NULL, 10) : 0;
}

__attribute__((constructor)) static void begin_each(void)
{
    copies = getenv("FAIL_EACH");
    if (copies == NULL) {
        return;
    }
    const int told = (int)number_of("FAIL_TELL");
    first = number_of("FAIL_FROM");
    once = number_of("FAIL_ONCE");
    stacks = mmap(NULL, STACKS * sizeof *stacks, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
    must(stacks != MAP_FAILED && dup3(told, TELLING, O_CLOEXEC) == TELLING && close(told) == 0);
    (void)unsetenv("LD_PRELOAD");
    memory_watched(fail_in_children);
    memory_fails(0, false);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Published values against the library. The argument is the folder of the
 * checks, *.txt; the output is TAP. See README.md for the format.
 */
#include <dirent.h>

#include "check_file.h"
#include "fits.h"
#include "kinds.h"
#include "machinery_kinds.h"
#include "motion_kinds.h"
#include "quantities.h"

#define FILES_MAX 64
#define CHECKS_MAX 512

typedef struct tally {
    size_t made;
    size_t failed;
    char names[CHECKS_MAX][LINE_MAX_LENGTH];
} tally;

static const struct {
    const char *name;
    void (*run)(const inputs *, const check *, results *);
} kinds[] = {
    {"leaf", run_leaf}, {"area", run_area},   {"wind", run_wind},
    {"journal", run_journal}, {"drive", run_drive}, {"motor", run_motor},
    {"machine", run_machine}, {"induction", run_induction}, {"cylinder", run_cylinder},
    {"stop", run_stop},       {"duty", run_duty},           {"beaufort", run_beaufort},
    {"gust", run_gust},       {"run", run_run},
};

/* Kinds whose inputs are no leaf. */
static const struct {
    const char *name;
    void (*run)(const check *, results *);
} plain_kinds[] = {{"fit", run_fit}, {"gauge", run_gauge}};

static const result *find_result(const results *from, const char *name)
{
    for (size_t i = 0; i < from->count; i++)
        if (strcmp(from->at[i].name, name) == 0)
            return &from->at[i];
    return NULL;
}

/* One line of results: NAME VALUE UNIT +- TOLERANCE UNIT. */
static bool meets(const check *of, const text_line *line, const results *got)
{
    char text[LINE_MAX_LENGTH];
    strcpy(text, line->text);
    words from = {of, line->number, text};
    const char *name = next_word(&from);
    const result *found = find_result(got, name);
    if (!found)
        bail_out(of->file, line->number, "the kind gives no such result", name);
    double want = next_quantity(&from, found->of);
    const char *sign = next_word(&from);
    if (strcmp(sign, "+-") != 0)
        bail_out(of->file, line->number, "+- is missing", sign);
    double tolerance = next_quantity(&from, found->of);
    need_end(&from);
    if (!(tolerance > 0))
        bail_out(of->file, line->number, "a tolerance has to be over 0", name);
    if (isfinite(found->si) && fabs(found->si - want) <= tolerance)
        return true;
    printf("# %s:%d: %s: got %.17g, want %.17g within %.3g (SI)\n", of->file, line->number, name, found->si, want,
           tolerance);
    return false;
}

/* The dimension that makes the unit of an expectation readable. */
static dimension dimension_of(const check *of, const text_line *line)
{
    char text[LINE_MAX_LENGTH];
    strcpy(text, line->text);
    words from = {of, line->number, text};
    next_word(&from);
    next_number(&from);
    const char *name = next_word(&from);
    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (strcmp(units[i].name, name) == 0)
            return units[i].of;
    bail_out(of->file, line->number, "unknown unit", name);
}

static void answer(const check *asked, results *got)
{
    if (strcmp(asked->kind, "unit") == 0) {
        if (asked->given_count != 1 || asked->expect_count != 1)
            bail_out(asked->file, asked->line, "a unit has one input and one result", asked->name);
        add_result(got, "si", dimension_of(asked, &asked->expect[0]), read_quantity(asked, &asked->given[0]));
        return;
    }
    for (size_t i = 0; i < sizeof plain_kinds / sizeof plain_kinds[0]; i++) {
        if (strcmp(asked->kind, plain_kinds[i].name) == 0) {
            plain_kinds[i].run(asked, got);
            return;
        }
    }
    static inputs in;
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++) {
        if (strcmp(asked->kind, kinds[i].name) == 0) {
            take_inputs(&in, asked);
            kinds[i].run(&in, asked, got);
            return;
        }
    }
    bail_out(asked->file, asked->line, "unknown kind", asked->kind);
}

static void run_check(const check *asked, void *context)
{
    tally *sum = context;
    for (size_t i = 0; i < sum->made; i++)
        if (strcmp(sum->names[i], asked->name) == 0)
            bail_out(asked->file, asked->line, "name used twice", asked->name);
    if (sum->made == CHECKS_MAX)
        bail_out(asked->file, asked->line, "more checks than there is room for", asked->name);
    strcpy(sum->names[sum->made++], asked->name);
    results got = {.count = 0};
    answer(asked, &got);
    bool met = true;
    for (size_t i = 0; i < asked->expect_count; i++)
        met = meets(asked, &asked->expect[i], &got) && met;
    sum->failed += !met;
    printf("%sok %zu - %s: %s, %s [%s%s]\n", met ? "" : "not ", sum->made, asked->name, asked->source, asked->section,
           asked->status, strcmp(asked->status, "MEM") == 0 ? ": from memory, check the source" : "");
}

static int by_name(const void *a, const void *b)
{
    return strcmp(a, b);
}

int main(int argc, char **argv)
{
    static tally sum;
    static char paths[FILES_MAX][2 * LINE_MAX_LENGTH];
    size_t count = 0;
    const char *folder = argc == 2 ? argv[1] : NULL;
    DIR *listing = folder ? opendir(folder) : NULL;
    if (!listing)
        bail_out(folder ? folder : argv[0], 0, "give the folder of the checks", "one argument");
    for (struct dirent *entry = readdir(listing); entry; entry = readdir(listing)) {
        size_t length = strlen(entry->d_name);
        if (length < 5 || strcmp(entry->d_name + length - 4, ".txt") != 0)
            continue;
        if (count == FILES_MAX)
            bail_out(folder, 0, "more files than there is room for", entry->d_name);
        int written = snprintf(paths[count], sizeof paths[count], "%s/%s", folder, entry->d_name);
        if (written < 0 || (size_t)written >= sizeof paths[count])
            bail_out(folder, 0, "name of a file too long", entry->d_name);
        count++;
    }
    closedir(listing);
    qsort(paths, count, sizeof paths[0], by_name);
    for (size_t i = 0; i < count; i++)
        read_checks(paths[i], run_check, &sum);
    if (sum.made == 0)
        bail_out(folder, 0, "no checks", "nothing was tested");
    printf("1..%zu\n", sum.made);
    return sum.failed ? 1 : 0;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input.h"

#include <errno.h>
#include <sha2.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "additions.h"
#include "message.h"
#include "output.h"

const char *input_name(const char *file)
{
    return strcmp(file, "-") == 0 ? "standard input" : file;
}

typedef struct bytes {
    char *data;
    size_t length;
} bytes;

/* Read at most so many bytes. */
static exit_status read_stream(FILE *stream, const char *name, size_t most, bytes *text)
{
    size_t room = 1 << 16;
    char *data = malloc(room);
    size_t length = 0;
    while (data != NULL) {
        length += fread(data + length, 1, room - length, stream);
        if (length < room || room >= most) {
            break;
        }
        room = 2 * room < most ? 2 * room : most;
        char *grown = realloc(data, room);
        if (grown == NULL) {
            free(data);
        }
        data = grown;
    }
    if (data == NULL) {
        return fail_memory();
    }
    if (ferror(stream) != 0) {
        const int reason = errno;
        free(data);
        return fail(EXIT_MACHINE, "cannot read %s: %s", name, strerror(reason));
    }
    *text = (bytes){.data = data, .length = length};
    note("read %s, %zu bytes", name, length);
    return EXIT_DONE;
}

/* One byte more than the library reads is enough for it to see that the text is too long. */
static exit_status read_bytes(const char *file, size_t library_reads, bytes *text)
{
    const size_t most = library_reads + 1;
    if (strcmp(file, "-") == 0) {
        return read_stream(stdin, input_name(file), most, text);
    }
    FILE *stream = fopen(file, "rb");
    if (stream == NULL) {
        return fail(EXIT_MACHINE, "cannot open %s: %s", file, strerror(errno));
    }
    const exit_status status = read_stream(stream, file, most, text);
    (void)fclose(stream);
    return status;
}

exit_status input_read_bytes(const char *file, size_t most, unsigned char **data, size_t *length)
{
    bytes text = {0};
    const exit_status status = read_bytes(file, most, &text);
    *data = (unsigned char *)text.data;
    *length = text.length;
    return status;
}

/* One text is read at a time, and a small stack has little room for its faults. */
static trn_faults faults;

static void print_faults(const char *name)
{
    for (size_t i = 0; i < faults.count; i++) {
        tell_line("%s:%d:%d: %s", name, faults.at[i].line, faults.at[i].column, faults.at[i].text);
    }
    if (faults.more) {
        tell_line("%s: more faults follow; mend these first", name);
    }
}

static exit_status verdict(const char *file, trn_status read)
{
    if (read == TRN_BAD_DESCRIPTION) {
        print_faults(input_name(file));
        return EXIT_BAD_INPUT;
    }
    return read == TRN_OK ? EXIT_DONE : fail_about(EXIT_MACHINE, input_name(file), trn_status_text(read));
}

static void note_defaults(const options *asked, const trn_description *description)
{
    const trn_taken_default *taken = NULL;
    const size_t count = trn_description_defaults(description, &taken);
    for (size_t i = 0; i < count; i++) {
        note("by default, %s: %s %s, %zu time%s, first at %s:%d", taken[i].of, taken[i].key, taken[i].value,
             taken[i].times, taken[i].times == 1 ? "" : "s", input_name(asked->leaf_file), taken[i].line);
    }
}

/* As it stands in the file: still air, where it has no cases, is told among the defaults. */
static size_t described_cases(const trn_description *description)
{
    const trn_taken_default *taken = NULL;
    const size_t count = trn_description_defaults(description, &taken);
    for (size_t i = 0; i < count; i++) {
        if (strcmp(taken[i].key, "cases") == 0) {
            return 0;
        }
    }
    return trn_description_leaf(description)->case_count;
}

static void note_leaf(const options *asked, const trn_description *description)
{
    const trn_leaf *leaf = trn_description_leaf(description);
    note("%s describes '%s': parts %zu, pockets %zu, surfaces %zu, brakes %zu, cases %zu, holdings %zu",
         input_name(asked->leaf_file), leaf->name, leaf->part_count, leaf->pocket_count, leaf->surface_count,
         leaf->brake_count, described_cases(description), leaf->holding_count);
    note_defaults(asked, description);
}

/* Also the checksum of the text, where one is asked for. */
static exit_status read_leaf(const options *asked, trn_description **description, char checksum[CHECKSUM_TEXT])
{
    const char *file = asked->leaf_file;
    bytes text = {0};
    const exit_status status = read_bytes(file, TRN_DESCRIPTION_MAX, &text);
    if (status != EXIT_DONE) {
        return status;
    }
    const trn_status read = trn_description_read(text.data, text.length, description, &faults);
    if (checksum != NULL) {
        (void)SHA256Data((const uint8_t *)text.data, text.length, checksum);
    }
    free(text.data);
    if (read == TRN_OK) {
        note_leaf(asked, *description);
    }
    return verdict(file, read);
}

exit_status input_read(const options *asked, trn_description **description)
{
    return read_leaf(asked, description, NULL);
}

exit_status input_read_record(const char *file, trn_record *record)
{
    bytes text = {0};
    const exit_status status = read_bytes(file, TRN_RECORD_MAX, &text);
    if (status != EXIT_DONE) {
        return status;
    }
    const trn_status read = trn_record_read(text.data, text.length, record, &faults);
    free(text.data);
    return verdict(file, read);
}

exit_status input_read_wind(const char *file, trn_wind_series *series)
{
    bytes text = {0};
    const exit_status status = read_bytes(file, TRN_RECORD_MAX, &text);
    if (status != EXIT_DONE) {
        return status;
    }
    const trn_status read = trn_wind_series_read(text.data, text.length, series, &faults);
    free(text.data);
    return verdict(file, read);
}

static exit_status no_such_case(const trn_leaf *leaf, const char *file, const char *name)
{
    output list;
    exit_status status = output_open(&list);
    if (status != EXIT_DONE) {
        return status;
    }
    for (size_t i = 0; i < leaf->case_count; i++) {
        (void)fprintf(list.stream, "%s '%s'", i == 0 ? "" : ",", leaf->cases[i].name);
    }
    if (output_is_whole(&list)) {
        tell_line("trunnion: %s has no case '%s'; it has:%s", input_name(file), name, list.text);
        status = EXIT_BAD_INPUT;
    } else {
        status = fail_memory();
    }
    output_discard(&list);
    return status;
}

exit_status input_find_case(const trn_leaf *leaf, const char *file, const char *name, const trn_case **found)
{
    for (size_t i = 0; i < leaf->case_count; i++) {
        if (name == NULL || strcmp(leaf->cases[i].name, name) == 0) {
            *found = &leaf->cases[i];
            return EXIT_DONE;
        }
    }
    return no_such_case(leaf, file, name);
}

/* A description that lacks something, or that cannot be moved, is at fault as a whole: its first line is named. */
exit_status fail_leaf(const options *asked, const trn_error *error)
{
    if (error->status == TRN_NO_MEMORY) {
        return fail_memory();
    }
    tell_line("%s:1:1: %s", input_name(asked->leaf_file), error->text);
    return EXIT_BAD_INPUT;
}

bool input_surface_is_turned(const trn_surface *surface)
{
    return surface->takes_wind && surface->from.x > surface->to.x;
}

/* A strip given toe end first takes the wind from the wrong side, and nothing else would show it. */
static void warn_of_turned_surfaces(const options *asked, const trn_leaf *leaf)
{
    for (size_t i = 0; i < leaf->surface_count; i++) {
        if (input_surface_is_turned(&leaf->surfaces[i])) {
            warn("surface '%s' of %s runs from toe to heel: the heel end goes first, or its wind comes from the other "
                 "side",
                 leaf->surfaces[i].name, input_name(asked->leaf_file));
        }
    }
}

void input_note_choice(const options *asked, const char *what, const char *first)
{
    if (asked->case_name != NULL) {
        note("%s '%s', as named", what, asked->case_name);
    } else if (first != NULL) {
        note("%s '%s', the first, since none was named", what, first);
    } else {
        note("every %s, since none was named", what);
    }
}

trn_leaf input_leaf(const options *asked, const trn_description *description)
{
    trn_leaf leaf = *trn_description_leaf(description);
    leaf.units = asked->units_given ? asked->units : leaf.units;
    warn_of_turned_surfaces(asked, &leaf);
    return leaf;
}

/* Read and add; on EXIT_DONE the description must be freed. */
static exit_status prepare(const options *asked, trn_description **description, char checksum[CHECKSUM_TEXT])
{
    exit_status status = read_leaf(asked, description, checksum);
    if (status != EXIT_DONE) {
        return status;
    }
    status = additions_apply(asked, *description);
    if (status != EXIT_DONE) {
        trn_description_free(*description);
    }
    return status;
}

/* The options as a command gets them with the leaf. */
static options with_leaf(const options *asked, const trn_leaf *leaf, const trn_description *description)
{
    options named = *asked;
    named.leaf_name = leaf->name;
    named.own_units = trn_description_leaf(description)->units;
    return named;
}

exit_status input_with_leaf(const options *asked, leaf_work *work)
{
    trn_description *description = NULL;
    exit_status status = prepare(asked, &description, NULL);
    if (status == EXIT_DONE) {
        const trn_leaf leaf = input_leaf(asked, description);
        const options named = with_leaf(asked, &leaf, description);
        status = work(&named, &leaf);
        trn_description_free(description);
    }
    return status;
}

exit_status input_with_traced_leaf(const options *asked, traced_leaf_work *work)
{
    trn_description *description = NULL;
    char checksum[CHECKSUM_TEXT];
    exit_status status = prepare(asked, &description, checksum);
    if (status == EXIT_DONE) {
        const trn_leaf leaf = input_leaf(asked, description);
        const options named = with_leaf(asked, &leaf, description);
        status = work(&named, &leaf, checksum);
        trn_description_free(description);
    }
    return status;
}

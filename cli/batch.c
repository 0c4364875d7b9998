/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "batch.h"

#include <string.h>
#include <unistd.h>

#include "input.h"
#include "message.h"
#include "present/caution.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/plain.h"

void batch_heading(const options *asked, FILE *stream)
{
    const size_t columns = plain_print(stream, input_name(asked->leaf_file));
    (void)fputc('\n', stream);
    for (size_t i = columns; i > 0; i--) {
        (void)fputc('=', stream);
    }
    (void)fputs("\n", stream);
}

static void add_table(const options *asked, const char *text, size_t length)
{
    batch *made = asked->batch;
    if (made->given > 0) {
        (void)fputs("\n\n", made->text.stream);
    }
    batch_heading(asked, made->text.stream);
    (void)fwrite(text, 1, length, made->text.stream);
}

/* Rows of our own making: a field with line breaks in it stands in quotes. */
static size_t row_length(const char *text, size_t length)
{
    bool in_quotes = false;
    for (size_t i = 0; i < length; i++) {
        in_quotes ^= text[i] == '"';
        if (text[i] == '\n' && !in_quotes) {
            return i + 1;
        }
    }
    return length;
}

/* CSV is for programs and has a name as it is; only on a terminal, which would obey it, it is shown. */
static void add_name(const options *asked, FILE *stream)
{
    output shown;
    const char *name = input_name(asked->leaf_file);
    if (asked->output_file != NULL || isatty(STDOUT_FILENO) == 0 || output_open(&shown) != EXIT_DONE) {
        csv_text(stream, name, true);
        return;
    }
    (void)plain_print(shown.stream, name);
    csv_text(stream, output_is_whole(&shown) ? shown.text : "", true);
    output_discard(&shown);
}

static void add_csv(const options *asked, const char *text, size_t length)
{
    FILE *stream = asked->batch->text.stream;
    const size_t header = row_length(text, length);
    if (asked->batch->given == 0) {
        (void)fputs("file,", stream);
        (void)fwrite(text, 1, header, stream);
    }
    for (size_t start = header; start < length;) {
        const size_t row = row_length(text + start, length - start);
        add_name(asked, stream);
        (void)fputc(',', stream);
        (void)fwrite(text + start, 1, row, stream);
        start += row;
    }
}

/* The object is read back, as it is for additions. */
static exit_status add_json(const options *asked, const char *text, size_t length)
{
    json_t *named = json_pack("{s:o}", "file", json_name(input_name(asked->leaf_file)));
    json_t *result = json_loadb(text, length, 0, NULL);
    const int failed = json_object_update(named, result) | json_array_append(asked->batch->results, named);
    json_decref(result);
    json_decref(named);
    return failed == 0 ? EXIT_DONE : fail_memory();
}

exit_status batch_add(const options *asked, const char *text, size_t length)
{
    exit_status status = EXIT_DONE;
    if (asked->format == FORMAT_JSON) {
        status = add_json(asked, text, length);
    } else if (asked->format == FORMAT_CSV) {
        add_csv(asked, text, length);
    } else {
        add_table(asked, text, length);
    }
    asked->batch->given += status == EXIT_DONE;
    return status;
}

/* An element for every leaf: null for one without a result. */
static exit_status run_one(const options *asked, const char *file, exit_status (*run)(const options *asked))
{
    options one = *asked;
    const size_t given = asked->batch->given;
    one.leaf_file = file;
    one.further.count = 0;
    message_about(input_name(file));
    const exit_status status = run(&one);
    message_about(NULL);
    if (asked->batch->given == given) {
        (void)json_array_append_new(asked->batch->results, json_null());
    }
    return status;
}

static exit_status write_results(const options *asked, batch *made)
{
    exit_status status = EXIT_DONE;
    if (asked->format == FORMAT_JSON) {
        status = json_write(json_incref(made->results), made->text.stream);
    } else if (asked->format == FORMAT_TABLE) {
        (void)fputs("\n" CAUTION "\n", made->text.stream);
    }
    return status;
}

static exit_status finish(const options *asked, batch *made)
{
    const exit_status status = made->given > 0 ? write_results(asked, made) : EXIT_DONE;
    json_decref(made->results);
    if (status == EXIT_DONE && made->given > 0) {
        return output_commit(&made->text, asked->output_file);
    }
    output_discard(&made->text);
    return status;
}

exit_status batch_run(const options *asked, exit_status (*run)(const options *asked))
{
    batch made = {.results = json_array()};
    options all = *asked;
    all.batch = &made;
    exit_status worst = output_open(&made.text);
    if (worst != EXIT_DONE || made.results == NULL) {
        json_decref(made.results);
        return fail_memory();
    }
    for (size_t i = 0; i <= asked->further.count; i++) {
        const exit_status status = run_one(&all, i == 0 ? asked->leaf_file : asked->further.names[i - 1], run);
        worst = status > worst ? status : worst;
    }
    const exit_status status = finish(asked, &made);
    return status > worst ? status : worst;
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "options_spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "message.h"
#include "trunnion/spread.h"

enum { SAMPLES_LEAST = 100, THREADS_MOST = 256, SHARDS_MOST = TRN_SPREAD_SHARDS_MAX };

/* A whole number in decimal digits, all of the text; false where it is none or too large. */
static bool whole_number(const char *text, uint64_t most, uint64_t *number)
{
    uint64_t read = 0;
    for (const char *at = text; *at != '\0'; at++) {
        const uint64_t digit = (uint64_t)(*at - '0');
        if (*at < '0' || *at > '9' || digit > most || read > (most - digit) / 10) {
            return false;
        }
        read = 10 * read + digit;
    }
    *number = read;
    return text[0] != '\0';
}

/* Also such as 1e6. */
exit_status spread_samples(options *asked, const char *text)
{
    char *end = NULL;
    const bool plain = text[0] != '\0' && strspn(text, "0123456789.e") == strlen(text);
    const double number = plain ? strtod(text, &end) : 0;
    const bool whole = plain && *end == '\0' && number >= SAMPLES_LEAST && number <= (double)TRN_SPREAD_SAMPLES_MAX &&
                       !(number > floor(number));
    if (!whole) {
        return fail(EXIT_BAD_INPUT, "--samples %s: expected a whole number from %d to %.0e, such as 1e6", text,
                    SAMPLES_LEAST, (double)TRN_SPREAD_SAMPLES_MAX);
    }
    asked->spread.samples = (uint64_t)number;
    return EXIT_DONE;
}

exit_status spread_digits(options *asked, const char *text)
{
    if (strcmp(text, "1") != 0 && strcmp(text, "2") != 0) {
        return fail(EXIT_BAD_INPUT, "--digits %s: expected 1 or 2 significant digits of the standard deviation", text);
    }
    asked->spread.digits = text[0] - '0';
    return EXIT_DONE;
}

exit_status spread_seed(options *asked, const char *text)
{
    if (!whole_number(text, UINT64_MAX, &asked->spread.seed)) {
        return fail(EXIT_BAD_INPUT, "--seed %s: expected a whole number below 2^64, such as 1", text);
    }
    asked->spread.seed_given = true;
    return EXIT_DONE;
}

exit_status spread_threads(options *asked, const char *text)
{
    uint64_t number = 0;
    if (!whole_number(text, THREADS_MOST, &number) || number == 0) {
        return fail(EXIT_BAD_INPUT, "--threads %s: expected a whole number from 1 to %d", text, THREADS_MOST);
    }
    asked->spread.threads = (int)number;
    return EXIT_DONE;
}

exit_status spread_shard(options *asked, const char *text)
{
    char first[16];
    uint64_t shard = 0;
    uint64_t shards = 0;
    const char *slash = strchr(text, '/');
    const size_t length = slash != NULL ? (size_t)(slash - text) : sizeof first;
    bool good = length < sizeof first;
    if (good) {
        (void)memcpy(first, text, length);
        first[length] = '\0';
        good = whole_number(first, SHARDS_MOST, &shard) && whole_number(slash + 1, SHARDS_MOST, &shards) &&
               shard >= 1 && shard <= shards;
    }
    if (!good) {
        return fail(EXIT_BAD_INPUT, "--shard %s: expected K/N, K from 1 to N, N up to %d, such as 3/8", text,
                    SHARDS_MOST);
    }
    asked->spread.shard = (uint32_t)shard;
    asked->spread.shards = (uint32_t)shards;
    return EXIT_DONE;
}

static exit_status check_merge(const options *asked)
{
    if (asked->merge && asked->further.count == 0) {
        return fail(EXIT_BAD_INPUT, "no shards: the form is 'trunnion spread LEAF --merge FILES...'");
    }
    if (asked->merge && (asked->spread.samples > 0 || asked->spread.seed_given || asked->spread.shards > 0)) {
        return fail(EXIT_BAD_INPUT, "--merge takes samples and seed from the shards: expected it without --samples, "
                                    "--seed and --shard");
    }
    return EXIT_DONE;
}

exit_status spread_check(const options *asked)
{
    const bool sharded = asked->spread.shards > 0;
    const exit_status status = check_merge(asked);
    if (status != EXIT_DONE) {
        return status;
    }
    if (asked->spread.samples > 0 && asked->spread.digits > 0) {
        return fail(EXIT_BAD_INPUT, "--samples and --digits exclude each other: the digits find the number of samples");
    }
    if (sharded && (asked->spread.samples == 0 || asked->output_file == NULL)) {
        return fail(EXIT_BAD_INPUT, "--shard needs --samples, the same for all shards, and -o FILE for the shard");
    }
    if (sharded && asked->further.count > 0) {
        return fail(EXIT_BAD_INPUT, "--shard draws a part of the samples of one leaf: '%s' is left over",
                    asked->further.names[0]);
    }
    if (sharded && (asked->format_given || asked->plot_file != NULL)) {
        return fail(EXIT_BAD_INPUT, "--shard writes a shard for --merge: --json, --csv and --plot go with --merge");
    }
    return EXIT_DONE;
}

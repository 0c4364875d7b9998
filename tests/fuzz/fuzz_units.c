/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes are one quantity: an angle on the command line, and the toe of a tiny leaf. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "checks.h"
#include "require.h"
#include "target.h"

#define BEFORE "leaf: tiny\nopens_to: 76 degree\ntoe: "
#define AFTER "\nparts: [{name: p, weight: 1 kN, at: [1 m, 0 m]}]\n"

/* A copy of its own size, so that the sanitizer sees a step beyond the end. */
static char *copy_of(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    REQUIRE(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    return text;
}

static void check_angle(const char *text)
{
    const double untouched = -12345.5;
    double angle_rad = untouched;
    trn_error error;
    memset(&error, 0xA5, sizeof error);
    const trn_status status = trn_angle_read(text, &angle_rad, &error);
    if (status == TRN_OK) {
        REQUIRE(isfinite(angle_rad));
        return;
    }
    REQUIRE(status == TRN_OUT_OF_DOMAIN && error.status == status);
    REQUIRE(!(angle_rad < untouched) && !(angle_rad > untouched));
    /* A command line may hold any bytes, and the message shows them. */
    check_line(error.text, sizeof error.text);
    REQUIRE(is_utf8(error.text, strlen(error.text)) || !is_utf8(text, strlen(text)));
}

/*
 * Where the text is what looks like a number, and "m" alone: the toe is that
 * number, all of it, and no other. 3,35 and 0x10 and 1_000 look like numbers.
 */
static void check_toe(const char *text, double toe_m)
{
    const size_t number = strspn(text, "0123456789+-.,_xXeE ");
    if (strcmp(text + number, "m") != 0) {
        return;
    }
    char *end = NULL;
    const double expected = strtod(text, &end);
    REQUIRE(end + strspn(end, " ") == text + number && !strpbrk(text, "xX"));
    REQUIRE(!(toe_m < expected) && !(toe_m > expected));
}

/* Put a piece behind the others; returns where the next one goes. */
static char *put(char *at, const char *piece, size_t length)
{
    memcpy(at, piece, length);
    return at + length;
}

static void check_tiny_leaf(const char *text)
{
    const size_t length = strlen(BEFORE) + strlen(text) + strlen(AFTER);
    char *leaf_text = malloc(length);
    REQUIRE(leaf_text != NULL);
    char *at = put(leaf_text, BEFORE, strlen(BEFORE));
    at = put(at, text, strlen(text));
    put(at, AFTER, strlen(AFTER));
    trn_description *description = read_and_check(leaf_text, length);
    if (description) {
        const trn_leaf *leaf = trn_description_leaf(description);
        check_leaf(leaf);
        check_results(leaf);
        check_toe(text, leaf->toe_m);
        trn_description_free(description);
    }
    free(leaf_text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = copy_of(data, size);
    check_angle(text);
    check_tiny_leaf(text);
    free(text);
    return 0;
}

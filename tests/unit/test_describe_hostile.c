/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "describing.h"

/* The whole of what may be read, of one sort of noise. */
static trn_faults read_noise(const char *start, const char *noise, const char *end)
{
    char *text = repeated(start, noise, end, TRN_DESCRIPTION_MAX - 64);
    trn_faults faults = read_badly(text, strlen(text));
    free(text);
    return faults;
}

static void assert_noise(const char *noise, int line, int column, const char *words)
{
    trn_faults faults = read_noise("", noise, "");
    assert_fault(&faults, 0, line, column, words);
}

static void nesting_is_bounded(void **state)
{
    (void)state;
    assert_noise("[", 1, 17, "levels of nesting: expected at most 16");
    assert_noise("{", 1, 17, "levels of nesting");
    assert_noise("- ", 1, 33, "levels of nesting");
    assert_noise("? ", 1, 33, "levels of nesting");
    assert_noise("{a,", 1, 49, "levels of nesting");
    assert_noise("[1,", 1, 49, "levels of nesting");
}

static void sixteen_levels_are_not_too_deep(void **state)
{
    (void)state;
    assert_refused("[[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]", 1, 1, "found a list");
    assert_refused("[[[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]]", 1, 17, "levels of nesting");
}

static void the_number_of_values_is_bounded(void **state)
{
    (void)state;
    trn_faults faults = read_noise("parts: [", "1,", "]");
    assert_fault(&faults, 0, 1, 2500003, "too many values");
    faults = read_noise("parts:\n", "- {name: a}\n", "");
    assert_non_null(strstr(faults.at[0].text, "too many values"));
    faults = read_noise("", "a: b\n", "");
    assert_fault(&faults, 0, 625000, 4, "too many values");
}

static void noise_of_no_structure_ends_quickly(void **state)
{
    (void)state;
    assert_noise("a", 1, 1, "found a single value");
    assert_noise("a\n", 1, 1, "found a single value");
    assert_noise(" ", 1, 1, "empty");
    assert_noise("\n", 1, 1, "empty");
    assert_noise("#\n", 1, 1, "empty");
    assert_noise("\t", 1, 1, "a tab");
    assert_noise("\xFF", 1, 1, "byte 0xFF");
    assert_noise("&a *a ", 1, 4, "not YAML");
    assert_noise("a: ", 1, 5, "mapping values are not allowed");
    assert_noise("---\n", 1, 1, "empty");
    trn_faults faults = read_noise("leaf: \"", "x ", "\"");
    assert_fault(&faults, 3, 1, 7, "expected at most 200");
    faults = read_noise("toe: ", "1", " m");
    assert_fault(&faults, 3, 1, 6, "too long");
}

static void many_unknown_keys_end_quickly(void **state)
{
    (void)state;
    trn_faults faults = read_noise("leaf: [", "{whatever: 1}, ", "]");
    assert_non_null(strstr(faults.at[0].text, "too many values"));
    char *text = repeated("duty: {", "openings: 1, ", "}", 600000 * 13);
    faults = read_badly(text, strlen(text));
    assert_int_equal(faults.count, TRN_FAULTS_MAX);
    assert_true(faults.more);
    free(text);
}

static void an_alias_may_not_reach_itself(void **state)
{
    (void)state;
    assert_refused("parts: &a [*a]\n", 1, 12, "cycle");
    assert_refused("a: &a {b: [{c: *a}]}\n", 1, 16, "cycle");
}

static void aliases_of_aliases_are_bounded(void **state)
{
    (void)state;
    assert_refused("a: &a [x,x,x,x,x,x,x,x,x,x]\n"
                   "b: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a,*a]\n"
                   "c: &c [*b,*b,*b,*b,*b,*b,*b,*b,*b,*b]\n"
                   "d: &d [*c,*c,*c,*c,*c,*c,*c,*c,*c,*c]\n"
                   "e: &e [*d,*d,*d,*d,*d,*d,*d,*d,*d,*d]\n"
                   "f: &f [*e,*e,*e,*e,*e,*e,*e,*e,*e,*e]\n",
                   5, 29, "behind aliases");
}

static void anchors_are_bounded(void **state)
{
    (void)state;
    trn_faults faults = read_noise("leaf: [", "&a 1,", "]");
    assert_fault(&faults, 0, 1, 8 + 256 * 5, "too many anchors");
}

/* A block with so many voids in a row that do not touch each other. */
static char *leaf_of_voids(int voids)
{
    static const char start[] =
        "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n- name: y\n  unit_weight: 1 t/m3\n"
        "  width: 2 m\n  outline: [[-1 m, -1 m], [9 km, -1 m], [9 km, 9 m], [-1 m, 9 m]]\n  voids:\n";
    char *text = malloc(sizeof start + (size_t)voids * 90);
    assert_non_null(text);
    char *at = stpcpy(text, start);
    for (int i = 0; i < voids; i++) {
        at += sprintf(at, "  - {width: 1 m, outline: [[%d m, 1 m], [%d.5 m, 1 m], [%d.5 m, 2 m]]}\n", i, i, i);
    }
    return text;
}

static void outlines_are_compared_within_bounds(void **state)
{
    (void)state;
    /* n voids of 3 corners in a block of 4 are 16 + 9 n pairs of sides, 120 n with the block, 90 n (n - 1) / 2 more. */
    char *text = leaf_of_voids(420);
    trn_description *description = read_well(text);
    assert_int_equal(trn_description_leaf(description)->parts[0].void_count, 420);
    trn_description_free(description);
    free(text);
    text = leaf_of_voids(421);
    assert_refused(text, 9 + 421, 27, "outline: too many outlines to compare: expected fewer corners in all");
    free(text);
    text = leaf_of_voids(2000);
    assert_refused(text, 9 + 421, 27, "outline: too many outlines to compare");
    /* Nothing more is compared, and nothing more said, in what comes after. */
    char *longer = repeated(text, "- {name: z, unit_weight: 1 t/m3, width: 1 m, ",
                            "outline: [[0 m, 0 m], [1 m, 0 m], [0 m, 0 m]]}\n", 0);
    free(text);
    trn_faults faults = read_badly(longer, strlen(longer));
    assert_int_equal(faults.count, 1);
    assert_non_null(strstr(faults.at[0].text, "too many outlines to compare"));
    free(longer);
}

/* A ring of 256 corners of some radius, as text. */
static char *put_ring(char *at, double radius)
{
    for (int i = 0; i < 256; i++) {
        const double angle = i * (3.14159265358979323846 / 128);
        at += sprintf(at, "%s[%.6f m, %.6f m]", i > 0 ? ", " : "", radius * cos(angle), radius * sin(angle));
    }
    return at;
}

/* So many blocks with a void each. */
static char *leaf_of_rings(int blocks)
{
    char *text = malloc(100 + (size_t)blocks * 20000);
    assert_non_null(text);
    char *at = stpcpy(text, "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n");
    for (int i = 0; i < blocks; i++) {
        at += sprintf(at, "- {name: b%d, unit_weight: 1 t/m3, width: 1 m, outline: [", 10 + i);
        at = put_ring(at, 9);
        at = stpcpy(at, "],\n   voids: [{width: 1 m, outline: [");
        at = put_ring(at, 8);
        at = stpcpy(at, "]}]}\n");
    }
    return text;
}

/* 2 * 256^2 pairs of sides of its own in each block, and ten times 256^2 of the block beside its void. */
static void a_block_beside_its_void_is_bounded_as_well(void **state)
{
    (void)state;
    char *text = leaf_of_rings(10);
    trn_description_free(read_well(text));
    free(text);
    text = leaf_of_rings(11);
    assert_refused(text, 4 + 22, 34, "outline: too many outlines to compare");
    free(text);
}

/* A leaf of points whose place has a unit that is new each time. */
static char *leaf_of_units(int parts)
{
    static const char start[] = "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n";
    char *text = malloc(sizeof start + (size_t)parts * 90);
    assert_non_null(text);
    char *at = stpcpy(text, start);
    for (int i = 0; i < parts; i++) {
        int a = i % 90 + 1;
        int b = i / 90 % 90 + 1;
        int c = i / 8100 + 1;
        at += sprintf(at, "- {name: p%d, weight: 1 t, at: [1 m, 1 m%d s%d kg%d m-%d s-%d kg-%d]}\n", i, a + 1, b, c, a,
                      b, c);
    }
    return text;
}

static void units_are_read_within_bounds(void **state)
{
    (void)state;
    char *text = leaf_of_units(9997);
    trn_description_free(read_well(text));
    free(text);
    text = leaf_of_units(9998);
    trn_faults faults = read_badly(text, strlen(text));
    assert_int_equal(faults.count, 1);
    assert_fault(&faults, 0, 4 + 9998, 40, "too many different units");
    free(text);
}

static void a_long_leaf_in_few_units_is_read(void **state)
{
    (void)state;
    static const char start[] = "leaf: x\nopens_to: 1 rad\ntoe: 1 m\nparts:\n";
    const int parts = 6000;
    char *text = malloc(sizeof start + (size_t)parts * 80);
    assert_non_null(text);
    char *at = stpcpy(text, start);
    for (int i = 0; i < parts; i++) {
        at += sprintf(at, "- {name: p%d, weight: 1 kg m/s2, at: [1 m, 2 ft], gyration: 3 mm}\n", i);
    }
    trn_description *description = read_well(text);
    const trn_part *last = &trn_description_leaf(description)->parts[parts - 1];
    assert_close(last->weight_N, 1, 0);
    assert_close(last->at.y, 0.6096, 1e-15);
    assert_close(last->gyration_m, 0.003, 1e-15);
    trn_description_free(description);
    free(text);
}

static void a_character_cut_by_the_end_is_refused(void **state)
{
    (void)state;
    static const char text[] = "leaf: \xC3\xBC";
    trn_faults faults = read_badly(text, strlen(text) - 1);
    assert_fault(&faults, 0, 1, 7, "byte 0xC3 is not valid UTF-8");
}

static void a_longer_text_is_refused_unread(void **state)
{
    (void)state;
    char *text = calloc(1, TRN_DESCRIPTION_MAX + 1);
    assert_non_null(text);
    trn_faults faults = read_badly(text, TRN_DESCRIPTION_MAX + 1);
    assert_fault(&faults, 0, 1, 1, "too long: expected at most 16 MiB");
    faults = read_badly(text, TRN_DESCRIPTION_MAX);
    assert_fault(&faults, 0, 1, 1, "U+0000");
    free(text);
}

static void bytes_that_are_no_utf8_are_told_at_their_place(void **state)
{
    (void)state;
    static const char *const wrong[] = {
        "\x80",             /* goes on without a start */
        "\xC3",             /* starts and does not go on */
        "\xC3(",            /* the same */
        "\xC0\xAF",         /* longer than needed */
        "\xE0\x80\x80",     /* longer than needed */
        "\xF0\x80\x80\x80", /* longer than needed */
        "\xED\xA0\x80",     /* a surrogate */
        "\xF4\x90\x80\x80", /* beyond the last character */
        "\xF8\x88\x80\x80", /* five bytes */
        "\xF8\x90\x80\x80", /* the same */
        "\xFE",
    };
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++) {
        char text[32] = "a: b\r\nc: \xC3\xBC";
        strcat(text, wrong[i]);
        assert_refused(text, 2, 5, "is not valid UTF-8");
    }
}

static void control_characters_are_told_at_their_place(void **state)
{
    (void)state;
    assert_refused("leaf: a\rtoe: \x7F", 2, 6, "U+007F");
    assert_refused("leaf: \xC2\x81", 1, 7, "U+0081");
    assert_refused("leaf: \xEF\xBF\xBF", 1, 7, "U+FFFF");
    trn_faults faults = read_badly("leaf: \0x", 8);
    assert_fault(&faults, 0, 1, 7, "U+0000");
}

static void a_name_with_a_hidden_nul_is_refused(void **state)
{
    (void)state;
    assert_refused("leaf: \"a\\0b\"\nopens_to: 1 rad\ntoe: 1 m\nparts: [{name: y, weight: 1 t, at: [1 m, 0 m]}]\n", 1,
                   7, "a NUL character");
}

static void a_value_with_a_hidden_nul_is_refused(void **state)
{
    (void)state;
    char *text = with_toe("\"1 m\\0 t\"");
    assert_refused(text, 3, 6, "a NUL character");
    free(text);
    assert_refused(LEAST "units: \"us\\0x\"\n", LEAST_LINES + 1, 8, "a NUL character");
    assert_refused(LEAST "\"units\\0x\": us\n", LEAST_LINES + 1, 1, "a NUL character");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(nesting_is_bounded),
        cmocka_unit_test(sixteen_levels_are_not_too_deep),
        cmocka_unit_test(the_number_of_values_is_bounded),
        cmocka_unit_test(noise_of_no_structure_ends_quickly),
        cmocka_unit_test(many_unknown_keys_end_quickly),
        cmocka_unit_test(an_alias_may_not_reach_itself),
        cmocka_unit_test(aliases_of_aliases_are_bounded),
        cmocka_unit_test(anchors_are_bounded),
        cmocka_unit_test(outlines_are_compared_within_bounds),
        cmocka_unit_test(a_block_beside_its_void_is_bounded_as_well),
        cmocka_unit_test(units_are_read_within_bounds),
        cmocka_unit_test(a_long_leaf_in_few_units_is_read),
        cmocka_unit_test(a_character_cut_by_the_end_is_refused),
        cmocka_unit_test(a_longer_text_is_refused_unread),
        cmocka_unit_test(bytes_that_are_no_utf8_are_told_at_their_place),
        cmocka_unit_test(control_characters_are_told_at_their_place),
        cmocka_unit_test(a_name_with_a_hidden_nul_is_refused),
        cmocka_unit_test(a_value_with_a_hidden_nul_is_refused),
    };
    return cmocka_run_group_tests_name("describe hostile", tests, NULL, NULL);
}

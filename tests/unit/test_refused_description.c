/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a reader of texts asks for, refused: each piece of its memory in turn, and the locale that numbers are in. */
#include <locale.h>

#include "../../lib/describe/arena.h"
#include "describing.h"
#include "refusing.h"
#include "trunnion/trunnion.h"

/* The linker puts these in place of the arena's and the system's (see Makefile). */
void *__real_dsc_arena_take(dsc_arena *arena, size_t count, size_t size);
char *__real_dsc_arena_text(dsc_arena *arena, const char *text, size_t length);
locale_t __real_newlocale(int of, const char *name, locale_t base);
void *__wrap_dsc_arena_take(dsc_arena *arena, size_t count, size_t size);
char *__wrap_dsc_arena_text(dsc_arena *arena, const char *text, size_t length);
locale_t __wrap_newlocale(int of, const char *name, locale_t base);

void *__wrap_dsc_arena_take(dsc_arena *arena, size_t count, size_t size)
{
    return is_refused() ? NULL : __real_dsc_arena_take(arena, count, size);
}

char *__wrap_dsc_arena_text(dsc_arena *arena, const char *text, size_t length)
{
    return is_refused() ? NULL : __real_dsc_arena_text(arena, text, length);
}

locale_t __wrap_newlocale(int of, const char *name, locale_t base)
{
    return is_refused() ? (locale_t)0 : __real_newlocale(of, name, base);
}

static trn_status read_angle(void *unused)
{
    (void)unused;
    double angle_rad;
    trn_error error;
    return trn_angle_read("40 degree", &angle_rad, &error);
}

/* Before any other: what follows the locale is room for the database of units, which stays once it was read. */
static void the_database_of_units(void **state)
{
    (void)state;
    assert_int_equal(work_refused(read_angle, NULL, 2), TRN_NO_MEMORY);
    assert_int_equal(atomic_load(&asked), 2);
    assert_int_equal(work_refused(read_angle, NULL, 0), TRN_OK);
}

static trn_status read_leaf(void *text)
{
    trn_faults faults;
    trn_description *description = NULL;
    const trn_status status = trn_description_read(text, strlen(text), &description, &faults);
    assert_true((status == TRN_OK) == (description != NULL));
    assert_int_equal(faults.count, 0);
    trn_description_free(description);
    return status;
}

/* An anchor, sections, lists, conditions, defaults, and no case. */
static void a_leaf(void **state)
{
    (void)state;
    static char text[] = LEAST
        "units: metric\n"
        "pockets: [{name: heel, at: &place [-6 m, 1 m], block: 40 kg, blocks: 5, room: 9}]\n"
        "surfaces: [{name: deck, from: *place, to: [9 m, 2 m], width: 8 m}]\n"
        "trunnion: {journal_diameter: 480 mm, friction: {starting: 0.18, moving: 0.12}}\n"
        "drive: {ratio: 1500, efficiency: [0.96, 0.9]}\n"
        "steps:\n"
        "  - {name: bell, takes: 8 s, gives: [warned, bell rung]}\n"
        "  - {name: raise, motion: raise, needs: [warned, bell rung], gives: open}\n"
        "uncertainties: [{of: weight, on: girder, sd: 2 %, group: steel}]\n";
    assert_true(refuse_each(read_leaf, text, TRN_OK) > 100);
}

static trn_status read_records(void *unused)
{
    (void)unused;
    static const char record_text[] = "angle [deg],direction,shaft strain [km/km]\n8,opening,1e-6\n9,closing,1e-6\n";
    static const char wind_text[] = "time [s],speed [m/s]\n0,5\n9,7\n";
    trn_faults faults;
    trn_record record = {0};
    trn_wind_series winds = {0};
    trn_status status = trn_record_read(record_text, strlen(record_text), &record, &faults);
    if (status == TRN_OK) {
        status = trn_wind_series_read(wind_text, strlen(wind_text), &winds, &faults);
    }
    trn_wind_series_free(&winds);
    trn_record_free(&record);
    return status;
}

static void a_record(void **state)
{
    (void)state;
    assert_true(refuse_each(read_records, NULL, TRN_OK) > 4);
}

static trn_status read_words(void *unused)
{
    (void)unused;
    double number = 0;
    trn_upset_text upset;
    trn_gust gust;
    trn_error error = {.status = TRN_OK};
    trn_status status = trn_angle_read("40 degree", &number, &error);
    if (status == TRN_OK) {
        status = trn_time_read("2.5 min", &number, &error);
    }
    if (status == TRN_OK) {
        status = trn_upset_read("gust 12 m/s for 8 s at 40deg closing", &upset, &error);
    }
    if (status == TRN_OK) {
        status = trn_gust_read("90 Pa for 8 s at 20 s", &gust, &error);
    }
    assert_int_equal(error.status, status);
    return status;
}

/* For each unit too: UDUNITS is not entered where it would end the process for want of memory. */
static void words(void **state)
{
    (void)state;
    assert_true(refuse_each(read_words, NULL, TRN_OK) >= 4 + 9);
}

static const char *const additions[] = {"overlay: 35 kg/m2 on deck", "cable: 1 kN/m from [1 m, 0 m] to [9 m, 0 m]",
                                        "hoist: 120 kg at [6 m, 0.9 m]", "stock: +2 in heel", "stock: -1 in far heel"};

static trn_status add_all(void *to)
{
    trn_status status = TRN_OK;
    for (size_t i = 0; i < sizeof additions / sizeof *additions && status == TRN_OK; i++) {
        trn_error error;
        status = trn_description_add(to, additions[i], &error);
    }
    return status;
}

/* A leaf and what is added to it; each refusal leaves the leaf as it was before that addition. */
static trn_status read_and_add(void *text)
{
    trn_faults faults;
    trn_description *description = NULL;
    trn_status status = trn_description_read(text, strlen(text), &description, &faults);
    if (status == TRN_OK) {
        const int before = trn_description_leaf(description)->linked_counterweight->pockets[0].blocks;
        status = add_all(description);
        const int after = trn_description_leaf(description)->linked_counterweight->pockets[0].blocks;
        assert_int_equal(after, status == TRN_OK ? before - 1 : before);
    }
    trn_description_free(description);
    return status;
}

static void additions_to_a_leaf(void **state)
{
    (void)state;
    static char text[] = LEAST
        "pockets: [{name: heel, at: [-6 m, 1 m], block: 40 kg, blocks: 5, room: 9}]\n"
        "surfaces: [{name: deck, from: [0 m, 1 m], to: [9 m, 2 m], width: 8 m}]\n"
        "linked_counterweight:\n"
        "  pivot: [-8.5 m, 6.4 m]\n"
        "  pin_on_leaf: [-4.8 m, 1.2 m]\n"
        "  pin_on_counterweight: [-13.3 m, 7.6 m]\n"
        "  parts: [{name: box, weight: 9 t, at: [-13.1 m, 6.19 m]}]\n"
        "  pockets: [{name: far heel, at: [-13.6 m, 7.4 m], block: 40 kg, blocks: 5, room: 9}]\n";
    assert_true(refuse_each(read_and_add, text, TRN_OK) > 100);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_database_of_units),
        cmocka_unit_test(a_leaf),
        cmocka_unit_test(a_record),
        cmocka_unit_test(words),
        cmocka_unit_test(additions_to_a_leaf),
    };
    return cmocka_run_group_tests_name("refused to readers", tests, NULL, NULL);
}

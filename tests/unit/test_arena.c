/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The memory that a description is kept in. */
#include "../../lib/describe/arena.h"

#include <stdlib.h>

#include "assertions.h"

static void pieces_are_zero_and_apart(void **state)
{
    (void)state;
    enum { PIECES = 4000 };
    static unsigned char *pieces[PIECES];
    dsc_arena arena = {0};
    for (size_t i = 0; i < PIECES; i++) {
        pieces[i] = dsc_arena_take(&arena, i % 97, 3);
        assert_non_null(pieces[i]);
        assert_int_equal((uintptr_t)pieces[i] % _Alignof(max_align_t), 0);
        for (size_t k = 0; k < i % 97 * 3; k++) {
            assert_int_equal(pieces[i][k], 0);
            pieces[i][k] = (unsigned char)(i % 251 + 1);
        }
    }
    for (size_t i = 0; i < PIECES; i++) {
        for (size_t k = 0; k < i % 97 * 3; k++) {
            assert_int_equal(pieces[i][k], i % 251 + 1);
        }
    }
    dsc_arena_free(&arena);
}

static void more_than_there_can_be_is_refused(void **state)
{
    (void)state;
    dsc_arena arena = {0};
    assert_null(dsc_arena_take(&arena, SIZE_MAX / 2, 1));
    assert_null(dsc_arena_take(&arena, SIZE_MAX / 8 + 2, 8));
    assert_null(dsc_arena_take(&arena, 3, SIZE_MAX / 3 + 1));
    assert_non_null(dsc_arena_take(&arena, 1, 1));
    dsc_arena_free(&arena);
}

static void a_text_is_copied_and_ended(void **state)
{
    (void)state;
    dsc_arena arena = {0};
    assert_string_equal(dsc_arena_text(&arena, "girder and more", 6), "girder");
    dsc_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_are_zero_and_apart),
        cmocka_unit_test(more_than_there_can_be_is_refused),
        cmocka_unit_test(a_text_is_copied_and_ended),
    };
    return cmocka_run_group_tests_name("arena", tests, NULL, NULL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The memory of one description. */
#include "arena.h"

#include "assertions.h"

/* Each piece is written from end to end before the next is taken, so that none lies over another. */
static void pieces_are_zeroed_aligned_and_apart(void **state)
{
    (void)state;
    static const size_t sizes[] = {1, 7, 16, 17, 100, 8192, 1, 3000000, 5, 40960, 1048576, 1};
    enum { COUNT = sizeof sizes / sizeof *sizes };
    dsc_arena arena = {0};
    unsigned char *pieces[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        pieces[i] = dsc_arena_take(&arena, 1, sizes[i]);
        assert_non_null(pieces[i]);
        assert_int_equal((uintptr_t)pieces[i] % _Alignof(max_align_t), 0);
        for (size_t k = 0; k < sizes[i]; k++) {
            assert_int_equal(pieces[i][k], 0);
        }
        memset(pieces[i], (int)i + 1, sizes[i]);
    }
    for (size_t i = 0; i < COUNT; i++) {
        assert_int_equal(pieces[i][0], i + 1);
        assert_int_equal(pieces[i][sizes[i] - 1], i + 1);
    }
    dsc_arena_free(&arena);
    assert_null(arena.newest);
}

static void a_text_is_copied_and_ended(void **state)
{
    (void)state;
    dsc_arena arena = {0};
    char *copy = dsc_arena_text(&arena, "girder and more", 6);
    assert_non_null(copy);
    assert_string_equal(copy, "girder");
    assert_string_equal(dsc_arena_text(&arena, "", 0), "");
    dsc_arena_free(&arena);
}

/* What does not fit a size_t is no little piece. */
static void more_than_there_can_be_is_refused(void **state)
{
    (void)state;
    dsc_arena arena = {0};
    assert_null(dsc_arena_take(&arena, SIZE_MAX / 4, 8));
    assert_null(dsc_arena_take(&arena, SIZE_MAX / 8 + 2, 8));
    assert_null(dsc_arena_take(&arena, SIZE_MAX, 1));
    assert_null(dsc_arena_take(&arena, 2, SIZE_MAX / 2 + 1));
    assert_non_null(dsc_arena_take(&arena, 3, 0));
    dsc_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(pieces_are_zeroed_aligned_and_apart),
        cmocka_unit_test(a_text_is_copied_and_ended),
        cmocka_unit_test(more_than_there_can_be_is_refused),
    };
    return cmocka_run_group_tests_name("arena", tests, NULL, NULL);
}

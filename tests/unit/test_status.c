/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "assertions.h"

#include "trunnion/status.h"
#include "trunnion/version.h"

static const trn_status every_status[] = {
#define NAME(name, text) name,
    TRN_STATUS_LIST(NAME)
#undef NAME
};

#define STATUSES (sizeof every_status / sizeof every_status[0])

static void done_is_zero(void **state)
{
    (void)state;
    assert_int_equal(TRN_OK, 0);
    assert_string_equal(trn_status_text(TRN_OK), "done");
}

static void every_status_has_words_of_its_own(void **state)
{
    (void)state;
    for (size_t i = 0; i < STATUSES; i++) {
        assert_true(strlen(trn_status_text(every_status[i])) > 0);
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(trn_status_text(every_status[i]), trn_status_text(every_status[k]));
    }
    assert_string_equal(trn_status_text(TRN_MISSING_SECTION), "the description lacks a section");
}

static void a_number_that_is_no_status_has_words_as_well(void **state)
{
    (void)state;
    const int strange[] = {(int)STATUSES, 99, -1};
    for (size_t i = 0; i < 3; i++) {
        const char *text = trn_status_text((trn_status)strange[i]);
        assert_non_null(text);
        assert_true(strlen(text) > 0);
        for (size_t k = 0; k < STATUSES; k++)
            assert_string_not_equal(text, trn_status_text(every_status[k]));
    }
}

static void setting_an_error_fills_it_and_returns_the_status(void **state)
{
    (void)state;
    trn_error error = {.status = TRN_OK};
    assert_int_equal(trn_error_set(&error, TRN_OUT_OF_DOMAIN, "%s is %d", "count", 7), TRN_OUT_OF_DOMAIN);
    assert_int_equal(error.status, TRN_OUT_OF_DOMAIN);
    assert_string_equal(error.text, "count is 7");
}

static void setting_no_error_still_returns_the_status(void **state)
{
    (void)state;
    assert_int_equal(trn_error_set(NULL, TRN_NO_MEMORY, "%d", 1), TRN_NO_MEMORY);
}

static void long_words_are_cut_at_the_room_there_is(void **state)
{
    (void)state;
    struct {
        trn_error error;
        char guard;
    } room = {.guard = 'g'};
    memset(room.error.text, 'x', sizeof room.error.text);
    trn_error_set(&room.error, TRN_OUT_OF_DOMAIN, "%0*d", 2 * TRN_ERROR_TEXT, 5);
    assert_int_equal(strlen(room.error.text), TRN_ERROR_TEXT - 1);
    assert_int_equal(room.error.text[0], '0');
    assert_int_equal(room.guard, 'g');
}

/* Whether a text ends with a whole character of UTF-8, of which the first byte tells the length. */
static bool ends_whole(const char *text)
{
    const size_t length = strlen(text);
    size_t start = length - 1;
    while (((unsigned char)text[start] & 0xC0) == 0x80)
        start--;
    const unsigned char first = (unsigned char)text[start];
    return length - start == (first < 0x80 ? 1u : first < 0xE0 ? 2u : first < 0xF0 ? 3u : 4u);
}

static void long_words_are_cut_between_characters(void **state)
{
    (void)state;
    const char *const characters[] = {"\u00a0", "\u00e4", "\u20ac", "\U0001F309", "\u07ff", "\u0800"};
    for (size_t i = 0; i < sizeof characters / sizeof characters[0]; i++)
        for (int before = 0; before < 4; before++) {
            char words[3 * TRN_ERROR_TEXT] = "xxx";
            words[before] = '\0';
            while (strlen(words) < 2 * TRN_ERROR_TEXT)
                strcat(words, characters[i]);
            trn_error error;
            trn_error_set(&error, TRN_OUT_OF_DOMAIN, "%s", words);
            assert_true(ends_whole(error.text));
            assert_true(strlen(error.text) >= TRN_ERROR_TEXT - 5);
            assert_memory_equal(error.text, words, strlen(error.text));
        }
}

static void library_and_headers_are_of_one_version(void **state)
{
    (void)state;
    assert_string_equal(trn_version(), TRN_VERSION);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(done_is_zero),
        cmocka_unit_test(every_status_has_words_of_its_own),
        cmocka_unit_test(a_number_that_is_no_status_has_words_as_well),
        cmocka_unit_test(setting_an_error_fills_it_and_returns_the_status),
        cmocka_unit_test(setting_no_error_still_returns_the_status),
        cmocka_unit_test(long_words_are_cut_at_the_room_there_is),
        cmocka_unit_test(long_words_are_cut_between_characters),
        cmocka_unit_test(library_and_headers_are_of_one_version),
    };
    return cmocka_run_group_tests_name("status", tests, NULL, NULL);
}

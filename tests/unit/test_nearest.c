/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The word that was meant: by edits, of which a swap of neighbours is one. */
#include "assertions.h"
#include "faults.h"

/* How many edits a word is away from a text: the least number at which it is found. */
static size_t edits(const char *text, const char *word)
{
    size_t most = 0;
    while (most < 40 && dsc_nearest(text, strlen(text), most, &word, 1) == NULL) {
        most++;
    }
    return most;
}

static void letters_are_put_in_left_out_changed_and_swapped(void **state)
{
    (void)state;
    assert_int_equal(edits("degree", "degree"), 0);
    assert_int_equal(edits("degre", "degree"), 1);
    assert_int_equal(edits("egree", "degree"), 1);
    assert_int_equal(edits("degreee", "degree"), 1);
    assert_int_equal(edits("xdegree", "degree"), 1);
    assert_int_equal(edits("dagree", "degree"), 1);
    assert_int_equal(edits("edgree", "degree"), 1);
    assert_int_equal(edits("degere", "degree"), 1);
    assert_int_equal(edits("kitten", "sitting"), 3);
    assert_int_equal(edits("sunday", "saturday"), 3);
    assert_int_equal(edits("edgere", "degree"), 2);
    assert_int_equal(edits("turn", "trunnion"), 5);
    /* Each letter is edited once at most: a swap is not opened again by a letter put between. */
    assert_int_equal(edits("caxx", "abcxx"), 3);
    assert_int_equal(edits("xxca", "xxabc"), 3);
}

/* A word that shares no letter with the text was not meant, however many edits are allowed. */
static void a_word_is_not_made_anew(void **state)
{
    (void)state;
    static const char *const words[] = {"m", "km"};
    assert_null(dsc_nearest("s", 1, 5, words, 1));
    assert_null(dsc_nearest("sh", 2, 5, words, 2));
    assert_string_equal(dsc_nearest("sm", 2, 1, words, 2), "km");
    assert_null(dsc_nearest("", 0, 5, words, 2));
}

static void the_first_of_the_nearest_is_taken(void **state)
{
    (void)state;
    static const char *const words[] = {"brakes", "cases", "oases", "cakes", "case"};
    assert_string_equal(dsc_nearest("bases", 5, 2, words, 5), "cases");
    assert_string_equal(dsc_nearest("casses", 6, 2, words, 5), "cases");
    assert_string_equal(dsc_nearest("cas", 3, 2, words, 5), "case");
    /* The text need not end where its length says. */
    assert_string_equal(dsc_nearest("cakes and more", 5, 0, words, 5), "cakes");
}

static void the_edits_are_bounded(void **state)
{
    (void)state;
    static const char *const words[] = {"opening"};
    assert_string_equal(dsc_nearest("opxxing", 7, 2, words, 1), "opening");
    assert_null(dsc_nearest("opxxxng", 7, 2, words, 1));
    assert_null(dsc_nearest("opening", 7, 2, words, 0));
}

static void long_words_are_passed_over(void **state)
{
    (void)state;
    static const char *const words[] = {"a word of just 33 letters, which ", "a word of just 32 letters, which"};
    assert_int_equal(strlen(words[0]), 33);
    assert_int_equal(strlen(words[1]), 32);
    assert_string_equal(dsc_nearest(words[1], 32, 3, words, 2), words[1]);
    assert_null(dsc_nearest(words[0], 33, 3, words, 2));
    assert_null(dsc_nearest(words[1], 32, 3, words, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(letters_are_put_in_left_out_changed_and_swapped),
        cmocka_unit_test(a_word_is_not_made_anew),
        cmocka_unit_test(the_first_of_the_nearest_is_taken),
        cmocka_unit_test(the_edits_are_bounded),
        cmocka_unit_test(long_words_are_passed_over),
    };
    return cmocka_run_group_tests_name("nearest", tests, NULL, NULL);
}

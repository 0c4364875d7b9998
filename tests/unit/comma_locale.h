/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file comma_locale.h
 * A locale with a decimal comma, for tests of what must not depend on it.
 */
#ifndef TRN_TEST_COMMA_LOCALE_H
#define TRN_TEST_COMMA_LOCALE_H

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>

#include "assertions.h"

/** For an array of char that names the folder of the locale. */
#define COMMA_LOCALE_FOLDER P_tmpdir "/trunnion-locale-XXXXXX"

static inline void write_file(const char *folder, const char *name, const char *text)
{
    char path[128];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

/**
 * Set the locale, made on the spot: not every machine has one.
 * localedef warns of the categories left out, and its status says so as well.
 */
static inline void set_comma_locale(char folder[])
{
    assert_non_null(mkdtemp(folder));
    write_file(folder, "source",
               "LC_NUMERIC\ndecimal_point \",\"\nthousands_sep \".\"\ngrouping 3;3\nEND LC_NUMERIC\n");
    write_file(folder, "characters",
               "<code_set_name> MINI\n<comment_char> %\n<escape_char> /\nCHARMAP\n<U002C> /x2c COMMA\n"
               "<U002E> /x2e FULL STOP\nEND CHARMAP\n");
    /* Under an emulator localedef is that of the machine around it, whose order of bytes may be the other one. */
    const char *order = __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__ ? "--big-endian" : "--little-endian";
    char command[256];
    snprintf(command, sizeof command, "cd %s && localedef -c %s -f ./characters -i ./source ./comma >log 2>&1", folder,
             order);
    (void)!system(command);
    setenv("LOCPATH", folder, 1);
    setenv("LC_ALL", "comma", 1);
    assert_non_null(setlocale(LC_ALL, "comma"));
    assert_string_equal(localeconv()->decimal_point, ",");
}

/** Back to the C locale. */
static inline void end_comma_locale(const char *folder)
{
    char command[256];
    setlocale(LC_ALL, "C");
    unsetenv("LC_ALL");
    snprintf(command, sizeof command, "rm -r %s", folder);
    assert_int_equal(system(command), 0);
}

#endif

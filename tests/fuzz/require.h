/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What a fuzz target demands. A demand that fails ends the process with a
 * signal, which libFuzzer takes as a finding and keeps the input of.
 */
#ifndef FUZZ_REQUIRE_H
#define FUZZ_REQUIRE_H

#include <stdio.h>
#include <stdlib.h>

#define REQUIRE(condition)                                                                 \
    do {                                                                                   \
        if (!(condition)) {                                                                \
            fprintf(stderr, "%s:%d: not kept: %s\n", __FILE__, __LINE__, #condition);      \
            abort();                                                                       \
        }                                                                                  \
    } while (0)

#endif

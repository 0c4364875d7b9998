/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The entries that libFuzzer calls; it has no header of its own for C.
 */
#ifndef FUZZ_TARGET_H
#define FUZZ_TARGET_H

#include <stddef.h>
#include <stdint.h>

/* Every target has this one; replay.c calls it too. */
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* A target with a mutator of its own has these beside it. */
int LLVMFuzzerInitialize(int *argc, char ***argv);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed);

/* Given by libFuzzer: a mutation of its own. */
size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t max_size);

#endif

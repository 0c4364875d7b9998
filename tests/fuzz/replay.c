/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A plain main in place of libFuzzer's: runs a target once on each file that
 * it is given, so that the corpus is held also by builds without a fuzzer.
 */
#include <stdio.h>
#include <stdlib.h>

#include "require.h"
#include "target.h"

/* Larger than any file of the corpus: a longer one is a mistake, and must not be cut. */
#define FILE_MAX ((size_t)1024 * 1024)

static void run_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        exit(EXIT_FAILURE);
    }
    uint8_t *room = malloc(FILE_MAX);
    REQUIRE(room != NULL);
    const size_t size = fread(room, 1, FILE_MAX, file);
    REQUIRE(size < FILE_MAX && !ferror(file));
    fclose(file);

    /* Of its own size, so that the sanitizers see a step beyond the end. */
    uint8_t *data = malloc(size > 0 ? size : 1);
    REQUIRE(data != NULL);
    for (size_t i = 0; i < size; i++) {
        data[i] = room[i];
    }
    free(room);
    LLVMFuzzerTestOneInput(data, size);
    free(data);
}

int main(int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        run_file(argv[i]);
    }
    return argc > 1 ? EXIT_SUCCESS : EXIT_FAILURE;
}

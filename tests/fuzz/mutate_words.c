/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Mutations that know what a command line is made of: words ended by NULs, the tool's options and their values. */
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "option_table.h"
#include "target.h"

static const char *const values[] = {"",
                                     "-",
                                     "--",
                                     "-o",
                                     "metric.yaml",
                                     "out.csv",
                                     "p.svg",
                                     "p.gp",
                                     "1deg",
                                     "40deg",
                                     "0.001deg",
                                     "120 degree",
                                     "-1deg",
                                     "0.5 rad",
                                     "1e-300 deg",
                                     "nan",
                                     "0.5s",
                                     "2 min",
                                     "1e6",
                                     "100",
                                     "1",
                                     "2",
                                     "0",
                                     "-0",
                                     "3/8",
                                     "1/1",
                                     "8/3",
                                     "0/0",
                                     "1/100000",
                                     "metric",
                                     "us",
                                     "calm",
                                     "inf deg",
                                     "1e999",
                                     "1,5",
                                     "0x10deg",
                                     "18446744073709551615",
                                     "18446744073709551616",
                                     "1e12",
                                     "=",
                                     "power lost at 40deg",
                                     "brake out",
                                     "near switch missed",
                                     "gust 12 m/s for 8 s at 40deg",
                                     "motor out at 76deg",
                                     "12 m/s for 8 s at 20 s",
                                     "90 Pa for 8 s",
                                     "overlay: 35 kg/m2 on deck",
                                     "cable: 120 kg at [6 m, 0.9 m]",
                                     "blocks: +12 in heel pocket",
                                     "storm",
                                     "working wind",
                                     "\xC3\xBC",
                                     "\xFF",
                                     "\x1B[31m",
                                     "a\nb"};

static uint64_t dice;

static size_t roll(size_t below)
{
    dice ^= dice >> 12;
    dice ^= dice << 25;
    dice ^= dice >> 27;
    return below > 0 ? (size_t)((dice * 0x2545F4914F6CDD1DULL) >> 33) % below : 0;
}

/* Where the n-th word begins, or the end. */
static size_t word_at(const uint8_t *data, size_t size, size_t n)
{
    size_t at = 0;
    for (; n > 0 && at < size; n--) {
        while (at < size && data[at] != '\0') {
            at++;
        }
        at += at < size;
    }
    return at;
}

static size_t count_words(const uint8_t *data, size_t size)
{
    size_t count = 0;
    for (size_t i = 0; i < size; i++) {
        count += data[i] == '\0' || i + 1 == size;
    }
    return count;
}

/* Put a word, with its NUL, in place of what stands from one place to another. */
static size_t put(uint8_t *data, size_t size, size_t room, size_t from, size_t to, const char *word)
{
    const size_t length = strlen(word) + 1;
    if (size - (to - from) + length > room) {
        return size;
    }
    memmove(data + from + length, data + to, size - to);
    memcpy(data + from, word, length);
    return size - (to - from) + length;
}

static size_t drop(uint8_t *data, size_t size, size_t from, size_t to)
{
    memmove(data + from, data + to, size - to);
    return size - (to - from);
}

static void choose_word(char *word, size_t room)
{
    const option_entry *entry = &option_entries[roll(option_count)];
    const char *value = values[roll(sizeof values / sizeof *values)];
    switch (roll(6)) {
    case 0:
    case 1:
        (void)snprintf(word, room, "--%s", entry->name);
        break;
    case 2:
    case 3:
        (void)snprintf(word, room, "--%s=%s", entry->name, value);
        break;
    default:
        (void)snprintf(word, room, "%s", value);
    }
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t max_size, unsigned seed)
{
    char word[160];
    dice = seed * 2654435761ULL + 1;
    const size_t n = roll(count_words(data, size) + 1);
    const size_t from = word_at(data, size, n);
    const size_t to = word_at(data, size, n + 1);
    if (size > 0 && roll(3) == 0) {
        return LLVMFuzzerMutate(data, size, max_size);
    }
    if (n == 0) {
        return put(data, size, max_size, 0, to, commands[roll(command_count)].name);
    }
    if (roll(4) == 0) {
        return drop(data, size, from, to);
    }
    choose_word(word, sizeof word);
    return put(data, size, max_size, from, roll(2) > 0 ? from : to, word);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * What must hold of every answer of the reader, whatever the text.
 */
#ifndef FUZZ_CHECKS_H
#define FUZZ_CHECKS_H

#include <stdbool.h>
#include <stddef.h>

#include "trunnion/describe.h"
#include "trunnion/run.h"

/*
 * Read a text and hold the answer against the header: a description or
 * faults, never both, and the faults well formed. NULL where it has faults;
 * otherwise the caller frees.
 */
trn_description *read_and_check(const char *text, size_t length);

/* A message for a person: some text, ended within its room, on one line. */
void check_line(const char *text, size_t room);

/* The same, and whole characters of UTF-8, as a message about a text of UTF-8 must be. */
void check_message(const char *text, size_t room);

/* True where every character of a text is whole. */
bool is_utf8(const char *text, size_t length);

/* Faults of a text: at least one, within the text, in order, none twice, each a message. */
void check_faults(const trn_faults *faults, const char *text, size_t length);

/* What the contract promises of a leaf that was read. */
void check_leaf(const trn_leaf *leaf);

/* Every number that weigh and curve print of it is finite. */
void check_results(const trn_leaf *leaf);

/* Every run of it ends with a status or a stated end, in finite numbers: opening and closing, and with each upset. */
void check_runs(const trn_leaf *leaf);

/* The same as a setting has it, in both directions. */
void check_runs_with(const trn_leaf *leaf, trn_run_setting setting);

#endif

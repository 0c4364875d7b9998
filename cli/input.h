/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the leaf file. */
#ifndef INPUT_H
#define INPUT_H

#include "exit_status.h"
#include "options.h"
#include "trunnion/describe.h"
#include "trunnion/describe_run.h"
#include "trunnion/record.h"

/*
 * Read the leaf file, "-" for standard input. Faults are printed, one a line:
 * FILE:LINE:COLUMN: what is wrong. What there is to note of it is said. On EXIT_DONE the description must be freed.
 */
exit_status input_read(const options *asked, trn_description **description);

/* The same for the record of a balance test; on EXIT_DONE it must be freed. */
exit_status input_read_record(const char *file, trn_record *record);

/* The same for a record of wind. */
exit_status input_read_wind(const char *file, trn_wind_series *series);
/* Read a file as it is, at most so many bytes; on EXIT_DONE they must be freed. */
exit_status input_read_bytes(const char *file, size_t most, unsigned char **bytes, size_t *length);

/* The name under which messages speak of a file. */
const char *input_name(const char *file);

/*
 * Find a case by name; NULL gives the first. Where there is none of that
 * name, a sentence with the names that there are is printed.
 */
exit_status input_find_case(const trn_leaf *leaf, const char *file, const char *name, const trn_case **found);

/* Note which cases, or holdings, are worked: the one named, or else the first (NULL: all). */
void input_note_choice(const options *asked, const char *what, const char *first);

/* What a command does with a leaf that was read. */
typedef exit_status leaf_work(const options *asked, const trn_leaf *leaf);

/*
 * The leaf of a description, with the units that the options ask for; lives as long as the description. What there is
 * to warn of is said.
 */
trn_leaf input_leaf(const options *asked, const trn_description *description);

/* Read the leaf file that the options name, add what they add, work on the leaf, and let it go. */
exit_status input_with_leaf(const options *asked, leaf_work *work);

/* SHA-256 of the bytes of a file, in hexadecimal. */
enum { CHECKSUM_TEXT = 65 };

/* The same with the checksum of the leaf file, so that what is written can be traced to it. */
typedef exit_status traced_leaf_work(const options *asked, const trn_leaf *leaf, const char *checksum);
exit_status input_with_traced_leaf(const options *asked, traced_leaf_work *work);

/* Whether a surface runs from toe to heel, so that it takes the wind from the wrong side. */
bool input_surface_is_turned(const trn_surface *surface);

/* The sentence and status for a library function that failed on a leaf. */
exit_status fail_leaf(const options *asked, const trn_error *error);

#endif

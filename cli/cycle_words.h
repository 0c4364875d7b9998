/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run of the leaf in words: for tables, for messages, for the names in JSON and CSV. */
#ifndef CYCLE_WORDS_H
#define CYCLE_WORDS_H

#include "cycle.h"

extern const char *const direction_words[DIRECTIONS];

/* What was asked to happen, a line each: what follows a heading. */
void print_upsets(const cycle *of, FILE *stream);

/* Whether the wind changes in a run: then the strongest of it is to be held, also after it has died down. */
bool wind_changes(const cycle *of);

/* What of gust and record a run does not see, a line each. */
void print_wind_notes(const cycle *of, trn_direction direction, FILE *stream);

/* That the file's own holding cases are answered elsewhere. */
void print_holding_note(const cycle *of, FILE *stream);

/* The name of an end: arrived, stopped, stalled, seated, left, moving. */
const char *end_name(trn_run_end end);

/* Whether the motors run across the line, by their own curve, and no reference tells them their speed. */
bool run_by_curve(const cycle *of);

/* Whether a run ended at rest, held or not. */
bool run_rests(const trn_run *run);

/* Whether brakes have something to hold at the end of a run, so that there is a factor. */
bool has_factor(const trn_run *run);

/* When a run came to rest for good, brakes set or not; its end where it did not. */
double rest_s(const trn_run *run);

/* When it rested and the brakes were set; a record of wind may go on for long after that. */
double ready_s(const trn_run *run);

/* Room for any sentence about a run. */
enum { RUN_WORDS = 500 };

/*
 * How a run ended, at rest since when, and where, how far it ran back or past its travel and how hard it landed: the
 * end of a sentence that begins with "the leaf".
 */
const char *end_words(const cycle *of, const trn_run *run, double since_s, trn_direction direction,
                      char text[RUN_WORDS]);

/* Whether the brakes hold the leaf where it rests, what against what, and in which wind: a sentence. */
const char *hold_words(const cycle *of, const trn_run *run, char text[RUN_WORDS]);

/* That the leaf was not at creep at its full switch, and why where it could not be; empty where nothing is amiss. */
const char *creep_words(const cycle *of, const trn_run *run, char text[RUN_WORDS]);

/* What a row of a table says of the same in a few words. */
const char *short_verdict(const cycle *of, const trn_run *run, char text[RUN_WORDS]);

/* A factor of holding, or "none needed". */
const char *factor_words(double factor, char text[DISPLAY_TEXT]);

/* What an event is about beside its name: a brake, a fault, what the drive does. Empty where there is no more to say.
 */
const char *event_detail(const cycle *of, trn_direction direction, const trn_run_event *event, char text[RUN_WORDS]);

/* The name of the brake or the text of the fault of an event, NULL for other events. */
const char *event_subject(const cycle *of, trn_direction direction, const trn_run_event *event);

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file status.h
 * How a function says that it could not do its work.
 *
 * A function that can fail returns a trn_status and fills its result last, so
 * that a failed call leaves the result untouched. The library never prints,
 * never exits and keeps no global status: the words for a person go into a
 * trn_error that the caller owns.
 */
#ifndef TRN_STATUS_H
#define TRN_STATUS_H

#ifdef __cplusplus
extern "C" {
#endif

/** Every status with its text, in one list. */
#define TRN_STATUS_LIST(X)                                                  \
    X(TRN_OK, "done")                                                       \
    X(TRN_BAD_DESCRIPTION, "the description has faults")                    \
    X(TRN_MISSING_SECTION, "the description lacks a section")               \
    X(TRN_OUT_OF_DOMAIN, "a value lies outside its domain")                 \
    X(TRN_DEAD_POINT, "the mechanism has a dead point within the travel")   \
    X(TRN_LOCKED, "friction locks the mechanism within the travel")         \
    X(TRN_NO_MEMORY, "memory ran out")                                      \
    X(TRN_NO_UNITS, "the database of units could not be read")

/** What became of a call. */
typedef enum trn_status {
#define TRN_STATUS_NAME(name, text) name,
    TRN_STATUS_LIST(TRN_STATUS_NAME)
#undef TRN_STATUS_NAME
} trn_status;

/** Length of an error's text, terminating NUL included. */
#define TRN_ERROR_TEXT 320

/** What went wrong, in words: names the field, its value and its limit. */
typedef struct trn_error {
    trn_status status; /**< as the call returned it */
    char text[TRN_ERROR_TEXT]; /**< a sentence, ended by NUL */
} trn_error;

/** The general text of a status; never NULL, also for a number that is none. */
const char *trn_status_text(trn_status status);

/**
 * Fill error (which may be NULL) in the manner of printf and return status,
 * so that a failing function ends in "return trn_error_set(...)".
 */
#if defined(__GNUC__)
__attribute__((format(printf, 3, 4)))
#endif
trn_status trn_error_set(trn_error *error, trn_status status, const char *format, ...);

#ifdef __cplusplus
}
#endif

#endif

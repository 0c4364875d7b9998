/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file version.h
 * The version of the library: the one place that states it (the Makefile,
 * trunnion.pc, the man page and the tool read it from here).
 */
#ifndef TRN_VERSION_H
#define TRN_VERSION_H

#ifdef __cplusplus
extern "C" {
#endif

/** The version of these headers. */
#define TRN_VERSION "0.7.0"

/**
 * The version of the library that a program runs with, ended by NUL. While its first number is 0, structs may grow
 * from one second number to the next: a program that reaches them without these headers should hold it against the
 * version that it was written for.
 */
const char *trn_version(void);

#ifdef __cplusplus
}
#endif

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file version.h
 * The version of the library: the one place that states it (the Makefile,
 * trunnion.pc, the man page and the tool read it from here).
 */
#ifndef TRN_VERSION_H
#define TRN_VERSION_H

#define TRN_VERSION "0.5.0"

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Loops that compilers turn into vectors.
 *
 * Every operation in them is rounded by itself (no contraction), none depends
 * on how many lanes run side by side, and sums go through LANES partial sums
 * in a fixed order: the bits are the same for any width.
 */
#ifndef VECTOR_H
#define VECTOR_H

#include <stdint.h>

/* One copy of a function for each width of the machine it meets; the arch= levels are names that GCC knows from 12 on.
   A sanitizer would instrument the resolver, which runs before it is ready. */
#if defined(__x86_64__) && defined(__GLIBC__) && defined(__GNUC__) && !defined(__clang__)
#if __GNUC__ >= 12 && !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
#define WIDE __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4")))
#endif
#endif
#ifndef WIDE
#define WIDE
#endif

/* Partial sums of a sum, and the values looked at together. */
enum { LANES = 16 };

/* Samples that are worked on together where many arrays are in use. */
enum { BLOCK = 256 };

#endif

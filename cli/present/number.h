/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A number with all its digits. */
#ifndef PRESENT_NUMBER_H
#define PRESENT_NUMBER_H

enum { NUMBER_TEXT = 32 };

/* What printf("%.17g") writes and reads back to the same bits, several times as fast. */
void number_text(double value, char text[NUMBER_TEXT]);

#endif

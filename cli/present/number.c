/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "number.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

enum { FIGURES = 17, POWERS = 23 };

/* Each is a double exactly. */
static const double power_of_ten[POWERS] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                            1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};

/*
 * The 17 figures of a number, its first one worth 10^exponent, rounded from
 * the exact value, ties to even; false where these few lines do not find them.
 *
 * High + low is the number times a power of ten, exactly. High has so many
 * figures that it is whole and even: what is to be rounded is low alone.
 */
static bool find_figures(double size, int *exponent, char figures[FIGURES])
{
    *exponent = (int)floor(log10(size));
    const double power = power_of_ten[FIGURES - 1 - *exponent];
    const double high = size * power;
    const double low = fma(size, power, -high);
    int64_t whole = (int64_t)high + llrint(low);
    for (int i = FIGURES - 1; i >= 0; i--) {
        figures[i] = (char)('0' + whole % 10);
        whole /= 10;
    }
    /* The logarithm may lie on the wrong side of a power of ten. */
    return whole == 0 && figures[0] != '0';
}

/* The figures with their point, and without the zeros behind it. */
static void place_point(int exponent, const char figures[FIGURES], char *text)
{
    int count = FIGURES;
    while (figures[count - 1] == '0') {
        count--;
    }
    const int before = exponent + 1;
    const int zeros = before < 0 ? -before : 0;
    const int first = before > 0 ? before : 0;
    if (first == 0) {
        *text++ = '0';
    }
    (void)memcpy(text, figures, (size_t)first);
    text += first;
    if (count > first) {
        *text++ = '.';
        (void)memset(text, '0', (size_t)zeros);
        (void)memcpy(text + zeros, figures + first, (size_t)(count - first));
        text += zeros + count - first;
    }
    *text = '\0';
}

void number_text(double value, char text[NUMBER_TEXT])
{
    const double size = fabs(value);
    char figures[FIGURES];
    int exponent;
    /* Below, printf writes an exponent; beyond, the logarithm may round to where there is no power. */
    if (size >= 1e-4 && size < 1e16 && find_figures(size, &exponent, figures)) {
        *text = '-';
        place_point(exponent, figures, value < 0 ? text + 1 : text);
        return;
    }
    /* Whole columns are zero, and printf takes as long over them as over any number. */
    if (size > 0 || isnan(size)) {
        (void)snprintf(text, NUMBER_TEXT, "%.17g", value);
    } else {
        (void)snprintf(text, NUMBER_TEXT, "%s", signbit(value) ? "-0" : "0");
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gauss-Legendre with 12 points, for the files of this folder. */
#ifndef QUADRATURE_H
#define QUADRATURE_H

#include <stddef.h>

/* Half of the points of the interval from -1 to 1; the other half mirrors them. */
typedef struct gauss_point {
    double node;
    double weight;
} gauss_point;

enum { GAUSS_POINTS = 6 };

/* Abramowitz and Stegun, table 25.4. */
static const gauss_point gauss[GAUSS_POINTS] = {
    {0.125233408511468915472, 0.249147045813402785001}, {0.367831498998180193753, 0.233492536538354808761},
    {0.587317954286617447297, 0.203167426723065921749}, {0.769902674194304687037, 0.160078328543346226335},
    {0.904117256370474856678, 0.106939325995318430960}, {0.981560634246719250691, 0.047175336386511827195},
};

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "display.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "trunnion/balance.h"

/* Units exact by definition: NIST SP 811, B.8. */
static const double ft = 0.3048;
static const double lbf = 4.4482216152605;
static const double lb = 0.45359237;
static const double degree = 3.14159265358979323846 / 180;

static void set_metric(display *shown)
{
    *shown = (display){.of = {
                           [QUANTITY_LENGTH] = {"m", 1, 3},
                           [QUANTITY_FORCE] = {"kN", 1e-3, 0},
                           [QUANTITY_MOMENT] = {"kN m", 1e-3, 0},
                           [QUANTITY_TORQUE] = {"N m", 1, 0},
                           [QUANTITY_MASS] = {"t", 1e-3, 0},
                           [QUANTITY_INERTIA] = {"t m²", 1e-3, 0},
                           [QUANTITY_ANGLE] = {"°", 1 / degree, 2},
                           [QUANTITY_PRESSURE] = {"N/m²", 1, 2},
                           [QUANTITY_AREA] = {"m²", 1, 3},
                           [QUANTITY_RATIO] = {"", 1, 6},
                           [QUANTITY_SHARE] = {"%", 100, 1},
                           [QUANTITY_OIL_PRESSURE] = {"bar", 1e-5, 1},
                           [QUANTITY_POWER] = {"kW", 1e-3, 2},
                           [QUANTITY_WIND_SPEED] = {"km/h", 3.6, 1},
                           [QUANTITY_TIME] = {"s", 1, 2},
                           [QUANTITY_HEAT] = {"kJ", 1e-3, 3},
                           [QUANTITY_ACCELERATION] = {"°/s²", 1 / degree, 5},
                           [QUANTITY_ANGULAR_SPEED] = {"°/s", 1 / degree, 3},
                           [QUANTITY_TOE_SPEED] = {"m/s", 1, 4},
                           [QUANTITY_WORK] = {"kJ", 1e-3, 2},
                           [QUANTITY_WARMING] = {"K", 1, 1},
                       }};
}

static void set_us(display *shown)
{
    *shown = (display){.of = {
                           [QUANTITY_LENGTH] = {"ft", 1 / ft, 3},
                           [QUANTITY_FORCE] = {"kip", 1e-3 / lbf, 0},
                           [QUANTITY_MOMENT] = {"kip ft", 1e-3 / (lbf * ft), 0},
                           [QUANTITY_TORQUE] = {"lbf ft", 1 / (lbf * ft), 0},
                           [QUANTITY_MASS] = {"lb", 1 / lb, 0},
                           [QUANTITY_INERTIA] = {"kip ft s²", 1e-3 / (lbf * ft), 0},
                           [QUANTITY_ANGLE] = {"°", 1 / degree, 2},
                           [QUANTITY_PRESSURE] = {"psf", ft * ft / lbf, 3},
                           [QUANTITY_AREA] = {"ft²", 1 / (ft * ft), 2},
                           [QUANTITY_RATIO] = {"", 1, 6},
                           [QUANTITY_SHARE] = {"%", 100, 1},
                           [QUANTITY_OIL_PRESSURE] = {"psi", ft * ft / lbf / 144, 0},
                           [QUANTITY_POWER] = {"hp", 1 / (550 * ft * lbf), 2},
                           [QUANTITY_WIND_SPEED] = {"mph", 1 / 0.44704, 1},
                           [QUANTITY_TIME] = {"s", 1, 2},
                           [QUANTITY_HEAT] = {"kip ft", 1e-3 / (lbf * ft), 3},
                           [QUANTITY_ACCELERATION] = {"°/s²", 1 / degree, 5},
                           [QUANTITY_ANGULAR_SPEED] = {"°/s", 1 / degree, 3},
                           [QUANTITY_TOE_SPEED] = {"ft/s", 1 / ft, 3},
                           [QUANTITY_WORK] = {"kip ft", 1e-3 / (lbf * ft), 2},
                           [QUANTITY_WARMING] = {"°F", 1.8, 1},
                       }};
}

/* A bench leaf of a few newtons shows nothing in kilonewtons. */
static void set_small(display *shown, bool us)
{
    static const quantity thousands[] = {QUANTITY_FORCE, QUANTITY_MOMENT, QUANTITY_INERTIA, QUANTITY_HEAT,
                                         QUANTITY_WORK};
    static const char *const metric[] = {"N", "N m", "kg m²", "J", "J"};
    static const char *const american[] = {"lbf", "lbf ft", "lbf ft s²", "lbf ft", "lbf ft"};
    for (size_t i = 0; i < sizeof thousands / sizeof thousands[0]; i++) {
        shown->of[thousands[i]].unit = us ? american[i] : metric[i];
        shown->of[thousands[i]].factor *= 1e3;
    }
    shown->of[QUANTITY_POWER].unit = "W";
    shown->of[QUANTITY_POWER].factor = 1;
    shown->of[QUANTITY_WORK].decimals = 3;
    if (!us) {
        shown->of[QUANTITY_MASS].unit = "kg";
        shown->of[QUANTITY_MASS].factor = 1;
    }
}

/* Decimals that show a value of this size with five figures. */
static int decimals_for(double size)
{
    if (!(size > 0)) {
        return 2;
    }
    const double wanted = 4 - floor(log10(size));
    return (int)fmin(fmax(wanted, 0), 9);
}

static void fit(display *shown, quantity what, double size)
{
    shown->of[what].decimals = decimals_for(size * shown->of[what].factor);
}

display display_for(const trn_leaf *leaf)
{
    display shown;
    if (leaf->units == TRN_UNITS_US) {
        set_us(&shown);
    } else {
        set_metric(&shown);
    }
    const trn_balance balance = trn_leaf_balance(leaf);
    if (balance.weight_N < 1e3) {
        set_small(&shown, leaf->units == TRN_UNITS_US);
    }
    /* A leaf in perfect balance has no moment of its own to take a size from. */
    const double moment = fmax(balance.moment_Nm, 1e-3 * balance.weight_N * leaf->toe_m);
    const double ratio = leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_RATIO ? leaf->drive->ratio : 1e3;
    fit(&shown, QUANTITY_LENGTH, leaf->toe_m);
    fit(&shown, QUANTITY_FORCE, balance.weight_N / 10);
    fit(&shown, QUANTITY_MOMENT, moment);
    fit(&shown, QUANTITY_TORQUE, moment / ratio);
    fit(&shown, QUANTITY_MASS, balance.mass_kg / 10);
    fit(&shown, QUANTITY_INERTIA, balance.inertia_kg_m2);
    return shown;
}

const char *display_text(const display *shown, quantity what, double value, char text[DISPLAY_TEXT])
{
    const int decimals = shown->of[what].decimals;
    const double scaled = value * shown->of[what].factor;
    const bool shows_zero = fabs(scaled) < 0.5 * pow(10, -decimals);
    (void)snprintf(text, DISPLAY_TEXT, fabs(scaled) < 1e15 ? "%.*f" : "%.*e", decimals, shows_zero ? 0 : scaled);
    return text;
}

const char *display_friction_note(const trn_leaf *leaf)
{
    return leaf->trunnion == NULL ? " (frictionless: no trunnion is described)" : "";
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The library without any file: a leaf filled in by a program, its balance,
 * and what calm air and a steady wind ask of each motor.
 *
 *     cc without_file.c $(pkg-config --cflags --libs trunnion) -o without_file
 *
 * The leaf is invented; its friction and efficiency are from memory, check the clause.
 */
#include <stdio.h>
#include <stdlib.h>
#include <trunnion/trunnion.h>

static const double pi = 3.14159265358979323846;

enum { ANGLES = 9 };

static int print_curve(const trn_leaf *leaf, const trn_case *load_case)
{
    double angles[ANGLES];
    trn_moments rows[ANGLES];
    trn_error error;
    for (int i = 0; i < ANGLES; i++) {
        angles[i] = i * leaf->opens_to_rad / (ANGLES - 1);
    }
    if (trn_leaf_curve(leaf, load_case, angles, ANGLES, rows, &error) != TRN_OK) {
        (void)fprintf(stderr, "%s\n", error.text);
        return EXIT_FAILURE;
    }
    printf("\n%s\n  angle deg   opening kN m   closing kN m   motor opening N m\n", load_case->name);
    for (int i = 0; i < ANGLES; i++) {
        printf("  %9.2f   %12.2f   %12.2f   %17.2f\n", rows[i].angle_rad * 180 / pi, rows[i].opening_Nm / 1e3,
               rows[i].closing_Nm / 1e3, rows[i].motor_opening_Nm);
    }
    return EXIT_SUCCESS;
}

int main(void)
{
    const trn_part parts[] = {
        {.name = "span", .shape = TRN_SHAPE_BAR, .count = 1, .weight_N = 620e3, .from = {-1, 0.1}, .to = {18, 0.3}},
        {.name = "counterweight", .shape = TRN_SHAPE_POINT, .count = 1, .weight_N = 1054e3, .at = {-4.9, -0.05}},
    };
    const trn_surface deck = {
        .name = "deck", .from = {0.5, 0.6}, .to = {18, 0.6}, .width_m = 7, .solidity = 0.8, .takes_wind = true};
    const trn_journal trunnion = {.diameter_m = 0.4, .friction = {.starting = 0.18, .moving = 0.12}};
    const trn_drive drive = {.kind = TRN_DRIVE_RATIO, .ratio = 1100, .efficiency = 0.84};
    const trn_motors motors = {.installed = 2, .running = 2, .power_W = 30e3, .speed_rad_s = 870 * 2 * pi / 60};

    trn_leaf leaf = trn_default_leaf();
    leaf.name = "leaf without a file";
    leaf.opens_to_rad = 76 * pi / 180;
    leaf.toe_m = 18;
    leaf.parts = parts;
    leaf.part_count = sizeof parts / sizeof parts[0];
    leaf.surfaces = &deck;
    leaf.surface_count = 1;
    leaf.trunnion = &trunnion;
    leaf.drive = &drive;
    leaf.motors = &motors;

    const trn_balance balance = trn_leaf_balance(&leaf);
    printf("%s: %.1f kN, closed moment %.1f kN m, toe reaction %.2f kN\n", leaf.name, balance.weight_N / 1e3,
           balance.closed_moment_Nm / 1e3, balance.toe_reaction_N / 1e3);

    const trn_case calm = trn_default_case();
    trn_case windy = trn_default_case();
    windy.name = "wind of 15 m/s on the vertical projection";
    windy.wind.by_speed = true;
    windy.wind.speed_m_s = 15;
    if (print_curve(&leaf, &calm) != EXIT_SUCCESS || print_curve(&leaf, &windy) != EXIT_SUCCESS) {
        return EXIT_FAILURE;
    }
    printf("\nCaution: computed from the description alone; a licensed engineer decides, local rules govern.\n");
    return EXIT_SUCCESS;
}

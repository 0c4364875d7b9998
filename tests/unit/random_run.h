/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file random_run.h
 * Random leaves on a drive of one ratio, and what happens to them: the runs
 * that are held against the integration in oracle_run.h. All invented.
 */
#ifndef TRN_TEST_RANDOM_RUN_H
#define TRN_TEST_RANDOM_RUN_H

#include <string.h>

#include "chance.h"
#include "sample.h"
#include "trunnion/run.h"

/** What a run shows. */
typedef enum plot {
    PLOT_ORDINARY,
    PLOT_LAGS,
    PLOT_STALLS,
    PLOT_RUNS_BACK,
    PLOT_POWER_LOST,
    PLOT_PEDAL_RELEASED,
    PLOT_MOTOR_OUT,
    PLOT_NEAR_MISSED,
    PLOT_BRAKE_OUT,
    PLOT_GUST,
    PLOT_RECORD,
    PLOT_ON_LINE,
    PLOT_SEATING,
    PLOT_GUST_AT_ANGLE,
    PLOTS
} plot;

enum { RUN_PARTS = 4, RUN_SURFACES = 3, RUN_BRAKES = 2, RUN_WINDS = 12, RUN_UPSETS = 2, RUN_KNOTS = 5 };

/** A leaf and a run of it, with all that they point to; not to be moved in memory. */
typedef struct random_run {
    plot shows;
    trn_part parts[RUN_PARTS];
    trn_surface surfaces[RUN_SURFACES];
    trn_journal trunnion;
    trn_drive drive;
    trn_motors motors;
    trn_torque_point knots[RUN_KNOTS];
    trn_brake brakes[RUN_BRAKES];
    trn_travel travel;
    trn_seating seating;
    trn_case load_case;
    trn_gust gust;
    trn_wind_point winds[RUN_WINDS];
    trn_wind_record record;
    trn_upset upsets[RUN_UPSETS];
    trn_leaf leaf;
    trn_run_setting setting;
    double unbalance_Nm;  /* the most that the weight can turn it with */
    double inertia_kg_m2; /* of all of it, about */
} random_run;

static inline void give_parts(random_run *made, uint64_t *state)
{
    const double length = made->leaf.toe_m;
    const double weight = over_decades(state, 2.0, 12.0) * 1e3 * length * length / 2;
    const double heel = -between(state, 0.15, 0.3) * length;
    trn_part *parts = made->parts;
    for (int i = 0; i < RUN_PARTS; i++)
        parts[i] = trn_default_part();
    parts[0].shape = TRN_SHAPE_BAR;
    parts[0].count = whole_between(state, 1, 3);
    parts[0].weight_N = 0.7 * weight / parts[0].count;
    parts[0].from = (trn_point){heel / 2, between(state, -1.0, 0.0)};
    parts[0].to = (trn_point){length, between(state, -0.5, 0.5)};
    parts[1].shape = TRN_SHAPE_BAR;
    parts[1].weight_N = 0.3 * weight;
    parts[1].from = (trn_point){0.5, 0.8};
    parts[1].to = (trn_point){length, between(state, 0.6, 1.4)};
    parts[2].weight_N = between(state, 0.01, 0.03) * weight;
    parts[2].at = (trn_point){0.96 * length, 0.2};
    parts[2].gyration_m = 0.4;
    double a = parts[2].weight_N * parts[2].at.x;
    double b = parts[2].weight_N * parts[2].at.y;
    for (int i = 0; i < 2; i++) {
        a += parts[i].count * parts[i].weight_N * (parts[i].from.x + parts[i].to.x) / 2;
        b += parts[i].count * parts[i].weight_N * (parts[i].from.y + parts[i].to.y) / 2;
    }
    const double left_a = a * between(state, -0.01, 0.03);
    const double left_b = a * between(state, -0.03, 0.03);
    parts[3].weight_N = (left_a - a) / heel;
    parts[3].at = (trn_point){heel, (left_b - b) / parts[3].weight_N};
    parts[3].gyration_m = between(state, 0.5, 2.0);
    made->unbalance_Nm = hypot(left_a, left_b);
    made->inertia_kg_m2 = (weight * length * length / 3 + parts[3].weight_N * heel * heel) / TRN_STANDARD_GRAVITY;
    made->leaf.parts = parts;
    made->leaf.part_count = RUN_PARTS;
}

static inline void give_surfaces(random_run *made, uint64_t *state)
{
    const double length = made->leaf.toe_m;
    made->surfaces[0] = (trn_surface){.name = "deck",
                                      .from = {0.5, 0.8},
                                      .to = {length, between(state, 0.6, 1.4)},
                                      .width_m = between(state, 5.0, 14.0),
                                      .solidity = between(state, 0.3, 1.0),
                                      .takes_ice = true,
                                      .takes_wind = true};
    made->surfaces[1] = (trn_surface){.name = "screen",
                                      .from = {0.8 * length, 0.8},
                                      .to = {0.81 * length, 2.6},
                                      .width_m = 6.0,
                                      .solidity = 0.8,
                                      .takes_wind = chance(state, 0.7)};
    made->surfaces[2] = (trn_surface){.name = "heel",
                                      .from = {-0.25 * length, -1.0},
                                      .to = {-1.0, -1.4},
                                      .width_m = 8.0,
                                      .solidity = 1.0,
                                      .takes_ice = chance(state, 0.5),
                                      .takes_wind = true};
    made->leaf.surfaces = made->surfaces;
    made->leaf.surface_count = RUN_SURFACES;
}

static inline void give_case(random_run *made, uint64_t *state)
{
    trn_case *load_case = &made->load_case;
    *load_case = trn_default_case();
    load_case->wind.by_speed = chance(state, 0.5);
    load_case->wind.speed_m_s = between(state, 0.0, 9.0);
    load_case->wind.pressure_Pa = between(state, 0.0, 60.0);
    load_case->wind.coefficient = load_case->wind.by_speed ? between(state, 0.8, 1.8) : 1.0;
    load_case->wind.from = (trn_wind_side)whole_between(state, TRN_WIND_FROM_HEEL, TRN_WIND_FROM_ADVERSE);
    if (chance(state, 0.2))
        load_case->friction = TRN_FRICTION_STARTING;
    if (chance(state, 0.3))
        load_case->ice_N_m2 = between(state, 0.0, 100.0);
    made->leaf.cases = load_case;
    made->leaf.case_count = 1;
}

static inline void give_travel(random_run *made, uint64_t *state)
{
    const double opens_to = made->leaf.opens_to_rad;
    made->travel = (trn_travel){.speed_rad_s = between(state, 0.7, 2.2) * DEGREE,
                                .accelerate_in_s = between(state, 2.0, 10.0),
                                .creep = between(state, 0.08, 0.45),
                                .near_open_rad = opens_to - between(state, 9.0, 16.0) * DEGREE,
                                .near_closed_rad = between(state, 6.0, 14.0) * DEGREE,
                                .decelerate_in_s = between(state, 2.0, 7.0),
                                .full_open_rad = opens_to - between(state, 3.0, 5.0) * DEGREE};
    if (chance(state, 0.5))
        made->travel.full_closed_rad = between(state, 0.05, 2.5) * DEGREE;
    made->leaf.travel = &made->travel;
}

static inline void give_trunnion(random_run *made, uint64_t *state)
{
    made->trunnion = (trn_journal){.diameter_m = between(state, 0.2, 0.6),
                                   .friction = {.starting = between(state, 0.05, 0.2)},
                                   .drag_Nm = between(state, 0.0, 2e3)};
    made->trunnion.friction.moving = made->trunnion.friction.starting * between(state, 0.4, 0.95);
    made->leaf.trunnion = &made->trunnion;
}

static inline double roughly_needed(const random_run *made)
{
    const double wind =
        trn_wind_pressure(&made->load_case.wind) * made->surfaces[0].width_m * made->leaf.toe_m * made->leaf.toe_m / 2;
    const double speeding = made->inertia_kg_m2 * made->travel.speed_rad_s / made->travel.accelerate_in_s;
    double weight = 0;
    for (int i = 0; i < RUN_PARTS; i++)
        weight += made->parts[i].count * made->parts[i].weight_N;
    const double rubbing = made->trunnion.friction.starting * weight * made->trunnion.diameter_m / 2;
    return made->unbalance_Nm + wind + speeding + rubbing + made->trunnion.drag_Nm;
}

static inline void give_machinery(random_run *made, uint64_t *state)
{
    const double ratio = between(state, 150.0, 1500.0);
    const double efficiency = between(state, 0.65, 0.97);
    const double at_speed = made->travel.speed_rad_s * ratio;
    const bool lags = made->shows == PLOT_LAGS || made->shows == PLOT_STALLS || made->shows == PLOT_RUNS_BACK;
    const double size = lags ? between(state, 0.35, 0.7) : between(state, 0.9, 1.6);
    const double rated = roughly_needed(made) * size / (ratio * efficiency);
    const int running = whole_between(state, 1, 3);
    made->drive = (trn_drive){.kind = TRN_DRIVE_RATIO, .ratio = ratio, .efficiency = efficiency};
    made->motors = (trn_motors){.installed = running + whole_between(state, 0, 1),
                                .running = running,
                                .speed_rad_s = at_speed * between(state, 0.8, 1.2),
                                .peak = between(state, 1.0, 2.0),
                                .law = chance(state, 0.2) ? TRN_TORQUE_INDUCTION : TRN_TORQUE_CONSTANT};
    made->motors.synchronous_rad_s = fmax(made->motors.speed_rad_s, 1.1 * at_speed) * between(state, 1.02, 1.08);
    made->motors.breakdown = between(state, 1.8, 3.2);
    made->motors.power_W = rated * made->motors.speed_rad_s / running;
    made->motors.inertia_kg_m2 =
        between(state, 0.02, 0.5) * made->inertia_kg_m2 / (ratio * ratio) / made->motors.installed;
    made->leaf.drive = &made->drive;
    made->leaf.motors = &made->motors;
    const double holds = roughly_needed(made) * between(state, 0.8, 2.0);
    made->brakes[0] = (trn_brake){"motor brakes",           whole_between(state, 1, 3), 0, ratio,
                                  between(state, 0.1, 0.8), between(state, 0.1, 1.2),   0};
    made->brakes[0].torque_Nm = holds / 2 / made->brakes[0].count / ratio;
    made->brakes[1] = (trn_brake){"machinery brake",
                                  1,
                                  holds / 2 / 70.0,
                                  70.0,
                                  between(state, 0.3, 1.6),
                                  chance(state, 0.2) ? 0.0 : between(state, 0.1, 1.0),
                                  0};
    made->leaf.brakes = made->brakes;
    made->leaf.brake_count = RUN_BRAKES;
}

/* What the plot asks for. */

static inline void give_gust(random_run *made, uint64_t *state)
{
    const double crossing = made->leaf.opens_to_rad / made->travel.speed_rad_s;
    made->gust = (trn_gust){.by_speed = chance(state, 0.5),
                            .rise_m_s = between(state, 3.0, 14.0),
                            .rise_Pa = between(state, 20.0, 250.0),
                            .lasts_s = between(state, 4.0, 15.0),
                            .start_s = between(state, 0.05, 0.9) * crossing};
}

static inline void give_record(random_run *made, uint64_t *state)
{
    double time = between(state, 0.0, 3.0);
    for (int i = 0; i < RUN_WINDS; i++) {
        made->winds[i] = (trn_wind_point){time, between(state, 1.0, made->record.by_speed ? 12.0 : 90.0)};
        time += between(state, 1.0, 8.0);
    }
    made->record.points = made->winds;
    made->record.count = RUN_WINDS;
    made->setting.wind_record = &made->record;
}

static inline void add_upset(random_run *made, trn_upset_kind kind, uint64_t *state)
{
    trn_upset *upset = &made->upsets[made->setting.upset_count++];
    *upset = (trn_upset){.kind = kind, .angle_rad = between(state, 0.15, 0.8) * made->leaf.opens_to_rad};
    upset->gust = made->gust;
    made->setting.upsets = made->upsets;
}

static inline void give_seating(random_run *made, uint64_t *state)
{
    const double load = roughly_needed(made) / made->leaf.toe_m;
    made->seating = (trn_seating){.shoe_stiffness_N_m = chance(state, 0.7) ? load * between(state, 300, 3000) : 0.0};
    if (chance(state, 0.7) || made->seating.shoe_stiffness_N_m == 0) {
        made->seating.buffer_stroke_m = between(state, 0.02, 0.08);
        made->seating.buffer_preload_N = load * between(state, 0.0, 0.05);
        made->seating.buffer_stiffness_N_m = load * between(state, 0.0, 10.0);
        made->seating.buffer_damping_N_s_m = load * between(state, 0.2, 5.0);
    }
    made->leaf.seating = &made->seating;
}

static inline void go_across_the_line(random_run *made, uint64_t *state)
{
    made->motors.control = TRN_CONTROL_LINE;
    made->motors.law = TRN_TORQUE_INDUCTION;
    made->motors.synchronous_rad_s = made->travel.speed_rad_s * made->drive.ratio * between(state, 1.0, 1.2);
    made->motors.speed_rad_s = made->motors.synchronous_rad_s * between(state, 0.94, 0.98);
}

static inline void give_plot(random_run *made, uint64_t *state)
{
    made->record.by_speed = chance(state, 0.5);
    give_gust(made, state);
    switch (made->shows) {
    case PLOT_STALLS:
    case PLOT_RUNS_BACK:
        made->load_case.wind.from = TRN_WIND_FROM_ADVERSE;
        made->gust.by_speed = false;
        made->gust.lasts_s *= 3;
        made->gust.rise_Pa = roughly_needed(made) * between(state, 0.7, 6.0) /
                             (made->surfaces[0].width_m * made->leaf.toe_m * made->leaf.toe_m / 2);
        made->setting.gust = &made->gust;
        break;
    case PLOT_GUST:
        made->setting.gust = &made->gust;
        break;
    case PLOT_GUST_AT_ANGLE:
        add_upset(made, TRN_UPSET_GUST, state);
        break;
    case PLOT_RECORD:
        give_record(made, state);
        break;
    case PLOT_POWER_LOST:
        add_upset(made, chance(state, 0.5) ? TRN_UPSET_POWER_LOST : TRN_UPSET_EMERGENCY_STOP, state);
        break;
    case PLOT_PEDAL_RELEASED:
        add_upset(made, TRN_UPSET_PEDAL_RELEASED, state);
        break;
    case PLOT_MOTOR_OUT:
        add_upset(made, TRN_UPSET_MOTOR_OUT, state);
        break;
    case PLOT_NEAR_MISSED:
        add_upset(made, TRN_UPSET_NEAR_SWITCH_MISSED, state);
        break;
    case PLOT_BRAKE_OUT:
        add_upset(made, TRN_UPSET_BRAKE_OUT, state);
        add_upset(made, TRN_UPSET_POWER_LOST, state);
        break;
    case PLOT_ON_LINE:
        go_across_the_line(made, state);
        break;
    case PLOT_SEATING:
        give_seating(made, state);
        break;
    default:
        break;
    }
}

/** The run of a number: what it shows goes round with it. */
static inline void make_random_run(random_run *made, uint64_t number, trn_direction direction)
{
    uint64_t state = number * 0x2545F4914F6CDD1DU + 11;
    memset(made, 0, sizeof *made);
    made->shows = (plot)(number % PLOTS);
    made->leaf = trn_default_leaf();
    made->leaf.name = "invented";
    made->leaf.toe_m = between(&state, 9.0, 34.0);
    made->leaf.opens_to_rad = between(&state, 55.0, 88.0) * DEGREE;
    give_parts(made, &state);
    give_surfaces(made, &state);
    give_case(made, &state);
    give_travel(made, &state);
    give_trunnion(made, &state);
    give_machinery(made, &state);
    made->setting = trn_default_run_setting(&made->leaf);
    made->setting.load_case = &made->load_case;
    made->setting.direction = direction;
    give_plot(made, &state);
}

static inline const char *plot_words(plot shows)
{
    static const char *const words[PLOTS] = {
        "ordinary",    "lags",      "stalls", "runs back", "power lost", "pedal released", "motor out",
        "near missed", "brake out", "gust",   "record",    "on line",    "seating",        "gust at an angle"};
    return words[shows];
}

#endif

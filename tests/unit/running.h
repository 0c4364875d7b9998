/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file running.h
 * Runs for the unit tests: a bare rig to be filled by a test, its run, and
 * the events of a run by name.
 */
#ifndef TRN_TEST_RUNNING_H
#define TRN_TEST_RUNNING_H

#include "assertions.h"
#include "sample.h"
#include "trunnion/run.h"

#define GRAVITY 9.80665

/** A leaf of one part on a drive of one ratio, without friction, wind, loss, brakes or rotors; not to be moved. */
typedef struct rig {
    trn_part parts[2];
    trn_surface surface;
    trn_journal trunnion;
    trn_drive drive;
    trn_motors motors;
    trn_torque_point knots[2];
    trn_brake brake;
    trn_travel travel;
    trn_seating seating;
    trn_case load_case;
    trn_upset upset;
    trn_leaf leaf;
    trn_run_setting setting;
} rig;

/** A wheel of an inertia about the trunnion, in balance: nothing turns it but the drive. */
static inline void set_wheel(rig *on, double inertia_kg_m2)
{
    on->parts[0] = trn_default_part();
    on->parts[0].weight_N = inertia_kg_m2 * GRAVITY;
    on->parts[0].gyration_m = 1.0;
    on->leaf.part_count = 1;
}

/** Motors of one constant torque, at any speed that these tests come to. */
static inline void set_torque(rig *on, double torque_Nm)
{
    on->motors.speed_rad_s = 1e6;
    on->motors.power_W = torque_Nm * on->motors.speed_rad_s;
}

/** A travel of which the leaf shall never catch the reference up: it is driven at its limit all the way. */
static inline void set_hurry(rig *on)
{
    on->travel.speed_rad_s = 1e4;
    on->travel.accelerate_in_s = 1e-6;
}

static inline void set_rig(rig *on)
{
    memset(on, 0, sizeof *on);
    on->leaf = trn_default_leaf();
    on->leaf.name = "rig";
    on->leaf.opens_to_rad = 1.5;
    on->leaf.toe_m = 10.0;
    on->leaf.parts = on->parts;
    on->leaf.trunnion = &on->trunnion;
    on->leaf.drive = &on->drive;
    on->leaf.motors = &on->motors;
    on->leaf.travel = &on->travel;
    on->leaf.cases = &on->load_case;
    on->leaf.case_count = 1;
    on->drive = (trn_drive){.kind = TRN_DRIVE_RATIO, .ratio = 1.0, .efficiency = 1.0};
    on->motors = (trn_motors){.installed = 1, .running = 1, .peak = 1.0, .law = TRN_TORQUE_CONSTANT};
    on->travel = (trn_travel){.speed_rad_s = 0.02,
                              .accelerate_in_s = 8.0,
                              .creep = 0.2,
                              .near_open_rad = 1.3,
                              .near_closed_rad = 0.15,
                              .decelerate_in_s = 5.0};
    on->load_case = trn_default_case();
    set_wheel(on, 1e6);
    set_torque(on, 1e9);
    on->setting = trn_default_run_setting(&on->leaf);
    on->setting.load_case = &on->load_case;
    on->setting.tolerance = 1e-12;
}

/** A deck that the wind blows on. */
static inline void set_deck(rig *on)
{
    on->surface = (trn_surface){.to = {10.0, 0.0}, .width_m = 5.0, .solidity = 1.0, .takes_wind = true};
    on->leaf.surfaces = &on->surface;
    on->leaf.surface_count = 1;
}

/** One upset, at an angle. */
static inline void set_upset(rig *on, trn_upset_kind kind, double angle_rad)
{
    on->upset = (trn_upset){.kind = kind, .angle_rad = angle_rad};
    on->setting.upsets = &on->upset;
    on->setting.upset_count = 1;
}

static inline void set_brake(rig *on, trn_brake brake)
{
    on->brake = brake;
    on->leaf.brakes = &on->brake;
    on->leaf.brake_count = 1;
}

/** The run of a leaf; to be freed. */
static inline trn_run run_of(const trn_leaf *leaf, const trn_run_setting *setting)
{
    trn_run run;
    trn_error error = {.status = TRN_OK};
    if (trn_leaf_run(leaf, setting, &run, &error) != TRN_OK)
        fail_msg("%s", error.text);
    return run;
}

static inline trn_run rig_run(const rig *on)
{
    return run_of(&on->leaf, &on->setting);
}

static inline size_t count_events(const trn_run *run, trn_event_kind kind)
{
    size_t count = 0;
    for (size_t i = 0; i < run->event_count; i++)
        count += run->events[i].kind == kind;
    return count;
}

/** The event of a kind, the first with number 0; there has to be one. */
static inline trn_run_event event_of(const trn_run *run, trn_event_kind kind, size_t number)
{
    for (size_t i = 0; i < run->event_count; i++)
        if (run->events[i].kind == kind && number-- == 0)
            return run->events[i];
    for (size_t i = 0; i < run->event_count; i++)
        print_error("%g s, %g degree: %s\n", run->events[i].time_s, run->events[i].angle_rad / DEGREE,
                    trn_event_words(run->events[i].kind));
    fail_msg("no such event: %s", trn_event_words(kind));
    return (trn_run_event){0};
}

#endif

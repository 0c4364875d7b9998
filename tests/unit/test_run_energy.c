/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Energy over whole runs of random leaves on every kind of drive, with gusts and
 * upsets: what the motors gave is found again in what was raised, set in motion,
 * rubbed, braked, done against the wind and taken by the seat. And peaks.
 */
#include "leaf_count.h"
#include "random_machine.h"
#include "running.h"

/* Heights of the weights, from the parts themselves. */
static double height_work(const trn_part *part, trn_point pivot, trn_rotation rotation)
{
    const trn_point at = trn_part_centroid(part);
    const trn_point arm = {at.x - pivot.x, at.y - pivot.y};
    return part->count * part->weight_N * (arm.x * rotation.sine + arm.y * (rotation.cosine - 1));
}

/* Potential energy at an angle over that of the closed leaf. */
static double potential_at(const random_machine *made, double angle)
{
    const trn_leaf *leaf = &made->base.leaf;
    const trn_rotation rotation = trn_rotation_by(angle);
    double sum = 0;
    for (size_t i = 0; i < leaf->part_count; i++)
        sum += height_work(&leaf->parts[i], (trn_point){0, 0}, rotation);
    for (size_t i = 0; i < leaf->surface_count; i++) {
        const trn_surface *on = &leaf->surfaces[i];
        trn_part ice = trn_default_part();
        ice.at = (trn_point){(on->from.x + on->to.x) / 2, (on->from.y + on->to.y) / 2};
        ice.weight_N =
            made->base.load_case.ice_N_m2 * on->width_m * hypot(on->to.x - on->from.x, on->to.y - on->from.y);
        if (on->takes_ice)
            sum += height_work(&ice, (trn_point){0, 0}, rotation);
    }
    if (made->linked)
        sum +=
            height_work(&made->block, made->counterweight.pivot, trn_link_at(&made->counterweight, rotation).rotation);
    return sum;
}

static double worst_share;

static bool balances(const random_machine *made, const trn_run *run)
{
    const trn_run_work *work = &run->work;
    const double start = made->base.setting.direction == TRN_OPENING ? 0.0 : made->base.leaf.opens_to_rad;
    const double raised = potential_at(made, run->end_angle_rad) - potential_at(made, start);
    const double terms[] = {work->motors_J, -raised,         -work->kinetic_J, -work->friction_J,
                            -work->gears_J, -work->brakes_J, -work->wind_J,    -work->seat_J};
    double sum = 0;
    double largest = 0;
    for (size_t i = 0; i < COUNT(terms); i++) {
        sum += terms[i];
        largest = fmax(largest, fabs(terms[i]));
    }
    if (!(largest > 0))
        return true;
    worst_share = fmax(worst_share, fabs(sum) / largest);
    const double hair = -1e-9 * largest;
    const bool lost = work->friction_J >= 0 && work->gears_J >= hair && work->brakes_J >= 0 && work->kinetic_J >= 0;
    const bool given = work->driving_J >= hair && work->driving_J >= work->motors_J + hair;
    const bool good =
        is_near(sum, 0, 1e-8 * largest) && is_near(work->potential_J, raised, 1e-9 * largest) && lost && given;
    if (!good)
        print_error("motors %.9g (driving %.9g), raised %.9g (%.9g), kinetic %.9g, friction %.9g, gears %.9g, "
                    "brakes %.9g, wind %.9g, seat %.9g: left over %.3g of the largest\n",
                    work->motors_J, work->driving_J, work->potential_J, raised, work->kinetic_J, work->friction_J,
                    work->gears_J, work->brakes_J, work->wind_J, work->seat_J, sum / largest);
    return good;
}

/* No row of the trace lies above the peak. */
static bool peaks_hold(const trn_run *run)
{
    for (size_t i = 0; i < run->row_count; i++) {
        const trn_run_row *row = &run->rows[i];
        if (!(fabs(row->motor_Nm) <= run->peak_motor_Nm * (1 + 1e-6)) ||
            !(row->pressure_Pa <= run->peak_pressure_Pa * (1 + 1e-6))) {
            print_error("at %.9g s %.9g N m and %.9g Pa, peaks %.9g and %.9g\n", row->time_s, row->motor_Nm,
                        row->pressure_Pa, run->peak_motor_Nm, run->peak_pressure_Pa);
            return false;
        }
    }
    return run->row_count > 0;
}

static const char *const kind_words[] = {"ratio", "rack", "strut", "cylinders"};

typedef struct tally {
    size_t ends[TRN_END_MOVING + 1];
    size_t wrong;
} tally;

static void try_machine(uint64_t number, trn_direction direction, tally *of)
{
    static random_machine made;
    trn_run run;
    trn_error error;
    make_random_machine(&made, number, direction);
    made.base.setting.tolerance = 1e-11;
    made.base.setting.sample_every_s = 0.25;
    const trn_status status = trn_leaf_run(&made.base.leaf, &made.base.setting, &run, &error);
    if (status == TRN_LOCKED)
        return; /* a rack or a strut may lock by friction */
    if (status != TRN_OK || !balances(&made, &run) || !peaks_hold(&run)) {
        print_error("machine %d %s, %s%s, %s: %s\n", (int)number, direction == TRN_OPENING ? "opening" : "closing",
                    kind_words[made.kind], made.linked ? " with a linked counterweight" : "",
                    plot_words(made.base.shows),
                    status == TRN_OK ? "does not balance, or lies above its peak" : error.text);
        of->wrong++;
    }
    if (status == TRN_OK) {
        of->ends[run.end]++;
        trn_run_free(&run);
    }
}

enum { MACHINES = 300 };

static void motors_give_what_is_raised_lost_and_taken(void **state)
{
    (void)state;
    const uint64_t machines = leaf_count(MACHINES);
    tally of = {.wrong = 0};
    for (uint64_t number = 0; number < machines; number++) {
        try_machine(number, TRN_OPENING, &of);
        try_machine(number, TRN_CLOSING, &of);
    }
    print_message("# %zu arrived, %zu stopped, %zu stalled, %zu seated, %zu left, %zu moving: largest residual %.1e\n",
                  of.ends[0], of.ends[1], of.ends[2], of.ends[3], of.ends[4], of.ends[5], worst_share);
    assert_int_equal(of.wrong, 0);
    /* Enough of them, where not fewer were asked for, that each way to end was seen; none is given up. */
    assert_int_equal(of.ends[TRN_END_MOVING], 0);
    for (int end = TRN_END_ARRIVED; machines >= MACHINES && end <= TRN_END_LEFT; end++)
        assert_true(of.ends[end] > 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(motors_give_what_is_raised_lost_and_taken),
    };
    return cmocka_run_group_tests_name("run energy", tests, NULL, NULL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The two ways to ask about motion: which acceleration a torque leaves, and
 * which torque an acceleration takes. What one says the other must bear out,
 * friction that follows the driving force included.
 */
#include "assertions.h"

#include "../../lib/mechanics/motion.h"
#include "leaf_count.h"
#include "random_machine.h"

static bool prepare(random_machine *made, uint64_t number, trn_direction direction, motion *of)
{
    make_random_machine(made, number, direction);
    trn_leaf *leaf = &made->base.leaf;
    leaf->seating = NULL;
    *of = (motion){.load_case = made->base.load_case, .commanded = direction, .sense = direction};
    of->running = leaf->motors != NULL ? leaf->motors->running : 0;
    return trn_loading_prepare(leaf, &of->load_case, &of->loading, NULL) == TRN_OK;
}

static void check_both_ways(motion *of, double angle, double speed)
{
    const double sign = of->commanded == TRN_OPENING ? 1 : -1;
    for (int side = -1; side <= 1; side += 2) {
        of->mode = MODE_LIMIT;
        of->side = side;
        const motion_now at_limit = motion_at(of, 0, angle, sign * speed);
        of->mode = MODE_FOLLOW;
        of->reference = (straight){0, speed, sign * at_limit.acceleration_rad_s2};
        const motion_now following = motion_at(of, 0, angle, sign * speed);
        const double size = fmax(at_limit.drive_limit_Nm, at_limit.hold_limit_Nm);
        const double wanted = side > 0 ? at_limit.drive_limit_Nm : -at_limit.hold_limit_Nm;
        assert_close(at_limit.motor_Nm, wanted, 0);
        assert_close_at(following.motor_Nm, wanted, 1e-11, size);
        assert_close_at(following.net_Nm, at_limit.net_Nm, 1e-11, size);
        assert_close(following.acceleration_rad_s2, at_limit.acceleration_rad_s2, 1e-14);
        assert_close(following.flows[FRICTION], at_limit.flows[FRICTION], 1e-11);
    }
}

static void a_torque_and_the_acceleration_that_it_leaves_belong_together(void **state)
{
    (void)state;
    static random_machine made;
    motion of;
    const uint64_t machines = leaf_count(200);
    for (uint64_t number = 0; number < 2 * machines; number++) {
        if (!prepare(&made, number / 2, number % 2 == 0 ? TRN_OPENING : TRN_CLOSING, &of))
            continue; /* a rack or a strut may lock by friction */
        for (int part = 1; part < 4; part++)
            check_both_ways(&of, made.base.leaf.opens_to_rad * part / 4, made.base.travel.speed_rad_s * part / 3);
    }
}

/* The oil of a shut cylinder holds by the area that the leaf presses it on. */
static void oil_holds_by_the_area_that_is_pressed(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        const trn_drive drive = cylinders_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(&drive);
        leaf.motors = NULL;
        const trn_case still = trn_default_case();
        const motion of = {.loading = loading_of(&leaf, &still), .load_case = still};
        const double arm = trn_drive_at(&drive, trn_rotation_by(0.5)).arm_m;
        const double bore = 2 * HALF_TURN / 4 * 0.28 * 0.28;
        const double ring = bore - 2 * HALF_TURN / 4 * 0.18 * 0.18;
        /* An opening leaf pulls a cylinder out that lengthens, and is held by its ring. */
        const double opening = 250e5 * fabs(arm) * (arm > 0 ? ring : bore);
        const double closing = 250e5 * fabs(arm) * (arm > 0 ? bore : ring);
        assert_close(motion_oil_grip(&of, 0.5, TRN_OPENING), opening, 1e-13);
        assert_close(motion_oil_grip(&of, 0.5, TRN_CLOSING), closing, 1e-13);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_torque_and_the_acceleration_that_it_leaves_belong_together),
        cmocka_unit_test(oil_holds_by_the_area_that_is_pressed),
    };
    return cmocka_run_group_tests_name("motion", tests, NULL, NULL);
}

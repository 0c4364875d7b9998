/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * A driven leaf in equilibrium, friction included: the reaction is what the
 * forces leave over, and moments vanish about the trunnion and elsewhere. The
 * forces are summed here from the geometry, not as the library does it.
 */
#include "machinery.h"
#include "trunnion/balance.h"
#include "trunnion/ice.h"

typedef struct run {
    const trn_leaf *leaf;
    const trn_case *load_case;
    trn_loading loading;
    trn_moments row;
    trn_direction direction;
} run;

static double of_direction(const run *in, double opening, double closing)
{
    return in->direction == TRN_OPENING ? opening : closing;
}

/* Everything on the leaf but the drive and the trunnion. */
static statics loads_on(const run *in)
{
    trn_rotation rotation = trn_rotation_by(in->row.angle_rad);
    double sign = of_direction(in, 1, -1);
    statics on = {{0, 0}, 0};
    add_weight(&on, trn_leaf_body(in->leaf), (trn_point){0, 0}, rotation);
    add_weight(&on, trn_ice_body(in->leaf->surfaces, in->leaf->surface_count, in->load_case->ice_N_m2),
               (trn_point){0, 0}, rotation);
    trn_wind_action wind = trn_loading_wind(&in->loading, in->direction, in->row.angle_rad);
    on.force.x += wind.force.x;
    on.force.y += wind.force.y;
    add_couple(&on, -wind.moment_Nm);
    double inertia = trn_leaf_body(in->leaf).inertia_kg_m2 +
                     trn_ice_body(in->leaf->surfaces, in->leaf->surface_count, in->load_case->ice_N_m2).inertia_kg_m2;
    add_couple(&on, -sign * inertia * (in->load_case->accelerating ? 0.02 / 8.0 : 0.0));
    return on;
}

/* The strut's force at its pin, or the tooth's at the pitch point: tangent and push apart. */
static void add_drive_force(statics *on, const run *in)
{
    const trn_drive *drive = in->leaf->drive;
    double force = of_direction(in, in->row.force_opening_N, in->row.force_closing_N);
    if (drive->kind == TRN_DRIVE_RATIO) {
        trn_point outward = {cos(drive->rack.pinion_rad), sin(drive->rack.pinion_rad)};
        trn_point mesh = {drive->rack.radius_m * outward.x, drive->rack.radius_m * outward.y};
        double push = fabs(force) * tan(drive->rack.pressure_angle_rad);
        add_force(on, mesh, (trn_point){-force * outward.y - push * outward.x, force * outward.x - push * outward.y});
        return;
    }
    bool strut = drive->kind == TRN_DRIVE_STRUT;
    trn_point pin = strut ? drive->strut.on_leaf : drive->cylinder.on_leaf;
    trn_point fixed = strut ? drive->strut.pinion : drive->cylinder.anchor;
    trn_point at = trn_point_rotate(pin, trn_rotation_by(in->row.angle_rad));
    double length = size_of_point(minus(at, fixed));
    add_force(on, at, (trn_point){force * (at.x - fixed.x) / length, force * (at.y - fixed.y) / length});
}

static void check_equilibrium(const run *in)
{
    statics on = loads_on(in);
    add_drive_force(&on, in);
    double reaction = of_direction(in, in->row.reaction_opening_N, in->row.reaction_closing_N);
    assert_close(reaction, size_of_point(on.force), 1e-12);
    /* The trunnion's own force at its axis, and its friction against the motion. */
    trn_point from_trunnion = {-on.force.x, -on.force.y};
    add_force(&on, (trn_point){0, 0}, from_trunnion);
    double coefficient = in->load_case->friction == TRN_FRICTION_STARTING ? 0.18 : 0.12;
    add_couple(&on, -of_direction(in, 1, -1) * (coefficient * reaction * 0.24 + 700.0));
    double scale = fabs(in->row.balance_Nm) + fabs(in->row.ice_Nm) + fabs(in->row.friction_opening_Nm) +
                   fabs(in->row.wind_opening_Nm) + fabs(in->row.inertia_Nm);
    const trn_point about[] = {{0, 0}, pin_pairs[0].pin, pin_pairs[2].fixed, {24, 3}};
    for (size_t i = 0; i < COUNT(about); i++)
        assert_near(moment_about(&on, about[i]), 0.0, 1e-9 * scale);
}

static void check_leaf(const trn_leaf *leaf, const trn_case *load_case)
{
    run in = {.leaf = leaf, .load_case = load_case, .loading = loading_of(leaf, load_case)};
    for (int degrees = 0; degrees <= 76; degrees += 2) {
        in.row = trn_loading_moments(&in.loading, degrees * DEGREE);
        for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
            in.direction = (trn_direction)direction;
            check_equilibrium(&in);
        }
    }
}

static void check_drive(const trn_drive *drive)
{
    trn_leaf leaf = driven_leaf(drive);
    trn_case still = trn_default_case();
    check_leaf(&leaf, &still);
    trn_case rough = rough_case();
    for (int side = TRN_WIND_FROM_HEEL; side <= TRN_WIND_FROM_ADVERSE; side++) {
        rough.wind.from = (trn_wind_side)side;
        check_leaf(&leaf, &rough);
    }
}

static void a_leaf_on_a_strut_is_in_equilibrium(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        check_drive(&drive);
    }
}

static void a_leaf_on_cylinders_is_in_equilibrium(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = cylinders_between(pin_pairs[i]);
        check_drive(&drive);
    }
}

static void a_leaf_on_a_rack_is_in_equilibrium(void **state)
{
    (void)state;
    for (int pinion = -150; pinion <= 180; pinion += 30) {
        trn_drive drive = rack_at(1.5, pinion * DEGREE, 20 * DEGREE);
        check_drive(&drive);
    }
}

static void terms_add_up_to_the_demands_with_a_force_in_the_reaction(void **state)
{
    (void)state;
    trn_drive drive = strut_between(pin_pairs[0]);
    trn_leaf leaf = driven_leaf(&drive);
    trn_case rough = rough_case();
    trn_loading loading = loading_of(&leaf, &rough);
    for (int degrees = 0; degrees <= 76; degrees += 4) {
        trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
        double opening =
            row.balance_Nm + row.wind_opening_Nm + row.ice_Nm + row.friction_opening_Nm + row.inertia_Nm;
        double closing =
            -row.balance_Nm - row.wind_closing_Nm - row.ice_Nm + row.friction_closing_Nm + row.inertia_Nm;
        assert_close_at(row.opening_Nm, opening, 1e-13, 1e7);
        assert_close_at(row.closing_Nm, closing, 1e-13, 1e7);
        assert_near(row.friction_opening_Nm, 0.18 * 0.24 * row.reaction_opening_N + 700.0, 1e-6);
        assert_near(row.friction_closing_Nm, 0.18 * 0.24 * row.reaction_closing_N + 700.0, 1e-6);
    }
}

/* One part, one strut, at a right angle: 3-4-5 with the forces by hand. */
static void the_force_of_a_strut_in_the_triangle_3_4_5(void **state)
{
    (void)state;
    trn_part weight = trn_default_part();
    weight.name = "weight";
    weight.weight_N = 120e3;
    weight.at = (trn_point){6.0, 0.0};
    trn_drive drive = strut_between((pin_pair){{4.0, 0.0}, {0.0, -3.0}});
    trn_leaf leaf = driven_leaf(&drive);
    leaf.trunnion = NULL;
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    trn_case still = trn_default_case();
    trn_loading loading = loading_of(&leaf, &still);
    trn_moments row = trn_loading_moments(&loading, 0.0);
    /* arm 4 * 3/5 = 2.4 m; 720 kN m / 2.4 m = 300 kN, of which 240 kN along x and 180 kN up */
    assert_close(row.force_opening_N, 300e3, 1e-14);
    assert_close(row.force_closing_N, 300e3, 1e-14);
    assert_close(row.reaction_opening_N, hypot(240e3, 60e3), 1e-14);
    assert_near(row.friction_opening_Nm, 0.0, 0.0);
}

/* Without friction opening and closing ask the same of the drive, with the sign turned. */
static void without_friction_the_drive_force_does_not_know_the_direction(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    rough.accelerating = false;
    rough.wind.from = TRN_WIND_FROM_HEEL;
    for (size_t i = 0; i < COUNT(pin_pairs); i++) {
        trn_drive drive = strut_between(pin_pairs[i]);
        trn_leaf leaf = driven_leaf(&drive);
        leaf.trunnion = NULL;
        trn_loading loading = loading_of(&leaf, &rough);
        for (int degrees = 0; degrees <= 76; degrees += 4) {
            trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
            assert_close(row.force_opening_N, row.force_closing_N, 1e-13);
            assert_close(row.reaction_opening_N, row.reaction_closing_N, 1e-13);
            assert_close(row.opening_Nm, -row.closing_Nm, 1e-13);
        }
    }
}

static void a_strut_that_carries_part_of_the_weight_unloads_the_trunnion(void **state)
{
    (void)state;
    /* A strut from right below the leaf pushes straight up on a toe-heavy leaf. */
    trn_part weight = trn_default_part();
    weight.name = "weight";
    weight.weight_N = 100e3;
    weight.at = (trn_point){5.0, 0.0};
    trn_drive drive = strut_between((pin_pair){{5.0, 0.0}, {5.0, -9.0}});
    trn_leaf leaf = driven_leaf(&drive);
    leaf.parts = &weight;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    trn_journal dry = machinery_journal;
    dry.drag_Nm = 0.0;
    leaf.trunnion = &dry;
    trn_case still = trn_default_case();
    trn_loading loading = loading_of(&leaf, &still);
    trn_moments row = trn_loading_moments(&loading, 0.0);
    assert_near(row.reaction_opening_N, 0.0, 1e-6);
    assert_close(row.force_opening_N, 100e3, 1e-12);
    assert_near(row.friction_opening_Nm, 0.0, 1e-6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_leaf_on_a_strut_is_in_equilibrium),
        cmocka_unit_test(a_leaf_on_cylinders_is_in_equilibrium),
        cmocka_unit_test(a_leaf_on_a_rack_is_in_equilibrium),
        cmocka_unit_test(terms_add_up_to_the_demands_with_a_force_in_the_reaction),
        cmocka_unit_test(the_force_of_a_strut_in_the_triangle_3_4_5),
        cmocka_unit_test(without_friction_the_drive_force_does_not_know_the_direction),
        cmocka_unit_test(a_strut_that_carries_part_of_the_weight_unloads_the_trunnion),
    };
    return cmocka_run_group_tests_name("equilibrium", tests, NULL, NULL);
}

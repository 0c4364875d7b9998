/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A leaf with a linked counterweight: balance, inertia, weighing, and both bodies in equilibrium. */
#include "linkage.h"
#include "trunnion/balance.h"
#include "trunnion/ice.h"

/* The sample without its own block and pockets, which the linked counterweight stands in for. */
static trn_leaf linked_leaf(const trn_linked_counterweight *linked, const trn_drive *drive)
{
    trn_leaf leaf = driven_leaf(drive);
    leaf.linked_counterweight = linked;
    leaf.part_count = COUNT(sample_parts) - 1;
    leaf.pocket_count = 0;
    return leaf;
}

/* Height of all weights times their weight, and half the square of all speeds at one radian per second. */
static double potential_energy(double angle_rad, void *context)
{
    const trn_leaf *leaf = context;
    trn_linked_counterweight linked = *leaf->linked_counterweight;
    trn_body body = trn_leaf_body(leaf);
    trn_body other = trn_link_body(&linked);
    double psi = psi_at(angle_rad, &linked);
    return body.a_Nm * sin(angle_rad) + body.b_Nm * cos(angle_rad) + other.a_Nm * sin(psi) + other.b_Nm * cos(psi);
}

static void the_balance_is_the_slope_of_the_potential_energy(void **state)
{
    (void)state;
    trn_case still = trn_default_case();
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        trn_leaf leaf = linked_leaf(&linked, NULL);
        trn_loading loading = loading_of(&leaf, &still);
        for (int degrees = 1; degrees <= 76; degrees += 3) {
            double want = slope_of(potential_energy, &leaf, degrees * DEGREE);
            assert_close_at(trn_loading_balance(&loading, degrees * DEGREE), want, 1e-8, 1e7);
            assert_same_bits(trn_loading_moments(&loading, degrees * DEGREE).balance_Nm,
                             trn_loading_balance(&loading, degrees * DEGREE));
        }
    }
}

static void the_inertia_is_twice_the_kinetic_energy_at_one_radian_per_second(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        trn_leaf leaf = linked_leaf(&linked, NULL);
        trn_loading loading = loading_of(&leaf, &rough);
        double ice = trn_ice_body(leaf.surfaces, leaf.surface_count, 120.0).inertia_kg_m2;
        for (int degrees = 1; degrees <= 76; degrees += 3) {
            double turning = slope_of(psi_at, &linked, degrees * DEGREE);
            double want = trn_leaf_body(&leaf).inertia_kg_m2 + ice +
                          trn_link_body(&linked).inertia_kg_m2 * turning * turning;
            assert_close(trn_loading_inertia(&loading, degrees * DEGREE), want, 1e-8);
            assert_close(trn_loading_moments(&loading, degrees * DEGREE).inertia_Nm, want * 0.0025, 1e-8);
        }
    }
}

/* The counterweight of a parallelogram bolted to the leaf: all its parts moved by minus the pivot. */
typedef struct bolted {
    trn_part parts[SAMPLE_MAX];
    trn_pocket pocket;
    trn_leaf leaf;
} bolted;

static void bolt_on(bolted *into, const trn_leaf *leaf, trn_point pivot)
{
    memcpy(into->parts, leaf->parts, leaf->part_count * sizeof leaf->parts[0]);
    for (size_t i = 0; i < COUNT(linkage_parts); i++) {
        trn_part *part = &into->parts[leaf->part_count + i];
        *part = linkage_parts[i];
        part->at = minus(part->at, pivot);
        part->from = minus(part->from, pivot);
        part->to = minus(part->to, pivot);
    }
    into->pocket = linkage_pockets[0];
    into->pocket.at = minus(into->pocket.at, pivot);
    into->leaf = *leaf;
    into->leaf.linked_counterweight = NULL;
    into->leaf.parts = into->parts;
    into->leaf.part_count = leaf->part_count + COUNT(linkage_parts);
    into->leaf.pockets = &into->pocket;
    into->leaf.pocket_count = 1;
}

static void a_parallelogram_has_the_curve_of_a_fixed_counterweight(void **state)
{
    (void)state;
    trn_point pivot = {-9, 6};
    trn_linked_counterweight linked = parallelogram(pivot, (trn_point){-5, 1});
    trn_drive drive = rack_at(0, 0, 0);
    trn_leaf leaf = linked_leaf(&linked, &drive);
    leaf.trunnion = NULL;
    linked.journal = (trn_journal){0};
    bolted fixed;
    bolt_on(&fixed, &leaf, pivot);
    trn_case rough = rough_case();
    trn_loading a = loading_of(&leaf, &rough);
    trn_loading b = loading_of(&fixed.leaf, &rough);
    for (int degrees = 0; degrees <= 76; degrees++) {
        trn_moments one = trn_loading_moments(&a, degrees * DEGREE);
        trn_moments other = trn_loading_moments(&b, degrees * DEGREE);
        assert_close_at(one.balance_Nm, other.balance_Nm, 1e-12, 1e7);
        assert_close(one.inertia_Nm, other.inertia_Nm, 1e-12);
        assert_close_at(one.opening_Nm, other.opening_Nm, 1e-12, 1e7);
        assert_close_at(one.closing_Nm, other.closing_Nm, 1e-12, 1e7);
        assert_close_at(one.motor_opening_Nm, other.motor_opening_Nm, 1e-12, 1e4);
        assert_true(one.has_link);
        assert_false(other.has_link);
    }
}

static void a_parallelogram_weighs_as_a_fixed_counterweight_but_for_its_place(void **state)
{
    (void)state;
    trn_point pivot = {-9, 6};
    trn_linked_counterweight linked = parallelogram(pivot, (trn_point){-5, 1});
    trn_leaf leaf = linked_leaf(&linked, NULL);
    bolted fixed;
    bolt_on(&fixed, &leaf, pivot);
    trn_balance one = trn_leaf_balance(&leaf);
    trn_balance other = trn_leaf_balance(&fixed.leaf);
    double moved = trn_link_body(&linked).weight_N / other.weight_N;
    assert_close(one.weight_N, other.weight_N, 1e-14);
    assert_close(one.mass_kg, other.weight_N / 9.80665, 1e-14);
    assert_close_at(one.closed_moment_Nm, other.closed_moment_Nm, 1e-12, 1e7);
    assert_close_at(one.moment_Nm, other.moment_Nm, 1e-12, 1e7);
    assert_near(one.angle_rad, other.angle_rad, 1e-11);
    assert_close(one.inertia_kg_m2, other.inertia_kg_m2, 1e-13);
    assert_close_at(one.toe_reaction_N, other.toe_reaction_N, 1e-12, 1e6);
    assert_near(one.centre.x, other.centre.x + moved * pivot.x, 1e-12);
    assert_near(one.centre.y, other.centre.y + moved * pivot.y, 1e-12);
    assert_int_equal(one.has_neutral_angle, other.has_neutral_angle);
    assert_near(one.neutral_angle_rad, other.neutral_angle_rad, 1e-10);
}

static double balance_at(double angle_rad, void *loading)
{
    return trn_loading_balance(loading, angle_rad);
}

static void weighing_gives_the_moment_and_its_slope_closed_and_where_it_changes_sign(void **state)
{
    (void)state;
    trn_case still = trn_default_case();
    int neutral = 0;
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        trn_leaf leaf = linked_leaf(&linked, NULL);
        trn_loading loading = loading_of(&leaf, &still);
        trn_balance got = trn_leaf_balance(&leaf);
        double closed = balance_at(0, &loading);
        double slope = slope_of(balance_at, &loading, 0.0);
        assert_close_at(got.closed_moment_Nm, closed, 1e-12, 1e7);
        assert_close_at(got.moment_Nm, hypot(closed, slope), 1e-7, 1e7);
        assert_close_at(got.moment_Nm * sin(got.angle_rad), -slope, 1e-7, 1e7);
        assert_close(got.inertia_kg_m2, trn_loading_inertia(&loading, 0), 1e-12);
        assert_close_at(got.toe_reaction_N, closed / 24.0, 1e-12, 1e6);
        if (got.has_neutral_angle) {
            assert_near(balance_at(got.neutral_angle_rad, &loading), 0.0, 1e-3);
            neutral++;
        } else {
            for (int degrees = 1; degrees <= 76; degrees++)
                assert_true(balance_at(degrees * DEGREE, &loading) * closed > 0);
        }
    }
    assert_true(neutral > 0 && neutral < (int)COUNT(four_bars));
}

/* The counterweight alone: weight, link, friction of its trunnion, what its speeding up takes. */
static double check_counterweight(const trn_leaf *leaf, double angle_rad, trn_direction direction, double pull_N,
                                  double reaction_N)
{
    trn_linked_counterweight linked = *leaf->linked_counterweight;
    trn_body body = trn_link_body(&linked);
    trn_link_state at = trn_link_at(&linked, trn_rotation_by(angle_rad));
    double turning = (direction == TRN_OPENING ? 1 : -1) * at.rate;
    statics on = {{0, 0}, 0};
    add_weight(&on, body, linked.pivot, at.rotation);
    add_force(&on, at.pin_on_counterweight, (trn_point){pull_N * at.along.x, pull_N * at.along.y});
    assert_close(reaction_N, size_of_point(on.force), 1e-12);
    add_force(&on, linked.pivot, (trn_point){-on.force.x, -on.force.y});
    double friction = 0.18 * reaction_N * linked.journal.diameter_m / 2;
    add_couple(&on, turning > 0 ? -friction : friction);
    add_couple(&on, -body.inertia_kg_m2 * turning * 0.0025);
    assert_near(moment_about(&on, linked.pivot), 0.0, 1e-9 * 1e7);
    assert_near(moment_about(&on, at.pin_on_counterweight), 0.0, 1e-9 * 1e7);
    return friction * fabs(at.rate);
}

/* The leaf alone, with the link's pull at its pin and the drive's force where it acts. */
static void check_leaf(const trn_loading *loading, const trn_moments *row, trn_direction direction, double own_friction)
{
    const trn_leaf *leaf = loading->leaf;
    bool opening = direction == TRN_OPENING;
    trn_rotation rotation = trn_rotation_by(row->angle_rad);
    trn_link_state at = trn_link_at(leaf->linked_counterweight, rotation);
    statics on = {{0, 0}, 0};
    add_weight(&on, loading->body, (trn_point){0, 0}, rotation);
    add_weight(&on, loading->ice, (trn_point){0, 0}, rotation);
    trn_wind_action wind = trn_loading_wind(loading, direction, row->angle_rad);
    on.force.x += wind.force.x;
    on.force.y += wind.force.y;
    add_couple(&on, -wind.moment_Nm);
    double pull = opening ? row->link_opening_N : row->link_closing_N;
    add_force(&on, at.pin_on_leaf, (trn_point){-pull * at.along.x, -pull * at.along.y});
    double push = opening ? row->force_opening_N : row->force_closing_N;
    trn_point pin = trn_point_rotate(leaf->drive->strut.on_leaf, rotation);
    trn_point strut = minus(pin, leaf->drive->strut.pinion);
    double length = size_of_point(strut);
    add_force(&on, pin, (trn_point){push * strut.x / length, push * strut.y / length});
    double reaction = opening ? row->reaction_opening_N : row->reaction_closing_N;
    assert_close(reaction, size_of_point(on.force), 1e-12);
    assert_close(own_friction, 0.18 * 0.24 * reaction + 700.0, 1e-9);
    add_force(&on, (trn_point){0, 0}, (trn_point){-on.force.x, -on.force.y});
    add_couple(&on, opening ? -own_friction : own_friction);
    double inertia = (loading->body.inertia_kg_m2 + loading->ice.inertia_kg_m2) * 0.0025;
    add_couple(&on, opening ? -inertia : inertia);
    assert_near(moment_about(&on, (trn_point){0, 0}), 0.0, 1e-9 * 1e7);
    assert_near(moment_about(&on, at.pin_on_leaf), 0.0, 1e-9 * 1e7);
    assert_near(moment_about(&on, pin), 0.0, 1e-9 * 1e7);
}

static void both_bodies_are_in_equilibrium_with_the_link_between_them(void **state)
{
    (void)state;
    trn_case rough = rough_case();
    for (size_t i = 0; i < COUNT(four_bars); i++)
        for (size_t j = 0; j < COUNT(pin_pairs); j++) {
            trn_linked_counterweight linked = counterweight_on(four_bars[i]);
            trn_drive drive = strut_between(pin_pairs[j]);
            trn_leaf leaf = linked_leaf(&linked, &drive);
            trn_loading loading = loading_of(&leaf, &rough);
            for (int degrees = 0; degrees <= 76; degrees += 4) {
                trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
                double opening = check_counterweight(&leaf, degrees * DEGREE, TRN_OPENING, row.link_opening_N,
                                                     row.counterweight_reaction_opening_N);
                double closing = check_counterweight(&leaf, degrees * DEGREE, TRN_CLOSING, row.link_closing_N,
                                                     row.counterweight_reaction_closing_N);
                check_leaf(&loading, &row, TRN_OPENING, row.friction_opening_Nm - opening);
                check_leaf(&loading, &row, TRN_CLOSING, row.friction_closing_Nm - closing);
            }
        }
}

static void friction_of_the_counterweights_trunnion_comes_to_the_leaf_by_the_rate(void **state)
{
    (void)state;
    trn_case still = trn_default_case();
    for (size_t i = 0; i < COUNT(four_bars); i++) {
        trn_linked_counterweight linked = counterweight_on(four_bars[i]);
        trn_leaf leaf = linked_leaf(&linked, NULL);
        leaf.trunnion = NULL;
        trn_loading loading = loading_of(&leaf, &still);
        for (int degrees = 1; degrees <= 76; degrees += 5) {
            trn_moments row = trn_loading_moments(&loading, degrees * DEGREE);
            double rate = fabs(slope_of(psi_at, &linked, degrees * DEGREE));
            assert_close(row.friction_opening_Nm, 0.12 * row.counterweight_reaction_opening_N * 0.15 * rate, 1e-8);
            assert_close(row.friction_closing_Nm, 0.12 * row.counterweight_reaction_closing_N * 0.15 * rate, 1e-8);
            assert_true(row.friction_closing_Nm > 0);
        }
    }
}

/* A weight on the leaf and one on its counterweight that balance one another more than once. */
static void the_first_of_several_neutral_angles_is_named(void **state)
{
    (void)state;
    const struct {
        size_t bars;
        trn_point on_leaf;
        trn_point on_counterweight;
    } balanced[] = {{2, {4.922, -0.439}, {-15.124, 5.345}}, {0, {4.302, -0.213}, {-14.808, 3.556}},
                    {0, {2.905, 0.243}, {-12.655, 4.580}}};
    trn_case still = trn_default_case();
    for (size_t i = 0; i < COUNT(balanced); i++) {
        trn_part parts[] = {trn_default_part(), trn_default_part()};
        trn_linked_counterweight linked = counterweight_on(four_bars[balanced[i].bars]);
        trn_leaf leaf = linked_leaf(&linked, NULL);
        parts[0].weight_N = parts[1].weight_N = 1e6;
        parts[0].at = balanced[i].on_leaf;
        parts[1].at = balanced[i].on_counterweight;
        leaf.parts = &parts[0];
        linked.parts = &parts[1];
        leaf.part_count = linked.part_count = 1;
        linked.pocket_count = 0;
        trn_balance balance = trn_leaf_balance(&leaf);
        trn_loading loading = loading_of(&leaf, &still);
        double closed = trn_loading_balance(&loading, 0);
        assert_true(balance.has_neutral_angle);
        assert_true(balance.neutral_angle_rad < 20 * DEGREE);
        assert_near(trn_loading_balance(&loading, balance.neutral_angle_rad), 0.0, 1e-13 * 1e7);
        for (int k = 0; k < 100; k++)
            assert_true(trn_loading_balance(&loading, balance.neutral_angle_rad * k / 100) * closed > 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_balance_is_the_slope_of_the_potential_energy),
        cmocka_unit_test(the_inertia_is_twice_the_kinetic_energy_at_one_radian_per_second),
        cmocka_unit_test(a_parallelogram_has_the_curve_of_a_fixed_counterweight),
        cmocka_unit_test(a_parallelogram_weighs_as_a_fixed_counterweight_but_for_its_place),
        cmocka_unit_test(weighing_gives_the_moment_and_its_slope_closed_and_where_it_changes_sign),
        cmocka_unit_test(both_bodies_are_in_equilibrium_with_the_link_between_them),
        cmocka_unit_test(friction_of_the_counterweights_trunnion_comes_to_the_leaf_by_the_rate),
        cmocka_unit_test(the_first_of_several_neutral_angles_is_named),
    };
    return cmocka_run_group_tests_name("linked leaf", tests, NULL, NULL);
}

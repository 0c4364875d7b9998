/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "measures.h"

#include "exact_times.h"

static void check_point(bounds &on, const char *function, const char *quantity, trn_point got, const exact_point &want)
{
    on.check(function, quantity, got.x, want.x);
    on.check(function, quantity, got.y, want.y);
}

void measure_geometry(bounds &on, chance_leaf &with)
{
    const double angle = between(&with.state, -3, 3);
    const trn_rotation rotation = trn_rotation_by(angle);
    const trn_point a = {between(&with.state, -9, 9), between(&with.state, -9, 9)};
    const trn_point b = {between(&with.state, -9, 9), a.y + over_decades(&with.state, 1e-6, 10)};
    on.check("trn_rotation_by", "cosine, sine", rotation.cosine, cosine_of(angle));
    on.check("trn_rotation_by", "cosine, sine", rotation.sine, sine_of(angle));
    check_point(on, "trn_point_rotate", "x, y", trn_point_rotate(a, rotation), turned(given(a), turn_by(angle)));
    on.check("trn_point_distance", "distance", trn_point_distance(a, b), length_of(gap(a, b)));
    for (size_t i = 0; i < with.leaf.part_count; i++) {
        if (with.leaf.parts[i].shape != TRN_SHAPE_BLOCK)
            continue;
        const trn_area got = trn_polygon_area(with.leaf.parts[i].outline);
        const exact_area want = area_of(with.leaf.parts[i].outline);
        on.check("trn_polygon_area", "area", got.area_m2, want.area);
        check_point(on, "trn_polygon_area", "centroid", got.centroid, want.centroid);
        on.check("trn_polygon_area", "polar", got.polar_m4, want.polar);
    }
}

static void check_body(bounds &on, const char *function, const trn_body &got, const exact_body &want)
{
    on.check(function, "weight", got.weight_N, want.weight);
    on.check(function, "A, B", got.a_Nm, want.a);
    on.check(function, "A, B", got.b_Nm, want.b);
    on.check(function, "inertia", got.inertia_kg_m2, want.inertia);
}

void measure_bodies(bounds &on, chance_leaf &with)
{
    const trn_leaf &leaf = with.leaf;
    const trn_point pivot = {between(&with.state, -9, 9), between(&with.state, -9, 9)};
    for (size_t i = 0; i < leaf.part_count; i++) {
        check_body(on, "trn_part_body", trn_part_body(&leaf.parts[i], pivot), body_of(leaf.parts[i], pivot));
        check_point(on, "trn_part_centroid", "centroid", trn_part_centroid(&leaf.parts[i]), centroid_of(leaf.parts[i]));
    }
    for (size_t i = 0; i < leaf.pocket_count; i++)
        check_body(on, "trn_pocket_body", trn_pocket_body(&leaf.pockets[i], pivot), body_of(leaf.pockets[i], pivot));
    check_body(on, "trn_leaf_body", trn_leaf_body(&leaf), leaf_body(leaf));
    const double ice = between(&with.state, 0, 500);
    check_body(on, "trn_ice_body", trn_ice_body(leaf.surfaces, leaf.surface_count, ice), ice_body(leaf, ice));
    const double angle = between(&with.state, 0, leaf.opens_to_rad);
    const trn_body body = trn_leaf_body(&leaf);
    on.check("trn_body_moment", "moment", trn_body_moment(body, trn_rotation_by(angle)),
             exact(body.a_Nm) * cosine_of(angle) - exact(body.b_Nm) * sine_of(angle));
    const trn_body twice = trn_body_sum(body, {ice, -ice, 1 / ice, ice});
    check_body(on, "trn_body_sum", twice,
               {sum_of_given(body.weight_N, ice), sum_of_given(body.a_Nm, -ice), sum_of_given(body.b_Nm, 1 / ice),
                sum_of_given(body.inertia_kg_m2, ice)});
}

/* The closed moment and minus its slope: A and B of one body, and what a linked counterweight adds. */
static exact_body closed_body(const trn_leaf &leaf)
{
    exact_body whole = leaf_body(leaf);
    if (leaf.linked_counterweight == NULL)
        return whole;
    const exact_body other = link_body(*leaf.linked_counterweight);
    const exact_link link = link_at(*leaf.linked_counterweight, 0);
    return {whole.weight + other.weight, whole.a + link.rate * other.a,
            whole.b + link.rate * link.rate * other.b - link.rate_change * other.a,
            whole.inertia + link.rate * link.rate * other.inertia};
}

static exact_point centre_of(const trn_leaf &leaf)
{
    const exact_body own = leaf_body(leaf);
    if (leaf.linked_counterweight == NULL)
        return {own.a / own.weight, own.b / own.weight};
    const exact_body other = link_body(*leaf.linked_counterweight);
    const trn_point pivot = leaf.linked_counterweight->pivot;
    const exact weight = own.weight + other.weight;
    return {(own.a + other.a + other.weight * pivot.x) / weight, (own.b + other.b + other.weight * pivot.y) / weight};
}

/* By Newton's steps from what the library found; off by what the moment is, over its slope. */
static exact neutral_angle(const trn_leaf &leaf, double found)
{
    const double slope =
        (balance_at(leaf, found + 1e-6).value - balance_at(leaf, found - 1e-6).value).toDouble() / 2e-6;
    const exact moment = balance_at(leaf, found);
    const mpfr::mpreal root = found - moment.value / slope;
    return {root, root.toDouble() + moment.size / std::fabs(slope)};
}

void measure_balance(bounds &on, chance_leaf &with)
{
    const trn_leaf &leaf = with.leaf;
    const trn_balance got = trn_leaf_balance(&leaf);
    const exact_body body = closed_body(leaf);
    const bool linked = leaf.linked_counterweight != NULL;
    const char *function = linked ? "trn_leaf_balance, linked" : "trn_leaf_balance";
    on.check(function, "weight", got.weight_N, body.weight);
    on.check(function, "mass", got.mass_kg, body.weight / TRN_STANDARD_GRAVITY);
    check_point(on, function, "centre", got.centre, centre_of(leaf));
    on.check(function, "closed moment", got.closed_moment_Nm, body.a);
    on.check(function, "W R", got.moment_Nm, hypot(body.a, body.b));
    on.check(function, "alpha", got.angle_rad, atan2(body.b, body.a));
    on.check(function, "inertia", got.inertia_kg_m2, body.inertia);
    on.check(function, "toe reaction", got.toe_reaction_N, body.a / leaf.toe_m);
    if (got.has_neutral_angle)
        on.check(function, "neutral angle", got.neutral_angle_rad, neutral_angle(leaf, got.neutral_angle_rad));
}

void measure_link(bounds &on, chance_leaf &with)
{
    const trn_linked_counterweight *linked = with.leaf.linked_counterweight;
    if (linked == NULL)
        return;
    const double angle = between(&with.state, 0, with.leaf.opens_to_rad);
    const trn_link_state got = trn_link_at(linked, trn_rotation_by(angle));
    const exact_link want = link_at(*linked, angle);
    on.check("trn_link_at", "rotation", got.rotation.cosine, want.cosine);
    on.check("trn_link_at", "rotation", got.rotation.sine, want.sine);
    on.check("trn_link_at", "rate", got.rate, want.rate);
    on.check("trn_link_at", "rate change", got.rate_change_rad, want.rate_change);
    check_point(on, "trn_link_at", "pins", got.pin_on_leaf, want.on_leaf);
    check_point(on, "trn_link_at", "pins", got.pin_on_counterweight, want.on_counterweight);
    check_point(on, "trn_link_at", "along", got.along, want.along);
    on.check("trn_link_at", "arm", got.arm_m, want.arm);
    check_body(on, "trn_link_body", trn_link_body(linked), link_body(*linked));
    double dead = 0;
    const exact first = first_dead_point(*linked);
    if (trn_link_dead_point(linked, 7, &dead) && first.value < 6.2)
        on.check("trn_link_dead_point", "angle", dead, first);
}

void measure_journal(bounds &on, chance_leaf &with)
{
    const trn_journal *journal = with.leaf.trunnion;
    const double reaction = over_decades(&with.state, 1e4, 1e8);
    const exact arm = friction_arm(journal, with.load_case.friction);
    on.check("trn_journal_friction_arm", "arm", trn_journal_friction_arm(journal, with.load_case.friction), arm);
    on.check("trn_journal_friction", "moment", trn_journal_friction(journal, with.load_case.friction, reaction),
             journal == NULL ? exact(0) : arm * reaction + journal->drag_Nm);
    const double bearing = over_decades(&with.state, 1e-3, 0.2);
    const double towards = between(&with.state, -3, 3);
    const double push = between(&with.state, 0, 0.95) / bearing;
    const trn_journal_load load = {{between(&with.state, -1e6, 1e6), between(&with.state, -1e7, 1e6)},
                                   over_decades(&with.state, 1, 1e7) * (chance(&with.state, 0.5) ? 1 : -1),
                                   {push * std::cos(towards), push * std::sin(towards)}};
    const exact_point v = given(load.per_moment);
    on.check("trn_journal_reaction", "reaction", trn_journal_reaction(load, bearing),
             reaction_of(given(load.others) + load.moment_Nm * v, v, bearing));
}

void measure_wind(bounds &on, chance_leaf &with, double angle)
{
    const trn_leaf &leaf = with.leaf;
    const trn_wind &wind = with.load_case.wind;
    const trn_rotation rotation = trn_rotation_by(angle);
    on.check("trn_wind_pressure", "pressure", trn_wind_pressure(&wind), wind_pressure(wind));
    if (wind.law == TRN_WIND_INCIDENCE) {
        const double incidence = between(&with.state, 0, 1.6);
        on.check("trn_wind_normal_coefficient", "coefficient",
                 trn_wind_normal_coefficient(wind.table, wind.table_count, incidence),
                 normal_coefficient(wind, incidence));
    }
    if (wind.profile != NULL) {
        const double height = between(&with.state, 0, 60);
        on.check("trn_wind_height_factor", "factor", trn_wind_height_factor(wind.profile, height),
                 height_factor(*wind.profile, height));
    }
    const bool profile = wind.profile != NULL;
    for (size_t i = 0; i < leaf.surface_count; i++) {
        const trn_wind_action got = trn_wind_on_surface(&leaf.surfaces[i], &wind, rotation);
        const exact_wind want = wind_on(leaf.surfaces[i], wind, angle);
        const char *function = profile ? "trn_wind_on_surface, profile" : "trn_wind_on_surface";
        on.check(function, "moment", got.moment_Nm, want.moment);
        check_point(on, function, "force", got.force, want.force);
    }
    const trn_wind_action got = trn_wind_on_surfaces(leaf.surfaces, leaf.surface_count, &wind, rotation);
    const exact_wind want = wind_on(leaf, wind, angle);
    const char *function = profile ? "trn_wind_on_surfaces, profile" : "trn_wind_on_surfaces";
    on.check(function, "moment", got.moment_Nm, want.moment);
    check_point(on, function, "force", got.force, want.force);
}

void measure_motors(bounds &on, chance_leaf &with)
{
    const trn_motors &motors = *with.leaf.motors;
    const double speed = between(&with.state, 0, 2 * motors.speed_rad_s);
    on.check("trn_motor_rated_torque", "torque", trn_motor_rated_torque(&motors), rated_torque(motors));
    on.check("trn_motor_peak_torque", "torque", trn_motor_peak_torque(&motors), peak_torque(motors));
    on.check("trn_motor_breakdown_slip", "slip", trn_motor_breakdown_slip(&motors), breakdown_slip(motors));
    on.check("trn_motor_torque", "torque", trn_motor_torque(&motors, speed), motor_torque(motors, speed));
}

void measure_drive(bounds &on, chance_leaf &with, double angle)
{
    const trn_drive &drive = *with.leaf.drive;
    const trn_drive_state got = trn_drive_at(&drive, trn_rotation_by(angle));
    const exact_drive want = drive_at(drive, angle);
    on.check("trn_drive_at", "ratio", got.ratio, want.ratio);
    on.check("trn_drive_at", "ratio change", got.ratio_change, want.ratio_change);
    on.check("trn_drive_at", "length", got.length_m, want.length);
    on.check("trn_drive_at", "arm", got.arm_m, want.arm);
    check_point(on, "trn_drive_at", "along, spread", got.along, want.along);
    check_point(on, "trn_drive_at", "along, spread", got.spread, want.spread);
    double dead = 0;
    if (trn_drive_dead_point(&drive, 4, &dead))
        on.check("trn_drive_dead_point", "angle", dead, drive_dead_point(drive));
    const double demand = over_decades(&with.state, 1, 1e8) * (chance(&with.state, 0.5) ? 1 : -1);
    on.check("trn_cylinder_pressure", "pressure", trn_cylinder_pressure(&drive.cylinder, demand),
             cylinder_pressure(drive.cylinder, demand));
    on.check("trn_drive_torque", "torque", trn_drive_torque(demand, drive.ratio, drive.efficiency),
             drive_torque(demand, drive.ratio, drive.efficiency));
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Records without noise give back what they were made from; what was given with them is used. */
#include "measuring.h"

static const trn_record_kind kinds[] = {TRN_RECORD_LEAF_TORQUE, TRN_RECORD_MOTOR_TORQUE, TRN_RECORD_SHAFT_TORQUE,
                                        TRN_RECORD_SHAFT_STRAIN, TRN_RECORD_MOTOR_POWER};

static void assert_truth(const bench *of, const trn_measurement *found, double relative)
{
    const double size = hypot(of->a_Nm, of->b_Nm) + of->friction_Nm;
    assert_near(found->a_Nm.value, of->a_Nm, relative * size);
    assert_near(found->b_Nm.value, of->b_Nm, relative * size);
    assert_near(found->friction_Nm.value, of->friction_Nm, relative * size);
}

static void gives_back_the_truth(void **state)
{
    (void)state;
    static bench of;
    for (uint64_t seed = 0; seed < 40; seed++) {
        for (size_t k = 0; k < 5; k++) {
            for (int strut = 0; strut < 2; strut++) {
                make_leaf(&of, seed, strut == 1);
                make_record(&of, (making){.kind = kinds[k], .has_time = seed % 2 == 0, .runs = 1 + (int)(seed % 3)});
                trn_measurement robust = fit_well(&of, trn_default_measure_settings());
                assert_truth(&of, &robust, 1e-9);
                trn_measurement ordinary = fit_well(&of, (trn_measure_settings){.ordinary = true});
                assert_truth(&of, &ordinary, 1e-9);
                assert_int_equal(robust.warning_count, 0);
                assert_int_equal(robust.used, of.record.count);
            }
        }
    }
}

static void every_estimate_follows_from_a_b_f(void **state)
{
    (void)state;
    static bench of;
    make_leaf(&of, 3, false);
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.02, .seed = 4});
    trn_measurement m = fit_well(&of, trn_default_measure_settings());
    const double a = m.a_Nm.value;
    const double b = m.b_Nm.value;
    const double r = hypot(a, b);
    assert_close(m.moment_Nm.value, r, 1e-14);
    assert_close(m.angle_rad.value, atan2(b, a), 1e-14);
    assert_close(m.toe_reaction_N.value, a / of.leaf.toe_m, 1e-14);
    assert_close(m.toe_reaction_N.sd, m.a_Nm.sd / of.leaf.toe_m, 1e-14);
    /* Derivatives by differences, in place of the formulas. */
    const double h = 1e-4 * r;
    const double moment_a = (hypot(a + h, b) - hypot(a - h, b)) / (2 * h);
    const double moment_b = (hypot(a, b + h) - hypot(a, b - h)) / (2 * h);
    const double angle_a = (atan2(b, a + h) - atan2(b, a - h)) / (2 * h);
    const double angle_b = (atan2(b + h, a) - atan2(b - h, a)) / (2 * h);
    const double aa = m.covariance[0][0];
    const double ab = m.covariance[0][1];
    const double bb = m.covariance[1][1];
    assert_close(m.moment_Nm.sd,
                 sqrt(moment_a * moment_a * aa + 2 * moment_a * moment_b * ab + moment_b * moment_b * bb), 1e-6);
    assert_close(m.angle_rad.sd, sqrt(angle_a * angle_a * aa + 2 * angle_a * angle_b * ab + angle_b * angle_b * bb),
                 1e-6);
    /* Student's 0.975 for 117 degrees of freedom, from a table: 1.98045 (MEM). */
    assert_near(m.student95, 1.98045, 1e-5);
    assert_close(m.a_Nm.high95 - m.a_Nm.value, 1.98045 * m.a_Nm.sd, 1e-5);
    assert_close(m.a_Nm.value - m.a_Nm.low95, 1.98045 * m.a_Nm.sd, 1e-5);
    /* A rack of no place loads the trunnion by the weight alone. */
    const double weight = of.parts[0].weight_N + of.parts[1].weight_N;
    assert_true(m.has_coefficient);
    assert_close(m.mean_reaction_N, weight, 1e-12);
    assert_close(m.coefficient.value, (m.friction_Nm.value - 1000) / (weight * 0.2), 1e-12);
    assert_close(m.coefficient.sd, m.friction_Nm.sd / (weight * 0.2), 1e-12);
    const trn_body body = trn_leaf_body(&of.leaf);
    assert_close_at(m.difference.a_Nm, a - body.a_Nm, 1e-12, r);
    assert_close_at(m.difference.b_Nm, b - body.b_Nm, 1e-12, r);
    assert_close_at(m.difference.moment_Nm, r - hypot(body.a_Nm, body.b_Nm), 1e-12, r);
    assert_close_at(m.difference.toe_weight_N, (a - body.a_Nm) / of.leaf.toe_m, 1e-12, r);
}

/* Least squares by its own formulas: 3 normal equations by Cramer's rule. */
static void ordinary_fit_solves_the_normal_equations(void **state)
{
    (void)state;
    static bench of;
    static trn_measured_reading readings[BENCH_READINGS];
    make_leaf(&of, 5, false);
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE, .noise = 0.05, .seed = 9});
    trn_measurement m;
    trn_measure_settings settings = {.ordinary = true};
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &m, NULL), TRN_OK);
    double dot[4] = {0};
    double squares = 0;
    for (size_t i = 0; i < of.record.count; i++) {
        const double r = readings[i].residual_Nm;
        dot[0] += r * cos(readings[i].angle_rad);
        dot[1] += r * sin(readings[i].angle_rad);
        dot[2] += readings[i].direction == TRN_OPENING ? r : -r;
        squares += r * r;
        assert_same_bits(readings[i].weight, 1);
        assert_near(readings[i].torque_Nm, of.readings[i].value, 0);
        assert_near(readings[i].fitted_Nm + r, readings[i].torque_Nm, 1e-9 * fabs(of.a_Nm));
    }
    for (int i = 0; i < 3; i++)
        assert_near(dot[i], 0, 1e-9 * fabs(of.a_Nm));
    assert_close(m.residual_sd_Nm, sqrt(squares / (double)(of.record.count - 3)), 1e-12);
}

static void robust_fit_ignores_a_burst(void **state)
{
    (void)state;
    static bench of;
    static trn_measured_reading readings[BENCH_READINGS];
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_TORQUE, .noise = 0.01, .seed = 2});
    trn_measurement before = fit_well(&of, trn_default_measure_settings());
    for (size_t i = 20; i < 30; i++)
        of.readings[i].value += 3e2;
    trn_measure_settings settings = trn_default_measure_settings();
    trn_measurement after;
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &after, NULL), TRN_OK);
    assert_int_equal(after.rejected, 10);
    assert_int_equal(after.used, 110);
    for (size_t i = 0; i < 120; i++)
        assert_int_equal(readings[i].use, i >= 20 && i < 30 ? TRN_READING_REJECTED : TRN_READING_USED);
    assert_near(after.a_Nm.value, before.a_Nm.value, 1.5 * before.a_Nm.sd);
    assert_true(after.a_Nm.sd < 1.5 * before.a_Nm.sd);
    trn_measurement ordinary = fit_well(&of, (trn_measure_settings){.ordinary = true});
    assert_true(fabs(ordinary.a_Nm.value - before.a_Nm.value) > 10 * before.a_Nm.sd);
    assert_int_equal(ordinary.rejected, 0);
}

static void window_takes_both_its_ends(void **state)
{
    (void)state;
    static bench of;
    static trn_measured_reading readings[BENCH_READINGS];
    make_leaf(&of, 0, false);
    make_record(&of, (making){.each_way = 59, .kind = TRN_RECORD_LEAF_TORQUE}); /* whole degrees, 8 to 66 */
    trn_measurement m;
    trn_measure_settings settings = {
        .from_given = true, .from_rad = 20 * BENCH_DEGREE, .to_given = true, .to_rad = 50 * BENCH_DEGREE};
    of.readings[0].value = 1e9; /* outside, and wrong */
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &m, NULL), TRN_OK);
    assert_int_equal(m.used, 62);
    assert_int_equal(m.outside, 56);
    assert_truth(&of, &m, 1e-9);
    for (size_t i = 0; i < of.record.count; i++) {
        const double degrees = readings[i].angle_rad / BENCH_DEGREE;
        assert_int_equal(readings[i].use, degrees > 19.5 && degrees < 50.5 ? TRN_READING_USED : TRN_READING_OUTSIDE);
    }
    of.travel.near_closed_rad = 30 * BENCH_DEGREE;
    of.travel.near_open_rad = 40 * BENCH_DEGREE;
    m = fit_well(&of, trn_default_measure_settings());
    assert_int_equal(m.used, 22);
    assert_close(m.from_rad, 30 * BENCH_DEGREE, 1e-15);
    assert_close(m.to_rad, 40 * BENCH_DEGREE, 1e-15);
}

static void recorded_wind_is_taken_off(void **state)
{
    (void)state;
    static bench of;
    make_leaf(&of, 7, false);
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_TORQUE, .wind_m_s = 6, .seed = 11});
    trn_measurement m = fit_well(&of, trn_default_measure_settings());
    assert_truth(&of, &m, 1e-9);
    of.record.has_wind = false;
    for (size_t i = 0; i < of.record.count; i++)
        of.readings[i].wind_speed_m_s = 0;
    m = fit_well(&of, trn_default_measure_settings());
    assert_true(fabs(m.a_Nm.value - of.a_Nm) + fabs(m.b_Nm.value - of.b_Nm) > 1e-3 * fabs(of.a_Nm));
}

/* The coefficient and the law are those of wind_limits; without a side the wind is adverse. */
static void wind_goes_by_wind_limits(void **state)
{
    (void)state;
    static bench of;
    static trn_measured_reading readings[BENCH_READINGS];
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE, .wind_m_s = 6, .seed = 12});
    trn_wind_limits limits = {.wind = trn_default_wind(), .motor_limit = 1, .hold_factor = 1};
    limits.wind.by_speed = true;
    limits.wind.coefficient = 1.3;
    of.leaf.wind_limits = &limits;
    for (size_t i = 0; i < of.record.count; i++)
        of.readings[i].wind_from = TRN_WIND_FROM_ADVERSE;
    trn_measure_settings settings = trn_default_measure_settings();
    trn_measurement m;
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &m, NULL), TRN_OK);
    for (size_t i = 0; i < of.record.count; i++) {
        const double heel = bench_wind(&of, of.readings[i].wind_speed_m_s, of.readings[i].angle_rad);
        assert_close_at(readings[i].wind_Nm, (of.readings[i].direction == TRN_OPENING ? 1.3 : -1.3) * heel, 1e-12, 1);
    }
    for (size_t i = 0; i < of.record.count; i++)
        of.readings[i].wind_from = TRN_WIND_FROM_TOE;
    assert_int_equal(trn_leaf_measure(&of.leaf, &of.record, &settings, readings, &m, NULL), TRN_OK);
    assert_close(readings[0].wind_Nm, -1.3 * bench_wind(&of, of.readings[0].wind_speed_m_s, 8 * BENCH_DEGREE), 1e-12);
}

/* A strut loads the trunnion differently at each angle. */
static void friction_by_reaction_finds_the_coefficient(void **state)
{
    (void)state;
    static bench of;
    make_leaf(&of, 0, true);
    of.trunnion.friction.moving = 0.12;
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE});
    const trn_case calm = trn_default_case();
    double reactions = 0;
    for (size_t i = 0; i < of.record.count; i++) {
        trn_reading *reading = &of.readings[i];
        trn_moments at;
        assert_int_equal(trn_leaf_curve(&of.leaf, &calm, &reading->angle_rad, 1, &at, NULL), TRN_OK);
        const bool opening = reading->direction == TRN_OPENING;
        const double reaction = opening ? at.reaction_opening_N : at.reaction_closing_N;
        const double friction = 1000 + 0.1 * reaction * 0.2;
        reactions += reaction;
        reading->value =
            of.a_Nm * cos(reading->angle_rad) - of.b_Nm * sin(reading->angle_rad) + (opening ? friction : -friction);
    }
    trn_measurement m = fit_well(&of, (trn_measure_settings){.friction_by_reaction = true});
    of.friction_Nm = 1000 + 0.1 * 0.2 * reactions / (double)of.record.count;
    assert_truth(&of, &m, 1e-9);
    assert_close(m.coefficient.value, 0.1, 1e-8);
    assert_int_equal(m.warning_count, 0);
    trn_measurement constant = fit_well(&of, trn_default_measure_settings());
    assert_true(constant.residual_sd_Nm > 1e4 * m.residual_sd_Nm);
}

/* What the leaf weighs more lies on the leaf; its linked counterweight is as described. */
static void linked_counterweight_keeps_its_share(void **state)
{
    (void)state;
    static bench of;
    make_leaf(&of, 0, false);
    const trn_linked_counterweight linked = {.pivot = {-9, 6},
                                             .pin_on_leaf = {-5, 1},
                                             .pin_on_counterweight = {-13.2, 7.6},
                                             .parts = &of.parts[1],
                                             .part_count = 1};
    of.parts[1].at = (trn_point){-13.5, 6.8};
    of.leaf.part_count = 1;
    of.leaf.linked_counterweight = &linked;
    make_record(&of, (making){.kind = TRN_RECORD_LEAF_TORQUE});
    const trn_case calm = trn_default_case();
    for (size_t i = 0; i < of.record.count; i++) {
        trn_reading *reading = &of.readings[i];
        trn_moments at;
        assert_int_equal(trn_leaf_curve(&of.leaf, &calm, &reading->angle_rad, 1, &at, NULL), TRN_OK);
        reading->value = at.balance_Nm + 3e5 * cos(reading->angle_rad) + 1e5 * sin(reading->angle_rad) +
                         (reading->direction == TRN_OPENING ? 2e5 : -2e5);
    }
    trn_measurement m = fit_well(&of, trn_default_measure_settings());
    const trn_balance described = trn_leaf_balance(&of.leaf);
    assert_close(m.difference.a_Nm, 3e5, 1e-7);
    assert_close(m.difference.b_Nm, -1e5, 1e-7);
    assert_close(m.difference.toe_weight_N, 3e5 / 22, 1e-7);
    assert_close(m.a_Nm.value, described.closed_moment_Nm + 3e5, 1e-7);
    assert_close(m.friction_Nm.value, 2e5, 1e-7);
}

static void gauged_torque_is_that_of_torsion(void **state)
{
    (void)state;
    const trn_gauged_shaft solid = {
        .ratio = 1, .shafts = 3, .diameter_m = 0.05, .shear_modulus_Pa = 80e9, .efficiency = 1};
    trn_gauged_shaft hollow = solid;
    hollow.bore_m = 0.03;
    /* tau = G gamma = 16 T/(pi d3), gamma = 2 strain. */
    assert_close(trn_gauged_torque(&solid, 1e-4), 80e9 * 2e-4 * BENCH_PI * pow(0.05, 3) / 16, 1e-14);
    assert_close(trn_gauged_torque(&hollow, 1e-4) / trn_gauged_torque(&solid, 1e-4), 1 - pow(0.6, 4), 1e-13);
}

/* The leaf of a made-up time runs faster while opening: power over the speed there was. */
static void speed_is_taken_from_the_times(void **state)
{
    (void)state;
    static bench of;
    make_leaf(&of, 0, false);
    make_record(&of, (making){.kind = TRN_RECORD_MOTOR_POWER, .has_time = true, .runs = 2});
    for (size_t i = 0; i < of.record.count; i++) {
        if (of.readings[i].direction == TRN_OPENING) {
            of.readings[i].value *= 2;
            of.readings[i].time_s /= 2;
        }
    }
    trn_measurement m = fit_well(&of, trn_default_measure_settings());
    assert_truth(&of, &m, 1e-9);
    of.record.has_time = false; /* then by the travel's one speed, which is wrong here */
    m = fit_well(&of, trn_default_measure_settings());
    assert_true(fabs(m.friction_Nm.value - of.friction_Nm) > 0.01 * of.friction_Nm);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(gives_back_the_truth),
        cmocka_unit_test(every_estimate_follows_from_a_b_f),
        cmocka_unit_test(ordinary_fit_solves_the_normal_equations),
        cmocka_unit_test(robust_fit_ignores_a_burst),
        cmocka_unit_test(window_takes_both_its_ends),
        cmocka_unit_test(recorded_wind_is_taken_off),
        cmocka_unit_test(wind_goes_by_wind_limits),
        cmocka_unit_test(friction_by_reaction_finds_the_coefficient),
        cmocka_unit_test(linked_counterweight_keeps_its_share),
        cmocka_unit_test(gauged_torque_is_that_of_torsion),
        cmocka_unit_test(speed_is_taken_from_the_times),
    };
    return cmocka_run_group_tests_name("measure", tests, NULL, NULL);
}

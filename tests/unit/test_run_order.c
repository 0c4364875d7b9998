/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Observed orders of convergence of what integrates a run, on a pendulum whose
 * swing is known by elliptic functions: neither lower nor higher than theirs.
 */
#include <gsl/gsl_sf_ellint.h>
#include <gsl/gsl_sf_elljac.h>

#include "../../lib/mechanics/stepper.h"
#include "../../lib/planning/run_parts.h"
#include "running.h"

/* theta'' = -sin theta from the lowest place with speed 2 k: sin(theta/2) = k sn(t, k), theta' = 2 k cn(t, k).
   Beside it z' = cos t, which asks of a step at which moments it asks for rates. */
static const double modulus = 0.6;

static stepper_state pendulum_rates(double time, const stepper_state *state, const void *context)
{
    (void)context;
    return (stepper_state){{state->at[1], -sin(state->at[0]), cos(time)}};
}

static void pendulum_at(double time, double *angle, double *speed)
{
    double sn = 0;
    double cn = 0;
    double dn = 0;
    assert_int_equal(gsl_sf_elljac_e(time, modulus * modulus, &sn, &cn, &dn), 0);
    *angle = 2 * asin(modulus * sn);
    *speed = 2 * modulus * cn;
}

static stepper_state swing_start(double time)
{
    stepper_state state = {{0}};
    pendulum_at(time, &state.at[0], &state.at[1]);
    state.at[2] = sin(time);
    return state;
}

static double size_of_three(const stepper_state *state, const stepper_state *less)
{
    double sum = 0;
    for (int i = 0; i < 3; i++) {
        const double gap = state->at[i] - (less != NULL ? less->at[i] : 0);
        sum += gap * gap;
    }
    return sqrt(sum);
}

/* The error after a time in a number of equal steps. */
static double error_in_steps(int count)
{
    const double whole = 4.0;
    stepper_state state = swing_start(0);
    stepper_state rates = pendulum_rates(0, &state, NULL);
    for (int i = 0; i < count; i++) {
        const stepper_step step = stepper_take(pendulum_rates, NULL, whole * i / count, &state, &rates, whole / count);
        state = step.end;
        rates = step.end_rates;
    }
    const stepper_state exact = swing_start(whole);
    return size_of_three(&state, &exact);
}

/* Order from errors at h and h/2. */
static double order_of(double coarse, double fine)
{
    return log2(coarse / fine);
}

static void halving_the_step_divides_the_error_by_two_to_the_fifth(void **state)
{
    (void)state;
    for (int count = 32; count <= 128; count *= 2) {
        const double order = order_of(error_in_steps(count), error_in_steps(2 * count));
        if (!(order > 4.7 && order < 5.5))
            fail_msg("%d and %d steps: order %.3f", count, 2 * count, order);
    }
}

/* One step: the error is of order 6, and its estimate, being that of the fourth order's, of order 5. */
static void one_step_errs_by_the_sixth_order_and_says_so_by_the_fifth(void **state)
{
    (void)state;
    double errors[5];
    double estimates[5];
    for (int i = 0; i < 5; i++) {
        const double length = 0.2 / (1 << i);
        const stepper_state start = swing_start(0.7);
        const stepper_state rates = pendulum_rates(0.7, &start, NULL);
        const stepper_step step = stepper_take(pendulum_rates, NULL, 0.7, &start, &rates, length);
        const stepper_state exact = swing_start(0.7 + length);
        errors[i] = size_of_three(&step.end, &exact);
        estimates[i] = size_of_three(&step.error, NULL);
        assert_close(step.end_rates.at[1], -sin(step.end.at[0]), 1e-14);
        assert_true(estimates[i] > errors[i]);
    }
    for (int i = 0; i < 3; i++) {
        const double error = order_of(errors[i], errors[i + 1]);
        const double estimate = order_of(estimates[i], estimates[i + 1]);
        if (!(error > 5.7 && error < 6.5 && estimate > 4.7 && estimate < 5.4))
            fail_msg("step %d: error of order %.3f, estimate of order %.3f", i, error, estimate);
    }
}

/* Between the ends of a step: angle to the sixth order, speed to the fifth. */
static void between_two_steps_the_angle_is_of_sixth_order(void **state)
{
    (void)state;
    double angles[5] = {0};
    double speeds[5] = {0};
    for (int i = 0; i < 5; i++) {
        const double length = 0.2 / (1 << i);
        run_span span = {.start_s = 0.5, .length_s = length};
        for (int end = 0; end < 2; end++) {
            pendulum_at(0.5 + end * length, &span.angle_rad[end], &span.speed_rad_s[end]);
            span.acceleration_rad_s2[end] = -sin(span.angle_rad[end]);
        }
        for (double share = 0; share <= 1; share += 0.0625) {
            const run_point at = run_point_in(&span, share);
            double angle = 0;
            double speed = 0;
            pendulum_at(0.5 + share * length, &angle, &speed);
            assert_close(at.time_s, 0.5 + share * length, 1e-15);
            angles[i] = fmax(angles[i], fabs(at.angle_rad - angle));
            speeds[i] = fmax(speeds[i], fabs(at.speed_rad_s - speed));
        }
    }
    for (int i = 0; i < 3; i++) {
        const double angle = order_of(angles[i], angles[i + 1]);
        const double speed = order_of(speeds[i], speeds[i + 1]);
        if (!(angle > 5.6 && angle < 6.5 && speed > 4.6 && speed < 5.5))
            fail_msg("span %d: angle of order %.3f, speed of order %.3f", i, angle, speed);
    }
}

/* The error of a whole fall, event included: a leaf that hangs at 110 degrees is let go and passes it. */
static double error_of_fall(double tolerance)
{
    rig on;
    set_rig(&on);
    on.parts[0] = trn_default_part();
    on.parts[0].shape = TRN_SHAPE_BAR;
    on.parts[0].weight_N = 3e5;
    on.parts[0].to = (trn_point){12 * cos(160 * DEGREE), 12 * sin(160 * DEGREE)};
    on.leaf.opens_to_rad = 120 * DEGREE;
    on.travel.near_open_rad = 20 * DEGREE;
    on.travel.full_open_rad = 110 * DEGREE;
    set_upset(&on, TRN_UPSET_POWER_LOST, 0.0);
    on.setting.tolerance = tolerance;
    trn_run run = rig_run(&on);
    const double quarter = sqrt(8.0 / GRAVITY) * gsl_sf_ellint_Kcomp(sin(55 * DEGREE), GSL_PREC_DOUBLE);
    const double error = fabs(run.time_s / quarter - 1);
    trn_run_free(&run);
    return error;
}

/* A step's estimate goes with the fifth power of its length, and so does the error of a run: with the tolerance. */
static void the_error_of_a_run_goes_with_its_tolerance(void **state)
{
    (void)state;
    /* Least squares of log error over log tolerance. */
    double sums[4] = {0};
    int count = 0;
    for (double tolerance = 1e-5; tolerance > 0.9e-11; tolerance /= 10, count++) {
        const double error = error_of_fall(tolerance);
        const double x = log(tolerance);
        const double terms[] = {x, log(error), x * x, x * log(error)};
        assert_true(error < tolerance);
        for (int i = 0; i < 4; i++)
            sums[i] += terms[i];
    }
    const double slope = (count * sums[3] - sums[0] * sums[1]) / (count * sums[2] - sums[0] * sums[0]);
    if (!(slope > 0.85 && slope < 1.4))
        fail_msg("the error goes with the power %.3f of the tolerance", slope);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(halving_the_step_divides_the_error_by_two_to_the_fifth),
        cmocka_unit_test(one_step_errs_by_the_sixth_order_and_says_so_by_the_fifth),
        cmocka_unit_test(between_two_steps_the_angle_is_of_sixth_order),
        cmocka_unit_test(the_error_of_a_run_goes_with_its_tolerance),
    };
    return cmocka_run_group_tests_name("run order", tests, NULL, NULL);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Steps of Radau IIA: against the equations that define them on a linear
 * oscillator, however stiff, and by their observed order on one that is not
 * linear. The numbers are those of Hairer and Wanner, IV.5 and IV.8.
 */
#include <gsl/gsl_linalg.h>

#include "../../lib/mechanics/stiff.h"
#include "assertions.h"

enum { NODES = 3 };

static const double node_places[NODES] = {0.15505102572168219018, 0.64494897427831780982, 1.0};
static const double node_weights[NODES][NODES] = {
    {0.19681547722366043, -0.06553542585019838, 0.02377097434822015},
    {0.39442431473908727, 0.29207341166522843, -0.04154875212599793},
    {0.37640306270046728, 0.51248582618842161, 0.11111111111111111}};

/* theta'' = stiffness theta + damping theta' + push cos t, and beside it two integrals. */
typedef struct oscillator {
    double stiffness;
    double damping;
    double push;
} oscillator;

static stepper_state oscillator_rates(double time, const stepper_state *state, const void *context)
{
    const oscillator *of = context;
    const double angle = state->at[0];
    const double speed = state->at[1];
    return (stepper_state){{speed, of->stiffness * angle + of->damping * speed + of->push * cos(time), cos(time),
                            speed * speed}};
}

/* Angle and speed at the nodes: the six linear equations of the collocation. */
static void collocated(const oscillator *of, double time, const stepper_state *start, double h, double *values)
{
    double matrix[36] = {0};
    double sides[6];
    for (int i = 0; i < NODES; i++) {
        sides[2 * i] = start->at[0];
        sides[2 * i + 1] = start->at[1];
        for (int j = 0; j < NODES; j++) {
            const double a = h * node_weights[i][j];
            matrix[12 * i + 2 * j + 1] -= a;
            matrix[12 * i + 6 + 2 * j] -= a * of->stiffness;
            matrix[12 * i + 6 + 2 * j + 1] -= a * of->damping;
            sides[2 * i + 1] += a * of->push * cos(time + node_places[j] * h);
        }
        matrix[12 * i + 2 * i] += 1;
        matrix[12 * i + 6 + 2 * i + 1] += 1;
    }
    gsl_matrix_view view = gsl_matrix_view_array(matrix, 6, 6);
    gsl_vector_view right = gsl_vector_view_array(sides, 6);
    gsl_vector_view solved = gsl_vector_view_array(values, 6);
    gsl_permutation *order = gsl_permutation_alloc(6);
    int sign = 0;
    gsl_linalg_LU_decomp(&view.matrix, order, &sign);
    gsl_linalg_LU_solve(&view.matrix, order, &right.vector, &solved.vector);
    gsl_permutation_free(order);
}

/* The estimate: (1 - h g J) error = g (h f + e1 z1 + e2 z2 + e3 z3). */
static void estimated(const oscillator *of, const stepper_state *start, const stepper_state *rates, double h,
                      const double *values, double *errors)
{
    const double doubts[NODES] = {-10.048809399827415865, 1.3821427331607480, -0.33333333333333333};
    const double g = 0.27488882959759780;
    double raw[2];
    for (int part = 0; part < 2; part++) {
        raw[part] = h * rates->at[part];
        for (int i = 0; i < NODES; i++)
            raw[part] += doubts[i] * (values[2 * i + part] - start->at[part]);
        raw[part] *= g;
    }
    const double k = h * g;
    const double determinant = 1 - k * of->damping - k * k * of->stiffness;
    errors[0] = ((1 - k * of->damping) * raw[0] + k * raw[1]) / determinant;
    errors[1] = (k * of->stiffness * raw[0] + raw[1]) / determinant;
}

static void check_step(const oscillator *of, double time, double h)
{
    const stepper_state start = {{0.4, -0.3, 2.0, 5.0}};
    const stepper_state rates = oscillator_rates(time, &start, of);
    const stiff_slopes slopes = {of->stiffness, of->damping};
    const stepper_step step = stiff_take(oscillator_rates, of, time, &start, &rates, slopes, h);
    double values[6];
    double errors[2];
    collocated(of, time, &start, h, values);
    estimated(of, &start, &rates, h, values, errors);
    const double size = 1 + fabs(h * of->stiffness) + fabs(h * of->damping) + fabs(h * of->push);
    assert_close_at(step.end.at[0], values[4], 1e-12, 1);
    assert_close_at(step.end.at[1], values[5], 1e-12, 1);
    assert_close_at(step.error.at[0], errors[0], 1e-11, size);
    assert_close_at(step.error.at[1], errors[1], 1e-11, size);
    double first = 2.0;
    double second = 5.0;
    for (int i = 0; i < NODES; i++) {
        first += h * node_weights[2][i] * cos(time + h * node_places[i]);
        second += h * node_weights[2][i] * values[2 * i + 1] * values[2 * i + 1];
    }
    assert_close(step.end.at[2], first, 1e-12);
    assert_close(step.end.at[3], second, 1e-11);
    const stepper_state end_rates = oscillator_rates(time + h, &step.end, of);
    for (int i = 0; i < 4; i++)
        assert_close(step.end_rates.at[i], end_rates.at[i], 1e-14);
    for (int i = 4; i < STEPPER_SIZE; i++)
        assert_near(step.end.at[i], 0, 0);
    for (int i = 2; i < STEPPER_SIZE; i++)
        assert_near(step.error.at[i], 0, 0);
}

static void a_step_solves_its_equations_however_stiff(void **state)
{
    (void)state;
    const double stiffnesses[] = {-3.0, 2.0, -4e4};
    const double dampings[] = {-0.5, 0.0, -40.0, -1e4};
    for (size_t i = 0; i < 3; i++)
        for (size_t j = 0; j < 4; j++)
            for (double h = 0.003; h < 1; h *= 5) {
                const oscillator of = {stiffnesses[i], dampings[j], 0.7};
                check_step(&of, 0.6, h);
            }
}

static void stiffness_alone_leaves_nothing_of_a_speed(void **state)
{
    (void)state;
    /* R(z) = (1 + 2z/5 + z2/20) / (1 - 3z/5 + 3z2/20 - z3/60) goes to 0: nothing rings. */
    const oscillator of = {0, -1e7, 0};
    const stepper_state start = {{0, 1.0}};
    const stepper_state rates = oscillator_rates(0, &start, &of);
    const stepper_step step =
        stiff_take(oscillator_rates, &of, 0, &start, &rates, (stiff_slopes){0, -1e7}, 1.0);
    assert_close(step.end.at[1], 3e-7, 1e-5);
}

/* Not linear: theta'' = -sin theta - theta'^3, with its own slopes. */
static stepper_state swing_rates(double time, const stepper_state *state, const void *context)
{
    (void)time;
    (void)context;
    const double speed = state->at[1];
    return (stepper_state){{speed, -sin(state->at[0]) - speed * speed * speed}};
}

static stepper_step swing_step(double length)
{
    const stepper_state start = {{0.8, 0.9}};
    const stepper_state rates = swing_rates(0, &start, NULL);
    const stiff_slopes slopes = stiff_find_slopes(swing_rates, NULL, 0, &start, &rates);
    assert_close(slopes.by_angle, -cos(0.8), 1e-7);
    assert_close(slopes.by_speed, -3 * 0.81, 1e-7);
    return stiff_take(swing_rates, NULL, 0, &start, &rates, slopes, length);
}

static double swing_exactly(double length)
{
    const int count = 400;
    stepper_state state = {{0.8, 0.9}};
    stepper_state rates = swing_rates(0, &state, NULL);
    for (int i = 0; i < count; i++) {
        const stepper_step step = stepper_take(swing_rates, NULL, 0, &state, &rates, length / count);
        state = step.end;
        rates = step.end_rates;
    }
    return state.at[1];
}

static void one_step_errs_by_the_sixth_order_and_says_so_by_the_fourth(void **state)
{
    (void)state;
    double last_error = 0;
    double last_estimate = 0;
    for (int i = 0; i < 4; i++) {
        const double length = 0.12 / (1 << i);
        const stepper_step step = swing_step(length);
        const double error = fabs(step.end.at[1] - swing_exactly(length));
        const double estimate = fabs(step.error.at[1]);
        if (!(estimate > error))
            fail_msg("step %d: off by %g, estimated as %g", i, error, estimate);
        if (i > 0 && !(log2(last_error / error) > 5.4 && log2(last_estimate / estimate) > 3.6 &&
                       log2(last_error / error) < 6.8 && log2(last_estimate / estimate) < 4.6))
            fail_msg("step %d: error of order %.3f, estimate of order %.3f", i, log2(last_error / error),
                     log2(last_estimate / estimate));
        last_error = error;
        last_estimate = estimate;
    }
}

/* Slopes are asked for about a state that is 0 too, and about large ones. */
static void slopes_are_found_at_any_state(void **state)
{
    (void)state;
    const oscillator of = {-7.0, -300.0, 0.7};
    const stepper_state starts[] = {{{0, 0}}, {{1.5, 0}}, {{0.5, -40.0}}, {{-1e-9, 1e-12}}};
    for (size_t i = 0; i < 4; i++) {
        const stepper_state rates = oscillator_rates(0.6, &starts[i], &of);
        const stiff_slopes slopes = stiff_find_slopes(oscillator_rates, &of, 0.6, &starts[i], &rates);
        /* Differences over the root of the last place of a state, of rates that are off by their own. */
        const double noise = 4 * 0x1p-52 * (1 + fabs(rates.at[1])) / 0x1p-26;
        assert_near(slopes.by_angle, -7.0, noise / fmax(fabs(starts[i].at[0]), 1e-3));
        assert_near(slopes.by_speed, -300.0, noise / fmax(fabs(starts[i].at[1]), 1e-6) + 1e-5);
    }
}

static void the_tolerance_of_the_estimate_goes_with_the_power_of_two_thirds(void **state)
{
    (void)state;
    assert_close(stiff_tolerance(1e-9), 1e-7, 1e-14);
    assert_close(stiff_tolerance(8e-9) / stiff_tolerance(1e-9), 4.0, 1e-14);
}

/* Accelerations without end: no length has a solution. */
static stepper_state absurd_rates(double time, const stepper_state *state, const void *context)
{
    (void)time;
    (void)context;
    return (stepper_state){{state->at[1], 1e9 * sin(1e9 * state->at[1])}};
}

static void where_no_solution_is_found_the_error_says_so(void **state)
{
    (void)state;
    const stepper_state start = {{0, 0.3}};
    const stepper_state rates = absurd_rates(0, &start, NULL);
    const stepper_step step = stiff_take(absurd_rates, NULL, 0, &start, &rates, (stiff_slopes){0, 0}, 1.0);
    assert_false(isfinite(step.error.at[0]) && isfinite(step.error.at[1]));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_step_solves_its_equations_however_stiff),
        cmocka_unit_test(stiffness_alone_leaves_nothing_of_a_speed),
        cmocka_unit_test(one_step_errs_by_the_sixth_order_and_says_so_by_the_fourth),
        cmocka_unit_test(slopes_are_found_at_any_state),
        cmocka_unit_test(the_tolerance_of_the_estimate_goes_with_the_power_of_two_thirds),
        cmocka_unit_test(where_no_solution_is_found_the_error_says_so),
    };
    return cmocka_run_group_tests_name("stiff", tests, NULL, NULL);
}

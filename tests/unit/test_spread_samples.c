/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Each sample of a run is a leaf: the leaf that the inputs' values make is put
 * together here by hand, and its curve asked of the mechanics. Demands, uses,
 * quantiles, probabilities and holding must be those of these leaves.
 */
#include <gsl/gsl_sort.h>

#include "spreading.h"
#include "trunnion/holding.h"
#include "trunnion/moments.h"
#include "trunnion/motor.h"
#include "trunnion/sample.h"

/* Parts first, then what the section tells: the values of a sample come in this order. */
#define BODY                                                                                                     \
    "leaf: Osier Reach\nopens_to: 70 degree\ntoe: 12 m\n"                                                        \
    "parts:\n"                                                                                                   \
    "  - {name: girder, weight_per_length: 14 kN/m, from: [-3 m, -0.6 m], to: [12 m, 0.1 m], uncertainty: 3 %}\n" \
    "  - {name: deck, weight_per_area: 95 kg/m2, width: 6 m, from: [0.5 m, 0.8 m], to: [12 m, 0.8 m],\n"          \
    "     uncertainty: {range: [-10 %, 20 %], shape: triangular}}\n"                                             \
    "  - {name: lock, weight: 2 t, at: [11.6 m, 0.2 m], gyration: 0.4 m}\n"                                      \
    "  - {name: block, unit_weight: 2450 kg/m3, width: 6 m, uncertainty: {sd: 2 %, group: concrete},\n"          \
    "     outline: [[-6 m, -1.4 m], [-3 m, -1.4 m], [-3 m, 0.4 m], [-6 m, 0.4 m]]}\n"                            \
    "pockets: [{name: heel, at: [-5.6 m, 0.4 m], block: 45 kg, blocks: 40, room: 90}]\n"                         \
    "surfaces:\n"                                                                                                \
    "  - {name: deck, from: [0.5 m, 0.8 m], to: [12 m, 0.8 m], width: 6 m, solidity: 0.6, ice: true}\n"          \
    "  - {name: screen, from: [9 m, 0.8 m], to: [9.2 m, 2.6 m], width: 5 m, solidity: 0.9}\n"                    \
    "travel: {speed: 1.1 deg/s, accelerate_in: 4 s, creep: 15 %, near_open: 62 degree, near_closed: 7 degree,\n" \
    "  decelerate_in: 6 s}\n"                                                                                    \
    "brakes: [{name: motor brakes, count: 2, torque: 300 N m, ratio: 700, delay: 0.3 s, set_time: 0.5 s}]\n"

#define CASES                                                                                                         \
    "cases:\n"                                                                                                        \
    "  - {name: calm}\n"                                                                                              \
    "  - {name: windy, wind: {pressure: 180 Pa}, motor_limit: 1.2}\n"                                                 \
    "  - {name: start, friction: starting, accelerating: true, ice: 20 kg/m2, wind: {speed: 12 m/s, law: normal}}\n" \
    "holding:\n"                                                                                                      \
    "  - {name: storm, wind: {pressure: 700 Pa, law: normal}, ice: 10 kg/m2, factor: 1.1}\n"                          \
    "  - {name: windy, wind: {pressure: 300 Pa, from: toe}, friction_credit: 40 %}\n"

#define JOURNAL "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}, drag: 2 kN m}\n"
#define MOTORS "motors: {installed: 2, running: 2, power: 20 kW, speed: 870 rpm, inertia: 1.7 kg m2}\n"

#define SECTION                                                                             \
    "uncertainties:\n"                                                                      \
    "  - {of: moving friction, range: [0.08, 0.17], shape: triangular, group: grease}\n"    \
    "  - {of: starting friction, range: [0.1, 0.3], group: grease}\n"                       \
    "  - {of: drag, range: [0 kN m, 3 kN m]}\n"                                             \
    "  - {of: wind pressure, sd: 20 %}\n"                                                   \
    "  - {of: wind pressure, on: windy, range: [-30 %, 50 %]}\n"                            \
    "  - {of: wind speed, sd: 10 %}\n"                                                      \
    "  - {of: solidity, on: deck, range: [0.5, 0.8]}\n"                                     \
    "  - {of: ice, range: [-100 %, 50 %]}\n"                                                \
    "  - {of: x, on: block, sd: 30 mm}\n"                                                   \
    "  - {of: y, on: lock, range: [-5 cm, 10 cm]}\n"                                        \
    "  - {of: weight, on: lock, range: [1.8 t, 2.3 t], group: concrete}\n"                  \
    "  - {of: weight, on: heel, sd: 5 %}\n"                                                 \
    "  - {of: y, on: heel, sd: 40 mm}\n"

#define EFFICIENCY "  - {of: efficiency, range: [0.7, 0.9]}\n"

#define LINKED                                                                                                    \
    "linked_counterweight:\n  pivot: [-5 m, 4 m]\n  pin_on_leaf: [-2.6 m, 0.6 m]\n"                               \
    "  pin_on_counterweight: [-7.5 m, 4.6 m]\n  journal_diameter: 300 mm\n"                                       \
    "  friction: {starting: 0.18, moving: 0.12}\n"                                                                \
    "  parts: [{name: box, weight: 40 t, at: [-7.6 m, 4.2 m], gyration: 1.1 m, uncertainty: 2 %}]\n"              \
    "  pockets: [{name: box pocket, at: [-7.4 m, 4.4 m], block: 45 kg, blocks: 30, room: 90}]\n"

#define LINKED_SECTION                                                            \
    "  - {of: moving friction, on: linked counterweight, range: [0.05, 0.2]}\n"   \
    "  - {of: starting friction, on: linked counterweight, sd: 0.02}\n"           \
    "  - {of: x, on: box, sd: 20 mm}\n"

/* The numbers of a sample, in the order of the text. */
enum { GIRDER, DECK, BLOCK_WEIGHT };
enum { MOVING, STARTING, DRAG, PRESSURE, WINDY, SPEED, SOLIDITY, ICE };
enum { BLOCK_X = ICE + 1, LOCK_Y, LOCK_WEIGHT, HEEL, HEEL_Y, TOLD };

enum { INPUTS_MOST = 32, SAMPLES = 200 };

/* A leaf that is made for each sample. */
typedef struct made_leaf {
    trn_leaf leaf;
    trn_part parts[4];
    trn_pocket pocket;
    trn_surface surfaces[2];
    trn_journal journal;
    trn_drive drive;
    trn_linked_counterweight linked;
    trn_part box;
    trn_case cases[3];
    trn_holding holdings[2];
    trn_point corners[4];
} made_leaf;

static void make_weights(const trn_leaf *leaf, const double *parts, const double *told, made_leaf *made)
{
    memcpy(made->parts, leaf->parts, sizeof made->parts);
    made->parts[0].weight_per_length_N_m *= parts[GIRDER];
    made->parts[1].weight_per_area_N_m2 *= parts[DECK];
    made->parts[2].weight_N *= told[LOCK_WEIGHT];
    made->parts[2].at.y += told[LOCK_Y];
    made->parts[3].unit_weight_N_m3 *= parts[BLOCK_WEIGHT];
    for (size_t i = 0; i < 4; i++) {
        made->corners[i] = leaf->parts[3].outline.corners[i];
        made->corners[i].x += told[BLOCK_X];
    }
    made->parts[3].outline.corners = made->corners;
    made->pocket = leaf->pockets[0];
    made->pocket.block_N *= told[HEEL];
    made->pocket.at.y += told[HEEL_Y];
    made->leaf.parts = made->parts;
    made->leaf.pockets = &made->pocket;
}

static void blow(trn_wind *wind, double factor, double speed)
{
    wind->pressure_Pa *= factor;
    wind->speed_m_s *= wind->by_speed ? sqrt(factor) * speed : 1;
}

static void make_circumstances(const trn_leaf *leaf, const double *told, made_leaf *made)
{
    memcpy(made->cases, leaf->cases, sizeof made->cases);
    memcpy(made->holdings, leaf->holdings, sizeof made->holdings);
    blow(&made->cases[1].wind, told[PRESSURE] * told[WINDY], told[SPEED]);
    blow(&made->cases[2].wind, told[PRESSURE], told[SPEED]);
    blow(&made->holdings[0].wind, told[PRESSURE], told[SPEED]);
    blow(&made->holdings[1].wind, told[PRESSURE] * told[WINDY], told[SPEED]);
    made->cases[2].ice_N_m2 *= told[ICE];
    made->holdings[0].ice_N_m2 *= told[ICE];
    memcpy(made->surfaces, leaf->surfaces, sizeof made->surfaces);
    made->surfaces[0].solidity = told[SOLIDITY];
    made->leaf.surfaces = made->surfaces;
}

static void make_leaf(const trn_leaf *leaf, const double *values, made_leaf *made)
{
    const bool linked = leaf->linked_counterweight != NULL;
    const double *told = values + (linked ? 4 : 3);
    made->leaf = *leaf;
    make_weights(leaf, values, told, made);
    make_circumstances(leaf, told, made);
    made->journal = *leaf->trunnion;
    made->journal.friction.moving = told[MOVING];
    made->journal.friction.starting = told[STARTING];
    made->journal.drag_Nm = told[DRAG];
    made->leaf.trunnion = &made->journal;
    made->drive = *leaf->drive;
    made->drive.efficiency = told[TOLD];
    made->leaf.drive = &made->drive;
    if (linked) {
        made->linked = *leaf->linked_counterweight;
        made->box = made->linked.parts[0];
        made->box.weight_N *= values[3];
        made->box.at.x += told[TOLD + 3];
        made->linked.parts = &made->box;
        made->linked.journal.friction.moving = told[TOLD + 1];
        made->linked.journal.friction.starting = told[TOLD + 2];
        made->leaf.linked_counterweight = &made->linked;
    }
}

/* The inputs of a leaf, numbered as the header says. */
static size_t inputs_of(const trn_leaf *leaf, trn_input *inputs)
{
    const char *groups[INPUTS_MOST] = {NULL};
    trn_error error;
    size_t count = 0;
    const trn_part *parts[] = {&leaf->parts[0], &leaf->parts[1], &leaf->parts[3],
                               leaf->linked_counterweight != NULL ? leaf->linked_counterweight->parts : NULL};
    for (size_t i = 0; i < 4 && parts[i] != NULL; i++) {
        const trn_uncertainty own = {
            .of = TRN_UNCERTAIN_WEIGHT, .on = parts[i]->name, .distribution = parts[i]->uncertainty};
        groups[count] = own.distribution.group;
        assert_int_equal(trn_uncertainty_input(leaf, &own, &inputs[count++], NULL, &error), TRN_OK);
    }
    for (size_t i = 0; i < leaf->uncertainty_count; i++) {
        groups[count] = leaf->uncertainties[i].distribution.group;
        assert_int_equal(trn_uncertainty_input(leaf, &leaf->uncertainties[i], &inputs[count++], NULL, &error), TRN_OK);
    }
    size_t variables = 0;
    for (size_t i = 0; i < count; i++) {
        size_t first = 0;
        while (first < i && (groups[i] == NULL || groups[first] == NULL || strcmp(groups[first], groups[i]) != 0)) {
            first++;
        }
        inputs[i].variable = first < i ? inputs[first].variable : variables++;
    }
    return count;
}

/* Everything that the leaves of all samples give. */
typedef struct expected {
    double demands[3][2][SPREAD_ANGLES][SAMPLES];
    double peaks[3][2][SAMPLES];
    double held[2][SAMPLES];
} expected;

static double use_of(const trn_leaf *leaf, const trn_case *load_case, const trn_moments *at, int direction)
{
    if (at->has_pressure) {
        return (direction == 0 ? at->pressure_opening_Pa : at->pressure_closing_Pa) /
               (load_case->motor_limit * leaf->drive->cylinder.pressure_Pa);
    }
    return fabs(direction == 0 ? at->motor_opening_Nm : at->motor_closing_Nm) /
           (load_case->motor_limit * trn_motor_rated_torque(leaf->motors));
}

static void expect_sample(const made_leaf *of, size_t sample, expected *all)
{
    trn_error error = {0};
    trn_moments rows[SPREAD_ANGLES];
    double held[SPREAD_ANGLES];
    for (size_t c = 0; c < 3; c++) {
        assert_int_equal(trn_leaf_curve(&of->leaf, &of->cases[c], spread_angles, SPREAD_ANGLES, rows, &error), TRN_OK);
        for (int d = 0; d < 2; d++) {
            all->peaks[c][d][sample] = 0;
            for (size_t i = 0; i < SPREAD_ANGLES; i++) {
                all->demands[c][d][i][sample] = d == 0 ? rows[i].opening_Nm : rows[i].closing_Nm;
                all->peaks[c][d][sample] =
                    fmax(all->peaks[c][d][sample], use_of(&of->leaf, &of->cases[c], &rows[i], d));
            }
        }
    }
    for (size_t h = 0; h < 2; h++) {
        assert_int_equal(
            trn_holding_demand(&of->leaf, &of->holdings[h], spread_angles, SPREAD_ANGLES, held, &error), TRN_OK);
        all->held[h][sample] = 0;
        for (size_t i = 0; i < SPREAD_ANGLES; i++) {
            all->held[h][sample] = fmax(all->held[h][sample], held[i]);
        }
    }
}

static void assert_values(const trn_spread_values *got, double *values, double scale)
{
    double sum = 0;
    double squares = 0;
    for (size_t i = 0; i < SAMPLES; i++) {
        sum += values[i] / SAMPLES;
    }
    for (size_t i = 0; i < SAMPLES; i++) {
        squares += (values[i] - sum) * (values[i] - sum);
    }
    gsl_sort(values, 1, SAMPLES);
    assert_close_at(got->p05, values[9], 1e-11, scale);
    assert_close_at(got->p50, values[99], 1e-11, scale);
    assert_close_at(got->p95, values[189], 1e-11, scale);
    assert_close_at(got->mean, sum, 1e-11, scale);
    assert_close_at(got->sd, sqrt(squares / (SAMPLES - 1)), 1e-9, scale);
}

static double share_over(const double *values, double limit)
{
    double over = 0;
    for (size_t i = 0; i < SAMPLES; i++) {
        over += values[i] > limit;
    }
    return over / SAMPLES;
}

static void compare(trn_spread *run, const trn_leaf *leaf, expected *all)
{
    const trn_spread_result *result = trn_spread_result_of(run);
    for (size_t c = 0; c < 3; c++) {
        double either[SAMPLES];
        for (size_t k = 0; k < SAMPLES; k++) {
            either[k] = fmax(all->peaks[c][0][k], all->peaks[c][1][k]);
        }
        assert_same_bits(result->cases[c].over_limit_probability, share_over(either, 1));
        for (size_t d = 0; d < 2; d++) {
            const trn_spread_side *side = &result->cases[c].sides[d];
            assert_same_bits(side->over_limit_probability, share_over(all->peaks[c][d], 1));
            assert_values(&side->peak_use, all->peaks[c][d], 1);
            for (size_t i = 0; i < SPREAD_ANGLES; i++) {
                assert_values(&result->cases[c].rows[d * SPREAD_ANGLES + i].demand_Nm, all->demands[c][d][i], 1e5);
            }
        }
    }
    for (size_t h = 0; h < 2; h++) {
        const trn_spread_holding *holding = &result->holdings[h];
        assert_close(holding->capacity_Nm, trn_brake_capacity(leaf), 1e-15);
        assert_same_bits(holding->not_held_probability,
                         share_over(all->held[h], holding->capacity_Nm / leaf->holdings[h].factor));
        assert_values(&holding->demand_Nm, all->held[h], 1e5);
    }
}

/* The run of a leaf against the leaves of its samples. */
static void assert_samples(const char *text)
{
    static expected all;
    static double values[INPUTS_MOST * SAMPLES];
    trn_input inputs[INPUTS_MOST];
    trn_description *description = read_well(text);
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_spread_settings settings = spread_settings(leaf);
    trn_spread *run = spread_run(leaf, &settings);
    const size_t count = inputs_of(leaf, inputs);
    trn_sample_inputs(inputs, count, (trn_stream){settings.seed, 0}, 0, SAMPLES, values);
    for (size_t k = 0; k < SAMPLES; k++) {
        double one[INPUTS_MOST];
        made_leaf made;
        for (size_t i = 0; i < count; i++) {
            one[i] = values[i * SAMPLES + k];
        }
        make_leaf(leaf, one, &made);
        expect_sample(&made, k, &all);
        double demand;
        double use;
        const size_t c = k % 2;
        const size_t d = k / 2 % 2;
        const size_t angle = k % SPREAD_ANGLES;
        const trn_direction direction = d == 0 ? TRN_OPENING : TRN_CLOSING;
        trn_spread_demand(run, &(trn_spread_question){c, direction, angle, k}, &demand, &use);
        assert_close_at(demand, all.demands[c][d][angle][k], 1e-12, 1e5);
        assert_true(use <= all.peaks[c][d][k] * (1 + 1e-12));
    }
    compare(run, leaf, &all);
    trn_spread_free(run);
    trn_description_free(description);
}

static void plain_ratio(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL MOTORS "drive: {ratio: 700, efficiency: 0.8}\n" SECTION EFFICIENCY);
}

static void rack(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL MOTORS "drive: {ratio: 700, efficiency: 0.8, rack: {radius: 1.5 m, pinion: -118 "
                                             "degree, pressure_angle: 20 degree}}\n" SECTION EFFICIENCY);
}

static void strut(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL MOTORS "drive: {strut: {on_leaf: [2 m, 1.4 m], pinion: [-3.6 m, 5.2 m], "
                                             "pinion_radius: 0.28 m, ratio: 300}, efficiency: 0.8}\n"
                   SECTION EFFICIENCY);
}

static void cylinders(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL
                   "drive: {cylinder: {on_leaf: [3 m, -1 m], anchor: [1 m, -6 m], bore: 200 mm, rod: 140 mm, count: 2, "
                   "pressure: 60 bar}, efficiency: 0.8}\n" SECTION EFFICIENCY);
}

static void linked_counterweight(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL MOTORS LINKED
                   "drive: {ratio: 700, efficiency: 0.8}\n" SECTION EFFICIENCY LINKED_SECTION);
}

static void linked_and_rack(void **state)
{
    (void)state;
    assert_samples(BODY CASES JOURNAL MOTORS LINKED
                   "drive: {ratio: 700, efficiency: 0.8, rack: {radius: 1.5 m, pinion: -118 degree, pressure_angle: 20 "
                   "degree}}\n" SECTION EFFICIENCY LINKED_SECTION);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(plain_ratio), cmocka_unit_test(rack),
        cmocka_unit_test(strut),       cmocka_unit_test(cylinders),
        cmocka_unit_test(linked_counterweight), cmocka_unit_test(linked_and_rack),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

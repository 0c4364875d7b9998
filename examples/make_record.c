/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Makes the records of balance tests in examples/records, which are invented:
 * a leaf that differs somewhat from its description, its friction and gear
 * loss, and noise from a generator with a stated seed. What each record holds
 * stands in the list of recipes, and in examples/records/README.md.
 *
 *     cc make_record.c $(pkg-config --cflags --libs trunnion gsl) -o make_record
 *     ./make_record metric examples/metric.yaml > metric.csv
 */
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <trunnion/trunnion.h>

static const double degree = 3.14159265358979323846 / 180;

enum { OPENING_AND_CLOSING = 2 };

/* How a record is made. */
typedef struct recipe {
    const char *name;
    trn_record_kind kind;
    unsigned long seed;
    int runs;
    double from_deg[OPENING_AND_CLOSING]; /* the angles of each direction */
    double to_deg[OPENING_AND_CLOSING];
    double step_deg;
    double a_more; /* of the leaf over its description, shares of W R */
    double b_more;
    double coefficient;     /* of friction */
    double friction_growth; /* over the travel, share of the friction */
    double loss_factor;     /* true efficiency over the described one */
    double noise;           /* standard deviation, share of W R */
    double burst_from_deg;  /* while opening, readings go wrong between these */
    double burst_to_deg;
    double burst;    /* by so many W R */
    double wind_m_s; /* mean of the recorded wind, from the heel; 0: no wind column */
} recipe;

#define WHOLE .from_deg = {6, 6}, .to_deg = {70, 70}, .step_deg = 0.5
#define SOUND .coefficient = 0.105, .loss_factor = 1, .noise = 0.01

static const recipe recipes[] = {
    {.name = "metric",
     .kind = TRN_RECORD_MOTOR_TORQUE,
     .seed = 1101,
     .runs = 2,
     WHOLE,
     .a_more = 0.08,
     .b_more = -0.03,
     SOUND},
    {.name = "metric_power",
     .kind = TRN_RECORD_MOTOR_POWER,
     .seed = 1112,
     .runs = 1,
     WHOLE,
     .a_more = 0.08,
     .b_more = -0.03,
     SOUND},
    {.name = "metric_short_closing",
     .kind = TRN_RECORD_MOTOR_TORQUE,
     .seed = 1103,
     .runs = 1,
     .from_deg = {6, 6},
     .to_deg = {70, 45},
     .step_deg = 0.5,
     .a_more = 0.08,
     .b_more = -0.03,
     SOUND},
    {.name = "metric_wrong_loss",
     .kind = TRN_RECORD_MOTOR_TORQUE,
     .seed = 1104,
     .runs = 1,
     WHOLE,
     .a_more = 0.08,
     .b_more = -0.03,
     .coefficient = 0.105,
     .loss_factor = 0.88,
     .noise = 0.005},
    {.name = "metric_burst",
     .kind = TRN_RECORD_MOTOR_TORQUE,
     .seed = 1105,
     .runs = 1,
     WHOLE,
     .a_more = 0.08,
     .b_more = -0.03,
     SOUND,
     .burst_from_deg = 30,
     .burst_to_deg = 37,
     .burst = 0.9},
    {.name = "metric_growing_friction",
     .kind = TRN_RECORD_MOTOR_TORQUE,
     .seed = 1106,
     .runs = 1,
     WHOLE,
     .a_more = 0.08,
     .b_more = -0.03,
     .coefficient = 0.105,
     .loss_factor = 1,
     .noise = 0.01,
     .friction_growth = 0.5},
    {.name = "us",
     .kind = TRN_RECORD_SHAFT_STRAIN,
     .seed = 2101,
     .runs = 1,
     WHOLE,
     .a_more = 0.15,
     .b_more = 0.02,
     SOUND},
    {.name = "us_windy",
     .kind = TRN_RECORD_SHAFT_STRAIN,
     .seed = 2102,
     .runs = 1,
     WHOLE,
     .a_more = 0.15,
     .b_more = 0.02,
     SOUND,
     .wind_m_s = 3},
    {.name = "us_heavy_deck",
     .kind = TRN_RECORD_SHAFT_STRAIN,
     .seed = 2103,
     .runs = 1,
     WHOLE,
     .a_more = 0.9,
     .b_more = 0.1,
     SOUND},
};

static const char *const headings[] = {
    [TRN_RECORD_LEAF_TORQUE] = "leaf torque [kN m]",   [TRN_RECORD_MOTOR_TORQUE] = "motor torque [N m]",
    [TRN_RECORD_SHAFT_TORQUE] = "shaft torque [kN m]", [TRN_RECORD_SHAFT_STRAIN] = "shaft strain [1e-6]",
    [TRN_RECORD_MOTOR_POWER] = "motor power [kW]",
};

/* A record in the making. */
typedef struct maker {
    const recipe *how;
    const trn_leaf *leaf;
    trn_balance described;
    trn_loading calm;
    gsl_rng *random;
    double time_s;
} maker;

static double efficiency_of(const maker *with)
{
    const double described = with->how->kind == TRN_RECORD_SHAFT_STRAIN ? with->leaf->gauged_shaft->efficiency
                                                                        : with->leaf->drive->efficiency;
    return described * with->how->loss_factor;
}

/* Torque at the leaf, positive opens. */
static double leaf_torque(const maker *with, trn_direction direction, double angle_rad)
{
    const recipe *how = with->how;
    const trn_balance *described = &with->described;
    const double size = described->moment_Nm;
    const double a = described->closed_moment_Nm + how->a_more * size;
    const double b = size * sin(described->angle_rad) + how->b_more * size;
    const trn_journal *trunnion = with->leaf->trunnion;
    const double reaction = trn_loading_moments(&with->calm, angle_rad).reaction_opening_N;
    const double steady = how->coefficient * reaction * trunnion->diameter_m / 2 + trunnion->drag_Nm;
    const double friction = steady * (1 + how->friction_growth * (angle_rad / with->leaf->opens_to_rad - 0.5));
    return a * cos(angle_rad) - b * sin(angle_rad) + (direction == TRN_OPENING ? friction : -friction);
}

/* What the gauge or meter shows for a torque at the leaf. */
static double shown(const maker *with, trn_direction direction, double torque_Nm, double angle_rad)
{
    const double sense = direction == TRN_OPENING ? 1 : -1;
    const double efficiency = efficiency_of(with);
    const double before_loss = torque_Nm * sense >= 0 ? torque_Nm / efficiency : torque_Nm * efficiency;
    if (with->how->kind == TRN_RECORD_SHAFT_STRAIN) {
        const trn_gauged_shaft *shaft = with->leaf->gauged_shaft;
        return before_loss / (shaft->ratio * shaft->shafts) / trn_gauged_torque(shaft, 1) * 1e6;
    }
    if (with->how->kind == TRN_RECORD_MOTOR_POWER) {
        return sense * before_loss * with->leaf->travel->speed_rad_s / 1e3;
    }
    return before_loss / trn_drive_at(with->leaf->drive, trn_rotation_by(angle_rad)).ratio;
}

static double wind_moment(const maker *with, double speed_m_s, double angle_rad)
{
    trn_wind wind = with->leaf->wind_limits->wind;
    wind.by_speed = true;
    wind.speed_m_s = speed_m_s;
    return trn_wind_pressure(&wind) *
           trn_wind_on_surfaces(with->leaf->surfaces, with->leaf->surface_count, &wind, trn_rotation_by(angle_rad))
               .moment_Nm;
}

static void print_reading(maker *with, int run, trn_direction direction, double angle_deg)
{
    const recipe *how = with->how;
    const double angle_rad = angle_deg * degree;
    const double size = with->described.moment_Nm;
    double torque = leaf_torque(with, direction, angle_rad);
    double wind = 0;
    if (how->wind_m_s > 0) {
        /* As it is written, so that what is removed is what was there. */
        wind = round(10 * fmax(how->wind_m_s * (1 + gsl_ran_gaussian(with->random, 0.3)), 0)) / 10;
        torque += wind_moment(with, wind, angle_rad);
    }
    torque += gsl_ran_gaussian(with->random, how->noise * size);
    if (direction == TRN_OPENING && angle_deg >= how->burst_from_deg && angle_deg <= how->burst_to_deg) {
        torque += how->burst * size;
    }
    printf("%.3f,%d,%.2f,%s,%.4f", with->time_s, run, angle_deg, direction == TRN_OPENING ? "opening" : "closing",
           shown(with, direction, torque, angle_rad));
    if (how->wind_m_s > 0) {
        printf(",%.1f,heel", wind);
    }
    printf("\r\n");
    with->time_s += how->step_deg * degree / with->leaf->travel->speed_rad_s;
}

static void print_record(maker *with)
{
    const recipe *how = with->how;
    printf("time [s],run,angle [degree],direction,%s%s\r\n", headings[how->kind],
           how->wind_m_s > 0 ? ",wind speed [m/s],wind side" : "");
    for (int run = 1; run <= how->runs; run++) {
        for (int i = 0; i < OPENING_AND_CLOSING; i++) {
            const int steps = (int)lround((how->to_deg[i] - how->from_deg[i]) / how->step_deg);
            for (int k = 0; k <= steps; k++) {
                const int from_closed = i == 0 ? k : steps - k;
                print_reading(with, run, (trn_direction)i, how->from_deg[i] + from_closed * how->step_deg);
            }
            with->time_s += 60;
        }
    }
}

static const recipe *find_recipe(const char *name)
{
    for (size_t i = 0; i < sizeof recipes / sizeof recipes[0]; i++) {
        if (strcmp(recipes[i].name, name) == 0) {
            return &recipes[i];
        }
    }
    return NULL;
}

static int make(const recipe *how, const trn_leaf *leaf)
{
    maker with = {.how = how, .leaf = leaf, .described = trn_leaf_balance(leaf)};
    const trn_case calm = trn_default_case();
    trn_error error;
    if (trn_loading_prepare(leaf, &calm, &with.calm, &error) != TRN_OK) {
        (void)fprintf(stderr, "%s\n", error.text);
        return EXIT_FAILURE;
    }
    with.random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(with.random, how->seed);
    print_record(&with);
    gsl_rng_free(with.random);
    return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

static int make_for(const recipe *how, const char *leaf_file)
{
    static char text[1 << 20];
    static trn_faults faults;
    FILE *file = fopen(leaf_file, "rb");
    if (file == NULL) {
        (void)fprintf(stderr, "cannot open %s\n", leaf_file);
        return EXIT_FAILURE;
    }
    const size_t length = fread(text, 1, sizeof text, file);
    (void)fclose(file);
    trn_description *description = NULL;
    if (trn_description_read(text, length, &description, &faults) != TRN_OK) {
        (void)fprintf(stderr, "%s cannot be read\n", leaf_file);
        return EXIT_FAILURE;
    }
    const int status = make(how, trn_description_leaf(description));
    trn_description_free(description);
    return status;
}

int main(int argument_count, char **arguments)
{
    const recipe *how = argument_count == 3 ? find_recipe(arguments[1]) : NULL;
    if (how == NULL) {
        (void)fprintf(stderr, "usage: make_record RECIPE LEAF.yaml    where RECIPE is one of:\n");
        for (size_t i = 0; i < sizeof recipes / sizeof recipes[0]; i++) {
            (void)fprintf(stderr, "  %s\n", recipes[i].name);
        }
        return EXIT_FAILURE;
    }
    return make_for(how, arguments[2]);
}

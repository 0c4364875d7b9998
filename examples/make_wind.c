/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Makes the record of wind in examples/records, which is invented: a mean
 * speed, noise that fades within some seconds, and three gusts of the shape
 * "1 - cosine". The generator has a stated seed.
 *
 *     cc make_wind.c $(pkg-config --cflags --libs gsl) -o make_wind
 *     ./make_wind > gusty.csv
 */
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static const unsigned long seed = 3101;
static const double lasts_s = 240;
static const double step_s = 0.5;
static const double mean_m_s = 8.5;
static const double noise_m_s = 1.2; /* standard deviation */
static const double fades_in_s = 5;

static const struct {
    double start_s;
    double lasts_s;
    double rise_m_s;
} gusts[] = {{40, 10, 5}, {62, 8, 7}, {165, 12, 6}};

static double gust_m_s(double time_s)
{
    double sum = 0;
    for (size_t i = 0; i < sizeof gusts / sizeof gusts[0]; i++) {
        const double share = (time_s - gusts[i].start_s) / gusts[i].lasts_s;
        if (share > 0 && share < 1) {
            sum += gusts[i].rise_m_s / 2 * (1 - cos(2 * 3.14159265358979323846 * share));
        }
    }
    return sum;
}

int main(void)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(random, seed);
    const double kept = exp(-step_s / fades_in_s);
    double noise = gsl_ran_gaussian(random, noise_m_s);
    printf("time [s],speed [m/s]\r\n");
    for (int i = 0; i <= (int)lround(lasts_s / step_s); i++) {
        const double time_s = i * step_s;
        printf("%.1f,%.2f\r\n", time_s, fmax(mean_m_s + noise + gust_m_s(time_s), 0));
        noise = kept * noise + gsl_ran_gaussian(random, noise_m_s * sqrt(1 - kept * kept));
    }
    gsl_rng_free(random);
    return fflush(stdout) == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

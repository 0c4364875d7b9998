/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "angles.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "message.h"
#include "trunnion/describe.h"

static const double pi = 3.14159265358979323846;

double radians_of(double angle_deg)
{
    return angle_deg * pi / 180;
}

double degrees_of(double angle_rad)
{
    const double degrees = angle_rad * 180 / pi;
    const double rounded = nearbyint(degrees * 1e9) / 1e9;
    return fabs(degrees - rounded) <= 2e-15 * fabs(degrees) ? rounded : degrees;
}

exit_status angle_option(const char *option, const char *text, double least_deg, double most_deg, double *angle_deg)
{
    trn_error error;
    double angle_rad;
    const trn_status status = trn_angle_read(text, &angle_rad, &error);
    if (status == TRN_NO_MEMORY || status == TRN_NO_UNITS) {
        return fail(EXIT_MACHINE, "%s", trn_status_text(status));
    }
    if (status != TRN_OK) {
        return fail(EXIT_BAD_INPUT, "%s %s: %s", option, text, error.text);
    }
    const double degrees = degrees_of(angle_rad);
    if (!(degrees >= least_deg && degrees <= most_deg)) {
        return fail(EXIT_BAD_INPUT, "%s %s: expected an angle from %g to %g degree, such as 10deg", option, text,
                    least_deg, most_deg);
    }
    *angle_deg = degrees;
    return EXIT_DONE;
}

exit_status angle_list_make(double opens_to_rad, double step_deg, angle_list *list)
{
    const double opens_to_deg = degrees_of(opens_to_rad);
    const size_t steps = (size_t)ceil(opens_to_deg / step_deg - 1e-9);
    const size_t count = (steps > 0 ? steps : 1) + 1;
    double *numbers = malloc(2 * count * sizeof *numbers);
    if (numbers == NULL) {
        return fail_memory();
    }
    *list = (angle_list){.degrees = numbers, .radians = numbers + count, .count = count};
    for (size_t i = 0; i < count; i++) {
        const bool last = i + 1 == count;
        list->degrees[i] = last ? opens_to_deg : (double)i * step_deg;
        list->radians[i] = last ? opens_to_rad : radians_of(list->degrees[i]);
    }
    return EXIT_DONE;
}

void angle_list_free(angle_list *list)
{
    free(list->degrees);
    *list = (angle_list){0};
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What goes by time, and inputs, of measures.h. */
#include "exact_times.h"
#include "measures.h"

void measure_gust(bounds &on, chance_leaf &with)
{
    uint64_t *state = &with.state;
    const trn_gust gust = {chance(state, 0.5), between(state, 0, 15), between(state, 0, 300), between(state, 2, 30),
                           between(state, 0, 40)};
    trn_wind_point points[6];
    double time = between(state, 0, 5);
    for (trn_wind_point &point : points) {
        point = {time, between(state, 0, 20)};
        time += between(state, 0.1, 12);
    }
    const trn_wind_record record = {chance(state, 0.5), points, 6};
    const double at = between(state, 0, 70);
    const trn_gust *with_gust = chance(state, 0.7) ? &gust : NULL;
    const trn_wind_record *with_record = chance(state, 0.5) ? &record : NULL;
    on.check("trn_wind_pressure_at", "pressure", trn_wind_pressure_at(&with.load_case.wind, with_gust, with_record, at),
             pressure_at(with.load_case.wind, with_gust, with_record, at));
}

void measure_travel(bounds &on, chance_leaf &with)
{
    const trn_leaf &leaf = with.leaf;
    const trn_direction direction = chance(&with.state, 0.5) ? TRN_OPENING : TRN_CLOSING;
    trn_phase got[TRN_PHASES_MAX];
    const size_t count = trn_travel_phases(leaf.travel, leaf.opens_to_rad, direction, got);
    const std::vector<exact_phase> want = phases_of(*leaf.travel, leaf.opens_to_rad, direction);
    on.check("trn_travel_acceleration", "acceleration", trn_travel_acceleration(leaf.travel),
             travel_acceleration(*leaf.travel));
    for (size_t i = 0; i < count && count == want.size(); i++) {
        on.check("trn_travel_phases", "start", got[i].start_rad, want[i].start);
        on.check("trn_travel_phases", "speed", got[i].speed_rad_s, want[i].speed);
        on.check("trn_travel_phases", "acceleration", got[i].acceleration_rad_s2, want[i].acceleration);
        on.check("trn_travel_phases", "duration", got[i].duration_s, want[i].duration);
    }
}

void measure_stop(bounds &on, chance_leaf &with)
{
    trn_leaf leaf = with.leaf;
    trn_part part = trn_default_part();
    part.weight_N = over_decades(&with.state, 1e5, 1e7);
    part.gyration_m = between(&with.state, 3, 12);
    trn_drive drive = {};
    drive.ratio = with.leaf.drive->ratio;
    drive.efficiency = 1;
    trn_brake brake = with.leaf.brakes[0];
    brake.set_time_s = 0;
    leaf.parts = &part;
    leaf.part_count = 1;
    leaf.pocket_count = 0;
    leaf.linked_counterweight = NULL;
    leaf.drive = &drive;
    leaf.brakes = &brake;
    leaf.brake_count = 1;
    const exact_stop want = leaf.trunnion != NULL ? stop_of(leaf) : exact_stop{1e9, 0, 0, 0};
    /* Slow stops are many steps of the same kind, and say nothing more. */
    if (want.time.value > 3 || brake.count < 1)
        return;
    trn_stop got;
    double heat = 0;
    if (trn_leaf_stop(&leaf, 0.5, TRN_OPENING, &got, &heat, NULL) != TRN_OK)
        return;
    on.check("trn_leaf_stop, constant moments", "time", got.time_s, want.time);
    on.check("trn_leaf_stop, constant moments", "run", got.run_rad, want.run);
    on.check("trn_leaf_stop, constant moments", "peak deceleration", got.peak_deceleration_rad_s2, want.peak);
    on.check("trn_leaf_stop, constant moments", "heat", heat, want.heat);
}

void measure_inputs(bounds &on, chance_leaf &with)
{
    uint64_t *state = &with.state;
    trn_uncertainty about = {};
    about.of = TRN_UNCERTAIN_EFFICIENCY;
    about.distribution.shape = trn_distribution_shape(whole_between(state, TRN_UNIFORM, TRN_TRIANGULAR));
    about.distribution.relative = chance(state, 0.5);
    about.distribution.sd = between(state, 0.001, 0.05);
    trn_input got;
    const exact mean = with.leaf.drive->efficiency;
    if (trn_uncertainty_input(&with.leaf, &about, &got, NULL, NULL) == TRN_OK) {
        const exact sd = about.distribution.sd * (about.distribution.relative ? mean : exact(1));
        const exact width = sd * sqrt(exact(about.distribution.shape == TRN_UNIFORM ? 3 : 6));
        on.check("trn_uncertainty_input", "sd", got.sd, sd);
        on.check("trn_uncertainty_input", "low, high", got.low, mean - width);
        on.check("trn_uncertainty_input", "low, high", got.high, mean + width);
    }
    trn_addition addition = {};
    addition.name = "rail";
    addition.kind = TRN_ADDITION_ALONG;
    addition.weight_N = between(state, -1e5, 1e5);
    addition.from = {between(state, -5, 0), 1};
    addition.to = {between(state, 1, 9), 2};
    trn_part part;
    if (trn_addition_part(&with.leaf, &addition, &part, NULL) == TRN_OK)
        on.check("trn_addition_part", "weight per length", part.weight_per_length_N_m,
                 addition.weight_N / length_of(gap(addition.from, addition.to)));
    const double least = over_decades(state, 1e-2, 1e4);
    const double preferred = trn_preferred_number(least);
    on.check("trn_preferred_number", "number", preferred, exact(std::round(preferred * 1e4)) / 10000);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The wind in the steps of explain. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "trunnion/wind.h"
#include "work.h"

static void work_pressure(const scene *at, const trn_wind *wind)
{
    if (wind->by_speed) {
        worked_step(at->made, "p", "C ½ ρ v²", QUANTITY_PRESSURE, at->loading->pressure_Pa,
                    "%.6g × ½ × %.6g kg/m³ × (%.6g m/s)²", wind->coefficient, wind->density_kg_m3, wind->speed_m_s);
    } else {
        worked_step(at->made, wind->law == TRN_WIND_INCIDENCE ? "q" : "p", "as given", QUANTITY_PRESSURE,
                    at->loading->pressure_Pa, "%s", "");
    }
}

/* One surface under wind from the heel, all of its pressure. */
typedef struct strip {
    const trn_surface *surface;
    double length_m;
    double inclination_rad;
    double force_N; /* with its sign along the law's own direction */
    trn_wind_action action;
    double mean_factor; /* mean of the height factor over the strip; 1 without a profile */
} strip;

static strip strip_of(const scene *at, const trn_surface *surface, const trn_wind *wind)
{
    trn_wind uniform = *wind;
    uniform.profile = NULL;
    const trn_wind_action unit = trn_wind_on_surface(surface, wind, at->rotation);
    const trn_wind_action even = trn_wind_on_surface(surface, &uniform, at->rotation);
    const trn_point along = {surface->to.x - surface->from.x, surface->to.y - surface->from.y};
    const double size = hypot(even.force.x, even.force.y);
    const trn_point turned = trn_point_rotate(along, at->rotation);
    const double normal = unit.force.x * turned.y - unit.force.y * turned.x;
    const double length = trn_point_distance(surface->from, surface->to);
    const double p = at->loading->pressure_Pa;
    return (strip){
        .surface = surface,
        .length_m = length,
        .inclination_rad = atan2(turned.y, turned.x),
        .force_N = p * (wind->law == TRN_WIND_PROJECTED ? unit.force.x : normal / length),
        .action = {.moment_Nm = unit.moment_Nm * p, .force = {unit.force.x * p, unit.force.y * p}},
        .mean_factor = size > 0 ? hypot(unit.force.x, unit.force.y) / size : 1,
    };
}

/* p phi b L, the part of the force that all laws share. */
static void common_numbers(const scene *at, const strip *of, char *text, size_t size)
{
    const worked *made = at->made;
    (void)snprintf(text, size, "%s × %.6g × %s × %s", show(made, QUANTITY_PRESSURE, at->loading->pressure_Pa).text,
                   of->surface->solidity, show(made, QUANTITY_LENGTH, of->surface->width_m).text,
                   show(made, QUANTITY_LENGTH, of->length_m).text);
    if (at->loading->load_case->wind.profile != NULL) {
        const size_t used = strlen(text);
        (void)snprintf(text + used, size - used, " × %.6g (mean height factor)", of->mean_factor);
    }
}

static void work_projected(const scene *at, const strip *of)
{
    char common[320];
    common_numbers(at, of, common, sizeof common);
    const double arm = of->force_N > 0 ? of->action.moment_Nm / of->force_N : 0;
    worked_step(at->made, of->surface->name, "F = p φ b L |sin β|", QUANTITY_FORCE, of->force_N, "%s × |sin %s|",
                common, show(at->made, QUANTITY_ANGLE, of->inclination_rad).text);
    worked_step(at->made, of->surface->name,
                at->loading->load_case->wind.profile == NULL ? "M = F Ȳ"
                                                             : "M = F times the height of its line of action",
                QUANTITY_MOMENT, of->action.moment_Nm, "%s × %s", show(at->made, QUANTITY_FORCE, of->force_N).text,
                show(at->made, QUANTITY_LENGTH, arm).text);
}

static void work_normal(const scene *at, const strip *of)
{
    const trn_wind *wind = &at->loading->load_case->wind;
    const bool by_incidence = wind->law == TRN_WIND_INCIDENCE;
    char common[320];
    char coefficient[120] = "";
    common_numbers(at, of, common, sizeof common);
    if (by_incidence) {
        const double incidence = atan2(fabs(sin(of->inclination_rad)), fabs(cos(of->inclination_rad)));
        (void)snprintf(coefficient, sizeof coefficient, " × %s%.6g (Cn at incidence %s)",
                       sin(of->inclination_rad) < 0 ? "−" : "",
                       trn_wind_normal_coefficient(wind->table, wind->table_count, incidence),
                       show(at->made, QUANTITY_ANGLE, incidence).text);
    }
    const double arm = fabs(of->force_N) > 0 ? of->action.moment_Nm / of->force_N : 0;
    worked_step(at->made, of->surface->name, by_incidence ? "F = q Cn φ b L, sign of sin β" : "F = p φ b L",
                QUANTITY_FORCE, of->force_N, "%s%s", common, coefficient);
    worked_step(at->made, of->surface->name,
                wind->profile == NULL ? "M = F (P̄·t̂)" : "M = F times the distance of its line of action",
                QUANTITY_MOMENT, of->action.moment_Nm, "%s × %s", show(at->made, QUANTITY_FORCE, of->force_N).text,
                show(at->made, QUANTITY_LENGTH, arm).text);
}

static void work_direction(const scene *at, trn_direction direction, double heel_moment_Nm)
{
    const bool opening = direction == TRN_OPENING;
    const double sense = trn_wind_sense(at->loading->load_case->wind.from, direction);
    worked_step(at->made, opening ? "wind while opening" : "wind while closing",
                sense > 0 ? "d Σ M, d = +1: from the heel" : "d Σ M, d = −1: from the toe", QUANTITY_MOMENT,
                opening ? at->moments.wind_opening_Nm : at->moments.wind_closing_Nm, "%s1 × (%s)",
                sense > 0 ? "+" : "−", show(at->made, QUANTITY_MOMENT, heel_moment_Nm).text);
}

static const char *section_of(trn_wind_law law)
{
    switch (law) {
    case TRN_WIND_NORMAL:
        return "Wind from the heel, pressure normal to the surface";
    case TRN_WIND_INCIDENCE:
        return "Wind from the heel, coefficient over incidence";
    default:
        return "Wind from the heel, on the vertical projection";
    }
}

void work_wind(const scene *at)
{
    const trn_leaf *leaf = at->loading->leaf;
    const trn_wind *wind = &at->loading->load_case->wind;
    double heel_moment_Nm = 0;
    if (!(at->loading->pressure_Pa > 0)) {
        return;
    }
    at->made->section = section_of(wind->law);
    work_pressure(at, wind);
    for (size_t i = 0; i < leaf->surface_count; i++) {
        if (leaf->surfaces[i].takes_wind) {
            const strip of = strip_of(at, &leaf->surfaces[i], wind);
            heel_moment_Nm += of.action.moment_Nm;
            if (wind->law == TRN_WIND_PROJECTED) {
                work_projected(at, &of);
            } else {
                work_normal(at, &of);
            }
        }
    }
    work_direction(at, TRN_OPENING, heel_moment_Nm);
    work_direction(at, TRN_CLOSING, heel_moment_Nm);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The steps of explain: what trn_loading_moments computes, term by term. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "angles.h"
#include "trunnion/ice.h"
#include "work.h"

number show(const worked *made, quantity what, double value)
{
    number shown;
    char text[DISPLAY_TEXT];
    (void)snprintf(shown.text, sizeof shown.text, "%s%s%s", display_text(&made->shown, what, value, text),
                   what == QUANTITY_ANGLE || what == QUANTITY_RATIO ? "" : " ", made->shown.of[what].unit);
    return shown;
}

static void work_part(const scene *at, const char *name, trn_body body, trn_point arm)
{
    const number weight = show(at->made, QUANTITY_FORCE, body.weight_N);
    worked_step(at->made, name, "W x", QUANTITY_MOMENT, body.a_Nm, "%s × (%s)", weight.text,
                show(at->made, QUANTITY_LENGTH, arm.x).text);
    worked_step(at->made, name, "W y", QUANTITY_MOMENT, body.b_Nm, "%s × (%s)", weight.text,
                show(at->made, QUANTITY_LENGTH, arm.y).text);
}

/* All that turns about one pivot; arms are measured from there. */
static void work_list(const scene *at, const trn_part *parts, size_t part_count, const trn_pocket *pockets,
                      size_t pocket_count, trn_point pivot)
{
    for (size_t i = 0; i < part_count; i++) {
        const trn_point centroid = trn_part_centroid(&parts[i]);
        work_part(at, parts[i].name, trn_part_body(&parts[i], pivot),
                  (trn_point){centroid.x - pivot.x, centroid.y - pivot.y});
    }
    for (size_t i = 0; i < pocket_count; i++) {
        work_part(at, pockets[i].name, trn_pocket_body(&pockets[i], pivot),
                  (trn_point){pockets[i].at.x - pivot.x, pockets[i].at.y - pivot.y});
    }
}

static void work_parts(const scene *at)
{
    const trn_leaf *leaf = at->loading->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    at->made->section = "Weights (closed position)";
    work_list(at, leaf->parts, leaf->part_count, leaf->pockets, leaf->pocket_count, (trn_point){0, 0});
    if (linked != NULL) {
        at->made->section = "Weights of the linked counterweight, about its pivot (closed position)";
        work_list(at, linked->parts, linked->part_count, linked->pockets, linked->pocket_count, linked->pivot);
    }
}

void work_turned(const scene *at, const char *term, const char *formula, trn_body body, double moment_Nm)
{
    const double angle_deg = degrees_of(at->angle_rad);
    worked_step(at->made, term, formula, QUANTITY_MOMENT, moment_Nm, "%s × cos %.10g° − (%s) × sin %.10g°",
                show(at->made, QUANTITY_MOMENT, body.a_Nm).text, angle_deg,
                show(at->made, QUANTITY_MOMENT, body.b_Nm).text, angle_deg);
}

static void work_balance(const scene *at)
{
    const trn_body body = at->loading->body;
    at->made->section = "Balance";
    worked_step(at->made, "A", "Σ W x", QUANTITY_MOMENT, body.a_Nm, "%s", "");
    worked_step(at->made, "B", "Σ W y", QUANTITY_MOMENT, body.b_Nm, "%s", "");
    if (at->loading->leaf->linked_counterweight == NULL) {
        work_turned(at, "M", "A cos θ − B sin θ", body, at->moments.balance_Nm);
    } else {
        work_turned(at, "M of the leaf", "A cos θ − B sin θ", body, trn_body_moment(body, at->rotation));
        work_linked_share(at);
    }
}

static void work_ice(const scene *at)
{
    const trn_leaf *leaf = at->loading->leaf;
    const double ice = at->loading->load_case->ice_N_m2;
    if (!(ice > 0)) {
        return;
    }
    at->made->section = "Ice";
    for (size_t i = 0; i < leaf->surface_count; i++) {
        const trn_surface *surface = &leaf->surfaces[i];
        if (surface->takes_ice) {
            const trn_body sheet = trn_ice_body(surface, 1, ice);
            worked_step(at->made, surface->name, "W = w b L", QUANTITY_FORCE, sheet.weight_N, "%s × %s × %s",
                        show(at->made, QUANTITY_PRESSURE, ice).text,
                        show(at->made, QUANTITY_LENGTH, surface->width_m).text,
                        show(at->made, QUANTITY_LENGTH, trn_point_distance(surface->from, surface->to)).text);
        }
    }
    work_turned(at, "ice moment", "Σ W x̄ cos θ − Σ W ȳ sin θ", at->loading->ice, at->moments.ice_Nm);
}

static void work_inertia(const scene *at)
{
    const double inertia = trn_loading_inertia(at->loading, at->angle_rad);
    const double own = at->loading->body.inertia_kg_m2 + at->loading->ice.inertia_kg_m2;
    if (!at->loading->load_case->accelerating) {
        return;
    }
    const trn_travel *travel = at->loading->leaf->travel;
    at->made->section = "Acceleration";
    worked_step(at->made, "α", "speed / time to reach it", QUANTITY_ACCELERATION, at->loading->acceleration_rad_s2,
                "%s/s / %.6g s", show(at->made, QUANTITY_ANGLE, travel->speed_rad_s).text, travel->accelerate_in_s);
    worked_step(at->made, "J", "leaf + ice + a linked counterweight's J ψ′²", QUANTITY_INERTIA, inertia, "%s + %s + %s",
                show(at->made, QUANTITY_INERTIA, at->loading->body.inertia_kg_m2).text,
                show(at->made, QUANTITY_INERTIA, at->loading->ice.inertia_kg_m2).text,
                show(at->made, QUANTITY_INERTIA, inertia - own).text);
    worked_step(at->made, "inertia", "J α, α in rad/s²", QUANTITY_MOMENT, at->moments.inertia_Nm, "%s × %.6g rad/s²",
                show(at->made, QUANTITY_INERTIA, inertia).text, at->loading->acceleration_rad_s2);
}

static void work_sums(const scene *at)
{
    const trn_moments *m = &at->moments;
    worked *made = at->made;
    made->section = "Demand at the leaf";
    worked_step(made, "opening", "balance + wind + ice + friction + inertia", QUANTITY_MOMENT, m->opening_Nm,
                "(%s) + (%s) + (%s) + %s + %s", show(made, QUANTITY_MOMENT, m->balance_Nm).text,
                show(made, QUANTITY_MOMENT, m->wind_opening_Nm).text, show(made, QUANTITY_MOMENT, m->ice_Nm).text,
                show(made, QUANTITY_MOMENT, m->friction_opening_Nm).text,
                show(made, QUANTITY_MOMENT, m->inertia_Nm).text);
    worked_step(made, "closing", "−balance − wind − ice + friction + inertia", QUANTITY_MOMENT, m->closing_Nm,
                "−(%s) − (%s) − (%s) + %s + %s", show(made, QUANTITY_MOMENT, m->balance_Nm).text,
                show(made, QUANTITY_MOMENT, m->wind_closing_Nm).text, show(made, QUANTITY_MOMENT, m->ice_Nm).text,
                show(made, QUANTITY_MOMENT, m->friction_closing_Nm).text,
                show(made, QUANTITY_MOMENT, m->inertia_Nm).text);
}

void work_moments(worked *made, const trn_loading *loading, double angle_rad)
{
    const scene at = {.made = made,
                      .loading = loading,
                      .angle_rad = angle_rad,
                      .rotation = trn_rotation_by(angle_rad),
                      .moments = trn_loading_moments(loading, angle_rad),
                      .drive = loading->leaf->drive != NULL
                                   ? trn_drive_at(loading->leaf->drive, trn_rotation_by(angle_rad))
                                   : (trn_drive_state){0}};
    work_parts(&at);
    work_balance(&at);
    work_wind(&at);
    work_ice(&at);
    work_inertia(&at);
    work_drive_state(&at);
    work_trunnion(&at);
    work_sums(&at);
    work_motor(&at);
    work_brakes(&at);
    work_wind_limits(&at);
}

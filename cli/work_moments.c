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

static void work_parts(const scene *at)
{
    static const trn_point trunnion = {0, 0};
    const trn_leaf *leaf = at->loading->leaf;
    at->made->section = "Weights (closed position)";
    for (size_t i = 0; i < leaf->part_count + leaf->pocket_count; i++) {
        const bool part = i < leaf->part_count;
        const trn_pocket *pocket = part ? NULL : &leaf->pockets[i - leaf->part_count];
        const trn_body body = part ? trn_part_body(&leaf->parts[i], trunnion) : trn_pocket_body(pocket, trunnion);
        const trn_point centroid = part ? trn_part_centroid(&leaf->parts[i]) : pocket->at;
        const number weight = show(at->made, QUANTITY_FORCE, body.weight_N);
        const char *name = part ? leaf->parts[i].name : pocket->name;
        worked_step(at->made, name, "W x", QUANTITY_MOMENT, body.a_Nm, "%s × (%s)", weight.text,
                    show(at->made, QUANTITY_LENGTH, centroid.x).text);
        worked_step(at->made, name, "W y", QUANTITY_MOMENT, body.b_Nm, "%s × (%s)", weight.text,
                    show(at->made, QUANTITY_LENGTH, centroid.y).text);
    }
}

static void work_turned(const scene *at, const char *term, const char *formula, trn_body body, double moment_Nm)
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
    work_turned(at, "M", "A cos θ − B sin θ", body, at->moments.balance_Nm);
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

static void work_reaction(const scene *at, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    const trn_wind_action wind = trn_loading_wind(at->loading, direction, at->angle_rad);
    const double down = at->loading->body.weight_N + at->loading->ice.weight_N - wind.force.y;
    worked_step(at->made, opening ? "V, opening" : "V, closing", "W + ice + wind's push down", QUANTITY_FORCE, down,
                "%s + %s + %s", show(at->made, QUANTITY_FORCE, at->loading->body.weight_N).text,
                show(at->made, QUANTITY_FORCE, at->loading->ice.weight_N).text,
                show(at->made, QUANTITY_FORCE, -wind.force.y).text);
    worked_step(at->made, opening ? "N, opening" : "N, closing", "√(H² + V²)", QUANTITY_FORCE,
                opening ? at->moments.reaction_opening_N : at->moments.reaction_closing_N, "√((%s)² + (%s)²)",
                show(at->made, QUANTITY_FORCE, wind.force.x).text, show(at->made, QUANTITY_FORCE, down).text);
}

static void work_friction(const scene *at, trn_direction direction)
{
    const trn_journal *journal = at->loading->leaf->trunnion;
    const bool opening = direction == TRN_OPENING;
    const double reaction = opening ? at->moments.reaction_opening_N : at->moments.reaction_closing_N;
    const double friction = opening ? at->moments.friction_opening_Nm : at->moments.friction_closing_Nm;
    const char *term = opening ? "F, opening" : "F, closing";
    if (journal == NULL) {
        worked_step(at->made, term, "none: the description has no trunnion", QUANTITY_MOMENT, friction, "%s", "");
        return;
    }
    worked_step(at->made, term, "μ N d/2 + drag", QUANTITY_MOMENT, friction, "%.6g × %s × %s / 2 + %s",
                trn_friction_coefficient(&journal->friction, at->loading->load_case->friction),
                show(at->made, QUANTITY_FORCE, reaction).text,
                show(at->made, QUANTITY_LENGTH, journal->diameter_m).text,
                show(at->made, QUANTITY_MOMENT, journal->drag_Nm).text);
}

static void work_trunnion(const scene *at)
{
    at->made->section = at->loading->load_case->friction == TRN_FRICTION_STARTING
                            ? "Trunnion: reaction and starting friction"
                            : "Trunnion: reaction and moving friction";
    work_reaction(at, TRN_OPENING);
    work_friction(at, TRN_OPENING);
    work_reaction(at, TRN_CLOSING);
    work_friction(at, TRN_CLOSING);
}

static void work_inertia(const scene *at)
{
    const double inertia = at->loading->body.inertia_kg_m2 + at->loading->ice.inertia_kg_m2;
    if (!at->loading->load_case->accelerating) {
        return;
    }
    const trn_travel *travel = at->loading->leaf->travel;
    at->made->section = "Acceleration";
    worked_step(at->made, "α", "speed / time to reach it, in degrees/s²", QUANTITY_ANGLE,
                at->loading->acceleration_rad_s2, "%s/s / %.6g s",
                show(at->made, QUANTITY_ANGLE, travel->speed_rad_s).text, travel->accelerate_in_s);
    worked_step(at->made, "J", "leaf + ice", QUANTITY_INERTIA, inertia, "%s + %s",
                show(at->made, QUANTITY_INERTIA, at->loading->body.inertia_kg_m2).text,
                show(at->made, QUANTITY_INERTIA, at->loading->ice.inertia_kg_m2).text);
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

static void work_motor_direction(const scene *at, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    const double demand = opening ? at->moments.opening_Nm : at->moments.closing_Nm;
    const double torque = opening ? at->moments.motor_opening_Nm : at->moments.motor_closing_Nm;
    const trn_drive *drive = at->loading->leaf->drive;
    const trn_motors *motors = at->loading->leaf->motors;
    const double alpha = at->loading->acceleration_rad_s2;
    char rotors[160] = "";
    if (alpha > 0) {
        (void)snprintf(rotors, sizeof rotors, " + %d × %s × %.8g × %.6g rad/s²", motors->installed,
                       show(at->made, QUANTITY_INERTIA, motors->inertia_kg_m2).text, drive->ratio, alpha);
    }
    const char *term = opening ? (demand < 0 ? "opening, the leaf overhauls" : "opening, the motors drive")
                               : (demand < 0 ? "closing, the leaf overhauls" : "closing, the motors drive");
    const char *formula = demand < 0 ? (alpha > 0 ? "(D η / i + Jm i α) / running" : "D η / i / running")
                                     : (alpha > 0 ? "(D / (i η) + Jm i α) / running" : "D / (i η) / running");
    worked_step(at->made, term, formula, QUANTITY_TORQUE, torque,
                demand < 0 ? "(%s × %.6g / %.8g%s) / %d" : "(%s / (%.6g × %.8g)%s) / %d",
                show(at->made, QUANTITY_MOMENT, demand).text, drive->efficiency, drive->ratio, rotors,
                motors->running);
}

static void work_motor(const scene *at)
{
    if (at->moments.has_motor) {
        at->made->section = "Torque of each running motor";
        work_motor_direction(at, TRN_OPENING);
        work_motor_direction(at, TRN_CLOSING);
    }
}

void work_moments(worked *made, const trn_loading *loading, double angle_rad)
{
    const scene at = {.made = made,
                      .loading = loading,
                      .angle_rad = angle_rad,
                      .rotation = trn_rotation_by(angle_rad),
                      .moments = trn_loading_moments(loading, angle_rad)};
    work_parts(&at);
    work_balance(&at);
    work_wind(&at);
    work_ice(&at);
    work_trunnion(&at);
    work_inertia(&at);
    work_sums(&at);
    work_motor(&at);
}

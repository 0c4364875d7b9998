/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reaction and friction of the trunnions in the steps of explain. */
#include <math.h>

#include "work.h"

/* The force of the link on the leaf; none without a linked counterweight. */
static trn_point link_on_leaf(const scene *at, bool opening)
{
    if (!at->moments.has_link) {
        return (trn_point){0, 0};
    }
    const trn_link_state link = trn_link_at(at->loading->leaf->linked_counterweight, at->rotation);
    const double pull = opening ? at->moments.link_opening_N : at->moments.link_closing_N;
    return (trn_point){-pull * link.along.x, -pull * link.along.y};
}

/* The force of the drive on the leaf; none where its place is not described. */
static trn_point drive_on_leaf(const scene *at, bool opening)
{
    const double force = opening ? at->moments.force_opening_N : at->moments.force_closing_N;
    const double spread = fabs(force);
    return (trn_point){force * at->drive.along.x + spread * at->drive.spread.x,
                       force * at->drive.along.y + spread * at->drive.spread.y};
}

static void work_reaction(const scene *at, bool opening)
{
    const worked *made = at->made;
    const trn_wind_action wind = trn_loading_wind(at->loading, opening ? TRN_OPENING : TRN_CLOSING, at->angle_rad);
    const trn_point link = link_on_leaf(at, opening);
    const trn_point drive = drive_on_leaf(at, opening);
    const double weights = at->loading->body.weight_N + at->loading->ice.weight_N;
    const double across = wind.force.x + link.x + drive.x;
    const double down = weights - wind.force.y - link.y - drive.y;
    if (at->moments.has_link || at->moments.has_force) {
        worked_step(at->made, opening ? "H, opening" : "H, closing", "across: wind + link + drive", QUANTITY_FORCE,
                    across, "(%s) + (%s) + (%s)", show(made, QUANTITY_FORCE, wind.force.x).text,
                    show(made, QUANTITY_FORCE, link.x).text, show(made, QUANTITY_FORCE, drive.x).text);
        worked_step(
            at->made, opening ? "V, opening" : "V, closing", "down: weight + ice + wind + link + drive", QUANTITY_FORCE,
            down, "%s + %s + (%s) + (%s) + (%s)", show(made, QUANTITY_FORCE, at->loading->body.weight_N).text,
            show(made, QUANTITY_FORCE, at->loading->ice.weight_N).text, show(made, QUANTITY_FORCE, -wind.force.y).text,
            show(made, QUANTITY_FORCE, -link.y).text, show(made, QUANTITY_FORCE, -drive.y).text);
    } else {
        worked_step(at->made, opening ? "V, opening" : "V, closing", "W + ice + wind's push down", QUANTITY_FORCE, down,
                    "%s + %s + (%s)", show(made, QUANTITY_FORCE, at->loading->body.weight_N).text,
                    show(made, QUANTITY_FORCE, at->loading->ice.weight_N).text,
                    show(made, QUANTITY_FORCE, -wind.force.y).text);
    }
    worked_step(at->made, opening ? "N, opening" : "N, closing", "√(H² + V²)", QUANTITY_FORCE,
                opening ? at->moments.reaction_opening_N : at->moments.reaction_closing_N, "√((%s)² + (%s)²)",
                show(made, QUANTITY_FORCE, across).text, show(made, QUANTITY_FORCE, down).text);
}

static double counterweight_friction(const scene *at, bool opening)
{
    const trn_linked_counterweight *linked = at->loading->leaf->linked_counterweight;
    if (linked == NULL) {
        return 0;
    }
    const double reaction =
        opening ? at->moments.counterweight_reaction_opening_N : at->moments.counterweight_reaction_closing_N;
    return trn_journal_friction_arm(&linked->journal, at->loading->load_case->friction) * reaction *
           fabs(trn_link_at(linked, at->rotation).rate);
}

static void work_friction(const scene *at, bool opening)
{
    const trn_journal *journal = at->loading->leaf->trunnion;
    const double reaction = opening ? at->moments.reaction_opening_N : at->moments.reaction_closing_N;
    const double friction = opening ? at->moments.friction_opening_Nm : at->moments.friction_closing_Nm;
    const double other = counterweight_friction(at, opening);
    const char *term = opening ? "F, opening" : "F, closing";
    if (journal == NULL) {
        worked_step(at->made, term, "no friction of the leaf: the description has no trunnion", QUANTITY_MOMENT,
                    friction, "%s", "");
        return;
    }
    worked_step(
        at->made, term, at->moments.has_link ? "μ N d/2 + drag + the counterweight's F |ψ′|" : "μ N d/2 + drag",
        QUANTITY_MOMENT, friction, at->moments.has_link ? "%.6g × %s × %s / 2 + %s + %s" : "%.6g × %s × %s / 2 + %s",
        trn_friction_coefficient(&journal->friction, at->loading->load_case->friction),
        show(at->made, QUANTITY_FORCE, reaction).text, show(at->made, QUANTITY_LENGTH, journal->diameter_m).text,
        show(at->made, QUANTITY_MOMENT, journal->drag_Nm).text, show(at->made, QUANTITY_MOMENT, other).text);
}

void work_trunnion(const scene *at)
{
    at->made->section = at->loading->load_case->friction == TRN_FRICTION_STARTING
                            ? "Trunnion: reaction and starting friction"
                            : "Trunnion: reaction and moving friction";
    for (int direction = TRN_OPENING; direction <= TRN_CLOSING; direction++) {
        const bool opening = direction == TRN_OPENING;
        if (at->moments.has_link) {
            work_link_forces(at, (trn_direction)direction);
        }
        work_reaction(at, opening);
        work_friction(at, opening);
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The linked counterweight in the steps of explain. */
#include <math.h>

#include "work.h"

void work_linked_share(const scene *at)
{
    const trn_link_state link = trn_link_at(at->loading->leaf->linked_counterweight, at->rotation);
    const trn_body body = at->loading->counterweight;
    const double psi = atan2(link.rotation.sine, link.rotation.cosine);
    const double own = trn_body_moment(body, link.rotation);
    worked_step(at->made, "ψ", "rotation of the counterweight, from the four-bar", QUANTITY_ANGLE, psi, "%s", "");
    worked_step(at->made, "ψ′", "dψ/dθ", QUANTITY_RATIO, link.rate, "%s", "");
    worked_step(at->made, "M of the counterweight", "A cos ψ − B sin ψ about its pivot", QUANTITY_MOMENT, own,
                "%s × cos %s − (%s) × sin %s", show(at->made, QUANTITY_MOMENT, body.a_Nm).text,
                show(at->made, QUANTITY_ANGLE, psi).text, show(at->made, QUANTITY_MOMENT, body.b_Nm).text,
                show(at->made, QUANTITY_ANGLE, psi).text);
    worked_step(at->made, "M", "M of the leaf + M of the counterweight × ψ′", QUANTITY_MOMENT, at->moments.balance_Nm,
                "%s + (%s) × %s",
                show(at->made, QUANTITY_MOMENT, trn_body_moment(at->loading->body, at->rotation)).text,
                show(at->made, QUANTITY_MOMENT, own).text, show(at->made, QUANTITY_RATIO, link.rate).text);
}

void work_link_forces(const scene *at, trn_direction direction)
{
    const bool opening = direction == TRN_OPENING;
    const trn_linked_counterweight *linked = at->loading->leaf->linked_counterweight;
    const trn_link_state link = trn_link_at(linked, at->rotation);
    const double pull = opening ? at->moments.link_opening_N : at->moments.link_closing_N;
    const double reaction =
        opening ? at->moments.counterweight_reaction_opening_N : at->moments.counterweight_reaction_closing_N;
    const double arm = trn_journal_friction_arm(&linked->journal, at->loading->load_case->friction);
    const double own = trn_body_moment(at->loading->counterweight, link.rotation);
    const double turning = (opening ? 1 : -1) * link.rate;
    const double inertia = at->loading->counterweight.inertia_kg_m2 * turning * at->loading->acceleration_rad_s2;
    const double friction = turning > 0 ? arm * reaction : turning < 0 ? -arm * reaction : 0;
    worked_step(at->made, opening ? "link, opening" : "link, closing",
                "(M of the counterweight + its inertia + its friction) / arm, positive pulls", QUANTITY_FORCE, pull,
                "(%s + (%s) + (%s)) / (%s)", show(at->made, QUANTITY_MOMENT, own).text,
                show(at->made, QUANTITY_MOMENT, inertia).text, show(at->made, QUANTITY_MOMENT, friction).text,
                show(at->made, QUANTITY_LENGTH, link.arm_m).text);
    worked_step(at->made, opening ? "N of the counterweight, opening" : "N of the counterweight, closing",
                "resultant of its weight and the link", QUANTITY_FORCE, reaction, "√((%s)² + (%s)²)",
                show(at->made, QUANTITY_FORCE, pull * link.along.x).text,
                show(at->made, QUANTITY_FORCE, at->loading->counterweight.weight_N - pull * link.along.y).text);
}

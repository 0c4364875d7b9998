/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The side view, to scale: the leaf as described, closed, and in outline fully open; the script turns it. */
#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "report.h"
#include "report_side.h"
#include "report_text.h"

#define VIEW_WIDTH 640.0
#define VIEW_MARGIN 16.0
#define VIEW_HIGHEST 620.0

trn_point side_place(const side_view *view, trn_point point)
{
    return (trn_point){view->trunnion.x + view->scale * point.x, view->trunnion.y - view->scale * point.y};
}

/* The box that holds what is drawn, in m. */
typedef struct box {
    trn_point low;
    trn_point high;
} box;

static void hold(box *all, trn_point point)
{
    all->low = (trn_point){fmin(all->low.x, point.x), fmin(all->low.y, point.y)};
    all->high = (trn_point){fmax(all->high.x, point.x), fmax(all->high.y, point.y)};
}

/* A point that turns with the leaf, or with the counterweight about its pivot. */
static trn_point turned(trn_point point, trn_point pivot, trn_rotation rotation)
{
    const trn_point arm = trn_point_rotate((trn_point){point.x - pivot.x, point.y - pivot.y}, rotation);
    return (trn_point){pivot.x + arm.x, pivot.y + arm.y};
}

/* The corners of a part. */
static void hold_part(box *all, const trn_part *part, trn_point pivot, trn_rotation rotation)
{
    if (part->shape == TRN_SHAPE_POINT) {
        hold(all, turned(part->at, pivot, rotation));
    } else if (part->shape == TRN_SHAPE_BLOCK) {
        for (size_t i = 0; i < part->outline.count; i++) {
            hold(all, turned(part->outline.corners[i], pivot, rotation));
        }
    } else {
        hold(all, turned(part->from, pivot, rotation));
        hold(all, turned(part->to, pivot, rotation));
    }
}

static void hold_leaf(box *all, const trn_leaf *leaf, trn_rotation rotation)
{
    const trn_point origin = {0, 0};
    for (size_t i = 0; i < leaf->part_count; i++) {
        hold_part(all, &leaf->parts[i], origin, rotation);
    }
    for (size_t i = 0; i < leaf->pocket_count; i++) {
        hold(all, turned(leaf->pockets[i].at, origin, rotation));
    }
    for (size_t i = 0; i < leaf->surface_count; i++) {
        hold(all, turned(leaf->surfaces[i].from, origin, rotation));
        hold(all, turned(leaf->surfaces[i].to, origin, rotation));
    }
    hold(all, turned((trn_point){leaf->toe_m, 0}, origin, rotation));
}

static void hold_counterweight(box *all, const trn_linked_counterweight *linked, trn_rotation rotation)
{
    const trn_link_state state = trn_link_at(linked, rotation);
    hold(all, linked->pivot);
    hold(all, state.pin_on_leaf);
    hold(all, state.pin_on_counterweight);
    for (size_t i = 0; i < linked->part_count; i++) {
        hold_part(all, &linked->parts[i], linked->pivot, state.rotation);
    }
    for (size_t i = 0; i < linked->pocket_count; i++) {
        hold(all, turned(linked->pockets[i].at, linked->pivot, state.rotation));
    }
}

static void hold_drive(box *all, const trn_drive *drive)
{
    if (drive->kind == TRN_DRIVE_STRUT) {
        hold(all, drive->strut.pinion);
    } else if (drive->kind == TRN_DRIVE_CYLINDER) {
        hold(all, drive->cylinder.anchor);
    } else if (drive->rack.radius_m > 0) {
        const double reach = 1.3 * drive->rack.radius_m;
        hold(all, (trn_point){reach * cos(drive->rack.pinion_rad), reach * sin(drive->rack.pinion_rad)});
    }
}

/* The highest point of the closed leaf, m. */
static double top_of_leaf(const trn_leaf *leaf)
{
    box closed = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}};
    hold_leaf(&closed, leaf, trn_rotation_by(0));
    return closed.high.y;
}

static side_view make_view(const trn_leaf *leaf)
{
    enum { STEPS = 24 };
    const double above = top_of_leaf(leaf) + 0.09 * leaf->toe_m;
    box all = {{0, 0}, {0, 0}};
    for (int i = 0; i <= STEPS; i++) {
        const trn_rotation rotation = trn_rotation_by(leaf->opens_to_rad * i / STEPS);
        hold_leaf(&all, leaf, rotation);
        hold(&all, trn_point_rotate((trn_point){leaf->toe_m, above}, rotation));
        hold(&all, trn_point_rotate((trn_point){0, above}, rotation));
        if (leaf->linked_counterweight != NULL) {
            hold_counterweight(&all, leaf->linked_counterweight, rotation);
        }
    }
    if (leaf->drive != NULL) {
        hold_drive(&all, leaf->drive);
    }
    const double width = all.high.x - all.low.x;
    const double height = all.high.y - all.low.y;
    const double room = VIEW_WIDTH - 2 * VIEW_MARGIN;
    side_view view = {.above_m = above};
    view.scale = fmin(room / width, (VIEW_HIGHEST - 2 * VIEW_MARGIN - 40) / height);
    view.width = VIEW_WIDTH;
    view.height = height * view.scale + 2 * VIEW_MARGIN + 40;
    const double spare = room - width * view.scale;
    view.trunnion =
        (trn_point){VIEW_MARGIN + spare / 2 - all.low.x * view.scale, VIEW_MARGIN + all.high.y * view.scale};
    return view;
}

/* Where the centre of gravity of leaf and linked counterweight stands at each angle, m: they turn differently. */
static json_t *centres_json(const report *of)
{
    const trn_linked_counterweight *linked = of->leaf->linked_counterweight;
    const trn_body leaf = trn_leaf_body(of->leaf);
    const trn_body other = trn_link_body(linked);
    const double weight_N = leaf.weight_N + other.weight_N;
    json_t *list = json_array();
    for (size_t i = 0; i < of->curves.angles.count; i++) {
        const trn_rotation rotation = trn_rotation_by(of->curves.angles.radians[i]);
        const trn_point own = trn_point_rotate((trn_point){leaf.a_Nm, leaf.b_Nm}, rotation);
        const trn_point arm =
            trn_point_rotate((trn_point){other.a_Nm, other.b_Nm}, trn_link_at(linked, rotation).rotation);
        json_t *point = json_pack("[f, f]", (own.x + arm.x + other.weight_N * linked->pivot.x) / weight_N,
                                  (own.y + arm.y + other.weight_N * linked->pivot.y) / weight_N);
        if (json_array_append_new(list, point) != 0) {
            json_decref(list);
            return NULL;
        }
    }
    return list;
}

/* What the script needs to turn the leaf. */
static void write_data(report *of, const side_view *view)
{
    const trn_leaf *leaf = of->leaf;
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    json_t *side = json_pack("{s:[f, f], s:f}", "trunnion", view->trunnion.x, view->trunnion.y, "scale", view->scale);
    int failed = side == NULL;
    if (linked != NULL) {
        json_t *psi = json_array();
        const trn_point pivot = side_place(view, linked->pivot);
        for (size_t i = 0; i < of->curves.angles.count; i++) {
            const trn_rotation rotation = trn_link_at(linked, trn_rotation_by(of->curves.angles.radians[i])).rotation;
            failed |= json_array_append_new(psi, json_real(degrees_of(atan2(rotation.sine, rotation.cosine))));
        }
        failed |= json_object_set_new(side, "pivot", json_pack("[f, f]", pivot.x, pivot.y));
        failed |= json_object_set_new(side, "pivot_m", json_pack("[f, f]", linked->pivot.x, linked->pivot.y));
        failed |= json_object_set_new(side, "psi_deg", psi);
        failed |= json_object_set_new(side, "centre", centres_json(of));
        failed |= json_object_set_new(side, "link",
                                      json_pack("[f, f, f, f]", linked->pin_on_leaf.x, linked->pin_on_leaf.y,
                                                linked->pin_on_counterweight.x, linked->pin_on_counterweight.y));
    }
    if (leaf->drive != NULL && leaf->drive->kind != TRN_DRIVE_RATIO) {
        const bool strut = leaf->drive->kind == TRN_DRIVE_STRUT;
        const trn_point pin = strut ? leaf->drive->strut.on_leaf : leaf->drive->cylinder.on_leaf;
        const trn_point fixed = strut ? leaf->drive->strut.pinion : leaf->drive->cylinder.anchor;
        failed |= json_object_set_new(side, "rod", json_pack("[f, f, f, f]", pin.x, pin.y, fixed.x, fixed.y));
    }
    of->data_failed |= failed;
    of->data_failed |= json_object_set_new(of->data, "side", side);
}

/* Where the leaf stands fully open, in outline: the same drawing, turned. */
static void draw_open(html *page, const char *body, trn_point about, double angle_deg)
{
    html_start(page, "use");
    html_attribute_f(page, "href", "#%s", body);
    html_attribute_f(page, "transform", "rotate(%.4f %.2f %.2f)", -angle_deg, about.x, about.y);
    html_attribute(page, "class", "ghost");
    html_end(page);
}

static void draw_toe_path(const report *of, html *page, const side_view *view)
{
    const trn_point toe = side_place(view, (trn_point){of->leaf->toe_m, 0});
    const trn_point end =
        side_place(view, trn_point_rotate((trn_point){of->leaf->toe_m, 0}, trn_rotation_by(of->leaf->opens_to_rad)));
    const double radius = of->leaf->toe_m * view->scale;
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fA%.2f %.2f 0 0 0 %.2f %.2f", toe.x, toe.y, radius, radius, end.x, end.y);
    html_attribute(page, "class", "toe-path");
    html_end(page);
}

static void draw_open_leaf(const report *of, html *page, const side_view *view)
{
    const trn_linked_counterweight *linked = of->leaf->linked_counterweight;
    draw_open(page, "leaf-body", view->trunnion, degrees_of(of->leaf->opens_to_rad));
    if (linked != NULL) {
        const trn_rotation rotation = trn_link_at(linked, trn_rotation_by(of->leaf->opens_to_rad)).rotation;
        draw_open(page, "counterweight-body", side_place(view, linked->pivot),
                  degrees_of(atan2(rotation.sine, rotation.cosine)));
    }
}

/* A length of 1, 2 or 5 times a power of ten, some fifth of the width. */
static void draw_scale_bar(const report *of, html *page, const side_view *view)
{
    const double factor = of->shown.of[QUANTITY_LENGTH].factor;
    const double most = view->width / view->scale * factor / 4;
    const double decade = pow(10, floor(log10(most)));
    const double length = decade * (most >= 5 * decade ? 5 : most >= 2 * decade ? 2 : 1);
    const double wide = length / factor * view->scale;
    const double y = view->height - 12;
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fv6h%.2fv-6M%.2f %.2fv6", VIEW_MARGIN, y - 6, wide, VIEW_MARGIN + wide / 2,
                     y - 6);
    html_attribute(page, "class", "scale-bar");
    html_end(page);
    side_text(page, VIEW_MARGIN + wide + 6, y, "words", NULL);
    html_text_f(page, "%g %s", length, of->shown.of[QUANTITY_LENGTH].unit);
    html_end(page);
}

static void describe(const report *of, html *page)
{
    const trn_balance *balance = &of->weighed.balance;
    html_start(page, "title");
    html_attribute(page, "id", "side-title");
    html_text(page, "Side view of the leaf, to scale");
    html_end(page);
    html_start(page, "desc");
    html_attribute(page, "id", "side-words");
    html_text_f(page,
                "The closed leaf seen from the side, its toe at the right, %s from the trunnion; in outline the leaf "
                "opened to %s. The centre of gravity of all that turns lies %s towards the toe of the trunnion and %s "
                "above it.%s",
                amount_of(&of->shown, QUANTITY_LENGTH, of->leaf->toe_m).text,
                amount_of(&of->shown, QUANTITY_ANGLE, of->leaf->opens_to_rad).text,
                amount_of(&of->shown, QUANTITY_LENGTH, balance->centre.x).text,
                amount_of(&of->shown, QUANTITY_LENGTH, balance->centre.y).text,
                of->leaf->linked_counterweight != NULL ? " The counterweight turns on a trunnion of its own." : "");
    html_end(page);
}

static void write_caption(const report *of, html *page)
{
    const trn_drive *drive = of->leaf->drive;
    const bool no_place = drive != NULL && drive->kind == TRN_DRIVE_RATIO && !(drive->rack.radius_m > 0);
    text_caption(page,
                 "Side view to scale, closed; in faint outline fully open. Numbers are those of the tables of weight. "
                 "Quartered circle G: centre of gravity%s. Dashed: surfaces for wind and ice, drawn a little beside "
                 "their place, so that both are seen. Squares: pockets. The "
                 "shoe stands at its distance from the trunnion; its height is not described.%s",
                 of->leaf->linked_counterweight != NULL ? " of leaf and counterweight together" : "",
                 no_place ? " Where the rack meshes is not described." : "");
}

void report_side_view(report *of, html *page)
{
    const side_view view = make_view(of->leaf);
    write_data(of, &view);
    text_section(page, "side", "Side view");
    html_start(page, "div");
    html_attribute(page, "class", "side");
    text_figure(page);
    html_start(page, "svg");
    html_attribute(page, "class", "view");
    html_attribute(page, "id", "side-view");
    html_attribute_f(page, "viewBox", "0 0 %.0f %.0f", view.width, view.height);
    html_attribute(page, "role", "img");
    html_attribute(page, "aria-labelledby", "side-title side-words");
    describe(of, page);
    draw_toe_path(of, page, &view);
    draw_open_leaf(of, page, &view);
    side_fixed(of, page, &view);
    side_counterweight(of, page, &view);
    side_rod(of, page, &view);
    side_leaf(of, page, &view);
    draw_scale_bar(of, page, &view);
    html_end(page);
    write_caption(of, page);
    side_readouts(page);
    html_end(page);
    html_end(page);
}

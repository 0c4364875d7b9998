/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exact_bodies.h"

namespace
{

const trn_point trunnion = {0, 0};

exact gravity()
{
    return exact(TRN_STANDARD_GRAVITY);
}

/* One part by itself; moments are taken over its weight, which may be 0. */
struct solid {
    exact weight;
    exact_point centroid;
    exact inertia;
};

solid line(const trn_part &part, const exact &weight)
{
    const exact_point along = gap(part.from, part.to);
    return {weight,
            {sum_of_given(part.from.x, part.to.x) / 2, sum_of_given(part.from.y, part.to.y) / 2},
            weight / gravity() * dot(along, along) / 12};
}

solid prism(trn_polygon outline, double width, double unit_weight)
{
    const exact_area area = area_of(outline);
    return {exact(unit_weight) * width * area.area, area.centroid, exact(unit_weight) * width / gravity() * area.polar};
}

/* Parallel axes: a void takes its own inertia and that of its weight about the joint centroid. */
solid block(const trn_part &part)
{
    const solid whole = prism(part.outline, part.width_m, part.unit_weight_N_m3);
    exact weight = whole.weight;
    exact_point first = {0, 0};
    exact inertia = whole.inertia;
    for (size_t i = 0; i < part.void_count; i++) {
        const solid gone = prism(part.voids[i].outline, part.voids[i].width_m, part.unit_weight_N_m3);
        const exact_point off = gone.centroid - whole.centroid;
        weight = weight - gone.weight;
        first = first - gone.weight * off;
        inertia = inertia - gone.inertia - gone.weight / gravity() * dot(off, off);
    }
    const exact_point shift = {first.x / weight, first.y / weight};
    return {weight, whole.centroid + shift, inertia - weight / gravity() * dot(shift, shift)};
}

solid solid_of(const trn_part &part)
{
    switch (part.shape) {
    case TRN_SHAPE_BAR:
        return line(part, part.weight_N > 0 ? exact(part.weight_N)
                                            : part.weight_per_length_N_m * length_of(gap(part.from, part.to)));
    case TRN_SHAPE_SLAB:
        return line(part, exact(part.weight_per_area_N_m2) * part.width_m * length_of(gap(part.from, part.to)));
    case TRN_SHAPE_BLOCK:
        return block(part);
    default:
        return {part.weight_N, given(part.at), exact(part.weight_N) / gravity() * part.gyration_m * part.gyration_m};
    }
}

} // namespace

exact_area area_of(trn_polygon polygon)
{
    exact twice = 0;
    exact_point first = {0, 0};
    exact polar = 0;
    const trn_point origin = polygon.corners[0];
    for (size_t i = 1; i + 1 < polygon.count; i++) {
        const exact_point p = gap(origin, polygon.corners[i]);
        const exact_point q = gap(origin, polygon.corners[i + 1]);
        const exact turn = cross(p, q);
        twice = twice + turn;
        first = first + turn * (p + q);
        polar = polar + turn * (dot(p, p) + dot(p, q) + dot(q, q));
    }
    const exact area = twice / 2;
    const exact_point offset = {first.x / (3 * twice), first.y / (3 * twice)};
    return {abs(area), given(origin) + offset, abs(polar / 12 - area * dot(offset, offset))};
}

exact_body body_of(const trn_part &part, trn_point pivot)
{
    const solid one = solid_of(part);
    const exact weight = one.weight * part.count;
    const exact_point arm = one.centroid - given(pivot);
    return {weight, weight * arm.x, weight * arm.y, part.count * one.inertia + weight / gravity() * dot(arm, arm)};
}

exact_point centroid_of(const trn_part &part)
{
    return solid_of(part).centroid;
}

exact_body body_of(const trn_pocket &pocket, trn_point pivot)
{
    const exact weight = exact(pocket.block_N) * pocket.blocks;
    const exact_point arm = given(pocket.at) - given(pivot);
    return {weight, weight * arm.x, weight * arm.y, weight / gravity() * dot(arm, arm)};
}

exact_body operator+(const exact_body &one, const exact_body &other)
{
    return {one.weight + other.weight, one.a + other.a, one.b + other.b, one.inertia + other.inertia};
}

static exact_body sum_of(const trn_part *parts, size_t part_count, const trn_pocket *pockets, size_t pocket_count,
                         trn_point pivot)
{
    exact_body total = {0, 0, 0, 0};
    for (size_t i = 0; i < part_count; i++)
        total = total + body_of(parts[i], pivot);
    for (size_t i = 0; i < pocket_count; i++)
        total = total + body_of(pockets[i], pivot);
    return total;
}

exact_body leaf_body(const trn_leaf &leaf)
{
    return sum_of(leaf.parts, leaf.part_count, leaf.pockets, leaf.pocket_count, trunnion);
}

exact_body link_body(const trn_linked_counterweight &linked)
{
    return sum_of(linked.parts, linked.part_count, linked.pockets, linked.pocket_count, linked.pivot);
}

exact_body ice_body(const trn_leaf &leaf, double weight_per_area)
{
    exact_body total = {0, 0, 0, 0};
    for (size_t i = 0; i < leaf.surface_count; i++) {
        const trn_surface &on = leaf.surfaces[i];
        if (!on.takes_ice)
            continue;
        const exact_point along = gap(on.from, on.to);
        const exact_point middle = {sum_of_given(on.from.x, on.to.x) / 2, sum_of_given(on.from.y, on.to.y) / 2};
        const exact weight = exact(weight_per_area) * on.width_m * length_of(along);
        total = total + exact_body{weight, weight * middle.x, weight * middle.y,
                                   weight / gravity() * (dot(along, along) / 12 + dot(middle, middle))};
    }
    return total;
}

/* The counterweight's pin by the law of cosines in the triangle of pivot and both pins. */
exact_link link_at(const trn_linked_counterweight &linked, double angle)
{
    const exact_point closed_arm = gap(linked.pivot, linked.pin_on_counterweight);
    const exact_point closed_line = gap(linked.pivot, linked.pin_on_leaf);
    const exact link_length = length_of(gap(linked.pin_on_counterweight, linked.pin_on_leaf));
    const exact arm_square = dot(closed_arm, closed_arm);
    const int side = cross(closed_line, closed_arm).value >= 0 ? 1 : -1;
    const exact_point pin = turned(given(linked.pin_on_leaf), turn_by(angle));
    const exact_point line = pin - given(linked.pivot);
    const exact square = dot(line, line);
    const exact share = (arm_square - link_length * link_length + square) / (2 * square);
    const exact height = side * sqrt(arm_square / square - share * share);
    const exact_point arm = {share * line.x - height * line.y, share * line.y + height * line.x};
    const exact_point link = line - arm;
    /* d/dtheta of |pin - arm end|^2 = 0, once and twice; a turning vector's derivative is its quarter turn. */
    const exact turns_arm = cross(arm, link);
    const exact rate = cross(pin, link) / turns_arm;
    const exact_point drift = {rate * arm.y - pin.y, pin.x - rate * arm.x};
    const exact_point inward = rate * rate * arm - pin;
    return {dot(closed_arm, arm) / arm_square,
            cross(closed_arm, arm) / arm_square,
            rate,
            (dot(drift, drift) + dot(link, inward)) / turns_arm,
            pin,
            given(linked.pivot) + arm,
            {link.x / link_length, link.y / link_length},
            turns_arm / link_length};
}

static exact angle_at_distance(const trn_linked_counterweight &linked, const exact &distance)
{
    const exact_point pin = given(linked.pin_on_leaf);
    const exact_point pivot = given(linked.pivot);
    const exact both = length_of(pin) * length_of(pivot);
    const exact cosine = (dot(pin, pin) + dot(pivot, pivot) - distance * distance) / (2 * both);
    if (mpfr::abs(cosine.value) >= 1)
        return exact(HUGE_VAL);
    const exact closed = atan2(cross(pivot, pin), dot(pivot, pin));
    exact first = HUGE_VAL;
    for (int side = -1; side <= 1; side += 2) {
        exact angle = side * acos(cosine) - closed;
        while (angle.value < 0)
            angle = angle + 2 * pi();
        while (angle.value >= (2 * pi()).value)
            angle = angle - 2 * pi();
        first = min(first, angle);
    }
    return first;
}

exact first_dead_point(const trn_linked_counterweight &linked)
{
    const exact arm = length_of(gap(linked.pivot, linked.pin_on_counterweight));
    const exact link = length_of(gap(linked.pin_on_counterweight, linked.pin_on_leaf));
    return min(angle_at_distance(linked, arm + link), angle_at_distance(linked, abs(arm - link)));
}

exact balance_at(const trn_leaf &leaf, double angle)
{
    const exact_body body = leaf_body(leaf);
    const exact_turn turn = turn_by(angle);
    const exact own = body.a * turn.cosine - body.b * turn.sine;
    if (leaf.linked_counterweight == NULL)
        return own;
    const exact_body other = link_body(*leaf.linked_counterweight);
    const exact_link link = link_at(*leaf.linked_counterweight, angle);
    return own + (other.a * link.cosine - other.b * link.sine) * link.rate;
}

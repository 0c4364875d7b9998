/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the side view shows: parts by their shape, pockets, surfaces, bearings, drive, link, shoes. */
#include <math.h>
#include <stdlib.h>

#include "report_side.h"
#include "report_text.h"

/* The most parts that get a number above the leaf. */
enum { NUMBERS = 40 };

void side_text(html *page, double x, double y, const char *class_name, const char *upright)
{
    html_start(page, "text");
    html_attribute_f(page, "x", "%.2f", x);
    html_attribute_f(page, "y", "%.2f", y);
    html_attribute(page, "class", class_name);
    if (upright != NULL) {
        html_attribute(page, "data-upright", upright);
    }
}

static void words_at(html *page, trn_point at, double dx, double dy, const char *words, const char *upright)
{
    side_text(page, at.x + dx, at.y + dy, "words", upright);
    html_text(page, words);
    html_end(page);
}

static void circle(html *page, trn_point at, double radius, const char *class_name)
{
    html_start(page, "circle");
    html_attribute_f(page, "cx", "%.2f", at.x);
    html_attribute_f(page, "cy", "%.2f", at.y);
    html_attribute_f(page, "r", "%.2f", radius);
    html_attribute(page, "class", class_name);
    html_end(page);
}

static void line(html *page, trn_point from, trn_point to, const char *class_name, const char *id)
{
    html_start(page, "path");
    if (id != NULL) {
        html_attribute(page, "id", id);
    }
    html_attribute_f(page, "d", "M%.2f %.2fL%.2f %.2f", from.x, from.y, to.x, to.y);
    html_attribute(page, "class", class_name);
    html_end(page);
}

/* The corners of an outline into a path that is open for more. */
static void put_outline(html *page, const side_view *view, trn_polygon outline)
{
    for (size_t i = 0; i < outline.count; i++) {
        const trn_point at = side_place(view, outline.corners[i]);
        (void)fprintf(page->stream, "%c%.2f %.2f", i == 0 ? 'M' : 'L', at.x, at.y);
    }
    (void)fputc('Z', page->stream);
}

/* A block with its voids, which stay empty (even-odd). */
static void draw_block(html *page, const side_view *view, const trn_part *part)
{
    html_start(page, "path");
    html_attribute(page, "class", "part block");
    (void)fputs(" d=\"", page->stream);
    put_outline(page, view, part->outline);
    for (size_t i = 0; i < part->void_count; i++) {
        put_outline(page, view, part->voids[i].outline);
    }
    (void)fputc('"', page->stream);
    html_element(page, "title", NULL, part->name);
    html_end(page);
}

static double heaviest(const report *of)
{
    double weight = 0;
    for (size_t i = 0; i < of->weighed.count; i++) {
        weight = fmax(weight, fabs(of->weighed.items[i].body.weight_N));
    }
    return weight;
}

/* Points have a size by their share of what the heaviest of all weighs. */
static void draw_part(html *page, const side_view *view, const trn_part *part, double share)
{
    if (part->shape == TRN_SHAPE_BLOCK) {
        draw_block(page, view, part);
        return;
    }
    const bool point = part->shape == TRN_SHAPE_POINT;
    const trn_point from = side_place(view, point ? part->at : part->from);
    const trn_point to = side_place(view, point ? part->at : part->to);
    html_start(page, point ? "circle" : "path");
    if (point) {
        html_attribute_f(page, "cx", "%.2f", from.x);
        html_attribute_f(page, "cy", "%.2f", from.y);
        html_attribute_f(page, "r", "%.2f", 3 + 9 * sqrt(share));
    } else {
        html_attribute_f(page, "d", "M%.2f %.2fL%.2f %.2f", from.x, from.y, to.x, to.y);
    }
    html_attribute(page, "class", point ? "part point" : part->shape == TRN_SHAPE_BAR ? "part bar" : "part slab");
    html_element(page, "title", NULL, part->name);
    html_end(page);
}

static void draw_pocket(html *page, const side_view *view, const trn_pocket *pocket)
{
    const trn_point at = side_place(view, pocket->at);
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fh9v9h-9z", at.x - 4.5, at.y - 4.5);
    html_attribute(page, "class", "pocket");
    html_element(page, "title", NULL, pocket->name);
    html_end(page);
}

/* What turns about one pivot; items are those of the account. */
static void draw_bodies(const report *of, html *page, const side_view *view, const trn_part *parts, size_t part_count,
                        const trn_pocket *pockets, size_t pocket_count, const item *items)
{
    const double most_N = heaviest(of);
    for (size_t i = 0; i < part_count; i++) {
        if (parts[i].shape == TRN_SHAPE_BLOCK) {
            draw_part(page, view, &parts[i], fabs(items[i].body.weight_N) / most_N);
        }
    }
    for (size_t i = 0; i < part_count; i++) {
        if (parts[i].shape != TRN_SHAPE_BLOCK) {
            draw_part(page, view, &parts[i], fabs(items[i].body.weight_N) / most_N);
        }
    }
    for (size_t i = 0; i < pocket_count; i++) {
        draw_pocket(page, view, &pockets[i]);
    }
}

static void draw_bearing(html *page, trn_point at, const char *words, double words_y)
{
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fl-13 22h26zM%.2f %.2fh40", at.x, at.y, at.x - 20, at.y + 22);
    html_attribute(page, "class", "bearing");
    html_end(page);
    circle(page, at, 6, "bearing");
    words_at(page, at, -4, words_y, words, NULL);
}

/* The shoe beneath the toe; as low as the lowest part near it. */
static void draw_shoe(const report *of, html *page, const side_view *view)
{
    double low = 0;
    for (size_t i = 0; i < of->leaf->part_count; i++) {
        const trn_part *part = &of->leaf->parts[i];
        const bool reaches = part->shape != TRN_SHAPE_BLOCK && part->shape != TRN_SHAPE_POINT;
        low = reaches && part->to.x > 0.8 * of->leaf->toe_m ? fmin(low, part->to.y) : low;
    }
    const trn_point at = side_place(view, (trn_point){of->leaf->toe_m, low});
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fh20v12h-20zM%.2f %.2fl-5 6m11 -6l-5 6m11 -6l-5 6m11 -6l-5 6", at.x - 10,
                     at.y + 5, at.x - 8, at.y + 17);
    html_attribute(page, "class", "bearing");
    html_end(page);
    side_text(page, at.x, at.y + 38, "words middle", NULL);
    html_text(page, "shoe");
    html_end(page);
}

static void draw_rack_pinion(const trn_rack *rack, html *page, const side_view *view)
{
    const double small = 0.12 * rack->radius_m;
    const double reach = rack->radius_m + small;
    const trn_point at = side_place(view, (trn_point){reach * cos(rack->pinion_rad), reach * sin(rack->pinion_rad)});
    circle(page, at, small * view->scale, "drive");
    words_at(page, at, small * view->scale + 4, 4, "pinion", NULL);
}

void side_fixed(const report *of, html *page, const side_view *view)
{
    const trn_drive *drive = of->leaf->drive;
    draw_bearing(page, view->trunnion, "trunnion", 38);
    draw_shoe(of, page, view);
    if (drive != NULL && drive->kind == TRN_DRIVE_STRUT) {
        const trn_point at = side_place(view, drive->strut.pinion);
        circle(page, at, fmax(drive->strut.pinion_radius_m * view->scale, 4), "drive");
        words_at(page, at, 10, -8, "pinion", NULL);
    } else if (drive != NULL && drive->kind == TRN_DRIVE_CYLINDER) {
        const trn_point at = side_place(view, drive->cylinder.anchor);
        circle(page, at, 5, "drive");
        words_at(page, at, 10, 8, "anchor", NULL);
    } else if (drive != NULL && drive->rack.radius_m > 0) {
        draw_rack_pinion(&drive->rack, page, view);
    }
}

/* A strut, or the rod of cylinders in its barrel, from the fixed point to the pin on the closed leaf. */
void side_rod(const report *of, html *page, const side_view *view)
{
    const trn_drive *drive = of->leaf->drive;
    if (drive == NULL || drive->kind == TRN_DRIVE_RATIO) {
        return;
    }
    const bool strut = drive->kind == TRN_DRIVE_STRUT;
    const trn_point fixed = side_place(view, strut ? drive->strut.pinion : drive->cylinder.anchor);
    const trn_point pin = side_place(view, strut ? drive->strut.on_leaf : drive->cylinder.on_leaf);
    line(page, fixed, pin, "drive rod", "rod");
    if (!strut) {
        const trn_point mid = {(fixed.x + pin.x) / 2, (fixed.y + pin.y) / 2};
        line(page, fixed, mid, "drive barrel", "barrel");
    }
}

void side_counterweight(const report *of, html *page, const side_view *view)
{
    const trn_linked_counterweight *linked = of->leaf->linked_counterweight;
    if (linked == NULL) {
        return;
    }
    const trn_point pivot = side_place(view, linked->pivot);
    const trn_point on_leaf = side_place(view, linked->pin_on_leaf);
    const trn_point pin = side_place(view, linked->pin_on_counterweight);
    const item *items = of->weighed.items + of->leaf->part_count + of->leaf->pocket_count;
    draw_bearing(page, pivot, "counterweight trunnion", -14);
    html_start(page, "g");
    html_attribute(page, "id", "counterweight-turn");
    html_start(page, "g");
    html_attribute(page, "id", "counterweight-body");
    line(page, pivot, pin, "part bar", NULL);
    for (size_t i = 0; i < linked->part_count; i++) {
        line(page, pivot, side_place(view, items[i].centroid), "part arm", NULL);
    }
    draw_bodies(of, page, view, linked->parts, linked->part_count, linked->pockets, linked->pocket_count, items);
    html_end(page);
    for (size_t i = 0; i < linked->part_count + linked->pocket_count && i < NUMBERS; i++) {
        const trn_point at = side_place(view, items[i].centroid);
        side_text(page, at.x + 14, at.y + 5, "item", "counterweight");
        html_text_f(page, "%zu", i + 1 + of->leaf->part_count + of->leaf->pocket_count);
        html_end(page);
    }
    html_end(page);
    line(page, on_leaf, pin, "link", "link");
}

static void draw_surfaces(const report *of, html *page, const side_view *view)
{
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        const trn_surface *one = &of->leaf->surfaces[i];
        const trn_point from = side_place(view, one->from);
        const trn_point to = side_place(view, one->to);
        const double length = hypot(to.x - from.x, to.y - from.y);
        const trn_point off = {(to.y - from.y) / length * 5, -(to.x - from.x) / length * 5};
        html_start(page, "path");
        html_attribute_f(page, "d", "M%.2f %.2fL%.2f %.2f", from.x + off.x, from.y + off.y, to.x + off.x, to.y + off.y);
        html_attribute(page, "class", "surface");
        html_element(page, "title", NULL, one->name);
        html_end(page);
    }
}

/* The pitch line of a rack on the leaf: what passes the pinion over the travel, and some more at both ends. */
static void draw_rack(const report *of, html *page, const side_view *view)
{
    const trn_rack *rack = &of->leaf->drive->rack;
    const double radius = rack->radius_m * view->scale;
    const double more = 0.08;
    const double first = rack->pinion_rad + more;
    const double last = rack->pinion_rad - of->leaf->opens_to_rad - more;
    const trn_point from = side_place(view, (trn_point){rack->radius_m * cos(first), rack->radius_m * sin(first)});
    const trn_point to = side_place(view, (trn_point){rack->radius_m * cos(last), rack->radius_m * sin(last)});
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fA%.2f %.2f 0 0 1 %.2f %.2f", from.x, from.y, radius, radius, to.x, to.y);
    html_attribute(page, "class", "rack");
    html_end(page);
}

/* A quartered circle, the sign of a centre of gravity. */
static void draw_centre(const report *of, html *page, const side_view *view)
{
    const trn_point at = side_place(view, of->weighed.balance.centre);
    html_start(page, "g");
    html_attribute(page, "id", "centre");
    circle(page, at, 7, "centre");
    html_start(page, "path");
    html_attribute_f(page, "d", "M%.2f %.2fh-7a7 7 0 0 1 7 -7zh7a7 7 0 0 1 -7 7z", at.x, at.y);
    html_attribute(page, "class", "centre filled");
    html_end(page);
    words_at(page, at, 11, -6, "G", of->leaf->linked_counterweight == NULL ? "leaf" : NULL);
    html_end(page);
}

/* A number above the leaf and what it points at. */
typedef struct number_mark {
    size_t number;
    trn_point at;
    double x;
} number_mark;

static int compare_marks(const void *a, const void *b)
{
    const number_mark *first = a;
    const number_mark *second = b;
    return first->at.x < second->at.x   ? -1
           : first->at.x > second->at.x ? 1
                                        : (first->number > second->number) - (first->number < second->number);
}

/* Numbers in a row above the leaf, kept apart, each with a line to its part. */
static void draw_numbers(const report *of, html *page, const side_view *view)
{
    const size_t count = of->leaf->part_count + of->leaf->pocket_count;
    const double apart = 20;
    number_mark marks[NUMBERS];
    if (count > NUMBERS || (double)count * apart > view->width) {
        return;
    }
    for (size_t i = 0; i < count; i++) {
        marks[i] = (number_mark){i + 1, side_place(view, of->weighed.items[i].centroid), 0};
    }
    qsort(marks, count, sizeof marks[0], compare_marks);
    for (size_t i = 0; i < count; i++) {
        marks[i].x = i > 0 ? fmax(marks[i].at.x, marks[i - 1].x + apart) : marks[i].at.x;
    }
    /* Half of what the last was pushed, back: the row stands over its parts. */
    const double back = (marks[count - 1].x - marks[count - 1].at.x) / 2;
    const double y = side_place(view, (trn_point){0, view->above_m}).y + 10;
    for (size_t i = 0; i < count; i++) {
        const double x = marks[i].x - back;
        line(page, (trn_point){x, y + 4}, marks[i].at, "leader", NULL);
        side_text(page, x, y, "item", "leaf");
        html_text_f(page, "%zu", marks[i].number);
        html_end(page);
    }
}

void side_leaf(const report *of, html *page, const side_view *view)
{
    const trn_leaf *leaf = of->leaf;
    html_start(page, "g");
    html_attribute(page, "id", "leaf-turn");
    draw_numbers(of, page, view);
    html_start(page, "g");
    html_attribute(page, "id", "leaf-body");
    draw_bodies(of, page, view, leaf->parts, leaf->part_count, leaf->pockets, leaf->pocket_count, of->weighed.items);
    draw_surfaces(of, page, view);
    if (leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_RATIO && leaf->drive->rack.radius_m > 0) {
        draw_rack(of, page, view);
    }
    html_end(page);
    if (leaf->linked_counterweight == NULL) {
        draw_centre(of, page, view);
    }
    circle(page, view->trunnion, 3, "axis");
    html_end(page);
    if (leaf->linked_counterweight != NULL) {
        draw_centre(of, page, view);
    }
}

void side_readouts(html *page)
{
    html_start(page, "div");
    html_attribute(page, "id", "readouts");
    html_attribute(page, "hidden", "");
    text_table(page, "Values at the angle of the slider", NULL, NULL, 0);
    text_table_end(page);
    html_end(page);
}

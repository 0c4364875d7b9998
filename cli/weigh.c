/* SPDX-License-Identifier: GPL-3.0-or-later */
/* weigh: what the leaf weighs, where its centre of gravity is, how far out of balance it is. */
#include "weigh.h"

#include <math.h>
#include <stdlib.h>

#include "angles.h"
#include "command.h"
#include "deliver.h"
#include "input.h"
#include "message.h"
#include "present/csv.h"
#include "present/json.h"
#include "present/table.h"
#include "totals.h"
#include "trunnion/moments.h"

static const trn_point trunnion = {0, 0};

static size_t count_items(const trn_leaf *leaf)
{
    const trn_linked_counterweight *linked = leaf->linked_counterweight;
    return leaf->part_count + leaf->pocket_count + (linked != NULL ? linked->part_count + linked->pocket_count : 0);
}

/* What turns about one pivot: the leaf itself, or its linked counterweight. */
static item *list_items(item *next, const trn_part *parts, size_t part_count, const trn_pocket *pockets,
                        size_t pocket_count, trn_point pivot)
{
    for (size_t i = 0; i < part_count; i++) {
        *next++ = (item){
            .name = parts[i].name, .body = trn_part_body(&parts[i], pivot), .centroid = trn_part_centroid(&parts[i])};
    }
    for (size_t i = 0; i < pocket_count; i++) {
        *next++ =
            (item){.name = pockets[i].name, .body = trn_pocket_body(&pockets[i], pivot), .centroid = pockets[i].at};
    }
    return next;
}

/* A linked counterweight's parts count with the share of their moment that its link brings to the leaf. */
static void list_linked_items(item *first, const trn_linked_counterweight *linked)
{
    const double rate = trn_link_at(linked, trn_rotation_by(0)).rate;
    item *end =
        list_items(first, linked->parts, linked->part_count, linked->pockets, linked->pocket_count, linked->pivot);
    for (item *one = first; one < end; one++) {
        one->body.a_Nm *= rate;
        one->body.inertia_kg_m2 *= rate * rate;
    }
}

exit_status account_make(const trn_leaf *leaf, account *made)
{
    const size_t count = count_items(leaf);
    item *items = malloc(count * sizeof *items);
    if (items == NULL) {
        return fail_memory();
    }
    item *next = list_items(items, leaf->parts, leaf->part_count, leaf->pockets, leaf->pocket_count, trunnion);
    if (leaf->linked_counterweight != NULL) {
        list_linked_items(next, leaf->linked_counterweight);
    }
    *made = (account){
        .leaf = leaf, .balance = trn_leaf_balance(leaf), .shown = display_for(leaf), .items = items, .count = count};
    return EXIT_DONE;
}

static void heading(table *made, const display *shown)
{
    static const char *const names[] = {"part", "weight", "x", "y", "closed moment", "inertia"};
    static const quantity units[] = {QUANTITY_FORCE, QUANTITY_LENGTH, QUANTITY_LENGTH, QUANTITY_MOMENT,
                                     QUANTITY_INERTIA};
    for (size_t i = 0; i < 6; i++) {
        table_cell(made, names[i]);
    }
    table_cell(made, "");
    for (size_t i = 0; i < 5; i++) {
        table_cell(made, shown->of[units[i]].unit);
    }
}

static void row(table *made, const display *shown, const char *name, trn_body body, trn_point centroid)
{
    char text[DISPLAY_TEXT];
    table_cell(made, name);
    table_cell(made, display_text(shown, QUANTITY_FORCE, body.weight_N, text));
    table_cell(made, display_text(shown, QUANTITY_LENGTH, centroid.x, text));
    table_cell(made, display_text(shown, QUANTITY_LENGTH, centroid.y, text));
    table_cell(made, display_text(shown, QUANTITY_MOMENT, body.a_Nm, text));
    table_cell(made, display_text(shown, QUANTITY_INERTIA, body.inertia_kg_m2, text));
}

static void line(table *made, const display *shown, const char *name, quantity what, double value, const char *remark)
{
    char text[DISPLAY_TEXT];
    table_cell(made, name);
    table_cell(made, display_text(shown, what, value, text));
    table_cell(made, shown->of[what].unit);
    table_cell(made, remark);
}

static void neutral_line(const account *of, table *made)
{
    const trn_balance *balance = &of->balance;
    if (balance->has_neutral_angle) {
        line(made, &of->shown, "neutral angle", QUANTITY_ANGLE, balance->neutral_angle_rad,
             balance->closed_moment_Nm > 0 ? "tends to close below it, to open above it"
                                           : "tends to open below it, to close above it");
        return;
    }
    table_cell(made, "neutral angle");
    table_cell(made, "none");
    table_cell(made, "");
    table_cell(made, "the moment keeps its sign over the whole travel");
}

const char *account_tendency(const account *of)
{
    const double closed_Nm = of->balance.closed_moment_Nm;
    const double rounding = 1e-12 * of->balance.weight_N * of->leaf->toe_m;
    return fabs(closed_Nm) <= rounding ? "in balance"
           : closed_Nm > 0             ? "leaf heavy: tends to stay closed"
                                       : "counterweight heavy: tends to open";
}

static exit_status summary(const account *of, FILE *stream)
{
    const trn_balance *balance = &of->balance;
    const display *shown = &of->shown;
    table made = table_make("lrll", 0);
    line(&made, shown, "weight W", QUANTITY_FORCE, balance->weight_N, "");
    line(&made, shown, "mass", QUANTITY_MASS, balance->mass_kg, "weight / 9.80665 m/s²");
    line(&made, shown, "centre of gravity x", QUANTITY_LENGTH, balance->centre.x, "towards the toe, closed");
    line(&made, shown, "centre of gravity y", QUANTITY_LENGTH, balance->centre.y, "above the trunnion, closed");
    line(&made, shown, "closed moment A", QUANTITY_MOMENT, balance->closed_moment_Nm, account_tendency(of));
    line(&made, shown, "moment W R", QUANTITY_MOMENT, balance->moment_Nm, "M(θ) = W R cos(θ + α), positive closes");
    line(&made, shown, "angle α", QUANTITY_ANGLE, balance->angle_rad, "of the centre of gravity above the horizontal");
    line(&made, shown, "toe reaction", QUANTITY_FORCE, balance->toe_reaction_N, "closed, from imbalance alone");
    neutral_line(of, &made);
    line(&made, shown, "inertia J", QUANTITY_INERTIA, balance->inertia_kg_m2, "about the trunnion");
    return table_print(&made, stream);
}

static exit_status weigh_table(const void *result, FILE *stream)
{
    const account *of = result;
    table made = table_make("lrrrrr", 2);
    (void)fprintf(stream, "%s: weight and balance\n\n", of->leaf->name);
    heading(&made, &of->shown);
    for (size_t i = 0; i < of->count; i++) {
        row(&made, &of->shown, of->items[i].name, of->items[i].body, of->items[i].centroid);
    }
    const trn_body whole = {.weight_N = of->balance.weight_N,
                            .a_Nm = of->balance.closed_moment_Nm,
                            .inertia_kg_m2 = of->balance.inertia_kg_m2};
    row(&made, &of->shown, "whole leaf", whole, of->balance.centre);
    const exit_status status = table_print(&made, stream);
    (void)fputc('\n', stream);
    return status == EXIT_DONE ? summary(of, stream) : status;
}

static void csv_numbers(FILE *stream, const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        csv_number(stream, values[i], false);
    }
}

static void csv_whole(FILE *stream, const account *of)
{
    const trn_balance *b = &of->balance;
    const double values[] = {b->weight_N,
                             b->mass_kg,
                             b->centre.x,
                             b->centre.y,
                             b->closed_moment_Nm,
                             b->moment_Nm,
                             degrees_of(b->angle_rad),
                             b->inertia_kg_m2,
                             b->toe_reaction_N};
    csv_text(stream, of->leaf->name, true);
    csv_text(stream, "", false);
    csv_numbers(stream, values, sizeof values / sizeof values[0]);
    if (b->has_neutral_angle) {
        csv_number(stream, degrees_of(b->neutral_angle_rad), false);
    } else {
        csv_nothing(stream, false);
    }
    csv_end_line(stream);
}

/* Of a part only what JSON says of it; the other columns belong to the whole. */
static void csv_part(FILE *stream, const account *of, const item *part)
{
    csv_text(stream, of->leaf->name, true);
    csv_text(stream, part->name, false);
    csv_number(stream, part->body.weight_N, false);
    csv_nothing(stream, false);
    csv_number(stream, part->centroid.x, false);
    csv_number(stream, part->centroid.y, false);
    csv_number(stream, part->body.a_Nm, false);
    csv_nothing(stream, false);
    csv_nothing(stream, false);
    csv_number(stream, part->body.inertia_kg_m2, false);
    csv_nothing(stream, false);
    csv_nothing(stream, false);
    csv_end_line(stream);
}

/* The whole leaf first, without a name, then its parts. */
static exit_status weigh_csv(const void *result, FILE *stream)
{
    const account *of = result;
    (void)fputs("leaf,name,weight_N,mass_kg,x_m,y_m,closed_moment_Nm,moment_Nm,angle_deg,inertia_kg_m2,toe_reaction_N,"
                "neutral_angle_deg\r\n",
                stream);
    csv_whole(stream, of);
    for (size_t i = 0; i < of->count; i++) {
        csv_part(stream, of, &of->items[i]);
    }
    return EXIT_DONE;
}

static json_t *parts_json(const account *of)
{
    json_t *parts = json_array();
    for (size_t i = 0; i < of->count && parts != NULL; i++) {
        const item *one = &of->items[i];
        json_t *part = json_pack("{s:s, s:f, s:f, s:f, s:f, s:f}", "name", one->name, "weight_N", one->body.weight_N,
                                 "x_m", one->centroid.x, "y_m", one->centroid.y, "closed_moment_Nm", one->body.a_Nm,
                                 "inertia_kg_m2", one->body.inertia_kg_m2);
        if (part == NULL || json_array_append_new(parts, part) != 0) {
            json_decref(parts);
            return NULL;
        }
    }
    return parts;
}

static exit_status weigh_json(const void *result, FILE *stream)
{
    const account *of = result;
    json_t *object = json_pack("{s:s}", "leaf", of->leaf->name);
    int failed = totals_put(object, &of->balance);
    failed |= json_object_set_new(object, "parts", parts_json(of));
    return json_write(json_unless(failed, object), stream);
}

static double heaviest(const account *of)
{
    double weight = 0;
    for (size_t i = 0; i < of->count; i++) {
        weight = fmax(weight, fabs(of->items[i].body.weight_N));
    }
    return weight;
}

/* A map of the weights: each a disc whose area goes with its weight. */
static exit_status weigh_plot(const void *result, FILE *script)
{
    const account *of = result;
    const double length = of->shown.of[QUANTITY_LENGTH].factor;
    const char *unit = of->shown.of[QUANTITY_LENGTH].unit;
    bool taken_away = false;
    (void)fputs("$weights << EOD\n", script);
    for (size_t i = 0; i < of->count; i++) {
        const item *one = &of->items[i];
        (void)fprintf(script, "%.10g %.10g %.10g %d\n", one->centroid.x * length, one->centroid.y * length,
                      9 * sqrt(fabs(one->body.weight_N) / heaviest(of)), one->body.weight_N < 0);
        taken_away = taken_away || one->body.weight_N < 0;
    }
    (void)fprintf(script, "EOD\n$centre << EOD\n%.10g %.10g\nEOD\n$trunnion << EOD\n0 0\nEOD\nset title ",
                  of->balance.centre.x * length, of->balance.centre.y * length);
    plot_string(script, of->leaf->name);
    (void)fprintf(
        script,
        ".additions\nset xlabel 'x from the trunnion towards the toe, %s'\nset ylabel 'y above the "
        "trunnion, %s'\n"
        "set key below horizontal maxcols 3\nset bmargin 7.5\nset offsets graph 0.06, graph 0.06, graph 0.25, graph "
        "0.25\n"
        "plot $weights using 1:($4 > 0 ? NaN : $2):3 with points pointtype 7 pointsize variable linecolor rgb "
        "'#8fb4dc' "
        "title 'parts, closed: area goes with weight', \\\n"
        " $weights using 1:($4 > 0 ? NaN : $2):3 with points pointtype (letters ? 7 : 6) pointsize variable linewidth "
        "1.5 linecolor rgb '#1f5fa8' "
        "notitle, \\\n"
        " $trunnion using 1:2 with points pointtype 1 pointsize 2.5 linewidth 3 linecolor rgb '#101010' "
        "title 'trunnion', \\\n"
        " $centre using 1:2 with points pointtype 12 pointsize 2 linewidth 2.5 linecolor rgb '#c2571a' "
        "title 'centre of gravity of the whole leaf'%s\n",
        unit, unit,
        taken_away ? ", \\\n $weights using 1:($4 > 0 ? $2 : NaN):3 with points pointtype 6 pointsize variable "
                     "linewidth 1.5 dashtype 2 linecolor rgb '#c2571a' title 'taken away'"
                   : "");
    return EXIT_DONE;
}

static exit_status weigh_leaf(const options *asked, const trn_leaf *leaf)
{
    static const presentation how = {weigh_table, weigh_csv, weigh_json, weigh_plot, {900, 480}};
    account made = {0};
    trn_error error;
    trn_leaf undriven = *leaf;
    undriven.drive = NULL;
    if (trn_leaf_check_motion(&undriven, &error) != TRN_OK) {
        return fail_leaf(asked, &error);
    }
    exit_status status = account_make(leaf, &made);
    if (status == EXIT_DONE) {
        status = deliver(asked, &how, &made);
        free(made.items);
    }
    return status;
}

exit_status command_weigh(const options *asked)
{
    return input_with_leaf(asked, weigh_leaf);
}

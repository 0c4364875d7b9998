/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Moments, motor torque and forces over the opening angle, case by case. */
#include <stdlib.h>
#include <string.h>

#include "angles.h"
#include "report.h"
#include "report_text.h"
#include "trunnion/motor.h"

static void write_wind_basis(const trn_wind *wind, basis *row)
{
    static const char *const formulas[] = {
        [TRN_WIND_PROJECTED] = "p φ b L |sin β| horizontally on the vertical projection",
        [TRN_WIND_NORMAL] = "p φ b L square to the surface at every angle",
        [TRN_WIND_INCIDENCE] = "p = q C_n(i), square to the surface; C_n by the table over the incidence i"};
    *row = (basis){"wind on a surface", formulas[wind->law],
                   "statics; pressure, law and coefficients are given: check the clause of the governing code"};
}

static void write_basis(const report *of, html *page)
{
    basis rows[9] = {
        {"opening demand", "D = M + M_{wind} + M_{ice} + F + J α", "equilibrium about the trunnion"},
        {"closing demand", "D = − M − M_{wind} − M_{ice} + F + J α", "equilibrium about the trunnion"},
        {"trunnion friction", "F = μ N d/2 + drag",
         "handbook form; the exact friction circle has sin(arctan μ) and is the smaller. Tables of μ in movable-bridge "
         "codes are from memory, check the clause"},
        {"ice", "M_{ice} = w b L X", "statics, on the gross area of the surfaces that carry it"},
        {"dynamic pressure", "q = ½ ρ v^2,  p = C q", "ρ = 1.25 kg/m³ unless given: recommended in EN 1991-1-4, 4.5"},
    };
    size_t count = 5;
    bool seen[3] = {false, false, false};
    for (size_t i = 0; i < of->movable_count; i++) {
        const trn_wind *wind = &of->movable[i].wind;
        if (trn_wind_pressure(wind) > 0 && !seen[wind->law]) {
            seen[wind->law] = true;
            write_wind_basis(wind, &rows[count++]);
        }
    }
    if (of->leaf->drive != NULL) {
        rows[count++] =
            of->leaf->drive->kind == TRN_DRIVE_CYLINDER
                ? (basis){"cylinders", "p = S / area,  S ds/dθ = D / η", "virtual work"}
                : (basis){"motor torque", "T = D / (i η) while driving, D η / i when overhauled; plus J_m i α",
                          of->leaf->drive->kind == TRN_DRIVE_STRUT
                              ? "virtual work; the strut's ratio i is ds/dθ over the pinion's radius"
                              : "virtual work"};
    }
    text_basis(page, rows, count);
}

static void write_case_inputs(const report *of, html *page, const trn_case *one)
{
    static const char *const laws[] = {[TRN_WIND_PROJECTED] = "on the vertical projection",
                                       [TRN_WIND_NORMAL] = "square to the surfaces",
                                       [TRN_WIND_INCIDENCE] = "by a table over incidence"};
    static const char *const sides[] = {[TRN_WIND_FROM_HEEL] = "from the heel side",
                                        [TRN_WIND_FROM_TOE] = "from the toe side",
                                        [TRN_WIND_FROM_ADVERSE] = "against the motion"};
    const double pressure_Pa = trn_wind_pressure(&one->wind);
    const bool starting = one->friction == TRN_FRICTION_STARTING;
    text_inputs(page, "Inputs of the case");
    if (of->leaf->trunnion != NULL) {
        const trn_friction *friction = &of->leaf->trunnion->friction;
        text_input(page, "friction", "%s, μ %.4g", starting ? "starting" : "moving",
                   starting ? friction->starting : friction->moving);
    } else {
        text_input(page, "friction", "none: no trunnion is described");
    }
    text_input(page, "accelerating", "%s", one->accelerating ? "yes" : "no");
    if (pressure_Pa > 0) {
        text_input(page, "wind", "%s %s, %s%s", amount_of(&of->shown, QUANTITY_PRESSURE, pressure_Pa).text,
                   laws[one->wind.law], sides[one->wind.from],
                   one->wind.profile != NULL ? ", growing with height (power law, common practice, no source)" : "");
    } else {
        text_input(page, "wind", "none");
    }
    if (one->wind.by_speed && pressure_Pa > 0) {
        text_input(page, "from a speed", "%s, coefficient %.4g, density %.4g kg/m³",
                   amount_of(&of->shown, QUANTITY_WIND_SPEED, one->wind.speed_m_s).text, one->wind.coefficient,
                   one->wind.density_kg_m3);
    }
    text_input(page, "ice", "%s",
               one->ice_N_m2 > 0 ? amount_of(&of->shown, QUANTITY_PRESSURE, one->ice_N_m2).text : "none");
    text_input(page, "allowed of the drive", "%.4g times rated", one->motor_limit);
    html_end(page);
}

/* A line of a chart of a case. */
typedef struct case_line {
    const char *key;
    const char *label;
    int style;
} case_line;

static const column *column_of(const char *key)
{
    size_t i = 0;
    while (strcmp(columns[i].key, key) != 0) {
        i++;
    }
    return &columns[i];
}

static void series_name(char name[SERIES_NAME], size_t case_index, const char *key)
{
    (void)snprintf(name, SERIES_NAME, "case %zu %s", case_index, key);
}

/* Fill values with a column as shown; false where it is empty. */
static bool take_column(report *of, size_t case_index, const char *key, double *values)
{
    const curves *all = &of->curves;
    const column *one = column_of(key);
    char name[SERIES_NAME];
    if (curves_column_is_empty(one, curves_of(all, case_index), all->angles.count)) {
        return false;
    }
    for (size_t i = 0; i < all->angles.count; i++) {
        values[i] = column_value(one, &curves_of(all, case_index)[i]);
    }
    series_name(name, case_index, key);
    data_series(of, name, values, all->angles.count);
    for (size_t i = 0; i < all->angles.count; i++) {
        values[i] *= of->shown.of[one->what].factor;
    }
    return true;
}

/* A chart of some columns of a case, and of limits where they are finite; words is its heading. */
static void draw_case(report *of, html *page, size_t case_index, const case_line *lines, size_t count, quantity what,
                      const char *kind, const char *title, double limit)
{
    const curves *all = &of->curves;
    char id[48];
    char words[80];
    chart drawn = {.title = title,
                   .x_words = "opening angle, degrees",
                   .height = 260,
                   .x = {.low = 0, .high = all->angles.degrees[all->angles.count - 1]}};
    double *values = calloc(count * all->angles.count, sizeof *values);
    bool there[8] = {false};
    if (values == NULL) {
        of->data_failed = 1;
        return;
    }
    (void)snprintf(id, sizeof id, "chart-%s-%zu", kind, case_index);
    (void)snprintf(words, sizeof words, "%s, %s", kind, of->shown.of[what].unit);
    drawn.id = id;
    drawn.y_words = words;
    for (size_t i = 0; i < count; i++) {
        there[i] = take_column(of, case_index, lines[i].key, values + i * all->angles.count);
        if (there[i]) {
            chart_hold(&drawn.y, values + i * all->angles.count, all->angles.count);
        }
    }
    if (limit > 0) {
        chart_hold(&drawn.y, &limit, 1);
    }
    chart_round(&drawn);
    text_figure(page);
    chart_begin(&drawn, page,
                "Lines over the opening angle, each with its name at its right end; the table of this case has the "
                "numbers.");
    data_chart(of, &drawn, "angle");
    if (limit > 0) {
        chart_level(&drawn, page, limit, "allowed");
        chart_level(&drawn, page, -limit, "allowed, overhauled");
    }
    for (size_t i = 0; i < count; i++) {
        if (there[i]) {
            char name[SERIES_NAME];
            series_name(name, case_index, lines[i].key);
            chart_line(&drawn, page, all->angles.degrees, values + i * all->angles.count, all->angles.count,
                       lines[i].style, lines[i].label);
            data_line(of, &drawn, name, of->shown.of[what].factor, lines[i].style);
            if (lines[i].style < 2) {
                data_readout(of, name, of->movable[case_index].name, what, lines[i].label);
            }
        }
    }
    chart_end(&drawn, page);
    text_caption(page, "%s.", title);
    free(values);
}

static void draw_moments(report *of, html *page, size_t case_index)
{
    static const case_line lines[] = {
        {"opening_Nm", "demand, opening", 0},
        {"closing_Nm", "demand, closing", 1},
        {"balance_Nm", "balance", 2},
        {"wind_opening_Nm", "wind, opening", 3},
        {"wind_closing_Nm", "wind, closing", 4},
        {"ice_Nm", "ice", 5},
        {"friction_opening_Nm", "friction, opening", 6},
        {"inertia_Nm", "inertia", 7},
    };
    draw_case(of, page, case_index, lines, 8, QUANTITY_MOMENT, "moment",
              "Moments at the leaf, and the demands that they add up to", 0);
}

static void draw_effort(report *of, html *page, size_t case_index)
{
    static const case_line torques[] = {{"motor_opening_Nm", "motor, opening", 0},
                                        {"motor_closing_Nm", "motor, closing", 1}};
    static const case_line pressures[] = {{"pressure_opening_Pa", "pressure, opening", 0},
                                          {"pressure_closing_Pa", "pressure, closing", 1}};
    const trn_leaf *leaf = of->leaf;
    const double allowed = of->movable[case_index].motor_limit;
    if (leaf->drive != NULL && leaf->drive->kind == TRN_DRIVE_CYLINDER) {
        draw_case(of, page, case_index, pressures, 2, QUANTITY_OIL_PRESSURE, "pressure",
                  "Pressure in each cylinder, and the most that the case allows",
                  allowed * leaf->drive->cylinder.pressure_Pa * of->shown.of[QUANTITY_OIL_PRESSURE].factor);
    } else if (leaf->drive != NULL && leaf->motors != NULL) {
        draw_case(of, page, case_index, torques, 2, QUANTITY_TORQUE, "torque",
                  "Torque of each running motor, and the most that the case allows",
                  allowed * trn_motor_rated_torque(leaf->motors) * of->shown.of[QUANTITY_TORQUE].factor);
    }
}

/* Which columns one of the two tables of a case has: moments, or what they ask of drive and bearings. */
static bool belongs(const column *one, bool moments)
{
    return (one->what == QUANTITY_MOMENT) == moments;
}

static void write_table(const report *of, html *page, size_t case_index, bool moments)
{
    const curves *all = &of->curves;
    const trn_moments *rows = curves_of(all, case_index);
    const column *kept[COLUMN_COUNT];
    char words[COLUMN_COUNT][48];
    heading headings[COLUMN_COUNT + 1] = {{"Angle", of->shown.of[QUANTITY_ANGLE].unit, true}};
    size_t count = 0;
    for (size_t i = 0; i < COLUMN_COUNT; i++) {
        if (belongs(&columns[i], moments) && !curves_column_is_empty(&columns[i], rows, all->angles.count)) {
            (void)snprintf(words[count], sizeof words[count], "%s%s%s", columns[i].over,
                           columns[i].over[0] != '\0' ? ", " : "", columns[i].under);
            headings[count + 1] = (heading){words[count], of->shown.of[columns[i].what].unit, true};
            kept[count++] = &columns[i];
        }
    }
    if (count == 0) {
        return;
    }
    text_table(page, moments ? "Moments, case" : "Drive and bearings, case", of->movable[case_index].name, headings,
               count + 1);
    for (size_t row = 0; row < all->angles.count; row++) {
        char text[DISPLAY_TEXT];
        if (row % (size_t)(REPORT_TABLE_STEP_DEG / REPORT_STEP_DEG) != 0 && row + 1 < all->angles.count) {
            continue;
        }
        (void)snprintf(text, sizeof text, "%.10g", all->angles.degrees[row]);
        text_row_number(page, text);
        for (size_t i = 0; i < count; i++) {
            text_amount(page, &of->shown, kept[i]->what, column_value(kept[i], &rows[row]));
        }
        html_end(page);
    }
    text_table_end(page);
}

static void write_case(report *of, html *page, size_t case_index)
{
    html_start(page, "section");
    html_attribute(page, "class", "case");
    html_attribute_f(page, "id", "case-%zu", case_index);
    text_heading(page, "h3", "Case", of->movable[case_index].name);
    write_case_inputs(of, page, &of->movable[case_index]);
    html_start(page, "div");
    html_attribute(page, "class", "charts");
    draw_moments(of, page, case_index);
    draw_effort(of, page, case_index);
    html_end(page);
    write_table(of, page, case_index, true);
    write_table(of, page, case_index, false);
    html_end(page);
}

static void write_surfaces(const report *of, html *page)
{
    const display *shown = &of->shown;
    const heading columns_of_surface[] = {{"Surface", "", false},
                                          {"From x", shown->of[QUANTITY_LENGTH].unit, true},
                                          {"From y", shown->of[QUANTITY_LENGTH].unit, true},
                                          {"To x", shown->of[QUANTITY_LENGTH].unit, true},
                                          {"To y", shown->of[QUANTITY_LENGTH].unit, true},
                                          {"Width", shown->of[QUANTITY_LENGTH].unit, true},
                                          {"Solid share", "", true},
                                          {"Takes", "", false}};
    if (of->leaf->surface_count == 0) {
        text_paragraph(page, "No surfaces are described: neither wind nor ice acts ('surfaces' is missing).");
        return;
    }
    text_table(page, "Surfaces on which wind and ice act", NULL, columns_of_surface, 8);
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        const trn_surface *one = &of->leaf->surfaces[i];
        const double places[] = {one->from.x, one->from.y, one->to.x, one->to.y, one->width_m};
        char text[DISPLAY_TEXT];
        text_row_named(page, one->name);
        for (size_t k = 0; k < 5; k++) {
            text_amount(page, shown, QUANTITY_LENGTH, places[k]);
        }
        (void)snprintf(text, sizeof text, "%.4g", one->solidity);
        text_number(page, text);
        text_cell(page, one->takes_wind  ? one->takes_ice ? "wind and ice" : "wind"
                        : one->takes_ice ? "ice"
                                         : "neither");
        html_end(page);
    }
    text_table_end(page);
}

void report_curves(report *of, html *page)
{
    text_section(page, "curves", "Moments over the opening angle");
    if (!of->has_curves.there) {
        text_note(page, "Not computed:", "the description lacks %s.", of->has_curves.missing);
        html_end(page);
        return;
    }
    text_paragraph(page,
                   "Balance, wind and ice: positive closes. Demands and motor torque: positive resists the "
                   "motion, negative is overhauling: the leaf drives the machinery. Columns of zeros are left "
                   "out of the tables; they have every %g°, the charts every %g°.",
                   REPORT_TABLE_STEP_DEG, REPORT_STEP_DEG);
    if (of->movable_count < of->case_count) {
        text_note(page, "Left out:", "%zu of %zu cases accelerate, and the description lacks 'travel'.",
                  of->case_count - of->movable_count, of->case_count);
    }
    for (size_t i = 0; i < of->movable_count; i++) {
        write_case(of, page, i);
    }
    write_surfaces(of, page);
    write_basis(of, page);
    html_end(page);
}

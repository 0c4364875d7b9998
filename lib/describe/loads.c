/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdint.h>
#include <string.h>

#include "sections.h"
#include "trunnion/leaf.h"

enum { SURFACE_NAME, SURFACE_FROM, SURFACE_TO, SURFACE_WIDTH, SURFACE_SOLIDITY, SURFACE_ICE, SURFACE_WIND };

static const dsc_field surface_fields[] = {
    [SURFACE_NAME] = {"name", true, dsc_read_text, offsetof(trn_surface, name), NULL},
    [SURFACE_FROM] = {"from", true, dsc_read_pair, offsetof(trn_surface, from), &dsc_point_pair},
    [SURFACE_TO] = {"to", true, dsc_read_pair, offsetof(trn_surface, to), &dsc_point_pair},
    [SURFACE_WIDTH] = {"width", true, dsc_read_quantity, offsetof(trn_surface, width_m), DSC_OVER_0(DSC_LENGTH)},
    [SURFACE_SOLIDITY] = {"solidity", false, dsc_read_quantity, offsetof(trn_surface, solidity), DSC_0_TO_1},
    [SURFACE_ICE] = {"ice", false, dsc_read_flag, offsetof(trn_surface, takes_ice), NULL},
    [SURFACE_WIND] = {"wind", false, dsc_read_flag, offsetof(trn_surface, takes_wind), NULL},
};

static void surface_defaults(void *record)
{
    *(trn_surface *)record = (trn_surface){.solidity = 1, .takes_wind = true};
}

static bool check_surface(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    (void)mapping;
    const trn_surface *surface = record;
    if (seen[SURFACE_FROM].good && seen[SURFACE_TO].good && !dsc_points_differ(surface->from, surface->to)) {
        return dsc_fault(reading, seen[SURFACE_TO].value, "to",
                         "the ends are the same point: expected a strip of some length");
    }
    return true;
}

static const dsc_form surface_form = {
    .noun = "a surface",
    DSC_FIELDS_OF(surface_fields),
    .size = sizeof(trn_surface),
    .set_defaults = surface_defaults,
    .check = check_surface,
};

const dsc_list dsc_surface_list = {
    .item = {"surfaces", true, dsc_read_record, 0, &surface_form},
    .item_size = sizeof(trn_surface),
    .count_offset = offsetof(trn_leaf, surface_count),
    .most = SIZE_MAX,
    .nouns = "surfaces",
    .named = true,
};

static const dsc_field profile_fields[] = {
    {"exponent", true, dsc_read_quantity, offsetof(trn_wind_profile, exponent), DSC_0_TO_1},
    {"reference_height", true, dsc_read_quantity, offsetof(trn_wind_profile, reference_height_m),
     DSC_OVER_0(DSC_LENGTH)},
    {"trunnion_height", true, dsc_read_quantity, offsetof(trn_wind_profile, trunnion_height_m),
     DSC_0_OR_MORE(DSC_LENGTH)},
    {"lowest", true, dsc_read_quantity, offsetof(trn_wind_profile, lowest_m), DSC_OVER_0(DSC_LENGTH)},
};

static const dsc_form profile_form = {
    .noun = "a profile", DSC_FIELDS_OF(profile_fields), .size = sizeof(trn_wind_profile)};

static const char *const law_words[] = {
    [TRN_WIND_PROJECTED] = "projected", [TRN_WIND_NORMAL] = "normal", [TRN_WIND_INCIDENCE] = "incidence"};
static const dsc_choice laws = {law_words, sizeof law_words / sizeof *law_words};

static const char *const side_words[] = {
    [TRN_WIND_FROM_HEEL] = "heel", [TRN_WIND_FROM_TOE] = "toe", [TRN_WIND_FROM_ADVERSE] = "adverse"};
static const dsc_choice sides = {side_words, sizeof side_words / sizeof *side_words};

static const dsc_pair incidence_pair = {
    DSC_RULE(DSC_ANGLE, 0, DSC_RADIANS(90), false, " from 0 to 90 degree"),
    DSC_0_OR_MORE(DSC_PURE),
    "[90 degree, 1.2]",
};

/* A wind lies by itself in a case and inside the wind limits; its count lies accordingly. */
#define TABLE_OF(type, path)                                                                                          \
    {                                                                                                                 \
        .item = {"normal_coefficient", true, dsc_read_pair, 0, &incidence_pair},                                      \
        .item_size = sizeof(trn_incidence_point), .count_offset = offsetof(type, path), .least = 2, .most = SIZE_MAX, \
        .nouns = "points",                                                                                            \
    }

static const dsc_list wind_table = TABLE_OF(trn_wind, table_count);
static const dsc_list wind_limits_table = TABLE_OF(trn_wind_limits, wind.table_count);

/* The keys that a wind and the wind limits share come first, so that one check serves both. */
enum { LAW, FROM, COEFFICIENT, DENSITY, TABLE, PROFILE, SHARED };
enum { PRESSURE = SHARED, SPEED };
enum { FRICTION = SHARED, MOTOR_LIMIT, HOLD_FACTOR };

#define SHARED_FIELDS(type, path, table_list)                                                                          \
    [LAW] = {"law", false, dsc_read_choice, offsetof(type, path law), &laws},                                          \
    [FROM] = {"from", false, dsc_read_choice, offsetof(type, path from), &sides},                                      \
    [COEFFICIENT] = {"coefficient", false, dsc_read_quantity, offsetof(type, path coefficient), DSC_OVER_0(DSC_PURE)}, \
    [DENSITY] = {"density", false, dsc_read_quantity, offsetof(type, path density_kg_m3), DSC_OVER_0(DSC_DENSITY)},    \
    [TABLE] = {"normal_coefficient", false, dsc_read_list, offsetof(type, path table), &(table_list)},                 \
    [PROFILE] = {"profile", false, dsc_read_section, offsetof(type, path profile), &profile_form}

#define NO_PATH

static const dsc_field wind_fields[] = {
    SHARED_FIELDS(trn_wind, NO_PATH, wind_table),
    [PRESSURE] = {"pressure", false, dsc_read_quantity, offsetof(trn_wind, pressure_Pa), DSC_0_OR_MORE(DSC_PRESSURE)},
    [SPEED] = {"speed", false, dsc_read_quantity, offsetof(trn_wind, speed_m_s), DSC_0_OR_MORE(DSC_SPEED)},
};

static const dsc_field wind_limits_fields[] = {
    SHARED_FIELDS(trn_wind_limits, wind., wind_limits_table),
    [FRICTION] = {"friction", false, dsc_read_choice, offsetof(trn_wind_limits, friction), &dsc_friction_states},
    [MOTOR_LIMIT] = {"motor_limit", false, dsc_read_quantity, offsetof(trn_wind_limits, motor_limit),
                     DSC_OVER_0(DSC_PURE)},
    [HOLD_FACTOR] = {"hold_factor", false, dsc_read_quantity, offsetof(trn_wind_limits, hold_factor),
                     DSC_OVER_0(DSC_PURE)},
};

/* The table of coefficients belongs to the law incidence, and takes the place of the one coefficient. */
static bool check_table(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, const trn_wind *wind)
{
    bool by_table = wind->law == TRN_WIND_INCIDENCE;
    if (by_table && seen[LAW].good && !seen[TABLE].key) {
        return dsc_missing(reading, mapping,
                           "key \"normal_coefficient\" is missing: law incidence expects its table of coefficients");
    }
    if (!by_table && seen[TABLE].key && (!seen[LAW].key || seen[LAW].good)) {
        return dsc_fault(reading, seen[TABLE].key, NULL,
                         "\"normal_coefficient\" goes with law incidence only: expected coefficient, or that law");
    }
    if (seen[TABLE].key && seen[COEFFICIENT].key) {
        return dsc_fault(reading, seen[COEFFICIENT].key, NULL,
                         "\"coefficient\" does not go with a table: expected normal_coefficient alone");
    }
    return !seen[TABLE].good ||
           dsc_check_ascending(reading, seen[TABLE].value, "normal_coefficient", &wind->table->incidence_rad);
}

/* What tells a pressure's wind from a speed's. */
static bool check_strength(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen)
{
    if (seen[PRESSURE].key && seen[SPEED].key) {
        bool pressure_first = dsc_place_compare(seen[PRESSURE].key->place, seen[SPEED].key->place) < 0;
        return dsc_fault(reading, seen[pressure_first ? SPEED : PRESSURE].key, NULL,
                         "a wind has both pressure and speed: expected one of them");
    }
    if (!seen[PRESSURE].key && !seen[SPEED].key) {
        return dsc_missing(reading, mapping, "key \"pressure\" or \"speed\" is missing: expected one");
    }
    bool good = true;
    for (size_t i = COEFFICIENT; i <= DENSITY && seen[PRESSURE].key; i++) {
        if (seen[i].key) {
            good = dsc_fault(reading, seen[i].key, NULL,
                             "\"%s\" does not go with pressure: expected it with speed only", wind_fields[i].key);
        }
    }
    return good;
}

static bool check_wind(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    trn_wind *wind = record;
    wind->by_speed = seen[SPEED].key != NULL;
    bool strength_good = check_strength(reading, mapping, seen);
    return check_table(reading, mapping, seen, wind) && strength_good;
}

/* Coefficient and density turn a speed into a pressure, and a table takes the place of the coefficient. */
static bool wind_takes_default(const dsc_seen *seen, size_t field)
{
    return !(field == DENSITY && seen[PRESSURE].key) &&
           !(field == COEFFICIENT && (seen[PRESSURE].key || seen[TABLE].key));
}

static bool limits_take_default(const dsc_seen *seen, size_t field)
{
    return !(field == COEFFICIENT && seen[TABLE].key);
}

static void wind_defaults(void *record)
{
    *(trn_wind *)record = trn_default_wind();
}

const dsc_form dsc_wind_form = {
    .noun = "a wind",
    DSC_FIELDS_OF(wind_fields),
    .size = sizeof(trn_wind),
    .set_defaults = wind_defaults,
    .check = check_wind,
    .takes_default = wind_takes_default,
};

static void wind_limits_defaults(void *record)
{
    trn_wind_limits limits = {
        .wind = trn_default_wind(), .friction = TRN_FRICTION_MOVING, .motor_limit = 1, .hold_factor = 1};
    limits.wind.by_speed = true;
    *(trn_wind_limits *)record = limits;
}

static bool check_wind_limits(dsc_reading *reading, const dsc_node *mapping, const dsc_seen *seen, void *record)
{
    const trn_wind_limits *limits = record;
    return check_table(reading, mapping, seen, &limits->wind);
}

const dsc_form dsc_wind_limits_form = {
    .noun = "wind_limits",
    DSC_FIELDS_OF(wind_limits_fields),
    .size = sizeof(trn_wind_limits),
    .set_defaults = wind_limits_defaults,
    .check = check_wind_limits,
    .takes_default = limits_take_default,
};

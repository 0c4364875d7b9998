/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes are a line of text: an upset, a gust, an addition to the leaf. A small leaf goes through what was read. */
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "checks.h"
#include "require.h"
#include "target.h"
#include "trunnion/describe_run.h"

static bool not_negative(double value)
{
    return isfinite(value) && value >= 0;
}

/* A refusal names its column, in one line. */
static void check_refusal(trn_status status, const trn_error *error, const char *text)
{
    REQUIRE(status == TRN_OUT_OF_DOMAIN && error->status == status);
    REQUIRE(strncmp(error->text, "column ", 7) == 0);
    check_line(error->text, sizeof error->text);
    REQUIRE(is_utf8(error->text, strlen(error->text)) || !is_utf8(text, strlen(text)));
}

static const char leaf_text[] =
    "leaf: tiny\nopens_to: 76 degree\ntoe: 20 m\n"
    "parts: [{name: leaf, weight: 300 kN, at: [1 m, 0.5 m], gyration: 9 m}]\n"
    "pockets: [{name: heel pocket, at: [-6 m, 0 m], block: 40 kg, blocks: 10, room: 20}]\n"
    "surfaces: [{name: deck, from: [0 m, 0.8 m], to: [20 m, 0.8 m], width: 8 m, ice: true}]\n"
    "trunnion: {journal_diameter: 400 mm, friction: {starting: 0.18, moving: 0.12}}\n"
    "drive: {ratio: 1200, efficiency: 0.9}\n"
    "motors: {installed: 2, power: 22 kW, speed: 870 rpm, inertia: 1 kg m2, peak: 2}\n"
    "brakes: [{name: brakes, count: 2, torque: 400 N m, ratio: 1200, delay: 0.3 s, set_time: 0.5 s}]\n"
    "travel: {speed: 1.1 deg/s, accelerate_in: 8 s, creep: 15 %, near_open: 68 degree, near_closed: 7 degree,\n"
    "         decelerate_in: 6 s}\n"
    "cases: [{name: calm}]\n";

/* A leaf of its own, to be changed; the caller frees. */
static trn_description *tiny_leaf(void)
{
    trn_description *description = read_and_check(leaf_text, strlen(leaf_text));
    REQUIRE(description != NULL);
    return description;
}

static void run_tiny_leaf(const trn_gust *gust, const trn_upset *upset)
{
    trn_description *description = tiny_leaf();
    trn_run_setting setting = trn_default_run_setting(trn_description_leaf(description));
    setting.tolerance = 1e-6;
    setting.gust = gust;
    setting.upsets = upset;
    setting.upset_count = upset != NULL;
    check_runs_with(trn_description_leaf(description), setting);
    trn_description_free(description);
}

static void check_gust_values(const trn_gust *gust)
{
    REQUIRE(not_negative(gust->rise_m_s) && not_negative(gust->rise_Pa) && not_negative(gust->start_s));
    REQUIRE(isfinite(gust->lasts_s) && gust->lasts_s > 0);
    REQUIRE(gust->by_speed ? !(gust->rise_Pa > 0) : !(gust->rise_m_s > 0));
    const trn_wind calm = trn_default_wind();
    for (int i = -1; i <= 9; i++) {
        const double time_s = gust->start_s + gust->lasts_s * i / 8;
        REQUIRE(not_negative(trn_wind_pressure_at(&calm, gust, NULL, time_s)));
    }
}

static void check_gust(const char *text)
{
    trn_error error;
    trn_gust gust;
    memset(&error, 0xA5, sizeof error);
    const trn_status status = trn_gust_read(text, &gust, &error);
    if (status != TRN_OK) {
        check_refusal(status, &error, text);
        return;
    }
    check_gust_values(&gust);
    run_tiny_leaf(&gust, NULL);
}

static void check_upset(const char *text)
{
    trn_error error;
    trn_upset_text read;
    memset(&error, 0xA5, sizeof error);
    const trn_status status = trn_upset_read(text, &read, &error);
    if (status != TRN_OK) {
        check_refusal(status, &error, text);
        return;
    }
    REQUIRE(read.upset.kind <= TRN_UPSET_GUST && (read.opening || read.closing));
    REQUIRE(not_negative(read.upset.angle_rad) && read.upset.angle_rad <= 2.0943951023931957);
    REQUIRE(read.has_angle || !(read.upset.angle_rad > 0));
    REQUIRE(!read.has_angle ||
            (read.upset.kind != TRN_UPSET_BRAKE_OUT && read.upset.kind != TRN_UPSET_NEAR_SWITCH_MISSED));
    if (read.upset.kind == TRN_UPSET_GUST) {
        check_gust_values(&read.upset.gust);
    }
    run_tiny_leaf(NULL, &read.upset);
}

/* What is refused changes nothing; what is added gives a leaf whose numbers are finite. */
static void check_addition(const char *text)
{
    trn_error error;
    memset(&error, 0xA5, sizeof error);
    trn_description *description = tiny_leaf();
    const trn_leaf *leaf = trn_description_leaf(description);
    const trn_leaf before = *leaf;
    const trn_status status = trn_description_add(description, text, &error);
    if (status == TRN_OK) {
        REQUIRE(leaf->part_count == before.part_count + 1 || leaf->pockets[0].blocks != before.pockets[0].blocks);
        check_results(leaf);
        check_runs(leaf);
    } else {
        check_refusal(status, &error, text);
        REQUIRE(leaf->parts == before.parts && leaf->part_count == before.part_count);
        REQUIRE(leaf->pockets == before.pockets && leaf->pocket_count == before.pocket_count);
    }
    trn_description_free(description);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = malloc(size + 1);
    REQUIRE(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    check_upset(text);
    check_gust(text);
    check_addition(text);
    free(text);
    return 0;
}

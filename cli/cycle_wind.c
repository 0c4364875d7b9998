/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Gusts and records of wind in words: their shape and peak, and what of them a run does not see. */
#include "cycle_words.h"
#include "input.h"
#include "present/plain.h"
#include "trunnion/gust.h"

bool wind_changes(const cycle *of)
{
    bool changes = of->has_gust || of->wind.record.count > 0;
    for (size_t i = 0; i < of->asked->fault_count; i++) {
        changes |= of->faults[i].upset.kind == TRN_UPSET_GUST;
    }
    return changes;
}

/* A gust of --gust starts at a time; that of a fault where the leaf passes its angle. */
static void print_gust(const cycle *of, const trn_gust *gust, bool at_time, FILE *stream)
{
    const bool has_record = of->wind.record.count > 0;
    const double peak_s = (at_time ? gust->start_s : 0) + gust->lasts_s / 2;
    char number[DISPLAY_TEXT];
    (void)fprintf(stream, "  it rises and falls as 1 - cosine, a %s on top of %s; its peak",
                  gust->by_speed ? "speed" : "pressure", has_record ? "that of the record" : "the case's wind");
    if (at_time || !has_record) {
        trn_gust from_start = *gust;
        from_start.start_s = at_time ? gust->start_s : 0;
        const double all_Pa =
            trn_wind_pressure_at(&of->load_case->wind, &from_start, has_record ? &of->wind.record : NULL, peak_s);
        (void)fprintf(stream, ", %s %s in all,", display_text(&of->shown, QUANTITY_PRESSURE, all_Pa, number),
                      of->shown.of[QUANTITY_PRESSURE].unit);
    }
    (void)fprintf(stream, at_time ? " comes at %.2f s\n" : " comes %.2f s after its start\n", peak_s);
}

void print_upsets(const cycle *of, FILE *stream)
{
    for (size_t i = 0; i < of->asked->fault_count; i++) {
        (void)fprintf(stream, "fault: %s\n", of->asked->faults[i]);
        if (of->faults[i].upset.kind == TRN_UPSET_GUST) {
            print_gust(of, &of->faults[i].upset.gust, false, stream);
        }
    }
    if (of->has_gust) {
        (void)fprintf(stream, "gust: %s\n", of->asked->gust);
        print_gust(of, &of->gust, true, stream);
    }
    if (of->asked->wind_record_file != NULL) {
        (void)fputs("wind: by the record ", stream);
        (void)plain_print(stream, input_name(of->asked->wind_record_file));
        (void)fputs(", in place of the case's\n", stream);
    }
}

void print_wind_notes(const cycle *of, trn_direction direction, FILE *stream)
{
    const double until_s = ready_s(&of->of[direction].run);
    const trn_wind_record *record = &of->wind.record;
    char number[DISPLAY_TEXT];
    if (of->has_gust && of->gust.start_s >= until_s) {
        (void)fputs("  The gust starts after all has ended: it moves nothing, but it is among what must be held.\n",
                    stream);
    }
    if (record->count > 0 && record->points[record->count - 1].time_s < until_s) {
        const double last_s = record->points[record->count - 1].time_s;
        const double last_Pa = trn_wind_pressure_at(&of->load_case->wind, NULL, record, last_s);
        (void)fprintf(
            stream, "  The record of wind ends at %.2f s, before all has ended: its last value, %s %s, goes on.\n",
            last_s, display_text(&of->shown, QUANTITY_PRESSURE, last_Pa, number), of->shown.of[QUANTITY_PRESSURE].unit);
    }
}

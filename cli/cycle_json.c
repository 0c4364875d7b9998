/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cycle as JSON. */
#include "cycle_json.h"

#include <math.h>

#include "angles.h"
#include "cycle_words.h"

json_t *seat_json(const trn_seat *seat)
{
    if (!seat->seated) {
        return json_null();
    }
    json_t *object = json_pack("{s:f, s:f, s:f}", "speed_deg_s", degrees_of(seat->speed_rad_s), "toe_speed_m_s",
                               seat->toe_speed_m_s, "energy_J", seat->energy_J);
    int failed = object == NULL;
    failed |= json_put(object, "toe_force_N", seat->has_force, seat->toe_force_N);
    failed |= json_put(object, "buffer_force_N", true, seat->buffer_force_N);
    return json_unless(failed, object);
}

static json_t *work_json(const trn_run_work *work)
{
    return json_pack("{s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f}", "motors_J", work->motors_J, "driving_J",
                     work->driving_J, "potential_J", work->potential_J, "kinetic_J", work->kinetic_J, "friction_J",
                     work->friction_J, "gears_J", work->gears_J, "brakes_J", work->brakes_J, "wind_J", work->wind_J,
                     "seat_J", work->seat_J);
}

static json_t *trace_json(const cycle *of, const trn_run *run)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < run->row_count && failed == 0; i++) {
        const trn_run_row *row = &run->rows[i];
        json_t *object = json_pack("{s:f, s:f, s:f}", "t_s", row->time_s, "angle_deg", degrees_of(row->angle_rad),
                                   "speed_deg_s", degrees_of(row->speed_rad_s));
        failed |= json_put(object, "motor_Nm", !of->by_cylinders, row->motor_Nm);
        failed |= json_put(object, "limit_Nm", !of->by_cylinders, row->limit_Nm);
        if (of->by_cylinders) {
            failed |= json_put(object, "pressure_Pa", true, row->pressure_Pa);
        }
        failed |= json_put(object, "wind_Pa", true, row->wind_Pa);
        failed |= json_array_append_new(list, object);
    }
    return json_unless(failed, list);
}

int put_hold(json_t *object, const trn_run *run, bool there)
{
    const bool rests = there && run_rests(run);
    int failed = json_put(object, "ran_back_deg", there, degrees_of(run->ran_back_rad));
    failed |= json_put(object, "past_end_deg", there, degrees_of(run->past_end_rad));
    failed |= json_put(object, "hold_factor", there && has_factor(run), run->hold_factor);
    failed |= json_put(object, "hold_wind_Pa", rests, run->hold_wind_Pa);
    failed |= json_put(object, "hold_demand_Nm", rests, run->hold_demand_Nm);
    failed |= json_put(object, "hold_capacity_Nm", rests, run->hold_capacity_Nm);
    return failed;
}

int put_end(json_t *object, const cycle *of, trn_direction direction, const trn_run *run)
{
    int failed = json_object_set_new(object, "reached_switch", json_boolean(run->reached_switch));
    failed |= json_put(object, "switch_speed_deg_s", run->reached_switch, degrees_of(run->switch_speed_rad_s));
    failed |= json_object_set_new(object, "at_creep", json_boolean(run->at_creep));
    failed |= json_object_set_new(object, "end", json_string(end_name(run->end)));
    failed |= json_put(object, "rest_s", run_rests(run), rest_s(run));
    failed |= json_put(object, "ready_s", run_rests(run), ready_s(run));
    failed |= json_put(object, "end_time_s", true, run->end_time_s);
    failed |= json_put(object, "end_angle_deg", true, degrees_of(run->end_angle_rad));
    failed |= json_put(object, "end_speed_deg_s", true, degrees_of(run->end_speed_rad_s));
    failed |= json_put(object, "peak_deceleration_deg_s2", true, degrees_of(run->peak_deceleration_rad_s2));
    failed |= put_hold(object, run, true);
    failed |= json_object_set_new(object, "safe", json_boolean(trn_run_is_safe(run)));
    failed |= json_object_set_new(object, "met", json_boolean(cycle_met(of, direction, run)));
    failed |= json_object_set_new(object, "seat", seat_json(&run->seat));
    return failed;
}

static json_t *run_json(const cycle *of, trn_direction direction)
{
    const cycle_direction *one = &of->of[direction];
    const trn_run *run = &one->run;
    if (!one->asked) {
        return json_null();
    }
    json_t *object = json_object();
    int failed = object == NULL;
    failed |= json_put(object, "time_s", run->reached_switch, run->time_s);
    failed |= json_put(object, "peak_motor_Nm", !of->by_cylinders, run->peak_motor_Nm);
    failed |= json_put(object, "rms_motor_Nm", !of->by_cylinders, run->rms_motor_Nm);
    failed |= json_put(object, "energy_J", true, run->work.driving_J);
    failed |= json_object_set_new(object, "trace", trace_json(of, run));
    failed |= put_end(object, of, direction, run);
    failed |= json_put(object, "break_away_Nm", !of->by_cylinders, run->break_away_Nm);
    if (of->by_cylinders) {
        failed |= json_put(object, "peak_pressure_Pa", true, run->peak_pressure_Pa);
    }
    failed |= json_put(object, "lag_s", true, run->lag_s);
    failed |= json_object_set_new(object, "work", work_json(&run->work));
    return json_unless(failed, object);
}

static int append_events(const cycle *of, trn_direction direction, json_t *list)
{
    const trn_run *run = &of->of[direction].run;
    int failed = 0;
    for (size_t i = 0; i < run->event_count && failed == 0; i++) {
        const trn_run_event *event = &run->events[i];
        const char *subject = event_subject(of, direction, event);
        json_t *object = json_pack("{s:f, s:f, s:s, s:s, s:f}", "t_s", event->time_s, "angle_deg",
                                   degrees_of(event->angle_rad), "event", trn_event_words(event->kind), "direction",
                                   direction_words[direction], "speed_deg_s", degrees_of(event->speed_rad_s));
        if (subject != NULL) {
            failed |= json_object_set_new(object, event->kind == TRN_EVENT_BRAKE_SET ? "brake" : "fault",
                                          json_string(subject));
        }
        failed |= json_array_append_new(list, object);
    }
    return failed;
}

static json_t *events_json(const cycle *of)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t k = 0; k < DIRECTIONS && failed == 0; k++) {
        failed = append_events(of, (trn_direction)k, list);
    }
    return json_unless(failed, list);
}

static json_t *faults_json(const cycle *of)
{
    json_t *list = json_array();
    int failed = list == NULL;
    for (size_t i = 0; i < of->asked->fault_count && failed == 0; i++) {
        failed = json_array_append_new(list, json_string(of->asked->faults[i]));
    }
    return json_unless(failed, list);
}

/* The key where there is a text, which may be the name of a file. */
static int put_text(json_t *object, const char *key, const char *text)
{
    return text != NULL ? json_object_set_new(object, key, json_name(text)) : 0;
}

json_t *cycle_object(const cycle *of)
{
    return json_pack("{s:s, s:s}", "leaf", of->leaf->name, "case", of->load_case->name);
}

int put_upsets(json_t *object, const cycle *of)
{
    int failed = json_object_set_new(object, "faults", faults_json(of));
    failed |= put_text(object, "gust", of->asked->gust);
    failed |= put_text(object, "wind_record", of->asked->wind_record_file);
    return failed;
}

exit_status cycle_json(const void *result, FILE *stream)
{
    const cycle *of = result;
    json_t *object = cycle_object(of);
    int failed = object == NULL;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        failed |= json_object_set_new(object, direction_words[k], run_json(of, (trn_direction)k));
    }
    failed |= json_object_set_new(object, "events", events_json(of));
    failed |= put_upsets(object, of);
    return json_write(json_unless(failed, object), stream);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * The forms of the sections, and the lists of those that are lists.
 */
#ifndef DSC_SECTIONS_H
#define DSC_SECTIONS_H

#include "fields.h"
#include "trunnion/leaf.h"
#include "trunnion/operation.h"
#include "trunnion/part.h"

/* describe.c: the whole description */
extern const dsc_form dsc_leaf_form;

/* parts.c; the count of a list lies in the struct that holds it, so that there are two of each. */
extern const dsc_list dsc_leaf_parts;
extern const dsc_list dsc_linked_parts;
extern const dsc_list dsc_leaf_pockets;
extern const dsc_list dsc_linked_pockets;

/* linked.c */
extern const dsc_form dsc_linked_form;

/* loads.c */
extern const dsc_list dsc_surface_list;
extern const dsc_form dsc_wind_form;
extern const dsc_form dsc_wind_limits_form;

/* cases.c */
extern const dsc_choice dsc_friction_states;
extern const dsc_list dsc_case_list;
extern const dsc_list dsc_holding_list;

/* machinery.c */
extern const dsc_form dsc_friction_form;
extern const dsc_form dsc_trunnion_form;
extern const dsc_form dsc_drive_form;
dsc_reader dsc_read_efficiency; /* one efficiency, or a list of the stages', kept as their product */

/* brakes.c */
extern const dsc_list dsc_brake_list;

/* gauges.c */
extern const dsc_form dsc_gauged_shaft_form;

/* motors.c */
extern const dsc_form dsc_motors_form;

/* travel.c */
extern const dsc_form dsc_travel_form;
extern const dsc_form dsc_balance_target_form;
extern const dsc_form dsc_duty_form;
dsc_reader dsc_read_window; /* a trn_window: two values in order [dsc_pair] */

/* seating.c */
extern const dsc_form dsc_seating_form;

/* steps.c */
extern const dsc_list dsc_step_list;
dsc_reader
    dsc_read_choice_from_1;     /* an enum with a 0 for a key that is not there: the words count from 1 [dsc_choice] */
dsc_reader dsc_read_conditions; /* a trn_conditions: a list of words, or one by itself */

/* The steps of an operation, read before, against each other. */
bool dsc_check_steps(dsc_reading *reading, const dsc_node *list, const trn_step *steps, size_t count);
/* uncertain.c */
extern const dsc_list dsc_uncertainty_list;
extern const dsc_form dsc_weight_uncertainty_form;
dsc_reader dsc_read_uncertainty; /* a trn_distribution of shares: one standard deviation, or a mapping */

/* The uncertainties of a leaf that was read without a fault, held against what they are about. */
bool dsc_check_uncertainties(dsc_reading *reading, const dsc_node *list, const trn_leaf *leaf);

/* outline.c */
bool dsc_points_differ(trn_point a, trn_point b);
dsc_reader dsc_read_outline; /* a trn_polygon: 3 to 256 corners, simple */

/* The voids of a block, read before, against its outline and width and each other; outlines are good. */
bool dsc_check_voids(dsc_reading *reading, const dsc_node *voids, const trn_part *part);

#endif

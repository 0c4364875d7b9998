/* SPDX-License-Identifier: GPL-3.0-or-later */
/**
 * @file trunnion.h
 * The whole of the library.
 */
#ifndef TRN_TRUNNION_H
#define TRN_TRUNNION_H

#include "trunnion/addition.h"
#include "trunnion/balance.h"
#include "trunnion/ballast.h"
#include "trunnion/brake.h"
#include "trunnion/describe.h"
#include "trunnion/describe_run.h"
#include "trunnion/drive.h"
#include "trunnion/fit.h"
#include "trunnion/gauge.h"
#include "trunnion/geometry.h"
#include "trunnion/gust.h"
#include "trunnion/holding.h"
#include "trunnion/ice.h"
#include "trunnion/journal.h"
#include "trunnion/leaf.h"
#include "trunnion/link.h"
#include "trunnion/measure.h"
#include "trunnion/moments.h"
#include "trunnion/motor.h"
#include "trunnion/operation.h"
#include "trunnion/part.h"
#include "trunnion/pocket.h"
#include "trunnion/rating.h"
#include "trunnion/record.h"
#include "trunnion/run.h"
#include "trunnion/seating.h"
#include "trunnion/sample.h"
#include "trunnion/sobol.h"
#include "trunnion/spread.h"
#include "trunnion/status.h"
#include "trunnion/tally.h"
#include "trunnion/travel.h"
#include "trunnion/uncertainty.h"
#include "trunnion/version.h"
#include "trunnion/wind.h"
#include "trunnion/windlimit.h"

#endif

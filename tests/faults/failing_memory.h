/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Memory that fails when told to: for every library of the process, and under sanitizers. */
#ifndef FAILING_MEMORY_H
#define FAILING_MEMORY_H

#include <stdbool.h>

/*
 * From now on count the calls that ask for memory, and fail the nth of them (from 1; 0: none); where forever, all
 * after it too. Calls within UDUNITS are neither counted nor failed: it ends the process or crashes by design.
 */
void memory_fails(long nth, bool forever);

/* From now on by says of the nth call that is counted whether it fails, from whichever thread; NULL: as above. */
void memory_watched(bool (*by)(long nth));

/* Stop that; the number of calls since. */
long memory_holds(void);

/* How many pieces that were taken while calls were counted, or before, are not given back since. */
long memory_kept(void);

#endif

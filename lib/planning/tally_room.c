/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_math.h>
#include <stdlib.h>

#include "tally_parts.h"

/* Room for so many more, and for a find or two beyond, so that memory is seldom asked for. */
trn_status tally_make_room(tally_bracket *of, size_t more)
{
    const size_t wanted = of->count + more;
    if (wanted <= of->room) {
        return TRN_OK;
    }
    const size_t room = GSL_MAX(wanted, of->most + TALLY_FIND + TALLY_SIFTED);
    double *grown = realloc(of->kept, room * sizeof *grown);
    if (grown == NULL) {
        return TRN_NO_MEMORY;
    }
    of->kept = grown;
    of->room = room;
    return TRN_OK;
}

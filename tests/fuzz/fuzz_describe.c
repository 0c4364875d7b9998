/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The bytes are a description; what is read of it goes on through weigh and curve. */
#include "checks.h"
#include "target.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    trn_description *description = read_and_check((const char *)data, size);
    if (description) {
        const trn_leaf *leaf = trn_description_leaf(description);
        check_leaf(leaf);
        check_results(leaf);
        check_runs(leaf);
        trn_description_free(description);
    }
    return 0;
}

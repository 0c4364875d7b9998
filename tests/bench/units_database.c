/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The peer of a whole run of the tool: reading the database of units, and nothing else. */
#include <stdio.h>
#include <udunits2.h>

int main(void)
{
    (void)ut_set_error_message_handler(ut_ignore);
    ut_system *system = ut_read_xml(NULL);
    if (system == NULL) {
        (void)fputs("the database of units could not be read\n", stderr);
        return 1;
    }
    ut_free_system(system);
    return 0;
}

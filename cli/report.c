/* SPDX-License-Identifier: GPL-3.0-or-later */
/* report: one self-contained HTML page of all that the description allows. */
#include "report.h"

#include <unistd.h>

#include "command.h"
#include "input.h"
#include "message.h"
#include "output.h"

static exit_status write_page(report *of)
{
    output out;
    exit_status status = output_open(&out);
    if (status != EXIT_DONE) {
        return status;
    }
    html page = html_make(out.stream);
    status = report_write(of, &page);
    if (status == EXIT_DONE) {
        return output_commit(&out, of->asked->output_file);
    }
    output_discard(&out);
    return status;
}

static exit_status report_leaf(const options *asked, const trn_leaf *leaf, const char *checksum)
{
    report of = {.asked = asked, .leaf = leaf, .checksum = checksum};
    exit_status status = report_compute(&of);
    if (status == EXIT_DONE) {
        status = write_page(&of);
    }
    if (status == EXIT_DONE) {
        status = report_tell_status(&of);
    }
    report_free(&of);
    return status;
}

/* A terminal can do nothing with a page but scroll; -o - says that it is meant. */
exit_status command_report(const options *asked)
{
    if (asked->output_file == NULL && !asked->quiet && isatty(STDOUT_FILENO) != 0) {
        return fail(EXIT_BAD_INPUT,
                    "a report is a page for a browser: name its file, such as -o leaf.html; -o - writes "
                    "it here all the same");
    }
    return input_with_traced_leaf(asked, report_leaf);
}

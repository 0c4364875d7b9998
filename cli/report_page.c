/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The page of the report: head, caution, contents, sections, foot. */
#include <string.h>

#include "angles.h"
#include "input.h"
#include "message.h"
#include "report.h"
#include "report/embedded.h"
#include "report_text.h"
#include "trunnion/version.h"

/* The sections in their order; the first, verdicts, is const work. */
typedef struct section {
    const char *id;
    const char *words;
    void (*write)(report *of, html *page);
} section;

static const section sections[] = {
    {"side", "Side view", report_side_view},
    {"weigh", "Weight and balance", report_weigh},
    {"target", "Balance target", report_target},
    {"curves", "Moments over the opening angle", report_curves},
    {"drive", "Drive", report_drive},
    {"brakes", "Brakes", report_brakes},
    {"wind", "Wind card", report_wind},
    {"cycle", "An opening and a closing in time", report_cycle},
    {"spread", "Spread by uncertain inputs", report_spread},
};

enum { SECTION_COUNT = sizeof sections / sizeof sections[0] };

static void meta(html *page, const char *name, const char *content)
{
    html_start(page, "meta");
    html_attribute(page, "name", name);
    html_attribute(page, "content", content);
    html_end(page);
}

static void write_head(const report *of, html *page)
{
    html_start(page, "head");
    html_start(page, "meta");
    html_attribute(page, "charset", "utf-8");
    html_end(page);
    meta(page, "viewport", "width=device-width, initial-scale=1");
    meta(page, "generator", "trunnion " TRN_VERSION);
    meta(page, "color-scheme", "light dark");
    html_start(page, "title");
    html_text(page, of->leaf->name);
    html_text(page, " – report on the mechanics of the leaf");
    html_end(page);
    html_start(page, "style");
    html_raw(page, report_style, report_style_length);
    html_end(page);
    html_end(page);
}

static void link_item(html *page, const char *id, const char *words)
{
    html_start(page, "li");
    html_start(page, "a");
    html_attribute_f(page, "href", "#%s", id);
    html_text(page, words);
    html_end(page);
    html_end(page);
}

static void write_contents(html *page)
{
    html_start(page, "nav");
    html_attribute(page, "aria-labelledby", "contents");
    html_start(page, "h2");
    html_attribute(page, "id", "contents");
    html_text(page, "Contents");
    html_end(page);
    html_start(page, "ul");
    link_item(page, "verdicts", "Verdicts");
    for (size_t i = 0; i < SECTION_COUNT; i++) {
        link_item(page, sections[i].id, sections[i].words);
    }
    link_item(page, "assumptions", "Assumptions and cautions");
    html_end(page);
    html_end(page);
}

static const char *kind_of_drive(const trn_leaf *leaf)
{
    static const char *const words[] = {[TRN_DRIVE_RATIO] = "moved by rack and gears",
                                        [TRN_DRIVE_STRUT] = "moved by an operating strut",
                                        [TRN_DRIVE_CYLINDER] = "moved by hydraulic cylinders"};
    return leaf->drive != NULL ? words[leaf->drive->kind] : "without a described drive";
}

static void write_facts(const report *of, html *page)
{
    html_start(page, "dl");
    html_attribute(page, "class", "inputs");
    text_input(page, "leaf", "a counterweighted trunnion leaf, %s%s; opens to %s; toe at %s", kind_of_drive(of->leaf),
               of->leaf->linked_counterweight != NULL ? ", its counterweight on a trunnion of its own" : "",
               amount_of(&of->shown, QUANTITY_ANGLE, of->leaf->opens_to_rad).text,
               amount_of(&of->shown, QUANTITY_LENGTH, of->leaf->toe_m).text);
    text_input(page, "units", "%s, as the file says", of->leaf->units == TRN_UNITS_US ? "US customary" : "metric");
    text_input(page, "made by", "trunnion %s", TRN_VERSION);
    text_input(page, "SHA-256 of the leaf file", "%s", of->checksum);
    if (of->asked->case_name != NULL) {
        html_start(page, "div");
        html_element(page, "dt", NULL, "only case");
        html_start(page, "dd");
        html_name(page, of->asked->case_name);
        html_end(page);
        html_end(page);
    }
    html_end(page);
}

static void write_additions(const report *of, html *page)
{
    if (of->asked->addition_count == 0) {
        return;
    }
    html_start(page, "div");
    html_attribute(page, "class", "note");
    html_element(page, "strong", NULL, "What if: computed with additions that the file does not have");
    html_start(page, "ul");
    for (size_t i = 0; i < of->asked->addition_count; i++) {
        html_start(page, "li");
        html_name(page, of->asked->additions[i]);
        html_end(page);
    }
    html_end(page);
    html_end(page);
}

static void write_header(const report *of, html *page)
{
    html_start(page, "header");
    html_element(page, "p", "kind", "Report on the mechanics of a leaf");
    html_start(page, "h1");
    html_name(page, of->leaf->name);
    html_end(page);
    write_facts(of, page);
    write_additions(of, page);
    text_note(page, "Caution:",
              "computed from the description alone, not a sealed design and no permit to move a bridge. Check every "
              "value against the edition of the code that governs; local rules and a licensed engineer decide.");
    html_end(page);
}

static void list_line(html *page, const char *words)
{
    html_element(page, "li", NULL, words);
}

static void write_turned_surfaces(const report *of, html *page)
{
    for (size_t i = 0; i < of->leaf->surface_count; i++) {
        if (input_surface_is_turned(&of->leaf->surfaces[i])) {
            html_start(page, "li");
            html_text(page, "Surface ");
            html_name(page, of->leaf->surfaces[i].name);
            html_text(page, " runs from toe to heel: the heel end goes first, or its wind comes from the other side.");
            html_end(page);
        }
    }
}

static void write_assumptions(const report *of, html *page)
{
    static const char *const lines[] = {
        "The leaf is rigid and turns about one axis; all parts lie where the description puts them. Nothing across "
        "the bridge's width is looked at.",
        "A moment is positive when it tends to close the leaf. A demand is positive in the direction of travel; a "
        "negative one is overhauling: the leaf drives the machinery.",
        "Friction coefficients, efficiencies, pressures, motor shares and brake factors are those of the description. "
        "What in it was recalled and not read is from memory: check the clause of the code that governs.",
        "Wind is a pressure that acts on the described surfaces alone; no gust beyond it is in this page, nor the flow "
        "about the leaf.",
    };
    static const char *const cautions[] = {
        "A balanced leaf may still be unable to close in wind.",
        "Brake adequacy is not proved by a holding calculation alone.",
        "Measured torque means nothing without calm air and steady speed.",
        ("Nothing here is a sealed design or a permit to move a bridge: local codes and rules govern, and a licensed "
         "engineer decides."),
    };
    text_section(page, "assumptions", "Assumptions and cautions");
    html_start(page, "ul");
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        list_line(page, lines[i]);
    }
    if (of->leaf->trunnion == NULL) {
        list_line(page, "No trunnion is described ('trunnion' is missing): the leaf is taken as frictionless.");
    }
    html_end(page);
    text_heading(page, "h3", "Cautions", NULL);
    html_start(page, "ul");
    for (size_t i = 0; i < sizeof cautions / sizeof cautions[0]; i++) {
        list_line(page, cautions[i]);
    }
    write_turned_surfaces(of, page);
    html_end(page);
    html_end(page);
}

/* The slider that turns the leaf; hidden until the script shows it. */
static void write_slider(const report *of, html *page)
{
    html_start(page, "div");
    html_attribute(page, "id", "slider");
    html_attribute(page, "hidden", "");
    html_start(page, "label");
    html_attribute(page, "for", "angle");
    html_text(page, "Opening angle");
    html_end(page);
    html_start(page, "input");
    html_attribute(page, "type", "range");
    html_attribute(page, "id", "angle");
    html_attribute(page, "min", "0");
    html_attribute_f(page, "max", "%zu", of->curves.angles.count - 1);
    html_attribute(page, "step", "1");
    html_attribute(page, "value", "0");
    html_end(page);
    html_start(page, "output");
    html_attribute(page, "id", "angle-words");
    html_attribute(page, "for", "angle");
    html_attribute(page, "aria-live", "polite");
    html_end(page);
    html_end(page);
}

static void write_foot(const report *of, html *page)
{
    html_start(page, "footer");
    html_start(page, "p");
    html_text(page, "Made by trunnion " TRN_VERSION " from a leaf file whose SHA-256 is ");
    html_element(page, "code", NULL, of->checksum);
    html_text(page, ". The same file and version give the same page.");
    html_end(page);
    html_end(page);
}

static void write_main(report *of, html *page)
{
    html_start(page, "main");
    html_attribute(page, "id", "main");
    html_attribute(page, "tabindex", "-1");
    report_write_verdicts(of, page);
    for (size_t i = 0; i < SECTION_COUNT; i++) {
        sections[i].write(of, page);
    }
    write_assumptions(of, page);
    html_end(page);
}

static void write_body(report *of, html *page)
{
    html_start(page, "body");
    html_start(page, "a");
    html_attribute(page, "class", "skip");
    html_attribute(page, "href", "#main");
    html_text(page, "Skip to the verdicts");
    html_end(page);
    write_header(of, page);
    write_contents(page);
    write_main(of, page);
    if (of->has_curves.there) {
        write_slider(of, page);
    }
    write_foot(of, page);
    if (of->has_curves.there) {
        data_series(of, "angle_deg", of->curves.angles.degrees, of->curves.angles.count);
    }
    data_write(of, page);
    html_start(page, "script");
    html_raw(page, report_script, report_script_length);
    html_end(page);
    html_end(page);
}

exit_status report_write(report *of, html *page)
{
    (void)fputs("<!DOCTYPE html>\n", page->stream);
    html_start(page, "html");
    html_attribute(page, "lang", "en");
    write_head(of, page);
    write_body(of, page);
    html_end(page);
    return of->data_failed == 0 ? EXIT_DONE : fail(EXIT_MACHINE, "the page cannot be written: memory ran out");
}

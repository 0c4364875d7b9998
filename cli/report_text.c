/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report_text.h"

#include <stdarg.h>

/* The sign of a number, and a blank at which no line breaks. */
#define MINUS "\xE2\x88\x92"
#define NO_BREAK "\xC2\xA0"

/* The longest sentence of ours. */
enum { SENTENCE = 1000 };

amount amount_of(const display *shown, quantity what, double value)
{
    char number[DISPLAY_TEXT];
    amount made;
    const char *unit = shown->of[what].unit;
    const bool close = unit[0] == '\0' || what == QUANTITY_ANGLE;
    size_t used;
    (void)display_text(shown, what, value, number);
    const bool negative = number[0] == '-';
    used = (size_t)snprintf(made.text, sizeof made.text, "%s%s%s", negative ? MINUS : "", number + negative,
                            close ? "" : NO_BREAK);
    /* A unit of several words, such as kN m, stays in one line as well. */
    for (const char *next = unit; *next != '\0'; next++) {
        used += (size_t)snprintf(made.text + used, sizeof made.text - used, *next == ' ' ? NO_BREAK : "%c", *next);
    }
    return made;
}

void text_section(html *page, const char *id, const char *words)
{
    html_start(page, "section");
    html_attribute(page, "id", id);
    html_attribute_f(page, "aria-labelledby", "%s-heading", id);
    html_start(page, "h2");
    html_attribute_f(page, "id", "%s-heading", id);
    html_text(page, words);
    html_end(page);
}

void text_heading(html *page, const char *element, const char *words, const char *name)
{
    html_start(page, element);
    html_text(page, words);
    if (name != NULL) {
        html_text(page, " ");
        html_name(page, name);
    }
    html_end(page);
}

void text_paragraph(html *page, const char *format, ...)
{
    char text[SENTENCE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    html_element(page, "p", NULL, text);
}

void text_note(html *page, const char *kind, const char *format, ...)
{
    char text[SENTENCE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    html_start(page, "p");
    html_attribute(page, "class", "note");
    html_element(page, "strong", NULL, kind);
    html_text(page, " ");
    html_text(page, text);
    html_end(page);
}

/* The cell after the one that heads the row, and so on through the columns. */
static void start_cell(html *page, const char *class_name)
{
    html_start(page, "td");
    if (class_name != NULL) {
        html_attribute(page, "class", class_name);
    }
    if (page->heads.columns != NULL) {
        const heading *column = &page->heads.columns[page->heads.next];
        html_attribute_f(page, "data-head", "%s%s%s", column->words, column->unit[0] != '\0' ? ", " : "", column->unit);
        page->heads.next = page->heads.next + 1 < page->heads.count ? page->heads.next + 1 : 1;
    }
}

void text_basis(html *page, const basis *rows, size_t count)
{
    static const heading columns[] = {{"Term", "", false}, {"Formula", "", false}, {"Source", "", false}};
    text_table(page, "Formulas and their sources", NULL, columns, 3);
    for (size_t i = 0; i < count; i++) {
        text_row(page, rows[i].term);
        start_cell(page, NULL);
        html_formula(page, rows[i].formula);
        html_end(page);
        text_cell(page, rows[i].source);
        html_end(page);
    }
    text_table_end(page);
}

void text_inputs(html *page, const char *caption)
{
    html_element(page, "p", "list-heading", caption);
    html_start(page, "dl");
    html_attribute(page, "class", "inputs");
}

void text_input(html *page, const char *name, const char *format, ...)
{
    char text[SENTENCE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    html_start(page, "div");
    html_element(page, "dt", NULL, name);
    html_element(page, "dd", NULL, text);
    html_end(page);
}

static void heading_cell(html *page, const heading *column)
{
    html_start(page, "th");
    html_attribute(page, "scope", "col");
    if (column->number) {
        html_attribute(page, "class", "number");
    }
    html_text(page, column->words);
    if (column->unit[0] != '\0') {
        html_text(page, " ");
        html_element(page, "span", "unit", column->unit);
    }
    html_end(page);
}

void text_table(html *page, const char *caption, const char *name, const heading *columns, size_t count)
{
    const bool stacks = count > 1 && !columns[0].number;
    page->heads.columns = stacks ? columns : NULL;
    page->heads.count = count;
    page->heads.next = 1;
    html_start(page, "div");
    html_attribute(page, "class", stacks ? "table stack" : "table");
    html_attribute(page, "tabindex", "0");
    html_attribute(page, "role", "group");
    html_attribute_f(page, "aria-labelledby", "table-%u", ++page->tables);
    html_start(page, "table");
    html_start(page, "caption");
    html_attribute_f(page, "id", "table-%u", page->tables);
    html_text(page, caption);
    if (name != NULL) {
        html_text(page, " ");
        html_name(page, name);
    }
    html_end(page);
    html_start(page, "thead");
    html_start(page, "tr");
    for (size_t i = 0; i < count; i++) {
        heading_cell(page, &columns[i]);
    }
    html_end(page);
    html_end(page);
    html_start(page, "tbody");
}

void text_table_end(html *page)
{
    html_end(page);
    html_end(page);
    html_end(page);
}

void text_row(html *page, const char *header)
{
    html_start(page, "tr");
    html_start(page, "th");
    html_attribute(page, "scope", "row");
    html_text(page, header);
    html_end(page);
}

void text_row_number(html *page, const char *number)
{
    html_start(page, "tr");
    html_start(page, "th");
    html_attribute(page, "scope", "row");
    html_attribute(page, "class", "number");
    html_number(page, number);
    html_end(page);
}

void text_row_named(html *page, const char *name)
{
    html_start(page, "tr");
    html_start(page, "th");
    html_attribute(page, "scope", "row");
    html_name(page, name);
    html_end(page);
}

void text_cell(html *page, const char *text)
{
    start_cell(page, NULL);
    html_text(page, text);
    html_end(page);
}

void text_number(html *page, const char *text)
{
    start_cell(page, "number");
    html_number(page, text);
    html_end(page);
}

void text_amount(html *page, const display *shown, quantity what, double value)
{
    char text[DISPLAY_TEXT];
    text_number(page, display_text(shown, what, value, text));
}

void text_verdict(html *page, bool met)
{
    start_cell(page, met ? "met" : "unmet");
    html_start(page, "span");
    html_attribute(page, "aria-hidden", "true");
    html_text(page, met ? "✓ " : "✗ ");
    html_end(page);
    html_text(page, met ? "met" : "not met");
    html_end(page);
}

void text_figure(html *page)
{
    html_start(page, "figure");
}

void text_caption(html *page, const char *format, ...)
{
    char text[SENTENCE];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    html_element(page, "figcaption", NULL, text);
    html_end(page);
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * HTML, and SVG within it. Every text and every attribute is escaped, so that
 * a name from a leaf file stays a name, whatever it looks like.
 */
#ifndef PRESENT_HTML_H
#define PRESENT_HTML_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* More levels than any page of ours nests. */
enum { HTML_DEPTH = 32 };

typedef struct html {
    FILE *stream;
    const char *open[HTML_DEPTH]; /* the elements that are open, outermost first */
    size_t depth;
    bool in_tag;     /* the innermost one may still get attributes */
    unsigned tables; /* for ids that differ */
    struct {         /* the columns of the table that is open, where its cells tell their headings; the next cell's */
        const struct heading *columns;
        size_t count;
        size_t next;
    } heads;
} html;

html html_make(FILE *stream);

/* Open an element; its name must outlive it. Attributes follow, then what it holds. */
void html_start(html *page, const char *element);
void html_attribute(html *page, const char *name, const char *value);
__attribute__((format(printf, 3, 4))) void html_attribute_f(html *page, const char *name, const char *format, ...);

/* Text; what no page may hold (control characters, broken UTF-8) becomes U+FFFD. */
void html_text(html *page, const char *text);
__attribute__((format(printf, 2, 3))) void html_text_f(html *page, const char *format, ...);

/* Close the innermost element; one that holds nothing by the rules of HTML (meta, input) gets no end tag. */
void html_end(html *page);

/* An element that holds a text and nothing else; a class of NULL is none. */
void html_element(html *page, const char *element, const char *class_name, const char *text);

/* A name that the user gave: its direction of writing does not spread to what stands around it. */
void html_name(html *page, const char *name);

/* A number: its hyphens become minus signs. */
void html_number(html *page, const char *number);

/* A formula: _ and ^ lower and raise the character that follows, or all that stands in braces. */
void html_formula(html *page, const char *formula);

/* What script and style elements hold, which HTML does not unescape: our own files, and JSON. */
void html_raw(html *page, const char *text, size_t length);

/* A JSON text within a script element: < and & are told by their numbers, so that nothing can end the element. */
void html_json(html *page, const char *json, size_t length);

#endif

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "html.h"

#include <stdarg.h>
#include <string.h>

/* U+FFFD, which stands for what cannot be shown. */
#define REPLACEMENT "\xEF\xBF\xBD"

/* U+2212, the sign of a number. */
#define MINUS "\xE2\x88\x92"

html html_make(FILE *stream)
{
    return (html){.stream = stream};
}

static void end_tag_head(html *page)
{
    if (page->in_tag) {
        (void)fputc('>', page->stream);
        page->in_tag = false;
    }
}

void html_start(html *page, const char *element)
{
    end_tag_head(page);
    (void)fprintf(page->stream, "<%s", element);
    page->open[page->depth++] = element;
    page->in_tag = true;
}

/* How many bytes the UTF-8 character at text has; 0 where there is none. */
static size_t character_length(const unsigned char *text)
{
    const unsigned char first = text[0];
    const size_t length = first < 0x80 ? 1 : first >= 0xC2 && first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
    if ((first >= 0x80 && first < 0xC2) || first > 0xF4) {
        return 0;
    }
    for (size_t i = 1; i < length; i++) {
        if ((text[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    const bool too_long = (first == 0xE0 && text[1] < 0xA0) || (first == 0xF0 && text[1] < 0x90);
    const bool no_character = (first == 0xED && text[1] > 0x9F) || (first == 0xF4 && text[1] > 0x8F);
    return too_long || no_character ? 0 : length;
}

/* Controls, and the code points that are no characters: HTML forbids them. */
static bool is_forbidden(const unsigned char *text, size_t length)
{
    if (length == 1) {
        return (text[0] < 0x20 && text[0] != '\n' && text[0] != '\t') || text[0] == 0x7F;
    }
    if (length == 2) {
        return text[0] == 0xC2 && text[1] < 0xA0;
    }
    const bool last_two = text[length - 2] == 0xBF && text[length - 1] >= 0xBE;
    if (length == 3) {
        const bool arabic_gap = text[0] == 0xEF && text[1] == 0xB7 && text[2] >= 0x90 && text[2] <= 0xAF;
        return arabic_gap || (text[0] == 0xEF && last_two);
    }
    return last_two && (text[1] & 0x0F) == 0x0F;
}

static void put_escaped(FILE *stream, const char *text)
{
    const unsigned char *next = (const unsigned char *)text;
    while (*next != '\0') {
        const size_t length = character_length(next);
        if (length == 0 || is_forbidden(next, length)) {
            (void)fputs(REPLACEMENT, stream);
        } else if (*next == '&') {
            (void)fputs("&amp;", stream);
        } else if (*next == '<') {
            (void)fputs("&lt;", stream);
        } else if (*next == '>') {
            (void)fputs("&gt;", stream);
        } else if (*next == '"') {
            (void)fputs("&quot;", stream);
        } else if (*next == '\'') {
            (void)fputs("&#39;", stream);
        } else {
            (void)fwrite(next, 1, length, stream);
        }
        next += length > 0 ? length : 1;
    }
}

void html_attribute(html *page, const char *name, const char *value)
{
    (void)fprintf(page->stream, " %s=\"", name);
    put_escaped(page->stream, value);
    (void)fputc('"', page->stream);
}

/* A text made in the manner of printf; the longer ones of ours are sentences. */
enum { FORMATTED = 1024 };

void html_attribute_f(html *page, const char *name, const char *format, ...)
{
    char value[FORMATTED];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(value, sizeof value, format, arguments);
    va_end(arguments);
    html_attribute(page, name, value);
}

void html_text(html *page, const char *text)
{
    end_tag_head(page);
    put_escaped(page->stream, text);
}

void html_text_f(html *page, const char *format, ...)
{
    char text[FORMATTED];
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    html_text(page, text);
}

static bool is_one_of(const char *element, const char *const *list, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(element, list[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Elements that never have an end tag. */
static bool is_void(const char *element)
{
    static const char *const list[] = {"meta", "input", "br"};
    return is_one_of(element, list, sizeof list / sizeof list[0]);
}

/* A line end after these keeps the page readable as text, and shows nowhere. */
static bool is_block(const char *element)
{
    static const char *const list[] = {"head",    "title", "style",  "script", "body", "header", "nav",    "main",
                                       "section", "p",     "figure", "table",  "tr",   "thead",  "tbody",  "div",
                                       "footer",  "h1",    "h2",     "h3",     "h4",   "li",     "dl",     "svg",
                                       "g",       "path",  "meta",   "ul",     "dd",   "html",   "caption"};
    return is_one_of(element, list, sizeof list / sizeof list[0]);
}

void html_end(html *page)
{
    const char *element = page->open[--page->depth];
    end_tag_head(page);
    if (!is_void(element)) {
        (void)fprintf(page->stream, "</%s>", element);
    }
    if (is_block(element)) {
        (void)fputc('\n', page->stream);
    }
}

void html_element(html *page, const char *element, const char *class_name, const char *text)
{
    html_start(page, element);
    if (class_name != NULL) {
        html_attribute(page, "class", class_name);
    }
    html_text(page, text);
    html_end(page);
}

void html_name(html *page, const char *name)
{
    html_element(page, "bdi", NULL, name);
}

void html_number(html *page, const char *number)
{
    end_tag_head(page);
    while (*number != '\0') {
        char part[FORMATTED];
        const size_t length = strcspn(number, "-");
        (void)snprintf(part, sizeof part, "%.*s", (int)length, number);
        put_escaped(page->stream, part);
        number += length;
        if (*number == '-') {
            (void)fputs(MINUS, page->stream);
            number++;
        }
    }
}

/* What follows _ or ^: what stands in braces, or one character. Returns where the rest begins. */
static const char *put_shifted(html *page, const char *shifted)
{
    char text[64];
    const char *end = shifted[0] == '{' ? strchr(shifted, '}') : NULL;
    const char *from = end != NULL ? shifted + 1 : shifted;
    const size_t length = end != NULL ? (size_t)(end - from) : character_length((const unsigned char *)from);
    (void)snprintf(text, sizeof text, "%.*s", (int)length, from);
    html_text(page, text);
    return end != NULL ? end + 1 : from + length;
}

void html_formula(html *page, const char *formula)
{
    html_start(page, "span");
    html_attribute(page, "class", "formula");
    while (*formula != '\0') {
        char plain[FORMATTED];
        const size_t length = strcspn(formula, "_^");
        (void)snprintf(plain, sizeof plain, "%.*s", (int)length, formula);
        html_text(page, plain);
        formula += length;
        if (*formula != '\0') {
            html_start(page, *formula == '_' ? "sub" : "sup");
            formula = put_shifted(page, formula + 1);
            html_end(page);
        }
    }
    html_end(page);
}

void html_raw(html *page, const char *text, size_t length)
{
    end_tag_head(page);
    (void)fwrite(text, 1, length, page->stream);
}

void html_json(html *page, const char *json, size_t length)
{
    end_tag_head(page);
    for (size_t i = 0; i < length; i++) {
        if (json[i] == '<' || json[i] == '&' || json[i] == '>') {
            (void)fprintf(page->stream, "\\u%04x", (unsigned)(unsigned char)json[i]);
        } else {
            (void)fputc(json[i], page->stream);
        }
    }
}

/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "terminal.h"

#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <termios.h>
#include <time.h>
#include <unistd.h>

enum { COLUMNS_LEAST = 40, COLUMNS_USUAL = 80, COLUMNS_MOST = 240, WAIT_MS = 500, REPLY_MOST = 128 };

static int within(long columns)
{
    return columns < COLUMNS_LEAST ? COLUMNS_LEAST : columns > COLUMNS_MOST ? COLUMNS_MOST : (int)columns;
}

terminal_size terminal_measure(void)
{
    struct winsize size;
    if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
        return (terminal_size){.columns = within(size.ws_col), .cell_width_px = size.ws_xpixel / size.ws_col};
    }
    const char *told = getenv("COLUMNS");
    const long columns = told != NULL ? strtol(told, NULL, 10) : 0;
    return (terminal_size){.columns = within(columns > 0 ? columns : COLUMNS_USUAL)};
}

static int milliseconds(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (int)(now.tv_sec % 1000000) * 1000 + (int)(now.tv_nsec / 1000000);
}

static bool is_readable(int terminal, int wait_ms)
{
    struct pollfd watched = {.fd = terminal, .events = POLLIN};
    return poll(&watched, 1, wait_ms) == 1 && (watched.revents & POLLIN) != 0;
}

/* Byte by byte, so that what is typed behind the reply is left to who reads it next. */
static bool read_reply(int terminal, char reply[REPLY_MOST])
{
    const int end = milliseconds() + WAIT_MS;
    size_t length = 0;
    for (int left = WAIT_MS; left > 0 && length + 1 < REPLY_MOST; left = end - milliseconds()) {
        if (!is_readable(terminal, left) || read(terminal, reply + length, 1) != 1) {
            break;
        }
        length++;
        reply[length] = '\0';
        if (reply[length - 1] == 'c') {
            return true;
        }
    }
    return false;
}

/* ESC [ ? 62 ; 4 ; 22 c: the first number is the kind of terminal, the others are what it can do. */
static bool reply_has_sixels(const char *reply)
{
    const char *numbers = strstr(reply, "\033[?");
    if (numbers == NULL) {
        return false;
    }
    for (const char *next = strchr(numbers, ';'); next != NULL; next = strchr(next + 1, ';')) {
        if (next[1] == '4' && (next[2] == ';' || next[2] == 'c')) {
            return true;
        }
    }
    return false;
}

/* What was typed ahead stays where it is: the terminal is then not asked. */
static bool ask(int terminal)
{
    static const char question[] = "\033[c";
    struct termios before;
    char reply[REPLY_MOST] = "";
    if (tcgetattr(terminal, &before) != 0) {
        return false;
    }
    struct termios raw = before;
    raw.c_lflag &= ~(tcflag_t)(ICANON | ECHO);
    raw.c_cc[VMIN] = 1;
    raw.c_cc[VTIME] = 0;
    if (tcsetattr(terminal, TCSANOW, &raw) != 0) {
        return false;
    }
    const bool asked = !is_readable(terminal, 0) && write(terminal, question, sizeof question - 1) > 0;
    const bool replied = asked && read_reply(terminal, reply);
    (void)tcsetattr(terminal, asked && !replied ? TCSAFLUSH : TCSANOW, &before);
    return replied && reply_has_sixels(reply);
}

/* Terminals that know no escape sequences say so in TERM. */
static bool can_be_asked(void)
{
    const char *term = getenv("TERM");
    return isatty(STDOUT_FILENO) != 0 && term != NULL && term[0] != '\0' && strcmp(term, "dumb") != 0 &&
           tcgetpgrp(STDOUT_FILENO) == getpgrp();
}

bool terminal_draws_sixels(void)
{
    sigset_t all;
    sigset_t before;
    const int terminal = can_be_asked() ? open("/dev/tty", O_RDWR | O_NOCTTY | O_CLOEXEC) : -1;
    if (terminal < 0) {
        return false;
    }
    /* Whoever interrupts waits until the terminal is as it was. */
    (void)sigfillset(&all);
    (void)sigprocmask(SIG_BLOCK, &all, &before);
    const bool draws = ask(terminal);
    (void)sigprocmask(SIG_SETMASK, &before, NULL);
    (void)close(terminal);
    return draws;
}

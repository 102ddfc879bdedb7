/*
 * Claims that a test in C makes: each that does not hold is told with its line.
 */
#ifndef WRACKLINE_CLAIMS_H
#define WRACKLINE_CLAIMS_H

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "wrackline.h"

static int failed;
static size_t held;
static char message[2048];

static void hold(int line, int is_so, const char *what) {
    held++;
    if (!is_so) {
        failed = 1;
        fprintf(stderr, "refuse.c:%d: %s; the message is \"%s\"\n", line, what, message);
    }
}

/* Wants a status and, in the message, a word. */
static void want_at(int line, wrackline_status found, wrackline_status wanted, const char *word) {
    char what[160];
    snprintf(what, sizeof what, "status %d, wanted %d with \"%s\"", (int)found, (int)wanted, word);
    hold(line, found == wanted && strstr(message, word) != NULL, what);
    hold(line, (found == WRACKLINE_STATUS_OK) == (message[0] == '\0'),
         "a message too many, or none");
    memset(message, 'x', sizeof message - 1);
}

#define WANT(call, status, word) want_at(__LINE__, call, WRACKLINE_STATUS_##status, word)
#define HOLD(claim) hold(__LINE__, (claim) != 0, #claim)
#define TOLD message, sizeof message

static const int64_t START = INT64_C(1798502400) * 1000000; /* 2026-12-29 */
static const int64_t DAY = INT64_C(86400) * 1000000;

/* How it ended, for `main` to give back. */
static int told_claims(void) {
    printf("%zu claims, %s\n", held, failed ? "some of them wrong" : "all of them hold");
    return failed;
}

#endif

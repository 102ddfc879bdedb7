/*
 * The rows of a parity file: quantity, subject, x, bits, value.
 */
#ifndef WRACKLINE_ROWS_H
#define WRACKLINE_ROWS_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_ROWS = 20000 };

typedef struct row {
    char quantity[40];
    char subject[24];
    char x[24];
    double value;
} row;

static row rows[MOST_ROWS];
static size_t row_count;

static double of_bits(uint64_t bits) {
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static uint64_t bits_of(double value) {
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

static void give_up(const char *what, const char *why) {
    fprintf(stderr, "agree: %s: %s\n", what, why);
    exit(2);
}

static void copy_field(char *to, size_t room, const char *from, size_t length) {
    if (length >= room) {
        give_up("a field is too long", from);
    }
    memcpy(to, from, length);
    to[length] = '\0';
}

static void read_rows(const char *path) {
    char line[256];
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        give_up(path, "cannot be read");
    }
    if (fgets(line, sizeof line, file) == NULL
        || strcmp(line, "quantity,subject,x,bits,value\n") != 0) {
        give_up(path, "is no parity file");
    }
    while (fgets(line, sizeof line, file) != NULL) {
        const char *start[4];
        size_t length[4];
        const char *at = line;
        int field;
        for (field = 0; field < 4; field++) {
            const char *comma = strchr(at, ',');
            if (comma == NULL) {
                give_up("a row is too short", line);
            }
            start[field] = at;
            length[field] = (size_t)(comma - at);
            at = comma + 1;
        }
        if (row_count == MOST_ROWS) {
            give_up(path, "has too many rows");
        }
        row *row = &rows[row_count++];
        copy_field(row->quantity, sizeof row->quantity, start[0], length[0]);
        copy_field(row->subject, sizeof row->subject, start[1], length[1]);
        copy_field(row->x, sizeof row->x, start[2], length[2]);
        row->value = of_bits(strtoull(start[3], NULL, 16));
    }
    fclose(file);
}

static int is(const row *row, const char *quantity, const char *subject) {
    return strcmp(row->quantity, quantity) == 0 && strcmp(row->subject, subject) == 0;
}

static double given(const char *quantity, const char *subject) {
    size_t n;
    for (n = 0; n < row_count; n++) {
        if (is(&rows[n], quantity, subject)) {
            return rows[n].value;
        }
    }
    give_up(subject, quantity);
    return 0;
}

#endif

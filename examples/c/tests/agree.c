/*
 * Does C get the same bits as Rust? Reads a parity file (quantity, subject, x, bits, value), builds
 * the subjects from its rows that begin with "given.", and computes every other row anew.
 *
 *     agree tests/parity.csv
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "wrackline.h"

enum { MOST_ROWS = 20000, MOST_HARMONICS = 64, MOST_FOUND = 256 };

typedef struct row {
    char quantity[40];
    char subject[24];
    char x[24];
    double value;
} row;

static row rows[MOST_ROWS];
static size_t row_count;
static size_t agreed, left_out, failed;
static char message[1024];

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

static void well(wrackline_status status) {
    if (status != WRACKLINE_STATUS_OK) {
        give_up("a call was refused", message);
    }
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

static void hold(const row *row, double found) {
    if (bits_of(found) == bits_of(row->value)) {
        agreed++;
    } else {
        failed++;
        fprintf(stderr, "agree: %s of %s at %s: %.17g, in Rust %.17g\n", row->quantity,
                row->subject, row->x, found, row->value);
    }
}

static int64_t at_us(const row *row) { return strtoll(row->x, NULL, 10) * 1000; }

static size_t number(const row *row, size_t count) {
    size_t n = (size_t)strtoull(row->x, NULL, 10);
    if (n >= count) {
        give_up(row->quantity, "there are fewer in C");
    }
    return n;
}

/* Each in its own row, all in one call. */
static size_t instants(const char *quantity, const char *subject, const row **of, int64_t *at) {
    size_t n, count = 0;
    for (n = 0; n < row_count; n++) {
        if (is(&rows[n], quantity, subject)) {
            if (count == MOST_FOUND) {
                give_up(quantity, "has too many rows");
            }
            of[count] = &rows[n];
            at[count++] = at_us(&rows[n]);
        }
    }
    return count;
}

static int64_t least(const int64_t *at, size_t count, int sign) {
    int64_t found = sign * at[0];
    size_t n;
    for (n = 1; n < count; n++) {
        found = sign * at[n] < found ? sign * at[n] : found;
    }
    return sign * found;
}

static int64_t span_us(const char *end, const char *subject) {
    char quantity[40];
    snprintf(quantity, sizeof quantity, "given.span_%s_ms", end);
    return (int64_t)given(quantity, subject) * 1000;
}

static void places(const char *name, const wrackline_observer *observer) {
    static const row *of[MOST_FOUND];
    static int64_t at[MOST_FOUND];
    static wrackline_horizontal found[MOST_FOUND];
    size_t n, count = instants("sun_scattered.altitude_deg", name, of, at);
    wrackline_path *path = NULL;
    int64_t start = least(at, count, 1), end = least(at, count, -1) + 1000000;
    well(wrackline_path_new(WRACKLINE_BODY_SUN, start, end, &path, message, sizeof message));
    well(wrackline_path_places(path, observer, at, count, found, message, sizeof message));
    wrackline_path_free(path);
    for (n = 0; n < count; n++) {
        hold(of[n], found[n].altitude_deg);
    }
}

static void site(const char *name) {
    wrackline_site site;
    wrackline_observer *observer = NULL;
    wrackline_crossing_question question;
    wrackline_crossing crossings[MOST_FOUND];
    wrackline_outcome outcome;
    size_t n, count = 0;
    site.latitude_deg = given("given.latitude_deg", name);
    site.longitude_deg = given("given.longitude_deg", name);
    site.elevation_m = given("given.elevation_m", name);
    well(wrackline_observer_new(&site, &observer, message, sizeof message));
    question.body = WRACKLINE_BODY_SUN;
    question.threshold = WRACKLINE_THRESHOLD_KIND_SUNRISE;
    question.altitude_deg = 0;
    question.start_us = span_us("start", name);
    question.end_us = span_us("end", name);
    well(wrackline_crossings(observer, &question, crossings, MOST_FOUND, &count, &outcome, message,
                             sizeof message));
    places(name, observer);
    for (n = 0; n < row_count; n++) {
        const row *row = &rows[n];
        wrackline_place sun;
        wrackline_moon_place moon;
        if (strcmp(row->subject, name) != 0) {
            continue;
        }
        if (strncmp(row->quantity, "sun.", 4) == 0) {
            well(wrackline_sun(observer, at_us(row), &sun, message, sizeof message));
            hold(row, row->quantity[5] == 'z' ? sun.azimuth_deg : sun.altitude_deg);
        } else if (strncmp(row->quantity, "moon.", 5) == 0) {
            well(wrackline_moon(observer, at_us(row), &moon, message, sizeof message));
            hold(row, strcmp(row->quantity, "moon.azimuth_deg") == 0    ? moon.azimuth_deg
                      : strcmp(row->quantity, "moon.altitude_deg") == 0 ? moon.altitude_deg
                      : strcmp(row->quantity, "moon.distance_km") == 0  ? moon.distance_km
                                                                        : moon.lit_fraction);
        } else if (strcmp(row->quantity, "sunrise.at_us") == 0) {
            hold(row, (double)crossings[number(row, count)].at_us);
        } else if (strcmp(row->quantity, "sunrise.azimuth_deg") == 0) {
            hold(row, crossings[number(row, count)].azimuth_deg);
        } else if (strncmp(row->quantity, "given.", 6) != 0
                   && strcmp(row->quantity, "sun_scattered.altitude_deg") != 0) {
            left_out++;
        }
    }
    wrackline_observer_free(observer);
}

static void heights(const char *name, const wrackline_port *port) {
    static const row *of[MOST_FOUND];
    static int64_t at[MOST_FOUND];
    static double found[MOST_FOUND];
    size_t n, count = instants("height_scattered_m", name, of, at);
    wrackline_predictor *tide = NULL;
    int64_t start = least(at, count, 1), end = least(at, count, -1) + 1000000;
    well(wrackline_predictor_new(port, start, end, &tide, message, sizeof message));
    well(wrackline_predictor_heights(tide, at, count, found, message, sizeof message));
    wrackline_predictor_free(tide);
    for (n = 0; n < count; n++) {
        hold(of[n], found[n]);
    }
}

static void port(const char *name) {
    wrackline_harmonic harmonics[MOST_HARMONICS];
    wrackline_port_spec spec;
    wrackline_port *port = NULL;
    wrackline_predictor *tide = NULL;
    wrackline_turn turns[MOST_FOUND];
    wrackline_stretch above[MOST_FOUND];
    size_t n, lines = 0, turn_count = 0, above_count = 0;
    for (n = 0; n < row_count; n++) {
        if (is(&rows[n], "given.amplitude_m", name) && lines < MOST_HARMONICS) {
            harmonics[lines].name = rows[n].x;
            harmonics[lines++].amplitude_m = rows[n].value;
        } else if (is(&rows[n], "given.phase_lag_deg", name) && lines > 0) {
            harmonics[lines - 1].phase_lag_deg = rows[n].value;
        }
    }
    spec.mean_level_m = given("given.mean_level_m", name);
    spec.harmonics = harmonics;
    spec.harmonic_count = lines;
    spec.latitude_deg = 0;
    spec.convention = strstr(name, "annual") != NULL ? WRACKLINE_CONVENTION_SCHUREMAN_ANNUAL
                                                     : WRACKLINE_CONVENTION_IHO_INSTANT;
    well(wrackline_port_new(&spec, &port, message, sizeof message));
    well(wrackline_predictor_new(port, span_us("start", name), span_us("end", name), &tide, message,
                                 sizeof message));
    well(wrackline_predictor_turns(tide, turns, MOST_FOUND, &turn_count, message, sizeof message));
    well(wrackline_predictor_above(tide, given("given.level_m", name), above, MOST_FOUND,
                                   &above_count, message, sizeof message));
    heights(name, port);
    for (n = 0; n < row_count; n++) {
        const row *row = &rows[n];
        double height_m;
        if (strcmp(row->subject, name) != 0) {
            continue;
        }
        if (strcmp(row->quantity, "height_m") == 0) {
            well(wrackline_port_height(port, at_us(row), &height_m, message, sizeof message));
            hold(row, height_m);
        } else if (strcmp(row->quantity, "turn.at_us") == 0) {
            hold(row, (double)turns[number(row, turn_count)].at_us);
        } else if (strcmp(row->quantity, "turn.height_m") == 0) {
            hold(row, turns[number(row, turn_count)].height_m);
        } else if (strcmp(row->quantity, "turn.is_high") == 0) {
            hold(row, turns[number(row, turn_count)].kind == WRACKLINE_TURN_KIND_HIGH_WATER);
        } else if (strcmp(row->quantity, "above.start_us") == 0) {
            hold(row, (double)above[number(row, above_count)].start_us);
        } else if (strcmp(row->quantity, "above.end_us") == 0) {
            hold(row, (double)above[number(row, above_count)].end_us);
        } else if (strncmp(row->quantity, "given.", 6) != 0
                   && strcmp(row->quantity, "height_scattered_m") != 0) {
            left_out++;
        }
    }
    wrackline_predictor_free(tide);
    wrackline_port_free(port);
}

static void kit(const char *name) {
    wrackline_kit_spec spec;
    wrackline_kit *kit = NULL;
    wrackline_figures figures;
    double subject_m = given("given.subject_m", name);
    double circle = given("given.circle_pixels", name);
    size_t n;
    memset(&spec, 0, sizeof spec);
    spec.focal_length_mm = given("given.focal_length_mm", name);
    spec.f_number = given("given.f_number", name);
    spec.minimum_focus_m = given("given.minimum_focus_m", name);
    spec.pupil_magnification = 1;
    spec.converter = given("given.converter", name);
    spec.sensor_width_mm = given("given.sensor_width_mm", name);
    spec.sensor_height_mm = given("given.sensor_height_mm", name);
    spec.columns = (uint32_t)given("given.columns", name);
    spec.rows = (uint32_t)given("given.rows", name);
    well(wrackline_kit_new(&spec, &kit, message, sizeof message));
    well(wrackline_kit_figures(kit, &figures, message, sizeof message));
    for (n = 0; n < row_count; n++) {
        const row *row = &rows[n];
        double x = strtod(row->x, NULL), distance_m;
        wrackline_framing framing;
        wrackline_depth_of_field zone;
        wrackline_frame_wish wish;
        if (strcmp(row->subject, name) != 0) {
            continue;
        }
        if (strcmp(row->quantity, "kit.focal_length_mm") == 0) {
            hold(row, figures.focal_length_mm);
        } else if (strcmp(row->quantity, "kit.effective_f_number") == 0) {
            hold(row, figures.effective_f_number);
        } else if (strcmp(row->quantity, "kit.minimum_focus_m") == 0) {
            hold(row, figures.minimum_focus_m);
        } else if (strcmp(row->quantity, "frame_share") == 0
                   || strcmp(row->quantity, "pixels_along") == 0) {
            well(wrackline_kit_framing(kit, x, subject_m, &framing, message, sizeof message));
            hold(row, row->quantity[0] == 'f' ? framing.frame_share : framing.pixels_along);
        } else if (strcmp(row->quantity, "near_m") == 0 || strcmp(row->quantity, "far_m") == 0) {
            well(wrackline_kit_depth_of_field(kit, x, circle, &zone, message, sizeof message));
            hold(row, row->quantity[0] == 'n' ? zone.near_m : zone.far_m);
        } else if (strcmp(row->quantity, "distance_for_share") == 0) {
            wish.subject_m = subject_m;
            wish.share = x;
            well(wrackline_kit_distance(kit, &wish, &distance_m, message, sizeof message));
            hold(row, distance_m);
        } else if (strncmp(row->quantity, "given.", 6) != 0) {
            left_out++;
        }
    }
    wrackline_kit_free(kit);
}

int main(int argc, char **argv) {
    size_t n, subjects = 0, inputs = 0;
    if (argc != 2) {
        give_up("arguments", "give the path of the parity file");
    }
    read_rows(argv[1]);
    for (n = 0; n < row_count; n++) {
        inputs += strncmp(rows[n].quantity, "given.", 6) == 0;
        if (strcmp(rows[n].quantity, "given.latitude_deg") == 0) {
            site(rows[n].subject);
        } else if (strcmp(rows[n].quantity, "given.mean_level_m") == 0) {
            port(rows[n].subject);
        } else if (strcmp(rows[n].quantity, "given.focal_length_mm") == 0) {
            kit(rows[n].subject);
        } else {
            continue;
        }
        subjects++;
    }
    printf("%zu rows of %zu subjects agree to the bit, %zu differ; %zu have no call in C\n", agreed,
           subjects, failed, left_out);
    /* Every row was either an input, or looked at. */
    return failed == 0 && agreed > 0 && agreed + left_out + inputs == row_count ? 0 : 1;
}

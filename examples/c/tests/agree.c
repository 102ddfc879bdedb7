/*
 * Does C get the same bits as Rust? Reads a parity file (quantity, subject, x, bits, value), builds
 * the subjects from its rows that begin with "given.", and computes every other row anew.
 *
 *     agree ../embed/tests/parity.csv
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "rows.h"
#include "wrackline.h"

enum { MOST_HARMONICS = 64, MOST_FOUND = 256 };

static size_t agreed, failed;
static char message[1024];

static void well(wrackline_status status) {
    if (status != WRACKLINE_STATUS_OK) {
        give_up("a call was refused", message);
    }
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

/* The grid that instants in a row are: checked, so that no row is held against another instant. */
static wrackline_grid grid(const char *quantity, const int64_t *at, size_t count) {
    wrackline_grid grid;
    size_t n;
    grid.start_us = at[0];
    grid.step_us = count > 1 ? at[1] - at[0] : 1;
    grid.count = count;
    for (n = 0; n < count; n++) {
        if (at[n] != grid.start_us + (int64_t)n * grid.step_us) {
            give_up(quantity, "is on no grid");
        }
    }
    return grid;
}

/* Sun and moon in batches: each quantity by the call that is for it. */
static void batches(const char *name, const wrackline_observer *observer) {
    static const char *const quantities[] = {
        "sun_scattered.altitude_deg", "sun_even.altitude_deg",   "sun_even.azimuth_deg",
        "moon_scattered.altitude_deg", "moon_even.altitude_deg",
    };
    static const row *of[MOST_FOUND];
    static int64_t at[MOST_FOUND];
    static wrackline_horizontal suns[MOST_FOUND];
    static wrackline_lit_moon moons[MOST_FOUND];
    size_t n, which;
    for (which = 0; which < sizeof quantities / sizeof *quantities; which++) {
        const char *quantity = quantities[which];
        size_t count = instants(quantity, name, of, at);
        int64_t start = least(at, count, 1), end = least(at, count, -1) + 1000000;
        int is_sun = quantity[0] == 's', is_even = strstr(quantity, "_even") != NULL;
        wrackline_path *sun = NULL;
        wrackline_moon_path *moon = NULL;
        wrackline_grid steps;
        well(wrackline_path_new(WRACKLINE_BODY_SUN, start, end, &sun, message, sizeof message));
        well(wrackline_moon_path_new(start, end, &moon, message, sizeof message));
        if (is_even) {
            steps = grid(quantity, at, count);
            well(wrackline_path_grid(sun, observer, &steps, suns, message, sizeof message));
            well(wrackline_moon_path_grid(moon, observer, &steps, moons, message, sizeof message));
        } else {
            well(wrackline_path_places(sun, observer, at, count, suns, message, sizeof message));
            well(wrackline_moon_path_moons(moon, observer, at, count, moons, message,
                                           sizeof message));
        }
        wrackline_path_free(sun);
        wrackline_moon_path_free(moon);
        for (n = 0; n < count; n++) {
            hold(of[n], !is_sun                                     ? moons[n].altitude_deg
                        : strstr(quantity, "azimuth_deg") != NULL ? suns[n].azimuth_deg
                                                                    : suns[n].altitude_deg);
        }
    }
}

static void site(const char *name) {
    wrackline_site site;
    wrackline_observer *observer = NULL;
    wrackline_crossing_question question;
    wrackline_transit_question passage;
    wrackline_crossing crossings[MOST_FOUND];
    wrackline_transit transits[MOST_FOUND];
    wrackline_outcome outcome;
    size_t n, count = 0, transit_count = 0;
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
    passage.body = WRACKLINE_BODY_MOON;
    passage.start_us = question.start_us;
    passage.end_us = question.end_us;
    well(wrackline_transits(observer, &passage, transits, MOST_FOUND, &transit_count, message,
                            sizeof message));
    batches(name, observer);
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
        } else if (strcmp(row->quantity, "moon_transit.at_us") == 0) {
            hold(row, (double)transits[number(row, transit_count)].at_us);
        } else if (strcmp(row->quantity, "moon_transit.altitude_deg") == 0) {
            hold(row, transits[number(row, transit_count)].altitude_deg);
        } else if (strcmp(row->quantity, "moon_transit.is_upper") == 0) {
            hold(row, transits[number(row, transit_count)].is_upper);
        }
    }
    wrackline_observer_free(observer);
}

/* Heights and rates in batches. */
static void heights(const char *name, const wrackline_port *port) {
    static const char *const quantities[] = {"height_scattered_m", "height_even_m", "rate_m_per_h"};
    static const row *of[MOST_FOUND];
    static int64_t at[MOST_FOUND];
    static double found[MOST_FOUND];
    size_t n, which;
    for (which = 0; which < sizeof quantities / sizeof *quantities; which++) {
        size_t count = instants(quantities[which], name, of, at);
        int64_t start = least(at, count, 1), end = least(at, count, -1) + 1000000;
        wrackline_predictor *tide = NULL;
        wrackline_grid steps;
        well(wrackline_predictor_new(port, start, end, &tide, message, sizeof message));
        if (which == 0) {
            well(wrackline_predictor_heights(tide, at, count, found, message, sizeof message));
        } else if (which == 1) {
            steps = grid(quantities[which], at, count);
            well(wrackline_predictor_grid(tide, &steps, found, message, sizeof message));
        } else {
            well(wrackline_predictor_rates(tide, at, count, found, message, sizeof message));
        }
        wrackline_predictor_free(tide);
        for (n = 0; n < count; n++) {
            hold(of[n], found[n]);
        }
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
    printf("%zu rows of %zu subjects agree to the bit, %zu differ, %zu have no call here\n", agreed,
           subjects, failed, row_count - inputs - agreed - failed);
    return failed == 0 && agreed > 0 && agreed + inputs == row_count ? 0 : 1;
}

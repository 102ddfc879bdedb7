/*
 * What is wrong with sun and moon is refused: each call is given null, no number, a wrong choice,
 * too little room, and must say so, leave the results alone and set a handle to NULL.
 */
#include <math.h>
#include <stdint.h>

#include "claims.h"

static wrackline_observer *observer;
static wrackline_path *path;
static wrackline_moon_path *moon_path;

static void sky(void) {
    wrackline_site site = {53.4, 1.2, 3.0};
    wrackline_place sun = {-1, -1, -1, -1};
    wrackline_moon_place moon = {-1, -1, -1, -1, -1, -1};
    wrackline_crossing_question question = {WRACKLINE_BODY_SUN, WRACKLINE_THRESHOLD_KIND_SUNRISE, 0,
                                            START, START + DAY};
    wrackline_crossing crossings[4];
    wrackline_outcome outcome;
    wrackline_transit_question passage = {WRACKLINE_BODY_MOON, START, START + DAY};
    wrackline_transit transits[4];
    wrackline_horizontal place[2] = {{-1, -1}, {-1, -1}};
    wrackline_lit_moon moons[2] = {{-1, -1, -1, -1, -1}, {-1, -1, -1, -1, -1}};
    wrackline_grid grid = {START, DAY, 2};
    int64_t at[2] = {START, START + DAY + 1};
    size_t count = 99;

    WANT(wrackline_observer_new(&site, NULL, TOLD), BAD_POINTER, "observer");
    observer = (wrackline_observer *)&site;
    WANT(wrackline_observer_new(NULL, &observer, TOLD), BAD_POINTER, "site");
    HOLD(observer == NULL);
    site.latitude_deg = NAN;
    WANT(wrackline_observer_new(&site, &observer, TOLD), BAD_VALUE, "latitude");
    site.latitude_deg = -90.5;
    WANT(wrackline_observer_new(&site, &observer, TOLD), BAD_VALUE, "-90.5");
    HOLD(observer == NULL);
    site.latitude_deg = 53.4;
    site.longitude_deg = INFINITY;
    WANT(wrackline_observer_new(&site, &observer, TOLD), BAD_VALUE, "longitude");
    site.longitude_deg = 1.2;
    WANT(wrackline_observer_new(&site, &observer, TOLD), OK, "");

    WANT(wrackline_sun(NULL, START, &sun, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_sun(observer, START, NULL, TOLD), BAD_POINTER, "place");
    WANT(wrackline_sun(observer, INT64_MIN, &sun, TOLD), BAD_VALUE, "at_us");
    WANT(wrackline_sun(observer, INT64_MAX, &sun, TOLD), BAD_VALUE, "at_us");
    HOLD(sun.altitude_deg == -1);
    WANT(wrackline_sun(observer, START, &sun, TOLD), OK, "");
    HOLD(sun.altitude_deg < -50 && sun.altitude_deg > -90);
    WANT(wrackline_moon(NULL, START, &moon, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_moon(observer, START, NULL, TOLD), BAD_POINTER, "place");
    WANT(wrackline_moon(observer, INT64_MAX, &moon, TOLD), BAD_VALUE, "at_us");
    HOLD(moon.altitude_deg == -1);

    WANT(wrackline_crossings(NULL, &question, crossings, 4, &count, &outcome, TOLD), BAD_POINTER,
         "observer");
    WANT(wrackline_crossings(observer, NULL, crossings, 4, &count, &outcome, TOLD), BAD_POINTER,
         "question");
    WANT(wrackline_crossings(observer, &question, NULL, 4, &count, &outcome, TOLD), BAD_POINTER,
         "crossings");
    WANT(wrackline_crossings(observer, &question, crossings, 4, NULL, &outcome, TOLD), BAD_POINTER,
         "count");
    WANT(wrackline_crossings(observer, &question, crossings, 4, &count, NULL, TOLD), BAD_POINTER,
         "outcome");
    WANT(wrackline_crossings(observer, &question, crossings, SIZE_MAX, &count, &outcome, TOLD),
         BAD_VALUE, "crossings");
    HOLD(count == 99);
    question.body = 0;
    WANT(wrackline_crossings(observer, &question, crossings, 4, &count, &outcome, TOLD), BAD_CHOICE,
         "wrackline_body");
    question.body = WRACKLINE_BODY_MOON;
    question.threshold = 7;
    WANT(wrackline_crossings(observer, &question, crossings, 4, &count, &outcome, TOLD), BAD_CHOICE,
         "1 to 6");
    question.threshold = WRACKLINE_THRESHOLD_KIND_ALTITUDE;
    question.altitude_deg = NAN;
    WANT(wrackline_crossings(observer, &question, crossings, 4, &count, &outcome, TOLD), BAD_VALUE,
         "altitude");
    question.threshold = WRACKLINE_THRESHOLD_KIND_SUNRISE;
    question.body = WRACKLINE_BODY_SUN;
    question.end_us = question.start_us;
    WANT(wrackline_crossings(observer, &question, crossings, 4, &count, &outcome, TOLD), BAD_VALUE,
         "no time");
    question.end_us = START + DAY;
    crossings[0].azimuth_deg = -1;
    WANT(wrackline_crossings(observer, &question, crossings, 1, &count, &outcome, TOLD), TOO_SMALL,
         "needed are 2");
    HOLD(count == 2 && crossings[0].azimuth_deg == -1);
    WANT(wrackline_crossings(observer, &question, NULL, 0, &count, &outcome, TOLD), TOO_SMALL,
         "room for 0");
    HOLD(count == 2 && outcome.kind == WRACKLINE_OUTCOME_KIND_CROSSES);
    WANT(wrackline_crossings(observer, &question, crossings, 2, &count, &outcome, TOLD), OK, "");
    HOLD(crossings[0].direction == WRACKLINE_DIRECTION_RISING && crossings[0].at_us > START);
    question.threshold = WRACKLINE_THRESHOLD_KIND_ALTITUDE;
    question.altitude_deg = 60;
    WANT(wrackline_crossings(observer, &question, NULL, 0, &count, &outcome, TOLD), OK, "");
    HOLD(count == 0 && outcome.kind == WRACKLINE_OUTCOME_KIND_ALWAYS_BELOW);

    WANT(wrackline_path_new(WRACKLINE_BODY_SUN, START, START + DAY, NULL, TOLD), BAD_POINTER,
         "path");
    WANT(wrackline_path_new(3, START, START + DAY, &path, TOLD), BAD_CHOICE, "3 is no");
    WANT(wrackline_path_new(WRACKLINE_BODY_SUN, START, START - 1, &path, TOLD), BAD_VALUE,
         "length of the span");
    WANT(wrackline_path_new(WRACKLINE_BODY_SUN, INT64_MIN, START, &path, TOLD), BAD_VALUE,
         "start_us");
    HOLD(path == NULL);
    WANT(wrackline_path_new(WRACKLINE_BODY_SUN, START, START + DAY, &path, TOLD), OK, "");
    WANT(wrackline_path_places(NULL, observer, at, 1, place, TOLD), BAD_POINTER, "path");
    WANT(wrackline_path_places(path, NULL, at, 1, place, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_path_places(path, observer, NULL, 1, place, TOLD), BAD_POINTER, "at_us");
    WANT(wrackline_path_places(path, observer, at, 1, NULL, TOLD), BAD_POINTER, "places");
    WANT(wrackline_path_places(path, observer, at, SIZE_MAX, place, TOLD), BAD_VALUE, "at_us");
    WANT(wrackline_path_places(path, observer, at, 2, place, TOLD), BAD_VALUE, "outside");
    HOLD(place[0].altitude_deg == -1);
    at[1] = INT64_MAX;
    WANT(wrackline_path_places(path, observer, at, 2, place, TOLD), BAD_VALUE, "at_us[1]");
    WANT(wrackline_path_places(path, observer, NULL, 0, NULL, TOLD), OK, "");
    WANT(wrackline_path_places(path, observer, at, 1, place, TOLD), OK, "");
    HOLD(fabs(place[0].altitude_deg - sun.altitude_deg) < 0.001 && place[1].altitude_deg == -1);

    place[0].altitude_deg = -1;
    WANT(wrackline_path_grid(NULL, observer, &grid, place, TOLD), BAD_POINTER, "path");
    WANT(wrackline_path_grid(path, NULL, &grid, place, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_path_grid(path, observer, NULL, place, TOLD), BAD_POINTER, "grid");
    WANT(wrackline_path_grid(path, observer, &grid, NULL, TOLD), BAD_POINTER, "places");
    grid.step_us = DAY + 1;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "outside");
    grid.step_us = INT64_MAX;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "");
    grid.step_us = 0;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "step_us");
    grid.step_us = DAY;
    grid.count = SIZE_MAX;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "places");
    grid.count = SIZE_MAX / 64;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "count");
    grid.start_us = INT64_MAX;
    grid.count = 2;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), BAD_VALUE, "start_us");
    HOLD(place[0].altitude_deg == -1);
    grid.start_us = START;
    WANT(wrackline_path_grid(path, observer, &grid, place, TOLD), OK, "");
    HOLD(fabs(place[0].altitude_deg - sun.altitude_deg) < 0.001);
    grid.count = 0;
    WANT(wrackline_path_grid(path, observer, &grid, NULL, TOLD), OK, "");
    grid.count = 1;

    WANT(wrackline_moon_path_new(START, START + DAY, NULL, TOLD), BAD_POINTER, "path");
    WANT(wrackline_moon_path_new(START, INT64_MAX, &moon_path, TOLD), BAD_VALUE, "end_us");
    WANT(wrackline_moon_path_new(START, START - 1, &moon_path, TOLD), BAD_VALUE, "length");
    HOLD(moon_path == NULL);
    WANT(wrackline_moon_path_new(START, START + DAY, &moon_path, TOLD), OK, "");
    WANT(wrackline_moon_path_moons(NULL, observer, at, 1, moons, TOLD), BAD_POINTER, "path");
    WANT(wrackline_moon_path_moons(moon_path, NULL, at, 1, moons, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_moon_path_moons(moon_path, observer, NULL, 1, moons, TOLD), BAD_POINTER,
         "at_us");
    WANT(wrackline_moon_path_moons(moon_path, observer, at, 1, NULL, TOLD), BAD_POINTER, "moons");
    WANT(wrackline_moon_path_moons(moon_path, observer, at, 2, moons, TOLD), BAD_VALUE, "at_us[1]");
    WANT(wrackline_moon_path_grid(NULL, observer, &grid, moons, TOLD), BAD_POINTER, "path");
    WANT(wrackline_moon_path_grid(moon_path, NULL, &grid, moons, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_moon_path_grid(moon_path, observer, NULL, moons, TOLD), BAD_POINTER, "grid");
    WANT(wrackline_moon_path_grid(moon_path, observer, &grid, NULL, TOLD), BAD_POINTER, "moons");
    grid.start_us = START - 1;
    WANT(wrackline_moon_path_grid(moon_path, observer, &grid, moons, TOLD), BAD_VALUE, "outside");
    HOLD(moons[0].distance_km == -1);
    grid.start_us = START;
    WANT(wrackline_moon(observer, START, &moon, TOLD), OK, "");
    WANT(wrackline_moon_path_grid(moon_path, observer, &grid, moons, TOLD), OK, "");
    HOLD(fabs(moons[0].altitude_deg - moon.altitude_deg) < 0.001 && moons[1].altitude_deg == -1);
    WANT(wrackline_moon_path_moons(moon_path, observer, at, 1, moons + 1, TOLD), OK, "");
    HOLD(fabs(moons[1].lit_fraction - moon.lit_fraction) < 0.001);

    WANT(wrackline_transits(NULL, &passage, transits, 4, &count, TOLD), BAD_POINTER, "observer");
    WANT(wrackline_transits(observer, NULL, transits, 4, &count, TOLD), BAD_POINTER, "question");
    WANT(wrackline_transits(observer, &passage, NULL, 4, &count, TOLD), BAD_POINTER, "transits");
    WANT(wrackline_transits(observer, &passage, transits, 4, NULL, TOLD), BAD_POINTER, "count");
    passage.body = 3;
    WANT(wrackline_transits(observer, &passage, transits, 4, &count, TOLD), BAD_CHOICE, "3 is no");
    passage.body = WRACKLINE_BODY_MOON;
    passage.end_us = START;
    WANT(wrackline_transits(observer, &passage, transits, 4, &count, TOLD), BAD_VALUE, "no time");
    passage.end_us = START + 2 * DAY;
    transits[0].altitude_deg = -99;
    WANT(wrackline_transits(observer, &passage, transits, 1, &count, TOLD), TOO_SMALL, "transits");
    HOLD((count == 3 || count == 4) && transits[0].altitude_deg == -99);
    WANT(wrackline_transits(observer, &passage, transits, 4, &count, TOLD), OK, "");
    HOLD(transits[0].is_upper + transits[1].is_upper == 1 && transits[0].at_us < transits[1].at_us);
}

int main(void) {
    sky();
    wrackline_observer_free(observer);
    wrackline_path_free(path);
    wrackline_moon_path_free(moon_path);
    wrackline_observer_free(NULL);
    wrackline_path_free(NULL);
    wrackline_moon_path_free(NULL);
    return told_claims();
}

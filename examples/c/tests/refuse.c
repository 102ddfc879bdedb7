/*
 * What is wrong with tide, kit, scenario and season is refused: each call is given null, no number,
 * a wrong choice, too little room, and must say so, leave the results alone and set a handle to
 * NULL. Threads then share the handles, and a season is asked for.
 *
 *     refuse tests/coast.toml
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <pthread.h>

#include "claims.h"

static wrackline_observer *observer;
static wrackline_path *path;
static wrackline_port *port;
static wrackline_predictor *tide;
static wrackline_kit *kit;

static void tides(void) {
    wrackline_harmonic lines[2] = {{"M2", 2.52, 171.0}, {"S2", 0.86, 219.0}};
    wrackline_port_spec spec = {4.4, lines, 2, 0, WRACKLINE_CONVENTION_IHO_INSTANT};
    wrackline_turn turns[8];
    wrackline_stretch above[8];
    int64_t at[2] = {START, START + DAY + 1};
    wrackline_grid grid = {START, DAY, 2};
    double height_m = -1, heights_m[2] = {-1, -1}, rates[2] = {-99, -99};
    size_t count = 99;

    WANT(wrackline_port_new(&spec, NULL, TOLD), BAD_POINTER, "port");
    WANT(wrackline_port_new(NULL, &port, TOLD), BAD_POINTER, "spec");
    spec.convention = 0;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_CHOICE, "wrackline_convention");
    spec.convention = WRACKLINE_CONVENTION_FOREMAN_INSTANT;
    spec.latitude_deg = NAN;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "latitude");
    spec.convention = WRACKLINE_CONVENTION_IHO_INSTANT;
    spec.mean_level_m = NAN;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "mean level");
    spec.mean_level_m = 4.4;
    spec.harmonics = NULL;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_POINTER, "harmonics");
    spec.harmonic_count = 0;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "constituent");
    spec.harmonics = lines;
    spec.harmonic_count = SIZE_MAX;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "harmonics");
    spec.harmonics = (const wrackline_harmonic *)((const char *)lines + 1);
    spec.harmonic_count = 1;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_POINTER, "harmonics");
    spec.harmonics = lines;
    spec.harmonic_count = 2;
    lines[1].name = NULL;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_POINTER, "name");
    lines[1].name = "S\xff";
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_TEXT, "name");
    lines[1].name = "Q99Z";
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "Q99Z");
    lines[1].name = "M2";
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "M2");
    lines[1].name = "S2";
    lines[1].amplitude_m = NAN;
    WANT(wrackline_port_new(&spec, &port, TOLD), BAD_VALUE, "amplitude");
    lines[1].amplitude_m = 0.86;
    HOLD(port == NULL);
    WANT(wrackline_port_new(&spec, &port, TOLD), OK, "");

    WANT(wrackline_port_height(NULL, START, &height_m, TOLD), BAD_POINTER, "port");
    WANT(wrackline_port_height(port, START, NULL, TOLD), BAD_POINTER, "height_m");
    WANT(wrackline_port_height(port, INT64_MAX, &height_m, TOLD), BAD_VALUE, "at_us");
    HOLD(height_m == -1);
    WANT(wrackline_port_height(port, START, &height_m, TOLD), OK, "");

    WANT(wrackline_predictor_new(port, START, START + DAY, NULL, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_new(NULL, START, START + DAY, &tide, TOLD), BAD_POINTER, "port");
    WANT(wrackline_predictor_new(port, START, START - 1, &tide, TOLD), BAD_VALUE, "");
    WANT(wrackline_predictor_new(port, START, INT64_MAX, &tide, TOLD), BAD_VALUE, "end_us");
    HOLD(tide == NULL);
    WANT(wrackline_predictor_new(port, START, START + DAY, &tide, TOLD), OK, "");
    WANT(wrackline_predictor_heights(NULL, at, 1, heights_m, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_heights(tide, NULL, 1, heights_m, TOLD), BAD_POINTER, "at_us");
    WANT(wrackline_predictor_heights(tide, at, 1, NULL, TOLD), BAD_POINTER, "heights_m");
    WANT(wrackline_predictor_heights(tide, at, SIZE_MAX / 4, heights_m, TOLD), BAD_VALUE, "at_us");
    WANT(wrackline_predictor_heights(tide, at, 2, heights_m, TOLD), BAD_VALUE, "at_us[1]");
    at[1] = INT64_MIN;
    WANT(wrackline_predictor_heights(tide, at, 2, heights_m, TOLD), BAD_VALUE, "at_us[1]");
    HOLD(heights_m[0] == -1);
    WANT(wrackline_predictor_heights(tide, at, 1, heights_m, TOLD), OK, "");
    HOLD(fabs(heights_m[0] - height_m) < 1e-5 && heights_m[1] == -1);

    heights_m[0] = -1;
    WANT(wrackline_predictor_grid(NULL, &grid, heights_m, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_grid(tide, NULL, heights_m, TOLD), BAD_POINTER, "grid");
    WANT(wrackline_predictor_grid(tide, &grid, NULL, TOLD), BAD_POINTER, "heights_m");
    grid.step_us = -1;
    WANT(wrackline_predictor_grid(tide, &grid, heights_m, TOLD), BAD_VALUE, "step_us");
    grid.step_us = DAY + 1;
    WANT(wrackline_predictor_grid(tide, &grid, heights_m, TOLD), BAD_VALUE, "step");
    grid.step_us = DAY;
    grid.start_us = START + 1;
    WANT(wrackline_predictor_grid(tide, &grid, heights_m, TOLD), BAD_VALUE, "span");
    grid.start_us = START;
    grid.count = SIZE_MAX / 16;
    WANT(wrackline_predictor_grid(tide, &grid, heights_m, TOLD), BAD_VALUE, "count");
    HOLD(heights_m[0] == -1);
    grid.count = 0;
    WANT(wrackline_predictor_grid(tide, &grid, NULL, TOLD), OK, "");
    grid.count = 1;
    WANT(wrackline_predictor_grid(tide, &grid, heights_m, TOLD), OK, "");
    HOLD(fabs(heights_m[0] - height_m) < 1e-5 && heights_m[1] == -1);
    WANT(wrackline_predictor_rates(NULL, at, 1, rates, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_rates(tide, NULL, 1, rates, TOLD), BAD_POINTER, "at_us");
    WANT(wrackline_predictor_rates(tide, at, 1, NULL, TOLD), BAD_POINTER, "rates_m_per_h");
    WANT(wrackline_predictor_rates(tide, at, 2, rates, TOLD), BAD_VALUE, "at_us[1]");
    HOLD(rates[0] == -99);
    WANT(wrackline_predictor_rates(tide, at, 1, rates, TOLD), OK, "");
    HOLD(fabs(rates[0]) < 4 && rates[1] == -99);

    WANT(wrackline_predictor_turns(NULL, turns, 8, &count, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_turns(tide, NULL, 8, &count, TOLD), BAD_POINTER, "turns");
    WANT(wrackline_predictor_turns(tide, turns, 8, NULL, TOLD), BAD_POINTER, "count");
    HOLD(count == 99);
    turns[0].height_m = -99;
    WANT(wrackline_predictor_turns(tide, turns, 1, &count, TOLD), TOO_SMALL, "turns");
    HOLD((count == 3 || count == 4) && turns[0].height_m == -99);
    WANT(wrackline_predictor_turns(tide, turns, 8, &count, TOLD), OK, "");
    HOLD(turns[0].kind + turns[1].kind
         == WRACKLINE_TURN_KIND_HIGH_WATER + WRACKLINE_TURN_KIND_LOW_WATER);

    WANT(wrackline_predictor_above(NULL, 5, above, 8, &count, TOLD), BAD_POINTER, "predictor");
    WANT(wrackline_predictor_above(tide, 5, NULL, 8, &count, TOLD), BAD_POINTER, "stretches");
    WANT(wrackline_predictor_above(tide, 5, above, 8, NULL, TOLD), BAD_POINTER, "count");
    WANT(wrackline_predictor_above(tide, NAN, above, 8, &count, TOLD), BAD_VALUE, "level_m");
    WANT(wrackline_predictor_above(tide, 5, above, 1, &count, TOLD), TOO_SMALL, "stretches");
    WANT(wrackline_predictor_above(tide, 5, above, 8, &count, TOLD), OK, "");
    HOLD((count == 2 || count == 3) && above[0].start_us < above[0].end_us);
    WANT(wrackline_predictor_above(tide, 99, NULL, 0, &count, TOLD), OK, "");
    HOLD(count == 0);
}

static void frames(void) {
    wrackline_kit_spec spec = {600, 4, 4.5, 1, 0, 0, 1.4, 36, 24, 8000, 5333};
    wrackline_kit_spec bad = spec;
    wrackline_figures figures;
    wrackline_framing framing = {-1, -1, -1, -1, -1};
    wrackline_frame_wish wish = {0.24, 0.25};
    wrackline_depth_of_field zone;
    double distance_m = -1;

    WANT(wrackline_kit_new(&spec, NULL, TOLD), BAD_POINTER, "kit");
    WANT(wrackline_kit_new(NULL, &kit, TOLD), BAD_POINTER, "spec");
    bad.focal_length_mm = NAN;
    WANT(wrackline_kit_new(&bad, &kit, TOLD), BAD_VALUE, "focal length");
    bad = spec;
    bad.pupil_magnification = 0;
    WANT(wrackline_kit_new(&bad, &kit, TOLD), BAD_VALUE, "pupil");
    bad = spec;
    bad.converter = NAN;
    WANT(wrackline_kit_new(&bad, &kit, TOLD), BAD_VALUE, "converter");
    bad = spec;
    bad.tube_mm = -12;
    WANT(wrackline_kit_new(&bad, &kit, TOLD), BAD_VALUE, "tube");
    bad = spec;
    bad.columns = 0;
    WANT(wrackline_kit_new(&bad, &kit, TOLD), BAD_VALUE, "");
    HOLD(kit == NULL);
    WANT(wrackline_kit_new(&spec, &kit, TOLD), OK, "");

    WANT(wrackline_kit_figures(NULL, &figures, TOLD), BAD_POINTER, "kit");
    WANT(wrackline_kit_figures(kit, NULL, TOLD), BAD_POINTER, "figures");
    WANT(wrackline_kit_framing(NULL, 85, 0.24, &framing, TOLD), BAD_POINTER, "kit");
    WANT(wrackline_kit_framing(kit, 85, 0.24, NULL, TOLD), BAD_POINTER, "framing");
    WANT(wrackline_kit_framing(kit, NAN, 0.24, &framing, TOLD), BAD_VALUE, "distance");
    WANT(wrackline_kit_framing(kit, 1, 0.24, &framing, TOLD), BAD_VALUE, "1 m");
    WANT(wrackline_kit_framing(kit, 85, NAN, &framing, TOLD), BAD_VALUE, "length");
    HOLD(framing.frame_share == -1);
    WANT(wrackline_kit_framing(kit, 85, 0.24, &framing, TOLD), OK, "");
    HOLD(fabs(framing.pixels_along - 535) < 1);
    WANT(wrackline_kit_distance(NULL, &wish, &distance_m, TOLD), BAD_POINTER, "kit");
    WANT(wrackline_kit_distance(kit, NULL, &distance_m, TOLD), BAD_POINTER, "wish");
    WANT(wrackline_kit_distance(kit, &wish, NULL, TOLD), BAD_POINTER, "distance_m");
    wish.share = NAN;
    WANT(wrackline_kit_distance(kit, &wish, &distance_m, TOLD), BAD_VALUE, "share");
    HOLD(distance_m == -1);
    WANT(wrackline_kit_depth_of_field(NULL, 85, 1, &zone, TOLD), BAD_POINTER, "kit");
    WANT(wrackline_kit_depth_of_field(kit, 85, 1, NULL, TOLD), BAD_POINTER, "zone");
    WANT(wrackline_kit_depth_of_field(kit, INFINITY, 1, &zone, TOLD), BAD_VALUE, "distance");
    WANT(wrackline_kit_depth_of_field(kit, 85, 0, &zone, TOLD), BAD_VALUE, "circle");
    WANT(wrackline_kit_depth_of_field(kit, 1e6, 1, &zone, TOLD), OK, "");
    HOLD(zone.far_is_infinite == 1 && zone.far_m == 0 && zone.near_m > 0);
}

static void seasons(const char *file) {
    wrackline_scenario *scenario = NULL;
    wrackline_season *season = NULL;
    wrackline_season_request request = {"2026-12-28", NULL, NULL, NULL, 3, 7, WRACKLINE_PHASE_BOTH};
    size_t length = 99;
    char few[16] = "as it was";
    char *json;

    WANT(wrackline_scenario_parse("a.toml", "", NULL, TOLD), BAD_POINTER, "scenario");
    WANT(wrackline_scenario_parse(NULL, "", &scenario, TOLD), BAD_POINTER, "name");
    WANT(wrackline_scenario_parse("a.toml", NULL, &scenario, TOLD), BAD_POINTER, "toml");
    WANT(wrackline_scenario_parse("a.toml", "title = \"\xc3\"", &scenario, TOLD), BAD_TEXT, "toml");
    WANT(wrackline_scenario_parse("a.toml", "title = [", &scenario, TOLD), BAD_VALUE, "a.toml:1");
    WANT(wrackline_scenario_parse("a.toml", "", &scenario, TOLD), BAD_VALUE, "problem");
    WANT(wrackline_scenario_open(NULL, &scenario, TOLD), BAD_POINTER, "path");
    WANT(wrackline_scenario_open(file, NULL, TOLD), BAD_POINTER, "scenario");
    WANT(wrackline_scenario_open("no/such/file.toml", &scenario, TOLD), BAD_VALUE,
         "cannot be read");
    HOLD(scenario == NULL);
    WANT(wrackline_scenario_open(file, &scenario, TOLD), OK, "");

    WANT(wrackline_season_new(scenario, &request, NULL, TOLD), BAD_POINTER, "season");
    WANT(wrackline_season_new(NULL, &request, &season, TOLD), BAD_POINTER, "scenario");
    WANT(wrackline_season_new(scenario, NULL, &season, TOLD), BAD_POINTER, "request");
    request.from = NULL;
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_POINTER, "from");
    request.from = "28 December";
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "YYYY-MM-DD");
    request.from = "2026-12-28";
    request.days = 0;
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "0 days");
    request.days = 7;
    request.count = 0;
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "count");
    request.count = 3;
    request.phase = -1;
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_CHOICE, "wrackline_phase");
    request.phase = WRACKLINE_PHASE_BOTH;
    request.place = "nowhere";
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "nowhere");
    request.place = "\xff";
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_TEXT, "place");
    request.place = NULL;
    request.subject = "nobody";
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "nobody");
    request.subject = NULL;
    request.light = "no such light";
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), BAD_VALUE, "no such light");
    request.light = NULL;
    HOLD(season == NULL);
    WANT(wrackline_season_new(scenario, &request, &season, TOLD), OK, "");
    wrackline_scenario_free(scenario);

    WANT(wrackline_season_json(NULL, few, sizeof few, &length, TOLD), BAD_POINTER, "season");
    WANT(wrackline_season_json(season, NULL, 16, &length, TOLD), BAD_POINTER, "json");
    WANT(wrackline_season_json(season, few, sizeof few, NULL, TOLD), BAD_POINTER, "length");
    HOLD(length == 99);
    WANT(wrackline_season_json(season, few, sizeof few, &length, TOLD), TOO_SMALL, "json");
    HOLD(strcmp(few, "as it was") == 0);
    WANT(wrackline_season_json(season, NULL, 0, &length, TOLD), TOO_SMALL, "room for 0");
    HOLD(length > 1000);
    json = (char *)malloc(length + 1);
    if (json == NULL) {
        exit(2);
    }
    WANT(wrackline_season_json(season, json, length, &length, TOLD), TOO_SMALL, "json");
    WANT(wrackline_season_json(season, json, length + 1, &length, TOLD), OK, "");
    HOLD(strlen(json) == length && json[0] == '{' && json[length - 1] == '\n');
    HOLD(strstr(json, "\"windows\"") != NULL && strstr(json, "\"cautions\"") != NULL);
    free(json);
    wrackline_season_free(season);
}

/* A message is cut at its end and never runs over. */
static void messages(void) {
    char four[5] = "....";
    double height_m;
    HOLD(wrackline_port_height(NULL, 0, &height_m, NULL, 0) == WRACKLINE_STATUS_BAD_POINTER);
    HOLD(wrackline_port_height(NULL, 0, &height_m, NULL, 9) == WRACKLINE_STATUS_BAD_POINTER);
    HOLD(wrackline_port_height(NULL, 0, &height_m, four, 0) == WRACKLINE_STATUS_BAD_POINTER);
    HOLD(strcmp(four, "....") == 0);
    HOLD(wrackline_port_height(NULL, 0, &height_m, four, 4) == WRACKLINE_STATUS_BAD_POINTER);
    HOLD(memcmp(four, "por\0", 5) == 0);
    HOLD(wrackline_port_height(NULL, 0, &height_m, four, 1) == WRACKLINE_STATUS_BAD_POINTER);
    HOLD(four[0] == '\0' && four[1] == 'o');
}

static void *in_a_thread(void *unused) {
    int n, *wrong = (int *)calloc(1, sizeof *wrong);
    (void)unused;
    for (n = 0; wrong != NULL && n < 40; n++) {
        int64_t at = START + n * (DAY / 40);
        wrackline_place one;
        wrackline_horizontal many;
        double height_m, prepared_m;
        size_t count;
        char told[64];
        *wrong |= wrackline_sun(observer, at, &one, told, sizeof told) != WRACKLINE_STATUS_OK;
        *wrong |= wrackline_path_places(path, observer, &at, 1, &many, told, sizeof told)
                  != WRACKLINE_STATUS_OK;
        *wrong |= fabs(one.altitude_deg - many.altitude_deg) > 0.001;
        *wrong |= wrackline_port_height(port, at, &height_m, told, sizeof told)
                  != WRACKLINE_STATUS_OK;
        *wrong |= wrackline_predictor_heights(tide, &at, 1, &prepared_m, told, sizeof told)
                  != WRACKLINE_STATUS_OK;
        *wrong |= fabs(height_m - prepared_m) > 1e-5;
        *wrong |= wrackline_predictor_turns(tide, NULL, 0, &count, told, sizeof told)
                  != WRACKLINE_STATUS_TOO_SMALL;
    }
    return wrong;
}

static void threads(void) {
    wrackline_site site = {53.4, 1.2, 3.0};
    pthread_t each[4];
    int n;
    WANT(wrackline_observer_new(&site, &observer, TOLD), OK, "");
    WANT(wrackline_path_new(WRACKLINE_BODY_SUN, START, START + DAY, &path, TOLD), OK, "");
    for (n = 0; n < 4; n++) {
        HOLD(pthread_create(&each[n], NULL, in_a_thread, NULL) == 0);
    }
    for (n = 0; n < 4; n++) {
        void *wrong = NULL;
        HOLD(pthread_join(each[n], &wrong) == 0);
        HOLD(wrong != NULL && *(int *)wrong == 0);
        free(wrong);
    }
}

int main(int argc, char **argv) {
    if (argc != 2) {
        fprintf(stderr, "refuse: give the path of a scenario\n");
        return 2;
    }
    HOLD(strchr(wrackline_version(), '.') != NULL);
    tides();
    frames();
    messages();
    threads();
    seasons(argv[1]);
    wrackline_observer_free(observer);
    wrackline_path_free(path);
    wrackline_predictor_free(tide);
    wrackline_port_free(port);
    wrackline_kit_free(kit);
    wrackline_predictor_free(NULL);
    wrackline_port_free(NULL);
    wrackline_kit_free(NULL);
    wrackline_scenario_free(NULL);
    wrackline_season_free(NULL);
    return told_claims();
}

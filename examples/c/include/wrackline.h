/*
 * Sun, moon, tide, framing and seasons for a wildlife photographer.
 *
 * Made from the sources in Rust: change those, not this file.
 *
 * - Every call gives a wrackline_status; results go where its pointers point to. After a refusal
 *   the message says what was wrong and what to give. It is written to the caller's own `message`,
 *   of `message_size` bytes with the zero byte at its end, and cut where it does not fit; it is
 *   empty when all is well. Who wants none gives NULL and 0.
 * - What is named `observer`, `path`, `port`, `predictor`, `kit`, `scenario` or `season` is a
 *   handle, made by a call that ends in _new, _parse or _open and freed by the one that ends in
 *   _free, once. A call that makes one sets it to NULL where it is refused. Any number of threads
 *   may use a handle at once; none may free it meanwhile.
 * - Choices are int32_t, by the names of the enums. Texts are UTF-8 and end with a zero byte. What
 *   is written must not overlap anything else that the call is given. Instants are microseconds
 *   since 1970-01-01T00:00:00Z, without leap seconds. Units stand in the names.
 * - Predictions are estimates, and not for navigation: surge, wind, rain, waves and shifting
 *   channels are not in them. Never look at or near the sun through a lens.
 */

#ifndef WRACKLINE_H
#define WRACKLINE_H

#include <stddef.h>
#include <stdint.h>

// How a call ended. Anything but WRACKLINE_STATUS_OK comes with a message.
enum wrackline_status
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // The results are written.
  WRACKLINE_STATUS_OK = 0,
  // A pointer that is needed is null, or not aligned for what it points to.
  WRACKLINE_STATUS_BAD_POINTER = 1,
  // A text is not UTF-8.
  WRACKLINE_STATUS_BAD_TEXT = 2,
  // A number that stands for a choice stands for none.
  WRACKLINE_STATUS_BAD_CHOICE = 3,
  // A value, or several together, cannot be worked with: the message says which, and what to
  // give.
  WRACKLINE_STATUS_BAD_VALUE = 4,
  // The caller's array or text has too little room; how much is needed is written.
  WRACKLINE_STATUS_TOO_SMALL = 5,
  // A defect of this library, caught before it could harm the caller.
  WRACKLINE_STATUS_INTERNAL = 100,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_status wrackline_status;
#else
typedef int32_t wrackline_status;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// A body in the sky.
enum wrackline_body
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // The sun.
  WRACKLINE_BODY_SUN = 1,
  // The moon.
  WRACKLINE_BODY_MOON = 2,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_body wrackline_body;
#else
typedef int32_t wrackline_body;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// An altitude that a body crosses.
enum wrackline_threshold_kind
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // Sunrise and sunset of the almanacs: the centre 50' below the horizontal.
  WRACKLINE_THRESHOLD_KIND_SUNRISE = 1,
  // Moonrise and moonset of the almanacs: the upper limb 34' below the horizontal.
  WRACKLINE_THRESHOLD_KIND_MOONRISE = 2,
  // Civil twilight: the centre at -6 degrees.
  WRACKLINE_THRESHOLD_KIND_CIVIL = 3,
  // Nautical twilight: the centre at -12 degrees.
  WRACKLINE_THRESHOLD_KIND_NAUTICAL = 4,
  // Astronomical twilight: the centre at -18 degrees.
  WRACKLINE_THRESHOLD_KIND_ASTRONOMICAL = 5,
  // The centre at the altitude that is given beside it.
  WRACKLINE_THRESHOLD_KIND_ALTITUDE = 6,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_threshold_kind wrackline_threshold_kind;
#else
typedef int32_t wrackline_threshold_kind;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// Which way a body crosses an altitude.
enum wrackline_direction
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // Upwards.
  WRACKLINE_DIRECTION_RISING = 1,
  // Downwards.
  WRACKLINE_DIRECTION_SETTING = 2,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_direction wrackline_direction;
#else
typedef int32_t wrackline_direction;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// What a span holds of a threshold.
enum wrackline_outcome_kind
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // It is crossed.
  WRACKLINE_OUTCOME_KIND_CROSSES = 1,
  // It is crossed, by so little that the weather's refraction decides.
  WRACKLINE_OUTCOME_KIND_GRAZES = 2,
  // The body stays above it: polar day, for the sun.
  WRACKLINE_OUTCOME_KIND_ALWAYS_ABOVE = 3,
  // The body stays below it: polar night, for the sun.
  WRACKLINE_OUTCOME_KIND_ALWAYS_BELOW = 4,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_outcome_kind wrackline_outcome_kind;
#else
typedef int32_t wrackline_outcome_kind;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// How an office turns constants into heights. There is no default: ask whoever analysed them.
enum wrackline_convention
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // Schureman's factors held at the middle of each year, arguments from 1 January: NOAA CO-OPS.
  WRACKLINE_CONVENTION_SCHUREMAN_ANNUAL = 1,
  // Schureman's factors and the arguments at each instant.
  WRACKLINE_CONVENTION_SCHUREMAN_INSTANT = 2,
  // The IHO list's factors and the arguments at each instant.
  WRACKLINE_CONVENTION_IHO_INSTANT = 3,
  // Schureman's factors held at the middle of each year, arguments at each instant.
  WRACKLINE_CONVENTION_RIJKSWATERSTAAT = 4,
  // Foreman's satellite sums for the latitude that is given beside it.
  WRACKLINE_CONVENTION_FOREMAN_INSTANT = 5,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_convention wrackline_convention;
#else
typedef int32_t wrackline_convention;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// Whether the water stops rising or stops falling.
enum wrackline_turn_kind
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // The water stops rising.
  WRACKLINE_TURN_KIND_HIGH_WATER = 1,
  // The water stops falling.
  WRACKLINE_TURN_KIND_LOW_WATER = 2,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_turn_kind wrackline_turn_kind;
#else
typedef int32_t wrackline_turn_kind;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// A part of the tide. All of it unless something else is asked for.
enum wrackline_phase
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : int32_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
  // All of it.
  WRACKLINE_PHASE_BOTH = 0,
  // Until high water.
  WRACKLINE_PHASE_FLOOD = 1,
  // From high water.
  WRACKLINE_PHASE_EBB = 2,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum wrackline_phase wrackline_phase;
#else
typedef int32_t wrackline_phase;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// A lens on a sensor, with what is between them.
typedef struct wrackline_kit wrackline_kit;

// The moon's way over a span with the sun that lights it, prepared for many instants and any
// number of observers.
typedef struct wrackline_moon_path wrackline_moon_path;

// Somebody who looks at the sky from a place.
typedef struct wrackline_observer wrackline_observer;

// A body's way over a span, prepared for many instants and any number of observers.
typedef struct wrackline_path wrackline_path;

// A port whose constants have been checked and resolved.
typedef struct wrackline_port wrackline_port;

// A port's tide over a span, ready for many heights, for turns and levels.
typedef struct wrackline_predictor wrackline_predictor;

// A scenario, read and checked.
typedef struct wrackline_scenario wrackline_scenario;

// The windows of a season, written as JSON.
typedef struct wrackline_season wrackline_season;

// What a kit is put together from.
typedef struct {
  // Focal length of the bare lens with the focus at infinity, millimetres.
  double focal_length_mm;
  // The f-number set, with the focus at infinity.
  double f_number;
  // The nearest subject in focus, metres from the sensor plane.
  double minimum_focus_m;
  // Diameter of the exit pupil over that of the entrance pupil, 0.05 to 20; 1 if unknown.
  double pupil_magnification;
  // Signed separation of the principal planes, millimetres; 0 if unknown.
  double principal_separation_mm;
  // Length of an extension tube, millimetres; 0 for none.
  double tube_mm;
  // Factor of a converter, 1 to 10; 0 for none.
  double converter;
  // Width of the picture area, millimetres.
  double sensor_width_mm;
  // Height of the picture area, millimetres.
  double sensor_height_mm;
  // Pixels across the width.
  uint32_t columns;
  // Pixels down the height.
  uint32_t rows;
} wrackline_kit_spec;

// What a kit comes to.
typedef struct {
  // Focal length of lens and converter, millimetres.
  double focal_length_mm;
  // The f-number of lens and converter.
  double effective_f_number;
  // The nearest distance in focus, metres from the sensor plane.
  double minimum_focus_m;
} wrackline_figures;

// An animal in the frame.
typedef struct {
  // Its length over the frame's width; more than 1 when it does not fit in.
  double frame_share;
  // Pixels along it.
  double pixels_along;
  // Length of its image, millimetres.
  double size_on_sensor_mm;
  // Width of the subject plane that fills the frame, metres.
  double field_across_m;
  // Height of the subject plane that fills the frame, metres.
  double field_down_m;
} wrackline_framing;

// A wish: a subject of this length is to take this share of the frame's width.
typedef struct {
  // Length of the subject, metres; for a bird in flight its span.
  double subject_m;
  // Its length over the frame's width.
  double share;
} wrackline_frame_wish;

// The zone in which points pass for points.
typedef struct {
  // The near limit, metres from the sensor plane.
  double near_m;
  // The far limit, metres from the sensor plane; zero where there is none.
  double far_m;
  // 1 where the zone has no far limit, else 0.
  int32_t far_is_infinite;
} wrackline_depth_of_field;

// Where a body stands at one of many instants.
typedef struct {
  // Degrees clockwise from true north, 0 to 360.
  double azimuth_deg;
  // Degrees above the horizontal, of the centre, as if there were no air.
  double altitude_deg;
} wrackline_horizontal;

// Instants at equal steps.
typedef struct {
  // The first, microseconds since 1970 (UTC).
  int64_t start_us;
  // From one to the next, microseconds, above zero; a tide takes up to a day.
  int64_t step_us;
  // How many there are.
  size_t count;
} wrackline_grid;

// Where the moon stands at one of many instants, and how it is lit.
typedef struct {
  // Degrees clockwise from true north, 0 to 360.
  double azimuth_deg;
  // Degrees above the horizontal, of the centre, as if there were no air.
  double altitude_deg;
  // Kilometres from the observer.
  double distance_km;
  // Lit fraction of the disc, 0 to 1.
  double lit_fraction;
  // Angle at the moon between sun and Earth, degrees, 0 (full) to 180 (new).
  double phase_angle_deg;
} wrackline_lit_moon;

// What a season is asked for. What is null is left to the scenario.
typedef struct {
  // First day in the scenario's zone, as YYYY-MM-DD.
  const char *from;
  // One place only, by its id; null for all.
  const char *place;
  // One subject only, by its id, or "all"; null for the project's own.
  const char *subject;
  // The light, by its name; null for the scenario's first.
  const char *light;
  // The most windows to write, best first, at least 1.
  size_t count;
  // Number of days, 1 to 3660.
  uint32_t days;
  // A wrackline_phase.
  int32_t phase;
} wrackline_season_request;

// A place on the Earth (WGS84).
typedef struct {
  // Degrees, -90 to 90, north positive.
  double latitude_deg;
  // Degrees, -180 to 360, east positive.
  double longitude_deg;
  // Metres, -1000 to 100000.
  double elevation_m;
} wrackline_site;

// Where the sun stands, without the air.
typedef struct {
  // Degrees clockwise from true north, 0 to 360.
  double azimuth_deg;
  // Degrees above the horizontal, of the centre, as if there were no air.
  double altitude_deg;
  // Astronomical units.
  double distance_au;
  // Half the angle that the disc fills, degrees.
  double semi_diameter_deg;
} wrackline_place;

// Where the moon stands, without the air, and how it is lit.
typedef struct {
  // Degrees clockwise from true north, 0 to 360.
  double azimuth_deg;
  // Degrees above the horizontal, of the centre, as if there were no air.
  double altitude_deg;
  // Kilometres from the observer.
  double distance_km;
  // Half the angle that the disc fills, degrees.
  double semi_diameter_deg;
  // Lit fraction of the disc, 0 to 1.
  double lit_fraction;
  // How far the middle of the bright limb leans from the top to the right, degrees, -180 to 180.
  double bright_limb_tilt_deg;
} wrackline_moon_place;

// When does a body cross an altitude?
typedef struct {
  // A wrackline_body.
  int32_t body;
  // A wrackline_threshold_kind.
  int32_t threshold;
  // Read for WRACKLINE_THRESHOLD_KIND_ALTITUDE alone: airless degrees, -90 to 90.
  double altitude_deg;
  // Start of the span, microseconds since 1970 (UTC).
  int64_t start_us;
  // Its end, which is no part of it.
  int64_t end_us;
} wrackline_crossing_question;

// One crossing of an altitude.
typedef struct {
  // Microseconds since 1970 (UTC).
  int64_t at_us;
  // Azimuth of the centre, degrees clockwise from true north.
  double azimuth_deg;
  // What refraction, UT1 and theory leave open, seconds either way.
  double uncertainty_s;
  // A wrackline_direction.
  int32_t direction;
} wrackline_crossing;

// What a span holds of a threshold.
typedef struct {
  // By how many degrees the threshold is missed, or passed where it is grazed; zero where it is
  // clearly crossed.
  double margin_deg;
  // A wrackline_outcome_kind.
  int32_t kind;
} wrackline_outcome;

// When does a body cross the meridian?
typedef struct {
  // A wrackline_body.
  int32_t body;
  // Start of the span, microseconds since 1970 (UTC).
  int64_t start_us;
  // Its end, which is no part of it.
  int64_t end_us;
} wrackline_transit_question;

// One passage of the meridian.
typedef struct {
  // Microseconds since 1970 (UTC).
  int64_t at_us;
  // Degrees above the horizontal, of the centre, as if there were no air.
  double altitude_deg;
  // 1 where the body stands near its highest, 0 near its lowest.
  int32_t is_upper;
} wrackline_transit;

// One line of a port's table of harmonic constants.
typedef struct {
  // The constituent, such as "M2".
  const char *name;
  // H, the mean amplitude, metres.
  double amplitude_m;
  // G, the Greenwich phase lag for UTC, degrees.
  double phase_lag_deg;
} wrackline_harmonic;

// What a port is made of.
typedef struct {
  // Mean level above the datum that heights are wanted from, metres.
  double mean_level_m;
  // The harmonic constants.
  const wrackline_harmonic *harmonics;
  // How many there are.
  size_t harmonic_count;
  // Read for WRACKLINE_CONVENTION_FOREMAN_INSTANT alone: degrees, -90 to 90, north positive.
  double latitude_deg;
  // A wrackline_convention.
  int32_t convention;
} wrackline_port_spec;

// One turning point of the tide.
typedef struct {
  // Microseconds since 1970 (UTC).
  int64_t at_us;
  // Metres above the datum.
  double height_m;
  // A wrackline_turn_kind.
  int32_t kind;
} wrackline_turn;

// A stretch of time.
typedef struct {
  // Microseconds since 1970 (UTC).
  int64_t start_us;
  // Microseconds since 1970 (UTC).
  int64_t end_us;
} wrackline_stretch;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

// The version of this library, such as "0.1.0": a text that is never freed.
const char *wrackline_version(void);

// A kit from its figures; free it with wrackline_kit_free.
wrackline_status wrackline_kit_new(const wrackline_kit_spec *spec,
                                   wrackline_kit **kit,
                                   char *message,
                                   size_t message_size);

// Frees a kit; null is let pass.
void wrackline_kit_free(wrackline_kit *kit);

// What lens and converter come to.
wrackline_status wrackline_kit_figures(const wrackline_kit *kit,
                                       wrackline_figures *figures,
                                       char *message,
                                       size_t message_size);

// How large a subject of `subject_m` metres stands in the frame, `distance_m` metres from the
// sensor plane.
wrackline_status wrackline_kit_framing(const wrackline_kit *kit,
                                       double distance_m,
                                       double subject_m,
                                       wrackline_framing *framing,
                                       char *message,
                                       size_t message_size);

// The distance from the sensor plane, metres, at which a wish comes true. It knows of no stand-off
// distance: never go nearer than the animal's.
wrackline_status wrackline_kit_distance(const wrackline_kit *kit,
                                        const wrackline_frame_wish *wish,
                                        double *distance_m,
                                        char *message,
                                        size_t message_size);

// The zone in which points pass for points, focused at `distance_m` metres, where a point may be
// as large as `circle_pixels` pixels.
wrackline_status wrackline_kit_depth_of_field(const wrackline_kit *kit,
                                              double distance_m,
                                              double circle_pixels,
                                              wrackline_depth_of_field *zone,
                                              char *message,
                                              size_t message_size);

// A body's way over a span, for many instants; free it with wrackline_path_free.
wrackline_status wrackline_path_new(int32_t body,
                                    int64_t start_us,
                                    int64_t end_us,
                                    wrackline_path **path,
                                    char *message,
                                    size_t message_size);

// Frees a path; null is let pass.
void wrackline_path_free(wrackline_path *path);

// Where the body stands for an observer at `count` instants of the path's span, in any order.
wrackline_status wrackline_path_places(const wrackline_path *path,
                                       const wrackline_observer *observer,
                                       const int64_t *at_us,
                                       size_t count,
                                       wrackline_horizontal *places,
                                       char *message,
                                       size_t message_size);

// Where the body stands for an observer at each instant of a grid within the path's span, one for
// each: the fastest way to many.
wrackline_status wrackline_path_grid(const wrackline_path *path,
                                     const wrackline_observer *observer,
                                     const wrackline_grid *grid,
                                     wrackline_horizontal *places,
                                     char *message,
                                     size_t message_size);

// The moon's way over a span and the sun that lights it, for many instants; free it with
// wrackline_moon_path_free.
wrackline_status wrackline_moon_path_new(int64_t start_us,
                                         int64_t end_us,
                                         wrackline_moon_path **path,
                                         char *message,
                                         size_t message_size);

// Frees a moon's path; null is let pass.
void wrackline_moon_path_free(wrackline_moon_path *path);

// Where the moon stands for an observer at `count` instants of the path's span, in any order, and
// how it is lit.
wrackline_status wrackline_moon_path_moons(const wrackline_moon_path *path,
                                           const wrackline_observer *observer,
                                           const int64_t *at_us,
                                           size_t count,
                                           wrackline_lit_moon *moons,
                                           char *message,
                                           size_t message_size);

// Where the moon stands for an observer at each instant of a grid within the path's span, and how
// it is lit.
wrackline_status wrackline_moon_path_grid(const wrackline_moon_path *path,
                                          const wrackline_observer *observer,
                                          const wrackline_grid *grid,
                                          wrackline_lit_moon *moons,
                                          char *message,
                                          size_t message_size);

// A scenario from its text (TOML), which includes no other file; `name` stands for it in messages.
// Free it with wrackline_scenario_free. The message of a refusal has a line for every problem.
wrackline_status wrackline_scenario_parse(const char *name,
                                          const char *toml,
                                          wrackline_scenario **scenario,
                                          char *message,
                                          size_t message_size);

// A scenario from its file and what that includes. Free it with wrackline_scenario_free. The
// message of a refusal has a line for every problem.
wrackline_status wrackline_scenario_open(const char *path,
                                         wrackline_scenario **scenario,
                                         char *message,
                                         size_t message_size);

// Frees a scenario; null is let pass.
void wrackline_scenario_free(wrackline_scenario *scenario);

// The windows of a season, best first. It takes its time, on all cores; afterwards it does not
// need the scenario any longer. Free it with wrackline_season_free.
wrackline_status wrackline_season_new(const wrackline_scenario *scenario,
                                      const wrackline_season_request *request,
                                      wrackline_season **season,
                                      char *message,
                                      size_t message_size);

// Frees a season; null is let pass.
void wrackline_season_free(wrackline_season *season);

// The season as one object of JSON with windows, seats, warnings and cautions: show people the
// last two. It ends with a zero byte, which `size` must have room for and `length` does not count.
//
// `length` is always set. With too little room nothing is written to `json`, and the status is
// WRACKLINE_STATUS_TOO_SMALL.
wrackline_status wrackline_season_json(const wrackline_season *season,
                                       char *json,
                                       size_t size,
                                       size_t *length,
                                       char *message,
                                       size_t message_size);

// An observer at a site; free it with wrackline_observer_free.
wrackline_status wrackline_observer_new(const wrackline_site *site,
                                        wrackline_observer **observer,
                                        char *message,
                                        size_t message_size);

// Frees an observer; null is let pass.
void wrackline_observer_free(wrackline_observer *observer);

// Where the sun stands for an observer at an instant, microseconds since 1970 (UTC).
wrackline_status wrackline_sun(const wrackline_observer *observer,
                               int64_t at_us,
                               wrackline_place *place,
                               char *message,
                               size_t message_size);

// Where the moon stands for an observer at an instant, microseconds since 1970 (UTC), and how it
// is lit.
wrackline_status wrackline_moon(const wrackline_observer *observer,
                                int64_t at_us,
                                wrackline_moon_place *place,
                                char *message,
                                size_t message_size);

// All crossings of an altitude in a span, in order of time: rise and set, twilights.
//
// `count` is always set to how many there are, `outcome` to what the span comes to. With room for
// fewer nothing is written to `crossings`, and the status is WRACKLINE_STATUS_TOO_SMALL.
wrackline_status wrackline_crossings(const wrackline_observer *observer,
                                     const wrackline_crossing_question *question,
                                     wrackline_crossing *crossings,
                                     size_t room_for_crossings,
                                     size_t *count,
                                     wrackline_outcome *outcome,
                                     char *message,
                                     size_t message_size);

// All passages of the meridian in a span, in order of time.
//
// `count` is always set to how many there are. With room for fewer nothing is written to
// `transits`, and the status is WRACKLINE_STATUS_TOO_SMALL.
wrackline_status wrackline_transits(const wrackline_observer *observer,
                                    const wrackline_transit_question *question,
                                    wrackline_transit *transits,
                                    size_t room_for_transits,
                                    size_t *count,
                                    char *message,
                                    size_t message_size);

// A port from its harmonic constants; free it with wrackline_port_free.
wrackline_status wrackline_port_new(const wrackline_port_spec *spec,
                                    wrackline_port **port,
                                    char *message,
                                    size_t message_size);

// Frees a port; null is let pass.
void wrackline_port_free(wrackline_port *port);

// Height of the tide above the datum at one instant, metres, straight from the definition.
//
// A prediction leaves out surge, wind, rain, waves and shifting channels. Not for navigation.
wrackline_status wrackline_port_height(const wrackline_port *port,
                                       int64_t at_us,
                                       double *height_m,
                                       char *message,
                                       size_t message_size);

// A port's tide over a span, for many heights, for turns and levels; it does not need the port any
// longer. Free it with wrackline_predictor_free.
wrackline_status wrackline_predictor_new(const wrackline_port *port,
                                         int64_t start_us,
                                         int64_t end_us,
                                         wrackline_predictor **predictor,
                                         char *message,
                                         size_t message_size);

// Frees a predictor; null is let pass.
void wrackline_predictor_free(wrackline_predictor *predictor);

// Heights above the datum at `count` instants, metres: within 0.01 mm of wrackline_port_height. An
// instant outside of the span is refused.
wrackline_status wrackline_predictor_heights(const wrackline_predictor *predictor,
                                             const int64_t *at_us,
                                             size_t count,
                                             double *heights_m,
                                             char *message,
                                             size_t message_size);

// Heights above the datum at each instant of a grid within the span, metres, one for each: the
// fastest way to a curve.
wrackline_status wrackline_predictor_grid(const wrackline_predictor *predictor,
                                          const wrackline_grid *grid,
                                          double *heights_m,
                                          char *message,
                                          size_t message_size);

// Rates of rise at `count` instants, metres an hour, below zero when the water falls. An instant
// outside of the span is refused.
wrackline_status wrackline_predictor_rates(const wrackline_predictor *predictor,
                                           const int64_t *at_us,
                                           size_t count,
                                           double *rates_m_per_h,
                                           char *message,
                                           size_t message_size);

// All high and low waters of the span, in order of time, none missed.
//
// `count` is always set to how many there are. With room for fewer nothing is written to `turns`,
// and the status is WRACKLINE_STATUS_TOO_SMALL.
wrackline_status wrackline_predictor_turns(const wrackline_predictor *predictor,
                                           wrackline_turn *turns,
                                           size_t room_for_turns,
                                           size_t *count,
                                           char *message,
                                           size_t message_size);

// The stretches of the span in which the water stands above a level, metres above the datum.
//
// `count` is always set to how many there are. With room for fewer nothing is written to
// `stretches`, and the status is WRACKLINE_STATUS_TOO_SMALL.
wrackline_status wrackline_predictor_above(const wrackline_predictor *predictor,
                                           double level_m,
                                           wrackline_stretch *stretches,
                                           size_t room_for_stretches,
                                           size_t *count,
                                           char *message,
                                           size_t message_size);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* WRACKLINE_H */

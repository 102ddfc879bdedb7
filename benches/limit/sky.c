/* How fast sun and moon over one place can be on this machine, from polynomials prepared before.
 * Written for speed alone: no bounds, no errors.
 *
 * Standard input: sine and cosine of the latitude, longitude (turns), distances from the Earth's
 * axis and from its equator (km), aberration; then for sun and moon the first day (UT1 from J2000)
 * and the days of a piece, how many pieces, and for each UT1-UTC at its start and end (days) and
 * x, y, z (km) and another figure at its Chebyshev nodes; then instants, and their days of UTC;
 * first day, step and length of the grid. */
#include "limit.h"

#define ORDER 8
#define ABREAST 8
#define ROWS (ABREAST / WIDTH)
typedef struct {
  double coefficients[ORDER][4], offset, drift;
} piece;
typedef struct {
  double first, days;
  long count;
  piece *pieces;
} path;

static double sine, cosine_, longitude, from_axis, from_equator, aberration;
static long count, length;
static double *instants, start, step;
static double *azimuth, *altitude, *distance, *lit, *angle;

static path read_path(void) {
  path p = {.first = number(), .days = number(), .count = number()};
  p.pieces = aligned_alloc(64, (sizeof(piece) * p.count + 63) / 64 * 64);
  for (long n = 0; n < p.count; n++) {
    piece *q = p.pieces + n;
    double from = p.first + n * p.days, begin = number(), end = number();
    q->drift = (end - begin) / p.days, q->offset = begin - q->drift * from;
    double *node = numbers(4 * ORDER);
    memset(q->coefficients, 0, sizeof q->coefficients);
    for (int lane = 0; lane < 4; lane++) {
      double chebyshev[ORDER] = {0}, now[ORDER] = {1}, next[ORDER] = {0, 1};
      for (int i = 0; i < ORDER; i++)
        for (int k = 0; k < ORDER; k++)
          chebyshev[k] += (k ? 2.0 : 1.0) / ORDER * node[4 * i + lane] *
                          cos(M_PI * k * (2 * i + 1) / (2.0 * ORDER));
      for (int k = 0; k < ORDER; k++) {
        double after[ORDER] = {0};
        for (int i = 0; i < ORDER; i++) {
          q->coefficients[i][lane] += chebyshev[k] * now[i];
          after[i] = (i ? 2 * next[i - 1] : 0) - now[i];
        }
        memcpy(now, next, sizeof now), memcpy(next, after, sizeof next);
      }
    }
    free(node);
  }
  return p;
}

static inline vec cosine(vec turns) {
  const vec rounder = all(6755399441055744.0);
  vec q = all(0.25) - magnitude(turns - ((turns + rounder) - rounder)), y = q * q;
  vec s = all(39.7598270853191);
  s = s * y + all(-76.58117264427872);
  s = s * y + all(81.60247636792518);
  s = s * y + all(-41.34168061334652);
  s = s * y + all(6.283185280154407);
  return s * q;
}

static inline vec root(vec x) {
  for (int i = 0; i < WIDTH; i++) x[i] = sqrt(x[i]);
  return x;
}

static inline vec degrees_of(vec y, vec x) {
  static const double t[11] = {
      0.9999999995535376,   -0.3333332248891159, 0.1999955810036398,   -0.1427857602480798,
      0.1105077127584966,   -0.08785043288362845, 0.06685281517877424, -0.04392841073326747,
      0.02191294586544839,  -0.007030669470424213, 0.001057607438057242};
  vec ax = magnitude(x), ay = magnitude(y);
  mask steep = ay > ax;
  vec q = choose(steep, ax, ay) / choose(steep, ay, ax), s = q * q, f = s * s;
  vec even = ((((t[10] * f + t[8]) * f + t[6]) * f + t[4]) * f + t[2]) * f + t[0];
  vec odd = (((t[9] * f + t[7]) * f + t[5]) * f + t[3]) * f + t[1];
  vec a = (odd * s + even) * q * (180.0 / M_PI);
  a = choose(steep, 90.0 - a, a);
  a = choose(x < 0, 180.0 - a, a);
  return bits_or(a, (mask)y & INT64_MIN);
}

static inline void sight(vec ut1, vec x, vec y, vec z, long to) {
  vec turns = 0.779057273264 + longitude + 0.00273781191135448 * ut1 + ut1;
  vec c = cosine(turns), s = cosine(turns - 0.25);
  vec px = c * x + s * y - from_axis, py = c * y - s * x, pz = z - from_equator;
  vec d = root(px * px + py * py + pz * pz);
  vec east = py + aberration * d, north = cosine_ * pz - sine * px, up = cosine_ * px + sine * pz;
  vec a = degrees_of(east, north);
  store(azimuth + to, choose(a < 0, a + 360.0, a));
  store(altitude + to, degrees_of(up, root(east * east + north * north)));
  store(distance + to, d);
}

static inline void light(vec c, long to) {
  c = choose(c > 1.0, all(1.0), choose(c < -1.0, all(-1.0), c));
  store(angle + to, degrees_of(root((1.0 - c) * (1.0 + c)), c));
  store(lit + to, 0.5 + 0.5 * c);
}

static inline void on_grid(const path *p, int lighted) {
  for (long i = 0; i < length;) {
    const double utc = start + i * step;
    long n = (utc - p->first) / p->days;
    const piece *q = p->pieces + n;
    long left = (p->first + (n + 1) * p->days - utc) / step + 1;
    long until = i + left < length ? i + left : length;
    for (; i < until; i += WIDTH) {
      vec at;
      for (int k = 0; k < WIDTH; k++) at[k] = i + k;
      vec ut1 = start + at * step;
      ut1 += q->offset + q->drift * ut1;
      vec u = (ut1 - (p->first + n * p->days)) * (2 / p->days) - 1.0, f[4];
      for (int lane = 0; lane < 3 + lighted; lane++) {
        f[lane] = all(q->coefficients[ORDER - 1][lane]);
        for (int k = ORDER - 2; k >= 0; k--) f[lane] = f[lane] * u + q->coefficients[k][lane];
      }
      sight(ut1, f[0], f[1], f[2], i);
      if (lighted) light(f[3], i);
    }
    i = until;
  }
}

/* Each instant's polynomials side by side, then the instants side by side. */
static inline void at_instants(const path *p, int lighted) {
  typedef double four __attribute__((vector_size(32)));
  for (long i = 0; i + ABREAST <= count; i += ABREAST) {
    double f[4][ABREAST], days[ABREAST];
    for (int k = 0; k < ABREAST; k++) {
      double utc = instants[i + k];
      long n = (utc - p->first) / p->days;
      const piece *q = p->pieces + n;
      double ut1 = utc + q->offset + q->drift * utc;
      double u = (ut1 - (p->first + n * p->days)) * (2 / p->days) - 1.0, square = u * u;
      four even, odd, row;
      memcpy(&even, q->coefficients[ORDER - 2], sizeof even);
      memcpy(&odd, q->coefficients[ORDER - 1], sizeof odd);
      for (int m = ORDER - 4; m >= 0; m -= 2) {
        memcpy(&row, q->coefficients[m], sizeof row), even = even * square + row;
        memcpy(&row, q->coefficients[m + 1], sizeof row), odd = odd * square + row;
      }
      even += odd * u;
      days[k] = ut1;
      for (int lane = 0; lane < 4; lane++) f[lane][k] = even[lane];
    }
    for (int r = 0; r < ABREAST; r += WIDTH) {
      sight(load(days + r), load(f[0] + r), load(f[1] + r), load(f[2] + r), i + r);
      if (lighted) light(load(f[3] + r), i + r);
    }
  }
}

static double total(long many, int lighted) {
  double sum = 0;
  for (long i = 0; i < many; i++)
    sum += azimuth[i] + altitude[i] + (lighted ? distance[i] * 1e-3 + lit[i] + angle[i] : 0);
  return sum / many;
}

int main(void) {
  sine = number(), cosine_ = number(), longitude = number();
  from_axis = number(), from_equator = number(), aberration = number();
  path sun = read_path(), moon = read_path();
  count = number(), instants = numbers(count);
  start = number(), step = number(), length = number();
  double **columns[] = {&azimuth, &altitude, &distance, &lit, &angle};
  for (int k = 0; k < 5; k++)
    *columns[k] = aligned_alloc(64, 8 * ((count > length ? count : length) + 64));
  REPORT("sun grid", 300, length, on_grid(&sun, 0), total(length, 0));
  REPORT("sun random", 300, count, at_instants(&sun, 0), total(count, 0));
  REPORT("moon grid", 300, length, on_grid(&moon, 1), total(length, 1));
  REPORT("moon random", 300, count, at_instants(&moon, 1), total(count, 1));
}

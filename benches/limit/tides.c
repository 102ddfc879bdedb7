/* How fast a tide of steady lines can be on this machine: heights at instants in no order, heights
 * in a series, turns of a year. Written for speed alone: no bounds, no errors, no proof that a turn
 * is not missed.
 *
 * Standard input: lines, mean level, then amplitude, speed (turns an hour) and phase (turns) of
 * each; instants, then their hours; step (hours) and length of the series. */
#include "limit.h"

#define MOST 128
static long lines, count, length;
static double mean, step, amplitude[MOST], speed[MOST], phase[MOST];
static double *hours, *heights;

static inline vec cosine(vec turns) {
  const vec rounder = all(6755399441055744.0);
  vec q = all(0.25) - magnitude(turns - ((turns + rounder) - rounder)), y = q * q;
  vec s = all(-14.394135483194543);
  s = s * y + all(42.00980574983023);
  s = s * y + all(-76.70428132312143);
  s = s * y + all(81.60522620635386);
  s = s * y + all(-41.3417021169968);
  s = s * y + all(6.283185307072584);
  return s * q;
}

/* Instants abreast, two rows of them, so that one waits while the other works. */
static void scattered(void) {
  for (long i = 0; i + 2 * WIDTH <= count; i += 2 * WIDTH) {
    vec one = load(hours + i), other = load(hours + i + WIDTH);
    vec a = all(mean), b = a;
    for (long k = 0; k < lines; k++) {
      a += amplitude[k] * cosine(phase[k] + speed[k] * one);
      b += amplitude[k] * cosine(phase[k] + speed[k] * other);
    }
    store(heights + i, a);
    store(heights + i + WIDTH, b);
  }
}

/* Chebyshev's recurrence, sixteen instants abreast and two lines a pass, started anew for each
 * block. */
static void series(void) {
  enum { BLOCK = 1024, ROWS = 16 / WIDTH };
  const double turn = 2 * M_PI;
  for (long from = 0; from < length; from += BLOCK) {
    long size = length - from < BLOCK ? length - from : BLOCK;
    double *block = heights + from;
    for (long i = 0; i < size; i++) block[i] = mean;
    for (long k = 0; k + 1 < lines; k += 2) {
      vec now[2][ROWS], before[2][ROWS], twice[2];
      for (int j = 0; j < 2; j++) {
        double start = phase[k + j] + speed[k + j] * step * from;
        twice[j] = all(2 * cos(turn * speed[k + j] * step * 16));
        for (int r = 0; r < ROWS; r++) {
          vec at;
          for (int i = 0; i < WIDTH; i++) at[i] = r * WIDTH + i;
          vec turns = start + speed[k + j] * step * at;
          now[j][r] = amplitude[k + j] * cosine(turns);
          before[j][r] = amplitude[k + j] * cosine(turns - 16 * speed[k + j] * step);
        }
      }
      for (long i = 0; i + 16 <= size; i += 16)
        for (int r = 0; r < ROWS; r++) {
          store(block + i + r * WIDTH, load(block + i + r * WIDTH) + (now[0][r] + now[1][r]));
          for (int j = 0; j < 2; j++) {
            vec next = twice[j] * now[j][r] - before[j][r];
            before[j][r] = now[j][r];
            now[j][r] = next;
          }
        }
    }
  }
}

static void slope(double at, double *first, double *second) {
  vec f = {0}, s = {0};
  for (long k = 0; k < lines; k += WIDTH) {
    vec omega = load(speed + k) * all(2 * M_PI), turns = load(phase + k) + load(speed + k) * at;
    vec swing = load(amplitude + k) * omega;
    f -= swing * cosine(turns - 0.25);
    s -= omega * swing * cosine(turns);
  }
  *first = added(f), *second = added(s);
}

static double found;
/* Turns all lines by an hour at a time, and from each change of sign takes Newton's steps. */
static void turns(void) {
  vec c[MOST / WIDTH], s[MOST / WIDTH], dc[MOST / WIDTH], ds[MOST / WIDTH];
  long groups = lines / WIDTH, last = (long)(step * length);
  for (long g = 0; g < groups; g++) {
    vec v = load(speed + g * WIDTH), p = load(phase + g * WIDTH);
    vec swing = load(amplitude + g * WIDTH) * v * all(2 * M_PI);
    c[g] = swing * cosine(p), s[g] = swing * cosine(p - 0.25);
    dc[g] = cosine(v), ds[g] = cosine(v - 0.25);
  }
  double before = 0;
  found = 0;
  for (long hour = 0; hour <= last; hour++) {
    vec f = {0};
    for (long g = 0; g < groups; g++) {
      f -= s[g];
      vec next = c[g] * dc[g] - s[g] * ds[g];
      s[g] = s[g] * dc[g] + c[g] * ds[g];
      c[g] = next;
    }
    double now = added(f);
    if (hour && (now > 0) != (before > 0)) {
      double at = hour - 1 + before / (before - now), first, second;
      for (int i = 0; i < 3; i++) {
        slope(at, &first, &second);
        at -= first / second;
      }
      found += at;
    }
    before = now;
  }
}

static double total(const double *of, long many) {
  double sum = 0;
  for (long i = 0; i < many; i++) sum += of[i];
  return sum;
}

int main(void) {
  lines = number(), mean = number();
  for (long k = 0; k < lines; k++)
    amplitude[k] = number(), speed[k] = number(), phase[k] = number();
  /* Whole vectors of lines, two at a time: more lines of no height. */
  lines = (lines + 7) / 8 * 8;
  count = number(), hours = numbers(count);
  step = number(), length = number();
  heights = aligned_alloc(64, 8 * (count > length ? count : length) + 64);
  REPORT("scattered", 200, count, scattered(), total(heights, count));
  REPORT("series", 50, length, series(), total(heights, length));
  REPORT("turns", 50, 1, turns(), found);
}

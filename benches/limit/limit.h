/* What both programs share: vectors, a clock, and numbers read from standard input. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/* Numbers abreast: 4 for AVX2, 8 for AVX-512. */
#ifndef WIDTH
#define WIDTH 4
#endif
typedef double vec __attribute__((vector_size(8 * WIDTH)));
typedef int64_t mask __attribute__((vector_size(8 * WIDTH)));

static inline vec all(double x) { return x - (vec){0}; }
static inline vec bits_or(vec x, mask m) { return (vec)((mask)x | m); }
static inline vec magnitude(vec x) { return (vec)((mask)x & ((mask){0} + INT64_MAX)); }
static inline vec choose(mask m, vec yes, vec no) {
  return (vec)((m & (mask)yes) | (~m & (mask)no));
}
static inline vec load(const double *from) {
  vec x;
  memcpy(&x, from, sizeof x);
  return x;
}
static inline void store(double *to, vec x) { memcpy(to, &x, sizeof x); }
static inline double added(vec x) {
  double sum = 0;
  for (int i = 0; i < WIDTH; i++) sum += x[i];
  return sum;
}

static inline double now_ns(void) {
  struct timespec t;
  clock_gettime(CLOCK_MONOTONIC, &t);
  return t.tv_sec * 1e9 + t.tv_nsec;
}

static double number(void) {
  double x;
  if (scanf("%lf", &x) != 1) {
    fputs("a number is missing\n", stderr);
    exit(1);
  }
  return x;
}

static double *numbers(long count) {
  double *all = aligned_alloc(64, (8 * count + 127) / 64 * 64);
  for (long i = 0; i < count; i++) all[i] = number();
  return all;
}

/* Times work: the shortest of some rounds, for each element; then its checksum. */
#define REPORT(name, rounds, elements, work, checksum)            \
  do {                                                            \
    double best = 1e30;                                           \
    for (int round = 0; round < (rounds); round++) {              \
      double begun = now_ns();                                    \
      work;                                                       \
      double took = now_ns() - begun;                             \
      if (took < best) best = took;                               \
    }                                                             \
    printf("%s,%.3f,%.17g\n", name, best / (elements), checksum); \
  } while (0)

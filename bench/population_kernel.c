/* The same population model in plain C, for the ratio that bench/population_kernel.py prints.
   Written from the description in science/stage_cohorts.py; loops and precision as there. It
   knows neither treatments nor work on the plants. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct {
  int64_t plantings, classes, parts, stages, first_flying;
  const int64_t *first, *stage_of;
  const double *moved, *lays, *wings;
} chain;

static void place(double *one, double count, double at, int64_t start, int64_t end) {
  double spot = at + 1.0, most = (double)(end - start - 1);
  if (spot < 0.0) spot = 0.0;
  if (spot > most) spot = most;
  int64_t low = (int64_t)spot;
  if (low > end - start - 2) low = end - start - 2;
  double share = spot - (double)low;
  one[start + low] += count * (1.0 - share);
  one[start + low + 1] += count * share;
}

static void develop(double *one, const int16_t *pushes, const float *entry, const float *stride,
                    const float *survival, const chain *c) {
  for (int64_t s = c->parts - 1; s >= 0; s--) {
    double *box = one + c->first[s];
    int64_t n = c->first[s + 1] - c->first[s];
    double f = c->moved[s], alive = survival[s];
    for (int64_t k = 0; k < n; k++) box[k] *= alive;
    for (int16_t push = 0; push < pushes[s]; push++) {
      double before = 0.0;
      for (int64_t k = 0; k < n; k++) {
        double here = box[k];
        box[k] = here + f * (before - here);
        before = here;
      }
      double ahead = 0.5 * (pushes[s] - 1) - push;
      if (s + 1 < c->parts)
        place(one, f * before, entry[s + 1] + stride[s + 1] * ahead, c->first[s + 1], c->first[s + 2]);
    }
  }
}

static double mothers(const double *one, const chain *c) {
  double lay = 0.0;
  for (int64_t k = c->first[c->first_flying]; k < c->classes; k++) lay += c->lays[k] * one[k];
  return lay;
}

static void fly(double *state, double share, const double *settle, double *landing, const chain *c) {
  int64_t grounded = c->first[c->first_flying], width = c->classes - grounded, n = c->plantings;
  memset(landing, 0, sizeof(double) * (size_t)(width * n));
  for (int64_t p = 0; p < n; p++) {
    double *here = state + p * c->classes + grounded;
    const double *to = settle + p * n;
    for (int64_t s = c->first_flying; s < c->parts; s++) {
      double lift = share * c->wings[s];
      for (int64_t k = c->first[s] - grounded; k < c->first[s + 1] - grounded; k++) {
        double up = lift * here[k], *there = landing + k * n;
        here[k] -= up;
        for (int64_t q = 0; q < n; q++) there[q] += to[q] * up;
      }
    }
  }
  for (int64_t p = 0; p < n; p++)
    for (int64_t k = 0; k < width; k++)
      state[p * c->classes + grounded + k] += landing[k * n + p];
}

/* Draws `from` to before `to`, each with weather of its own; no treatments, no work. */
void march(double *state, const int16_t *pushes, const float *entry, const float *stride,
           const float *survival, const float *laying, const float *flight, const float *host, const float *arrivals,
           const double *settle, const double *room, float *sums, int64_t from, int64_t to,
           int64_t days, const chain *c) {
  int64_t width = c->classes - c->first[c->first_flying];
  double *landing = malloc(sizeof(double) * (size_t)(c->plantings * width));
  for (int64_t i = from; i < to; i++) {
    double *mine = state + i * c->plantings * c->classes;
    for (int64_t day = 0; day <= days; day++) {
      for (int64_t p = 0; p < c->plantings; p++) {
        float *sum = sums + ((i * c->plantings + p) * (days + 1) + day) * c->stages;
        const double *one = mine + p * c->classes;
        for (int64_t s = 0; s < c->parts; s++) {
          double total = 0.0;
          for (int64_t k = c->first[s]; k < c->first[s + 1]; k++) total += one[k];
          sum[c->stage_of[s]] += (float)total;
        }
      }
      if (day == days) break;
      int64_t at = i * days + day;
      for (int64_t p = 0; p < c->plantings; p++) {
        double *one = mine + p * c->classes, immature = 0.0;
        for (int64_t k = 0; k < c->first[c->first_flying]; k++) immature += one[k];
        double rate = 0.5 * (double)laying[at] * host[day * c->plantings + p];
        rate *= room[p] / (room[p] + immature);
        double eggs = rate * mothers(one, c);
        develop(one, pushes + at * c->parts, entry + at * c->parts, stride + at * c->parts,
                survival + at * c->parts, c);
        place(one, arrivals[(i * days + day) * c->plantings + p], 0.0, c->first[c->parts - 1],
              c->first[c->parts]);
        eggs += rate * mothers(one, c);
        place(one, eggs, entry[at * c->parts], c->first[0], c->first[1]);
      }
      fly(mine, flight[at], settle, landing, c);
    }
  }
  free(landing);
}

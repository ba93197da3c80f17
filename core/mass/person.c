#include "mass/person.h"

#include <math.h>

#include "base/units.h"

enum { HEAD, TRUNK, UPPER_ARM, FOREARM, HAND, THIGH, SHANK, FOOT, SEGMENTS };

typedef struct segment {
  double share;    /* of the mass, one side */
  double length;   /* mm, of people of the table's stature */
  double centre;   /* from the first endpoint, of the length */
  double sagittal; /* radii of gyration, of the length: about the axis front to back of somebody standing, */
  double transverse;   /* across, */
  double longitudinal; /* and along the segment */
} segment;

typedef struct people {
  double stature; /* mm */
  double neck;    /* mm from the shoulders' to the neck's end of the trunk, where the head begins */
  segment segment[SEGMENTS];
} people;

/* Head from crown to neck, trunk from shoulders to hips, shank to the joint of the ankle, hand to the finger tip, foot from heel to
** toe tip; the others between their joints. */
static const people table[] = {
    [SY_SEGMENTS_MEN] = {1741,
                         603.3 - 515.5,
                         {{0.0694, 242.9, 0.5002, 0.303, 0.315, 0.261},
                          {0.4346, 515.5, 0.4310, 0.384, 0.358, 0.197},
                          {0.0271, 281.7, 0.5772, 0.285, 0.269, 0.158},
                          {0.0162, 268.9, 0.4574, 0.276, 0.265, 0.121},
                          {0.0061, 187.9, 0.3624, 0.288, 0.235, 0.184},
                          {0.1416, 422.2, 0.4095, 0.329, 0.329, 0.149},
                          {0.0433, 440.3, 0.4395, 0.251, 0.246, 0.102},
                          {0.0137, 258.1, 0.4415, 0.257, 0.245, 0.124}}},
    [SY_SEGMENTS_WOMEN] = {1735,
                           614.8 - 497.9,
                           {{0.0668, 243.7, 0.4841, 0.271, 0.295, 0.261},
                            {0.4257, 497.9, 0.3782, 0.379, 0.361, 0.182},
                            {0.0255, 275.1, 0.5754, 0.278, 0.260, 0.148},
                            {0.0138, 264.3, 0.4559, 0.261, 0.257, 0.094},
                            {0.0056, 170.1, 0.3427, 0.244, 0.208, 0.154},
                            {0.1478, 368.5, 0.3612, 0.369, 0.364, 0.162},
                            {0.0481, 438.6, 0.4352, 0.267, 0.263, 0.092},
                            {0.0129, 228.3, 0.4014, 0.299, 0.279, 0.139}}},
};

/* of the stature */
#define HALF_SHOULDERS 0.129
#define HALF_HIPS      0.0955
#define ANKLE_HEIGHT   0.039

sy_person sy_person_default(void) {
  const double n = (double)NAN;
  return (sy_person){SY_SEGMENTS_MEN, n, n, n, n, n, n, n, n, n};
}

static sy_status check(const sy_person *p, sy_error *err) {
  const struct {
    const char *name;
    double value, least, most;
  } angles[] = {
      {"torso", p->torso, -45, 90}, {"thigh", p->thigh, -90, 90},        {"knee", p->knee, 20, 180},
      {"ankle", p->ankle, 45, 180}, {"shoulder", p->shoulder, -45, 180}, {"elbow", p->elbow, 20, 180},
      {"head", p->head, -45, 90},
  };
  if (p->segments != SY_SEGMENTS_MEN && p->segments != SY_SEGMENTS_WOMEN)
    return sy_fail(err, SY_RANGE, "person", "segments", "is %d, must be those of men or of women",
                   (int)p->segments);
  if (isnan(p->mass) || isnan(p->stature))
    return sy_fail(err, SY_MISSING, "person", isnan(p->mass) ? "mass" : "stature", "is missing");
  if (!(p->mass > 0 && isfinite(p->mass)))
    return sy_fail(err, SY_RANGE, "person", "mass", "is %g kg, must be more than 0", p->mass);
  if (!(p->stature >= 0.5 && p->stature <= 2.5)) /* beyond it the table says nothing */
    return sy_fail(err, SY_RANGE, "person", "stature", "is %g m, must be 0.5 to 2.5", p->stature);
  for (size_t i = 0; i < sizeof angles / sizeof *angles; i++) {
    const double slack = 1e-9; /* degrees: 180 degrees in radians and back */
    const double degrees = angles[i].value / SY_DEGREE;
    if (isnan(degrees)) return sy_fail(err, SY_MISSING, "person", angles[i].name, "is missing");
    if (!(degrees >= angles[i].least - slack && degrees <= angles[i].most + slack))
      return sy_fail(err, SY_RANGE, "person", angles[i].name, "is %g degrees, a body takes %g to %g", degrees,
                     angles[i].least, angles[i].most);
  }
  return SY_OK;
}

/* In the centre plane, `angle` up from forward. */
static sy_vec3 along(double angle) { return (sy_vec3){cos(angle), 0, sin(angle)}; }

static double length_of(const people *who, int i, double stature) {
  return who->segment[i].length / who->stature * stature;
}

/* Segment `i` from its first endpoint along `angle`, `y` to the left. */
static sy_massprops segment_at(const people *who, int i, const sy_person *p, double mass, sy_vec3 from,
                               double angle, double y) {
  const segment *s = &who->segment[i];
  const double length = length_of(who, i, p->stature), m = mass * s->share;
  sy_massprops body = {m, sy_vec3_muladd(from, s->centre * length, along(angle)), {0, 0, 0, 0, 0, 0}};
  body.cg.y = y;
  const double l2 = m * length * length, c = cos(angle), sn = sin(angle);
  const double a = l2 * s->longitudinal * s->longitudinal, b = l2 * s->sagittal * s->sagittal;
  body.inertia = (sy_sym3){a * c * c + b * sn * sn, l2 * s->transverse * s->transverse,
                           a * sn * sn + b * c * c, 0,
                           (a - b) * c * sn,        0};
  return body;
}

static sy_vec3 end_of(const people *who, int i, const sy_person *p, sy_vec3 from, double angle) {
  return sy_vec3_muladd(from, length_of(who, i, p->stature), along(angle));
}

/* What a pad under the heels carries of `legs` when the rest of them hangs from `pivot`: a lever. */
static double lever(const sy_massprops *legs, size_t count, double pivot, double heel) {
  double moment = 0;
  for (size_t i = 0; i < count; i++) moment += 2 * legs[i].mass * (legs[i].cg.x - pivot); /* both sides */
  return heel > pivot ? moment / (heel - pivot) : (double)NAN;
}

sy_status sy_person_seated(const sy_person *p, sy_seated *out, sy_error *err) {
  const sy_status status = check(p, err);
  if (status != SY_OK) return status;
  const people *who = &table[p->segments];
  double shares = 0; /* the table's add up to 1 but for its last digit */
  for (int i = 0; i < SEGMENTS; i++) shares += (i <= TRUNK ? 1 : 2) * who->segment[i].share;
  const double mass = p->mass / shares, quarter = SY_PI / 2;
  const sy_vec3 hips = {0, 0, 0};

  const double torso = quarter + p->torso, head = quarter + p->head;
  const sy_vec3 shoulders = end_of(who, TRUNK, p, hips, torso);
  const sy_vec3 neck = sy_vec3_muladd(shoulders, who->neck / who->stature * p->stature, along(torso));
  const sy_vec3 crown = end_of(who, HEAD, p, neck, head);
  const double upper = torso - SY_PI + p->shoulder, fore = upper + SY_PI - p->elbow;
  const sy_vec3 elbow = end_of(who, UPPER_ARM, p, shoulders, upper),
                wrist = end_of(who, FOREARM, p, elbow, fore);
  const double shank = p->thigh - SY_PI + p->knee, sole = shank + SY_PI - p->ankle;
  const sy_vec3 knee = end_of(who, THIGH, p, hips, p->thigh), ankle = end_of(who, SHANK, p, knee, shank);
  const sy_vec3 heel = sy_vec3_muladd(ankle, ANKLE_HEIGHT * p->stature, along(shank));

  const double y_arm = HALF_SHOULDERS * p->stature, y_leg = HALF_HIPS * p->stature;
  sy_massprops all[14] = {
      segment_at(who, THIGH, p, mass, hips, p->thigh, y_leg),
      segment_at(who, SHANK, p, mass, knee, shank, y_leg),
      segment_at(who, FOOT, p, mass, heel, sole, y_leg),
      segment_at(who, UPPER_ARM, p, mass, shoulders, upper, y_arm),
      segment_at(who, FOREARM, p, mass, elbow, fore, y_arm),
      segment_at(who, HAND, p, mass, wrist, fore, y_arm),
  };
  for (int i = 0; i < 6; i++) all[6 + i] = sy_massprops_mirror(&all[i], 0);
  all[12] = segment_at(who, TRUNK, p, mass, shoulders, torso + SY_PI, 0);
  all[13] = segment_at(who, HEAD, p, mass, crown, head + SY_PI, 0);

  sy_seated r = {.knee = knee, .heel = heel, .lower_legs = 2 * (all[1].mass + all[2].mass)};
  const sy_status joined = sy_massprops_combine(all, 14, &r.body, err);
  if (joined != SY_OK) return joined;
  r.heels_least = lever(all + 1, 2, knee.x, heel.x);
  r.heels_most = lever(all, 3, 0, heel.x);
  *out = r;
  return SY_OK;
}

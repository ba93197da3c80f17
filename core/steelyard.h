/* steelyard.h - the whole public face of the library. Each header says its units, frame, errors and source. */
#ifndef SY_STEELYARD_H
#define SY_STEELYARD_H

#include "base/alloc.h"
#include "base/axes.h"
#include "base/csv.h"
#include "base/csv_number.h"
#include "base/encoding.h"
#include "base/frame.h"
#include "base/mat3.h"
#include "base/status.h"
#include "base/text.h"
#include "base/units.h"
#include "base/vec3.h"
#include "mass/exact.h"
#include "mass/ledger.h"
#include "mass/massprops.h"
#include "mass/rollup.h"
#include "mass/solids.h"
#include "mass/sums.h"
#include "measure/pendulum.h"
#include "measure/tensor.h"
#include "numeric/linsolve.h"
#include "numeric/lsq.h"
#include "numeric/root.h"
#include "numeric/stats.h"
#include "numeric/uncertain.h"
#include "statics/balance.h"
#include "statics/equilibrium.h"
#include "statics/trial.h"
#include "vehicle/vehicle.h"

#endif

// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/integrator.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <algorithm>
#include <optional>
#include <string>

#include "reference/cvode/block_matrix.h"

namespace latchwright::tests::cvode {

void System::events(const double*, double*) {}

struct Integrator::Inside {
  System& system;
  std::size_t count, event_count;
  std::optional<Slopes> dense;  // to be written into a dense matrix
  SUNContext context = nullptr;
  N_Vector y = nullptr, absolute = nullptr, between = nullptr;
  SUNMatrix matrix = nullptr;
  SUNLinearSolver linear = nullptr;
  void* memory = nullptr;
  double t = 0, end = -1;
  bool watching = false;
  std::vector<int> found;
  std::string words;  // of CVODE's last complaint

  Inside(System& s, std::size_t n, std::size_t events)
      : system(s), count(n), event_count(events), found(events) {}
  ~Inside() {
    if (memory != nullptr) CVodeFree(&memory);
    if (linear != nullptr) SUNLinSolFree(linear);
    if (matrix != nullptr) SUNMatDestroy(matrix);
    if (absolute != nullptr) N_VDestroy(absolute);
    if (between != nullptr) N_VDestroy(between);
    if (y != nullptr) N_VDestroy(y);
    if (context != nullptr) SUNContext_Free(&context);
  }
  void must(int flag) const {
    if (flag < 0) throw SolverFailed("CVODE at t = " + std::to_string(t) + " s: " + words);
  }
  static int rates(realtype, N_Vector y, N_Vector f, void* user) {
    static_cast<Inside*>(user)->system.rates(NV_DATA_S(y), NV_DATA_S(f));
    return 0;
  }
  static int slopes(realtype, N_Vector y, N_Vector, SUNMatrix J, void* user, N_Vector, N_Vector, N_Vector) {
    Inside& in = *static_cast<Inside*>(user);
    if (in.dense) {
      in.dense->clear();
      in.system.slopes(NV_DATA_S(y), *in.dense);
      in.dense->write(SM_COLS_D(J));
    } else {
      in.system.slopes(NV_DATA_S(y), slopes_of(J));
    }
    return 0;
  }
  static int events(realtype, N_Vector y, realtype* g, void* user) {
    static_cast<Inside*>(user)->system.events(NV_DATA_S(y), g);
    return 0;
  }
  static void complain(int, const char*, const char*, char* text, void* user) {
    static_cast<Inside*>(user)->words = text;
  }
  void watch(bool on) {
    if (on == watching || event_count == 0) return;
    must(CVodeRootInit(memory, on ? static_cast<int>(event_count) : 0, on ? events : nullptr));
    if (on) {
      std::vector<int> falling(event_count, -1);
      must(CVodeSetRootDirection(memory, falling.data()));
      must(CVodeSetNoInactiveRootWarn(memory));
    }
    watching = on;
  }
};

Integrator::Integrator(System& system, std::size_t doors, const std::vector<double>& usual_sizes,
                       std::size_t event_count, const Tolerances& tolerances)
    : in_(std::make_unique<Inside>(system, doors * usual_sizes.size(), event_count)) {
  Inside& in = *in_;
  const auto n = static_cast<sunindextype>(in.count);
  in.must(SUNContext_Create(nullptr, &in.context));
  in.y = N_VNew_Serial(n, in.context);
  in.absolute = N_VNew_Serial(n, in.context);
  in.between = N_VNew_Serial(n, in.context);
  N_VConst(0.0, in.y);
  for (std::size_t k = 0; k < in.count; ++k) {
    NV_DATA_S(in.absolute)[k] = tolerances.relative * tolerances.scale * usual_sizes[k % usual_sizes.size()];
  }
  in.memory = CVodeCreate(CV_BDF, in.context);
  in.must(CVodeSetErrHandlerFn(in.memory, Inside::complain, &in));
  in.must(CVodeSetUserData(in.memory, &in));
  in.must(CVodeInit(in.memory, Inside::rates, 0, in.y));
  in.must(CVodeSVtolerances(in.memory, tolerances.relative, in.absolute));
  if (tolerances.linear == Linear::dense) {
    in.dense.emplace(doors, usual_sizes.size());
    in.matrix = SUNDenseMatrix(n, n, in.context);
    in.linear = SUNLinSol_Dense(in.y, in.matrix, in.context);
  } else {
    in.matrix = new_block_matrix(doors, usual_sizes.size(), in.context);
    in.linear = new_block_solver(in.context);
  }
  in.must(CVodeSetLinearSolver(in.memory, in.linear, in.matrix));
  in.must(CVodeSetJacFn(in.memory, Inside::slopes));
}

Integrator::~Integrator() = default;

double* Integrator::state() { return NV_DATA_S(in_->y); }
double Integrator::time() const { return in_->t; }
const std::vector<int>& Integrator::found() const { return in_->found; }
System& Integrator::system() const { return in_->system; }
std::size_t Integrator::size() const { return in_->count; }

void Integrator::restart(double t, bool watch) {
  in_->t = t;
  in_->end = -1;
  in_->must(CVodeReInit(in_->memory, t, in_->y));
  in_->watch(watch);
}

void Integrator::between(double t, double* y) {
  in_->must(CVodeGetDky(in_->memory, t, 0, in_->between));
  std::copy_n(NV_DATA_S(in_->between), in_->count, y);
}

Integrator::Step Integrator::step(double end) {
  Inside& in = *in_;
  if (end != in.end) {
    in.must(CVodeSetStopTime(in.memory, end));
    in.end = end;
  }
  const int flag = CVode(in.memory, end, in.y, &in.t, CV_ONE_STEP);
  in.must(flag);
  if (flag == CV_ROOT_RETURN) {
    in.must(CVodeGetRootInfo(in.memory, in.found.data()));
    return Step::event;
  }
  if (flag == CV_TSTOP_RETURN || in.t >= end) {
    in.end = -1;
    return Step::end;
  }
  return Step::on;
}

}  // namespace latchwright::tests::cvode

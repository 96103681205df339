#pragma once

#include "pitchline/motion/capability.hpp"
#include "pitchline/motor/loss_free_torque.hpp"
#include "support/csv.hpp"
#include "support/windings.hpp"

namespace pitchline::testing {

/// A row of reference/published/accel.csv: axis, winding and the use of its torque.
struct TabledDrive {
  explicit TabledDrive(const CsvRow& row)
      : axis{.transmission = metres(row.number("pulley_pitch_radius_m")) / radian,
             .mass = kilograms(row.number("moved_mass_kg")),
             .motor_side_inertia = kilogram_square_metres(row.number("J_motor_kgm2") +
                                                          row.number("J_motor_side_kgm2")),
             .driven_side_inertia = kilogram_square_metres(row.number("J_pulley_side_kgm2")),
             .friction = newtons(row.number("coulomb_N")),
             .gravity = newtons(row.number("gravity_N")),
             .efficiency = Efficiency(row.number("efficiency"))},
        winding(motor::driven_winding(tabled_motor(row.text("motor")),
                                      amperes(row.number("I_pk_A")), volts(row.number("V_V")))),
        use{.margin = TorqueMargin(row.number("safety")),
            .motor_drag = newton_metre_seconds_per_radian(row.number("viscous_motor_Nms"))} {}

  /// The loss-free torque of the winding; holds the winding by value.
  [[nodiscard]] auto torque_at() const {
    return [w = winding](AngularSpeed speed) { return motor::loss_free_pull_out(w, speed).torque; };
  }

  motion::AxisAtMotor axis;
  motor::DrivenWinding winding;
  motion::TorqueUse use;
};

}  // namespace pitchline::testing

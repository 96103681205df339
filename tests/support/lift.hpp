#pragma once

#include "pitchline/machine/machine.hpp"
#include "support/kite_loft.hpp"

namespace pitchline::testing {

/// A screw of the metric trapezoidal series, by outer diameter, pitch and starts, in mm.
inline parts::Screw trapezoidal_screw(double outer, int pitch, int starts) {
  return {.name = fmt::format("Tr {:g}x{}", outer, pitch * starts),
          .thread = parts::ThreadKind::trapezoidal,
          .lead_millimetres = Fraction(pitch * starts),
          .starts = starts,
          .outer_diameter = millimetres(outer),
          .mean_diameter = millimetres(outer - pitch / 2.0),
          .minor_diameter = millimetres(outer - pitch - 0.5),
          .source = "by hand"};
}

/// A bed of 10 kg on four screws at the corners of 800 by 500 mm and one motor, bronze nuts with a
/// friction from `least` to 0.2. Invented, as all of the kite loft.
inline machine::Machine kite_loft_bed(const parts::Screw& screw, double least = 0.15) {
  machine::Machine m = kite_loft();
  machine::Axis& axis = m.axes.front();
  const axis::BeltAxis belt = machine::belt_drive(axis);
  axis::ScrewAxis drive{.motor = belt.motor,
                        .driver = belt.driver,
                        .screw = {.bearing_distance = millimetres(300)},
                        .screws_per_motor = 4,
                        .loss = axis::ThreadFriction{.flank_half_angle = degrees(15),
                                                     .least = FrictionCoefficient(least),
                                                     .most = FrictionCoefficient(0.2),
                                                     .nut = screw::NutMaterial::bronze},
                        .nut_stiffness = newtons_per_millimetre(2000),
                        .travel = millimetres(200),
                        .moving = {{.name = "bed", .mass = kilograms(10)}},
                        .guide = {.kind = "round shaft", .friction = FrictionCoefficient(0)},
                        .incline = degrees(90)};
  axis::take_screw(drive.screw, screw);
  const auto at = [](double x, double y) {
    return axis::ScrewPlace{millimetres(x), millimetres(y)};
  };
  drive.stand = axis::ScrewStand{.places = {at(0, 0), at(800, 0), at(800, 500), at(0, 500)},
                                 .load_at = at(400, 250),
                                 .nut_level = millimetres(0)};
  axis.name = "z";
  axis.drive = std::move(drive);
  axis.want = {.speed = millimetres_per_second(4),
               .acceleration = metres_per_second_squared(0.05),
               .stroke = millimetres(200),
               .jerk_time = seconds(0.05)};
  axis.lift = machine::Lift{.height_step = millimetres(0.05), .nut_length = millimetres(16)};
  return m;
}

inline axis::ScrewAxis& screws_of(machine::Machine& m) {
  return std::get<axis::ScrewAxis>(m.axes.front().drive);
}

}  // namespace pitchline::testing

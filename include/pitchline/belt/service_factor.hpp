#pragma once

#include <string>
#include <string_view>

#include "pitchline/parts/belt.hpp"
#include "pitchline/units.hpp"

namespace pitchline::belt {

namespace detail {
struct ServiceFactorMeaning {
  static constexpr std::string_view name = "service factor";
  static constexpr std::string_view rule = ">= 1 and <= 10";
  static constexpr bool holds(double x) { return x >= 1 && x <= 10; }
};
}  // namespace detail

/// By how much the pull that a belt is chosen for exceeds the pull that it is given: for shocks,
/// hours of work and wear.
using ServiceFactor = Ratio<detail::ServiceFactorMeaning>;

/// Hours of work in a day.
enum class DailyUse { up_to_8_hours, up_to_16_hours, up_to_24_hours };

/// What a belt drives and by what, as [GT3 manual] p. 11 groups it. Stepper and servo motors stand
/// in the group of high torque.
enum class DriveClass {
  office_normal_torque,
  office_high_torque,
  machine_tool_normal_torque,
  machine_tool_high_torque
};

/// Service factor of a rotating drive.
///
///     office, measuring equipment   1.0 1.2 1.4   high torque  1.2 1.4 1.6
///     machine tools                 1.3 1.5 1.7   high torque  1.6 1.8 2.0
///
/// by hours a day, up to 8, 16 and 24. Other editions: [SDP handbook] p. T-61 has 1.5 to 2.0 for
/// all small-pitch drives, [Optibelt manual] c2 = 2.0 for linear drives and 1.6 for conveyors.
///
/// Source: [GT3 manual] p. 11 (rule of the maker).
constexpr double service_factor(DriveClass drive, DailyUse use) {
  const double longer = 0.2 * static_cast<int>(use);
  switch (drive) {
    case DriveClass::office_normal_torque:
      return 1.0 + longer;
    case DriveClass::office_high_torque:
      return 1.2 + longer;
    case DriveClass::machine_tool_normal_torque:
      return 1.3 + longer;
    case DriveClass::machine_tool_high_torque:
      return 1.6 + longer;
  }
  return 2.0;
}

/// Service factors of linear drives and of conveyors, c2. Source: [Optibelt manual] section 4.
inline constexpr double linear_service_factor = 2.0;
inline constexpr double conveyor_service_factor = 1.6;

/// Added to the service factor of a drive that speeds up, by driven over driver speed.
///
/// \throws InvalidInput  a ratio not above zero
///
/// Source: [GT3 manual] p. 11 (rule of the maker): 0.1 from 1.25, 0.2 from 1.75, 0.3 from 2.5, 0.4
/// from 3.5 on.
inline double speed_up_addition(double speed_ratio) {
  require_positive("speed ratio", speed_ratio);
  if (speed_ratio >= 3.5) return 0.4;
  if (speed_ratio >= 2.5) return 0.3;
  if (speed_ratio >= 1.75) return 0.2;
  return speed_ratio >= 1.25 ? 0.1 : 0.0;
}

/// What a service factor is wanted for.
enum class FactorUse {
  clamped_strand,     ///< tension in a strand of a belt clamped at a carriage
  clamped_teeth,      ///< teeth of the drive pulley of such a belt
  rotating_reduction  ///< a closed belt that slows down from one shaft to another, or keeps the
                      ///< speed
};

/// A service factor and the edition that it was printed in.
struct NamedServiceFactor {
  ServiceFactor factor{1.0};
  std::string_view edition{};
};

/// The service factor that makers of a kind of belt ask for on a hobby machine.
///
///     rubber, glass cord   1.6   machine tools driven by stepper motors, up to 8 hours a day
///     polyurethane         2.0   on the teeth of a linear drive
///                          1     in its strands: the maker takes pretension and pull as they are
///                          1.6   on a reduction: the rule for rubber, none of its own was read
///     unknown              1     no rule applies
///
/// A rating that the factor is set against holds a reserve of its own, which is no service factor:
/// rubber belts are rated at about 1/15 of their ultimate strength ([SDP handbook] p. T-22), those
/// of polyurethane at about a quarter of the breaking load ([Elatech], listed width by width).
///
/// Source: [GT3 manual] p. 11, within the 1.5 to 2.0 of [SDP handbook] p. T-61; [Optibelt manual]
/// section 4; [Elatech] p. 55.
inline NamedServiceFactor usual_service_factor(parts::Construction construction, FactorUse use) {
  constexpr double of_machine_tools =
      service_factor(DriveClass::machine_tool_high_torque, DailyUse::up_to_8_hours);
  constexpr std::string_view gt3 =
      "GT3 manual 2014 p. 11, machine tools with stepper motors, up to 8 h a day";
  switch (construction) {
    case parts::Construction::unknown:
      return {ServiceFactor(1), "no rule known for a belt of unknown construction"};
    case parts::Construction::rubber_glass:
      return {ServiceFactor(of_machine_tools), gt3};
    case parts::Construction::polyurethane_steel:
    case parts::Construction::polyurethane_heavy_steel:
      break;
  }
  switch (use) {
    case FactorUse::clamped_strand:
      return {ServiceFactor(1),
              "Elatech catalogue p. 55 adds none in the strands of linear drives"};
    case FactorUse::clamped_teeth:
      return {ServiceFactor(linear_service_factor),
              "Optibelt manual section 4, c2 of linear drives"};
    case FactorUse::rotating_reduction:
      break;
  }
  return {ServiceFactor(of_machine_tools),
          "GT3 manual 2014 p. 11, a rule for rubber; none for polyurethane was read"};
}

}  // namespace pitchline::belt

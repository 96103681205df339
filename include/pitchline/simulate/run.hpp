#pragma once

#include <functional>
#include <optional>

#include "pitchline/simulate/axis.hpp"
#include "pitchline/simulate/command.hpp"

namespace pitchline::simulate {

/// How finely time is cut.
struct Settings {
  /// Longest step; each part of the command is cut into equal ones. A step is shorter where belt,
  /// friction or a fast field ask for it, and ends early at an event. Halving the 25 µs changes the
  /// peaks of the axes of axis_step_loss.csv by less than 1e-4.
  Time step = seconds(25e-6);
};

/// Where the energy went. Works are of the whole run; the sum of the right side is the left.
///
///     electrical = copper + drag + kept + friction + damping + applied + stored
///     supply = supply_loss + electrical + bridge + capacitor      with a bus
struct EnergyAccount {
  Energy electrical{};  ///< from the driver into the winding, less what came back
  Energy copper{};
  Energy drag{};      ///< viscous, of the motor
  Energy kept{};      ///< what `SimulatedAxis::share` keeps back of the work of the field
  Energy friction{};  ///< Coulomb friction of the load, iron torque and losses of the drive
  Energy damping{};   ///< of belt and beam, and of `swing_damping`
  Energy applied{};   ///< against the torque of the command
  Energy stored{};    ///< gained: currents, speeds, belt, beam, height, detent
  Energy bridge{};    ///< lost in the drop of the driver
  Energy supply{};    ///< out of the supply, of a run with a bus
  Energy supply_loss{};
  Energy capacitor{};  ///< gained by the capacitor of the bus

  /// What is missing, over the larger of the two sides.
  [[nodiscard]] double imbalance() const;
  /// The same of the account of the bus.
  [[nodiscard]] double bus_imbalance() const;
};

/// A moment of a run. With two motors it is of the near one, but for `tool` and what follows.
struct Sample {
  Time time{};
  Current current_a{}, current_b{};
  Angle rotor{};
  AngularSpeed rotor_speed{};
  Length load{};
  Speed load_speed{};
  Length commanded{};  ///< without microsteps
  Force belt_force{};  ///< positive pulls the load upwards; of a rigid belt that friction holds:
                       ///< the weight alone
  Angle load_angle{};  ///< electrical, commanded less rotor
  Length tool{};       ///< on its beam; without one as `load`
  Length far_side{};   ///< of the load at the far motor, with two
  Angle far_load_angle{};
  Voltage bus{};  ///< what the driver is fed with
};

/// What became of a run. With two motors the worse of both.
struct Outcome {
  /// The load angle ends beyond half an electrical turn, or was a whole one away in between: moves
  /// to and fro may find the way back by chance.
  bool lost_step = false;
  Angle final_load_angle{};          ///< electrical, commanded less rotor
  Angle largest_load_angle{};        ///< electrical, either way
  std::optional<Time> slipped;       ///< when the load angle first passed half an electrical turn
  Length largest_following_error{};  ///< of the tool, against where it began, either way
  Length final_following_error{};    ///< commanded less tool
  Length largest_skew{};             ///< one end of a gantry ahead of the other, either way
  Force peak_belt_force{};           ///< either way
  Current peak_current{};            ///< of a phase
  Voltage lowest_bus{}, highest_bus{};
  Time longest_step{};  ///< in which time was cut
  EnergyAccount energy{};
};

/// Is called with a moment of a run.
using Observer = std::function<void(const Sample&)>;

/// Moves an axis through a command, from rest or from the speed with which it begins.
///
///     L i_a' = u_a − R i_a + K ω sin φ          averaged: u = limited to ±(V − V_d) of
///     L i_b' = u_b − R i_b − K ω cos φ                    (L/τ)(i* − i)
///     J ω' = s_T K (i_b cos φ − i_a sin φ) − T_d sin 4φ − B ω − D (ω − ω*) − (T_i + λ t |F_b|) sgn
///     ω
///            − t F_b − T
///     m v' = F_b − F sgn v − G + F_q            F_b = k_b s + c s',  s = t θ − x
///     m_q w' = −F_q                             F_q = k_q (q − x) + c_q (w − v)
///     φ = N θ,  i* = I cos g, I sin g,  g = N x*/t in jumps of a microstep,  c = 2 ζ √(k_b M)
///
///     K, R, L, N, I, V  winding                  > 0; V that of the bus where there is one
///     s_T      share, at the commanded speed; 1 where there is none  –  > 0
///     V_d, τ   driver.drop, .current_time_constant  V, s  ≥ 0, > 0
///     J        both inertias of axis         kg·m²    > 0
///     m, t     axis.mass less m_q, axis.transmission  kg, m/rad  > 0
///     M        all that one motor pulls: axis.mass, or half of both parts of the gantry   kg
///     F, G     axis.friction, axis.gravity   N        ≥ 0; smooth: tanh(v/v_s) stands for sgn v
///     λ        loss: driving where F_b ω > 0, else driven   –  ≥ 0
///     T_d, T_i detent_torque, iron_torque    N·m      ≥ 0
///     B, D     motor_drag, swing_damping     N·m·s/rad  ≥ 0
///     m_q, k_q, c_q  beam: mass, stiffness, 2 ζ_q √(k_q m_q)
///     T        of the command                N·m
///     x*, ω*   of the command                m, rad/s
///
/// A strand that goes slack leaves the other alone: F_b = k_up s + T_0 beyond s = T_0/k_down, and
/// alike below. A switching driver puts the full voltage on a phase at each tick of its clock until
/// its current is reached, for the blanking time at least; then the current dies away through the
/// bridge, or against the supply while |i*| falls: with switches and not diodes, so that it may
/// pass zero before the next tick. Two motors pull the ends of a rigid beam, whose mass couples
/// them: a carriage m_c at p gives (1 − p)², p (1 − p), p², an even beam 1/3, 1/6, 1/3. The bus is
/// a capacitor that a supply fills through its resistance and never empties.
///
/// With a rigid belt J + m t² turns as one. A sticking body stays where it is while the force on it
/// is at most its static limit. The moments at which a body stops, a strand goes slack or taut, the
/// voltage meets its limit, the driver switches and a pulse arrives end a step; the moment at which
/// a body is let go is found to one step. The currents begin as commanded: above the speed up to
/// which the driver can force them, a run that begins there begins with a blow. `observe` is called
/// with a `Sample` at the start and after each step. Leaves out saturation of the iron, an
/// integrating regulator, friction that falls with speed, sag of a beam under its weight, and the
/// stretch of belt that changes with the place of the load. Equal input gives equal bits.
///
/// \throws InvalidInput     a number outside the table, or never set; a command without parts
/// \throws OutsideValidity  a rigid belt with losses, beam or second motor; a load that the field
///                          cannot hold where the run begins; a bus that runs empty;
///                          a command faster than the share of the torque is known
///
/// Source: derived, two-phase machine with sinusoidal flux; checked against axis_step_loss.csv and
/// pullout_simulated.csv of reference/published/.
Outcome run(const SimulatedAxis& axis, const Command& command, const Settings& settings = {},
            const Observer& observe = {});

/// What a run comes to once a finer step changes nothing that counts.
struct ProvedOutcome {
  Outcome outcome{};
  Time step{};          ///< of it
  double change = 0.0;  ///< by which its peaks differ from those at twice the step
};

/// Runs with half the step, and half of that, until the peaks (load angle, following error, belt
/// force) change by less than `tolerance`, each of its own size.
///
///     tolerance  –  > 0, not below 1e-7
///     halvings   –  > 0, after which it gives up
///
/// \throws InvalidInput     as `run`, or a number outside the table
/// \throws OutsideValidity  as `run`; the halvings do not do
ProvedOutcome run_to_tolerance(const SimulatedAxis& axis, const Command& command, double tolerance,
                               const Settings& coarsest = {}, int halvings = 8);

}  // namespace pitchline::simulate

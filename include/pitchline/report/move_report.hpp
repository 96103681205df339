#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "pitchline/motion/peaks_of_move.hpp"
#include "pitchline/report/finding.hpp"
#include "pitchline/simulate/proved.hpp"
#include "pitchline/simulate/trust_map.hpp"

namespace pitchline::report {

/// Change of a figure by half the step up to which it counts as proved.
inline constexpr double proved_to = 1e-3;

/// The same of the acceleration at which a step is first lost. The search itself ends at a part in
/// a thousand, and where it ends depends on the last swing.
inline constexpr double acceleration_proved_to = 5e-3;

/// What the tool is off by while it works a line, of all the lines of a run: commanded less tool.
struct LineErrors {
  Length up_from{}, up_to{};      ///< least and most of the lines upwards
  Length down_from{}, down_to{};  ///< of those downwards

  /// By how much the middle of the lines one way lies beside that of the lines the other way.
  [[nodiscard]] Length offset() const {
    const Length apart = (up_from + up_to - down_from - down_to) / 2.0;
    return apart < metres(0) ? Length(-apart) : apart;
  }
  /// Half of what a line varies by along itself, the worse way.
  [[nodiscard]] Length wandering() const {
    return std::max(up_to - up_from, down_to - down_from) / 2.0;
  }
};

/// Lines of a raster as they run.
struct LineProof {
  Length line{};
  Length overrun{};     ///< on each side
  Length room{};        ///< that the travel leaves there
  Length line_pitch{};  ///< from line to line
  LineErrors errors{};
};

/// One run of a move and what became of the tool.
struct MoveProof {
  motion::RunningMove move{};
  simulate::Succession succession{};
  simulate::ProvedAnswer proved{};
  Time watched{};         ///< after the end
  Length tolerance{};     ///< for settling
  bool asked = false;     ///< the tolerance is the wanted position error, else a full step
  Length full_step{};     ///< travel of one
  Speed top_speed{};      ///< that the move reaches
  double load_share = 0;  ///< largest load angle over half an electrical turn, the edge
  std::optional<LineProof> line{};

  [[nodiscard]] bool completes() const { return !proved.answer.outcome.lost_step; }
  /// Largest load angle in full steps; the edge is at two.
  [[nodiscard]] double full_steps() const { return 2.0 * load_share; }
};

/// The acceleration that the check allows by torque, beside what the simulation completes.
struct LargestProof {
  motion::RunningMove move{};    ///< its acceleration is the wanted one
  Acceleration from{}, up_to{};  ///< looked at
  Acceleration allowed{};        ///< by torque, with the torque margin of the file
  TorqueMargin margin{1.0};
  Verdict steady = Verdict::unsure;  ///< of steady running at `allowed`
  std::string steady_reason{};
  simulate::ProvedAcceleration proved{};

  /// What completes over what the check allows; NaN where either is nothing.
  [[nodiscard]] double ratio() const {
    if (!proved.found.completes || !(allowed > Acceleration{})) return std::nan("");
    return number(*proved.found.completes / allowed);
  }
  /// What the move really reaches of an acceleration: less where the jerk time is longer than a
  /// ramp, or the stroke too short.
  [[nodiscard]] Acceleration reached(Acceleration a) const {
    motion::RunningMove tried = move;
    tried.acceleration = a;
    return motion::peaks_of(tried).acceleration;
  }
  /// Whether the wanted acceleration is at most what completes.
  [[nodiscard]] bool wanted_completes() const {
    return proved.found.completes && move.acceleration <= *proved.found.completes;
  }
};

/// One speed of the map, with what the check allows there.
struct TrustColumn {
  simulate::ProvedColumn proved{};
  Acceleration allowed{};  ///< by torque
  Length stroke{};         ///< over which its moves ran

  [[nodiscard]] const simulate::MapColumn& column() const { return proved.column; }
};

/// Speeds and accelerations that a builder can trust.
struct TrustMap {
  motion::RunningMove move{};  ///< with the wanted speed and acceleration; stroke as wanted
  simulate::MapRange range{};
  double growth = 0;                    ///< from one acceleration to the next, at most
  std::vector<Acceleration> allowed{};  ///< by torque, at each speed
  std::vector<Length> strokes{};        ///< over which the moves of each speed run
  std::vector<TrustColumn> columns{};   ///< one a speed

  /// Whether the wanted acceleration completes at the wanted speed; nothing where the map has no
  /// such speed.
  [[nodiscard]] std::optional<bool> wanted_completes() const {
    for (const TrustColumn& each : columns)
      if (each.column().speed == move.speed)
        return each.column().completes && move.acceleration <= *each.column().completes;
    return std::nullopt;
  }
};

/// What was proved of one axis in time, with what is needed to read it.
struct MoveReport {
  std::string name{};                  ///< of the machine and axis
  std::string parts{};                 ///< what the axis is built of, in one line
  std::vector<std::string> model{};    ///< what the simulation counts and assumes, each a sentence
  std::vector<std::string> assumed{};  ///< defaults that the reader of the file filled in
  std::vector<std::string> cautions{};
  bool has_belt = false;
  bool pair = false;                ///< two motors that pull one beam
  double place = 0.0;               ///< of what travels along the beam, with two
  bool bus = false;                 ///< the supply has a capacitor
  std::optional<MoveProof> move{};  ///< where a move was run
  std::optional<LargestProof> largest{};
  std::optional<TrustMap> map{};

  /// Whether what is wanted completes, by all that was proved.
  [[nodiscard]] bool wanted_completes() const {
    return (!move || move->completes()) && (!largest || largest->wanted_completes()) &&
           (!map || map->wanted_completes().value_or(false));
  }
};

}  // namespace pitchline::report

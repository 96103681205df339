// Measurements as tables of comma-separated values.

#include "pitchline/io/read_measurements.hpp"
#include "read/detail/bounds.hpp"
#include "read/detail/csv_table.hpp"
#include "read/detail/measured_words.hpp"

namespace pitchline::io {

using detail::approaches;
using detail::CsvTable;
using detail::fastest;
using detail::hardest;
using detail::longest_measured;
using detail::results;

std::vector<tune::TravelReading> read_travel_csv(std::string_view text, std::string_view file) {
  CsvTable table(text, file, {{"commanded_mm"}, {"measured_mm"}, {"approach", false}});
  std::vector<tune::TravelReading> readings;
  for (std::size_t i = 0; i < table.rows(); ++i) {
    tune::TravelReading r;
    if (const auto x = table.number(i, "commanded_mm")) r.commanded = millimetres(*x);
    if (const auto x = table.number(i, "measured_mm")) r.measured = millimetres(*x);
    if (table.cell(i, "approach") && table.choice(i, "approach", approaches) == 1)
      r.approach = tune::Approach::backward;
    readings.push_back(r);
  }
  table.finish();
  return readings;
}

std::vector<tune::TrialRun> read_trials_csv(std::string_view text, std::string_view file) {
  CsvTable table(text, file,
                 {{"speed_mm_s"}, {"acceleration_m_s2"}, {"result"}, {"stroke_mm", false}});
  std::vector<tune::TrialRun> runs;
  for (std::size_t i = 0; i < table.rows(); ++i) {
    tune::TrialRun run;
    if (const auto v = table.positive(i, "speed_mm_s", in_millimetres_per_second(fastest)))
      run.speed = millimetres_per_second(*v);
    if (const auto a =
            table.positive(i, "acceleration_m_s2", in_metres_per_second_squared(hardest)))
      run.acceleration = metres_per_second_squared(*a);
    if (table.cell(i, "stroke_mm"))
      if (const auto s = table.positive(i, "stroke_mm", in_millimetres(longest_measured)))
        run.stroke = millimetres(*s);
    run.held = table.choice(i, "result", results) == 0;
    runs.push_back(run);
  }
  table.finish();
  return runs;
}

}  // namespace pitchline::io

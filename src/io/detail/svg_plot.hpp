#pragma once

#include <optional>
#include <string>
#include <vector>

namespace pitchline::io::detail {

struct PlotPoint {
  double x = 0.0;
  double y = 0.0;
};

/// A curve. Dash pattern and label tell it from the others, not its colour alone.
struct PlotLine {
  std::string label{};
  std::vector<PlotPoint> points{};
  std::string colour{};
  std::string dash{};  ///< lengths of strokes and gaps, "8 4"; empty: solid
  double width = 2.0;
};

enum class Mark { circle, square, triangle, diamond };

/// Points by themselves.
struct PlotMarks {
  std::string label{};
  std::vector<PlotPoint> points{};
  Mark mark = Mark::circle;
};

/// Ranges of x that are hatched; one entry in the legend.
struct PlotZones {
  std::string label{};
  std::vector<PlotPoint> ranges{};  ///< x to y
};

/// A second set of numbers below the x axis: x times `factor`.
struct SecondAxis {
  std::string label{};
  double factor = 1.0;
};

/// A plot whose axes begin at zero, with a legend beside it.
struct Plot {
  std::string title{};
  std::string description{};  ///< for who cannot see it
  std::string x_label{};
  std::string y_label{};
  double x_end = 1.0;
  std::optional<SecondAxis> second{};
  std::vector<PlotZones> zones{};
  std::vector<PlotLine> lines{};
  std::vector<PlotMarks> marks{};
};

/// The plot as an SVG document; the same bytes for the same plot, whatever the locale.
std::string svg_plot(const Plot& plot);

}  // namespace pitchline::io::detail

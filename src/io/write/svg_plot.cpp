#include "detail/svg_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>
#include <string_view>

#include "detail/wrap.hpp"
#include "pitchline/units/print.hpp"

namespace pitchline::io::detail {
namespace {

// All in pixels.
constexpr double width = 1000;
constexpr double left = 74;
constexpr double right = 690;
constexpr double top = 56;
constexpr double bottom = 470;
constexpr double legend_left = 712;
constexpr double legend_line = 17;
constexpr std::size_t legend_columns = 33;
constexpr std::size_t title_columns = 100;

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      default:
        // XML has no place for other control characters.
        out += static_cast<unsigned char>(c) < 0x20 ? ' ' : c;
    }
  }
  return out;
}

// A round distance of ticks: 4 to 10 of them.
double tick_step(double end) {
  const double power = std::pow(10.0, std::floor(std::log10(end / 10.0)));
  for (const double digit : {1.0, 2.0, 2.5, 5.0, 10.0}) {
    if (end / (digit * power) <= 10.0 * (1 + 1e-9)) return digit * power;
  }
  return 10.0 * power;
}

std::string tick_text(double value) {
  std::string text = significant(value, 6);
  if (text.find('.') != std::string::npos && text.find('e') == std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text;
}

std::string text_at(double x, double y, std::string_view anchor, std::string_view text,
                    std::string_view more = "") {
  return fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" text-anchor=\"{}\"{}>{}</text>\n", x, y,
                     anchor, more, escaped(text));
}

std::string straight(double x1, double y1, double x2, double y2, std::string_view style) {
  return fmt::format("<line x1=\"{:.2f}\" y1=\"{:.2f}\" x2=\"{:.2f}\" y2=\"{:.2f}\" {}/>\n", x1, y1,
                     x2, y2, style);
}

std::string mark_at(Mark mark, double x, double y) {
  constexpr std::string_view style = "fill=\"#ffffff\" stroke=\"#000000\" stroke-width=\"1.6\"";
  constexpr double r = 4.5;
  const auto polygon = [&](const std::vector<PlotPoint>& corners) {
    std::string points;
    for (const PlotPoint& c : corners)
      points += fmt::format("{}{:.2f},{:.2f}", points.empty() ? "" : " ", x + c.x * r, y + c.y * r);
    return fmt::format("<polygon points=\"{}\" {}/>\n", points, style);
  };
  switch (mark) {
    case Mark::circle:
      return fmt::format("<circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"{:.2f}\" {}/>\n", x, y, r, style);
    case Mark::square:
      return polygon({{-0.9, -0.9}, {0.9, -0.9}, {0.9, 0.9}, {-0.9, 0.9}});
    case Mark::triangle:
      return polygon({{0, -1.2}, {1.1, 0.8}, {-1.1, 0.8}});
    case Mark::diamond:
      return polygon({{0, -1.3}, {1.3, 0}, {0, 1.3}, {-1.3, 0}});
  }
  return "";
}

std::vector<std::string> broken(std::string_view text, std::size_t columns) {
  std::vector<std::string> lines;
  std::istringstream in(wrapped(text, 0, 0, columns));
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

class Writer {
 public:
  explicit Writer(const Plot& plot) : plot_(plot) {
    double most = 0.0;
    for (const PlotLine& line : plot.lines)
      for (const PlotPoint& p : line.points) most = std::max(most, p.y);
    for (const PlotMarks& marks : plot.marks)
      for (const PlotPoint& p : marks.points) most = std::max(most, p.y);
    if (!(most > 0)) most = 1.0;
    y_step_ = tick_step(1.04 * most);
    y_end_ = y_step_ * std::ceil(1.04 * most / y_step_);
  }

  std::string document() {
    add_zones();
    add_grid();
    add_lines();
    add_marks();
    add_legend();
    const double foot = bottom + (plot_.second ? 92 : 60);
    const double height = std::max(foot, legend_y_ + 20);
    std::string out = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}\" height=\"{1:.0f}\" "
        "viewBox=\"0 0 {0:.0f} {1:.0f}\" role=\"img\" aria-labelledby=\"title desc\" "
        "font-family=\"sans-serif\" font-size=\"13\">\n"
        "<title id=\"title\">{2}</title>\n<desc id=\"desc\">{3}</desc>\n"
        "<defs>\n<pattern id=\"hatch\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" "
        "patternTransform=\"rotate(45)\"><line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\" "
        "stroke=\"#b08a3c\" stroke-width=\"1.2\"/></pattern>\n"
        "<clipPath id=\"area\"><rect x=\"{4:.0f}\" y=\"{5:.0f}\" width=\"{6:.0f}\" "
        "height=\"{7:.0f}\"/></clipPath>\n</defs>\n"
        "<rect width=\"{0:.0f}\" height=\"{1:.0f}\" fill=\"#ffffff\"/>\n",
        width, height, escaped(plot_.title), escaped(plot_.description), left, top, right - left,
        bottom - top);
    double y = 24;
    for (const std::string& line : broken(plot_.title, title_columns)) {
      out += text_at(left, y, "start", line, " font-size=\"16\"");
      y += 20;
    }
    return out + body_ + "</svg>\n";
  }

 private:
  [[nodiscard]] double px(double x) const { return left + (right - left) * x / plot_.x_end; }
  [[nodiscard]] double py(double y) const { return bottom - (bottom - top) * y / y_end_; }

  void add_zones() {
    for (const PlotZones& zones : plot_.zones) {
      for (const PlotPoint& range : zones.ranges) {
        const double from = std::min(px(range.x), right);
        const double to = std::min(px(range.y), right);
        body_ += fmt::format(
            "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" "
            "fill=\"url(#hatch)\" fill-opacity=\"0.55\"/>\n",
            from, top, std::max(to - from, 1.0), bottom - top);
      }
    }
  }

  void add_grid() {
    constexpr std::string_view grid = "stroke=\"#d8d8d8\" stroke-width=\"1\"";
    const double x_step = tick_step(plot_.x_end);
    for (int i = 0; i * x_step <= plot_.x_end * (1 + 1e-9); ++i) {
      const double x = i * x_step;
      body_ += straight(px(x), top, px(x), bottom, grid);
      body_ += text_at(px(x), bottom + 18, "middle", tick_text(x));
    }
    for (int i = 0; i * y_step_ <= y_end_ * (1 + 1e-9); ++i) {
      const double y = i * y_step_;
      body_ += straight(left, py(y), right, py(y), grid);
      body_ += text_at(left - 8, py(y) + 4.5, "end", tick_text(y));
    }
    body_ += fmt::format(
        "<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"{:.2f}\" height=\"{:.2f}\" fill=\"none\" "
        "stroke=\"#000000\" stroke-width=\"1.2\"/>\n",
        left, top, right - left, bottom - top);
    const double middle = (left + right) / 2;
    body_ += text_at(middle, bottom + 40, "middle", plot_.x_label);
    if (plot_.second) {
      const double end = plot_.x_end * plot_.second->factor;
      const double step = tick_step(end);
      for (int i = 0; i * step <= end * (1 + 1e-9); ++i) {
        const double x = px(i * step / plot_.second->factor);
        body_ += straight(x, bottom + 48, x, bottom + 53, "stroke=\"#000000\" stroke-width=\"1\"");
        body_ += text_at(x, bottom + 66, "middle", tick_text(i * step));
      }
      body_ +=
          straight(left, bottom + 48, right, bottom + 48, "stroke=\"#000000\" stroke-width=\"1\"");
      body_ += text_at(middle, bottom + 84, "middle", plot_.second->label);
    }
    const double y = (top + bottom) / 2;
    body_ += text_at(20, y, "middle", plot_.y_label,
                     fmt::format(" transform=\"rotate(-90 20 {:.2f})\"", y));
  }

  static std::string style_of(const PlotLine& line) {
    return fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"{:.1f}\"{}", line.colour,
                       line.width,
                       line.dash.empty() ? "" : fmt::format(" stroke-dasharray=\"{}\"", line.dash));
  }

  void add_lines() {
    for (const PlotLine& line : plot_.lines) {
      std::string points;
      for (const PlotPoint& p : line.points)
        points += fmt::format("{}{:.2f},{:.2f}", points.empty() ? "" : " ", px(p.x), py(p.y));
      body_ += fmt::format("<polyline points=\"{}\" {} clip-path=\"url(#area)\"/>\n", points,
                           style_of(line));
    }
  }

  void add_marks() {
    for (const PlotMarks& marks : plot_.marks) {
      for (const PlotPoint& p : marks.points) {
        if (p.x <= plot_.x_end) body_ += mark_at(marks.mark, px(p.x), py(p.y));
      }
    }
  }

  void add_legend() {
    legend_y_ = top + 8;
    const auto entry = [&](const std::string& sample, std::string_view label) {
      body_ += sample;
      for (const std::string& line : broken(label, legend_columns)) {
        body_ += text_at(legend_left + 46, legend_y_ + 4.5, "start", line);
        legend_y_ += legend_line;
      }
      legend_y_ += 9;
    };
    for (const PlotLine& line : plot_.lines)
      entry(straight(legend_left, legend_y_, legend_left + 38, legend_y_, style_of(line)),
            line.label);
    for (const PlotMarks& marks : plot_.marks)
      entry(mark_at(marks.mark, legend_left + 19, legend_y_), marks.label);
    for (const PlotZones& zones : plot_.zones)
      entry(fmt::format("<rect x=\"{:.2f}\" y=\"{:.2f}\" width=\"38.00\" height=\"14.00\" "
                        "fill=\"url(#hatch)\" fill-opacity=\"0.55\" stroke=\"#b08a3c\"/>\n",
                        legend_left, legend_y_ - 7),
            zones.label);
  }

  const Plot& plot_;
  double y_step_ = 1.0;
  double y_end_ = 1.0;
  double legend_y_ = 0.0;
  std::string body_;
};

}  // namespace

std::string svg_plot(const Plot& plot) { return Writer(plot).document(); }

}  // namespace pitchline::io::detail

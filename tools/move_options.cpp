#include "move_options.hpp"

#include <string_view>

#include "pitchline/io/read_option.hpp"
#include "pitchline/io/write_file.hpp"

namespace pitchline::tools {
namespace {

// Every combination that would leave an option without effect.
void require_forms(const MoveOptions& o) {
  using io::require_absent;
  require_absent(o.largest && o.map, "--largest and --map do not go together", "choose one");
  require_absent(o.searches() && o.raster, "--raster goes with neither --largest nor --map",
                 "a line is as long as its speed and acceleration make it: leave --raster out");
  require_absent(o.searches() && o.onward, "--onward goes with neither --largest nor --map",
                 "they search with moves to and fro, which ask for more: leave --onward out");
  const bool other_move =
      !o.speed.empty() || !o.stroke.empty() || !o.repeats.empty() || !o.dwell.empty() || o.onward;
  require_absent(o.raster && other_move,
                 "--raster takes speed, stroke, repeats and dwell from the raster of the file",
                 "leave them out, or leave --raster out");
  require_absent(o.onward && o.repeats.empty(), "--onward goes with --repeats only",
                 "for example --repeats 10 --onward");
  require_absent(!o.trace_file.empty() && o.searches(),
                 "--trace goes with neither --largest nor --map",
                 "a trace is of one move: leave --largest or --map out");
  require_absent(!o.map && !o.svg_file.empty(), "--svg goes with --map only", "add --map");
  require_absent(!o.map && !o.csv_file.empty(), "--csv goes with --map only",
                 "add --map, or write one move with --trace");
  require_absent(!o.map && !o.threads.empty(), "--threads goes with --map only", "add --map");
  require_absent(!o.searches() && !(o.from.empty() && o.up_to.empty()),
                 "--from and --up-to go with --largest and --map only", "add one of these");
  require_absent(o.overwrite && o.svg_file.empty() && o.csv_file.empty() && o.trace_file.empty(),
                 "--overwrite goes with --svg, --csv or --trace only", "add one of these");
}

}  // namespace

void add_options(CommandLine& line, MoveOptions& o) {
  line.text("MACHINE", o.machine_file, "the machine file, TOML").required();
  line.text("--axis", o.axis, "the axis to move");
  line.text("--catalogue", o.catalogue_file,
            "a catalogue file whose motors and belts come before the built-in ones");
  line.text("--speed", o.speed, "in place of the wanted one, \"400 mm/s\"");
  line.text("--acceleration", o.acceleration, "in place of the wanted one, \"5 m/s^2\"");
  line.text("--stroke", o.stroke,
            "in place of that of the file, \"60 mm\"; without any, all the travel");
  line.text("--jerk-time", o.jerk_time,
            "over which the acceleration builds up, \"30 ms\"; \"0 s\" for none");
  line.text("--repeats", o.repeats, "moves one after the other, to and fro");
  line.text("--dwell", o.dwell, "rest between two of them, \"20 ms\"; \"0 s\" for none");
  line.flag("--onward", o.onward, "all of them the same way");
  line.flag("--raster", o.raster, "lines of the raster of the axis, with their overrun");
  line.text("--place", o.place,
            "where on a beam with two motors the carriage stands, 0 to 1; if left out the middle "
            "of a beam that the file describes, else 0");
  line.flag("--pulses", o.pulses,
            "turn the field in microsteps, sent at the ticks of the controller");
  line.flag("--switching", o.switching, "let the driver switch, in place of its average");
  line.flag("--ideal-motor", o.ideal_motor,
            "let the motor give what its linear winding makes, which is more at speed than the "
            "check counts on");
  line.flag("--largest", o.largest,
            "find the largest acceleration that completes at the wanted speed");
  line.flag("--map", o.map, "find it at speeds up to 1.5 times the wanted one");
  line.text("--from", o.from, "least acceleration that --largest and --map try");
  line.text("--up-to", o.up_to, "largest acceleration that they try");
  line.text("--svg", o.svg_file, "write the map as a plot to this file, too");
  line.text("--csv", o.csv_file, "write every cell of the map to this file, too");
  line.text("--trace", o.trace_file,
            "write error, load angle, force and current over time to this file, too");
  line.flag("--overwrite", o.overwrite, "let --svg, --csv and --trace replace a file");
  line.text("--threads", o.threads, "columns of the map that run at once; all cores if left out");
  line.flag("--json", o.json, "print one JSON object in SI units instead of tables");
  line.version();
}

void require_usable(const MoveOptions& o) {
  require_forms(o);
  io::require_writable({.inputs = {o.machine_file, o.catalogue_file},
                        .outputs = {o.svg_file, o.csv_file, o.trace_file},
                        .overwrite = o.overwrite});
}

}  // namespace pitchline::tools

// Lists and searches the parts that the programs know, and judges a catalogue of the user's own.

#include "command_line.hpp"

#include "pitchline/io/print_parts.hpp"
#include "pitchline/io/read_machine.hpp"
#include "pitchline/io/read_option.hpp"
#include "pitchline/io/write_file.hpp"

namespace {

using namespace pitchline;

struct Options {
  io::PartsQuestion question;
  std::string catalogue_file;
  std::string file_to_check;
  bool json = false;
  bool csv = false;
};

int run(const Options& o) {
  io::Catalogue catalogue = io::standard_catalogue();
  if (!o.file_to_check.empty()) {
    io::read_catalogue(io::read_file(o.file_to_check), o.file_to_check, catalogue);
    tools::print(io::print_judged(o.file_to_check, catalogue));
    return tools::all_hold;
  }
  if (!o.catalogue_file.empty())
    io::read_catalogue(io::read_file(o.catalogue_file), o.catalogue_file, catalogue);
  tools::print(o.json  ? io::parts_as_json(o.question, catalogue)
               : o.csv ? io::parts_as_csv(o.question, catalogue)
                       : io::print_parts(o.question, catalogue));
  return tools::all_hold;
}

}  // namespace

int main(int argc, char** argv) try {
  Options o;
  tools::CommandLine line(
      "pitchline-parts",
      "Lists and searches the parts that a machine file may call by name, and judges a catalogue "
      "of "
      "your own. Words and figures stand in any order: nema 23 76mm, HTD 5M 20 teeth, linear rail "
      "15mm.\nExit status: 0 computed, 2 the input cannot be used.");
  auto words = line.texts("WORD", o.question.words, "words and figures that an entry must have");
  auto kind =
      line.text("--kind", o.question.kind, "one kind of part: motor, belt, pulley, rail, ...");
  auto full = line.flag("--full", o.question.full, "all that the entries say, with sources");
  auto json = line.flag("--json", o.json, "print one JSON object in SI units");
  auto csv = line.flag("--csv", o.csv, "print one kind as comma-separated values");
  auto own = line.text("--catalogue", o.catalogue_file,
                       "a catalogue file whose parts come before the built-in ones");
  line.text("--check", o.file_to_check,
            "judge this catalogue file: errors, and figures that look odd")
      .excludes({words, kind, full, json, csv, own});
  json.excludes({csv, full});
  csv.excludes({full});
  line.version();
  if (const auto status = line.parse(argc, argv)) return *status;
  return tools::run_and_report(o.file_to_check, [&] { return run(o); });
} catch (...) {
  return pitchline::tools::unexpected_error();
}

// Writes what the code says of itself over the pages of the reference that repeat it; see the
// target renew_reference.

#include <cstdio>
#include <fstream>
#include <string>

#include "pitchline/check/row.hpp"
#include "pitchline/io/machine_file_reference.hpp"

namespace {

bool write(const std::string& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out << text;
  out.close();
  return out.good();
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("usage: pitchline_write_reference FOLDER\n", stderr);
    return 2;
  }
  const std::string folder = arguments[1];
  const bool written =
      write(folder + "/machine-file.md", pitchline::io::machine_file_reference()) &&
      write(folder + "/catalogue.md", pitchline::io::catalogue_reference()) &&
      write(folder + "/rows.md", pitchline::check::rows_in_markdown());
  return written ? 0 : 1;
}

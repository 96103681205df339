// Writes the reference of the machine file over the one that is there; see the target
// renew_machine_file_reference.

#include <cstdio>
#include <fstream>

#include "pitchline/io/machine_file_reference.hpp"

int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("usage: pitchline_write_machine_file_reference FILE\n", stderr);
    return 2;
  }
  std::ofstream out(arguments[1], std::ios::binary);
  out << pitchline::io::machine_file_reference();
  out.close();
  return out.good() ? 0 : 1;
}

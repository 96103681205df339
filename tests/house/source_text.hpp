#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace pitchline::testing {

/// A file of the project as text.
struct SourceFile {
  std::string path;    ///< from the folder of the project, as "include/pitchline/axis/lift.hpp"
  std::string folder;  ///< the folder that the arrows speak of, as "axis"
  std::string text;
  std::string bare;  ///< as long as text; comments and what stands in quotes are spaces
};

/// Every .hpp and .cpp of include/, src/ and tools/, in the order of their paths.
std::vector<SourceFile> source_files();

std::size_t lines_of(const SourceFile& file);

/// The folder of each header of the project that a file includes.
std::vector<std::string> included_folders(const SourceFile& file);

struct Function {
  std::string name;  ///< without parameters, as "Reader::read"
  std::size_t first_line = 0;
  std::size_t lines = 0;  ///< from the head to the closing brace
};

/// Every function with a body. Lambdas count as part of the function they stand in.
std::vector<Function> functions_of(const SourceFile& file);

/// Every "X::detail::" of a file, with X.
std::vector<std::string> detail_of(const SourceFile& file);

/// Makes a file of a text, as if it lay at that path.
SourceFile source_file(const std::string& path, const std::string& text);

}  // namespace pitchline::testing

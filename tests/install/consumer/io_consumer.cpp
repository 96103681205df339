#include <fmt/format.h>

#include <pitchline/io/catalogue.hpp>

int main() {
  const auto& catalogue = pitchline::io::standard_catalogue();
  if (catalogue.motors.empty()) return 1;
  const auto& [name, motor] = *catalogue.motors.begin();
  fmt::print("{}: {}\n", name, motor.resistance);
}

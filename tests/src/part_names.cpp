#include "pitchline/io/part_names.hpp"

#include <string>

#include "pitchline/io/print_parts.hpp"
#include "pitchline/io/read_option.hpp"
#include "support/catch.hpp"

namespace pitchline {
namespace {

using Catch::Contains;

const io::Catalogue& catalogue() { return io::standard_catalogue(); }

std::string motor(const std::string& asked) {
  const io::Named found = io::named_motor(asked, catalogue());
  return found.name.value_or("");
}
std::string belt(const std::string& asked) {
  return io::named(asked, "profile", catalogue().belts).name.value_or("");
}
std::string screw(const std::string& asked) {
  return io::named(asked, "screw", catalogue().screws).name.value_or("");
}

TEST_CASE("case, blanks, hyphens and usual spellings find the entry", "[io]") {
  for (const char* asked : {"nema17 48mm 2A", "NEMA 17 48mm 2A", "NEMA-17 48 mm 2.0 A",
                            "nema17 2A 48mm", "Nema_17, 48mm, 2A", "17HS19-2004S1"}) {
    CAPTURE(asked);
    CHECK(motor(asked) == "nema17 48mm 2A");
  }
  for (const char* asked : {"HTD 3M", "HTD3M", "htd-3m", "3M HTD"}) {
    CAPTURE(asked);
    CHECK(belt(asked) == "HTD 3M");
  }
  for (const char* asked : {"GT 2 mm", "GT2", "2GT", "gt2 belt", "2MGT", "GT 2mm"}) {
    CAPTURE(asked);
    CHECK(belt(asked) == "GT 2 mm");
  }
  CHECK(belt("t5") == "T5");
  CHECK(belt("AT 5") == "AT5");
  CHECK(screw("tr10x2") == "Tr 10x2");
  CHECK(screw("Tr 10 x 2") == "Tr 10x2");
  CHECK(screw("Tr 10x4") == "Tr 10x4 (P2)");
  CHECK(screw("trapezoidal 10x2") == "Tr 10x2");
}

TEST_CASE("a figure finds the entry in whichever unit of its kind, as it was rounded", "[io]") {
  CHECK(motor("nema24 86mm") == "nema24 86mm 3.1Nm 2.8A");
  CHECK(motor("nema 24 439 oz-in 2.8A") == "nema24 86mm 3.1Nm 2.8A");  // 3.1 N*m
  CHECK(motor("nema34 12.8 N*m 6.2A") == "nema34 156mm 13Nm 6.2A");
}

TEST_CASE("where two could be meant it asks, with the figures that tell them apart", "[io]") {
  // Two makers' motors of one body: 5.4 and 3.6 mH.
  const io::Named found = io::named_motor("NEMA 23 76mm 1.9Nm", catalogue());
  CHECK_FALSE(found.name);
  CHECK(found.message == "\"NEMA 23 76mm 1.9Nm\" may be any of 2 motors");
  CHECK_THAT(found.help, Contains("\"nema23 76mm 2.8A\" (1.89 N*m") && Contains("5.4 mH") &&
                             Contains("\"nema23 76mm 1.9Nm 2.8A 3.6mH\" (1.89 N*m"));
  // A family in several pitches.
  const io::Named family = io::named("GT3", "profile", catalogue().belts);
  CHECK_FALSE(family.name);
  CHECK_THAT(family.help, Contains("\"GT 2 mm\" (pitch 2 mm)") && Contains("\"GT 5 mm\""));
}

TEST_CASE("nothing is found by spelling alone", "[io]") {
  // One letter from T5 and T10, and neither.
  const io::Named figure = io::named("T7", "profile", catalogue().belts);
  CHECK_FALSE(figure.name);
  CHECK_THAT(figure.message, Contains("unknown profile \"T7\""));
  // One digit from nema17, and another flange.
  const io::Named frame = io::named_motor("nema18 48mm 2A", catalogue());
  CHECK_FALSE(frame.name);
  // The nearest share something that was asked for.
  const io::Named slip = io::named_motor("nema17 48m 2A", catalogue());
  CHECK_FALSE(slip.name);
  CHECK_THAT(slip.help, Contains("did you mean \"nema17 48mm 2A\"? nearest: ") &&
                            Contains("pitchline-parts --kind motor lists them all"));
  CHECK_THAT(io::named_motor("kettle", catalogue()).help, !Contains("did you mean"));
}

TEST_CASE("a motor that lacks a figure says which, and how it can be used", "[io]") {
  const io::Named found = io::named_motor("NEMA17 48mm 0.55Nm 2.5A", catalogue());
  CHECK_FALSE(found.name);
  CHECK(found.message == "no source gives rotor_inertia of motor \"nema17 48mm 0.55Nm 2.5A\"");
  CHECK_THAT(found.help,
             Contains("motor = { like = \"nema17 48mm 0.55Nm 2.5A\", rotor_inertia = "));
  CHECK(io::named_motor_to_change("NEMA17 48mm 0.55Nm 2.5A", catalogue()).name ==
        "nema17 48mm 0.55Nm 2.5A");
}

TEST_CASE("a search takes words of the kind, of figures and of the source", "[io]") {
  const auto found = [](std::vector<std::string> words, const std::string& kind = {}) {
    return io::print_parts({.words = std::move(words), .kind = kind}, catalogue());
  };
  CHECK_THAT(found({"linear", "rail", "15mm"}), Contains("rail 15mm 14.7kN") && !Contains("20mm"));
  CHECK_THAT(found({"MGN12H"}), Contains("rail 12mm miniature long 3.72kN"));
  CHECK_THAT(found({"gt2", "20", "teeth"}), Contains("pulley not listed"));
  CHECK_THAT(found({"48V"}, "supplies"), Contains("supply 48V 350W"));
  CHECK_THAT(found({"zeppelin"}), Contains("nothing of the catalogue has all of \"zeppelin\""));
  CHECK_THROWS_AS(found({}, "zeppelin"), io::UnusableOptions);
  CHECK_THROWS_AS(io::parts_as_csv({.words = {"20mm"}}, catalogue()), io::UnusableOptions);
}

}  // namespace
}  // namespace pitchline

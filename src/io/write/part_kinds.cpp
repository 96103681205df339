#include "write/part_kinds.hpp"

#include "read/detail/catalogue_kinds.hpp"
#include "write/part_records.hpp"

namespace pitchline::io::detail {
namespace {

template <class Part>
void add_parts(const Shelf<Part>& shelf, std::vector<ListedPart>& all) {
  std::vector<Described> as = described(shelf);
  std::size_t i = 0;
  for (const auto& [name, part] : shelf)
    all.push_back({std::move(as[i++]), record_of_part(part), questions_of(part)});
}

template <class Part>
std::vector<ListedPart> all_parts(const Catalogue& catalogue) {
  std::vector<ListedPart> all;
  add_parts(catalogue.*CatalogueKind<Part>::shelf, all);
  if constexpr (std::is_same_v<Part, parts::StepperMotor>) add_parts(catalogue.motors_in_part, all);
  return all;
}

template <class Part>
std::vector<ListedPart> own_parts(const Catalogue& catalogue) {
  std::vector<ListedPart> own;
  const auto add = [&](const Shelf<Part>& shelf) {
    for (const std::string& name : shelf.own_names()) {
      const Part& part = shelf.at(name);
      own.push_back({{.name = name}, record_of_part(part), questions_of(part)});
    }
  };
  add(catalogue.*CatalogueKind<Part>::shelf);
  if constexpr (std::is_same_v<Part, parts::StepperMotor>) add(catalogue.motors_in_part);
  return own;
}

template <class Part>
std::size_t count_parts(const Catalogue& catalogue) {
  std::size_t count = (catalogue.*CatalogueKind<Part>::shelf).size();
  if constexpr (std::is_same_v<Part, parts::StepperMotor>) count += catalogue.motors_in_part.size();
  return count;
}

struct Heads {
  std::string_view also;
  std::string_view about;
  std::size_t name_width = 0;
  std::vector<Column> columns{};
};

template <class Part>
PartKind kind(Heads heads) {
  PartKind k{.word = CatalogueKind<Part>::word,
             .also = heads.also,
             .about = heads.about,
             .columns = {{.key = "name",
                          .head = std::string(CatalogueKind<Part>::word),
                          .width = heads.name_width,
                          .left = true}},
             .count = count_parts<Part>,
             .all = all_parts<Part>,
             .own = own_parts<Part>};
  for (Column& column : heads.columns) k.columns.push_back(std::move(column));
  return k;
}

Column figure(std::string key, std::string head, std::string unit, const Measure& one,
              std::size_t width = 9) {
  return {.key = std::move(key),
          .head = std::move(head),
          .unit = std::move(unit),
          .one = one,
          .width = width};
}
Column words(std::string key, std::string head, std::size_t width = 0) {
  return {.key = std::move(key), .head = std::move(head), .width = width, .left = true};
}
Column millimetre(std::string key, std::string head, std::size_t width = 9) {
  return figure(std::move(key), std::move(head), "mm", millimetres(1), width);
}
Column kilonewton(std::string key, std::string head) {
  return figure(std::move(key), std::move(head), "kN", newtons(1000), 9);
}
Column kilogram(std::string key, std::string head) {
  return figure(std::move(key), std::move(head), "kg", kilograms(1), 9);
}
Column newton_metre(std::string key, std::string head) {
  return figure(std::move(key), std::move(head), "N*m", newton_metres(1), 9);
}
Column kilogram_a_metre(std::string key, std::string head) {
  return figure(std::move(key), std::move(head), "kg/m", kilograms_per_metre(1), 9);
}

// What turns, pulls and is pushed.
void add_drives(std::vector<PartKind>& all) {
  all.push_back(kind<parts::StepperMotor>(
      {"stepper steppers motors hybrid",
       "stepper motors of frames 11 to 34",
       30,
       {newton_metre("holding_torque", "holding"), figure("current", "rated", "A", amperes(1), 7),
        figure("resistance", "R", "ohm", ohms(1), 8),
        figure("inductance", "L", "mH", millihenries(1), 8),
        figure("rotor_inertia", "rotor", "g*cm^2", gram_square_centimetres(1), 8),
        millimetre("length", "length", 8)}}));
  all.push_back(kind<parts::BeltProfile>(
      {"belts timing toothed profile profiles",
       "toothed-belt profiles",
       22,
       {millimetre("pitch", "pitch"), millimetre("thickness", "thick"),
        figure("mass_per_width", "mass", "kg/m^2", kilograms_per_metre(1) / metres(1)),
        figure("stiffness_per_width", "stiffness", "N/mm", newtons_per_millimetre(1), 10)}}));
  all.push_back(kind<parts::StockPulley>(
      {"pulleys timing toothed",
       "stock pulleys; GT of 2 and 3 mm are not listed by any source",
       24,
       {millimetre("outer_diameter", "outer", 8), millimetre("flange_diameter", "flange", 8),
        millimetre("pilot_bore", "pilot", 7), kilogram("mass", "mass"),
        words("usual_bores", "usual bores")}}));
  all.push_back(kind<parts::Screw>({"screws leadscrew lead ball trapezoidal acme",
                                    "screws of lifts: trapezoidal, Acme, square, ball",
                                    18,
                                    {words("thread", "thread", 13),
                                     millimetre("outer_diameter", "outer"),
                                     millimetre("minor_diameter", "core"),
                                     millimetre("lead", "lead"),
                                     {.key = "starts", .head = "starts", .width = 8}}}));
  all.push_back(
      kind<parts::Nut>({"nuts",
                        "nuts of ball and sliding screws",
                        27,
                        {kilonewton("dynamic_rating", "dynamic"),
                         kilonewton("static_rating", "static"), kilonewton("axial_load", "load"),
                         millimetre("axial_play", "play"), kilogram("mass", "mass")}}));
  all.push_back(kind<parts::ScrewSupport>(
      {"supports screw end ends",
       "supports for the fixed end of a screw",
       27,
       {kilonewton("dynamic_rating", "dynamic"), kilonewton("axial_load", "load"),
        figure("axial_stiffness", "stiffness", "N/um", newtons_per_millimetre(1000), 10)}}));
  all.push_back(kind<parts::Coupling>(
      {"couplings shaft jaw",
       "shaft couplings",
       35,
       {newton_metre("nominal_torque", "nominal"), newton_metre("highest_torque", "highest"),
        newton_metre("reversing_torque", "reverse"),
        figure("stiffness", "stiffness", "N*m/rad", newton_metres(1) / radian, 10)}}));
  all.push_back(kind<parts::Bearing>(
      {"bearings ball idler",
       "ball bearings for idlers and ends of screws",
       22,
       {millimetre("bore", "bore", 7), millimetre("outer_diameter", "outer", 8),
        millimetre("width", "width", 8), kilonewton("dynamic_rating", "dynamic"),
        kilonewton("static_rating", "static"), kilogram("mass", "mass")}}));
}

// What carries.
void add_guides(std::vector<PartKind>& all) {
  all.push_back(
      kind<parts::Rail>({"rails linear guide guides guideway profile block blocks",
                         "profile rails, with one block",
                         37,
                         {kilonewton("dynamic_rating", "dynamic"),
                          kilonewton("static_rating", "static"), kilogram("block_mass", "block"),
                          figure("rail_mass", "rail", "kg/m", kilograms_per_metre(1), 8),
                          figure("seal_drag", "drag", "N", newtons(1), 7)}}));
  all.push_back(kind<parts::Roller>(
      {"rollers wheel wheels track linear guide",
       "rollers, V wheels and roller carriages",
       31,
       {millimetre("diameter", "diameter"), kilonewton("dynamic_rating", "dynamic"),
        kilonewton("static_rating", "static"), kilonewton("radial_load", "radial"),
        kilogram("mass", "mass")}}));
  all.push_back(kind<parts::Bush>(
      {"bushes bushing bearing round shaft rod rods linear guide",
       "ball bushes on round shafts",
       38,
       {kilonewton("dynamic_rating", "dynamic"), kilonewton("static_rating", "static"),
        millimetre("height", "height"), kilogram("mass", "mass")}}));
  const Measure one = millimetres_to_the_fourth(1);
  all.push_back(kind<parts::Section>(
      {"sections extrusion extrusions profile beam tube aluminium steel",
       "sections of beams: T-slot profiles, steel tubes",
       24,
       {kilogram_a_metre("mass", "mass"), figure("strong_second_moment", "strong", "mm^4", one, 12),
        figure("weak_second_moment", "weak", "mm^4", one, 12),
        figure("torsion_constant", "torsion", "mm^4", one, 12)}}));
}

// What is wired.
void add_electrics(std::vector<PartKind>& all) {
  all.push_back(kind<parts::ListedDriver>(
      {"drivers stepper drive drives",
       "stepper drivers",
       35,
       {figure("highest_voltage", "up to", "V", volts(1), 8),
        figure("most_current", "up to", "A", amperes(1), 8), words("current_is", "  is", 7),
        figure("pulse_rate", "pulses", "kHz", pulses_per_second(1000))}}));
  all.push_back(kind<parts::ListedSupply>(
      {"supplies power psu",
       "supplies, by sheet or by class",
       24,
       {figure("voltage", "voltage", "V", volts(1)), figure("current", "current", "A", amperes(1)),
        figure("power", "power", "W", watts(1))}}));
  all.push_back(
      kind<parts::Carrier>({"carriers cable chain chains drag",
                            "cable carriers",
                            27,
                            {millimetre("inner_height", "high"), millimetre("inner_width", "wide"),
                             millimetre("bend_radius", "radius"), millimetre("loop_length", "loop"),
                             kilogram_a_metre("mass", "mass")}}));
  all.push_back(kind<parts::Tube>(
      {"tubes laser glass co",
       "glass tubes of laser cutters",
       24,
       {figure("rated_power", "rated", "W", watts(1)), figure("peak_power", "peak", "W", watts(1)),
        millimetre("length", "length"), millimetre("diameter", "diameter")}}));
}

}  // namespace

const std::vector<PartKind>& part_kinds() {
  static const std::vector<PartKind> kinds = [] {
    std::vector<PartKind> all;
    add_drives(all);
    add_guides(all);
    add_electrics(all);
    return all;
  }();
  return kinds;
}

}  // namespace pitchline::io::detail

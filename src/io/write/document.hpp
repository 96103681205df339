#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "pitchline/units/fraction.hpp"
#include "pitchline/units/measure.hpp"

// What a result says, once: as records with keys for programs, of which the tables for people show
// some fields. JSON and tables are both written of it.

namespace pitchline::io::detail {

class Value;
struct Field;

/// Fields in the order in which they are written.
class Record {
 public:
  Record();
  ~Record();
  Record(const Record&);
  Record(Record&&) noexcept;
  Record& operator=(const Record&);
  Record& operator=(Record&&) noexcept;

  /// The field of this key; it is added, without a value, where there is none.
  Value& operator[](std::string_view key);
  /// \throws std::out_of_range  there is no such field
  [[nodiscard]] const Value& at(std::string_view key) const;
  [[nodiscard]] const std::vector<Field>& fields() const { return fields_; }

 private:
  std::vector<Field> fields_;
};

/// One value of a record: nothing, a plain value, a quantity, a list or a record.
class Value {
 public:
  using List = std::vector<Value>;
  using Any = std::variant<std::monostate, bool, std::int64_t, double, Fraction, std::string,
                           Measure, List, Record>;

  Value() = default;
  // Implicit, because whatever a result holds is meant to pass as a value.
  Value(bool x) : any_(x) {}                           // NOLINT(google-explicit-constructor)
  Value(int x) : any_(std::int64_t{x}) {}              // NOLINT(google-explicit-constructor)
  Value(std::int64_t x) : any_(x) {}                   // NOLINT(google-explicit-constructor)
  Value(double x) : any_(x) {}                         // NOLINT(google-explicit-constructor)
  Value(Fraction x) : any_(x) {}                       // NOLINT(google-explicit-constructor)
  Value(std::string x) : any_(std::move(x)) {}         // NOLINT(google-explicit-constructor)
  Value(std::string_view x) : any_(std::string(x)) {}  // NOLINT(google-explicit-constructor)
  Value(const char* x) : any_(std::string(x)) {}       // NOLINT(google-explicit-constructor)
  Value(const Measure& x) : any_(x) {}                 // NOLINT(google-explicit-constructor)
  Value(List x) : any_(std::move(x)) {}                // NOLINT(google-explicit-constructor)
  Value(Record x) : any_(std::move(x)) {}              // NOLINT(google-explicit-constructor)
  Value(const std::vector<std::string>& texts)         // NOLINT(google-explicit-constructor)
      : any_(List(texts.begin(), texts.end())) {}
  template <Printable Q>
  Value(const Q& x) : any_(Measure(x)) {}  // NOLINT(google-explicit-constructor)
  template <class T>
  Value(const std::optional<T>& x) {  // NOLINT(google-explicit-constructor)
    if (x) *this = Value(*x);
  }

  [[nodiscard]] const Any& any() const { return any_; }
  /// Adds to a list, which begins with the first.
  ///
  /// \throws std::bad_variant_access  it holds something else
  void push_back(Value value);

 private:
  Any any_{};
};

struct Field {
  std::string key{};
  Value value{};
};

/// A quantity as a record of its own, to which more is added.
Record measured(const Measure& measure);

/// The records that `record_of` makes of a list.
template <class T, class RecordOf>
Value::List list_of(const std::vector<T>& list, const RecordOf& record_of) {
  Value::List records;
  records.reserve(list.size());
  for (const T& each : list) records.emplace_back(record_of(each));
  return records;
}

/// A document as one JSON object, indented by two blanks: quantities in their coherent unit with
/// all digits, a fraction as text, null where there is nothing, or no number.
std::string as_json(const Record& document);

/// How a column shows its field.
enum class Shown { figure, margin };

/// A column of a table for people.
struct Column {
  std::string key{};   ///< of the field that is shown
  std::string head{};  ///< first line of the head
  std::string unit{};  ///< second line of the head, the unit or a word more
  /// One of that unit; with none, each quantity is shown with its own.
  std::optional<Measure> one{};
  std::size_t width = 0;
  bool left = false;  ///< words stand to the left
  Shown shown = Shown::figure;
};

/// The first rows of a list of records as lines, with one line of head, or two where a column has a
/// unit. Four significant digits; "-" where there is nothing. No blanks at the end of a line.
///
/// \throws std::out_of_range  a record has no field of a column, or one that is no figure and no
/// text,
///                            or a quantity of another kind than its unit
std::string print_table(const std::vector<Column>& columns, const Value::List& records,
                        std::size_t rows);

/// A margin in three digits: "-" where nothing is asked or known, "<0.001", ">100".
std::string margin_in_words(double margin);

}  // namespace pitchline::io::detail

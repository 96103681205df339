#include "detail/listed_record.hpp"

namespace pitchline::io::detail {

void add_notes(Record& record, const std::string& source, const parts::Notes& notes) {
  record["source"] = source;
  record["mark"] = value_of(notes.mark);
  record["doubt"] = value_of(notes.doubt);
  record["price"] = notes.price ? Value(notes.price->amount.value()) : Value{};
  record["currency"] = notes.price ? Value(notes.price->currency) : Value{};
}

}  // namespace pitchline::io::detail

#include "cli/read/packed_rules.h"

#include <array>
#include <charconv>
#include <stdexcept>

namespace tierce {
namespace {

// One list of the fields of each struct, for writing and for reading: the compiler refuses a list that misses one.

template <class Io>
void fields(Io& io, At& of) {
  auto& [line, column] = of;
  io(line, column);
}
template <class Io>
void fields(Io& io, Date& of) {
  auto& [year, month, day] = of;
  io(year, month, day);
}
template <class Io>
void fields(Io& io, DayOfYear& of) {
  auto& [month, day] = of;
  io(month, day);
}
template <class Io>
void fields(Io& io, InForce& of) {
  auto& [from, until] = of;
  io(from, until);
}
template <class Io>
void fields(Io& io, Citation& of) {
  auto& [where, text_of, known, note] = of;
  io(where, text_of, known, note);
}
template <class Io>
void fields(Io& io, Condition& of) {
  auto& [fact, words, op, limit, open_at_limit] = of;
  io(fact, words, op, limit, open_at_limit);
}
template <class Io>
void fields(Io& io, Rule& of) {
  auto& [at, set, id, about, judges, quantity, op, limit, unit, effect, statement, strength_at_c, spirit, open_at_limit,
         open_to, open_point, year_ends, when, unless, family, gives_way_to, boundary, in_force, source] = of;
  io(at, set, id, about, judges, quantity, op, limit, unit, effect, statement, strength_at_c, spirit, open_at_limit,
     open_to, open_point, year_ends, when, unless, family, gives_way_to, boundary, in_force, source);
}
template <class Io>
void fields(Io& io, TaxClass& of) {
  auto& [at, set, id, name, credit, above_pct, takes_in_lower, up_to_pct, rate, currency, unit_l, rounded_to_l,
         strength_at_c, when, unit, volume_l, in_force, boundary, source] = of;
  io(at, set, id, name, credit, above_pct, takes_in_lower, up_to_pct, rate, currency, unit_l, rounded_to_l,
     strength_at_c, when, unit, volume_l, in_force, boundary, source);
}
template <class Io>
void fields(Io& io, RuleSet& of) {
  auto& [name, title, noted, added] = of;
  io(name, title, noted, added);
}
template <class Io>
void fields(Io& io, RuleBook& of) {
  auto& [sets, rules, classes] = of;
  io(sets, rules, classes);
}

constexpr char kEnd = ';';  // of a number; a text stands behind its length

class Packer {
 public:
  template <class... Parts>
  void operator()(Parts&... parts) {
    (put(parts), ...);
  }
  std::string text;

 private:
  template <class Number>
  void number(Number value) {
    std::array<char, 64> digits{};
    text.append(digits.data(), std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr);
    text += kEnd;
  }
  void put(std::string& part) {
    number(part.size());
    text += part;
  }
  template <class T>
  void put(std::vector<T>& parts) {
    number(parts.size());
    for (T& part : parts) put(part);
  }
  template <class T>
  void put(std::optional<T>& part) {
    number(part ? 1 : 0);
    if (part) put(*part);
  }
  template <class T>
  void put(T& part) {
    if constexpr (std::is_enum_v<T> || std::is_same_v<T, bool>) number(static_cast<int>(part));
    else if constexpr (std::is_arithmetic_v<T>) number(part);
    else fields(*this, part);
  }
};

class Unpacker {
 public:
  explicit Unpacker(std::string_view text) : rest_(text) {}
  template <class... Parts>
  void operator()(Parts&... parts) {
    (take(parts), ...);
  }
  bool at_end() const { return rest_.empty(); }

 private:
  template <class Number>
  Number number() {
    Number value{};
    const auto [end, wrong] = std::from_chars(rest_.data(), rest_.data() + rest_.size(), value);
    const auto length = static_cast<std::size_t>(end - rest_.data());
    if (wrong != std::errc() || length >= rest_.size() || rest_[length] != kEnd)
      throw std::logic_error("the packed rules are no packed rules");
    rest_.remove_prefix(length + 1);
    return value;
  }
  void take(std::string& part) {
    const auto length = number<std::size_t>();
    part = rest_.substr(0, length);
    rest_.remove_prefix(std::min(length, rest_.size()));
  }
  template <class T>
  void take(std::vector<T>& parts) {
    parts.resize(number<std::size_t>());
    for (T& part : parts) take(part);
  }
  template <class T>
  void take(std::optional<T>& part) {
    if (number<int>() == 1) take(part.emplace());
  }
  template <class T>
  void take(T& part) {
    if constexpr (std::is_enum_v<T> || std::is_same_v<T, bool>) part = static_cast<T>(number<int>());
    else if constexpr (std::is_arithmetic_v<T>) part = number<T>();
    else fields(*this, part);
  }
  std::string_view rest_;
};

}  // namespace

std::string packed(const RuleBook& book) {
  RuleBook copy = book;  // one list of fields serves both ways
  Packer pack;
  pack(copy);
  return std::move(pack.text);
}

RuleBook unpacked(std::string_view text) {
  RuleBook book;
  Unpacker unpack(text);
  unpack(book);
  if (!unpack.at_end()) throw std::logic_error("the packed rules go on behind their end");
  return book;
}

}  // namespace tierce

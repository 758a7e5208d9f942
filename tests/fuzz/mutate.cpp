// Changes to a scenario that keep most of it a scenario: bytes alone would seldom get past the YAML. Half of all
// changes are made to whole lines, words and numbers; the other half are libFuzzer's own.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <cstring>
#include <random>
#include <string>
#include <vector>

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace {

/// A piece of text: where it begins, and its length.
struct Piece {
  std::size_t at = 0, length = 0;
};

class Changes {
 public:
  Changes(std::string text, unsigned seed) : text_(std::move(text)), random_(seed) {}

  std::string made() {
    for (std::size_t times = 1 + any(3); times > 0 && !text_.empty(); --times) one();
    return text_;
  }

 private:
  std::size_t any(std::size_t below) { return random_() % std::max<std::size_t>(1, below); }

  void one() {
    switch (any(7)) {
      case 0: return swap(lines());
      case 1: return repeat(lines());
      case 2: return drop(lines());
      case 3: return swap(words());
      case 4: return repeat(words());
      case 5: return drop(words());
      default: return change_number();
    }
  }

  std::vector<Piece> lines() const {
    std::vector<Piece> pieces;
    for (std::size_t at = 0; at < text_.size();) {
      const std::size_t end = std::min(text_.find('\n', at), text_.size() - 1) + 1;
      pieces.push_back({at, end - at});
      at = end;
    }
    return pieces;
  }

  /// Runs of characters that are all in `set`, or all not.
  std::vector<Piece> runs(const char* set, bool in) const {
    std::vector<Piece> pieces;
    for (std::size_t i = 0; i < text_.size(); ++i) {
      if ((std::strchr(set, text_[i]) != nullptr && text_[i] != '\0') != in) continue;
      if (pieces.empty() || pieces.back().at + pieces.back().length != i) pieces.push_back({i, 0});
      ++pieces.back().length;
    }
    return pieces;
  }
  std::vector<Piece> words() const { return runs(" ,:\n{}[]", false); }

  void swap(const std::vector<Piece>& pieces) {
    if (pieces.size() < 2) return;
    Piece a = pieces[any(pieces.size())], b = pieces[any(pieces.size())];
    if (a.at == b.at) return;
    if (a.at > b.at) std::swap(a, b);
    const std::string first = text_.substr(a.at, a.length), second = text_.substr(b.at, b.length);
    if (any(2) == 0) text_.replace(b.at, b.length, first);  // the same twice
    else text_.replace(b.at, b.length, first).replace(a.at, a.length, second);
  }

  void repeat(const std::vector<Piece>& pieces) {
    if (pieces.empty()) return;
    const Piece piece = pieces[any(pieces.size())];
    text_.insert(piece.at, text_.substr(piece.at, piece.length));
  }

  void drop(const std::vector<Piece>& pieces) {
    if (pieces.empty()) return;
    const Piece piece = pieces[any(pieces.size())];
    text_.erase(piece.at, piece.length);
  }

  void change_number() {
    static const char* const kNumbers[] = {"0",    "1",  "-1",  "2",      "12",         "28",         "31",
                                           "60",   "99", "100", "0.001",  "0.5",        "1000000000", "999999999.9",
                                           "9999", "24", "366", "1e3",    "0000000001", "2147483648", "20000",
                                           "1.0",  "18", "400", "0.0001", "1970",       "2100",       "96"};
    const std::vector<Piece> pieces = runs("0123456789.", true);
    if (pieces.empty()) return;
    const Piece piece = pieces[any(pieces.size())];
    text_.replace(piece.at, piece.length, kNumbers[any(std::size(kNumbers))]);
  }

  std::string text_;
  std::minstd_rand random_;
};

}  // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  if (seed % 2 == 0 || size == 0) return LLVMFuzzerMutate(data, size, most);
  const std::string made = Changes(std::string(data, data + size), seed).made();
  const std::size_t length = std::min(made.size(), most);
  std::memcpy(data, made.data(), length);
  return length;
}

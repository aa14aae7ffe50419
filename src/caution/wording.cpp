#include <algorithm>
#include <array>

#include "stumpwise/base/text.h"
#include "stumpwise/caution/caution.h"

namespace stumpwise::caution {

namespace {

/// A word, a number, or a mark that ends a sentence, with its place in the text.
struct Token {
  std::string text;
  std::size_t begin = 0, end = 0;
  bool stop = false;
};

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || static_cast<unsigned char>(c) >= 0x80;
}

/// Folded words and numbers ("100", "0.5"), "%" and ":" as tokens of their own; no-break blanks, hyphens and
/// underlines part words, so that "look-alikes" and "look alikes" read the same.
std::vector<Token> tokens_of(const std::string& text) {
  std::vector<Token> tokens;
  for (std::size_t i = 0; i < text.size();) {
    const char c = text[i];
    const bool no_break = text.compare(i, 2, "\xC2\xA0") == 0 || text.compare(i, 3, "\xE2\x80\xAF") == 0;
    if (no_break) {
      i += c == '\xC2' ? 2 : 3;
    } else if (is_letter(c)) {
      std::size_t end = i;
      while (end < text.size() && is_letter(text[end]) && text.compare(end, 2, "\xC2\xA0") != 0) ++end;
      tokens.push_back({text.substr(i, end - i), i, end, false});
      i = end;
    } else if (is_digit(c)) {
      std::size_t end = i;
      while (end < text.size() && (is_digit(text[end]) || ((text[end] == '.' || text[end] == ',') &&
                                                           end + 1 < text.size() && is_digit(text[end + 1]))))
        ++end;
      tokens.push_back({text.substr(i, end - i), i, end, false});
      i = end;
    } else {
      if (c == '%' || c == ':' || c == '=') tokens.push_back({std::string(1, c), i, i + 1, false});
      const bool ends = (c == '.' || c == '!' || c == '?' || c == ';') &&
                        (i + 1 == text.size() || text[i + 1] == ' ' || text[i + 1] == '\n');
      if (ends || c == '\n' || c == '<' || c == '>' || c == '{' || c == '}')
        tokens.push_back({"", i, i + 1, true});
      ++i;
    }
  }
  return tokens;
}

bool any_of_words(const std::string& word, std::initializer_list<const char*> words) {
  return std::any_of(words.begin(), words.end(), [&](const char* other) { return word == other; });
}

bool is_hundred(const std::string& number) {
  if (number.compare(0, 3, "100") != 0) return false;
  return number.size() == 3 ||
         ((number[3] == '.' || number[3] == ',') && number.find_first_not_of('0', 4) == std::string::npos);
}

class Scan {
 public:
  explicit Scan(std::string_view text)
      : original_(text), folded_(base::lower(text)), tokens_(tokens_of(folded_)) {}

  std::vector<std::string> forbidden() {
    for (std::size_t i = 0; i < tokens_.size(); ++i) {
      find_promise(i);
      find_hundred(i);
      find_food_probability(i);
    }
    return std::move(hits_);
  }

  std::vector<std::string> illness() {
    for (std::size_t i = 0; i < tokens_.size(); ++i) {
      if (any_of_words(at(i), {"mild", "mildly", "unlikely", "harmless"})) hit(i, i);
      if (run(i, {"wait", "and", "see"})) hit(i, i + 2);
      if (run(i, {"probably", "fine"})) hit(i, i + 1);
      if (run(i, {"no", "need", "to"})) hit(i, i + 2);
    }
    return std::move(hits_);
  }

 private:
  const std::string& at(std::size_t i) const {
    static const std::string kNone;
    return i < tokens_.size() ? tokens_[i].text : kNone;
  }
  bool run(std::size_t i, std::initializer_list<const char*> words) const {
    for (const char* word : words)
      if (at(i++) != word) return false;
    return true;
  }
  void hit(std::size_t first, std::size_t last) {
    constexpr std::size_t kAround = 25;
    std::size_t begin = tokens_[first].begin, end = tokens_[std::min(last, tokens_.size() - 1)].end;
    begin = begin > kAround ? begin - kAround : 0;
    end = std::min(end + kAround, original_.size());
    hits_.push_back(base::printable(original_.substr(begin, end - begin)));
  }

  /// Rule 1, the words.
  void find_promise(std::size_t i) {
    if (at(i) == "safe" && !(i > 0 && any_of_words(at(i - 1), {"not", "never"}))) hit(i, i);
    if (run(i, {"safely", "eaten"}) || run(i, {"eaten", "safely"}) || run(i, {"eat", "safely"}))
      hit(i, i + 1);
    if (at(i) == "edible" && any_of_words(at(i + 1), {":", "="}) && any_of_words(at(i + 2), {"yes", "true"}))
      hit(i, i + 2);
    if (run(i, {"confirmed", "edible"})) hit(i, i + 1);
    if (any_of_words(at(i), {"foolproof", "idiotproof"}) || run(i, {"fool", "proof"})) hit(i, i);
    if (at(i) == "no" && (any_of_words(at(i + 1), {"lookalike", "lookalikes"}))) hit(i, i + 1);
    if (run(i, {"no", "look"}) && any_of_words(at(i + 2), {"alike", "alikes"})) hit(i, i + 2);
    if (run(i, {"no", "doubles"}) && !any_of_words(at(i + 2), {"in", "of"})) hit(i, i + 1);
    if (run(i, {"no", "dangerous", "doubles"}) && !any_of_words(at(i + 3), {"in", "of"})) hit(i, i + 2);
  }

  bool percent(std::size_t i) const {
    return any_of_words(at(i), {"%", "percent"}) || run(i, {"per", "cent"});
  }

  /// Rule 1, the figure. Lengths of style sheets and pictures are let through.
  void find_hundred(std::size_t i) {
    if (at(i).empty() || !is_hundred(at(i)) || !percent(i + 1)) return;
    const bool length = i >= 2 && any_of_words(at(i - 1), {":", "="}) &&
                        any_of_words(at(i - 2), {"width", "height", "size", "basis", "top", "left", "right",
                                                 "bottom", "radius", "inset"});
    if (!length) hit(i, i + 1);
  }

  bool probability(std::size_t i) const {
    if (any_of_words(at(i), {"probability", "probabilities", "chance", "likelihood", "odds", "confidence"}))
      return true;
    return !at(i).empty() && is_digit(at(i)[0]) && percent(i + 1);
  }

  /// Rule 2.
  void find_food_probability(std::size_t i) {
    constexpr std::size_t kWords = 5;
    if (!any_of_words(at(i), {"edible", "edibility", "eatable", "eat", "eaten", "eating"})) return;
    for (std::size_t k = i + 1; k < tokens_.size() && k <= i + kWords && !tokens_[k].stop; ++k)
      if (probability(k)) return hit(i, k);
    for (std::size_t k = i; k-- > 0 && i - k <= kWords + 1 && !tokens_[k].stop;)
      if (probability(k)) return hit(k, i);
  }

  std::string_view original_;
  std::string folded_;
  std::vector<Token> tokens_;
  std::vector<std::string> hits_;
};

}  // namespace

std::vector<std::string> forbidden_wording(std::string_view text) {
  return Scan(text).forbidden();
}
std::vector<std::string> forbidden_illness_wording(std::string_view text) {
  return Scan(text).illness();
}

}  // namespace stumpwise::caution

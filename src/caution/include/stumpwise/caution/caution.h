#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stumpwise::caution {

struct Caution {
  std::string id;
  std::string text;
};

/// Where something is shown: each place has cautions that must stand there (the wording is checked by a
/// test).
enum class Place {
  about,
  outlook,
  prospect,
  plan,
  turnback,
  species,
  candidates,
  harvest,
  kitchen,
  access,
  share,
  map,
  records,
  ill,
  learn
};

/// Cautions that must stand at a place, most important first.
std::vector<Caution> cautions_for(Place place);
/// Every text there is.
const std::vector<Caution>& all();
const Caution& by_id(std::string_view id);

/// A result that cannot be made without the cautions of its place.
template <class T>
class Cautioned {
 public:
  Cautioned(T value, Place place) : value_(std::move(value)), cautions_(cautions_for(place)) {}
  const T& value() const { return value_; }
  const std::vector<Caution>& cautions() const { return cautions_; }
  void add(const Caution& caution);

 private:
  T value_;
  std::vector<Caution> cautions_;
};
template <class T>
void Cautioned<T>::add(const Caution& caution) {
  for (const Caution& there : cautions_)
    if (there.id == caution.id) return;
  cautions_.push_back(caution);
}

/// Wording that may never be printed (the-job.md I, rules 1 and 2): each hit with the words around it. Empty
/// = clean. What is looked for, case folded, between word boundaries:
///   1. "safe" (so also "safe to eat"), "eaten safely", "safely eaten", "edible: yes", "confirmed edible",
///   "100 %", "100%",
///      "100 percent", "foolproof", "no look-alikes" in any spelling, "no doubles" where nothing limits it to
///      this book.
///   2. a probability (a number with %, "percent", or the words probability, chance, likelihood, odds,
///   confidence) within
///      five words of a food word (edible, edibility, eatable, eat, eaten, eating) in the same sentence.
/// What is let through, and nothing else:
///   - other words that hold one of these: "unsafe", "safety", "safeguard", "1100 %";
///   - "safe" directly after "not" or "never", for that is a warning;
///   - a length of a style sheet or a picture: "width: 100%", width="100%".
std::vector<std::string> forbidden_wording(std::string_view text);

/// Wording that may never stand near an illness (the-job.md B14): "mild", "mildly", "unlikely", "wait and
/// see", "harmless", "probably fine", "no need to". Empty = clean.
std::vector<std::string> forbidden_illness_wording(std::string_view text);

}  // namespace stumpwise::caution

#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace stumpwise::caution {

struct Caution { std::string id; std::string text; };

/// Where something is shown: each place has cautions that must stand there (the wording is checked by a test).
enum class Place { about, outlook, prospect, plan, turnback, species, candidates, harvest, kitchen, access, share, map, records, ill, learn };

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

/// Wording that may never be printed (the-job.md I): each hit with the words around it. Empty = clean.
std::vector<std::string> forbidden_wording(std::string_view text);

}  // namespace stumpwise::caution

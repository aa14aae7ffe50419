#pragma once
#include <string>

#include "stumpwise/base/files.h"
#include "stumpwise/key/identify.h"

namespace stumpwise::key::testing_book {

/// The profiles of the project.
inline const species::Library& library() {
  static const species::Library it =
      base::value_or_throw(species::Library::read(STUMPWISE_SOURCE_DIR), "profiles");
  return it;
}
inline const species::Profile& at(const std::string& id) {
  const species::Profile* profile = library().find(id);
  if (!profile) throw std::runtime_error("no profile " + id);
  return *profile;
}
inline const Key& the_key() {
  static const Key key(library());
  return key;
}
inline std::vector<Observation> readings(std::initializer_list<const char*> texts) {
  std::vector<Observation> list;
  for (const char* text : texts) list.push_back(parse_observation(library(), text));
  return list;
}

}  // namespace stumpwise::key::testing_book

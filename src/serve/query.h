#pragma once
#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"

namespace stumpwise::serve {

/// The words behind the ? of an address. Each reader throws Error(bad_usage) naming the word, its value and
/// what is allowed.
class Query {
 public:
  using Words = std::multimap<std::string, std::string>;
  explicit Query(Words words) : words_(std::move(words)) {}

  /// Words that no one asks for are a mistake of the caller, not noise.
  void allow_only(const std::set<std::string>& names) const;
  std::string text(const std::string& name) const;
  std::string need_text(const std::string& name) const;
  /// Every value; each may itself be a list with commas.
  std::vector<std::string> list(const std::string& name) const;
  std::optional<int> integer(const std::string& name) const;
  std::optional<Date> date(const std::string& name) const;
  /// Both or neither of `lat` and `lon`.
  std::optional<LatLon> place() const;

 private:
  std::optional<std::string> one(const std::string& name) const;
  std::optional<double> number(const std::string& name) const;

  Words words_;
};

}  // namespace stumpwise::serve

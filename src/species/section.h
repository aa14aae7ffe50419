#pragma once
#include <toml++/toml.h>

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"
#include "stumpwise/species/profile.h"

namespace stumpwise::species {

/// One table of a TOML file, read strictly: every value is asked for by key, with its kind and limits; what
/// nobody asked for is an unknown key. Faults are collected with file, line and field, and reading goes on,
/// so that all are seen at once.
class Section {
 public:
  Section(const toml::table& table, std::string file, std::string path, std::vector<Issue>& issues);

  bool has(const std::string& key) const { return table_->contains(key); }
  /// The node of a key, which then counts as known; nullptr where it is missing.
  const toml::node* take(const std::string& key);

  std::string text(const std::string& key);  ///< required and not empty
  std::string text_or(const std::string& key, const std::string& otherwise);
  std::optional<double> number(const std::string& key, double least, double most, bool required);
  double number_or(const std::string& key, double least, double most, double otherwise);
  std::optional<int> integer(const std::string& key, int least, int most, bool required);
  bool flag(const std::string& key);  ///< false where missing
  /// A list of texts, or a single text as a list of one. Doubles are faults.
  std::vector<std::string> texts(const std::string& key, bool required);
  /// Two numbers: [mean, spread], [first, last].
  std::optional<std::pair<double, double>> two(const std::string& key, double least, double most,
                                               bool required);
  /// min, usual = [a, b], max, unit: required, rising, and inside `limits` (same unit) where given.
  std::optional<NumericRange> range(const NumericRange* limits);
  std::map<std::string, std::string> text_map(const std::string& key);
  /// The table under a key (a fault where it is something else); nothing where it is missing.
  std::optional<Section> child(const std::string& key, bool required);
  /// The tables of [[key]].
  std::vector<Section> children(const std::string& key);
  std::vector<std::string> keys() const;

  int line() const;
  int line(const std::string& key) const;
  const std::string& file() const { return file_; }
  const std::string& path() const { return path_; }
  std::string field(const std::string& key) const { return path_.empty() ? key : path_ + "." + key; }
  const toml::table& table() const { return *table_; }
  std::vector<Issue>& issues() const { return *issues_; }

  void fault(const std::string& key, const std::string& text) const;
  /// Every key that was not asked for is a fault, with the nearest known one named.
  void finish() const;

 private:
  const toml::table* table_;
  std::string file_, path_;
  std::vector<Issue>* issues_;
  std::set<std::string> known_;
};

/// A number as a person writes it: 0.5, 12, not 12.000000.
std::string plain_number(double value);

}  // namespace stumpwise::species

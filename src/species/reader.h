#pragma once
#include <filesystem>

#include "section.h"
#include "stumpwise/species/library.h"

namespace stumpwise::species {

/// Fills a Library from a folder. The tables come first, for the profiles are read against them.
class LibraryReader {
 public:
  explicit LibraryReader(std::filesystem::path folder) : folder_(std::move(folder)) {}
  Parsed<Library> read();

 private:
  // read_tables.cpp
  void read_sources(Section& top);
  void read_characters(Section& top);
  void read_needs(Section& row, Character& character);
  void read_syndromes(Section& top);
  void read_regions(Section& top);
  void read_guilds(Section& top);
  /// Values of `section` over those that are there; with `complete` every one is required (a guild).
  void read_triggers(Section& section, Triggers& triggers, bool complete);
  void read_climate(Section& section, Triggers& triggers, bool complete);
  void read_season(Section& section, Triggers& triggers);
  // read_profile.cpp
  void read_profile(Section& top);
  void read_plain_fields(Section& top, Profile& profile);
  void read_months(Section& top, Profile& profile);
  void read_names(Section& top, Profile& profile);
  void read_hosts(Section& top, Profile& profile);
  void read_characters_of(Section& top, Profile& profile);
  void read_character(Section& section, const std::string& key, const std::string& id, Profile& profile);
  void read_character_table(Section section, const Character& row, CharacterValue& value, Profile& profile);
  void read_pairs(Section& top, Profile& profile);
  void read_danger(Section& top, Profile& profile);
  std::vector<Rule> read_rules(Section& top, const std::string& key, Profile& profile);
  void read_profile_triggers(Section& top, Profile& profile);
  void read_ground(Section& top, Profile& profile);
  // read_take.cpp
  void read_take(Section& top, Profile& profile);
  // read_readings.cpp
  void read_readings(Section& top);
  void read_danger_readings(Section& top);

  /// The source of a value: the section's own `source`, else `otherwise`; it must stand in sources.toml.
  std::string source_of(Section& section, const std::string& otherwise);
  void check_source(const Section& section, const std::string& key, const std::string& source);
  void check_sources(const Section& section, const std::map<std::string, std::string>& sources);
  void check_states(const Section& section, const std::string& key, const Character& row,
                    const std::vector<std::string>& states);
  /// Parses one file (a missing one or a syntax error is a fault) and gives it to `use`.
  template <class Use>
  void with_file(const std::filesystem::path& path, Use use);

  std::filesystem::path folder_;
  std::string hashed_;
  std::string default_source_ = "memory";
  Parsed<Library> result_;
};

}  // namespace stumpwise::species

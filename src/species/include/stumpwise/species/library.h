#pragma once
#include <filesystem>
#include <string>
#include <unordered_map>
#include <vector>

#include "stumpwise/species/profile.h"

namespace stumpwise::species {

struct Region {
  std::string code, name;
  bool dangers_covered = false;
  std::string note;
};

/// How a name was understood: said to the user whenever it was not the accepted name itself.
struct Resolution {
  std::string id;  ///< empty: not known
  std::string asked;
  std::string matched;  ///< the name in the book that fitted
  std::string
      said;  ///< "Polyporus squamosus is now Cerioporus squamosus"; empty for an exact accepted name or id
  std::vector<std::string> near;  ///< where it is not known, or two fit
};

/// Every profile, the vocabulary, syndromes, guilds, regions and sources of one data folder.
class Library {
 public:
  /// Reads `folder`/profiles. Every fault of every file is listed with file, line and field.
  static Parsed<Library> read(const std::filesystem::path& folder);
  const std::vector<Profile>& profiles() const { return profiles_; }
  const Profile* find(const std::string& id) const;
  /// Any name: id, accepted, synonym, vernacular, "Genus epithet" misspelt by a letter or two (case and
  /// accents folded).
  Resolution resolve(const std::string& name) const;
  /// As resolve, but throws Error(not_found) with the nearest names; `said` collects what was done.
  const Profile& require(const std::string& name, std::vector<std::string>* said = nullptr) const;
  const std::vector<Character>& characters() const { return characters_; }
  const Character* character(const std::string& id) const;
  const std::vector<Syndrome>& syndromes() const { return syndromes_; }
  const std::vector<Region>& regions() const { return regions_; }
  /// Region codes of "EU+NA-E"; throws Error(bad_value) naming the codes that are known.
  std::vector<std::string> parse_regions(const std::string& text) const;
  const std::map<std::string, std::string>& sources() const { return sources_; }
  /// How far the source was checked: excerpt, abstract, named or none; "" for a key that is not known.
  std::string how_checked(const std::string& source) const;
  const std::vector<Guild>& guilds() const { return guilds_; }
  /// Every independent reading of a pair of a gathered taxon with its double.
  const std::vector<PairReading>& readings() const { return readings_; }
  const std::vector<DangerReading>& danger_readings() const { return danger_readings_; }
  const Syndrome* syndrome(const std::string& id) const;
  /// Hash of everything read: derived files depend on it.
  const std::string& version() const { return version_; }

 private:
  friend class LibraryReader;
  std::vector<Profile> profiles_;
  std::vector<Character> characters_;
  std::vector<Syndrome> syndromes_;
  std::vector<Region> regions_;
  std::vector<Guild> guilds_;
  std::vector<PairReading> readings_;
  std::vector<DangerReading> danger_readings_;
  std::unordered_map<std::string, std::size_t> profile_index_, character_index_;  ///< id to place
  std::map<std::string, std::string> sources_;
  std::map<std::string, std::string> checks_;  ///< source to how far it was checked
  std::string version_;
};

/// Faults that need all files together: symmetry of pairs, dangling ids, must-sees (G7), pairs against G2 to
/// G4, closure of each edible over the dangers of its regions. Faults must be mended; warnings are places
/// where the gate stays shut.
std::vector<Issue> check_library(const Library& library);

/// Which characters could tell `name` from `danger`: those that may count for the gate (G3) and for which
/// some reading inside the name's own states lies wholly outside the danger's (numbers: the middle of the
/// name's usual range outside the danger's min..max). Perishable absences (G4) and characters that the danger
/// does not record are left out.
std::vector<std::string> separating_characters(const Library& library, const Profile& name,
                                               const Profile& danger);

/// How many values rest on what. Cited: a key of sources.toml that names a publication, however far it was
/// checked.
struct SourceCounts {
  int values = 0, cited = 0, memory = 0, assumption = 0, common_practice = 0, disputed = 0;
};
SourceCounts source_counts(const Profile& profile);

/// How complete the profiles of one group are.
struct GroupCompleteness {
  Group group = Group::edible;
  int profiles = 0;
  double mean_characters = 0;
  int least_characters = 0;
  std::string least_id;  ///< the first profile that states the fewest
  SourceCounts sources;
  int open_pairs = 0, blocked_pairs = 0;  ///< rows of these profiles; pending ones count as blocked
};

/// How far the values that decide about dangers were checked. Checked: the passage, an abstract or a page
/// that quotes it was read (`checked` of sources.toml is excerpt or abstract).
struct DangerSources {
  int separating = 0, separating_checked = 0;  ///< values of dangers that an open pair with them names
  int onsets = 0, onsets_checked = 0;          ///< ranges of the syndromes table
};

/// A covered region and the dangers that keep a name shut there (G1, G2, G8): blocked pairs, and dangers that
/// no characters of two evidence groups tell from it.
struct ShutRegion {
  std::string region;
  std::vector<std::string> shut_by;
};

/// What is gathered but rises above candidate in no region where it grows. A region that is not covered is
/// shut for every name (G1) and is not listed.
struct ShutName {
  std::string id, name;
  bool without_must_see = false;  ///< G7: shut everywhere
  std::vector<ShutRegion> regions;
};

struct Provenance : SourceCounts {
  int profiles = 0;
  int pairs = 0, blocked_pairs = 0, pending_pairs = 0;  ///< each pair of two profiles counted once
  std::vector<GroupCompleteness> groups;                ///< edible, conditional, harmless, dangerous
  DangerSources dangers;
  std::vector<ShutName> never_above_candidate;
};
Provenance provenance(const Library& library);

}  // namespace stumpwise::species

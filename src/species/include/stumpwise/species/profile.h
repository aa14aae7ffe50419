#pragma once
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/base/issues.h"

namespace stumpwise::species {

/// A value of a profile with where it comes from: a key of profiles/sources.toml, or "memory".
template <class T>
struct Sourced {
  T value{};
  std::string source = "memory";
  bool disputed = false;
};

enum class Group { edible, conditional, harmless, dangerous };  ///< tables E1, E2, E3, E4
std::string group_name(Group group);

struct NumericRange {
  double min = 0, usual_min = 0, usual_max = 0, max = 0;
  std::string unit;
};

/// What a profile says of one character: the states it may show, or a range.
struct CharacterValue {
  std::vector<std::string> states;
  std::optional<NumericRange> range;
  std::string source = "memory";
  bool disputed = false;
  std::string note;
};

/// A row of the character vocabulary (profiles/characters.toml).
struct Character {
  std::string id;  ///< "C01"
  std::string name;
  std::string evidence_group;       ///< HY SP ST FL OD SU HB CO CH SZ
  std::vector<std::string> states;  ///< empty for numeric ones
  std::optional<NumericRange> limits;
  double misread = 0.1;                   ///< starting misread rate
  double misread_dug = 0;                 ///< C23 when dug, where it differs (0 = same)
  double minutes = 1;                     ///< what it takes to observe
  std::string how;                        ///< G H B P R M
  std::string action;                     ///< how it is made, in words
  std::string needs;                      ///< it applies only where this character ...
  std::vector<std::string> needs_states;  ///< ... has one of these states
  std::string note;
  std::string part_of;  ///< "C32" for "C32.length": a reading of its own, but one character of section D
  std::vector<std::string>
      perishable;  ///< states that are absences which weather or age can make: never contradict (G4)
  std::vector<std::string> timed;  ///< absences that count only as a timed test of a fresh body (G4)
};

/// A pair of this taxon with another: which characters tell them apart.
struct Pair {
  std::string with;                     ///< id
  std::vector<std::string> characters;  ///< ids, each in an evidence group
  bool blocked = false;                 ///< stays shut
  bool pending = false;                 ///< the other has no profile yet: counts as blocked
  std::string why;
  std::string source = "memory";
};

struct Name {
  std::string text;
  std::string authorship;
  /// accepted (one, the first), synonym, misspelling, vernacular, or group: another accepted species that
  /// this profile covers as well ("Morchella esculenta" in E02).
  std::string status;
  int year = 0;
  std::string source = "memory";
};

/// One mode of the season: a von Mises bump on the day of the year at latitude 45 N and sea level.
struct SeasonMode {
  double peak_day = 0;     ///< day of the year
  double spread_days = 0;  ///< standard deviation of the matching wrapped normal
  double weight = 1;       ///< of the highest mode = 1
  bool spring = true;      ///< later with height and latitude; autumn modes come earlier
};

enum class TemperatureOf { air, soil };
enum class WaterOf { antecedent_rain, soil_water, log_moisture };

/// Response to the weather: section G of the domain paper as data. Every number has its source in `sources`.
struct Triggers {
  std::string guild;
  bool default_guild = false;
  std::vector<SeasonMode> season;
  double season_uncertainty_days = 10;
  TemperatureOf temperature_of = TemperatureOf::air;
  int temperature_window_days = 7;
  double t_min_degc = 0, t_opt_degc = 15, t_max_degc = 30;  ///< beta response (Yan & Hunt 1999)
  double t_uncertainty_degc = 3;
  WaterOf water_of = WaterOf::antecedent_rain;
  double rain_mm = 15;  ///< antecedent rain at which water = 0.63; for soil_water and log_moisture a share
                        ///< 0..1 in `moist_share`
  double moist_share = 0.5;
  int lag_min_days = 3, lag_max_days = 10;     ///< from wetting to fruiting
  double rain_uncertainty = 0.5;               ///< relative
  double visible_days = 14;                    ///< mean visible lifetime
  std::optional<double> frost_kill_degc;       ///< nothing: frost does not end it
  std::map<std::string, std::string> sources;  ///< field to source key
};

struct Guild {
  std::string id;
  Triggers triggers;
};  ///< a row of profiles/guilds.toml

struct HostWeight {
  std::string genus;
  double weight = 1;  ///< 1 = the best host
  std::string source = "memory";
};

/// Where it grows, as a prior on the coefficients of design.md section 2 (natural logarithm of finds per
/// hectare).
struct GroundPrior {
  double log_density_mean = 0, log_density_sd = 1.5;   ///< a: at an average place with index 1
  double host_mean = 1, host_sd = 0.5;                 ///< b of the host cover
  std::map<std::string, std::pair<double, double>> b;  ///< other covariates by name: mean, sd
  double g_mean = 1, g_sd = 0.3;
  double dispersion_r = 1;   ///< negative binomial size, also the gamma shape of patch contents
  double sweep_width_m = 6;  ///< at open understorey
  double search_speed_m_per_min = 15;
  double minutes_per_find = 4;
  std::map<std::string, std::string> sources;
};

struct Danger {
  std::string syndrome;  ///< AMA ORE GYR ... of profiles/syndromes.toml
  std::string severity;  ///< in words
  std::string cooking;   ///< what cooking does and does not do
  std::string source = "memory";
};

struct Syndrome {
  std::string id, name;
  std::optional<NumericRange> gut_onset_h, organ_onset_h;
  std::string note, source;
};

struct Rule {
  std::string id, text, source;
};  ///< harvest and kitchen rules, do-not-eat rules, claims

/// Section F of the domain paper as numbers: what is taken of a body and how it is kept and cooked.
struct Take {
  std::optional<double> whole_to_mm;                   ///< cap or body is taken whole up to this size
  std::optional<double> margin_to_mm;                  ///< up to this size the tender outer part is taken
  std::optional<std::pair<double, double>> margin_mm;  ///< width of that rim
  std::vector<std::string> parts, stock_parts;         ///< what is cooked; what is for broth only
  double cook_minutes = 15;                            ///< at least
  std::string
      freshness;       ///< hours, fragile (a day), ordinary (2-3 days) or lasting (up to a week), in the cold
  std::string drying;  ///< good, powder-only, poor or not
  std::optional<std::pair<double, double>> tender_days, visible_days;  ///< of what was left standing
  std::map<std::string, std::string> sources;                          ///< field to source key
};

/// One person's reading of a pair, made without sight of the other's (profiles/readings).
struct PairReading {
  std::string reader, a, b;
  std::vector<std::string> characters;
  bool blocked = false;
  std::string why, source, doubt;
  std::string file;
  int line = 0;
};

/// A second description of a danger, made without sight of the first (profiles/readings): the profile must be
/// at least as wide.
struct DangerReading {
  std::string reader, id;
  std::map<std::string, CharacterValue> characters;
  std::string file;
  int line = 0;
};

struct Profile {
  std::string id;  ///< "E01"
  Group group = Group::edible;
  std::vector<Name> names;  ///< the accepted one first
  std::string family, order, treatment_date;
  std::string summary;  ///< one sentence
  std::vector<std::string> regions;
  std::vector<int> months;
  std::vector<HostWeight> hosts;
  std::string host_note;
  std::map<std::string, CharacterValue> characters;
  std::vector<std::string> must_see;
  std::vector<Pair> pairs;
  std::optional<Danger> danger;
  std::vector<std::string> also_dangers;  ///< dangers of preparation or person: RAW, MOR, GI
  std::vector<Rule> harvest, kitchen, never, claims;
  std::optional<Take> take;           ///< of what is gathered
  std::vector<std::string> cautions;  ///< ids of caution texts that must stand with it
  Triggers triggers;
  GroundPrior ground;
  std::map<std::string, std::string>
      sources;                       ///< source of the plain fields: family, order, regions, months ...
  std::string file;                  ///< where it was read
  std::map<std::string, int> lines;  ///< field ("characters.C02", "pair.X09", "must_see") to its line
  const std::string& name() const { return names.front().text; }
  std::string vernacular() const;  ///< first English name, or ""
};

}  // namespace stumpwise::species

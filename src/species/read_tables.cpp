#include <algorithm>

#include "reader.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {

namespace {

const std::vector<std::string> kEvidenceGroups = {"HY", "SP", "ST", "FL", "OD", "SU", "HB", "CO", "CH", "SZ"};

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

/// Day of a common year from "MM-DD"; 0 where it is none.
int day_of_year(const std::string& text) {
  static constexpr int kDays[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  if (text.size() != 5 || text[2] != '-') return 0;
  const auto month = base::parse_integer(text.substr(0, 2)), day = base::parse_integer(text.substr(3));
  if (!month || !day || *month < 1 || *month > 12 || *day < 1 || *day > kDays[*month - 1]) return 0;
  int sum = *day;
  for (int m = 0; m < *month - 1; ++m) sum += kDays[m];
  return sum;
}

}  // namespace

std::string LibraryReader::source_of(Section& section, const std::string& otherwise) {
  const std::string source = section.text_or("source", otherwise);
  if (section.has("source")) check_source(section, "source", source);
  return source;
}

void LibraryReader::check_source(const Section& section, const std::string& key, const std::string& source) {
  const auto& sources = result_.value.sources_;
  if (source.empty() || sources.empty() || sources.count(source)) return;
  std::vector<std::string> known;
  for (const auto& [name, reference] : sources) known.push_back(name);
  const auto near = base::nearest(source, known, 1);
  section.fault(key, "source \"" + source + "\" is not in profiles/sources.toml" +
                         (near.empty() ? "" : "; perhaps \"" + near.front() + "\""));
}

void LibraryReader::check_sources(const Section& section, const std::map<std::string, std::string>& sources) {
  for (const auto& [field, source] : sources) check_source(section, "sources", source);
}

void LibraryReader::read_sources(Section& top) {
  auto table = top.child("source", true);
  if (!table) return;
  for (const std::string& key : table->keys()) {
    auto row = table->child(key, true);
    if (!row) continue;
    result_.value.sources_[key] = row->text("reference");
    const std::string checked = row->text("checked");
    if (!checked.empty() && !among({"excerpt", "abstract", "named", "none"}, checked))
      row->fault("checked", "is \"" + checked + "\", must be excerpt, abstract, named or none");
    result_.value.checks_[key] = checked;
    row->finish();
  }
  for (const char* needed : {"memory", "assumption", "common-practice"})
    if (!table->has(needed)) top.fault("source", std::string("lacks the row [source.") + needed + "]");
}

void LibraryReader::read_needs(Section& row, Character& character) {
  auto needs = row.child("needs", false);
  if (!needs) return;
  character.needs = needs->text("character");
  character.needs_states = needs->texts("states", true);
  const Character* other = result_.value.character(character.needs);  // stands above it in the file
  if (!other)
    needs->fault("character", "\"" + character.needs + "\" does not stand above " + character.id);
  else
    check_states(*needs, "states", *other, character.needs_states);
  needs->finish();
}

void LibraryReader::read_characters(Section& top) {
  auto& rows = result_.value.characters_;
  for (Section& row : top.children("character")) {
    Character character;
    character.id = row.text("id");
    character.name = row.text("name");
    character.evidence_group = row.text("group");
    character.part_of = row.text_or("part_of", "");
    character.states = row.texts("states", false);
    character.perishable = row.texts("perishable", false);
    character.timed = row.texts("timed", false);
    character.misread = row.number("misread", 0.001, 0.5, true).value_or(0.1);
    character.misread_dug = row.number_or("misread_dug", 0.001, 0.5, 0);
    character.minutes = row.number("minutes", 0.01, 1440, true).value_or(1);
    character.how = row.text("how");
    character.action = row.text("action");
    character.note = row.text_or("note", "");
    read_needs(row, character);
    if (auto limits = row.child("limits", false)) {
      NumericRange range;
      range.min = limits->number("min", 0, 1e6, true).value_or(0);
      range.max = limits->number("max", range.min, 1e6, true).value_or(range.min);
      range.usual_min = range.min, range.usual_max = range.max;
      range.unit = limits->text("unit");
      limits->finish();
      character.limits = range;
    }
    if (!character.evidence_group.empty() && !among(kEvidenceGroups, character.evidence_group))
      row.fault("group", "is \"" + character.evidence_group + "\", must be one of " +
                             base::join(kEvidenceGroups, " "));
    if (character.states.empty() == !character.limits)
      row.fault("states", "a character has either states or limits, and exactly one of them");
    for (const auto& [key, list] :
         {std::pair{"perishable", &character.perishable}, std::pair{"timed", &character.timed}})
      for (const std::string& state : *list)
        if (!among(character.states, state))
          row.fault(key, "\"" + state + "\" is not a state of " + character.id);
    if (std::any_of(rows.begin(), rows.end(),
                    [&](const Character& other) { return other.id == character.id; }))
      row.fault("id", "\"" + character.id + "\" stands twice");
    row.finish();
    result_.value.character_index_.try_emplace(character.id, rows.size());
    rows.push_back(std::move(character));
  }
}

void LibraryReader::read_syndromes(Section& top) {
  auto& rows = result_.value.syndromes_;
  for (Section& row : top.children("syndrome")) {
    Syndrome syndrome;
    syndrome.id = row.text("id");
    syndrome.name = row.text("name");
    const NumericRange hours{0, 0, 1000, 1000, "h"};
    for (const auto& [key, range] :
         {std::pair{"gut_onset", &syndrome.gut_onset_h}, std::pair{"organ_onset", &syndrome.organ_onset_h}})
      if (auto section = row.child(key, false)) {
        *range = section->range(&hours);
        section->finish();
      }
    syndrome.note = row.text("note");
    syndrome.source = row.text("source");
    check_source(row, "source", syndrome.source);
    if (std::any_of(rows.begin(), rows.end(), [&](const Syndrome& other) { return other.id == syndrome.id; }))
      row.fault("id", "\"" + syndrome.id + "\" stands twice");
    row.finish();
    rows.push_back(std::move(syndrome));
  }
}

void LibraryReader::read_regions(Section& top) {
  auto& rows = result_.value.regions_;
  for (Section& row : top.children("region")) {
    Region region;
    region.code = row.text("code");
    region.name = row.text("name");
    region.dangers_covered = row.flag("dangers_covered");
    region.note = row.text("note");
    if (!row.has("dangers_covered")) row.fault("dangers_covered", "is missing: write true or false");
    if (region.code.find('+') != std::string::npos) row.fault("code", "may not hold a +, which joins codes");
    if (std::any_of(rows.begin(), rows.end(), [&](const Region& other) { return other.code == region.code; }))
      row.fault("code", "\"" + region.code + "\" stands twice");
    row.finish();
    rows.push_back(std::move(region));
  }
}

void LibraryReader::read_guilds(Section& top) {
  auto& rows = result_.value.guilds_;
  for (Section& row : top.children("guild")) {
    Guild guild;
    guild.id = row.text("id");
    guild.triggers.guild = row.text("name");
    default_source_ = "assumption";
    read_triggers(row, guild.triggers, true);
    if (std::any_of(rows.begin(), rows.end(), [&](const Guild& other) { return other.id == guild.id; }))
      row.fault("id", "\"" + guild.id + "\" stands twice");
    row.finish();
    rows.push_back(std::move(guild));
  }
}

void LibraryReader::read_season(Section& section, Triggers& triggers) {
  triggers.season.clear();
  for (Section& row : section.children("season")) {
    SeasonMode mode;
    const std::string peak = row.text("peak"), kind = row.text("kind");
    mode.peak_day = day_of_year(peak);
    if (!peak.empty() && mode.peak_day == 0)
      row.fault("peak", "\"" + peak + "\" is not a day of the year as MM-DD");
    mode.spread_days = row.number("spread_days", 2, 90, true).value_or(20);
    mode.weight = row.number("weight", 0.001, 1, true).value_or(1);
    mode.spring = kind == "spring";
    if (!kind.empty() && kind != "spring" && kind != "autumn")
      row.fault("kind",
                "is \"" + kind + "\", must be spring (later with height) or autumn (earlier with height)");
    row.finish();
    triggers.season.push_back(mode);
  }
  const auto highest = std::max_element(triggers.season.begin(), triggers.season.end(),
                                        [](const auto& a, const auto& b) { return a.weight < b.weight; });
  if (highest != triggers.season.end() && highest->weight != 1)
    section.fault("season", "the highest mode must have weight 1, it has " + plain_number(highest->weight));
}

void LibraryReader::read_climate(Section& section, Triggers& triggers, bool complete) {
  const std::string of = complete ? section.text("temperature_of") : section.text_or("temperature_of", "");
  if (of == "air" || of == "soil")
    triggers.temperature_of = of == "air" ? TemperatureOf::air : TemperatureOf::soil;
  else if (!of.empty())
    section.fault("temperature_of", "is \"" + of + "\", must be air or soil");
  const std::string water = complete ? section.text("water_of") : section.text_or("water_of", "");
  if (water == "antecedent-rain")
    triggers.water_of = WaterOf::antecedent_rain;
  else if (water == "soil-water")
    triggers.water_of = WaterOf::soil_water;
  else if (water == "log-moisture")
    triggers.water_of = WaterOf::log_moisture;
  else if (!water.empty())
    section.fault("water_of", "is \"" + water + "\", must be antecedent-rain, soil-water or log-moisture");
  auto number = [&](const char* key, double least, double most, double& value) {
    value = section.number(key, least, most, complete).value_or(value);
  };
  triggers.temperature_window_days =
      section.integer("temperature_window_days", 1, 60, complete).value_or(triggers.temperature_window_days);
  number("t_min_degc", -20, 40, triggers.t_min_degc);
  number("t_opt_degc", -20, 45, triggers.t_opt_degc);
  number("t_max_degc", -20, 50, triggers.t_max_degc);
  number("t_uncertainty_degc", 0, 10, triggers.t_uncertainty_degc);
  number("rain_mm", 1, 300, triggers.rain_mm);
  number("rain_uncertainty", 0, 2, triggers.rain_uncertainty);
  number("moist_share", 0.01, 1, triggers.moist_share);
  number("visible_days", 1, 365, triggers.visible_days);
  number("season_uncertainty_days", 0, 60, triggers.season_uncertainty_days);
  if (!(triggers.t_min_degc < triggers.t_opt_degc && triggers.t_opt_degc < triggers.t_max_degc))
    section.fault("t_opt_degc", "must lie between t_min_degc " + plain_number(triggers.t_min_degc) +
                                    " and t_max_degc " + plain_number(triggers.t_max_degc) + ", it is " +
                                    plain_number(triggers.t_opt_degc));
}

void LibraryReader::read_triggers(Section& section, Triggers& triggers, bool complete) {
  read_climate(section, triggers, complete);
  if (const auto lag = section.two("lag_days", 0, 200, complete)) {
    triggers.lag_min_days = static_cast<int>(lag->first),
    triggers.lag_max_days = static_cast<int>(lag->second);
    if (triggers.lag_min_days > triggers.lag_max_days) section.fault("lag_days", "must rise: [first, last]");
  }
  const toml::node* frost = section.take("frost_kill_degc");
  if (frost && frost->value_exact<std::string>() == "none")
    triggers.frost_kill_degc.reset();
  else if (frost || complete)
    triggers.frost_kill_degc = section.number("frost_kill_degc", -40, 5, complete);
  if (section.has("season")) read_season(section, triggers);
  section.take("season");
  // Every value given here carries this section's source; what is not given keeps the guild's.
  const std::string source = source_of(section, default_source_);
  for (const std::string& key : section.keys())
    if (!among({"id", "name", "guild", "default_guild", "source", "sources"}, key))
      triggers.sources[key] = source;
  const auto own = section.text_map("sources");
  check_sources(section, own);
  for (const auto& [key, value] : own) {
    if (!section.has(key)) section.fault("sources", "\"" + key + "\" is not given here");
    triggers.sources[key] = value;
  }
}

}  // namespace stumpwise::species

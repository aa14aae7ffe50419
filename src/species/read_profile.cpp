#include <algorithm>

#include "reader.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {

namespace {

const std::vector<std::string> kStatuses = {"accepted", "synonym", "group", "misspelling", "vernacular"};
const std::vector<std::string> kCovariates = {"host",      "dead_wood",     "canopy",        "wetness",
                                              "heat_load", "slope",         "position_fine", "position_broad",
                                              "elevation", "water_distance"};

bool among(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

std::optional<Group> group_of(const std::string& text) {
  for (Group group : {Group::edible, Group::conditional, Group::harmless, Group::dangerous})
    if (group_name(group) == text) return group;
  return {};
}

bool looks_like_id(const std::string& id) {
  return id.size() >= 2 && std::string("EONX").find(id[0]) != std::string::npos &&
         std::all_of(id.begin() + 1, id.end(), [](char c) { return c >= '0' && c <= '9'; });
}

}  // namespace

void LibraryReader::read_profile(Section& top) {
  Profile profile;
  profile.file = top.file();
  default_source_ = top.text("default_source");
  check_source(top, "default_source", default_source_);
  profile.id = top.text("id");
  if (!profile.id.empty() && !looks_like_id(profile.id))
    top.fault("id", "\"" + profile.id + "\" is no id: E, O, N or X and a number");
  const std::string stem = std::filesystem::path(top.file()).filename().string();
  if (!profile.id.empty() && stem.rfind(profile.id + "-", 0) != 0)
    top.fault("id", "\"" + profile.id + "\" does not begin the name of the file: " + profile.id +
                        "-genus-epithet.toml");
  const std::string group = top.text("group");
  if (const auto known = group_of(group))
    profile.group = *known;
  else if (!group.empty())
    top.fault("group", "is \"" + group + "\", must be edible, conditional, harmless or dangerous");
  read_plain_fields(top, profile);
  read_names(top, profile);
  read_hosts(top, profile);
  read_characters_of(top, profile);
  read_pairs(top, profile);
  read_danger(top, profile);
  profile.harvest = read_rules(top, "harvest", profile);
  profile.kitchen = read_rules(top, "kitchen", profile);
  profile.never = read_rules(top, "never", profile);
  profile.claims = read_rules(top, "claim", profile);
  read_take(top, profile);
  read_profile_triggers(top, profile);
  read_ground(top, profile);
  if (!profile.id.empty() && !profile.names.empty()) result_.value.profiles_.push_back(std::move(profile));
}

void LibraryReader::read_plain_fields(Section& top, Profile& profile) {
  profile.summary = top.text("summary");
  profile.family = top.text("family");
  profile.order = top.text("order");
  profile.treatment_date = top.text("treatment_date");
  profile.regions = top.texts("regions", true);
  for (const std::string& code : profile.regions)
    if (std::none_of(result_.value.regions_.begin(), result_.value.regions_.end(),
                     [&](const Region& region) { return region.code == code; }))
      top.fault("regions", "\"" + code + "\" is not in profiles/regions.toml");
  read_months(top, profile);
  profile.also_dangers = top.texts("also_dangers", false);
  for (const std::string& id : profile.also_dangers)
    if (!result_.value.syndrome(id))
      top.fault("also_dangers", "\"" + id + "\" is not in profiles/syndromes.toml");
  profile.cautions = top.texts("cautions", true);
  profile.must_see = top.texts("must_see", false);
  profile.sources = top.text_map("sources");
  check_sources(top, profile.sources);
  for (const auto& [field, source] : profile.sources)
    if (!among({"family", "order", "treatment_date", "regions", "months", "summary", "also_dangers"}, field))
      top.fault("sources", "\"" + field + "\" is not a plain field; write its source beside the value");
  for (const char* field : {"id", "group", "regions", "months", "must_see", "cautions", "also_dangers"})
    profile.lines[field] = top.line(field);
}

void LibraryReader::read_months(Section& top, Profile& profile) {
  if (const toml::node* node = top.take("months"); node && node->is_array()) {
    for (const toml::node& item : *node->as_array()) {
      const auto month = item.value_exact<std::int64_t>();
      if (!month || *month < 1 || *month > 12)
        top.fault("months", "must be whole numbers from 1 to 12");
      else if (!profile.months.empty() && *month <= profile.months.back())
        top.fault("months", "must rise, each once");
      else
        profile.months.push_back(static_cast<int>(*month));
    }
  } else {
    top.fault("months", "must be a list of months, months = [9, 10]");
  }
}

void LibraryReader::read_names(Section& top, Profile& profile) {
  if (!top.has("name")) top.fault("name", "is missing: at least one [[name]] with status = \"accepted\"");
  for (Section& row : top.children("name")) {
    Name name;
    name.text = row.text("text");
    name.status = row.text("status");
    name.authorship = row.text_or("authorship", "");
    name.year = row.integer("year", 1753, 2100, false).value_or(0);
    name.source = source_of(row, default_source_);
    const bool scientific = name.status == "accepted" || name.status == "synonym" || name.status == "group";
    if (!name.status.empty() && !among(kStatuses, name.status))
      row.fault("status", "is \"" + name.status + "\", must be one of " + base::join(kStatuses, ", "));
    if (scientific && name.authorship.empty())
      row.fault("authorship", "is missing: a scientific name has one");
    if (scientific && name.year == 0 && !row.has("year"))
      row.fault("year", "is missing: a scientific name has one");
    if ((name.status == "accepted") != profile.names.empty())
      row.fault("status", profile.names.empty() ? "the first name must be the accepted one"
                                                : "only the first name is accepted");
    row.finish();
    profile.lines["name." + name.text] = row.line();
    profile.names.push_back(std::move(name));
  }
}

void LibraryReader::read_hosts(Section& top, Profile& profile) {
  auto hosts = top.child("hosts", true);
  if (!hosts) return;
  const std::string section_source = source_of(*hosts, default_source_);
  profile.host_note = hosts->text_or("note", "");
  for (const std::string& genus : hosts->keys()) {
    if (genus == "note" || genus == "source") continue;
    HostWeight host{genus, 0, section_source};
    if (genus.empty() || genus[0] < 'A' || genus[0] > 'Z')
      hosts->fault(genus, "is not a genus: a genus begins with a capital letter");
    if (hosts->table().get(genus)->is_table()) {
      auto row = hosts->child(genus, true);
      host.weight = row->number("weight", 0.01, 1, true).value_or(0);
      host.source = source_of(*row, section_source);
      row->finish();
    } else {
      host.weight = hosts->number(genus, 0.01, 1, true).value_or(0);
    }
    profile.hosts.push_back(std::move(host));
  }
  std::sort(profile.hosts.begin(), profile.hosts.end(), [](const HostWeight& a, const HostWeight& b) {
    return a.weight != b.weight ? a.weight > b.weight : a.genus < b.genus;
  });
  hosts->finish();
}

void LibraryReader::check_states(const Section& section, const std::string& key, const Character& row,
                                 const std::vector<std::string>& states) {
  for (const std::string& state : states) {
    if (among(row.states, state)) continue;
    const auto near = base::nearest(state, row.states, 1);
    section.fault(key, "\"" + state + "\" is not a state of " + row.id +
                           (near.empty() ? "; its states: " + base::join(row.states, ", ")
                                         : "; perhaps \"" + near.front() + "\""));
  }
}

void LibraryReader::read_characters_of(Section& top, Profile& profile) {
  auto section = top.child("characters", true);
  if (!section) return;
  for (const std::string& key : section->keys()) {
    // C32.length written without quotes is a table C32 with the key length.
    const toml::table* table = section->table().get(key)->as_table();
    const bool parts = table && !result_.value.character(key) && !table->empty() &&
                       std::all_of(table->begin(), table->end(), [&](const auto& entry) {
                         return result_.value.character(key + "." + std::string(entry.first.str()));
                       });
    if (parts) {
      auto group = section->child(key, true);
      for (const std::string& part : group->keys()) read_character(*group, part, key + "." + part, profile);
    } else {
      read_character(*section, key, key, profile);
    }
  }
  section->finish();
}

void LibraryReader::read_character(Section& section, const std::string& key, const std::string& id,
                                   Profile& profile) {
  const toml::node* node = section.take(key);
  const Character* row = result_.value.character(id);
  if (!row) {
    if (!result_.value.characters_.empty())
      section.fault(key, "is not a character of profiles/characters.toml");
    return;
  }
  CharacterValue value;
  value.source = default_source_;
  if (node->is_table()) {
    read_character_table(*section.child(key, true), *row, value, profile);
  } else if (row->limits) {
    section.fault(key, "is a number with a unit: { min = .., usual = [.., ..], max = .., unit = \"" +
                           row->limits->unit + "\" }");
  } else {
    value.states = section.texts(key, true);
    check_states(section, key, *row, value.states);
  }
  profile.lines["characters." + id] = section.line(key);
  profile.characters[id] = std::move(value);
}

void LibraryReader::read_character_table(Section section, const Character& row, CharacterValue& value,
                                         Profile&) {
  value.source = source_of(section, default_source_);
  value.note = section.text_or("note", "");
  value.disputed = section.flag("disputed");
  if (row.limits) {
    value.range = section.range(&*row.limits);
  } else {
    value.states = section.texts("states", true);
    check_states(section, "states", row, value.states);
  }
  section.finish();
}

void LibraryReader::read_pairs(Section& top, Profile& profile) {
  for (Section& row : top.children("pair")) {
    Pair pair;
    pair.with = row.text("with");
    pair.blocked = row.flag("blocked");
    pair.pending = row.flag("pending");
    pair.characters = row.texts("characters", !pair.blocked);  // blocked: perhaps nothing tells them apart
    pair.why = row.text("why");
    pair.source = source_of(row, default_source_);
    if (!pair.with.empty() && !looks_like_id(pair.with))
      row.fault("with", "\"" + pair.with + "\" is no id: E, O, N or X and a number");
    if (pair.with == profile.id) row.fault("with", "a profile has no pair with itself");
    for (const std::string& id : pair.characters)
      if (!result_.value.characters_.empty() && !result_.value.character(id))
        row.fault("characters", "\"" + id + "\" is not a character of profiles/characters.toml");
    if (profile.lines.count("pair." + pair.with))
      row.fault("with", "the pair with " + pair.with + " stands twice");
    row.finish();
    profile.lines["pair." + pair.with] = row.line();
    profile.pairs.push_back(std::move(pair));
  }
}

void LibraryReader::read_danger(Section& top, Profile& profile) {
  auto section = top.child("danger", false);
  if (!section) return;
  Danger danger;
  danger.syndrome = section->text("syndrome");
  danger.severity = section->text("severity");
  danger.cooking = section->text("cooking");
  danger.source = source_of(*section, default_source_);
  if (!danger.syndrome.empty() && !result_.value.syndrome(danger.syndrome))
    section->fault("syndrome", "\"" + danger.syndrome + "\" is not in profiles/syndromes.toml");
  section->finish();
  profile.danger = std::move(danger);
}

std::vector<Rule> LibraryReader::read_rules(Section& top, const std::string& key, Profile& profile) {
  std::vector<Rule> rules;
  for (Section& row : top.children(key)) {
    Rule rule{row.text("id"), row.text("text"), source_of(row, default_source_)};
    if (std::any_of(rules.begin(), rules.end(), [&](const Rule& other) { return other.id == rule.id; }))
      row.fault("id", "\"" + rule.id + "\" stands twice");
    row.finish();
    profile.lines[key + "." + rule.id] = row.line();
    rules.push_back(std::move(rule));
  }
  return rules;
}

void LibraryReader::read_profile_triggers(Section& top, Profile& profile) {
  auto section = top.child("triggers", true);
  if (!section) return;
  const std::string guild = section->text("guild");
  const auto& guilds = result_.value.guilds_;
  const auto found =
      std::find_if(guilds.begin(), guilds.end(), [&](const Guild& row) { return row.id == guild; });
  if (found != guilds.end())
    profile.triggers = found->triggers;
  else if (!guild.empty())
    section->fault("guild", "\"" + guild + "\" is not in profiles/guilds.toml");
  profile.triggers.default_guild = section->flag("default_guild");
  read_triggers(*section, profile.triggers, false);
  if (profile.triggers.season.empty())
    section->fault("season", "is missing: neither the profile nor its guild names a mode");
  section->finish();
}

void LibraryReader::read_ground(Section& top, Profile& profile) {
  auto section = top.child("ground", true);
  if (!section) return;
  GroundPrior& prior = profile.ground;
  auto mean_sd = [&](const char* key, double& mean, double& sd) {
    if (const auto pair = section->two(key, -20, 20, true)) mean = pair->first, sd = pair->second;
    if (sd <= 0) section->fault(key, "the spread must be above 0, it is " + plain_number(sd));
  };
  mean_sd("log_density", prior.log_density_mean, prior.log_density_sd);
  mean_sd("host", prior.host_mean, prior.host_sd);
  mean_sd("g", prior.g_mean, prior.g_sd);
  prior.dispersion_r = section->number("dispersion_r", 0.01, 100, true).value_or(1);
  prior.sweep_width_m = section->number("sweep_width_m", 0.5, 100, true).value_or(6);
  prior.search_speed_m_per_min = section->number("search_speed_m_per_min", 1, 60, true).value_or(15);
  prior.minutes_per_find = section->number("minutes_per_find", 0, 60, true).value_or(4);
  const std::string source = source_of(*section, default_source_);
  if (auto b = section->child("b", false)) {
    for (const std::string& name : b->keys()) {
      const auto pair = b->two(name, -20, 20, true);
      if (!among(kCovariates, name) || name == "host")
        b->fault(name,
                 "is not a covariate; known: " + base::join(kCovariates, ", ") + " (host stands by itself)");
      else if (pair && pair->second <= 0)
        b->fault(name, "the spread must be above 0, it is " + plain_number(pair->second));
      else if (pair)
        prior.b[name] = *pair, prior.sources["b." + name] = source;
    }
  }
  for (const char* key : {"log_density", "host", "g", "dispersion_r", "sweep_width_m",
                          "search_speed_m_per_min", "minutes_per_find"})
    prior.sources[key] = source;
  const auto own = section->text_map("sources");
  check_sources(*section, own);
  for (const auto& [key, value] : own) prior.sources[key] = value;
  section->finish();
}

}  // namespace stumpwise::species

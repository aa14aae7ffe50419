#include "stumpwise/species/library.h"

#include <algorithm>

#include "reader.h"
#include "stumpwise/base/files.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {

namespace fs = std::filesystem;

std::string group_name(Group group) {
  switch (group) {
    case Group::edible:
      return "edible";
    case Group::conditional:
      return "conditional";
    case Group::harmless:
      return "harmless";
    case Group::dangerous:
      return "dangerous";
  }
  return "";
}

std::string Profile::vernacular() const {
  for (const Name& name : names)
    if (name.status == "vernacular") return name.text;
  return "";
}

static std::vector<fs::path> toml_files(const fs::path& folder) {
  std::vector<fs::path> files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.path().extension() == ".toml") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

template <class Use>
void LibraryReader::with_file(const fs::path& path, Use use) {
  const std::string shown = fs::relative(path, folder_).generic_string();
  std::vector<Issue>& issues = result_.issues;
  std::string content;
  try {
    content = base::read_file(path, std::size_t{4} << 20);
  } catch (const Error& error) {
    issues.push_back({Severity::fault, shown, 0, "", error.what()});
    return;
  }
  hashed_ += shown + '\0' + std::to_string(content.size()) + '\0' + content;
  try {
    const toml::table table = toml::parse(content, shown);
    Section top(table, shown, "", issues);
    use(top);
    top.finish();
  } catch (const toml::parse_error& error) {
    issues.push_back({Severity::fault, shown, static_cast<int>(error.source().begin.line), "",
                      std::string(error.description()) + " (column " +
                          std::to_string(error.source().begin.column) +
                          "); nothing else of this file was read"});
  }
}

Parsed<Library> LibraryReader::read() {
  const fs::path data = folder_ / "profiles";
  with_file(data / "sources.toml", [&](Section& top) { read_sources(top); });
  with_file(data / "characters.toml", [&](Section& top) { read_characters(top); });
  with_file(data / "syndromes.toml", [&](Section& top) { read_syndromes(top); });
  with_file(data / "regions.toml", [&](Section& top) { read_regions(top); });
  with_file(data / "guilds.toml", [&](Section& top) { read_guilds(top); });
  const std::vector<fs::path> files = toml_files(data / "taxa");
  if (files.empty())
    result_.issues.push_back({Severity::fault, "profiles/taxa", 0, "", "holds no profile (*.toml)"});
  for (const fs::path& file : files) with_file(file, [&](Section& top) { read_profile(top); });
  for (const fs::path& file : toml_files(data / "readings"))
    with_file(file, [&](Section& top) { read_readings(top); });
  auto& profiles = result_.value.profiles_;
  std::sort(profiles.begin(), profiles.end(), [](const Profile& a, const Profile& b) { return a.id < b.id; });
  for (std::size_t i = 1; i < profiles.size(); ++i)
    if (profiles[i].id == profiles[i - 1].id)
      result_.issues.push_back({Severity::fault, profiles[i].file, 0, "id",
                                "\"" + profiles[i].id + "\" is also the id of " + profiles[i - 1].file});
  for (std::size_t i = 0; i < profiles.size(); ++i)
    result_.value.profile_index_.try_emplace(profiles[i].id, i);
  result_.value.version_ = base::sha256(hashed_);
  return std::move(result_);
}

Parsed<Library> Library::read(const fs::path& folder) {
  return LibraryReader(folder).read();
}

const Profile* Library::find(const std::string& id) const {
  const auto found = profile_index_.find(id);
  return found == profile_index_.end() ? nullptr : &profiles_[found->second];
}

const Character* Library::character(const std::string& id) const {
  const auto found = character_index_.find(id);
  return found == character_index_.end() ? nullptr : &characters_[found->second];
}

const Syndrome* Library::syndrome(const std::string& id) const {
  for (const Syndrome& row : syndromes_)
    if (row.id == id) return &row;
  return nullptr;
}

std::string Library::how_checked(const std::string& source) const {
  const auto found = checks_.find(source);
  return found == checks_.end() ? "" : found->second;
}

std::vector<std::string> Library::parse_regions(const std::string& text) const {
  std::vector<std::string> codes, known;
  for (const Region& region : regions_) known.push_back(region.code);
  for (const std::string& part : base::split(text, '+')) {
    const std::string wanted = base::lower(base::trim(part));
    const auto found = std::find_if(known.begin(), known.end(),
                                    [&](const std::string& code) { return base::lower(code) == wanted; });
    if (found == known.end())
      throw Error(ErrorCode::bad_value, "region \"" + base::printable(part) + "\" is not known",
                  "Known regions: " + base::join(known, ", ") + ". Join several with +, as in EU+NA-E.");
    if (std::find(codes.begin(), codes.end(), *found) == codes.end()) codes.push_back(*found);
  }
  return codes;
}

}  // namespace stumpwise::species

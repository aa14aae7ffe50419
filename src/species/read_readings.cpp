#include <filesystem>

#include "reader.h"

namespace stumpwise::species {

/// profiles/readings/WHO.toml: what one reader, who did not see the other's work, found to separate each
/// pair, and what a second one knew of each danger.
void LibraryReader::read_readings(Section& top) {
  read_danger_readings(top);
  const std::string reader = std::filesystem::path(top.file()).stem().string();
  for (Section& row : top.children("reading")) {
    PairReading reading;
    reading.reader = reader;
    reading.file = top.file();
    reading.line = row.line();
    reading.a = row.text("a");
    reading.b = row.text("b");
    reading.characters = row.texts("characters", false);
    reading.blocked = row.flag("blocked");
    reading.why = row.text("why");
    reading.source = source_of(row, "memory");
    reading.doubt = row.text_or("doubt", "");
    for (const std::string& id : reading.characters)
      if (!result_.value.characters_.empty() && !result_.value.character(id))
        row.fault("characters", "\"" + id + "\" is not a character of profiles/characters.toml");
    for (const PairReading& other : result_.value.readings_)
      if (other.reader == reading.reader && other.a == reading.a && other.b == reading.b)
        row.fault("b", "the pair " + reading.a + " and " + reading.b + " stands twice in this file");
    row.finish();
    result_.value.readings_.push_back(std::move(reading));
  }
}

void LibraryReader::read_danger_readings(Section& top) {
  const std::string reader = std::filesystem::path(top.file()).stem().string();
  for (Section& row : top.children("danger")) {
    Profile read;
    default_source_ = "memory";
    read_characters_of(row, read);
    result_.value.danger_readings_.push_back(
        {reader, row.text("id"), std::move(read.characters), top.file(), row.line()});
    row.text_or("doubt", "");
    row.finish();
  }
}

}  // namespace stumpwise::species

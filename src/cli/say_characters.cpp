#include "say_characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

namespace stumpwise::cli {
namespace {

std::string range_words(const Json& range) {
  if (!range.is_object()) return {};
  const std::string unit = words(range, "unit") == "1" ? "" : " " + words(range, "unit");  // "1": a ratio
  return fmt::format("{} to {}{} (usually {} to {})", number(range, "min").value_or(0),
                     number(range, "max").value_or(0), unit, number(range, "usual_min").value_or(0),
                     number(range, "usual_max").value_or(0));
}

constexpr std::size_t kIdWidth = 19;

/// The costliest thing that a reading needs decides where it stands.
enum Way { look, cut, dig, wait, microscope, reagent };
constexpr std::array kHeadings{"To see at a glance",      "To handle, cut and wait five minutes for",
                               "To dig the base out for", "To leave overnight for",
                               "For the microscope",      "For a reagent"};

Way way_of(const std::string& how) {
  auto needs = [&](char letter) { return how.find(letter) != std::string::npos; };
  if (needs('M')) return microscope;
  if (needs('R')) return reagent;
  if (needs('P')) return wait;
  if (needs('B')) return dig;
  return needs('G') ? look : cut;
}

std::string states_words(const Json& value) {
  std::string text = joined(value, "states", " or ");
  std::replace(text.begin(), text.end(), '_', ' ');
  const std::string range = range_words(part(value, "range"));
  if (!range.empty()) text += (text.empty() ? "" : "; ") + range;
  std::string note = words(value, "note");
  while (!note.empty() && note.back() == '.') note.pop_back();
  if (!note.empty()) text += "; " + note;
  if (yes(value, "disputed")) text += "; sources disagree";
  return text + " [" + words(value, "source") + "]";
}

}  // namespace

void say_characters(Page& page, const Json& answer) {
  const Json& all = part(answer, "characters");
  if (!all.is_object() || all.empty()) return;
  const Json& must = items(answer, "must_see");
  auto is_must = [&](const std::string& id) {
    return std::find(must.begin(), must.end(), Json(id)) != must.end();
  };
  if (!must.empty())
    page.title("What to look at; * must all be seen before the name rises above candidate");
  else
    page.title("What to look at");
  for (std::size_t way = 0; way < kHeadings.size(); ++way) {
    bool headed = false;
    for (const auto& [id, value] : all.items()) {
      if (way_of(words(value, "how")) != static_cast<Way>(way)) continue;
      if (!headed) page.wrap(kHeadings[way], 1, 2);
      headed = true;
      const std::string name = words(value, "name");
      page.wrap(padded(fmt::format("{} {}", is_must(id) ? "*" : " ", id), kIdWidth) +
                    (name.empty() ? "" : name + ": ") + states_words(value),
                2, kIdWidth);
    }
  }
}

}  // namespace stumpwise::cli

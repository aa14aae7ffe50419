#include <algorithm>

#include "reader.h"
#include "stumpwise/base/text.h"

namespace stumpwise::species {

namespace {

const std::vector<std::string> kParts = {"cap", "stipe", "rim", "fronds", "whole-body", "flesh"};
const std::vector<std::string> kFreshness = {"hours", "fragile", "ordinary", "lasting"};
const std::vector<std::string> kDrying = {"good", "powder-only", "poor", "not"};

std::string word(Section& section, const std::string& key, const std::vector<std::string>& known) {
  const std::string text = section.text(key);
  if (!text.empty() && std::find(known.begin(), known.end(), text) == known.end())
    section.fault(key, "is \"" + text + "\", must be one of " + base::join(known, ", "));
  return text;
}

std::vector<std::string> parts(Section& section, const std::string& key, bool required) {
  std::vector<std::string> list = section.texts(key, required);
  for (const std::string& part : list)
    if (std::find(kParts.begin(), kParts.end(), part) == kParts.end())
      section.fault(key, "\"" + part + "\" is no part; parts: " + base::join(kParts, ", "));
  return list;
}

std::optional<std::pair<double, double>> span(Section& section, const std::string& key, double most) {
  const auto pair = section.two(key, 0, most, false);
  if (pair && pair->first > pair->second) section.fault(key, "must rise: [least, most]");
  return pair;
}

}  // namespace

void LibraryReader::read_take(Section& top, Profile& profile) {
  auto section = top.child("take", false);
  if (!section) return;
  Take take;
  take.whole_to_mm = section->number("whole_to_mm", 1, 1000, false);
  take.margin_to_mm = section->number("margin_to_mm", 1, 1000, false);
  take.margin_mm = span(*section, "margin_mm", 500);
  take.parts = parts(*section, "parts", true);
  take.stock_parts = parts(*section, "stock_parts", false);
  take.cook_minutes = section->number("cook_minutes", 1, 240, true).value_or(15);
  take.freshness = word(*section, "freshness", kFreshness);
  take.drying = word(*section, "drying", kDrying);
  take.tender_days = span(*section, "tender_days", 365);
  take.visible_days = span(*section, "visible_days", 3650);
  if (take.whole_to_mm && take.margin_to_mm && *take.margin_to_mm <= *take.whole_to_mm)
    section->fault("margin_to_mm", "must be above whole_to_mm " + plain_number(*take.whole_to_mm));
  if (take.margin_to_mm && !take.margin_mm) section->fault("margin_mm", "is missing: how wide is the rim?");
  const std::string source = source_of(*section, default_source_);
  for (const std::string& key : section->keys())
    if (key != "source" && key != "sources") take.sources[key] = source;
  const auto own = section->text_map("sources");
  check_sources(*section, own);
  for (const auto& [key, value] : own) {
    if (!section->has(key)) section->fault("sources", "\"" + key + "\" is not given here");
    take.sources[key] = value;
  }
  section->finish();
  profile.lines["take"] = section->line();
  profile.take = std::move(take);
}

}  // namespace stumpwise::species

#include "stumpwise/key/spore_fit.h"

#include <algorithm>
#include <array>
#include <utility>

namespace stumpwise::key {
namespace {

/// Best first; equal ones by id, so that the order is the same everywhere.
bool better(const SporeFit& a, const SporeFit& b) {
  if (a.share != b.share) return a.share > b.share;
  if (a.common != b.common) return a.common > b.common;
  return a.id < b.id;
}

bool records(const SporeFit& fit, const char* character) {
  return std::any_of(fit.measures.begin(), fit.measures.end(),
                     [&](const MeasureFit& measure) { return measure.character == character; });
}

}  // namespace

MeasureFit measure_fit(const Spread& sample, const species::NumericRange& range) {
  MeasureFit fit;
  fit.range = range;
  const double low = std::max(sample.p5, range.usual_min), high = std::min(sample.p95, range.usual_max);
  const double shared = std::max(0.0, high - low), own = sample.p95 - sample.p5;
  const bool meets = high >= low;
  fit.share = own > 0 ? shared / own : (meets ? 1 : 0);
  const double together = std::max(sample.p95, range.usual_max) - std::min(sample.p5, range.usual_min);
  fit.common = together > 0 ? shared / together : (meets ? 1 : 0);
  fit.touches = sample.p5 <= range.max && sample.p95 >= range.min;
  return fit;
}

SporeFit spore_fit(const SporeStatistics& sample, const species::Profile& profile) {
  SporeFit fit;
  fit.id = profile.id;
  fit.dangerous = profile.group == species::Group::dangerous || profile.danger.has_value();
  const std::array<std::pair<const char*, const Spread*>, 3> measures{
      {{"C32.length", &sample.length_um}, {"C32.width", &sample.width_um}, {"C32.q", &sample.q}}};
  for (const auto& [character, spread] : measures) {
    const auto found = profile.characters.find(character);
    if (found == profile.characters.end() || !found->second.range) continue;
    MeasureFit measure = measure_fit(*spread, *found->second.range);
    measure.character = character;
    measure.source = found->second.source;
    measure.note = found->second.note;
    measure.disputed = found->second.disputed;
    const bool first = fit.measures.empty();
    fit.share = first ? measure.share : std::min(fit.share, measure.share);
    fit.common = first ? measure.common : std::min(fit.common, measure.common);
    fit.touches = first ? measure.touches : fit.touches && measure.touches;
    fit.measures.push_back(std::move(measure));
  }
  return fit;
}

SporeFits spore_fits(const SporeStatistics& sample, const std::vector<species::Profile>& profiles) {
  SporeFits fits;
  for (const species::Profile& profile : profiles) {
    SporeFit fit = spore_fit(sample, profile);
    if (fit.dangerous) {
      if (fit.measures.empty())
        fits.dangers_unknown.push_back(fit.id);
      else if (fit.touches)
        fits.dangers.push_back(std::move(fit));
    } else if (fit.share >= kFitShare && records(fit, "C32.length") && records(fit, "C32.width")) {
      fits.names.push_back(std::move(fit));
    }
  }
  std::sort(fits.dangers.begin(), fits.dangers.end(), better);
  std::sort(fits.names.begin(), fits.names.end(), better);
  std::sort(fits.dangers_unknown.begin(), fits.dangers_unknown.end());
  return fits;
}

}  // namespace stumpwise::key

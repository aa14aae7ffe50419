#include "targets.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/base/text.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/learn/coefficients.h"

namespace stumpwise::app {

std::vector<const species::Profile*> wanted_species(Session& session, const std::vector<std::string>& names,
                                                    const std::string& region,
                                                    std::vector<std::string>& said) {
  const species::Library& library = session.library();
  std::vector<const species::Profile*> wanted;
  auto add = [&](const species::Profile* profile) {
    if (std::find(wanted.begin(), wanted.end(), profile) == wanted.end()) wanted.push_back(profile);
  };
  for (const std::string& name : names) add(&library.require(name, &said));
  if (!names.empty()) return wanted;
  const auto regions = library.parse_regions(region);
  for (const species::Profile& profile : library.profiles()) {
    const bool looked_for = profile.group == species::Group::edible;
    const bool grows_here =
        std::any_of(profile.regions.begin(), profile.regions.end(), [&](const std::string& code) {
          return std::find(regions.begin(), regions.end(), code) != regions.end();
        });
    if (looked_for && grows_here) add(&profile);
  }
  if (wanted.empty())
    throw Error(ErrorCode::no_data, "no profile covers the region " + region,
                "Name the species with --species.");
  return wanted;
}

std::vector<learn::Model> models_of(Session& session, const std::string& ground,
                                    const std::vector<const species::Profile*>& profiles,
                                    std::vector<std::string>& notes) {
  std::vector<learn::Model> models;
  for (const species::Profile* profile : profiles) {
    learn::Model model{ground::prior_coefficients(profile->ground), {}};
    if (const auto stored = session.book().model(ground, profile->id)) {
      try {
        model = learn::model_from_json(stored->json);
      } catch (const Error& error) {
        if (error.code() != ErrorCode::stale_version) throw;
        notes.push_back(
            profile->name() +
            ": what was learned is of another version of the model and was not used; run learn again");
      }
    }
    models.push_back(std::move(model));
  }
  return models;
}

species::Triggers with_variant(species::Triggers triggers, const season::Variant& variant) {
  for (species::SeasonMode& mode : triggers.season) mode.peak_day += variant.season_shift_days;
  triggers.t_min_degc += variant.t_shift_degc;
  triggers.t_opt_degc += variant.t_shift_degc;
  triggers.t_max_degc += variant.t_shift_degc;
  triggers.rain_mm *= variant.rain_factor;
  triggers.moist_share *= std::sqrt(variant.rain_factor);
  return triggers;
}

namespace {

template <class Wanted>
bool cover_has(const ground::Layers& layers, Wanted wanted) {
  return std::any_of(
      layers.legend.classes.begin(), layers.legend.classes.end(), [&](const ground::CoverClass& each) {
        return wanted(each) && std::find(layers.cover.codes.begin(), layers.cover.codes.end(), each.code) !=
                                   layers.cover.codes.end();
      });
}

}  // namespace

bool cover_names_no_genus(const ground::Layers& layers) {
  return cover_has(layers, [](const ground::CoverClass& each) { return each.trees_unspecified; });
}

std::optional<std::string> cover_note(const ground::Layers& layers) {
  if (!cover_has(layers, [](const ground::CoverClass&) { return true; }))
    return "no land cover was given: hosts come from your own records alone, and the band is wide";
  if (cover_names_no_genus(layers))
    return "the land cover says \"trees\" without their genus: your own host records decide there, and the "
           "band is wide";
  return std::nullopt;
}

std::vector<double> index_heights(const raster::Grid& elevation_m) {
  float low = 1e9f, high = -1e9f;
  for (float value : elevation_m.values) {
    if (std::isnan(value)) continue;
    low = std::min(low, value);
    high = std::max(high, value);
  }
  if (low > high) throw Error(ErrorCode::no_data, "the ground has no elevation");
  const int steps = std::clamp(static_cast<int>(std::ceil((high - low) / 60.0)), 1, 15);
  std::vector<double> heights;
  for (int i = 0; i <= steps; ++i)
    heights.push_back(static_cast<double>(low) + std::max(1.0, static_cast<double>(high) - low) * i / steps);
  return heights;
}

IndexTable index_table(Session& session, const WeatherContext& context,
                       const std::vector<const species::Profile*>& profiles,
                       const std::vector<learn::Model>& models, const LatLon& place,
                       const std::vector<double>& heights_m, Date first, int n_days) {
  IndexTable table;
  std::vector<species::Triggers> triggers;
  for (std::size_t s = 0; s < profiles.size(); ++s)
    triggers.push_back(with_variant(profiles[s]->triggers, models[s].variant));
  ground::IndexByHeight empty{heights_m, std::vector<double>(heights_m.size()),
                              std::vector<double>(heights_m.size()), std::vector<double>(heights_m.size())};
  table.by_species.assign(profiles.size(),
                          std::vector<ground::IndexByHeight>(static_cast<std::size_t>(n_days), empty));
  table.basis.assign(static_cast<std::size_t>(n_days), season::Basis::observed);
  const Date last = std::min(base::plus_days(first, n_days - 1), last_observed(context, session.today()));
  const int history = base::days_between(last, first) < 0 ? base::days_between(first, last) + 420 : 420;
  base::parallel_ranges(heights_m.size(), base::default_threads(), [&](std::size_t begin, std::size_t end) {
    for (std::size_t h = begin; h < end; ++h) {
      const weather::Site site = site_at(place, heights_m[h]);
      const auto observed = observed_states(context, site, last, history);
      for (std::size_t s = 0; s < profiles.size(); ++s) {
        const auto days = site_outlook(context, triggers[s], site, observed, first, n_days);
        // A day without weather has no index: a zero in its place would pass for an answer.
        if (const auto without = first_day_without(days, first, n_days)) throw no_weather(*without);
        for (std::size_t d = 0; d < days.size(); ++d) {
          table.by_species[s][d].index[h] = days[d].index;
          table.by_species[s][d].low90[h] = days[d].low90;
          table.by_species[s][d].high90[h] = days[d].high90;
          if (h == 0 && s == 0) table.basis[d] = days[d].basis;
        }
      }
    }
  });
  return table;
}

LatLon centre_of(const records::GroundRecord& ground) {
  return earth::Utm::from_epsg(ground.epsg)
      .inverse(
          {ground.left_m + ground.cols * ground.cell_m / 2, ground.top_m - ground.rows * ground.cell_m / 2});
}

double typical_elevation_m(const raster::Grid& elevation_m) {
  std::vector<float> values;
  for (std::size_t i = 0; i < elevation_m.values.size(); i += 7)
    if (!std::isnan(elevation_m.values[i])) values.push_back(elevation_m.values[i]);
  if (values.empty()) throw Error(ErrorCode::no_data, "the ground has no elevation");
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2),
                   values.end());
  return values[values.size() / 2];
}

}  // namespace stumpwise::app

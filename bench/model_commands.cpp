#include <fmt/format.h>

#include <algorithm>

#include "commands.h"
#include "invented.h"
#include "measure.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/files.h"
#include "stumpwise/season/index.h"
#include "stumpwise/species/library.h"
#include "stumpwise/weather/read.h"

namespace stumpwise::bench {
namespace {

using nlohmann::json;

/// The last `years` calendar years of the series, gaps filled as the program does.
weather::Series last_years(const std::string& path, int years) {
  weather::Series series = base::value_or_throw(weather::read_any(path), path);
  if (series.days.empty()) throw Error(ErrorCode::no_data, path + " holds no days");
  const int last = base::year_of(series.days.back().date), first = last - years + 1;
  if (base::year_of(series.days.front().date) > first)
    throw Error(ErrorCode::bad_value, fmt::format("--years {}: {} begins in {} and ends in {}", years, path,
                                                  base::year_of(series.days.front().date), last));
  std::erase_if(series.days, [&](const weather::Day& day) { return base::year_of(day.date) < first; });
  weather::fill_gaps(series);
  return series;
}

}  // namespace

json prospect(int cells, int covariates, int threads) {
  if (cells < 1 || cells > 400'000'000)
    throw Error(ErrorCode::bad_usage, fmt::format("--cells {}: 1 to 400 000 000", cells));
  if (covariates < 3 || covariates > ground::kCovariates)
    throw Error(ErrorCode::bad_usage,
                fmt::format("--covariates {}: 3 (what land cover gives) to the model's {}", covariates,
                            ground::kCovariates));
  const ground::Layers layers = invented_layers(cells, covariates, 1);
  const species::Profile profile = invented_profile();
  const Meter meter;
  const ground::CovariateField field(layers, profile);
  const ground::Prospect map = ground::prospect(field, invented_coefficients(), invented_index(), threads);
  const double wall_s = meter.wall_seconds();
  return {{"cells", map.median.values.size()},
          {"covariates", covariates},
          {"threads", threads},
          {"wall_seconds", wall_s},
          {"peak_mb", Meter::peak_mb()}};
}

json index(const IndexRequest& request) {
  if (request.years < 1 || request.bands < 1 || request.bands > 100)
    throw Error(ErrorCode::bad_usage, "--years at least 1, --bands 1 to 100");
  const auto library = base::value_or_throw(species::Library::read(base::data_folder()), "profiles");
  weather::Series series = last_years(request.weather, request.years);
  series.station.place = {.lat_deg = request.lat_deg, .lon_deg = request.lon_deg};
  series.station.elevation_m = request.elev_m;
  constexpr double kBand_m = 100;
  const Meter meter;
  std::size_t days = 0;
  double highest = 0;
  for (int band = 0; band < request.bands; ++band) {
    weather::Site site;
    site.place = series.station.place;
    site.elevation_m = request.elev_m + band * kBand_m;
    const auto states = weather::run_site(series, site);
    days = states.size();
    for (const species::Profile& profile : library.profiles()) {
      const auto values = season::index_series(profile.triggers, site, states);
      if (!values.empty()) highest = std::max(highest, *std::max_element(values.begin(), values.end()));
    }
  }
  const double wall_s = meter.wall_seconds();
  return {{"profiles", library.profiles().size()},
          {"days", days},
          {"bands", request.bands},
          {"highest_index", highest},
          {"wall_seconds", wall_s}};
}

}  // namespace stumpwise::bench

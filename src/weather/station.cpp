#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "stumpwise/earth/geodesic.h"
#include "stumpwise/weather/site.h"

namespace stumpwise::weather {
namespace {

constexpr double kFar_km = 30, kFarHeight_m = 300, kOtherWeather_km = 300;

std::string distance_text(double km) {
  return km < 10 ? fmt::format("{:.1f} km", km) : fmt::format("{:.0f} km", km);
}

}  // namespace

StationFit station_fit(const Station& station, const LatLon& place, double elevation_m) {
  StationFit fit;
  fit.distance_km = earth::geodesic(station.place, place).distance_m / 1000;
  fit.height_difference_m = station.elevation_m - elevation_m;
  const double off_m = std::abs(fit.height_difference_m);
  fit.far = fit.distance_km > kFar_km || off_m > kFarHeight_m;
  if (!fit.far) return fit;
  const double beyond =
      std::max(0.0, fit.distance_km - kFar_km) / 100 + std::max(0.0, off_m - kFarHeight_m) / 1000;
  fit.band_factor = std::min(4.0, 1.25 + beyond);
  fit.warning = fmt::format("station {} stands {} away and {:.0f} m {} this place: ", station.name,
                            distance_text(fit.distance_km), off_m,
                            fit.height_difference_m < 0 ? "lower than" : "higher than");
  fit.warning +=
      fit.distance_km > kOtherWeather_km
          ? "its weather is not the weather here; nothing that follows from it holds for this place"
          : "the weather here may differ, and the band is wider";
  return fit;
}

}  // namespace stumpwise::weather

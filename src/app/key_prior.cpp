#include <fmt/format.h>

#include <algorithm>

#include "key_answer.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"

namespace stumpwise::app {
namespace {

/// Factors of the prior, all assumptions: what grows elsewhere, in another month, without its host.
constexpr double kOtherRegion = 0.1, kOtherMonth = 0.1, kLeastIndex = 0.05, kNoHost = 0.3, kHostRadiusM = 30;

bool holds(const records::GroundRecord& ground, const LatLon& at) {
  const auto point = earth::Utm::from_epsg(ground.epsg).forward(at);
  return point.x_m >= ground.left_m && point.y_m <= ground.top_m &&
         point.x_m <= ground.left_m + ground.cols * ground.cell_m &&
         point.y_m >= ground.top_m - ground.rows * ground.cell_m;
}

bool shares(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  return std::any_of(a.begin(), a.end(),
                     [&](const std::string& each) { return std::find(b.begin(), b.end(), each) != b.end(); });
}

/// Index of every profile at the place on the day; empty where the book has no weather for it.
std::vector<double> indices(Session& session, const std::string& ground, const LatLon& at, Date date) {
  OutlookRequest request;
  request.ground = ground, request.at = at, request.from = date, request.days = 1;
  for (const auto& profile : session.library().profiles()) request.species.push_back(profile.id);
  std::vector<double> list(request.species.size(), 0);
  try {
    const Json answer = outlook(session, request);
    for (const Json& species : answer["species"]) {
      const auto at_id = std::find(request.species.begin(), request.species.end(), species["id"]);
      list[static_cast<std::size_t>(at_id - request.species.begin())] = species["days"][0]["index"];
    }
  } catch (const Error& error) {
    if (error.code() != ErrorCode::no_data && error.code() != ErrorCode::bad_value) throw;
    return {};
  }
  return list;
}

double best_host(const species::Profile& profile, const std::vector<std::string>& genera) {
  double best = 0;
  for (const auto& host : profile.hosts)
    if (std::find(genera.begin(), genera.end(), host.genus) != genera.end())
      best = std::max(best, host.weight);
  return best;
}

}  // namespace

KeyPlace key_place(Session& session, const KeyRequest& request, const records::Piece* piece) {
  const auto at = request.at ? request.at : piece ? piece->place : std::nullopt;
  KeyPlace place;
  if (at && session.has_book())
    for (const auto& ground : session.book().grounds())
      if (holds(ground, *at)) place = {ground.region, "the region of the ground " + ground.name, ground.name};
  if (piece && !piece->region.empty()) place.region = piece->region, place.said = "the region of the piece";
  if (!request.ground.empty()) {
    const auto ground = session.ground(request.ground);
    place = {ground.region, "the region of the ground " + ground.name, ground.name};
  }
  if (!request.region.empty()) place.region = request.region, place.said = "the region that was given";
  return place;
}

std::vector<double> key_prior(Session& session, const KeyRequest& request, const KeyPlace& place,
                              const std::optional<LatLon>& at, std::vector<std::string>& said) {
  const auto& profiles = session.library().profiles();
  const auto regions =
      place.region.empty() ? std::vector<std::string>{} : session.library().parse_regions(place.region);
  const Date date = request.date.value_or(session.today());
  const std::vector<double> index =
      at && !place.ground.empty() ? indices(session, place.ground, *at, date) : std::vector<double>{};
  std::vector<std::string> genera;
  if (at && !place.ground.empty())
    for (const auto& host : session.book().hosts(place.ground))
      if (earth::geodesic(host.place, *at).distance_m <= kHostRadiusM) genera.push_back(host.genus);
  const int month = base::month_of(date);
  std::vector<double> weights;
  for (std::size_t t = 0; t < profiles.size(); ++t) {
    double weight = regions.empty() || shares(profiles[t].regions, regions) ? 1 : kOtherRegion;
    const auto& months = profiles[t].months;
    const bool in_month = std::find(months.begin(), months.end(), month) != months.end();
    weight *= !index.empty() ? kLeastIndex + index[t] : in_month ? 1 : kOtherMonth;
    if (!genera.empty()) weight *= kNoHost + best_host(profiles[t], genera);
    weights.push_back(weight);
  }
  said.push_back(std::string("names are ranked by ") +
                 (index.empty() ? "month" : "the day's index at the place") +
                 (regions.empty() ? "" : ", region") + (genera.empty() ? "" : ", hosts within 30 m") +
                 " and what was read; the gate reads only what was read");
  return weights;
}

}  // namespace stumpwise::app

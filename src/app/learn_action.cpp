#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/parallel.h"
#include "stumpwise/learn/learn.h"
#include "targets.h"

namespace stumpwise::app {
namespace {

/// The grid of candidates (design.md section 2): season and water need inside their stated uncertainty,
/// weighted by a normal prior whose 90 % range is that uncertainty.
std::vector<season::Variant> candidate_grid(const species::Triggers& triggers) {
  std::vector<season::Variant> grid;
  for (double shift : {-1.0, 0.0, 1.0})
    for (double water : {-1.0, 0.0, 1.0}) {
      season::Variant variant;
      variant.season_shift_days = shift * triggers.season_uncertainty_days;
      variant.rain_factor = std::pow(1 + triggers.rain_uncertainty, water);
      grid.push_back(variant);
    }
  return grid;
}

double log_prior(const season::Variant& variant, const species::Triggers& t) {
  constexpr double kQuantile95 = 1.6448536269514722;
  const double shift =
      t.season_uncertainty_days > 0 ? variant.season_shift_days / t.season_uncertainty_days * kQuantile95 : 0;
  const double water = t.rain_uncertainty > 0
                           ? std::log(variant.rain_factor) / std::log1p(t.rain_uncertainty) * kQuantile95
                           : 0;
  return -0.5 * (shift * shift + water * water);
}

/// Index by height on each day of the outings, for one variant: computed once for all outings.
class PastIndex {
 public:
  PastIndex(const WeatherContext& context, const LatLon& place, const std::vector<double>& heights_m,
            Date first, Date last)
      : heights_m_(heights_m) {
    for (double height_m : heights_m) {
      sites_.push_back(site_at(place, height_m));
      states_.push_back(observed_states(context, sites_.back(), last, base::days_between(first, last) + 420));
    }
  }
  /// Nothing on days whose weather is not known.
  std::map<Date, ground::IndexByHeight> run(const species::Triggers& triggers,
                                            const std::set<Date>& wanted) const {
    std::map<Date, ground::IndexByHeight> result;
    for (std::size_t h = 0; h < heights_m_.size(); ++h) {
      const auto series = season::index_series(triggers, sites_[h], states_[h]);
      for (std::size_t i = 0; i < series.size(); ++i) {
        if (!wanted.count(states_[h][i].date)) continue;
        auto [entry, fresh] = result.try_emplace(
            states_[h][i].date,
            ground::IndexByHeight{heights_m_, std::vector<double>(heights_m_.size()), {}, {}});
        entry->second.index[h] = series[i];
      }
    }
    for (auto& [date, index] : result) index.low90 = index.high90 = index.index;
    return result;
  }

 private:
  std::vector<double> heights_m_;
  std::vector<weather::Site> sites_;
  std::vector<std::vector<weather::DayState>> states_;
};

Json coefficients_json(const ground::Coefficients& after, const ground::Coefficients& before) {
  Json list = Json::array();
  for (int k = 0; k < ground::kTheta; ++k) {
    const std::string name = k == 0 ? "density"
                             : k == ground::kTheta - 1
                                 ? "index"
                                 : ground::standards()[static_cast<std::size_t>(k - 1)].name;
    list.push_back({{"name", name},
                    {"mean", rounded(after.mean[k], 4)},
                    {"sd", rounded(std::sqrt(after.covariance(k, k)), 4)},
                    {"prior_mean", rounded(before.mean[k], 4)},
                    {"prior_sd", rounded(std::sqrt(before.covariance(k, k)), 4)}});
  }
  return list;
}

struct Learned {
  learn::CandidateFit fit;
  ground::Coefficients prior;
  int outings = 0, finds = 0, without_weather = 0;
};

Learned learn_one(const species::Profile& profile, const ground::Layers& layers,
                  const std::vector<records::Outing>& outings, const PastIndex& past) {
  Learned learned;
  learned.prior = ground::prior_coefficients(profile.ground);
  const ground::CovariateField field(layers, profile);
  std::vector<learn::OutingData> exposed;
  std::set<Date> dates;
  for (const records::Outing& outing : outings) {
    base::check_interrupt();
    const bool spot_only = outing.track.size() == 1;
    records::Outing seen = outing;
    if (spot_only) seen.track.clear();
    auto data = learn::expose(seen, profile.id, field, profile.ground.sweep_width_m,
                              profile.ground.search_speed_m_per_min,
                              spot_only ? std::optional<LatLon>(outing.track.front().place) : std::nullopt);
    if (data.cells.empty()) continue;
    dates.insert(data.date);
    exposed.push_back(std::move(data));
  }
  std::vector<learn::CandidateData> candidates;
  for (const season::Variant& variant : candidate_grid(profile.triggers)) {
    learn::CandidateData candidate{variant, {}, log_prior(variant, profile.triggers)};
    const auto index = past.run(with_variant(profile.triggers, variant), dates);
    for (learn::OutingData data : exposed) {
      const auto day = index.find(data.date);
      if (day == index.end()) continue;
      learn::set_index(data, day->second);
      candidate.outings.push_back(std::move(data));
    }
    candidates.push_back(std::move(candidate));
  }
  for (const auto& data : candidates.front().outings) learned.finds += data.total();
  learned.outings = static_cast<int>(candidates.front().outings.size());
  learned.without_weather = static_cast<int>(exposed.size()) - learned.outings;
  learned.fit =
      learn::fit_candidates(candidates, learned.prior, profile.ground.dispersion_r, base::default_threads());
  return learned;
}

}  // namespace

Json learn(Session& session, const LearnRequest& request) {
  const auto ground = session.ground(request.ground);
  const auto outings = session.book().outings(ground.name);
  if (outings.empty())
    throw Error(ErrorCode::no_data, "the ground \"" + ground.name + "\" has no outings yet",
                "Add one: stumpwise outing add --gpx TRACK.gpx --target NAME. A blank outing is data too.");
  std::vector<std::string> names = request.species, notes;
  if (names.empty()) {
    std::set<std::string> targets;
    for (const auto& outing : outings) targets.insert(outing.targets.begin(), outing.targets.end());
    names.assign(targets.begin(), targets.end());
  }
  const auto profiles = wanted_species(session, names, ground.region, notes);
  const GroundData& data = session.ground_data(ground);
  const WeatherContext context =
      weather_context(session, centre_of(ground), typical_elevation_m(data.layers.elevation_m));
  notes.insert(notes.end(), context.notes.begin(), context.notes.end());
  Date first = outings.front().date, last = first;
  for (const auto& outing : outings) {
    first = std::min(first, outing.date);
    last = std::max(last, outing.date);
  }
  const PastIndex past(context, centre_of(ground), index_heights(data.layers.elevation_m), first, last);
  Json species = Json::array();
  std::vector<book::ModelRecord> models;
  const Instant now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now());
  for (std::size_t s = 0; s < profiles.size(); ++s) {
    if (session.progress)
      session.progress(static_cast<double>(s) / static_cast<double>(profiles.size()),
                       "learning " + profiles[s]->name());
    const Learned learned = learn_one(*profiles[s], data.layers, outings, past);
    const learn::Candidate& best = learned.fit.candidates[learned.fit.best];
    Json weights = Json::array();
    for (const auto& candidate : learned.fit.candidates)
      weights.push_back({{"season_shift_days", rounded(candidate.variant.season_shift_days, 1)},
                         {"rain_factor", rounded(candidate.variant.rain_factor, 3)},
                         {"weight", rounded(candidate.weight, 4)}});
    species.push_back({{"id", profiles[s]->id},
                       {"name", profiles[s]->name()},
                       {"outings", learned.outings},
                       {"finds", learned.finds},
                       {"outings_without_weather", learned.without_weather},
                       {"converged", best.result.converged},
                       {"variant",
                        {{"season_shift_days", rounded(best.variant.season_shift_days, 1)},
                         {"rain_factor", rounded(best.variant.rain_factor, 3)}}},
                       {"weights", weights},
                       {"coefficients", coefficients_json(best.result.coefficients, learned.prior)}});
    if (learned.outings == 0) {
      notes.push_back(profiles[s]->name() + ": no outing looked for it with known weather: nothing learned");
      continue;
    }
    models.push_back({ground.name, profiles[s]->id, ground::kModelVersion,
                      learn::model_to_json({best.result.coefficients, best.variant}), now});
  }
  session.book().transaction([&] {
    for (const auto& model : models) session.book().put_model(model);
  });
  Cautions cautions(caution::Place::learn);
  cautions.add_for(ground, context.fit.far, context.gap_left);
  return with_cautions(
      {{"ground", ground.name}, {"invented", ground.invented}, {"species", species}, {"notes", notes}},
      cautions.list());
}

}  // namespace stumpwise::app

#include "outings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "calendar.h"
#include "noise.h"
#include "stumpwise/demo/sites.h"
#include "stumpwise/earth/sun.h"
#include "stumpwise/earth/zone.h"
#include "track.h"

namespace stumpwise::demo {
namespace {

using records::Find;

double apart(const PlanePoint& a, const PlanePoint& b) {
  return std::hypot(a.x_m - b.x_m, a.y_m - b.y_m);
}

struct Patch {
  PlanePoint middle;
  double radius_m = 90;
  double minutes = 30;
};

/// Clock minutes of the day between which people are out: 40 minutes from sunrise and sunset.
struct Daylight {
  int from_min, to_min;
};
Daylight daylight(Date date) {
  const int offset_min = earth::offset_at(kZone, earth::local_instant(kZone, date, 12 * 60));
  const earth::SunTimes sun = earth::sun_times(date, kBridgeGreen.place, offset_min);
  const auto clock = [&](Instant instant) {
    return static_cast<int>(
               std::chrono::duration_cast<std::chrono::minutes>(instant - Instant{date}).count()) +
           offset_min;
  };
  return {clock(*sun.rise) + 40, clock(*sun.set) - 40};
}

/// Makes the outings one by one, each from the same stream of chance.
class Seasons {
 public:
  Seasons(const Land& land, const Walker& walker, const HiddenTruth& truth, std::uint64_t seed)
      : land_(land), walker_(walker), truth_(truth), seed_(seed), random_(seed) {
    for (const Tree& tree : land.trees)
      if (tree.genus == "Ulmus" && tree.state != "living") {
        elms_.push_back(tree.at);
        if (tree.known) noted_elms_.push_back(tree.at);
      }
  }

  InventedOuting make(const Errand& errand) {
    // A stream for each day, so that one outing's chances do not shift those of all that follow.
    random_ = base::Random(lattice_hash(seed_, errand.date.time_since_epoch().count(), 0));
    for (int tries = 0; tries < 12; ++tries)
      if (auto outing = attempt(errand, tries)) return std::move(*outing);
    throw Error(ErrorCode::internal, "the demo finds no outing for " + base::to_text(errand.date));
  }

 private:
  /// Spruce and hemlock stand high: who looks there goes further.
  static bool to_conifers(const Errand& errand) {
    return errand.targets.front() == "X04" || errand.targets.front() == "E14" ||
           errand.targets.back() == "X09";
  }

  CarPark car_park(const Errand& errand) {
    if (errand.to_spent_elm) return kTarnwickLane;
    const double draw = random_.uniform();
    const bool high = to_conifers(errand);
    const double lane = high ? 0.6 : 0.4, gate = high ? 0.9 : 0.6;
    return draw < lane ? kTarnwickLane : draw < gate ? kLanternGate : kBridgeGreen;
  }

  double promise(const Errand& errand, const PlanePoint& at) {
    double sum = 0;
    for (const std::string& target : errand.targets) sum += believed(target, land_.cover_at(at));
    if (errand.targets.front() == "E01")
      for (const PlanePoint& elm : noted_elms_)
        if (std::abs(elm.x_m - at.x_m) < 60 && apart(elm, at) < 60) sum += 0.25;
    return sum + random_.uniform(0, 0.5);
  }

  /// The most promising of some places drawn at random within reach, apart from those already chosen.
  std::optional<PlanePoint> choose_patch(const Errand& errand, const PlanePoint& start, double reach_m,
                                         const std::vector<Patch>& chosen) {
    std::optional<PlanePoint> best;
    double most = -1;
    for (int k = 0; k < 14; ++k) {
      const double angle = random_.uniform(0, 6.283185307179586),
                   away_m = reach_m * std::sqrt(random_.uniform(0.03, 1));
      const PlanePoint at{start.x_m + away_m * std::cos(angle), start.y_m + away_m * std::sin(angle)};
      if (!walker_.open(at) || land_.cover_at(at) == raster::ClassGrid::kNone) continue;
      if (std::any_of(chosen.begin(), chosen.end(),
                      [&](const Patch& p) { return apart(p.middle, at) < 250; }))
        continue;
      const double value = promise(errand, at);
      if (value <= most) continue;
      most = value;
      best = at;
    }
    return best;
  }

  /// Somewhere near an earlier find of a target, as people go back to where they were lucky.
  std::optional<PlanePoint> lucky_place(const Errand& errand, const PlanePoint& start, double reach_m,
                                        const std::vector<Patch>& chosen) {
    std::vector<PlanePoint> lucky;
    for (const auto& [species, at] : lucky_)
      if (apart(at, start) < reach_m &&
          std::find(errand.targets.begin(), errand.targets.end(), species) != errand.targets.end() &&
          std::none_of(chosen.begin(), chosen.end(),
                       [&](const Patch& p) { return apart(p.middle, at) < 250; }))
        lucky.push_back(at);
    if (lucky.empty()) return std::nullopt;
    const PlanePoint at =
        lucky[static_cast<std::size_t>(random_.integer(0, static_cast<int>(lucky.size()) - 1))];
    const PlanePoint near{at.x_m + random_.normal(0, 25), at.y_m + random_.normal(0, 25)};
    return walker_.open(near) ? std::optional<PlanePoint>(near) : std::nullopt;
  }

  std::vector<Patch> choose_patches(const Errand& errand, const PlanePoint& start, int count,
                                    double reach_m) {
    std::vector<Patch> patches;
    if (errand.to_spent_elm) patches.push_back({plane_point(kSpentElm), 60, 20});
    while (static_cast<int>(patches.size()) < count) {
      auto middle = random_.chance(0.3) ? lucky_place(errand, start, reach_m, patches) : std::nullopt;
      if (!middle) middle = choose_patch(errand, start, reach_m, patches);
      if (!middle) break;
      patches.push_back({*middle, random_.uniform(60, 120), std::round(random_.uniform(25, 50))});
    }
    for (std::size_t i = 0; i + 1 < patches.size(); ++i) {  // the nearest first, as people go
      const PlanePoint here = i == 0 ? start : patches[i - 1].middle;
      std::size_t next = i;
      for (std::size_t k = i; k < patches.size(); ++k)
        if (apart(here, patches[k].middle) < apart(here, patches[next].middle)) next = k;
      std::swap(patches[i], patches[next]);
    }
    return patches;
  }

  /// The way of a whole outing; nothing where a patch cannot be reached.
  std::optional<std::vector<WayPoint>> whole_way(const PlanePoint& start, const std::vector<Patch>& patches,
                                                 const Errand& errand) {
    std::vector<WayPoint> whole{{start, Going::open_ground}};
    const bool to_elms = errand.targets.front() == "E01" || errand.targets.front() == "O22";
    for (const Patch& patch : patches) {
      const auto leg = walker_.way(whole.back().at, patch.middle);
      if (!leg) return std::nullopt;
      whole.insert(whole.end(), leg->begin(), leg->end());
      const auto search = walker_.search(random_, patch.middle, patch.radius_m,
                                         patch.minutes * Walker::speed_m_per_min(0, Going::searching),
                                         to_elms ? elms_ : std::vector<PlanePoint>{});
      whole.insert(whole.end(), search.begin(), search.end());
    }
    const auto home = walker_.way(whole.back().at, start);
    if (!home) return std::nullopt;
    whole.insert(whole.end(), home->begin(), home->end());
    return whole;
  }

  std::optional<InventedOuting> attempt(const Errand& errand, int tries) {
    const CarPark park = car_park(errand);
    const PlanePoint start = plane_point(park.place);
    const Daylight light = daylight(errand.date);
    const int day_min = light.to_min - light.from_min;
    const int count =
        std::max(1, (day_min < 500 ? random_.integer(1, 3) : random_.integer(2, 4)) - tries / 3);
    const auto patches = choose_patches(errand, start, count,
                                        (day_min < 500         ? 1700
                                         : to_conifers(errand) ? 2900
                                                               : 2300) -
                                            120.0 * tries);
    if (patches.empty()) return std::nullopt;
    const auto way = whole_way(start, patches, errand);
    if (!way) return std::nullopt;
    WalkedTrack track = walk_track(walker_, *way, random_);
    constexpr double kLongest_min = 380;
    if (track.minutes > kLongest_min) return std::nullopt;
    const int minutes = static_cast<int>(std::ceil(track.minutes));
    const int latest = light.to_min - minutes - 5;
    const int earliest = std::max(light.from_min, 8 * 60);
    if (latest < earliest) return std::nullopt;
    const int begin = random_.integer(earliest, std::min(latest, earliest + 300));
    return record(errand, park, track, begin);
  }

  InventedOuting record(const Errand& errand, const CarPark& park, const WalkedTrack& track, int begin_min) {
    InventedOuting made;
    records::Outing& outing = made.outing;
    const Instant begin = earth::local_instant(kZone, errand.date, begin_min);
    outing.ground = kGroundName;
    outing.date = errand.date;
    outing.start_clock = fmt::format("{:02d}:{:02d}", begin_min / 60, begin_min % 60);
    outing.minutes = std::round(track.minutes);
    outing.search_minutes = std::round(track.search_minutes);
    outing.people = random_.chance(0.2) ? 2 : 1;
    outing.observer = random_.chance(0.75) ? "M." : "T.";
    outing.targets = errand.targets;
    outing.invented = true;
    outing.note = std::string("Invented outing from ") + park.name +
                  (errand.to_spent_elm ? ", with a look at the old elm." : ".");
    outing.finds = finds(errand, track);
    for (const Find& find : outing.finds) lucky_.emplace_back(find.species, plane_point(*find.place));
    made.gpx.name = base::to_text(errand.date) + " " + park.name;
    made.gpx.description = "Invented outing of the Ennoway Vale demo";
    made.gpx.tracks.push_back(to_gpx_track(track, begin, made.gpx.name));
    return made;
  }

  /// Chance falls off with the nearest distance, and is less for who only walks by.
  bool seen(const FruitingPlace& place, const WalkedTrack& track) {
    const double sight = sight_m(place.species);
    const auto [search_m, walk_m] = nearest_pass(track, place.at, 4 * sight);
    if (place.spent_elm && search_m < 15) return true;
    const double by_search = 0.85 * std::exp(-(search_m / sight) * (search_m / sight)),
                 by_walk = 0.3 * std::exp(-(walk_m / (0.6 * sight)) * (walk_m / (0.6 * sight)));
    return random_.chance(1 - (1 - by_search) * (1 - by_walk));
  }

  std::vector<Find> finds(const Errand& errand, const WalkedTrack& track) {
    std::vector<Find> found;
    for (const Fruiting& fruiting : truth_.fruitings) {
      const FruitingPlace& place = truth_.places[fruiting.place];
      if (errand.date < fruiting.first || errand.date > fruiting.last) continue;
      if (std::find(errand.targets.begin(), errand.targets.end(), place.species) == errand.targets.end())
        continue;
      if (!seen(place, track)) continue;
      Find find;
      find.species = place.species;
      find.date = errand.date;
      find.accuracy_m = random_.integer(4, 9);
      find.place = lat_lon({place.at.x_m + random_.normal(0, 2.5), place.at.y_m + random_.normal(0, 2.5)});
      find.pieces = fruiting.pieces;
      find.substrate = place.substrate;
      if (random_.chance(0.85)) {
        find.host_genus = place.host_genus;
        find.host_told_by = place.told_by;
      }
      if (random_.chance(0.8)) find.cap_mm = fruiting.cap_mm;
      if (place.spent_elm) find.note = "The elm at Tarnwick, standing dead, bark off on the south side.";
      found.push_back(std::move(find));
    }
    return found;
  }

  const Land& land_;
  const Walker& walker_;
  const HiddenTruth& truth_;
  std::uint64_t seed_;
  base::Random random_;
  std::vector<PlanePoint> elms_, noted_elms_;
  std::vector<std::pair<std::string, PlanePoint>> lucky_;  ///< finds so far
};

}  // namespace

std::vector<InventedOuting> make_outings(const Land& land, const Walker& walker, const HiddenTruth& truth,
                                         std::uint64_t seed) {
  Seasons seasons(land, walker, truth, seed);
  std::vector<InventedOuting> outings;
  for (const Errand& errand : make_calendar(seed + 1)) {
    base::check_interrupt();
    outings.push_back(seasons.make(errand));
  }
  return outings;
}

}  // namespace stumpwise::demo

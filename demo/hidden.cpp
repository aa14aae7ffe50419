#include "hidden.h"

#include <algorithm>
#include <cmath>

#include "habits.h"
#include "noise.h"
#include "stumpwise/base/random.h"
#include "stumpwise/demo/sites.h"

namespace stumpwise::demo {
namespace {

/// The days with sums, so that means and rain of a span cost nothing.
class Sums {
 public:
  explicit Sums(const std::vector<ClimateDay>& days) : first_(days.front().date) {
    temperature_.push_back(0);
    rain_.push_back(0);
    for (const ClimateDay& day : days) {
      temperature_.push_back(temperature_.back() + day.mean_degc());
      rain_.push_back(rain_.back() + day.rain_mm);
      lowest_.push_back(day.tmin_degc);
    }
  }
  int number(Date date) const { return base::days_between(first_, date); }
  Date date(int number) const { return base::plus_days(first_, number); }
  int count() const { return static_cast<int>(lowest_.size()); }
  /// Over the `span` days that end with day `number`; cut at the beginning of the record.
  double mean_degc(int number, int span) const {
    const int from = std::max(0, number + 1 - span);
    return (temperature_[number + 1] - temperature_[from]) / (number + 1 - from);
  }
  double rain_mm(int number, int span) const {
    return rain_[number + 1] - rain_[std::max(0, number + 1 - span)];
  }
  double lowest_degc(int number) const { return lowest_[number]; }

 private:
  Date first_;
  std::vector<double> temperature_, rain_, lowest_;
};

struct Season {
  const Sums& sums;
  base::Random& random;
  std::vector<Fruiting>& fruitings;

  void add(std::size_t place, int first, int days, double pieces, double cap_mm, double cap_sd_mm) {
    fruitings.push_back({place, sums.date(first), sums.date(first + days),
                         1 + random.poisson(std::max(0.0, pieces - 1)),
                         std::round(std::max(0.35 * cap_mm, random.normal(cap_mm, cap_sd_mm)))});
  }

  void habit(const Habit& h, std::size_t place, double height_m, int year) {
    if (!random.chance(h.chance)) return;
    const double colder = kLapse_degc_per_m * (height_m - kStationElevation_m),
                 thirst = h.rain_mm * std::exp(random.normal(0, 0.2));
    const int begin = sums.number(base::make_date(year, h.month, h.day)) + random.integer(-5, 5);
    int left = h.flushes;
    for (int day = std::max(0, begin); day < begin + h.season_days && day < sums.count() && left > 0; ++day) {
      const double mean = sums.mean_degc(day, 7) + colder;
      if (mean < h.low_degc || mean > h.high_degc || sums.rain_mm(day, h.rain_days) < thirst) continue;
      const int first = day + random.integer(h.delay_min, h.delay_max),
                seen = random.integer(h.seen_min, h.seen_max);
      add(place, first, seen, h.pieces, h.cap_mm, h.cap_sd_mm);
      day = first + seen + random.integer(4, 15);
      left -= random.chance(0.6) ? 1 : left;  // the next flush may fail
    }
  }

  /// E01: warmth since February wakes it, a run of rain lets it swell, frost may take what is young.
  void saddle(std::size_t place, double height_m, int year) {
    if (random.chance(0.35)) return;
    const double colder = kLapse_degc_per_m * (height_m - kStationElevation_m),
                 wanted_degday = random.normal(165, 30), thirst = std::max(4.0, random.normal(11, 2.5));
    double warmth_degday = 0;
    const int begin = sums.number(base::make_date(year, 2, 1));
    for (int day = begin; day < begin + 160 && day < sums.count(); ++day) {
      warmth_degday += std::max(0.0, sums.mean_degc(day, 1) + colder - 5);
      if (warmth_degday < wanted_degday || sums.rain_mm(day, 6) < thirst) continue;
      const int first = day + random.integer(4, 11);
      bool frozen = false;
      for (int k = first; k < std::min(first + 6, sums.count()); ++k)
        frozen = frozen || sums.lowest_degc(k) + colder < -2;
      if (!frozen || random.chance(0.4)) add(place, first, random.integer(20, 40), 2.6, 165, 60);
      break;
    }
    const int autumn = sums.number(base::make_date(year, 9, 1));
    for (int day = autumn; day < autumn + 40 && day < sums.count(); ++day)
      if (sums.rain_mm(day, 10) > 24) {
        if (random.chance(0.15)) add(place, day + 7, random.integer(15, 28), 1.6, 130, 50);
        break;
      }
  }
};

bool bears_saddle(const FruitingPlace& place, int year, base::Random& random) {
  if (!place.year_died) return random.chance(0.35);  // wounds and logs of other trees
  const int since = year - *place.year_died;
  return since >= 2 && since <= 10;
}

/// Each cell and each place draws from its own stream, so that a last bit that differs between machines
/// cannot change the whole world.
void scatter(const Land& land, std::uint64_t seed, std::vector<FruitingPlace>& places, const char* species,
             const char* substrate, const Where& where) {
  const raster::Georef& g = land.cover.georef;
  for (int row = 0; row < g.rows; ++row)
    for (int col = 0; col < g.cols; ++col) {
      if (land.cover.codes[g.index(col, row)] != where.cover) continue;
      if (lattice_uniform(seed, col, row) >= where.per_ha / 100) continue;
      base::Random random(lattice_hash(seed + 1, col, row));
      const double x = g.x_of(col) + random.uniform(-5, 5), y = g.y_of(row) + random.uniform(-5, 5);
      places.push_back({species,
                        where.genus,
                        random.chance(0.7) ? "bark" : "wood",
                        substrate,
                        {x, y},
                        std::nullopt,
                        false});
    }
}

std::vector<FruitingPlace> all_places(const Land& land, std::uint64_t seed) {
  std::vector<FruitingPlace> places;
  const PlanePoint spent = plane_point(kSpentElm);
  for (const Tree& tree : land.trees)
    if (tree.genus == "Ulmus" && tree.state != "living")
      places.push_back({"E01", "Ulmus", "bark", tree.state == "dead" ? "standing dead trunk" : tree.state,
                        tree.at, tree.year_died,
                        std::hypot(tree.at.x_m - spent.x_m, tree.at.y_m - spent.y_m) < 0.5});
  scatter(land, seed + 2, places, "E01", "fallen trunk", {kElmAsh, "Fraxinus", 0.08});
  scatter(land, seed + 4, places, "E01", "wound of a living trunk", {kBeechAshMaple, "Acer", 0.04});
  std::uint64_t stream = seed + 6;
  for (const Habit& h : habits())
    for (const Where& where : h.where) scatter(land, stream += 2, places, h.species, h.substrate, where);
  return places;
}

/// The elm of the demo's story: three springs, then nothing.
void tell_spent_elm(std::size_t place, std::vector<Fruiting>& fruitings) {
  using base::make_date;
  fruitings.push_back({place, make_date(2023, 5, 11), make_date(2023, 6, 12), 4, 210});
  fruitings.push_back({place, make_date(2024, 5, 19), make_date(2024, 6, 20), 3, 180});
  fruitings.push_back({place, make_date(2025, 5, 8), make_date(2025, 6, 6), 1, 120});
}

}  // namespace

HiddenTruth make_truth(const Land& land, const std::vector<ClimateDay>& days, std::uint64_t seed) {
  HiddenTruth truth;
  truth.places = all_places(land, seed);
  const Sums sums(days);
  for (std::size_t i = 0; i < truth.places.size(); ++i) {
    const FruitingPlace& place = truth.places[i];
    const double height_m =
        land.relief.elevation_m.value(place.at.x_m, place.at.y_m).value_or(kStationElevation_m);
    if (place.spent_elm) {
      tell_spent_elm(i, truth.fruitings);
      continue;
    }
    base::Random random(lattice_hash(seed + 1, std::lround(place.at.x_m), std::lround(place.at.y_m)));
    Season season{sums, random, truth.fruitings};
    const auto habit = std::find_if(habits().begin(), habits().end(),
                                    [&](const Habit& h) { return place.species == h.species; });
    for (int year = 2022; year <= 2026; ++year) {  // 2022: what began in that autumn and stands in the winter
      if (habit != habits().end())
        season.habit(*habit, i, height_m, year);
      else if (year > 2022 && bears_saddle(place, year, random))
        season.saddle(i, height_m, year);
    }
  }
  return truth;
}

double sight_m(const std::string& species) {
  for (const Habit& h : habits())
    if (species == h.species) return h.sight_m;
  return 13;  // E01: brackets as large as plates on bare trunks
}

double believed(const std::string& species, std::uint8_t cover) {
  if (species == "E01") return cover == kElmAsh ? 1 : cover == kBeechAshMaple ? 0.35 : 0.02;
  for (const Habit& h : habits()) {
    if (species != h.species) continue;
    double most = 0, here = 0.02;
    for (const Where& where : h.where) {
      most = std::max(most, where.per_ha);
      if (where.cover == cover) here = where.per_ha;
    }
    return most > 0 ? here / most : 0;
  }
  return 0;
}

}  // namespace stumpwise::demo

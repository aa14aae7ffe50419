#pragma once
#include <Eigen/Core>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/earth/projection.h"
#include "stumpwise/ground/prospect.h"
#include "stumpwise/records/records.h"

namespace stumpwise::learn {

/// A cell of an outing's exposure: cells of at least 10 sweep widths a side, whatever the ground's own cell.
struct ExposedCell {
  double exposure_ha = 0;  ///< A (1 - exp(-W L / A)) / 10 000
  Eigen::Matrix<double, ground::kCovariates, 1> z =
      Eigen::Matrix<double, ground::kCovariates, 1>::Zero();  ///< mean over the ground's cells inside
  double elevation_m = 0;
  int finds = 0;
  double length_m = 0;  ///< searched, all people together
  double area_ha = 0;   ///< land of the ground inside
};
struct OutingData {
  Date date;
  std::vector<ExposedCell> cells;
  int unplaced_finds = 0;
  std::vector<double> log_index;              ///< per cell, log max(index, 0.001): see set_index
  double searched_m = 0, searched_min = 0;    ///< of one person; minutes 0 where the track has no times
  double set_apart_m = 0, set_apart_min = 0;  ///< faster than walking: neither exposure nor time
  int finds_elsewhere = 0;                    ///< off the ground: left out
  int total() const;                          ///< finds, placed and unplaced
};

/// A (1 - exp(-W L / A)) / 10 000 hectares (Koopman's random search); at most A. 0 where A or L is 0.
double exposure_ha(double area_m2, double length_m, double sweep_width_m);

/// A stretch that was searched, on the ground's plane.
struct SearchedPath {
  std::vector<std::vector<earth::PlanePoint>> lines;
  double searched_m = 0, searched_min = 0, set_apart_m = 0, set_apart_min = 0;
};
/// Clears a track of the noise of its receiver, which would lengthen it, segment by segment (never joined):
/// 1. running median over five points, each coordinate for itself, takes out leaps of one or two points;
/// 2. mean over the points within 8 s before and after (two points to either side where there are no times);
/// 3. points nearer than 8 m to the last one kept are dropped, so that standing still adds little length.
/// Steps 1 and 2 are left out where the points lie further apart than 10 s in the median (15 m where there
/// are no times): such a track shows corners, not noise. The windows are a
/// compromise: with noise of 4 m that lasts (0.95 a second) a straight walk comes out some 4 % too long, a
/// search in legs of 25 m, 8 m apart, a fifth too short. Then pieces faster than 7 km/h (assumption: nobody
/// searches so fast) are set apart. A segment whose times are not whole, run backwards or stand still counts
/// as one without.
SearchedPath searched_path(const std::vector<records::TrackPoint>& track, int epsg);

/// Smoothed track or search minutes to exposed cells, with the outing's finds of `species` in them.
/// Lengths count once for each person. Where there is no track, the search minutes (else half of the minutes:
/// assumption) times the speed are spread evenly over a disc around `at`, wide enough for a coverage W L / A
/// of 0.25 (assumption) and at least 10 W; without `at` over the whole ground, and then no find has a place,
/// since an even spread says nothing of where. Finds go to their cell; within 60 m of an exposed cell to the
/// nearest; further off, or without a place, they are unplaced. One find is one fruiting whatever its pieces.
/// Cells without land of the ground are left out. Only for a species that was looked for: where `species` is
/// not among the outing's targets the result has no cells, so that it teaches nothing. The same where the
/// track or `at` lies wholly off the ground's land. Error(bad_value) for a sweep width outside 0.5 to 100 m,
/// a speed outside 1 to 100 m/min or people below 1.
OutingData expose(const records::Outing& outing, const std::string& species,
                  const ground::CovariateField& field, double sweep_width_m, double search_speed_m_per_min,
                  std::optional<LatLon> at = std::nullopt);

/// Fills log_index from the day's index by height.
void set_index(OutingData& outing, const ground::IndexByHeight& index);

}  // namespace stumpwise::learn

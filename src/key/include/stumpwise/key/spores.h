#pragma once
#include <optional>
#include <string>
#include <vector>

/// Statistics of measured spores.
///
/// What: of n spores, length, width and Q = length / width of each single spore: smallest, 5th percentile,
/// mean, standard deviation, 95th percentile, largest; and the notation in which descriptions print them.
///
/// Formula: percentile p of x(1) <= ... <= x(n) by linear interpolation (type 7 of Hyndman & Fan 1996,
/// American Statistician 50: 361): h = (n - 1) p, x(floor h + 1) + (h - floor h) (x(floor h + 2) - x(floor h
/// + 1)). Standard deviation with n - 1. The mean of Q is the mean of the quotients, which is not the
/// quotient of the means. Notation: Tulloss & Lindgren 2005, Mycotaxon 91: 193-194:
/// [spores/bodies/collections], (k-) m-n (-p) with m, n the 5th and 95th percentiles, k the smallest and p
/// the largest, dropped where they equal m or n as printed; L', W', Q' over all spores; L, W per body, given
/// as a range of the bodies' means.
///
/// Units: micrometres; Q has none. Valid: 10 or more spores, each 0 < width <= length <= 200. Outside:
/// Error(no_data) below 10, Error(bad_value) for an impossible spore. From 10 to 19 the answer stands and is
/// `few`: up to n = 20 the 5 % lies between the two smallest spores, so that one odd spore moves it.
namespace stumpwise::key {

inline constexpr int kFewestSpores = 10;         ///< below, no statistics
inline constexpr int kSporesWanted = 20;         ///< the domain paper, B7
inline constexpr double kLongestSpore_um = 200;  ///< no spore of a book of mushrooms is longer

struct Spore {
  double length_um = 0, width_um = 0;
  std::string specimen, collection;  ///< empty: not said
};

/// Of one measure, in its own unit.
struct Spread {
  double min = 0, p5 = 0, mean = 0, sd = 0, p95 = 0, max = 0;
};

/// The spores of one fruit body. A specimen of the same name in another collection is another body.
struct BodyMeans {
  std::string specimen, collection;
  int spores = 0;
  double mean_length_um = 0, mean_width_um = 0, mean_q = 0;
};

struct SporeStatistics {
  int spores = 0, collections = 0;
  Spread length_um, width_um, q;
  std::vector<BodyMeans> bodies;                          ///< in the order of collection and specimen
  bool specimens_said = false, collections_said = false;  ///< else all count as one
  bool few() const { return spores < kSporesWanted; }
};

/// The order of the spores does not matter, to the last bit.
SporeStatistics spore_statistics(const std::vector<Spore>& spores);

/// Class of shape by Q, from its lower bound up to the next: globose 1, subglobose 1.05, broadly
/// ellipsoid 1.15, ellipsoid 1.3 (Bas 1969, Persoonia 5: 285); elongate 1.6, cylindrical 2, bacilliform 3
/// (memory).
struct ShapeClass {
  std::string name, source;
};
ShapeClass spore_shape(double q);

/// "[20/1/1] (8.1–) 8.4–10.3 (–11.2) × ... µm, L' = 9.3, W' = 5.7; Q = ..., Q' = 1.64": micrometres to one
/// decimal, Q to two.
std::string bracket_notation(const SporeStatistics& statistics);

/// A printed range; the ends in brackets may be missing.
struct PrintedRange {
  std::optional<double> min;
  double usual_min = 0, usual_max = 0;
  std::optional<double> max;
};

/// Spore sizes as a description prints them.
struct PrintedSpores {
  PrintedRange length_um, width_um;
  std::optional<PrintedRange> q;
  std::optional<int> spores, bodies, collections;
  std::optional<double> mean_length_um, mean_width_um, mean_q;
  std::vector<std::string> left_out;  ///< what was not understood
};

/// Reads the notation above and its kin: decimal commas or points, any dash, x or ×, the dash inside the
/// brackets or not, N, Me (mean length × width), Qe, Qm or Q'. Error(bad_value) where no length × width can
/// be read, or where a range falls or is impossible.
PrintedSpores parse_notation(const std::string& text);

}  // namespace stumpwise::key

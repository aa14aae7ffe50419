#pragma once
#include <functional>
#include <string>
#include <vector>

#include "stumpwise/base/angle.h"
#include "stumpwise/base/date.h"

/// The values of options: each throws Error(bad_usage) that names the option, the word that was given and the
/// shape it needs.
namespace stumpwise::cli {

struct Around {
  LatLon centre;
  double radius_km = 0;
};

double number_of(const std::string& option, const std::string& word);  ///< finite, decimal point
int integer_of(const std::string& option, const std::string& word);
LatLon place_of(const std::string& option, const std::string& word);   ///< LAT,LON in degrees
Around around_of(const std::string& option, const std::string& word);  ///< LAT,LON,KM
int clock_min_of(const std::string& option, const std::string& word);  ///< HH:MM, minutes after midnight
/// Reads one of a few words.
std::function<std::string(const std::string& option, const std::string& word)> one_of(
    std::vector<std::string> known);

}  // namespace stumpwise::cli

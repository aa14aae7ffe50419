#pragma once
#include <string>
#include <vector>

#include "stumpwise/app/session.h"

namespace stumpwise::app {

/// What the user's access notes say of a day.
enum class Access { allowed, not_allowed, ask };

/// An open area and one with an unexpired permission are allowed; a closed one and a reserve are not; an
/// expired permission is unknown, so: ask (the-job.md B3). Land without a note is unknown too, but not walled
/// off: the result says so.
Access access_on(const records::AccessArea& area, Date date);

/// The ground's barrier with every area added that may not be entered, or must first be asked for, on some
/// day of the range.
raster::Grid wall_with_access(const GroundData& data, const std::vector<records::AccessArea>& areas,
                              const records::GroundRecord& ground, const std::vector<Date>& dates,
                              std::vector<std::string>& notes);

/// Words for the history areas that hold a place, each with what it means for eating from there.
std::vector<std::string> history_at(const std::vector<records::HistoryArea>& areas, const LatLon& place);

}  // namespace stumpwise::app

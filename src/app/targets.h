#pragma once
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/app/session.h"
#include "stumpwise/learn/coefficients.h"
#include "stumpwise/plan/targets.h"
#include "weather_context.h"

namespace stumpwise::app {

/// The profiles that a request names, each once; `said` collects what the resolver did with the names. None
/// named: the kinds usually looked for, every profile of group edible in the ground's regions (what needs
/// experience is looked for when it is named, dangerous ones only for teaching).
std::vector<const species::Profile*> wanted_species(Session& session, const std::vector<std::string>& names,
                                                    const std::string& region,
                                                    std::vector<std::string>& said);

/// Models of the species on a ground: learned ones where the book has them for this model version, else the
/// profile's prior; a learned one of another version is said in `notes` and not used.
std::vector<learn::Model> models_of(Session& session, const std::string& ground,
                                    const std::vector<const species::Profile*>& profiles,
                                    std::vector<std::string>& notes);

/// The triggers with a variant applied: the season later, the temperature window warmer, more water needed
/// (season/index.h).
species::Triggers with_variant(species::Triggers triggers, const season::Variant& variant);

/// Heights for which the index is computed: from the lowest to the highest of the ground, at most 60 m apart,
/// 2 to 16 of them.
std::vector<double> index_heights(const raster::Grid& elevation_m);

/// Index by height of each species for each of `n_days` days from `first`: [species][day]. `basis` of each
/// day.
struct IndexTable {
  std::vector<std::vector<ground::IndexByHeight>> by_species;
  std::vector<season::Basis> basis;
};
IndexTable index_table(Session& session, const WeatherContext& context,
                       const std::vector<const species::Profile*>& profiles,
                       const std::vector<learn::Model>& models, const LatLon& place,
                       const std::vector<double>& heights_m, Date first, int n_days);

/// True where the cover has a class that only says "trees".
bool cover_names_no_genus(const ground::Layers& layers);
/// What must be said of a ground whose cover tells no genus, or that has none.
std::optional<std::string> cover_note(const ground::Layers& layers);

LatLon centre_of(const records::GroundRecord& ground);
/// Elevation that stands for the ground as a whole: the median of its cells.
double typical_elevation_m(const raster::Grid& elevation_m);

}  // namespace stumpwise::app

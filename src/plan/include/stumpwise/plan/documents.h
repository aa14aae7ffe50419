#pragma once
#include <string>

#include "stumpwise/ground/layers.h"
#include "stumpwise/plan/outing_plan.h"

namespace stumpwise::plan {

/// What the printed things of a plan are made from.
struct DocumentInput {
  const OutingPlan* plan = nullptr;
  const PlanTask* task = nullptr;
  const std::vector<Target>* targets = nullptr;
  const ground::Layers* layers = nullptr;
  const raster::Grid* wall = nullptr;
  std::string ground_title;
  bool invented = false;  ///< marks demo data wherever it shows
  std::vector<std::string> notes;
  std::vector<std::pair<std::string, std::string>> cautions;  ///< id, text
};

/// GPX 1.1: the route with its vertices at most 15 m apart (route points), one waypoint a stop with its
/// return time. Route legs are named points in order: start, stop 1, ..., end.
std::string plan_gpx(const DocumentInput& input);

/// One printable HTML page: clock first, map picture, stops with turn-back times, cautions. Black on white,
/// no script.
std::string plan_sheet(const DocumentInput& input);

}  // namespace stumpwise::plan

#include "stumpwise/caution/caution.h"

namespace stumpwise::caution {

namespace {

/// Where each caution must stand: the table of the-job.md section I and the caution lines of its blocks B1 to
/// B18. What depends on the answer (far station, thin evidence, no local records) is added by whoever makes
/// the answer.
std::vector<std::string_view> ids_at(Place place) {
  switch (place) {
    case Place::about:
      return {"not-a-safety-device", "not-a-clearance"};
    case Place::outlook:
      return {"not-a-promise"};
    case Place::prospect:
    case Place::map:
      return {"score-from-visits", "not-fit-to-eat-from", "cannot-be-recalled"};
    case Place::plan:
      return {"not-a-safety-device", "not-a-clearance",  "turn-back-is-latest", "leave-your-plan",
              "dead-trees",          "eyes-up",          "walking-model",       "not-a-promise",
              "bearings-true",       "hunting-and-ticks"};
    case Place::turnback:
      return {"turn-back-is-latest", "leave-your-plan", "walking-model"};
    case Place::species:
      return {"not-a-clearance", "pair-checklist", "not-a-safety-device"};
    case Place::candidates:
      return {"dangers-first", "not-a-clearance", "pair-checklist",
              "empty-print",   "reagents",        "no-photo-naming"};
    case Place::harvest:
      return {"per-piece", "whole-specimen", "keep-apart", "site-history", "leave-some", "spoilage-clock"};
    case Place::kitchen:
      return {"cook-thoroughly", "cooking-cannot-remove", "new-species-rule",      "people-excluded",
              "spoilage-clock",  "no-home-canning",       "label-cannot-identify", "not-treatment-advice"};
    case Place::access:
      return {"not-legal-advice", "protected-taxa"};
    case Place::share:
      return {"cannot-be-recalled", "backup-holds-spots"};
    case Place::records:
      return {"blank-is-data"};
    case Place::ill:
      return {"call-now", "latency-never-clears", "no-home-remedies", "warn-the-guests", "dogs-and-toddlers"};
    case Place::learn:
      return {"thin-evidence", "few-visits", "score-from-visits"};
  }
  return {};
}

}  // namespace

std::vector<Caution> cautions_for(Place place) {
  std::vector<Caution> list;
  for (const std::string_view id : ids_at(place)) list.push_back(by_id(id));
  return list;
}

}  // namespace stumpwise::caution

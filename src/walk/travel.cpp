#include "stumpwise/walk/travel.h"

#include "pull.h"
#include "travel_graph.h"

namespace stumpwise::walk {

struct TravelField::Impl {
  Impl(const TravelGround& ground, const earth::PlanePoint& at)
      : land(std::make_shared<Land>(ground)), place(at) {
    land->require_open(place, "place");
  }
  std::shared_ptr<Land> land;
  earth::PlanePoint place;
  std::unique_ptr<TravelGraph> graph;
  TravelGraph::Reach reach;
  double most_min = 0;
};

TravelField::TravelField(const TravelGround& ground, const earth::PlanePoint& place, bool towards,
                         double most_min)
    : impl_(std::make_shared<Impl>(ground, place)) {
  impl_->graph = std::make_unique<TravelGraph>(impl_->land, 1);
  impl_->most_min = std::min(most_min, kLongestWay_min * 1.0);
  impl_->reach = impl_->graph->search(impl_->graph->links(place), towards, impl_->most_min);
}

double TravelField::minutes(const earth::PlanePoint& point) const {
  if (point == impl_->place) return 0;
  const double found = impl_->graph->minutes(impl_->reach, impl_->graph->links(point));
  return found <= impl_->most_min ? found : kNever_min;
}

std::vector<earth::PlanePoint> TravelField::path(const earth::PlanePoint& point) const {
  if (point == impl_->place) return {point, point};
  if (minutes(point) == kNever_min) return {};
  return pulled(*impl_->land,
                impl_->graph->line(impl_->reach, impl_->place, impl_->graph->links(point), point))
      .line;
}

}  // namespace stumpwise::walk

// Outings with their targets, tracks and finds.
#include <fmt/format.h>

#include "geometry.h"
#include "impl.h"
#include "stumpwise/earth/projection.h"

namespace stumpwise::book {
namespace {

using records::Find;
using records::Outing;

constexpr const char* kFindColumns =
    "id, coalesce(outing, 0), species, name_as_recorded, date, geom, accuracy_m, pieces, host_genus, "
    "host_told_by, substrate, note, cap_mm";

Find read_find(const Query& q) {
  Find find;
  find.id = q.integer(0);
  find.outing = q.integer(1);
  find.species = q.text(2);
  find.name_as_recorded = q.text(3);
  find.date = q.date(4);
  if (!q.is_null(5)) find.place = read_point(q.text(5));
  find.accuracy_m = q.number(6);
  find.pieces = q.small(7);
  find.host_genus = q.text(8);
  find.host_told_by = q.text(9);
  find.substrate = q.text(10);
  find.note = q.text(11);
  find.cap_mm = q.maybe_number(12);
  return find;
}

constexpr const char* kOutingColumns =
    "id, ground, date, start_clock, minutes, search_minutes, people, observer, note, invented";

Outing read_outing(const Query& q) {
  Outing outing;
  outing.id = q.integer(0);
  outing.ground = q.text(1);
  outing.date = q.date(2);
  outing.start_clock = q.text(3);
  outing.minutes = q.number(4);
  outing.search_minutes = q.maybe_number(5);
  outing.people = q.small(6);
  outing.observer = q.text(7);
  outing.note = q.text(8);
  outing.invented = q.small(9) != 0;
  return outing;
}

/// Targets, finds and, where wanted, the track of an outing that was read.
void fill(const Store& store, Outing& outing, bool with_track) {
  Query targets(store, "SELECT species FROM outing_target WHERE outing = ? ORDER BY place");
  targets.with(outing.id);
  while (targets.next()) outing.targets.push_back(targets.text(0));
  Query finds(store, fmt::format("SELECT {} FROM find WHERE outing = ? ORDER BY id", kFindColumns));
  finds.with(outing.id);
  while (finds.next()) outing.finds.push_back(read_find(finds));
  if (!with_track) return;
  Query track(store, "SELECT points FROM outing_track WHERE outing = ?");
  if (track.with(outing.id).next()) outing.track = unpack_track(track.text(0));
}

void require_outing(const Store& store, std::int64_t id) {
  Query query(store, "SELECT 1 FROM outing WHERE id = ?");
  if (!query.with(id).next())
    throw Error(ErrorCode::not_found, fmt::format("the book holds no outing {}", id));
}

/// Whether a place lies inside the frame of a ground.
bool inside(const records::GroundRecord& ground, const LatLon& place) {
  try {
    const auto point = earth::Utm::from_epsg(ground.epsg).forward(place);
    return point.x_m >= ground.left_m && point.x_m < ground.left_m + ground.cols * ground.cell_m &&
           point.y_m <= ground.top_m && point.y_m > ground.top_m - ground.rows * ground.cell_m;
  } catch (const Error&) {
    return false;  // too far from the ground's zone to be projected
  }
}

}  // namespace

std::int64_t Book::Impl::insert_find(const Find& find, std::int64_t outing) {
  if (find.place) require_place(*find.place, "find");
  Query query(store,
              "INSERT INTO find (geom, outing, species, name_as_recorded, date, accuracy_m, pieces, "
              "host_genus, host_told_by, substrate, note, cap_mm) "
              "VALUES (?,?,?,?,?,?,?,?,?,?,?,?)");
  find.place ? query.with_blob(point_blob(*find.place)) : query.with_null();
  outing > 0 ? query.with(outing) : query.with_null();
  query.with(find.species)
      .with(find.name_as_recorded)
      .with(find.date)
      .with(find.accuracy_m, "accuracy")
      .with(find.pieces)
      .with(find.host_genus)
      .with(find.host_told_by)
      .with(find.substrate)
      .with(find.note)
      .with(find.cap_mm, "cap")
      .run();
  return store.last_id();
}

void Book::Impl::insert_track(std::int64_t outing, const std::vector<records::TrackPoint>& track) {
  if (track.empty()) return;
  Query(store, "INSERT INTO outing_track (geom, outing, points) VALUES (?, ?, ?)")
      .with_blob(track_blob(track))
      .with(outing)
      .with_blob(pack_track(track))
      .run();
}

std::int64_t Book::add_outing(const Outing& outing) {
  std::int64_t id = 0;
  transaction([&] {
    impl_->require_ground(outing.ground);
    Query(impl_->store,
          "INSERT INTO outing (ground, date, start_clock, minutes, search_minutes, people, observer, note, "
          "invented) VALUES (?,?,?,?,?,?,?,?,?)")
        .with(outing.ground)
        .with(outing.date)
        .with(outing.start_clock)
        .with(outing.minutes, "minutes")
        .with(outing.search_minutes, "search minutes")
        .with(outing.people)
        .with(outing.observer)
        .with(outing.note)
        .with(outing.invented)
        .run();
    id = impl_->store.last_id();
    Query target(impl_->store, "INSERT INTO outing_target (outing, place, species) VALUES (?, ?, ?)");
    for (std::size_t i = 0; i < outing.targets.size(); ++i)
      target.with(id).with(static_cast<int>(i)).with(outing.targets[i]).run();
    impl_->insert_track(id, outing.track);
    for (const Find& find : outing.finds) impl_->insert_find(find, id);
  });
  return id;
}

std::vector<Outing> Book::outings(const std::string& ground, bool with_tracks) const {
  std::vector<Outing> outings;
  impl_->store.reading([&] {
    Query query(impl_->store,
                fmt::format("SELECT {} FROM outing WHERE ground = ? ORDER BY date, id", kOutingColumns));
    query.with(ground);
    while (query.next()) outings.push_back(read_outing(query));
    for (Outing& outing : outings) fill(impl_->store, outing, with_tracks);
  });
  return outings;
}

std::optional<Outing> Book::outing(std::int64_t id) const {
  std::optional<Outing> outing;
  impl_->store.reading([&] {
    Query query(impl_->store, fmt::format("SELECT {} FROM outing WHERE id = ?", kOutingColumns));
    if (!query.with(id).next()) return;
    outing = read_outing(query);
    fill(impl_->store, *outing, true);
  });
  return outing;
}

void Book::replace_track(std::int64_t outing, const std::vector<records::TrackPoint>& track) {
  transaction([&] {
    require_outing(impl_->store, outing);
    Query(impl_->store, "DELETE FROM outing_track WHERE outing = ?").with(outing).run();
    impl_->insert_track(outing, track);
  });
}

std::int64_t Book::add_find(const Find& find) {
  std::int64_t id = 0;
  transaction([&] {
    if (find.outing > 0) require_outing(impl_->store, find.outing);
    id = impl_->insert_find(find, find.outing);
  });
  return id;
}

std::vector<Find> Book::finds(const std::string& ground) const {
  std::vector<Find> finds;
  impl_->store.reading([&] {
    {
      Query query(
          impl_->store,
          fmt::format(
              "SELECT {} FROM find WHERE outing IN (SELECT id FROM outing WHERE ground = ?) ORDER BY id",
              kFindColumns));
      query.with(ground);
      while (query.next()) finds.push_back(read_find(query));
    }
    const auto frame = this->ground(ground);
    if (!frame) return;
    Query query(impl_->store,
                fmt::format("SELECT {} FROM find WHERE outing IS NULL AND geom IS NOT NULL ORDER BY id",
                            kFindColumns));
    while (query.next()) {
      Find find = read_find(query);
      if (inside(*frame, *find.place)) finds.push_back(std::move(find));
    }
  });
  return finds;
}

}  // namespace stumpwise::book

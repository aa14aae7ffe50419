// Grounds and what lies on them: hosts, access, history.
#include <fmt/format.h>

#include "geometry.h"
#include "impl.h"
#include "stumpwise/base/text.h"

namespace stumpwise::book {
namespace {

constexpr const char* kGroundColumns =
    "name, title, region, zone, cell_m, epsg, left_m, top_m, cols, rows, legend, invented";

records::GroundRecord read_ground(const Query& q) {
  records::GroundRecord g;
  g.name = q.text(0);
  g.title = q.text(1);
  g.region = q.text(2);
  g.zone = q.text(3);
  g.cell_m = q.number(4);
  g.epsg = q.small(5);
  g.left_m = q.number(6);
  g.top_m = q.number(7);
  g.cols = q.small(8);
  g.rows = q.small(9);
  g.legend = q.text(10);
  g.invented = q.small(11) != 0;
  return g;
}

/// Says whose the area is when its outline is off.
std::optional<std::string> outline(const std::vector<std::vector<LatLon>>& rings, const std::string& name) {
  for (const auto& ring : rings)
    for (const LatLon& corner : ring) require_place(corner, name.c_str());
  return polygon_blob(rings);
}

std::vector<std::vector<LatLon>> rings_of(const Query& q, int column) {
  return q.is_null(column) ? std::vector<std::vector<LatLon>>{} : read_polygon(q.text(column));
}

}  // namespace

void Book::Impl::require_ground(const std::string& name) const {
  Query query(store, "SELECT 1 FROM ground WHERE name = ?");
  if (query.with(name).next()) return;
  std::vector<std::string> names;
  Query all(store, "SELECT name FROM ground ORDER BY name");
  while (all.next()) names.push_back(base::printable(all.text(0)));
  throw Error(ErrorCode::not_found, fmt::format("no ground is called \"{}\"", base::printable(name)),
              names.empty() ? "The book holds no ground yet." : "There are: " + base::join(names, ", "));
}

void Book::put_ground(const records::GroundRecord& g) {
  if (g.name.empty()) throw Error(ErrorCode::bad_value, "a ground needs a name");
  transaction([&] {
    Query(impl_->store, fmt::format("INSERT INTO ground ({}) VALUES (?,?,?,?,?,?,?,?,?,?,?,?) ON CONFLICT "
                                    "(name) DO UPDATE SET title = excluded.title, "
                                    "region = excluded.region, zone = excluded.zone, cell_m = "
                                    "excluded.cell_m, epsg = excluded.epsg, left_m = excluded.left_m, "
                                    "top_m = excluded.top_m, cols = excluded.cols, rows = excluded.rows, "
                                    "legend = excluded.legend, invented = excluded.invented",
                                    kGroundColumns))
        .with(g.name)
        .with(g.title)
        .with(g.region)
        .with(g.zone)
        .with(g.cell_m, "cell")
        .with(g.epsg)
        .with(g.left_m, "left edge")
        .with(g.top_m, "top edge")
        .with(g.cols)
        .with(g.rows)
        .with(g.legend)
        .with(g.invented)
        .run();
  });
}

std::vector<records::GroundRecord> Book::grounds() const {
  Query query(impl_->store, fmt::format("SELECT {} FROM ground ORDER BY id", kGroundColumns));
  std::vector<records::GroundRecord> grounds;
  while (query.next()) grounds.push_back(read_ground(query));
  return grounds;
}

std::optional<records::GroundRecord> Book::ground(const std::string& name) const {
  Query query(impl_->store, fmt::format("SELECT {} FROM ground WHERE name = ?", kGroundColumns));
  if (!query.with(name).next()) return std::nullopt;
  return read_ground(query);
}

void Book::replace_hosts(const std::string& ground, const std::vector<records::HostRecord>& hosts) {
  transaction([&] {
    Query(impl_->store, "DELETE FROM host WHERE ground = ?").with(ground).run();
    Query insert(impl_->store,
                 "INSERT INTO host (geom, ground, genus, state, year_died, radius_m, told_by) VALUES (?, ?, "
                 "?, ?, ?, ?, ?)");
    for (const records::HostRecord& host : hosts) {
      require_place(host.place, "host");
      insert.with_blob(point_blob(host.place))
          .with(ground)
          .with(host.genus)
          .with(host.state)
          .with(host.year_died)
          .with(host.radius_m, "radius")
          .with(host.told_by)
          .run();
    }
  });
}

std::vector<records::HostRecord> Book::hosts(const std::string& ground) const {
  Query query(
      impl_->store,
      "SELECT id, geom, genus, state, year_died, radius_m, told_by FROM host WHERE ground = ? ORDER BY id");
  query.with(ground);
  std::vector<records::HostRecord> hosts;
  while (query.next())
    hosts.push_back({query.integer(0), ground, query.text(2), read_point(query.text(1)), query.text(3),
                     query.maybe_small(4), query.number(5), query.text(6)});
  return hosts;
}

void Book::replace_access(const std::string& ground, const std::vector<records::AccessArea>& areas) {
  transaction([&] {
    Query(impl_->store, "DELETE FROM access_area WHERE ground = ?").with(ground).run();
    Query insert(impl_->store,
                 "INSERT INTO access_area (geom, ground, name, kind, expires, checked, note) VALUES (?, ?, "
                 "?, ?, ?, ?, ?)");
    for (const records::AccessArea& area : areas)
      insert.with_blob(outline(area.rings, area.name))
          .with(ground)
          .with(area.name)
          .with(area.kind)
          .with(area.expires)
          .with(area.checked)
          .with(area.note)
          .run();
  });
}

std::vector<records::AccessArea> Book::access(const std::string& ground) const {
  Query query(
      impl_->store,
      "SELECT geom, name, kind, expires, checked, note FROM access_area WHERE ground = ? ORDER BY id");
  query.with(ground);
  std::vector<records::AccessArea> areas;
  while (query.next())
    areas.push_back({ground, query.text(1), query.text(2), query.maybe_date(3), query.maybe_date(4),
                     query.text(5), rings_of(query, 0)});
  return areas;
}

void Book::replace_history(const std::string& ground, const std::vector<records::HistoryArea>& areas) {
  transaction([&] {
    Query(impl_->store, "DELETE FROM history_area WHERE ground = ?").with(ground).run();
    Query insert(impl_->store,
                 "INSERT INTO history_area (geom, ground, name, kind, year_from, year_to, note) VALUES (?, "
                 "?, ?, ?, ?, ?, ?)");
    for (const records::HistoryArea& area : areas)
      insert.with_blob(outline(area.rings, area.name))
          .with(ground)
          .with(area.name)
          .with(area.kind)
          .with(area.year_from)
          .with(area.year_to)
          .with(area.note)
          .run();
  });
}

std::vector<records::HistoryArea> Book::history(const std::string& ground) const {
  Query query(
      impl_->store,
      "SELECT geom, name, kind, year_from, year_to, note FROM history_area WHERE ground = ? ORDER BY id");
  query.with(ground);
  std::vector<records::HistoryArea> areas;
  while (query.next())
    areas.push_back({ground, query.text(1), query.text(2), query.maybe_small(3), query.maybe_small(4),
                     query.text(5), rings_of(query, 0)});
  return areas;
}

}  // namespace stumpwise::book

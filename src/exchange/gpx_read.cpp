#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <pugixml.hpp>
#include <set>

#include "stumpwise/base/text.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::exchange {
namespace {

constexpr std::size_t kMostIssues = 1000;
constexpr const char* kNamespace10 = "http://www.topografix.com/GPX/1/0";
constexpr const char* kNamespace11 = "http://www.topografix.com/GPX/1/1";

/// Names that a parent may hold, in the order of the schema.
using Order = std::vector<std::string_view>;

const Order& order_of(std::string_view parent, bool version_10) {
  static const Order kRoot10{"name", "desc",     "author", "email", "url", "urlname",
                             "time", "keywords", "bounds", "wpt",   "rte", "trk"};
  static const Order kRoot11{"metadata", "wpt", "rte", "trk", "extensions"};
  static const Order kMetadata{"name", "desc",     "author", "copyright", "link",
                               "time", "keywords", "bounds", "extensions"};
  // course and speed stand in track points of 1.0 only, url and urlname in 1.0, link and extensions in 1.1.
  static const Order kPoint{"ele",     "time", "course",        "speed",  "magvar",    "geoidheight",
                            "name",    "cmt",  "desc",          "src",    "link",      "url",
                            "urlname", "sym",  "type",          "fix",    "sat",       "hdop",
                            "vdop",    "pdop", "ageofdgpsdata", "dgpsid", "extensions"};
  static const Order kRoute{"name",    "cmt",    "desc", "src",        "link", "url",
                            "urlname", "number", "type", "extensions", "rtept"};
  static const Order kTrack{"name",    "cmt",    "desc", "src",        "link",  "url",
                            "urlname", "number", "type", "extensions", "trkseg"};
  static const Order kSegment{"trkpt", "extensions"};
  if (parent == "gpx") return version_10 ? kRoot10 : kRoot11;
  if (parent == "metadata") return kMetadata;
  if (parent == "rte") return kRoute;
  if (parent == "trk") return kTrack;
  if (parent == "trkseg") return kSegment;
  return kPoint;
}

/// Walks the tree of one file. Depth is that of the schema (4), whatever the file nests.
class Reader {
 public:
  Reader(const std::string& text, const std::string& file) : text_(text), file_(file) {
    for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 1))
      breaks_.push_back(at);
  }

  Parsed<Gpx> read() {
    pugi::xml_document document;
    if (base::trim(text_).empty()) {
      issue(Severity::fault, 0, "", "the file is empty");
      return finish();
    }
    // parse_default never fetches or expands anything of a document type: only the five entities of XML
    // itself.
    const auto outcome =
        document.load_buffer(text_.data(), text_.size(), pugi::parse_default | pugi::parse_doctype);
    if (!outcome) {
      issue(Severity::fault, line_at(outcome.offset), "",
            fmt::format("broken XML: {}", lower_first(outcome.description())));
      return finish();
    }
    for (pugi::xml_node node : document.children())
      if (node.type() == pugi::node_doctype)
        issue(Severity::warning, line_at(node.offset_debug()), "DOCTYPE",
              "a document type declaration: it is not followed");
    const pugi::xml_node root = document.document_element();
    if (check_root(root)) read_root(root);
    return finish();
  }

 private:
  static std::string lower_first(std::string text) {
    if (!text.empty()) text[0] = base::lower(text.substr(0, 1))[0];
    return text;
  }

  int line_at(std::ptrdiff_t offset) const {
    if (offset < 0 || static_cast<std::size_t>(offset) > text_.size()) return 0;
    const auto before = std::lower_bound(breaks_.begin(), breaks_.end(), static_cast<std::size_t>(offset));
    return static_cast<int>(before - breaks_.begin()) + 1;
  }

  void issue(Severity severity, int line, std::string field, std::string text) {
    if (result_.issues.size() < kMostIssues)
      result_.issues.push_back({severity, file_, line, std::move(field), std::move(text)});
    else
      ++(severity == Severity::fault ? more_faults_ : more_warnings_);
  }
  void issue(Severity severity, pugi::xml_node node, const std::string& field, const std::string& text) {
    issue(severity, line_at(node.offset_debug()), field, text);
  }

  Parsed<Gpx> finish() {
    if (more_faults_ + more_warnings_ > 0)
      result_.issues.push_back(
          {more_faults_ > 0 ? Severity::fault : Severity::warning, file_, 0, "",
           fmt::format("and {} more faults, {} more warnings", more_faults_, more_warnings_)});
    return std::move(result_);
  }

  /// Name without the root's prefix; nothing for an element of another namespace.
  std::optional<std::string_view> own_name(pugi::xml_node node) const {
    if (node.type() != pugi::node_element) return std::nullopt;
    std::string_view name = node.name();
    if (name.substr(0, prefix_.size()) != prefix_) return std::nullopt;
    name.remove_prefix(prefix_.size());
    if (name.find(':') != std::string_view::npos) return std::nullopt;
    return name;
  }

  bool check_root(pugi::xml_node root) {
    std::string_view name = root.name();
    const std::size_t colon = name.find(':');
    if (colon != std::string_view::npos) prefix_ = std::string(name.substr(0, colon + 1));
    if (own_name(root) != "gpx") {
      issue(Severity::fault, root, base::printable(name),
            "the outermost element is not gpx: this is no GPX file");
      return false;
    }
    const std::string version = root.attribute("version").value();
    const std::string space =
        root.attribute(prefix_.empty() ? "xmlns" : ("xmlns:" + prefix_.substr(0, prefix_.size() - 1)).c_str())
            .value();
    if (!version.empty() && version != "1.0" && version != "1.1")
      issue(Severity::fault, root, "version",
            "\"" + base::printable(version) + "\": only GPX 1.0 and 1.1 are read");
    if (version.empty()) issue(Severity::warning, root, "version", "not said: read as 1.1");
    if (space.empty())
      issue(Severity::warning, root, "xmlns", "no namespace: read as GPX all the same");
    else if (space != kNamespace10 && space != kNamespace11)
      issue(Severity::fault, root, "xmlns",
            "\"" + base::printable(space) + "\" is not the namespace of GPX 1.0 or 1.1");
    version_10_ = version == "1.0" || (version.empty() && space == kNamespace10);
    return result_.ok();
  }

  /// Says once for each kind what stands out of order or is not of the schema. `parent` is the schema's name
  /// of the element.
  void check_order(pugi::xml_node node, std::string_view parent) {
    const Order& order = order_of(parent, version_10_);
    std::ptrdiff_t reached = 0;
    for (pugi::xml_node child : node.children()) {
      const auto name = own_name(child);
      if (!name) continue;
      const std::ptrdiff_t place = std::find(order.begin(), order.end(), *name) - order.begin();
      const bool unknown = place == static_cast<std::ptrdiff_t>(order.size());
      if ((unknown || place < reached) && said_.insert(std::string(parent) + "/" + std::string(*name)).second)
        issue(Severity::warning, child, base::printable(*name).substr(0, 60),
              (unknown ? "not an element that may stand inside "
                       : "out of the order that the schema gives inside ") +
                  std::string(parent));
      if (!unknown) reached = std::max(reached, place);
    }
  }

  /// Children of that name. A list, because pugixml's own range keeps only the pointer to the name.
  std::vector<pugi::xml_node> children(pugi::xml_node parent, const char* name) const {
    const std::string full = prefix_ + name;
    std::vector<pugi::xml_node> found;
    for (pugi::xml_node child : parent.children(full.c_str())) found.push_back(child);
    return found;
  }

  std::string text_of(pugi::xml_node parent, const char* name) const {
    return std::string(base::trim(parent.child((prefix_ + name).c_str()).text().get()));
  }

  std::optional<double> coordinate(pugi::xml_node node, const char* name, double limit_deg) {
    const pugi::xml_attribute attribute = node.attribute(name);
    if (!attribute) {
      issue(Severity::fault, node, name, fmt::format("missing: the point has no {}", name));
      return std::nullopt;
    }
    const auto value = base::parse_number(attribute.value());
    if (!value || std::abs(*value) > limit_deg) {
      issue(Severity::fault, node, name,
            fmt::format("\"{}\": {} to {} degrees", base::printable(attribute.value()).substr(0, 60),
                        -limit_deg, limit_deg));
      return std::nullopt;
    }
    return value;
  }

  /// Nothing where the element is missing or at fault; `good` turns false at a fault.
  std::optional<double> elevation(pugi::xml_node node, bool& good) {
    const pugi::xml_node child = node.child((prefix_ + "ele").c_str());
    if (!child) return std::nullopt;
    const auto value = base::parse_number(child.text().get());
    if (!value) {
      issue(Severity::fault, child, "ele",
            fmt::format("\"{}\" is no number of metres", base::printable(child.text().get()).substr(0, 60)));
      good = false;
    }
    return value;
  }

  std::optional<Instant> time(pugi::xml_node node, bool& good) {
    const pugi::xml_node child = node.child((prefix_ + "time").c_str());
    if (!child) return std::nullopt;
    const std::string text(base::trim(child.text().get()));
    if (const auto instant = base::parse_instant(text)) return instant;
    if (const auto instant = base::parse_instant(text + "Z")) {
      if (said_.insert("time without zone").second)
        issue(Severity::warning, child, "time",
              "\"" + base::printable(text) + "\" has no zone: taken as UTC, as GPX means it");
      return instant;
    }
    issue(Severity::fault, child, "time",
          "\"" + base::printable(text).substr(0, 60) + "\" is no time (2026-05-12T09:30:00Z)");
    good = false;
    return std::nullopt;
  }

  std::optional<GpxPoint> point(pugi::xml_node node, std::string_view name) {
    check_order(node, name);
    const auto lat = coordinate(node, "lat", 90), lon = coordinate(node, "lon", 180);
    bool good = lat && lon;
    GpxPoint point;
    point.elevation_m = elevation(node, good);
    point.time = time(node, good);
    if (!good) return std::nullopt;
    point.place = {.lat_deg = *lat, .lon_deg = *lon};
    point.name = text_of(node, "name");
    point.comment = text_of(node, "cmt");
    point.description = text_of(node, "desc");
    point.symbol = text_of(node, "sym");
    return point;
  }

  std::vector<GpxPoint> points(pugi::xml_node parent, const char* name) {
    std::vector<GpxPoint> read;
    for (pugi::xml_node node : children(parent, name))
      if (auto each = point(node, name)) read.push_back(std::move(*each));
    return read;
  }

  std::vector<GpxPoint> segment(pugi::xml_node node) {
    check_order(node, "trkseg");
    std::vector<GpxPoint> read;
    bool said = false;
    std::optional<Instant> last;
    for (pugi::xml_node child : children(node, "trkpt")) {
      auto each = point(child, "trkpt");
      if (!each) continue;
      if (last && each->time && *each->time < *last && !said) {
        issue(Severity::warning, child, "time", "time runs backwards in this segment");
        said = true;
      }
      if (each->time) last = each->time;
      read.push_back(std::move(*each));
    }
    return read;
  }

  void read_root(pugi::xml_node root) {
    check_order(root, "gpx");
    Gpx& gpx = result_.value;
    pugi::xml_node head = root;
    if (!version_10_) {
      head = root.child((prefix_ + "metadata").c_str());
      check_order(head, "metadata");
    }
    gpx.name = text_of(head, "name");
    gpx.description = text_of(head, "desc");
    gpx.waypoints = points(root, "wpt");
    for (pugi::xml_node node : children(root, "rte")) {
      check_order(node, "rte");
      gpx.routes.push_back({text_of(node, "name"), text_of(node, "cmt"), points(node, "rtept")});
    }
    for (pugi::xml_node node : children(root, "trk")) {
      check_order(node, "trk");
      GpxTrack track{text_of(node, "name"), {}};
      for (pugi::xml_node part : children(node, "trkseg")) track.segments.push_back(segment(part));
      gpx.tracks.push_back(std::move(track));
    }
    warn_if_hollow(root);
  }

  void warn_if_hollow(pugi::xml_node root) {
    const Gpx& gpx = result_.value;
    std::size_t n = gpx.waypoints.size();
    for (const GpxRoute& route : gpx.routes) n += route.points.size();
    for (const GpxTrack& track : gpx.tracks)
      for (const auto& part : track.segments) n += part.size();
    if (n == 0 && result_.ok()) issue(Severity::warning, root, "gpx", "the file holds no points");
  }

  const std::string& text_;
  const std::string& file_;
  std::vector<std::size_t> breaks_;
  Parsed<Gpx> result_;
  std::string prefix_;  ///< of the root, with its colon
  bool version_10_ = false;
  std::set<std::string> said_;
  std::size_t more_faults_ = 0, more_warnings_ = 0;
};

}  // namespace

Parsed<Gpx> read_gpx(const std::string& text, const std::string& file) {
  return Reader(text, file).read();
}

}  // namespace stumpwise::exchange

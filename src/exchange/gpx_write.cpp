#include <fmt/format.h>

#include <cmath>
#include <pugixml.hpp>
#include <sstream>

#include "stumpwise/base/text.h"
#include "stumpwise/exchange/gpx.h"

namespace stumpwise::exchange {
namespace {

/// Length of the well-formed UTF-8 sequence at `at`, 0 where there is none (RFC 3629: no overlong forms, no
/// surrogates).
std::size_t sequence_length(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u; };
  const auto follows = [&](std::size_t i) { return (byte(i) & 0xC0u) == 0x80u; };
  const unsigned lead = byte(at), second = byte(at + 1);
  if (lead < 0x80) return 1;
  if (lead >= 0xC2 && lead <= 0xDF) return follows(at + 1) ? 2 : 0;
  if (lead >= 0xE0 && lead <= 0xEF) {
    if (!follows(at + 1) || !follows(at + 2)) return 0;
    if ((lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F)) return 0;
    return 3;
  }
  if (lead >= 0xF0 && lead <= 0xF4) {
    if (!follows(at + 1) || !follows(at + 2) || !follows(at + 3)) return 0;
    if ((lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F)) return 0;
    return 4;
  }
  return 0;
}

/// Text as XML 1.0 can hold it (Char production: no control characters but tab and line feed, no U+FFFE and
/// U+FFFF).
std::string xml_text(const std::string& text) {
  std::string clean;
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t length = sequence_length(text, i);
    if (length == 0) {
      clean += "\xEF\xBF\xBD";  // U+FFFD, the mark of what could not be read
      ++i;
      continue;
    }
    const auto byte = static_cast<unsigned char>(text[i]);
    const bool control = length == 1 && (byte < 0x20 || byte == 0x7F) && byte != '\t' && byte != '\n';
    const std::string sequence = text.substr(i, length);
    if (!control && sequence != "\xEF\xBF\xBE" && sequence != "\xEF\xBF\xBF") clean += sequence;
    i += length;
  }
  return std::string(base::trim(clean));
}

void add_text(pugi::xml_node parent, const char* name, const std::string& text) {
  const std::string clean = xml_text(text);
  if (!clean.empty()) parent.append_child(name).text().set(clean.c_str());
}

std::string degrees_text(double value_deg) {
  const std::string text = fmt::format("{:.7f}", value_deg);
  return text == "-0.0000000" ? "0.0000000" : text;
}

/// The schema's longitudeType ends below 180: the meridian has one name there.
std::string longitude_text(double lon_deg) {
  const std::string text = degrees_text(lon_deg);
  return text == "180.0000000" ? "-180.0000000" : text;
}

/// wptType: attributes, then ele, time, name, cmt, desc, sym in the order of the schema.
void add_point(pugi::xml_node parent, const char* name, const GpxPoint& point) {
  if (!base::valid(point.place))
    throw Error(ErrorCode::bad_value,
                fmt::format("GPX point \"{}\" at latitude {}, longitude {}: -90 to 90, -180 to 180",
                            base::printable(point.name), point.place.lat_deg, point.place.lon_deg));
  if (point.elevation_m && !std::isfinite(*point.elevation_m))
    throw Error(ErrorCode::bad_value,
                fmt::format("GPX point \"{}\": its elevation is no number", base::printable(point.name)));
  pugi::xml_node node = parent.append_child(name);
  node.append_attribute("lat").set_value(degrees_text(point.place.lat_deg).c_str());
  node.append_attribute("lon").set_value(longitude_text(point.place.lon_deg).c_str());
  if (point.elevation_m) add_text(node, "ele", fmt::format("{:.2f}", *point.elevation_m));
  if (point.time) add_text(node, "time", base::to_text_utc(*point.time));
  add_text(node, "name", point.name);
  add_text(node, "cmt", point.comment);
  add_text(node, "desc", point.description);
  add_text(node, "sym", point.symbol);
}

void add_route(pugi::xml_node root, const GpxRoute& route) {
  pugi::xml_node node = root.append_child("rte");
  add_text(node, "name", route.name);
  add_text(node, "cmt", route.comment);
  for (const GpxPoint& point : route.points) add_point(node, "rtept", point);
}

void add_track(pugi::xml_node root, const GpxTrack& track) {
  pugi::xml_node node = root.append_child("trk");
  add_text(node, "name", track.name);
  for (const auto& segment : track.segments) {
    pugi::xml_node part = node.append_child("trkseg");
    for (const GpxPoint& point : segment) add_point(part, "trkpt", point);
  }
}

}  // namespace

std::string write_gpx(const Gpx& gpx) {
  pugi::xml_document document;
  pugi::xml_node declaration = document.append_child(pugi::node_declaration);
  declaration.append_attribute("version") = "1.0";
  declaration.append_attribute("encoding") = "UTF-8";
  pugi::xml_node root = document.append_child("gpx");
  root.append_attribute("version") = "1.1";
  root.append_attribute("creator") = "Stumpwise";
  root.append_attribute("xmlns") = "http://www.topografix.com/GPX/1/1";
  root.append_attribute("xmlns:xsi") = "http://www.w3.org/2001/XMLSchema-instance";
  root.append_attribute("xsi:schemaLocation") =
      "http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd";
  if (!xml_text(gpx.name).empty() || !xml_text(gpx.description).empty()) {
    pugi::xml_node metadata = root.append_child("metadata");
    add_text(metadata, "name", gpx.name);
    add_text(metadata, "desc", gpx.description);
  }
  for (const GpxPoint& point : gpx.waypoints) add_point(root, "wpt", point);
  for (const GpxRoute& route : gpx.routes) add_route(root, route);
  for (const GpxTrack& track : gpx.tracks) add_track(root, track);
  std::ostringstream out;
  document.save(out, "  ", pugi::format_default, pugi::encoding_utf8);
  return out.str();
}

std::vector<records::TrackPoint> track_points(const Gpx& gpx) {
  std::vector<records::TrackPoint> points;
  int number = 0;
  for (const GpxTrack& track : gpx.tracks)
    for (const auto& segment : track.segments) {
      for (const GpxPoint& point : segment)
        points.push_back({point.place, point.time, point.elevation_m, number});
      ++number;
    }
  return points;
}

}  // namespace stumpwise::exchange

#include "stumpwise/exchange/gpx.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <regex>
#include <set>

#include "stumpwise/base/text.h"

namespace stumpwise::exchange {
namespace {

using ::testing::HasSubstr;

// --- A checker of the rules of the GPX 1.1 schema that matters here, with a tiny XML scanner of its own: it
// shares no code with the writer or the reader. Order and ranges: http://www.topografix.com/GPX/1/1/gpx.xsd
// (memory).

struct Tag {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;
  std::vector<Tag> children;
};

class Scanner {
 public:
  explicit Scanner(const std::string& xml) : xml_(xml) {}
  Tag document() {
    EXPECT_EQ(xml_.rfind("<?xml version=\"1.0\" encoding=\"UTF-8\"?>", 0), 0u);
    at_ = xml_.find("?>") + 2;
    blanks();
    Tag root = element();
    blanks();
    EXPECT_EQ(at_, xml_.size()) << "text after the root";
    return root;
  }

 private:
  void blanks() {
    while (at_ < xml_.size() && std::isspace(static_cast<unsigned char>(xml_[at_]))) ++at_;
  }
  Tag element() {
    static const std::regex kAttribute("([A-Za-z:]+)=\"([^\"<]*)\"");
    Tag tag;
    const std::size_t end = xml_.find('>', at_);
    std::string head = xml_.substr(at_ + 1, end - at_ - 1);
    at_ = end + 1;
    const bool closed = !head.empty() && head.back() == '/';
    tag.name = head.substr(0, head.find_first_of(" /"));
    for (std::sregex_iterator it(head.begin(), head.end(), kAttribute), last; it != last; ++it)
      tag.attributes[(*it)[1]] = (*it)[2];
    if (closed) return tag;
    while (at_ < xml_.size()) {
      const std::size_t next = xml_.find('<', at_);
      if (next == std::string::npos) break;
      tag.text += xml_.substr(at_, next - at_);
      at_ = next;
      if (xml_[at_ + 1] == '/') {
        EXPECT_EQ(xml_.substr(at_ + 2, tag.name.size() + 1), tag.name + ">");
        at_ += tag.name.size() + 3;
        return tag;
      }
      tag.children.push_back(element());
    }
    ADD_FAILURE() << "not closed: " << tag.name;
    return tag;
  }
  const std::string& xml_;
  std::size_t at_ = 0;
};

void check_sequence(const Tag& tag, const std::vector<std::string>& order,
                    const std::set<std::string>& repeated) {
  std::ptrdiff_t reached = 0;
  std::map<std::string, int> count;
  for (const Tag& child : tag.children) {
    const auto place = std::find(order.begin(), order.end(), child.name) - order.begin();
    ASSERT_LT(place, static_cast<std::ptrdiff_t>(order.size())) << child.name << " in " << tag.name;
    EXPECT_GE(place, reached) << child.name << " out of order in " << tag.name;
    reached = place;
    if (++count[child.name] > 1) {
      EXPECT_TRUE(repeated.count(child.name)) << child.name << " twice in " << tag.name;
    }
  }
}

void check_point(const Tag& tag) {
  static const std::regex kDecimal("-?[0-9]+\\.[0-9]+");
  static const std::regex kTime("-?[0-9]{4,}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z");
  check_sequence(
      tag,
      {"ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type", "fix"},
      {"link"});
  ASSERT_EQ(tag.attributes.size(), 2u);
  const std::string lat = tag.attributes.at("lat"), lon = tag.attributes.at("lon");
  EXPECT_TRUE(std::regex_match(lat, kDecimal)) << lat;
  EXPECT_TRUE(std::regex_match(lon, kDecimal)) << lon;
  EXPECT_LE(std::abs(std::stod(lat)), 90);
  EXPECT_GE(std::stod(lon), -180);
  EXPECT_LT(std::stod(lon), 180);  // maxExclusive of longitudeType
  for (const Tag& child : tag.children) {
    if (child.name == "ele") {
      EXPECT_TRUE(std::regex_match(child.text, kDecimal)) << child.text;
    }
    if (child.name == "time") {
      EXPECT_TRUE(std::regex_match(child.text, kTime)) << child.text;
    }
  }
}

void check_rules(const std::string& xml) {
  for (char c : xml) EXPECT_TRUE(static_cast<unsigned char>(c) >= 0x20 || c == '\n' || c == '\t');
  const Tag root = Scanner(xml).document();
  EXPECT_EQ(root.name, "gpx");
  EXPECT_EQ(root.attributes.at("version"), "1.1");
  EXPECT_FALSE(root.attributes.at("creator").empty());
  EXPECT_EQ(root.attributes.at("xmlns"), "http://www.topografix.com/GPX/1/1");
  check_sequence(root, {"metadata", "wpt", "rte", "trk", "extensions"}, {"wpt", "rte", "trk"});
  for (const Tag& child : root.children) {
    if (child.name == "metadata") check_sequence(child, {"name", "desc"}, {});
    if (child.name == "wpt") check_point(child);
    if (child.name == "rte") {
      check_sequence(child, {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "rtept"},
                     {"rtept"});
      for (const Tag& point : child.children)
        if (point.name == "rtept") check_point(point);
    }
    if (child.name == "trk") {
      check_sequence(child, {"name", "cmt", "desc", "src", "link", "number", "type", "extensions", "trkseg"},
                     {"trkseg"});
      for (const Tag& segment : child.children) {
        if (segment.name != "trkseg") continue;
        check_sequence(segment, {"trkpt", "extensions"}, {"trkpt"});
        for (const Tag& point : segment.children) check_point(point);
      }
    }
  }
}

// --- What is written.

std::string any_text() {
  static const std::vector<std::string> kParts{
      "a", "Z", "7", " ", "<", ">", "&", "\"", "'", "]]>", "<!--", "\xC3\xA9", "\xE2\x82\xAC", "\n"};
  std::string text;
  for (int n = *rc::gen::inRange(0, 12); n > 0; --n) text += *rc::gen::elementOf(kParts);
  return std::string(base::trim(text));
}

GpxPoint any_point() {
  GpxPoint point;
  point.place = {.lat_deg = *rc::gen::inRange(-900000000, 900000001) / 1e7,
                 .lon_deg = *rc::gen::inRange(-1800000000, 1800000000) / 1e7};
  if (*rc::gen::arbitrary<bool>()) point.elevation_m = *rc::gen::inRange(-40000, 900000) / 100.0;
  if (*rc::gen::arbitrary<bool>())
    point.time = Instant{std::chrono::seconds{*rc::gen::inRange<std::int64_t>(0, 4000000000)}};
  point.name = any_text();
  point.comment = any_text();
  point.description = any_text();
  point.symbol = any_text();
  return point;
}

std::vector<GpxPoint> any_points() {
  std::vector<GpxPoint> points;
  for (int n = *rc::gen::inRange(0, 4); n > 0; --n) points.push_back(any_point());
  return points;
}

void expect_same(const GpxPoint& a, const GpxPoint& b) {
  RC_ASSERT(std::abs(a.place.lat_deg - b.place.lat_deg) < 6e-8);
  RC_ASSERT(std::abs(a.place.lon_deg - b.place.lon_deg) < 6e-8);
  RC_ASSERT(a.elevation_m.has_value() == b.elevation_m.has_value());
  if (a.elevation_m) RC_ASSERT(std::abs(*a.elevation_m - *b.elevation_m) < 0.006);
  RC_ASSERT(a.time == b.time);
  RC_ASSERT(a.name == b.name);
  RC_ASSERT(a.comment == b.comment);
  RC_ASSERT(a.description == b.description);
  RC_ASSERT(a.symbol == b.symbol);
}

void expect_same(const std::vector<GpxPoint>& a, const std::vector<GpxPoint>& b) {
  RC_ASSERT(a.size() == b.size());
  for (std::size_t i = 0; i < a.size(); ++i) expect_same(a[i], b[i]);
}

RC_GTEST_PROP(Gpx, WhatIsWrittenIsReadBackAndKeepsTheRules, ()) {
  Gpx gpx;
  gpx.name = any_text();
  gpx.description = any_text();
  gpx.waypoints = any_points();
  for (int n = *rc::gen::inRange(0, 3); n > 0; --n)
    gpx.routes.push_back({any_text(), any_text(), any_points()});
  for (int n = *rc::gen::inRange(0, 3); n > 0; --n)
    gpx.tracks.push_back({any_text(), {any_points(), any_points()}});
  const std::string xml = write_gpx(gpx);
  check_rules(xml);
  const auto read = read_gpx(xml, "x.gpx");
  RC_ASSERT(read.ok());
  RC_ASSERT(read.value.name == gpx.name);
  RC_ASSERT(read.value.description == gpx.description);
  expect_same(read.value.waypoints, gpx.waypoints);
  RC_ASSERT(read.value.routes.size() == gpx.routes.size());
  for (std::size_t i = 0; i < gpx.routes.size(); ++i) {
    RC_ASSERT(read.value.routes[i].name == gpx.routes[i].name);
    RC_ASSERT(read.value.routes[i].comment == gpx.routes[i].comment);
    expect_same(read.value.routes[i].points, gpx.routes[i].points);
  }
  RC_ASSERT(read.value.tracks.size() == gpx.tracks.size());
  for (std::size_t i = 0; i < gpx.tracks.size(); ++i) {
    RC_ASSERT(read.value.tracks[i].segments.size() == gpx.tracks[i].segments.size());
    for (std::size_t k = 0; k < gpx.tracks[i].segments.size(); ++k)
      expect_same(read.value.tracks[i].segments[k], gpx.tracks[i].segments[k]);
  }
}

TEST(Gpx, LongitudeRangeEndsBelow180) {
  Gpx gpx;
  gpx.waypoints.push_back({.place = {.lat_deg = 0, .lon_deg = 180},
                           .elevation_m = {},
                           .time = {},
                           .name = {},
                           .comment = {},
                           .description = {},
                           .symbol = {}});
  gpx.waypoints.push_back({.place = {.lat_deg = -90, .lon_deg = 179.99999999},
                           .elevation_m = {},
                           .time = {},
                           .name = {},
                           .comment = {},
                           .description = {},
                           .symbol = {}});
  const std::string xml = write_gpx(gpx);
  check_rules(xml);
  EXPECT_EQ(xml.find("lon=\"180"), std::string::npos);
}

TEST(Gpx, PlacesThatAreNoneAreNotWritten) {
  Gpx gpx;
  gpx.waypoints.emplace_back();
  gpx.waypoints[0].place = {.lat_deg = 90.5, .lon_deg = 0};
  EXPECT_THROW(write_gpx(gpx), Error);
  gpx.waypoints[0].place = {.lat_deg = std::nan(""), .lon_deg = 0};
  EXPECT_THROW(write_gpx(gpx), Error);
  gpx.waypoints[0].place = {.lat_deg = 0, .lon_deg = 0};
  gpx.waypoints[0].elevation_m = INFINITY;
  EXPECT_THROW(write_gpx(gpx), Error);
}

TEST(Gpx, TextThatXmlCannotHoldIsMended) {
  Gpx gpx;
  gpx.waypoints.emplace_back();
  gpx.waypoints[0].name = std::string("bell\a nul\0 cut\xC3", 14) + "\xED\xA0\x80 \xEF\xBF\xBF end";
  const std::string xml = write_gpx(gpx);
  check_rules(xml);
  const auto read = read_gpx(xml, "x.gpx");
  ASSERT_TRUE(read.ok());
  EXPECT_THAT(read.value.waypoints.at(0).name, HasSubstr("bell nul cut\xEF\xBF\xBD"));
  EXPECT_THAT(read.value.waypoints.at(0).name, HasSubstr(" end"));
}

TEST(Gpx, TrackPointsNumberTheirSegments) {
  Gpx gpx;
  gpx.tracks.push_back({"a", {{GpxPoint{}, GpxPoint{}}, {GpxPoint{}}}});
  gpx.tracks.push_back({"b", {{GpxPoint{}}}});
  const auto points = track_points(gpx);
  ASSERT_EQ(points.size(), 4u);
  EXPECT_EQ(points[1].segment, 0);
  EXPECT_EQ(points[2].segment, 1);
  EXPECT_EQ(points[3].segment, 2);
}

// --- What is read.

std::string gpx11(const std::string& body) {
  return "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\" "
         "xmlns=\"http://www.topografix.com/GPX/1/1\">\n" +
         body + "\n</gpx>";
}

/// The one fault of a text.
Issue fault_of(const std::string& text) {
  const auto read = read_gpx(text, "t.gpx");
  std::vector<Issue> faults;
  for (const Issue& issue : read.issues)
    if (issue.severity == Severity::fault) faults.push_back(issue);
  EXPECT_EQ(faults.size(), 1u) << base::to_text(read.issues);
  return faults.empty() ? Issue{} : faults[0];
}

std::vector<std::string> warnings_of(const std::string& text) {
  std::vector<std::string> warnings;
  const auto read = read_gpx(text, "t.gpx");
  EXPECT_TRUE(read.ok()) << base::to_text(read.issues);
  for (const Issue& issue : read.issues)
    if (issue.severity == Severity::warning) warnings.push_back(base::to_text(issue));
  return warnings;
}

TEST(GpxRead, Version10) {
  const std::string text =
      "<gpx version=\"1.0\" creator=\"old\" xmlns=\"http://www.topografix.com/GPX/1/0\"><name>Old walk</name>"
      "<wpt lat=\"42.1\" lon=\"-30\"><ele>310</ele><name>elm</name><url>x</url></wpt>"
      "<trk><trkseg><trkpt lat=\"42\" "
      "lon=\"-30\"><time>2026-05-12T08:30:00.250-01:00</time><speed>1.2</speed></trkpt></trkseg></trk></gpx>";
  const auto read = read_gpx(text, "old.gpx");
  EXPECT_TRUE(read.issues.empty()) << base::to_text(read.issues);
  EXPECT_EQ(read.value.name, "Old walk");
  ASSERT_EQ(read.value.waypoints.size(), 1u);
  EXPECT_EQ(read.value.waypoints[0].elevation_m, 310.0);
  ASSERT_EQ(track_points(read.value).size(), 1u);
  EXPECT_EQ(base::to_text_utc(*track_points(read.value)[0].time), "2026-05-12T09:30:00Z");
}

TEST(GpxRead, PrefixedNamespaceAndForeignElements) {
  const auto read = read_gpx(
      "<g:gpx version=\"1.1\" creator=\"t\" xmlns:g=\"http://www.topografix.com/GPX/1/1\" "
      "xmlns:h=\"http://h.example\">"
      "<g:wpt lat=\"1\" lon=\"2\"><g:name>a</g:name><g:extensions><h:wpt "
      "lat=\"99\"/></g:extensions></g:wpt><h:wpt lat=\"98\" lon=\"0\"/></g:gpx>",
      "p.gpx");
  EXPECT_TRUE(read.issues.empty()) << base::to_text(read.issues);
  ASSERT_EQ(read.value.waypoints.size(), 1u);
  EXPECT_EQ(read.value.waypoints[0].name, "a");
}

TEST(GpxRead, BrokenXmlSaysTheLine) {
  const Issue issue =
      fault_of("<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"t\">\n<trk>\n</wpt>\n</gpx>");
  EXPECT_EQ(issue.line, 4);
  EXPECT_THAT(issue.text, HasSubstr("broken XML"));
}

TEST(GpxRead, CutOff) {
  EXPECT_THAT(fault_of(gpx11("<wpt lat=\"1\" lon=\"2\"/>").substr(0, 120)).text, HasSubstr("broken XML"));
}

TEST(GpxRead, EmptyAndNoGpx) {
  EXPECT_THAT(fault_of("").text, HasSubstr("empty"));
  EXPECT_THAT(fault_of(" \n\t").text, HasSubstr("empty"));
  EXPECT_THAT(fault_of("date,tmin_c\n2026-01-01,3").text, HasSubstr("broken XML"));
  EXPECT_THAT(fault_of("<kml xmlns=\"http://www.opengis.net/kml/2.2\"/>").text, HasSubstr("no GPX file"));
  EXPECT_EQ(fault_of("<gpx version=\"2.0\" xmlns=\"http://www.topografix.com/GPX/1/1\"/>").field, "version");
  EXPECT_EQ(fault_of("<gpx version=\"1.1\" xmlns=\"http://elsewhere.example\"/>").field, "xmlns");
}

TEST(GpxRead, EveryFaultAtOnceWithItsLine) {
  const auto read = read_gpx(gpx11("<wpt lat=\"91\" lon=\"0\"/>\n"
                                   "<wpt lat=\"x\" lon=\"181\"/>\n"
                                   "<wpt lon=\"1\"/>\n"
                                   "<wpt lat=\"1\" lon=\"1\">\n<time>2026-02-31T10:00:00Z</time></wpt>\n"
                                   "<wpt lat=\"1\" lon=\"1\"><ele>high</ele></wpt>\n"
                                   "<wpt lat=\"nan\" lon=\"inf\"/>\n"
                                   "<wpt lat=\"1\" lon=\"1\"><name>good</name></wpt>"),
                             "t.gpx");
  std::vector<std::pair<int, std::string>> found;
  for (const Issue& issue : read.issues) {
    EXPECT_EQ(issue.severity, Severity::fault);
    found.emplace_back(issue.line, issue.field);
  }
  EXPECT_THAT(found, ::testing::ElementsAre(std::pair(3, "lat"), std::pair(4, "lat"), std::pair(4, "lon"),
                                            std::pair(5, "lat"), std::pair(7, "time"), std::pair(8, "ele"),
                                            std::pair(9, "lat"), std::pair(9, "lon")));
  ASSERT_EQ(read.value.waypoints.size(), 1u);
  EXPECT_EQ(read.value.waypoints[0].name, "good");
}

TEST(GpxRead, ManyFaultsAreCountedNotListed) {
  std::string body;
  for (int i = 0; i < 5000; ++i) body += "<wpt lat=\"95\" lon=\"0\"/>\n";
  const auto read = read_gpx(gpx11(body), "t.gpx");
  EXPECT_FALSE(read.ok());
  EXPECT_EQ(read.issues.size(), 1001u);
  EXPECT_THAT(read.issues.back().text, HasSubstr("4000 more faults"));
}

TEST(GpxRead, Warnings) {
  EXPECT_THAT(warnings_of(gpx11("<wpt lat=\"1\" lon=\"1\"><name>a</name><ele>3</ele></wpt>")),
              ::testing::ElementsAre("t.gpx:3: ele: out of the order that the schema gives inside wpt"));
  EXPECT_THAT(warnings_of(gpx11("<wpt lat=\"1\" lon=\"1\"><mood>3</mood></wpt>")),
              ::testing::ElementsAre(HasSubstr("mood")));
  EXPECT_THAT(warnings_of(gpx11("<wpt lat=\"1\" lon=\"1\"><time>2026-05-12T08:30:00</time></wpt>")),
              ::testing::ElementsAre(HasSubstr("UTC")));
  EXPECT_THAT(warnings_of(gpx11("")), ::testing::ElementsAre(HasSubstr("no points")));
  EXPECT_THAT(warnings_of(gpx11(
                  "<trk><trkseg><trkpt lat=\"1\" lon=\"1\"><time>2026-05-12T08:30:00Z</time></trkpt>\n"
                  "<trkpt lat=\"1\" lon=\"1\"><time>2026-05-12T08:29:00Z</time></trkpt></trkseg></trk>")),
              ::testing::ElementsAre("t.gpx:4: time: time runs backwards in this segment"));
}

TEST(GpxRead, EntitiesOfADocumentTypeAreNotExpanded) {
  const std::string text =
      "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b "
      "\"&a;&a;&a;&a;\"><!ENTITY f SYSTEM \"file:///etc/hostname\">]>\n"
      "<gpx version=\"1.1\" creator=\"t\" xmlns=\"http://www.topografix.com/GPX/1/1\"><wpt lat=\"1\" "
      "lon=\"2\"><name>&b;&f;&amp;</name></wpt></gpx>";
  const auto read = read_gpx(text, "t.gpx");
  EXPECT_TRUE(read.ok());
  ASSERT_EQ(read.issues.size(), 1u);
  EXPECT_EQ(read.issues[0].line, 2);
  EXPECT_EQ(read.value.waypoints.at(0).name, "&b;&f;&");
}

TEST(GpxRead, DeepNestingIsNoTrouble) {
  std::string open, close;
  for (int i = 0; i < 300000; ++i) {
    open += "<x>";
    close += "</x>";
  }
  const auto read = read_gpx(gpx11("<wpt lat=\"1\" lon=\"2\"/>" + open + close), "t.gpx");
  EXPECT_TRUE(read.ok());
  EXPECT_EQ(read.value.waypoints.size(), 1u);
  EXPECT_FALSE(read_gpx(gpx11(open), "t.gpx").ok());
}

RC_GTEST_PROP(GpxRead, AnyBytesGiveAnAnswer, ()) {
  static const std::string kGood =
      gpx11("<wpt lat=\"42\" lon=\"-30\"><ele>1</ele><time>2026-05-12T08:30:00Z</time><name>a</name></wpt>");
  std::string text = kGood;
  for (int n = *rc::gen::inRange(1, 6); n > 0; --n) {
    const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
    if (*rc::gen::arbitrary<bool>())
      text[at] = *rc::gen::arbitrary<char>();
    else
      text.erase(at, *rc::gen::inRange<std::size_t>(1, 20));
    if (text.empty()) break;
  }
  const auto read = read_gpx(text, "t.gpx");
  for (const GpxPoint& point : read.value.waypoints) RC_ASSERT(base::valid(point.place));
  if (read.ok()) check_rules(write_gpx(read.value));
}

}  // namespace
}  // namespace stumpwise::exchange

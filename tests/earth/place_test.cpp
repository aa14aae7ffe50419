// Geodesy against GeographicLib's reference tests and handbook examples (check values T22, 15.2-15.10),
// zones, projection.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "stumpwise/base/error.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/zone.h"

namespace stumpwise::earth {
namespace {

TEST(Geodesic, ReferenceTests) {  // T22: GeodSolve0 and GeodSolve1 of GeographicLib's own test set
  const GeodesicLine line =
      geodesic({.lat_deg = 40.6, .lon_deg = -73.8}, {.lat_deg = 49.01666667, .lon_deg = 2.55});
  EXPECT_NEAR(line.azimuth_start_deg, 53.47022, 5e-6);
  EXPECT_NEAR(line.azimuth_end_deg, 111.59367, 5e-6);
  EXPECT_NEAR(line.distance_m, 5853226, 0.5);
  const GeodesicEnd end = geodesic_direct({.lat_deg = 40.63972222, .lon_deg = -73.77888889}, 53.5, 5850e3);
  EXPECT_NEAR(end.place.lat_deg, 49.01467, 5e-6);
  EXPECT_NEAR(end.place.lon_deg, 2.56106, 5e-6);
  EXPECT_NEAR(end.azimuth_end_deg, 111.62947, 5e-6);
}

TEST(Geodesic, HardLines) {
  // 15.4, first row of the reference set; 15.5 near-antipodal; 15.6 short
  EXPECT_NEAR(
      geodesic({.lat_deg = 35.60777, .lon_deg = -139.44815}, {.lat_deg = -11.17491, .lon_deg = -69.95921})
          .distance_m,
      8935244.5604818305, 1e-7);
  EXPECT_NEAR(geodesic({.lat_deg = 0, .lon_deg = 0}, {.lat_deg = 0.5, .lon_deg = 179.5}).distance_m,
              19936288.579, 0.5);
  EXPECT_NEAR(
      geodesic({.lat_deg = 36.493349428792, .lon_deg = 0}, {.lat_deg = 36.49334942879201, .lon_deg = 8e-7})
          .distance_m,
      0.072, 5e-4);
}

TEST(Utm, WorkedPoint) {  // 15.9, recomputed with PROJ: 40 30 N, 73 30 W in zone 18
  const PlanePoint point = Utm(18, true).forward({.lat_deg = 40.5, .lon_deg = -73.5});
  EXPECT_NEAR(point.x_m, 627103.0873, 1e-3);
  EXPECT_NEAR(point.y_m, 4484335.4017, 1e-3);
}

TEST(Utm, ZonesAndCodes) {
  EXPECT_EQ(Utm::for_place({.lat_deg = 42.0, .lon_deg = -30.0}).epsg(), 32626);
  EXPECT_EQ(Utm::for_place({.lat_deg = -42.0, .lon_deg = 172.0}).epsg(), 32759);
  EXPECT_EQ(Utm::from_epsg(32710).zone(), 10);
  EXPECT_THROW(Utm::from_epsg(3857), Error);
  EXPECT_THROW(Utm::for_place({.lat_deg = 89, .lon_deg = 0}), Error);
  EXPECT_THROW(Utm::for_place({.lat_deg = 12, .lon_deg = 250}), Error);
}

RC_GTEST_PROP(Utm, InverseUndoesForward, ()) {
  const LatLon place{.lat_deg = *rc::gen::inRange(-7900, 8300) / 100.0,
                     .lon_deg = *rc::gen::inRange(-17999, 17999) / 100.0};
  const Utm utm = Utm::for_place(place);
  const LatLon back = utm.inverse(utm.forward(place));
  RC_ASSERT(std::abs(back.lat_deg - place.lat_deg) < 1e-9);
  RC_ASSERT(std::abs(back.lon_deg - place.lon_deg) < 1e-9);
}

TEST(Zone, EnnowayClockChanges) {  // the-job.md H: America/Nuuk is UTC-2, summer time UTC-1
  EXPECT_EQ(offset_at("America/Nuuk", *base::parse_instant("2026-01-12T12:00:00Z")), -120);
  EXPECT_EQ(offset_at("America/Nuuk", *base::parse_instant("2026-05-12T12:00:00Z")), -60);
  EXPECT_EQ(
      local_text("America/Nuuk", local_instant("America/Nuuk", base::make_date(2026, 10, 18), 18 * 60 + 15)),
      "2026-10-18T18:15:00-01:00");
}

TEST(Zone, SkippedAndDoubledTimes) {
  // Central Europe 2026: 02:00 to 03:00 is skipped on 29 March and occurs twice on 25 October.
  EXPECT_EQ(local_clock("Europe/Berlin", local_instant("Europe/Berlin", base::make_date(2026, 3, 29), 150)),
            "03:30");
  EXPECT_EQ(base::to_text_utc(local_instant("Europe/Berlin", base::make_date(2026, 10, 25), 150)),
            "2026-10-25T00:30:00Z");
}

TEST(Zone, UnknownIsSaidWithNearNames) {
  EXPECT_FALSE(known_zone("Europe/Berlim"));
  try {
    offset_at("Europe/Berlim", Instant{});
    FAIL();
  } catch (const Error& error) {
    EXPECT_NE(error.full_text().find("Europe/Berlin"), std::string::npos);
  }
}

}  // namespace
}  // namespace stumpwise::earth

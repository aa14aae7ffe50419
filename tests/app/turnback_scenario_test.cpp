// Scenario H3 of the domain paper: turn back in time, with its variants.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "stumpwise/app/actions.h"

namespace stumpwise::app {
namespace {

TurnbackRequest cold_stoop() {
  TurnbackRequest request;
  request.at = LatLon{.lat_deg = 42.0, .lon_deg = -30.0};
  request.zone = "America/Nuuk";
  request.date = base::make_date(2026, 10, 18);
  request.km = 3.0;
  request.climb_m = 200;
  request.off_trail = true;
  return request;
}

double minutes_apart(const nlohmann::json& text, const char* expected) {
  return std::abs(static_cast<double>(
             (*base::parse_instant(text.get<std::string>()) - *base::parse_instant(expected)).count())) /
         60;
}

TEST(H3, ColdStoopInOctober) {
  Session session(base::make_date(2026, 10, 18));
  const auto answer = turnback(session, cold_stoop());
  EXPECT_LE(minutes_apart(answer["sunset"], "2026-10-18T18:15:00-01:00"), 4);
  EXPECT_LE(minutes_apart(answer["civil_dusk"], "2026-10-18T18:43:00-01:00"), 4);
  EXPECT_NEAR(answer["outbound_minutes"].get<double>(), 75, 2);
  EXPECT_NEAR(answer["return_minutes"].get<double>(), 53, 2);
  EXPECT_LE(minutes_apart(answer["turn_back"], "2026-10-18T16:24:00-01:00"), 5);
  EXPECT_FALSE(answer["cautions"].empty());
}

TEST(H3, AShorterBufferMovesTheTurnBackByItsDifference) {
  Session session(base::make_date(2026, 10, 18));
  TurnbackRequest request = cold_stoop();
  request.buffer_min = 15;
  EXPECT_LE(minutes_apart(turnback(session, request)["turn_back"], "2026-10-18T16:54:00-01:00"), 5);
}

TEST(H3, LeavingTooLateIsRefusedWithTheLatestStart) {
  Session session(base::make_date(2026, 10, 18));
  TurnbackRequest request = cold_stoop();
  request.depart_clock_min = 15 * 60 + 45;
  try {
    turnback(session, request);
    FAIL();
  } catch (const Error& error) {
    EXPECT_EQ(error.code(), ErrorCode::not_possible);
    EXPECT_NE(error.mend().find("15:0"), std::string::npos) << error.mend();
  }
  request.depart_clock_min = 14 * 60;
  EXPECT_NO_THROW(turnback(session, request));
}

TEST(H3, ImpossibleWordsAreRefused) {
  Session session(base::make_date(2026, 10, 18));
  auto refused = [&](auto change) {
    TurnbackRequest request = cold_stoop();
    change(request);
    EXPECT_THROW(turnback(session, request), Error);
  };
  refused([](TurnbackRequest& r) { r.km = 0; });
  refused([](TurnbackRequest& r) { r.climb_m = 4000; });
  refused([](TurnbackRequest& r) { r.factor = 0.5; });
  refused([](TurnbackRequest& r) { r.zone = "Atlantic/Nowhere"; });
  refused([](TurnbackRequest& r) { r.at->lat_deg = 91; });
}

}  // namespace
}  // namespace stumpwise::app

// The responses of one day. Beta response: Yan & Hunt 1999; Hopkins 1918 (both `memory` in the table of check
// values).
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>

#include "states.h"
#include "stumpwise/base/error.h"

namespace stumpwise::season {
namespace {

using base::make_date;

TEST(BetaResponse, OneAtOptimumNothingOutside) {
  EXPECT_DOUBLE_EQ(beta_response(15, 2, 15, 28), 1);
  EXPECT_EQ(beta_response(2, 2, 15, 28), 0);
  EXPECT_EQ(beta_response(28, 2, 15, 28), 0);
  EXPECT_EQ(beta_response(-40, 2, 15, 28), 0);
  EXPECT_EQ(beta_response(99, 2, 15, 28), 0);
  // With the optimum in the middle the curve is 1 - ((t - 15) / 13)^2: by hand at 8 degrees 1 - 49/169.
  EXPECT_NEAR(beta_response(8, 2, 15, 28), 1 - 49.0 / 169, 1e-12);
  EXPECT_THROW(beta_response(10, 5, 5, 20), Error);
}

RC_GTEST_PROP(BetaResponse, StaysWithinAndRisesToTheOptimum, ()) {
  const double t_min = *rc::gen::inRange(-50, 100) / 10.0;
  const double t_opt = t_min + *rc::gen::inRange(1, 200) / 10.0;
  const double t_max = t_opt + *rc::gen::inRange(1, 200) / 10.0;
  const double low = t_min + (t_opt - t_min) * (*rc::gen::inRange(0, 1000) / 1000.0);
  const double r = beta_response(low, t_min, t_opt, t_max);
  RC_ASSERT(r >= 0 && r <= 1);
  RC_ASSERT(beta_response(low + (t_opt - low) * 0.5, t_min, t_opt, t_max) >= r - 1e-12);
}

TEST(SeasonResponse, PeaksWhereTheProfileSaysAtTheReferencePlace) {
  const auto t = e01();
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 10), 45, 0), 1, 1e-9);
  // One standard deviation away a wrapped normal, and so nearly its von Mises, has exp(-1/2).
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 30), 45, 0), std::exp(-0.5), 0.02);
  EXPECT_LT(season_response(t, make_date(2026, 12, 1), 45, 0), 1e-4);
}

TEST(SeasonResponse, HopkinsMovesSpringLaterAndAutumnEarlierWithHeightAndLatitude) {
  auto t = e01();
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 14), 45, 122), 1, 1e-4);
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 14), 46, 0), 1, 1e-4);
  t.season.front().spring = false;
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 6), 45, 122), 1, 1e-4);
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 6), 46, 0), 1, 1e-4);
  EXPECT_NEAR(season_response(t, make_date(2026, 5, 9), 45, 122, 3), 1, 1e-4);
}

TEST(SeasonResponse, TheSouthHasTheOtherHalfOfTheYear) {
  EXPECT_GT(season_response(e01(), make_date(2026, 11, 9), -45, 0), 0.99);
  EXPECT_LT(season_response(e01(), make_date(2026, 5, 10), -45, 0), 1e-4);
}

TEST(SeasonResponse, NoModeIsAllYear) {
  auto t = e01();
  t.season.clear();
  EXPECT_EQ(season_response(t, make_date(2026, 1, 1), 45, 0), 1);
}

RC_GTEST_PROP(SeasonResponse, MixtureReachesOneAndNeverMore, ()) {
  auto t = e01();
  t.season.clear();
  const int modes = *rc::gen::inRange(1, 4);
  for (int i = 0; i < modes; ++i)
    t.season.push_back({double(*rc::gen::inRange(1, 366)), double(*rc::gen::inRange(8, 60)),
                        *rc::gen::inRange(1, 11) / 10.0, *rc::gen::arbitrary<bool>()});
  double most = 0;
  for (int d = 0; d < 365; ++d)
    most = std::max(most, season_response(t, base::plus_days(make_date(2025, 1, 1), d), 45, 0));
  RC_ASSERT(most <= 1 + 1e-12);
  RC_ASSERT(most > 0.99);
}

}  // namespace
}  // namespace stumpwise::season

// Walking speeds against published numbers: check-values T12, 6.1 to 6.6.
#include <gtest/gtest.h>

#include "stumpwise/base/error.h"
#include "stumpwise/walk/laws.h"
#include "stumpwise/walk/travel.h"

namespace stumpwise::walk {
namespace {

double km_per_h(double slope) {
  return tobler_m_per_min(slope) * 60 / 1000;
}

// Published, see check-values T12: Tobler 1993, NCGIA TR 93-1.
TEST(PublishedTobler, SpeedOnGentleSlopes) {
  EXPECT_NEAR(km_per_h(0), 5.036742, 1e-6);
  EXPECT_NEAR(km_per_h(-0.05), 6.000000, 1e-6);
  EXPECT_NEAR(km_per_h(0.10), 3.549332, 1e-6);
  EXPECT_NEAR(km_per_h(-0.10), 5.036742, 1e-6);
  EXPECT_NEAR(km_per_h(0) * kOffPath, 3.022045, 1e-6);
}

// Published formula, numbers recomputed from it, see check-values 6.1.
TEST(PublishedTobler, SpeedOnSteepSlopes) {
  EXPECT_NEAR(km_per_h(-0.2), 3.549332, 1e-6);
  EXPECT_NEAR(km_per_h(0.2), 2.501172, 1e-6);
  EXPECT_NEAR(km_per_h(0.3), 1.762546, 1e-6);
  EXPECT_NEAR(km_per_h(0.5), 0.875255, 1e-6);
}

// Published, see check-values 6.2.
TEST(PublishedTobler, IsSymmetricAboutAGentleFall) {
  for (double slope = -1; slope <= 1; slope += 0.01) {
    EXPECT_NEAR(km_per_h(slope), km_per_h(-0.10 - slope), 1e-12);
    EXPECT_LE(km_per_h(slope), 6.0 + 1e-12);
  }
  EXPECT_DOUBLE_EQ(kOffPath, 0.6);
}

// Published, see check-values 6.3: 20 km with 1600 m at 8 to 1; 32.8 km; 6 h 34 min at 5 km/h, 4 h 06 min at
// 8 km/h.
TEST(PublishedNaismith, ClimbAsFlatDistance) {
  const double flat_m = naismith_flat_m(20'000, 1600, 8);
  EXPECT_DOUBLE_EQ(flat_m, 32'800);
  EXPECT_NEAR(flat_m / 5000 * 60, 6 * 60 + 34, 1);
  EXPECT_NEAR(flat_m / 8000 * 60, 4 * 60 + 6, 1);
  EXPECT_DOUBLE_EQ(naismith_flat_m(0, 1), 7.92);
}

// Published rule, number recomputed, see check-values 6.4: 12 km and 600 m take 3.4 h.
TEST(PublishedNaismith, AnHourForFiveKilometresAndForSixHundredMetres) {
  EXPECT_DOUBLE_EQ(naismith_min(12'000, 600), 3.4 * 60);
}

// Published rule, see check-values 6.5 (the limits of 5 and 12 degrees are from memory): 170 min.
TEST(PublishedLangmuir, DescentsGiveAndTake) {
  EXPECT_DOUBLE_EQ(langmuir_min(10'000, 500, 300, 300), 170);
  EXPECT_DOUBLE_EQ(langmuir_min(10'000, 0, 300, 0), 110);
  EXPECT_DOUBLE_EQ(langmuir_min(10'000, 0, 0, 300), 130);
}

// Published constants, numbers recomputed, signed slope from memory, see check-values 6.6.
TEST(PublishedIrmischer, SpeedOnAndOffThePath) {
  EXPECT_NEAR(irmischer_m_per_s(0, true), 1.096207, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(-0.05, true), 1.110, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(0.1, true), 0.992497, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(0.3, true), 0.616336, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(0, false), 0.778513, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(-0.02, false), 0.780, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(0.1, false), 0.728488, 1e-6);
  EXPECT_NEAR(irmischer_m_per_s(0.3, false), 0.489323, 1e-6);
  EXPECT_DOUBLE_EQ(irmischer_m_per_s(0.1, true, Walker::woman), 0.95 * irmischer_m_per_s(0.1, true));
}

TEST(WalkingLaws, RefuseDistancesBelowNothing) {
  EXPECT_THROW(naismith_flat_m(-1, 0), Error);
  EXPECT_THROW(naismith_min(0, -1), Error);
  EXPECT_THROW(langmuir_min(1, 1, -1, 0), Error);
  EXPECT_THROW(langmuir_min(1, 1, 0, 0, 0), Error);
}

}  // namespace
}  // namespace stumpwise::walk

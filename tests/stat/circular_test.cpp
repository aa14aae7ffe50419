// Directions and days of the year. Sources as read in the project's table of check values: T19, T20 = Zar
// 2010, Biostatistical Analysis, examples 26.2/26.4/27.1 and 26.5; 9.5, 9.6 recomputed there with an
// independent library; 9.7 = published test values of a circular-statistics library.
#include "stumpwise/stat/circular.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <numbers>

#include "stumpwise/base/error.h"

namespace stumpwise::stat {
namespace {

constexpr double kPi = std::numbers::pi;
double rad(double deg) {
  return deg * kPi / 180;
}
double deg(double radians) {
  return radians * 180 / kPi;
}

std::vector<double> radians(std::vector<double> degrees) {
  for (double& angle : degrees) angle = rad(angle);
  return degrees;
}

TEST(CircularSummary, ZarExample262) {  // T19
  const CircularSummary s = circular_summary(radians({45, 55, 81, 96, 110, 117, 132, 154}));
  EXPECT_NEAR(deg(s.mean_rad), 98.99, 0.01);  // printed 99
  EXPECT_NEAR(s.resultant, 0.82522, 5e-6);
  EXPECT_NEAR(deg(s.angular_deviation_rad), 34, 0.5);
  EXPECT_NEAR(deg(s.circular_sd_rad), 36, 0.5);
  EXPECT_NEAR(s.rayleigh_z, 5.448, 5e-4);
}

TEST(CircularSummary, ZarExample265Grouped) {  // T20
  std::vector<double> classes;
  for (int i = 0; i < 12; ++i) classes.push_back(15 + 30 * i);
  const CircularSummary s = circular_summary(radians(classes), {0, 6, 9, 13, 15, 22, 17, 12, 8, 3, 0, 0});
  EXPECT_NEAR(deg(s.mean_rad), 161.57, 0.01);  // printed 162
  EXPECT_NEAR(s.resultant, 0.55064, 5e-5);
  EXPECT_NEAR(grouping_correction(rad(30)), 1.01152, 5e-6);
  const double corrected = s.resultant * grouping_correction(rad(30));
  EXPECT_NEAR(corrected, 0.55698, 5e-5);
  EXPECT_NEAR(deg(std::sqrt(2 * (1 - corrected))), 54, 0.5);
}

TEST(CircularSummary, BothStandardDeviations) {  // 9.7
  const CircularSummary s = circular_summary({1.80044838, 2.02938314, 1.03534016, 4.84225057, 1.54256458,
                                              5.19290675, 2.18474784, 4.77054777, 1.51736933, 0.72727580});
  EXPECT_NEAR(1 - s.resultant, 0.65842, 1e-3);
  EXPECT_NEAR(2 * (1 - s.resultant), 1.3168, 1e-3);
  EXPECT_NEAR(s.circular_sd_rad, 1.4657, 1e-3);
  EXPECT_NEAR(s.angular_deviation_rad, 1.1475, 1e-3);
}

TEST(CircularSummary, EdgesOfInput) {
  EXPECT_EQ(circular_summary({}).resultant, 0);
  EXPECT_EQ(circular_summary({1, 2}, {0, 0}).rayleigh_z, 0);
  EXPECT_THROW(circular_summary({1, 2}, {1}), Error);
  EXPECT_THROW(circular_summary({1, 2}, {1, -1}), Error);
  const CircularSummary alike = circular_summary({0.3, 0.3, 0.3});
  EXPECT_NEAR(alike.resultant, 1, 1e-12);
  EXPECT_TRUE(std::isfinite(alike.angular_deviation_rad));
}

TEST(VonMises, Resultant) {  // 9.5
  EXPECT_NEAR(von_mises_resultant(1), 0.446390, 1e-6);
  EXPECT_NEAR(von_mises_resultant(2), 0.697775, 1e-6);
  EXPECT_NEAR(von_mises_resultant(4), 0.863523, 1e-6);
  EXPECT_NEAR(von_mises_resultant(10), 0.948600, 1e-6);
  // The asymptotic series joins the Bessel functions where it takes over.
  EXPECT_NEAR(von_mises_resultant(500.0001), von_mises_resultant(500), 1e-9);
}

TEST(VonMises, Kappa) {  // 9.6
  EXPECT_NEAR(von_mises_kappa(0.5), 1.159320, 1e-5);
  EXPECT_NEAR(von_mises_kappa(0.82522), 3.223172, 1e-5);
  EXPECT_NEAR(von_mises_kappa(0.9), 5.304689, 1e-5);
  EXPECT_EQ(von_mises_kappa(0), 0);
  EXPECT_EQ(von_mises_kappa(-0.2), 0);
}

TEST(VonMises, DensityIntegratesToOne) {
  for (double kappa : {0.0, 0.5, 3.0, 80.0, 499.0, 2000.0}) {
    double sum = 0;
    constexpr int kSteps = 20000;
    for (int i = 0; i < kSteps; ++i)
      sum += von_mises_density(2 * kPi * i / kSteps, 1.0, kappa) * 2 * kPi / kSteps;
    EXPECT_NEAR(sum, 1, 1e-6) << kappa;
  }
}

TEST(VonMises, DensityHasTheResultant) {
  double cosine = 0;
  constexpr int kSteps = 20000;
  for (int i = 0; i < kSteps; ++i) {
    const double a = 2 * kPi * i / kSteps;
    cosine += std::cos(a - 0.4) * von_mises_density(a, 0.4, 2) * 2 * kPi / kSteps;
  }
  EXPECT_NEAR(cosine, 0.697775, 1e-6);  // 9.5
}

RC_GTEST_PROP(VonMises, KappaInvertsResultant, ()) {
  const double kappa = std::exp(*rc::gen::inRange(-6000, 12500) / 1000.0);  // 0.0025 to 270 000
  RC_ASSERT(std::abs(von_mises_kappa(von_mises_resultant(kappa)) / kappa - 1) < 1e-5);
}

RC_GTEST_PROP(CircularSummary, TurnsWithTheAngles, ()) {
  auto angles = *rc::gen::nonEmpty(rc::gen::container<std::vector<double>>(
      rc::gen::map(rc::gen::inRange(0, 360), [](int d) { return rad(d); })));
  const double turn = rad(*rc::gen::inRange(0, 360));
  const CircularSummary before = circular_summary(angles);
  for (double& a : angles) a += turn;
  const CircularSummary after = circular_summary(angles);
  RC_ASSERT(std::abs(before.resultant - after.resultant) < 1e-9);
  RC_PRE(before.resultant > 1e-6);
  RC_ASSERT(std::abs(std::remainder(after.mean_rad - before.mean_rad - turn, 2 * kPi)) < 1e-6);
}

TEST(WrappedNormal, KappaFromSd) {
  // A narrow wrapped normal is a von Mises of kappa = 1 / sd^2 (to second order).
  EXPECT_NEAR(kappa_from_sd(0.05) * 0.05 * 0.05, 1, 0.01);
  EXPECT_NEAR(von_mises_resultant(kappa_from_sd(0.7)), std::exp(-0.245), 1e-9);
}

}  // namespace
}  // namespace stumpwise::stat

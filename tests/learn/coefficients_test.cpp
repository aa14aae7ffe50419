#include "stumpwise/learn/coefficients.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>

#include "scene.h"
#include "stumpwise/base/error.h"

namespace stumpwise::learn {
namespace {

using namespace testing_scene;

Model learned_model() {
  base::Random random(21);
  const LearnResult result = fit(simulated(wide_prior().mean, 1, 15, random), wide_prior(), 1);
  return {result.coefficients, {-10, 0, 1.5}};
}

TEST(CoefficientsJson, ComesBackBitForBit) {
  const Model model = learned_model(), back = model_from_json(model_to_json(model));
  EXPECT_EQ(back.coefficients.mean, model.coefficients.mean);
  EXPECT_EQ(back.coefficients.covariance, model.coefficients.covariance);
  EXPECT_EQ(back.coefficients.learned, true);
  EXPECT_EQ(back.coefficients.outings, 15);
  EXPECT_EQ(back.coefficients.finds, model.coefficients.finds);
  EXPECT_EQ(back.variant.season_shift_days, -10);
  EXPECT_EQ(back.variant.rain_factor, 1.5);
  EXPECT_EQ(coefficients_from_json(coefficients_to_json(model.coefficients)).mean, model.coefficients.mean);
}

TEST(CoefficientsJson, WhatIsWrongIsSaid) {
  const std::string good = model_to_json(learned_model());
  auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = good;
    const std::size_t place = text.find(from);
    if (place == std::string::npos) throw std::runtime_error("no " + from);
    return text.replace(place, from.size(), to);
  };
  auto code_of = [](const std::string& text) {
    try {
      model_from_json(text);
    } catch (const Error& error) {
      return error.code();
    }
    return ErrorCode::internal;
  };
  EXPECT_EQ(code_of("{"), ErrorCode::bad_format);
  EXPECT_EQ(code_of("[]"), ErrorCode::bad_format);
  EXPECT_EQ(code_of(changed("\"format\":1", "\"format\":2")), ErrorCode::stale_version);
  EXPECT_EQ(code_of(changed("\"model_version\":\"1\"", "\"model_version\":\"0\"")), ErrorCode::stale_version);
  EXPECT_EQ(code_of(changed("\"wetness\"", "\"wetnes\"")), ErrorCode::bad_format);
  EXPECT_EQ(code_of(changed("\"mean\":[", "\"mean\":[1,")), ErrorCode::bad_format);
  EXPECT_EQ(code_of(changed("\"covariance\":[", "\"covariance\":[null,")), ErrorCode::bad_format);
  EXPECT_EQ(code_of(changed("\"covariance\":[", "\"covariance\":[-")), ErrorCode::bad_format);
  EXPECT_EQ(code_of(changed("\"outings\":15", "\"outings\":-1")), ErrorCode::bad_format);
  Model broken = learned_model();
  broken.coefficients.mean[3] = std::nan("");
  EXPECT_THROW(model_to_json(broken), Error);
}

}  // namespace
}  // namespace stumpwise::learn

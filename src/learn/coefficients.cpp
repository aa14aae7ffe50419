#include "stumpwise/learn/coefficients.h"

#include <Eigen/Cholesky>
#include <nlohmann/json.hpp>

#include "stumpwise/base/error.h"

namespace stumpwise::learn {
namespace {

using ground::kTheta;
using Json = nlohmann::json;

constexpr int kFormat = 1;

/// a, the covariates by name, g: written along, so that coefficients never meet another order.
Json names() {
  Json list = Json::array({"a"});
  for (const ground::Standard& standard : ground::standards()) list.push_back(standard.name);
  list.push_back("g");
  return list;
}

[[noreturn]] void bad(const std::string& what) {
  throw Error(ErrorCode::bad_format, "learned coefficients: " + what);
}

std::vector<double> numbers(const Json& json, const char* key, std::size_t wanted) {
  const auto values = json.at(key).get<std::vector<double>>();
  if (values.size() != wanted)
    bad(std::string(key) + " holds " + std::to_string(values.size()) + " numbers, not " +
        std::to_string(wanted));
  return values;
}

int count(const Json& json, const char* key) {
  const int value = json.at(key).get<int>();
  if (value < 0) bad(std::string(key) + " is below 0");
  return value;
}

Model read(const Json& json) {
  if (json.at("format").get<int>() != kFormat)
    throw Error(ErrorCode::stale_version,
                "learned coefficients have format " + json.at("format").dump() + ", this program reads 1",
                "Learn again.");
  if (json.at("model_version").get<std::string>() != ground::kModelVersion)
    throw Error(ErrorCode::stale_version,
                "learned coefficients belong to model version " + json.at("model_version").dump(),
                "Learn again.");
  if (json.at("names") != names()) bad("the covariates are other ones or in another order");
  Model model;
  ground::Coefficients& c = model.coefficients;
  const auto mean = numbers(json, "mean", kTheta);
  const auto covariance = numbers(json, "covariance", kTheta * (kTheta + 1) / 2);
  std::size_t next = 0;
  for (int i = 0; i < kTheta; ++i) {
    c.mean[i] = mean[static_cast<std::size_t>(i)];
    for (int j = 0; j <= i; ++j) c.covariance(i, j) = c.covariance(j, i) = covariance[next++];
  }
  if (Eigen::LLT<ground::ThetaMatrix>(c.covariance).info() != Eigen::Success)
    bad("the covariance is not positive definite");
  c.learned = json.at("learned").get<bool>();
  c.outings = count(json, "outings");
  c.finds = count(json, "finds");
  const Json& variant = json.at("variant");
  model.variant = {variant.at("season_shift_days").get<double>(), variant.at("t_shift_degc").get<double>(),
                   variant.at("rain_factor").get<double>()};
  return model;
}

}  // namespace

std::string model_to_json(const Model& model) {
  const ground::Coefficients& c = model.coefficients;
  if (!c.mean.allFinite() || !c.covariance.allFinite())
    throw Error(ErrorCode::internal, "coefficients that are no numbers cannot be kept");
  Json mean = Json::array(), covariance = Json::array();
  for (int i = 0; i < kTheta; ++i) {
    mean.push_back(c.mean[i]);
    for (int j = 0; j <= i; ++j) covariance.push_back(c.covariance(i, j));
  }
  const Json variant = {{"season_shift_days", model.variant.season_shift_days},
                        {"t_shift_degc", model.variant.t_shift_degc},
                        {"rain_factor", model.variant.rain_factor}};
  return Json{{"format", kFormat},        {"model_version", ground::kModelVersion},
              {"names", names()},         {"mean", mean},
              {"covariance", covariance}, {"learned", c.learned},
              {"outings", c.outings},     {"finds", c.finds},
              {"variant", variant}}
      .dump();
}

Model model_from_json(const std::string& text) {
  try {
    return read(Json::parse(text));
  } catch (const Json::exception& error) {
    bad(error.what());
  }
}

std::string coefficients_to_json(const ground::Coefficients& coefficients) {
  return model_to_json({coefficients, {}});
}

ground::Coefficients coefficients_from_json(const std::string& json) {
  return model_from_json(json).coefficients;
}

}  // namespace stumpwise::learn

#include "climate.h"

#include <cmath>
#include <numbers>

namespace stumpwise::weather {
namespace {

constexpr double kYear_days = 365.2425, kWet_mm = 1;
constexpr int kEnoughDays = 20, kEnoughMonths = 6;

double determinant(const std::array<double, 3>& a, const std::array<double, 3>& b,
                   const std::array<double, 3>& c) {
  return a[0] * (b[1] * c[2] - b[2] * c[1]) - b[0] * (a[1] * c[2] - a[2] * c[1]) +
         c[0] * (a[1] * b[2] - a[2] * b[1]);
}

}  // namespace

Climate::Three Climate::wave_at(Date date) {
  const double angle = 2 * std::numbers::pi * base::day_of_year(date) / kYear_days;
  return {1, std::cos(angle), std::sin(angle)};
}

void Climate::add(const Day& day) {
  if (!day.method.empty()) return;
  const std::size_t month = base::month_of(day.date) - 1;
  if (day.tmin_degc && day.tmax_degc) ranges_ += *day.tmax_degc - *day.tmin_degc, ++n_ranges_;
  if (day.precip_mm) {
    for (Rain* rain : {&months_[month], &all_}) {
      rain->sum += *day.precip_mm;
      ++rain->n;
      rain->wet += *day.precip_mm >= kWet_mm;
    }
  }
  const auto mean = day.mean_degc();
  if (!mean) return;
  wave_.reset();
  ++warm_days_[month];
  const Three x = wave_at(day.date);
  for (std::size_t i = 0; i < 3; ++i) {
    right_[i] += x[i] * *mean;
    for (std::size_t j = 0; j < 3; ++j) normal_[i][j] += x[i] * x[j];
  }
}

std::optional<Climate::Three> Climate::solved() const {
  int months = 0;
  for (int n : warm_days_) months += n >= kEnoughDays;
  if (months < kEnoughMonths) return std::nullopt;
  // Cramer's rule; the matrix is symmetric, so its rows serve as columns.
  const double whole = determinant(normal_[0], normal_[1], normal_[2]);
  Three wave{};
  for (std::size_t i = 0; i < 3; ++i) {
    auto columns = normal_;
    columns[i] = right_;
    wave[i] = determinant(columns[0], columns[1], columns[2]) / whole;
  }
  return wave;
}

std::optional<double> Climate::mean_degc(Date date) {
  if (!wave_) wave_ = solved();
  if (!*wave_) return std::nullopt;
  const Three &wave = **wave_, x = wave_at(date);
  return wave[0] + wave[1] * x[1] + wave[2] * x[2];
}

std::optional<double> Climate::half_range_degc() const {
  if (n_ranges_ < kEnoughDays) return std::nullopt;
  return ranges_ / n_ranges_ / 2;
}

double Climate::rain_mm(Date date) const {
  const Rain& month = months_[base::month_of(date) - 1];
  const Rain& rain = month.n >= kEnoughDays ? month : all_;
  if (rain.n == 0) return 0;
  if (rain.wet == 0) return rain.sum / rain.n;
  const double share = static_cast<double>(rain.wet) / rain.n;
  const double day = static_cast<double>(date.time_since_epoch().count());
  return std::floor((day + 1) * share) > std::floor(day * share) ? rain.sum / rain.wet : 0;
}

}  // namespace stumpwise::weather

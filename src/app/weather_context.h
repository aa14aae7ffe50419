#pragma once
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/app/session.h"
#include "stumpwise/base/error.h"
#include "stumpwise/season/index.h"
#include "stumpwise/weather/read.h"
#include "stumpwise/weather/site.h"

namespace stumpwise::app {

/// The weather that an answer stands on: the nearest station with notes merged and short gaps filled, the
/// user's forecast, past years as an ensemble, and what must be said about them.
struct WeatherContext {
  weather::Series series;  ///< everything measured, notes merged, short gaps filled
  weather::StationFit fit;
  std::vector<weather::Gap> gaps;
  std::vector<weather::Day> forecast;               ///< days after the last observed one
  std::vector<std::pair<Date, double>> soil_notes;  ///< typed soil temperatures
  bool gap_left = false;           ///< a long gap in the days that the answer rests on was left open
  std::vector<std::string> notes;  ///< for the user: far station, long gaps, no forecast
};

/// Error(no_data) where the book holds no weather. `through`: days later than this are not looked at.
WeatherContext weather_context(Session& session, const LatLon& place, double elevation_m);

/// States of a site for the days up to and including `last` (soil notes taken in), at least `history_days`
/// where the series has them.
std::vector<weather::DayState> observed_states(const WeatherContext& context, const weather::Site& site,
                                               Date last, int history_days);

/// Members of the ensemble: the same calendar days of past years, re-dated to begin at `first`, `n_days`
/// long, where a year has them all.
std::vector<std::vector<weather::Day>> past_years(const WeatherContext& context, Date first, int n_days);

/// Outlook of one species at one site for [first, first + n_days).
std::vector<season::IndexDay> site_outlook(const WeatherContext& context, const species::Triggers& triggers,
                                           const weather::Site& site,
                                           const std::vector<weather::DayState>& observed, Date first,
                                           int n_days);

/// First of the `n_days` days from `first` for which `days` holds no index.
std::optional<Date> first_day_without(const std::vector<season::IndexDay>& days, Date first, int n_days);
/// What is thrown, or noted, where no weather reaches a day.
Error no_weather(Date day);

/// Last day on which the context's series has a measured or filled value, not after `today`.
Date last_observed(const WeatherContext& context, Date today);

/// The station of an answer with its distance and what must be said of it.
nlohmann::json station_json(const WeatherContext& context);

/// The site that stands for a height of a ground.
weather::Site site_at(const LatLon& place, double elevation_m);

}  // namespace stumpwise::app

#pragma once
#include "page.h"
#include "units.h"

/// What a person reads of each answer of `app`.
namespace stumpwise::cli {

std::string say_ground_add(const Json& answer, const Units& units);
std::string say_ground_list(const Json& answer, const Units& units);
std::string say_ground_show(const Json& answer, const Units& units);
std::string say_weather_add(const Json& answer, const Units& units);
std::string say_weather_note(const Json& answer, const Units& units);
std::string say_weather_forecast(const Json& answer, const Units& units);

std::string say_species_list(const Json& answer, const Units& units);
std::string say_species_show(const Json& answer, const Units& units);
std::string say_species_check(const Json& answer, const Units& units);
std::string say_spores(const Json& answer, const Units& units);
std::string say_outlook(const Json& answer, const Units& units);
std::string say_prospect(const Json& answer, const Units& units);
std::string say_learn(const Json& answer, const Units& units);

std::string say_plan(const Json& answer, const Units& units);
std::string say_turnback(const Json& answer, const Units& units);

std::string say_outing_add(const Json& answer, const Units& units);
std::string say_outing_list(const Json& answer, const Units& units);
std::string say_outing_show(const Json& answer, const Units& units);
std::string say_find_add(const Json& answer, const Units& units);
std::string say_find_list(const Json& answer, const Units& units);

std::string say_key(const Json& answer, const Units& units);
std::string say_key_next(const Json& answer, const Units& units);
std::string say_piece_add(const Json& answer, const Units& units);
std::string say_piece_list(const Json& answer, const Units& units);
std::string say_piece_show(const Json& answer, const Units& units);

std::string say_demo(const Json& answer, const Units& units);
std::string say_today(const Json& answer, const Units& units);
std::string say_check(const Json& answer, const Units& units);

}  // namespace stumpwise::cli

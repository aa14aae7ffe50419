// The measuring program: one word, one JSON object on stdout.
#include <CLI/CLI.hpp>
#include <iostream>

#include "commands.h"
#include "stumpwise/base/error.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/parallel.h"

namespace {

using namespace stumpwise;

/// Words of the contract whose work does not stand yet.
constexpr const char* kNotYet[] = {"orienteering", "presence", "insolation", "outlook", "seasons"};

void add_land(CLI::App& app, bench::TerrainRequest& terrain, bench::TravelRequest& travel,
              nlohmann::json& answer) {
  auto* land =
      app.add_subcommand("terrain", "Slope, aspect, curvatures, position and heat load of a DEM, as files");
  land->add_option("--dem", terrain.dem, "metric GeoTIFF of square cells");
  land->add_option("--make", terrain.make, "an invented DEM of N x N cells, N a power of two");
  land->add_option("--threads", terrain.threads, "threads")->check(CLI::PositiveNumber);
  land->add_option("--out", terrain.out, "folder")->required();
  land->callback([&] { answer = bench::terrain(terrain); });

  auto* flow = app.add_subcommand("flow", "Upslope cells of every cell (single flow on the filled DEM)");
  flow->add_option("--dem", terrain.dem, "metric GeoTIFF of square cells")->required();
  flow->add_option("--out", terrain.out, "folder")->required();
  flow->callback([&] { answer = bench::flow(terrain.dem, terrain.out); });

  auto* way = app.add_subcommand("travel", "Minutes from a start to every cell, on-path, up to three days");
  way->add_option("--dem", travel.dem, "metric GeoTIFF of square cells; nodata is a wall")->required();
  way->add_option("--start", travel.start, "X,Y in the DEM's plane")->required();
  way->add_option("--law", travel.law, "tobler")->required();
  way->add_option("--out", travel.out, "GeoTIFF of minutes, nodata -9999")->required();
  way->callback([&] { answer = bench::travel(travel); });
}

void add_model(CLI::App& app, int& cells, int& covariates, bench::IndexRequest& request, int& threads,
               nlohmann::json& answer) {
  auto* prospect = app.add_subcommand("prospect", "Finds per hectare with interval over an invented ground");
  prospect->add_option("--cells", cells, "cells of the ground")->required();
  prospect->add_option("--covariates", covariates, "covariates that are known, 3 to 10");
  prospect->add_option("--threads", threads, "threads")->check(CLI::PositiveNumber);
  prospect->callback([&] { answer = bench::prospect(cells, covariates, threads); });

  auto* index = app.add_subcommand("index", "Daily conditions index of all profiles (reading not timed)");
  index->add_option("--weather", request.weather, "daily weather, GHCN-Daily or CSV")->required();
  index->add_option("--years", request.years, "the last N calendar years of the file");
  index->add_option("--bands", request.bands, "heights, 100 m apart, from the station up");
  index->add_option("--lat", request.lat_deg, "of the station")->capture_default_str();
  index->add_option("--lon", request.lon_deg, "of the station")->capture_default_str();
  index->add_option("--elev", request.elev_m, "of the station, m")->capture_default_str();
  index->callback([&] { answer = bench::index(request); });
}

void add_key(CLI::App& app, bench::KeyRequest& request, nlohmann::json& answer) {
  auto* word = app.add_subcommand("key", "Ranking and gate (rule G6 alone) on a character matrix");
  word->add_option("--matrix", request.matrix, "species by characters")->required();
  word->add_option("--groups", request.groups, "evidence group of each character")->required();
  word->add_option("--specimens", request.specimens, "bodies whose species is known");
  word->add_option("--simulate", request.simulate, "instead: N fresh specimens")->check(CLI::PositiveNumber);
  word->add_option("--seed", request.seed, "of the fresh specimens");
  word->add_option("--characters", request.characters, "how many are read, or all")->required();
  word->add_flag("--chosen", request.chosen, "characters of the program's own choice");
  word->add_flag("--given", request.given, "characters in the order of the specimen");
  word->add_option("--misread", request.misread, "rate at which a character is misread")
      ->capture_default_str();
  word->add_option("--threshold", request.threshold, "T of rule G6")->capture_default_str();
  word->add_flag("--curve", request.curve, "the trade-off over T");
  word->add_flag("--classes", request.classes, "judge by the odds of the classes: what no rule can beat");
  word->add_option("--danger-weight", request.danger_weight,
                   "weight of the class against the name in the choice")
      ->capture_default_str();
  word->add_option("--threads", request.threads, "threads")->check(CLI::PositiveNumber);
  word->callback([&] { answer = bench::key(request); });
}

void add_gate(CLI::App& app, bench::GateRequest& request, int& taxa, nlohmann::json& answer) {
  auto* gate = app.add_subcommand("gate", "Rules G1 to G8 on simulated bodies of the profiles, over T");
  gate->add_option("--region", request.region, "region")->capture_default_str();
  gate->add_option("--simulate", request.simulate, "bodies")->check(CLI::PositiveNumber);
  gate->add_option("--characters", request.characters, "readings of each body, in random order (0: all)");
  gate->add_option("--seed", request.seed, "seed");
  gate->add_option("--threads", request.threads, "threads")->check(CLI::PositiveNumber);
  gate->callback([&] { answer = bench::gate(request); });
  auto* speed = app.add_subcommand("key-speed", "One update and one ranking of the key on invented taxa");
  speed->add_option("--taxa", taxa, "how many")->check(CLI::Range(2, 100000));
  speed->callback([&] { answer = bench::key_speed(taxa); });
}

int run(int argc, char** argv) {
  CLI::App app(
      "Measures parts of Stumpwise; prints one JSON object.\nExample: stumpwise-bench flow --dem dem.tif "
      "--out out",
      "stumpwise-bench");
  app.require_subcommand(1);
  bench::TerrainRequest terrain;
  bench::TravelRequest travel;
  bench::IndexRequest request;
  int cells = 0, covariates = 10, threads = base::default_threads();
  terrain.threads = threads;
  nlohmann::json answer;
  add_land(app, terrain, travel, answer);
  bench::KeyRequest key;
  key.threads = threads;
  add_key(app, key, answer);
  bench::GateRequest gate;
  gate.threads = threads;
  int taxa = 173;
  add_gate(app, gate, taxa, answer);
  add_model(app, cells, covariates, request, threads, answer);
  for (const char* word : kNotYet) {
    auto* later = app.add_subcommand(word, "not built yet")->allow_extras();
    later->callback([word] {
      throw Error(ErrorCode::bad_usage, std::string("stumpwise-bench ") + word + " is not built yet");
    });
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return app.exit(error) == 0 ? 0 : base::exit_status(ErrorCode::bad_usage);
  }
  std::cout << answer.dump() << '\n';
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    base::catch_interrupts();
    return run(argc, argv);
  } catch (const Error& error) {
    std::cerr << error.full_text() << '\n';
    return base::exit_status(error.code());
  } catch (const std::exception& error) {
    std::cerr << "stumpwise-bench: " << error.what() << '\n';
    return 1;
  }
}

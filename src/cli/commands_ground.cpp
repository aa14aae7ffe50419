#include "command.h"
#include "say.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/units.h"

namespace stumpwise::cli {
namespace {

double metres_per_unit(const std::string& option, const std::string& word) {
  if (word == "m") return 1;
  if (word == "ft") return base::kMetresPerFoot;
  throw Error(ErrorCode::bad_usage, option + " \"" + word + "\": m or ft");
}

void add_ground_add(CLI::App& parent, Context& context) {
  CLI::App& leaf =
      command(parent, "add", "Put a ground together from elevation, land cover and what you know.",
              "stumpwise ground add tarnwick --dem dem.tif --cover cover.tif \\\n"
              "    --legend corine --region EU --tz Europe/Berlin --cell 10 --book my.gpkg\n"
              "stumpwise ground add ridge --dem n42.zip n43.zip --around 42.5,-72.2,6 \\\n"
              "    --region NA-E --tz America/New_York");
  auto request = std::make_shared<app::GroundAddRequest>();
  leaf.add_option("NAME", request->name, "what the ground is called: letters, digits, - and _")->required();
  list_option(leaf, "--dem", request->dem, "FILE",
              "elevation, any raster GDAL reads; several tiles, zipped too")
      ->required();
  option(leaf, "--dem-unit", request->dem_scale, metres_per_unit, "m|ft",
         "unit of the elevation (else as the file declares)");
  leaf.add_option_function<std::string>(
          "--around",
          [request](const std::string& word) {
            const Around around = around_of("--around", word);
            request->around = around.centre;
            request->radius_km = around.radius_km;
          },
          "cut out this place and so many km around it")
      ->type_name("LAT,LON,KM");
  list_option(leaf, "--cover", request->cover, "FILE", "land cover, a raster of classes");
  text_option(leaf, "--legend", request->legend, "NAME|FILE",
              "what the classes mean: nlcd, corine, simple8 or a file");
  list_option(leaf, "--hosts", request->hosts, "FILE",
              "known trees: points with genus, state, radius_m, told_by");
  list_option(leaf, "--streams", request->streams, "FILE", "streams: lines; kind=river is a wall");
  list_option(leaf, "--trails", request->trails, "FILE", "trails: lines; bridge=yes opens a wall");
  list_option(leaf, "--access", request->access, "FILE",
              "areas: kind open, permission, closed or reserve; expires, checked");
  list_option(leaf, "--history", request->history, "FILE",
              "areas: kind burn, sprayed_orchard, mine, ...; year_from, year_to");
  text_option(leaf, "--region", request->region, "R", "whose flora: EU, NA-E, NA-W, ...; several with +")
      ->required();
  text_option(leaf, "--tz", request->zone, "ZONE", "time zone, for example Europe/Berlin")->required();
  number_option(leaf, "--cell", request->cell_m, "METRES", "size of a cell (10)");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        return context.in_new_or_old_book(
            [&](app::Session& session) { return app::ground_add(session, *request); });
      },
      say_ground_add);
}

void add_ground_readers(CLI::App& parent, Context& context) {
  CLI::App& list =
      command(parent, "list", "The grounds of the book.", "stumpwise ground list --book my.gpkg");
  takes_book(list, context);
  reports(
      list, context,
      [&context] {
        auto session = context.session();
        return app::ground_list(session);
      },
      say_ground_list);

  CLI::App& show = command(parent, "show", "One ground: extent, layers, your notes on access and history.",
                           "stumpwise ground show tarnwick --book my.gpkg");
  auto name = std::make_shared<std::string>();
  show.add_option("NAME", *name, "which ground, where the book holds several");
  takes_ground(show, context);
  reports(
      show, context,
      [&context, name] {
        auto session = context.session();
        return app::ground_show(session, name->empty() ? context.common.ground : *name);
      },
      say_ground_show);
}

void add_weather_add(CLI::App& parent, Context& context) {
  CLI::App& leaf = command(parent, "add", "Take in the days of a weather station.",
                           "stumpwise weather add USC00123456.dly --station \"Mill Pond\"\n"
                           "stumpwise weather add days.csv --station Home --lat 42.4 --lon -72.3 \\\n"
                           "    --elev 310 \\\n"
                           "  --columns date=DAY,tmin=LOW:degf,tmax=HIGH:degf,precip=RAIN:in,missing=-99");
  auto request = std::make_shared<app::WeatherAddRequest>();
  leaf.add_option("FILE", request->file, "GHCN-Daily (.dly, .csv) or any CSV")->required();
  text_option(leaf, "--station", request->station_name, "NAME", "what the station is called");
  number_option(leaf, "--lat", request->lat_deg, "DEG", "where it stands, unless the file says so");
  number_option(leaf, "--lon", request->lon_deg, "DEG", "");
  number_option(leaf, "--elev", request->elevation_m, "METRES", "its height above the sea");
  text_option(leaf, "--columns", request->columns, "MAP",
              "names and units of a CSV's columns (see the example)");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        return context.in_new_or_old_book(
            [&](app::Session& session) { return app::weather_add(session, *request); });
      },
      say_weather_add);
}

void add_weather_note(CLI::App& parent, Context& context) {
  struct Request {
    records::WeatherNote note;
    std::optional<Date> date;
  };
  CLI::App& leaf = command(parent, "note", "Your own gauge or thermometer, typed in ten seconds.",
                           "stumpwise weather note --rain 12\nstumpwise weather note --date 2026-05-11 "
                           "--tmin 4 --tmax 17 --soil 11.5");
  auto request = std::make_shared<Request>();
  date_option(leaf, "--date", request->date, "the day (today)");
  number_option(leaf, "--rain", request->note.rain_mm, "MM", "rain of the day");
  number_option(leaf, "--tmin", request->note.tmin_degc, "DEGC", "lowest air temperature");
  number_option(leaf, "--tmax", request->note.tmax_degc, "DEGC", "highest air temperature");
  number_option(leaf, "--soil", request->note.soil_degc, "DEGC", "soil temperature at 10 cm");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        auto session = context.session();
        request->note.date = request->date.value_or(session.today());
        return app::weather_note(session, request->note);
      },
      say_weather_note);
}

void add_weather_forecast(CLI::App& parent, Context& context) {
  CLI::App& leaf = command(parent, "forecast", "The forecast for the days from tomorrow.",
                           "stumpwise weather forecast --days \"6/17/0 8/19/4.5 7/14/12\"\nstumpwise weather "
                           "forecast forecast.csv");
  auto request = std::make_shared<app::ForecastRequest>();
  leaf.add_option("FILE", request->file, "CSV: date, tmin, tmax, precip");
  text_option(leaf, "--days", request->days, "DAYS", "TMIN/TMAX/MM of each day (°C, mm), from tomorrow");
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, request] {
        if (request->file.empty() == request->days.empty())
          throw Error(ErrorCode::bad_usage, "weather forecast takes either a FILE or --days",
                      "For example stumpwise weather forecast --days \"6/17/0 8/19/4.5\"");
        auto session = context.session();
        return app::weather_forecast(session, *request);
      },
      say_weather_forecast);
}

}  // namespace

void add_ground_commands(Context& context) {
  CLI::App& ground =
      group(context.app, "ground", "Land that is hunted: add, list, show.", "stumpwise ground list");
  add_ground_add(ground, context);
  add_ground_readers(ground, context);
  CLI::App& weather = group(context.app, "weather", "Station days, your own notes, the forecast.",
                            "stumpwise weather note --rain 12");
  add_weather_add(weather, context);
  add_weather_note(weather, context);
  add_weather_forecast(weather, context);
}

}  // namespace stumpwise::cli

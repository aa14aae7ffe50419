#include <fmt/format.h>

#include <cmath>

#include "stumpwise/base/text.h"
#include "stumpwise/earth/geodesic.h"
#include "stumpwise/earth/projection.h"
#include "stumpwise/earth/zone.h"
#include "stumpwise/picture/map.h"
#include "stumpwise/plan/documents.h"

namespace stumpwise::plan {
namespace {

using base::escape_markup;

constexpr std::string_view kStyle = R"(
@page { margin: 12mm; }
body { font: 12pt/1.35 Georgia, "Times New Roman", serif; color: #000; background: #fff; margin: 0 auto; max-width: 62rem; padding: 0 1rem; }
h1 { font-size: 1.5em; margin: .4em 0 .2em; } h2 { font-size: 1.15em; margin: 1em 0 .3em; border-bottom: 2px solid #000; }
.invented { border: 3px double #000; padding: .3em .6em; font-weight: bold; }
.clock { display: flex; flex-wrap: wrap; gap: .5rem; margin: .6em 0; padding: 0; list-style: none; }
.clock li { border: 2px solid #000; padding: .2em .7em; } .clock b { display: block; font-size: 1.5em; }
table { border-collapse: collapse; width: 100%; } th, td { border: 1px solid #000; padding: .25em .45em; text-align: left; vertical-align: top; }
td.turn { font-size: 1.35em; font-weight: bold; } figure { margin: .5em 0; } figure svg { width: 100%; height: auto; max-height: 235mm; }
.wide { overflow-x: auto; } li { margin: .2em 0; } .small { font-size: .9em; }
h2, tr, figure { break-inside: avoid; }
)";

Instant later(Instant from, double minutes) {
  return from + std::chrono::seconds{std::llround(minutes * 60)};
}

class SheetWriter {
 public:
  explicit SheetWriter(const DocumentInput& input)
      : input_(input), plan_(*input.plan), utm_(earth::Utm::from_epsg(input.layers->georef.epsg)) {}

  std::string text() const {
    std::string html =
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
        "content=\"width=device-width, initial-scale=1\"><title>" +
        escape_markup(title()) + "</title><style>" + std::string(kStyle) + "</style></head><body>\n";
    if (input_.invented)
      html += "<p class=\"invented\">Invented demo data: no such place, no claim of skill rests on it.</p>\n";
    html += "<h1>" + escape_markup(title()) + "</h1>\n" + clocks() + species() + stops() + map() + legs() +
            list("Notes", input_.notes);
    std::vector<std::string> cautions;
    for (const auto& [id, text] : input_.cautions) cautions.push_back(text);
    html += list("Cautions", cautions);
    return html + "</body></html>\n";
  }

 private:
  std::string title() const {
    return fmt::format("Walk on {}, {}", base::to_text(plan_.date), input_.ground_title);
  }
  std::string clock(Instant instant) const { return earth::local_clock(input_.task->zone, instant); }
  std::string after(double minutes) const { return clock(later(plan_.clock.depart, minutes)); }

  std::string clocks() const {
    std::string html = "<ul class=\"clock\">";
    auto add = [&](const char* name, const std::string& time) {
      html += fmt::format("<li>{}<b>{}</b></li>", name, time);
    };
    add("leave", clock(plan_.clock.depart));
    add("at the latest", clock(plan_.latest_depart));
    add("planned end", after(plan_.walk.total_min));
    add("be back by", clock(plan_.clock.deadline));
    add("sunset", clock(plan_.clock.sunset));
    add("civil dusk", clock(plan_.clock.civil_dusk));
    return html + "</ul>\n" +
           fmt::format(
               "<p class=\"small\">Times in zone {}. Turn-back: be back {:.0f} min before sunset, way back "
               "counted {:.2f} times.</p>\n",
               escape_markup(input_.task->zone), input_.task->buffer_min, input_.task->factor);
  }

  std::string species() const {
    std::string names;
    for (const Target& target : *input_.targets)
      names += (names.empty() ? "" : ", ") + escape_markup(target.name);
    return "<p>Looking for: " + names +
           fmt::format(". Expected finds on the whole walk, with the 90 % interval: <b>{}</b>.</p>\n",
                       expected(plan_.walk.expected, plan_.walk.low90, plan_.walk.high90));
  }

  static std::string expected(double median, double low, double high) {
    return fmt::format("{:.2f} ({:.2f} to {:.2f})", median, low, high);
  }

  std::string stops() const {
    std::string html =
        "<h2>Stops</h2><div class=\"wide\"><table><tr><th>Stop</th><th>arrive</th><th>search</th><th>leave "
        "by</th><th>turn back at the latest</th><th>way back</th><th>place</th><th>expected finds (90 % "
        "interval)</th><th>leave when</th></tr>\n";
    const LatLon end = input_.task->end.value_or(input_.task->start);
    for (std::size_t i = 0; i < plan_.walk.stops.size(); ++i) {
      const walk::Stop& stop = plan_.walk.stops[i];
      const LatLon place = utm_.inverse(stop.place);
      const auto back = earth::geodesic(place, end);
      std::string rule;
      for (std::size_t n = 0; n < stop.leave_after_min.size(); ++n)
        rule += fmt::format("{}{} {}: after {:.0f} min", n ? "; " : "", n, n == 1 ? "find" : "finds",
                            stop.leave_after_min[n]);
      html += fmt::format(
          "<tr><td><b>{}</b></td><td>{}</td><td>{:.0f} min</td><td>{}</td><td "
          "class=\"turn\">{}</td><td>{:.0f} min; {:.0f} m straight at {:03.0f}°</td><td>{:.5f}, "
          "{:.5f}</td><td>{}</td><td>{}</td></tr>\n",
          i + 1, after(stop.arrive_min), stop.search_min, after(stop.leave_min), after(stop.turn_back_min),
          stop.return_min, back.distance_m, back.azimuth_start_deg, place.lat_deg, place.lon_deg,
          expected(stop.expected, stop.low90, stop.high90), rule);
    }
    return html + "</table></div>\n";
  }

  std::string legs() const {
    std::string html =
        "<h2>Legs</h2><div "
        "class=\"wide\"><table><tr><th>from</th><th>to</th><th>minutes</th><th>length</th><th>climb</th></"
        "tr>\n";
    auto name = [](int stop, const char* otherwise) {
      return stop < 0 ? std::string(otherwise) : "stop " + std::to_string(stop + 1);
    };
    for (const walk::Leg& leg : plan_.walk.legs)
      html +=
          fmt::format("<tr><td>{}</td><td>{}</td><td>{:.0f}</td><td>{:.0f} m</td><td>{:.0f} m</td></tr>\n",
                      name(leg.from, "start"), name(leg.to, "end"), leg.minutes, leg.length_m, leg.climb_m);
    return html + "</table></div>\n";
  }

  std::string map() const {
    picture::MapContent content;
    content.dem = &input_.layers->elevation_m;
    const raster::Grid prospect = joint_map(*input_.targets, 1);
    content.prospect = &prospect;
    content.wall = input_.wall;
    content.title = "Map of the walk: numbered stops, way and expected finds per hectare";
    for (const walk::Leg& leg : plan_.walk.legs) content.route.push_back({leg.line, leg.to < 0});
    for (std::size_t i = 0; i < plan_.walk.stops.size(); ++i)
      content.stops.push_back({plan_.walk.stops[i].place, std::to_string(i + 1),
                               "back by " + after(plan_.walk.stops[i].turn_back_min)});
    content.start = utm_.forward(input_.task->start);
    if (input_.task->end) content.end = utm_.forward(*input_.task->end);
    content.convergence_deg = utm_.convergence_deg(input_.task->start);
    return "<h2>Map</h2><figure>" + picture::map_svg(content) + "</figure>\n";
  }

  static std::string list(const char* heading, const std::vector<std::string>& lines) {
    if (lines.empty()) return "";
    std::string html = fmt::format("<h2>{}</h2><ul>", heading);
    for (const std::string& line : lines) html += "<li>" + escape_markup(line) + "</li>\n";
    return html + "</ul>\n";
  }

  const DocumentInput& input_;
  const OutingPlan& plan_;
  earth::Utm utm_;
};

}  // namespace

std::string plan_sheet(const DocumentInput& input) {
  return SheetWriter(input).text();
}

}  // namespace stumpwise::plan

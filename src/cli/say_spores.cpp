#include <fmt/format.h>

#include "say.h"

namespace stumpwise::cli {
namespace {

std::string decimal(const Json& json, const char* key, int digits) {
  const auto value = number(json, key);
  return value ? fmt::format("{:.{}f}", *value, digits) : "?";
}

void table(Page& page, const Json& answer) {
  page.line().line("            min     5 %    mean      SD    95 %     max");
  for (const auto& [key, name, digits] :
       {std::tuple{"length", "Length, um", 2}, {"width", "Width, um", 2}, {"q", "Q", 3}}) {
    const Json& spread = part(answer, key);
    std::string row = padded(name, 10);
    for (const char* column : {"min", "p5", "mean", "sd", "p95", "max"})
      row += fmt::format("{:>8}", decimal(spread, column, digits));
    page.line("  " + row);
  }
}

void shape(Page& page, const Json& answer) {
  const Json& its = part(answer, "shape");
  if (!its.is_object()) return;
  std::string text = "Shape by mean Q: " + words(its, "of_mean");
  if (words(its, "of_p5") != words(its, "of_p95"))
    text += " (5 to 95 %: " + words(its, "of_p5") + " to " + words(its, "of_p95") + ")";
  page.wrap(text + " [" + words(its, "source") + "]", 2, 2);
}

void bodies(Page& page, const Json& answer) {
  if (items(answer, "bodies").size() < 2) return;
  page.title("Means of each body");
  for (const Json& body : items(answer, "bodies")) {
    std::string name = words(body, "collection");
    if (!words(body, "specimen").empty()) name += (name.empty() ? "" : ", ") + words(body, "specimen");
    page.wrap(fmt::format("- {}: {}, {} x {} um, Q {}", name, counted(whole(body, "spores"), "spore"),
                          decimal(body, "mean_length_um", 2), decimal(body, "mean_width_um", 2),
                          decimal(body, "mean_q", 3)),
              2, 2);
  }
}

std::string measure_name(const Json& measure) {
  const std::string id = words(measure, "character");
  return id == "C32.length" ? "length" : id == "C32.width" ? "width" : "Q";
}

/// "length 0.93, width 1.00".
std::string shares(const Json& fit) {
  std::string text;
  for (const Json& measure : items(fit, "measures"))
    text += (text.empty() ? "" : ", ") + measure_name(measure) + " " + decimal(measure, "share", 2);
  return text;
}

/// The sample's range beside the other one, measure by measure.
void in_full(Page& page, const Json& answer, const Json& fit) {
  for (const Json& measure : items(fit, "measures")) {
    const std::string name = measure_name(measure);
    const bool quotient = name == "Q";
    const Json& sample = part(answer, quotient ? "q" : name.c_str());
    const int digits = quotient ? 2 : 1;
    std::string text = fmt::format(
        "- {}: yours {} to {}, there usually {} to {} ({} to {}){}: overlap {}", name,
        decimal(sample, "p5", digits), decimal(sample, "p95", digits), decimal(measure, "usual_min", digits),
        decimal(measure, "usual_max", digits), decimal(measure, "min", digits),
        decimal(measure, "max", digits), quotient ? "" : " um", decimal(measure, "share", 2));
    if (yes(measure, "disputed")) text += "; sources disagree";
    if (!words(measure, "note").empty()) text += ". " + words(measure, "note");
    page.wrap(text + " [" + words(measure, "source") + "]", 2, 2);
  }
}

void dangers(Page& page, const Json& answer) {
  page.title("DANGERS that these sizes do not speak against, best fit first (overlap of your 5 to 95 %)");
  if (items(answer, "dangers").empty()) page.wrap("None of this book; others may exist.", 2, 2);
  for (const Json& fit : items(answer, "dangers"))
    page.wrap("- " + words(fit, "id") + " " + words(fit, "name") + " [" + words(fit, "syndrome") +
                  "]: " + words(fit, "verdict") + "; " + shares(fit),
              2, 2);
  page.wrap("Sizes alone rule out no danger, listed here or not.", 2, 2);
  if (!items(answer, "dangers_without_sizes").empty())
    page.wrap("Nothing can be said of dangers without spore sizes in this book: " +
                  joined(answer, "dangers_without_sizes"),
              2, 2);
}

void named(Page& page, const Json& answer) {
  const Json& fit = part(answer, "species");
  if (!fit.is_object()) return;
  page.title((yes(fit, "danger") ? "DANGER " : "") + words(fit, "id") + " " + words(fit, "name") + ": " +
             words(fit, "verdict"));
  in_full(page, answer, fit);
}

void against(Page& page, const Json& answer) {
  const Json& its = part(answer, "against");
  if (!its.is_object()) return;
  page.title("Against \"" + words(its, "text") + "\"");
  in_full(page, answer, its);
}

void other_names(Page& page, const Json& answer) {
  page.title("Names that fit, best first");
  if (items(answer, "names").empty()) page.wrap("None of this book.", 2, 2);
  for (const Json& fit : items(answer, "names"))
    page.wrap("- " + words(fit, "id") + " " + words(fit, "name") + ": " + shares(fit), 2, 2);
  if (whole(answer, "names_left_out") > 0)
    page.wrap(fmt::format("... and {} more", whole(answer, "names_left_out")), 2, 2);
  page.wrap("It may be none of these. A fit is no identification.", 2, 2);
}

}  // namespace

std::string say_spores(const Json& answer, const Units&) {
  Page page;
  page.line(fmt::format(
      "{} of {}, {}{}", counted(whole(answer, "spores"), "spore"),
      items(answer, "bodies").size() == 1 ? "1 body"
                                          : fmt::format("{} bodies", items(answer, "bodies").size()),
      counted(whole(answer, "collections"), "collection"), yes(answer, "few") ? " (FEW)" : ""));
  page.wrap(words(answer, "notation"), 2, 2);
  if (number(answer, "um_per_div"))
    page.wrap("1 division of the eyepiece scale = " + decimal(answer, "um_per_div", 4) +
                  " um; holds for this objective only",
              2, 2);
  table(page, answer);
  shape(page, answer);
  bodies(page, answer);
  dangers(page, answer);
  named(page, answer);
  against(page, answer);
  other_names(page, answer);
  return page.closing(answer).text();
}

}  // namespace stumpwise::cli

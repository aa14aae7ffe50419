#include <fmt/format.h>

#include <algorithm>

#include "say.h"

namespace stumpwise::cli {
namespace {

constexpr std::size_t kMostInFull = 6;

std::string standing_line(const Json& answer) {
  const std::string standing = words(answer, "standing");
  const Json& name = part(answer, "name");
  std::string line = "Standing: " + standing;
  if (name.is_object()) line += ", asked as " + words(name, "id") + " " + words(name, "name");
  if (standing == "confirmed")
    line += ", by " + words(answer, "confirmed_by") + " on " + words(answer, "confirmed_at").substr(0, 10);
  return line;
}

/// The texts of a list, one a line; what is no text is passed over.
void lines(Page& page, const Json& texts, std::size_t indent) {
  for (const Json& each : texts)
    if (each.is_string()) page.wrap(each.get<std::string>(), indent, 2);
}

void danger_in_full(Page& page, const Json& danger) {
  const std::string syndrome = words(danger, "syndrome");
  page.wrap(fmt::format("{} {}{}{}", words(danger, "id"), words(danger, "name"),
                        syndrome.empty() ? "" : " (" + syndrome + ")",
                        yes(danger, "blocked")  ? ", stays shut"
                        : yes(danger, "listed") ? ", a listed double"
                                                : ""),
            2, 4);
  if (!items(danger, "contradicted_by").empty())
    page.wrap("against it: " + joined(danger, "contradicted_by"), 6, 2);
  if (!items(danger, "missing").empty())
    page.wrap("would settle it: " + joined(danger, "missing", " "), 6, 2);
  lines(page, items(danger, "reasons"), 6);
}

void dangers(Page& page, const Json& answer) {
  const Json& undefeated = items(answer, "undefeated");
  if (undefeated.empty()) {
    page.title("Dangers: each that the book knows of the region is contradicted; others may exist");
    return;
  }
  page.title(undefeated.size() == 1
                 ? std::string("It could still be one dangerous one")
                 : fmt::format("It could still be one of {} dangerous ones", undefeated.size()));
  if (part(answer, "covered") == Json(false))
    page.wrap("and others: the book does not know every danger there (see below)", 2, 2);
  std::string rest;
  std::size_t shown = 0;
  for (const Json& danger : undefeated) {
    if (shown < kMostInFull || yes(danger, "listed")) {
      danger_in_full(page, danger);
      ++shown;
    } else {
      rest += (rest.empty() ? "" : ", ") + words(danger, "id") + " " + words(danger, "name");
    }
  }
  if (!rest.empty()) page.wrap("and " + rest, 2, 4);
}

void shut_by(Page& page, const Json& answer, const Units& units) {
  if (!items(answer, "shut_by").empty())
    page.bullets("The gate is shut also because", items(answer, "shut_by"));
  for (const Json& clash : items(answer, "clashes"))
    page.wrap("! " + units.in_words(words(clash, "text"), true), 2, 2);
}

void names(Page& page, const Json& answer) {
  page.title("Names that fit what was read (ranked; no clearance)");
  std::size_t shown = 0;
  for (const Json& name : items(answer, "names")) {
    if (++shown > 6 || number(name, "posterior").value_or(0) < 0.005) break;
    page.line(fmt::format("  {:>5.1f} %  {} {}{}", 100 * *number(name, "posterior"), words(name, "id"),
                          words(name, "name"), yes(name, "dangerous") ? "  [dangerous]" : ""));
  }
  page.line(
      fmt::format("  {:>5.1f} %  may be none of these", 100 * number(answer, "none_of_these").value_or(0)));
}

void next(Page& page, const Json& answer) {
  if (items(answer, "next").empty()) return;
  page.title("Look at next");
  int place = 0;
  for (const Json& each : items(answer, "next"))
    page.wrap(fmt::format("{}. {}{}: {}", ++place, words(each, "character"),
                          words(each, "name").empty() ? "" : " " + words(each, "name"), words(each, "why")),
              2, 3);
}

/// "C11 cap diameter: 50.8 mm", "C20 inside of the stipe: one-hollow, cut".
std::string reading_line(const Json& reading, const Units& units) {
  const std::string text = words(reading, "text"), unit = words(reading, "unit");
  std::string value = joined(reading, "states", " or ");
  if (const auto low = number(reading, "low"), high = number(reading, "high"); low && high) {
    const std::string end = unit.empty() || unit == "1" ? "" : " " + unit;
    value = fmt::format("{:g}{}", *low, end);
    if (*high != *low) value += fmt::format(" to {:g}{}", *high, end);
    value = units.in_words(value, true);
  }
  std::string how = text.find('@') == std::string::npos ? "" : text.substr(text.find('@') + 1);
  std::replace(how.begin(), how.end(), '@', ' ');
  if (!how.empty() && how.back() >= '0' && how.back() <= '9') how += " s watched";
  return words(reading, "character") + " " + words(reading, "name") + ": " + value +
         (how.empty() ? "" : ", " + how) + (yes(reading, "unsure") ? ", unsure" : "");
}

void readings(Page& page, const char* heading, const Json& list, const Units& units) {
  if (list.empty()) return;
  page.title(heading);
  for (const Json& each : list) {
    std::string line = reading_line(each, units);
    if (!words(each, "by").empty()) line += "; " + words(each, "by");
    line += ", " + words(each, "at").substr(0, 10);
    if (!part(each, "withdrawn_at").is_null())
      line += "; taken back " + words(each, "withdrawn_at").substr(0, 10);
    page.wrap(line, 2, 4);
  }
}

void must_see(Page& page, const Json& answer) {
  const Json& list = items(answer, "must_see");
  if (list.empty()) return;
  page.title("Must be seen for this name");
  for (const Json& each : list)
    page.wrap(fmt::format("{} {}: {}", words(each, "character"), words(each, "name"), words(each, "state")),
              2, 2);
}

void said(Page& page, const Json& answer) {
  lines(page, items(answer, "said"), 2);
}

void judgement(Page& page, const Json& answer, const Units& units) {
  page.line(standing_line(answer));
  dangers(page, answer);
  shut_by(page, answer, units);
  must_see(page, answer);
  names(page, answer);
  next(page, answer);
}

}  // namespace

std::string say_key(const Json& answer, const Units& units) {
  Page page;
  judgement(page, answer, units);
  readings(page, "Read", items(answer, "readings"), units);
  page.line();
  said(page, answer);
  return page.closing(answer).text();
}

std::string say_key_next(const Json& answer, const Units&) {
  Page page;
  page.line(standing_line(answer) +
            fmt::format("; {} dangers undefeated", items(answer, "undefeated").size()));
  next(page, answer);
  return page.closing(answer).text();
}

std::string say_piece_add(const Json& answer, const Units&) {
  Page page;
  const Json& pieces = items(answer, "pieces");
  if (pieces.empty()) return page.line("0 pieces").closing(answer).text();
  const Json &first = pieces.front(), &last = pieces.back();
  const std::string numbers = pieces.size() == 1
                                  ? fmt::format("Piece {}", whole(first, "id"))
                                  : fmt::format("Pieces {} to {}", whole(first, "id"), whole(last, "id"));
  page.line(fmt::format("{} of {}, found by {}", numbers, words(first, "date"), words(first, "finder")));
  said(page, answer);
  page.line(fmt::format("  Read it: stumpwise key --piece {} --seen Cnn=STATE", whole(first, "id")));
  return page.closing(answer).text();
}

std::string say_piece_list(const Json& answer, const Units&) {
  Page page;
  const Json& pieces = items(answer, "pieces");
  page.line(fmt::format("{} of {} confirmed", whole(answer, "confirmed"),
                        counted(static_cast<long long>(pieces.size()), "piece")));
  for (const Json& piece : pieces) {
    const Json& named = part(piece, "named");
    page.wrap(fmt::format("{:>5}  {}  {}, {} undefeated, {}", whole(piece, "id"), words(piece, "date"),
                          words(piece, "standing"), whole(piece, "undefeated"),
                          named.is_object() ? words(named, "id") + " " + words(named, "name") : "no name"),
              0, 7);
  }
  return page.closing(answer).text();
}

std::string say_piece_show(const Json& answer, const Units& units) {
  Page page;
  const Json& piece = part(answer, "piece");
  page.line(fmt::format("Piece {} of {}, found by {}", whole(piece, "id"), words(piece, "date"),
                        words(piece, "finder")));
  for (const Json& each : items(answer, "confirmations"))
    page.wrap(fmt::format("Word of {} on {}: {}{}", words(each, "by"), words(each, "at").substr(0, 10),
                          words(each, "species"), yes(each, "counts") ? "" : " (opens nothing)"),
              2, 2);
  for (const Json& wait : items(answer, "waits"))
    if (part(wait, "done_at").is_null())
      page.wrap(fmt::format("Waiting for {}, due {}", words(wait, "character"), words(wait, "due")), 2, 2);
  page.line();
  judgement(page, answer, units);
  readings(page, "Every reading that was made", items(answer, "history"), units);
  page.line();
  said(page, answer);
  return page.closing(answer).text();
}

}  // namespace stumpwise::cli

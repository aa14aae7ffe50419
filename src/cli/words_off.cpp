#include "words_off.h"

#include <algorithm>

#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

std::vector<std::string> commands_of(CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::App* each : app.get_subcommands([](const CLI::App*) { return true; }))
    names.push_back(each->get_name());
  return names;
}

std::vector<std::string> options_of(CLI::App& app) {
  std::vector<std::string> names;
  for (const CLI::Option* each : app.get_options())
    for (const std::string& name : each->get_lnames()) names.push_back("--" + name);
  return names;
}

std::string see_help(const CLI::App& app) {
  return "See " + full_name(app) + " --help.";
}

std::string nearest_words(const std::string& word, const std::vector<std::string>& known) {
  constexpr std::size_t kMost = 3;
  auto near = base::nearest(word, known, kMost);
  // A word begun but not finished ("out" for outlook) is far by edit distance and still plain.
  for (const std::string& name : known)
    if (word.size() >= 2 && name.rfind(word, 0) == 0 &&
        std::find(near.begin(), near.end(), name) == near.end() && near.size() < kMost)
      near.push_back(name);
  return near.empty() ? std::string() : "Nearest: " + base::join(near, ", ") + ". ";
}

struct Reading {
  CLI::App* at;         ///< the deepest command that was named
  std::string unknown;  ///< the first word that means nothing there
  bool option = false;
};

/// Reads the words again, only to find where they stop making sense.
Reading read_again(CLI::App& app, const std::vector<std::string>& given) {
  Reading reading{&app, "", false};
  for (std::size_t i = 0; i < given.size(); ++i) {
    const std::string& word = given[i];
    if (word.size() > 2 && word.rfind("--", 0) == 0) {
      const auto equals = word.find('=');
      const CLI::Option* known = reading.at->get_option_no_throw(word.substr(0, equals));
      if (!known) return {reading.at, word.substr(0, equals), true};
      if (equals == std::string::npos && known->get_items_expected_min() > 0) ++i;
      continue;
    }
    const auto commands = commands_of(*reading.at);
    if (commands.empty()) continue;  // a value
    if (std::find(commands.begin(), commands.end(), word) == commands.end())
      return {reading.at, word, word.rfind('-', 0) == 0};
    reading.at = reading.at->get_subcommand(word);
  }
  return reading;
}

}  // namespace

std::string full_name(const CLI::App& app) {
  return app.get_parent() ? full_name(*app.get_parent()) + " " + app.get_name() : app.get_name();
}

Error words_off(CLI::App& app, const std::vector<std::string>& given, const CLI::ParseError& fault) {
  const Reading reading = read_again(app, given);
  const std::string name = full_name(*reading.at);
  const auto commands = commands_of(*reading.at);
  if (!reading.unknown.empty() && !reading.option)
    return {ErrorCode::bad_usage, "\"" + base::printable(reading.unknown) + "\" is no command of " + name,
            nearest_words(reading.unknown, commands) + see_help(*reading.at)};
  if (!reading.unknown.empty())
    return {ErrorCode::bad_usage, name + " knows no option " + base::printable(reading.unknown),
            nearest_words(reading.unknown, options_of(*reading.at)) + see_help(*reading.at)};
  if (!commands.empty())
    return {ErrorCode::bad_usage, name + " needs a command: " + base::join(commands, ", "),
            see_help(*reading.at)};
  if (dynamic_cast<const CLI::ExtrasError*>(&fault)) {
    auto extra = reading.at->remaining();
    std::sort(extra.begin(), extra.end(), [&](const auto& a, const auto& b) {
      return std::find(given.begin(), given.end(), a) < std::find(given.begin(), given.end(), b);
    });
    return {ErrorCode::bad_usage, name + ": too many words: " + base::printable(base::join(extra, " ")),
            "A name of several words stands in quotes. " + see_help(*reading.at)};
  }
  return {ErrorCode::bad_usage, name + ": " + base::printable(fault.what()), see_help(*reading.at)};
}

}  // namespace stumpwise::cli

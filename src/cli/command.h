#pragma once
#include <CLI/CLI.hpp>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "page.h"
#include "stumpwise/app/session.h"
#include "stumpwise/cli/cli.h"
#include "units.h"
#include "values.h"

namespace stumpwise::cli {

/// What several commands understand.
struct Common {
  std::string book, ground, units = "metric";
  bool json = false;
};

/// One call of the program: the words it understands, and what they turned out to ask for.
struct Context {
  explicit Context(Faces its_faces);
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;

  /// A session on the book that was named; Error(bad_usage) at first use of the book where none was.
  app::Session session() const;
  /// For what needs no book: one of the shell that is not there is let be; one that --book names must be.
  app::Session session_if_there() const;
  /// The same, but makes the book where there is none yet (`run` is undone with it if it fails).
  Json in_new_or_old_book(const std::function<Json(app::Session&)>& run) const;
  std::string book_path() const;  ///< --book, else STUMPWISE_BOOK
  Units unit_words() const { return {common.units == "us"}; }

  CLI::App app;
  Faces faces;
  Common common;
  std::function<int()> action;  ///< set by the command that was named
};

using Say = std::function<std::string(const Json& answer, const Units& units)>;
using Work = std::function<Json()>;

/// A command or group with its help, which ends with examples.
CLI::App& command(CLI::App& parent, const std::string& name, const std::string& about,
                  const std::string& examples);
/// A group needs exactly one of its commands.
CLI::App& group(CLI::App& parent, const std::string& name, const std::string& about,
                const std::string& examples);

void takes_book(CLI::App& leaf, Context& context);
void takes_ground(CLI::App& leaf, Context& context);  ///< --book and --ground

/// `work` is done when the command is named, and its answer printed: as JSON or in the words of `say`. The
/// command then also takes --json and --units. With `fails_when_not_ok` an answer {"ok": false} ends with
/// status 1.
void reports(CLI::App& leaf, Context& context, Work work, Say say, bool fails_when_not_ok = false);

/// "show N": one record of the book by its number.
void shows_by_number(CLI::App& parent, Context& context, const std::string& about, const std::string& example,
                     std::function<Json(app::Session&, std::int64_t)> show, Say say);

/// Writes to stdout; Error(store_failed) where it cannot be written.
void write_out(const std::string& text);

/// Options whose word is read by one of values.h.
template <class T, class Read>
CLI::Option* option(CLI::App& leaf, const std::string& name, T& target, Read read, const std::string& shape,
                    const std::string& about) {
  return leaf
      .add_option_function<std::string>(
          name, [&target, read, name](const std::string& word) { target = read(name, word); }, about)
      ->type_name(shape);
}
template <class T>
CLI::Option* number_option(CLI::App& leaf, const std::string& name, T& target, const std::string& shape,
                           const std::string& about) {
  return option(leaf, name, target, number_of, shape, about);
}
template <class T>
CLI::Option* integer_option(CLI::App& leaf, const std::string& name, T& target, const std::string& shape,
                            const std::string& about) {
  return option(leaf, name, target, integer_of, shape, about);
}
template <class T>
CLI::Option* place_option(CLI::App& leaf, const std::string& name, T& target, const std::string& about) {
  return option(leaf, name, target, place_of, "LAT,LON", about);
}
template <class T>
CLI::Option* clock_option(CLI::App& leaf, const std::string& name, T& target, const std::string& about) {
  return option(leaf, name, target, clock_min_of, "HH:MM", about);
}
template <class T>
CLI::Option* date_option(CLI::App& leaf, const std::string& name, T& target, const std::string& about) {
  return option(
      leaf, name, target,
      [](const std::string& field, const std::string& word) { return base::require_date(word, field); },
      "DATE", about);
}
CLI::Option* text_option(CLI::App& leaf, const std::string& name, std::string& target,
                         const std::string& shape, const std::string& about);
/// One or several words, also by naming the option again.
CLI::Option* list_option(CLI::App& leaf, const std::string& name, std::vector<std::string>& target,
                         const std::string& shape, const std::string& about);
CLI::Option* integer_list_option(CLI::App& leaf, const std::string& name, std::vector<int>& target,
                                 const std::string& shape, const std::string& about);

void add_house_commands(Context& context);    ///< demo, today, check, serve, completion
void add_ground_commands(Context& context);   ///< ground, weather
void add_species_commands(Context& context);  ///< species, outlook, prospect, learn
void add_key_commands(Context& context);      ///< key, piece
void add_spore_commands(Context& context);    ///< spores
void add_walk_commands(Context& context);     ///< plan, turnback
void add_record_commands(Context& context);   ///< outing, find

}  // namespace stumpwise::cli

#include "command.h"

#include <cstdio>
#include <cstdlib>

#include "progress.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

namespace fs = std::filesystem;

/// Help in lines of at most kWidth characters.
class NarrowHelp : public CLI::Formatter {
 public:
  std::string make_option(const CLI::Option* opt, bool is_positional) const override {
    return entry(make_option_name(opt, is_positional) + make_option_opts(opt), make_option_desc(opt));
  }
  std::string make_subcommand(const CLI::App* sub) const override {
    return entry(sub->get_name(), sub->get_description());
  }
  std::string make_description(const CLI::App* its) const override { return wrapped(its->get_description()); }
  std::string make_option_opts(const CLI::Option* opt) const override {
    std::string text;
    if (opt->nonpositional() && !opt->get_type_name().empty()) text += " " + opt->get_type_name();
    if (opt->get_expected_max() > 1) text += " ...";
    if (opt->get_required()) text += " (needed)";
    return text;
  }

 private:
  static std::string entry(const std::string& name, const std::string& about) {
    constexpr std::size_t kAbout = 30;
    if (about.empty()) return "  " + name + "\n";
    const std::string right = wrapped(about, kAbout, 0);
    const std::string left = "  " + name;
    if (width_of(left) + 1 > kAbout) return left + "\n" + right;
    return padded(left, kAbout) + right.substr(kAbout);
  }
};

/// What a book that was just made left on the disk; a folder with something in it stays.
void remove_new_book(const fs::path& path) {
  std::error_code ignored;
  for (const char* companion : {"", "-wal", "-shm", "-journal"})
    fs::remove(path.string() + companion, ignored);
  fs::path files = path;
  fs::remove(files.replace_extension(".files"), ignored);
}

}  // namespace

Context::Context(Faces its_faces)
    : app("Stumpwise: which day, which ground and which way to walk, and what the season taught. Offline; "
          "every record is yours.",
          "stumpwise"),
      faces(std::move(its_faces)) {
  app.formatter(std::make_shared<NarrowHelp>());
}

std::string Context::book_path() const {
  if (!common.book.empty()) return common.book;
  const char* of_the_shell = std::getenv("STUMPWISE_BOOK");
  return of_the_shell ? of_the_shell : "";
}

app::Session Context::session() const {
  const std::string path = book_path();
  app::Session session = path.empty() ? app::Session() : app::Session(path);
  session.progress = progress_bar();
  return session;
}

app::Session Context::session_if_there() const {
  const std::string path = book_path();
  return common.book.empty() && !path.empty() && !fs::exists(path) ? app::Session() : session();
}

Json Context::in_new_or_old_book(const std::function<Json(app::Session&)>& run) const {
  const fs::path path = book_path();
  if (path.empty()) {
    app::Session none;
    none.book();  // says how to name one
  }
  const bool fresh = !fs::exists(path);
  try {
    app::Session session(path, fresh);
    session.progress = progress_bar();
    return run(session);
  } catch (...) {
    if (fresh) remove_new_book(path);
    throw;
  }
}

CLI::App& command(CLI::App& parent, const std::string& name, const std::string& about,
                  const std::string& examples) {
  CLI::App& leaf = *parent.add_subcommand(name, about);
  std::string footer = "Example:";
  for (const std::string& each : base::split(examples, '\n')) footer += "\n  " + each;
  leaf.footer(footer);
  return leaf;
}

CLI::App& group(CLI::App& parent, const std::string& name, const std::string& about,
                const std::string& examples) {
  CLI::App& its = command(parent, name, about, examples);
  its.require_subcommand(1);
  return its;
}

void takes_book(CLI::App& leaf, Context& context) {
  text_option(leaf, "--book", context.common.book, "FILE", "the book, NAME.gpkg (else STUMPWISE_BOOK)");
}

void takes_ground(CLI::App& leaf, Context& context) {
  takes_book(leaf, context);
  text_option(leaf, "--ground", context.common.ground, "NAME", "which ground, where the book holds several");
}

void reports(CLI::App& leaf, Context& context, Work work, Say say, bool fails_when_not_ok) {
  leaf.add_flag("--json", context.common.json, "the answer as JSON, nothing else");
  option(leaf, "--units", context.common.units, one_of({"metric", "us"}), "metric|us",
         "us: miles, feet, acres, °F (never in JSON)");
  leaf.callback([&context, work = std::move(work), say = std::move(say), fails_when_not_ok] {
    context.action = [&context, work, say, fails_when_not_ok] {
      const Json answer = work();
      if (context.common.json)
        write_out(answer.dump(2, ' ', false, Json::error_handler_t::replace) + "\n");
      else
        write_out(say(answer, context.unit_words()));
      return fails_when_not_ok && answer.contains("ok") && !yes(answer, "ok") ? 1 : 0;
    };
  });
}

void shows_by_number(CLI::App& parent, Context& context, const std::string& about, const std::string& example,
                     std::function<Json(app::Session&, std::int64_t)> show, Say say) {
  CLI::App& leaf = command(parent, "show", about, example);
  auto id = std::make_shared<int>(0);
  integer_option(leaf, "N", *id, "", "its number")->required();
  takes_book(leaf, context);
  reports(
      leaf, context,
      [&context, id, show = std::move(show)] {
        auto session = context.session();
        return show(session, *id);
      },
      std::move(say));
}

void write_out(const std::string& text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
    throw Error(ErrorCode::store_failed, "the answer could not be written to the output",
                "Is the disk full, or the other end closed?");
}

CLI::Option* text_option(CLI::App& leaf, const std::string& name, std::string& target,
                         const std::string& shape, const std::string& about) {
  return leaf.add_option(name, target, about)->type_name(shape);
}

CLI::Option* list_option(CLI::App& leaf, const std::string& name, std::vector<std::string>& target,
                         const std::string& shape, const std::string& about) {
  return leaf.add_option(name, target, about)->type_name(shape);
}

CLI::Option* integer_list_option(CLI::App& leaf, const std::string& name, std::vector<int>& target,
                                 const std::string& shape, const std::string& about) {
  return leaf
      .add_option_function<std::vector<std::string>>(
          name,
          [&target, name](const std::vector<std::string>& given) {
            for (const std::string& word : given) target.push_back(integer_of(name, word));
          },
          about)
      ->type_name(shape);
}

}  // namespace stumpwise::cli

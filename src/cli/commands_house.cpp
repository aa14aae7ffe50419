#include "command.h"
#include "completion.h"
#include "progress.h"
#include "say.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/text.h"

namespace stumpwise::cli {
namespace {

void add_demo(Context& context) {
  struct Request {
    std::string folder;
    int seed = 1;
  };
  CLI::App& leaf =
      command(context.app, "demo", "Make the invented Ennoway Vale with its outings, to try everything.",
              "stumpwise demo valley\nstumpwise demo valley7 --seed 7");
  auto request = std::make_shared<Request>();
  leaf.add_option("DIR", request->folder, "folder to make it in")->required();
  integer_option(leaf, "--seed", request->seed, "N", "which valley; the same seed gives the same one (1)");
  reports(
      leaf, context,
      [request] {
        if (request->seed < 0)
          throw Error(ErrorCode::bad_usage, "--seed " + std::to_string(request->seed) + ": 0 or above");
        return app::demo({request->folder, static_cast<std::uint64_t>(request->seed)}, progress_bar());
      },
      say_demo);
}

void add_today_and_check(Context& context) {
  CLI::App& today = command(context.app, "today", "Open items and what is up: the Friday-evening screen.",
                            "stumpwise today --book my.gpkg");
  takes_book(today, context);
  reports(
      today, context,
      [&context] {
        auto session = context.session();
        return app::today(session);
      },
      say_today);

  CLI::App& check = command(context.app, "check", "Are the book, its files and the profiles whole?",
                            "stumpwise check --book my.gpkg");
  takes_book(check, context);
  reports(
      check, context,
      [&context] {
        auto session = context.session();
        return app::check(session);
      },
      say_check, true);
}

void add_serve(Context& context) {
  CLI::App& leaf =
      command(context.app, "serve", "Show the book in a browser on this machine alone, until Ctrl-C.",
              "stumpwise serve --book my.gpkg\nstumpwise serve --port 8080");
  auto port = std::make_shared<int>(context.faces.usual_port);
  integer_option(leaf, "--port", *port, "N", "port on 127.0.0.1 (" + std::to_string(*port) + ")");
  takes_book(leaf, context);
  leaf.callback([&context, port] {
    context.action = [&context, port] {
      if (!context.faces.serve)
        throw Error(ErrorCode::not_possible, "this program was built without its server");
      if (context.book_path().empty()) context.session().book();  // says how to name one
      return context.faces.serve(context.book_path(), *port);
    };
  });
}

void add_completion(Context& context) {
  CLI::App& leaf =
      command(context.app, "completion", "A script that makes the shell complete commands and options.",
              "source <(stumpwise completion bash)\nstumpwise completion zsh > ~/.zfunc/_stumpwise");
  auto shell = std::make_shared<std::string>();
  option(leaf, "SHELL", *shell, one_of({"bash", "zsh"}), "", "bash or zsh")->required();
  leaf.callback([&context, shell] {
    context.action = [&context, shell] {
      write_out(*shell == "bash" ? bash_completion(context.app) : zsh_completion(context.app));
      return 0;
    };
  });
}

}  // namespace

void add_house_commands(Context& context) {
  add_demo(context);
  add_today_and_check(context);
  add_serve(context);
  add_completion(context);
}

}  // namespace stumpwise::cli

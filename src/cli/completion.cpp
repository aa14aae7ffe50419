#include "completion.h"

#include <vector>

#include "stumpwise/base/text.h"
#include "words_off.h"

namespace stumpwise::cli {
namespace {

struct Place {
  std::string name;                 ///< "stumpwise ground"
  std::vector<std::string> follow;  ///< what may come next
};

void collect(CLI::App& app, std::vector<Place>& places) {
  Place place{full_name(app), {}};
  const auto commands = app.get_subcommands([](const CLI::App*) { return true; });
  for (const CLI::App* each : commands) place.follow.push_back(each->get_name());
  for (const CLI::Option* each : app.get_options())
    for (const std::string& name : each->get_lnames()) place.follow.push_back("--" + name);
  places.push_back(std::move(place));
  for (CLI::App* each : commands) collect(*each, places);
}

std::vector<Place> places_of(CLI::App& app) {
  std::vector<Place> places;
  collect(app, places);
  return places;
}

/// `"a"|"a b"`: every place but the first, for a branch of case.
std::string below_root(const std::vector<Place>& places) {
  std::vector<std::string> names;
  for (std::size_t i = 1; i < places.size(); ++i) names.push_back("\"" + places[i].name + "\"");
  return base::join(names, "|");
}

}  // namespace

std::string bash_completion(CLI::App& app) {
  const auto places = places_of(app);
  std::string script =
      "# stumpwise completion bash > ~/.local/share/bash-completion/completions/stumpwise\n"
      "_stumpwise() {\n"
      "  local current=\"${COMP_WORDS[COMP_CWORD]}\" at=\"stumpwise\" i\n"
      "  for ((i = 1; i < COMP_CWORD; i++)); do\n"
      "    case \"$at ${COMP_WORDS[i]}\" in\n"
      "      " +
      below_root(places) +
      ") at=\"$at ${COMP_WORDS[i]}\" ;;\n"
      "    esac\n"
      "  done\n"
      "  COMPREPLY=()\n"
      "  case \"$at\" in\n";
  for (const Place& place : places)
    script += "    \"" + place.name + "\") COMPREPLY=($(compgen -W \"" + base::join(place.follow, " ") +
              "\" -- \"$current\")) ;;\n";
  return script + "  esac\n}\ncomplete -o default -F _stumpwise stumpwise\n";
}

std::string zsh_completion(CLI::App& app) {
  const auto places = places_of(app);
  std::string script =
      "#compdef stumpwise\n"
      "# stumpwise completion zsh > a folder of your $fpath, under the name _stumpwise\n"
      "_stumpwise() {\n"
      "  local at=\"stumpwise\" i\n"
      "  for ((i = 2; i < CURRENT; i++)); do\n"
      "    case \"$at ${words[i]}\" in\n"
      "      (" +
      below_root(places) +
      ") at=\"$at ${words[i]}\" ;;\n"
      "    esac\n"
      "  done\n"
      "  case \"$at\" in\n";
  for (const Place& place : places)
    script += "    (\"" + place.name + "\") compadd -- " + base::join(place.follow, " ") + " ;;\n";
  return script +
         "  esac\n  _files\n}\nif [ \"${funcstack[1]}\" = \"_stumpwise\" ]; then _stumpwise \"$@\"; else "
         "compdef _stumpwise stumpwise; fi\n";
}

}  // namespace stumpwise::cli

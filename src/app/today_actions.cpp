#include <fmt/format.h>

#include <algorithm>

#include "ground_files.h"
#include "json.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/base/files.h"
#include "targets.h"

namespace stumpwise::app {

Json status(Session& session) {
  Json grounds = ground_list(session)["grounds"];
  const bool invented = std::any_of(grounds.begin(), grounds.end(),
                                    [](const Json& ground) { return ground["invented"] == true; });
  Cautions cautions(caution::Place::about);
  if (invented) cautions.add("invented-data");
  return with_cautions({{"program", "stumpwise"},
                        {"version", STUMPWISE_VERSION},
                        {"today", base::to_text(session.today())},
                        {"book", session.book().path().filename().string()},
                        {"invented", invented},
                        {"grounds", grounds}},
                       cautions.list());
}

Json today(Session& session) {
  Cautions cautions(caution::Place::outlook);
  Json grounds = Json::array(), items = Json::array();
  for (const auto& ground : session.book().grounds()) {
    OutlookRequest request;
    request.ground = ground.name;
    request.days = 7;
    Json up = Json::array();
    try {
      const Json outlook = app::outlook(session, request);
      for (const auto& species : outlook["species"]) {
        if (up.size() == 6) break;
        const auto best =
            std::max_element(species["days"].begin(), species["days"].end(),
                             [](const Json& a, const Json& b) { return a["index"] < b["index"]; });
        if (best == species["days"].end()) continue;
        up.push_back({{"id", species["id"]},
                      {"name", species["name"]},
                      {"vernacular", species["vernacular"]},
                      {"today", species["days"][0]["index"]},
                      {"best_date", (*best)["date"]},
                      {"best_index", (*best)["index"]},
                      {"limit", species["days"][0]["limit"]}});
      }
    } catch (const Error& error) {
      if (error.code() != ErrorCode::no_data) throw;
      items.push_back({{"kind", "data"}, {"text", ground.name + ": " + error.what()}});
    }
    grounds.push_back({{"name", ground.name}, {"invented", ground.invented}, {"up", up}});
    cautions.add_for(ground, false, false);
    for (const auto& area : session.book().access(ground.name)) {
      if (!area.expires) continue;
      const int days = base::days_between(session.today(), *area.expires);
      if (days < 0)
        items.push_back({{"kind", "permission"},
                         {"text", fmt::format("{}: permission expired on {}: ask the owner", area.name,
                                              base::to_text(*area.expires))}});
      else if (days <= 30)
        items.push_back(
            {{"kind", "permission"},
             {"text", fmt::format("{}: permission ends on {}", area.name, base::to_text(*area.expires))}});
    }
  }
  if (session.book().grounds().empty())
    items.push_back({{"kind", "data"}, {"text", "no ground yet: stumpwise ground add"}});
  for (const auto& open : session.book().open_waits()) {
    const species::Character* row = session.library().character(open.wait.character);
    items.push_back({{"kind", "print"},
                     {"text", fmt::format("piece {}: {} due {}", open.piece,
                                          row ? row->name : open.wait.character, open.wait.due)}});
  }
  return with_cautions({{"today", base::to_text(session.today())}, {"grounds", grounds}, {"items", items}},
                       cautions.list());
}

Json check(Session& session) {
  Json issues = Json::array();
  for (const std::string& fault : session.book().faults()) issues.push_back(fault);
  for (const auto& ground : session.book().grounds()) {
    for (const auto& file : session.book().files(ground.name)) {
      const auto path = session.book().files_folder() / file.name;
      if (!std::filesystem::exists(path))
        issues.push_back(file.name + ": is missing");
      else if (base::sha256_file(path) != file.sha256)
        issues.push_back(file.name + ": differs from what was imported");
    }
    try {
      session.ground_data(ground);
    } catch (const Error& error) {
      issues.push_back(ground.name + ": " + error.what());
    }
  }
  const Json species = species_check(session);
  if (!species["ok"].get<bool>())
    for (const auto& issue : species["issues"]) issues.push_back(issue);
  return {{"ok", issues.empty()}, {"schema_version", session.book().schema_version()}, {"issues", issues}};
}

}  // namespace stumpwise::app

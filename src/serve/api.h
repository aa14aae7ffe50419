#pragma once
#include <chrono>
#include <deque>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include "answer.h"
#include "query.h"
#include "stumpwise/app/actions.h"
#include "stumpwise/app/key.h"

namespace stumpwise::serve {

struct Call {
  std::string method;  ///< GET (also for HEAD) or POST
  std::string path;
  Query query;
  std::string body;
};

/// The endpoints of api/openapi.yaml: each takes the words of a call, hands them to one function of `app` and
/// gives its JSON back. One session under one lock: an answer is made from one state of the book, and the
/// layers of a ground lie in memory once.
class Api {
 public:
  /// Opens the book; Error where that fails.
  explicit Api(std::filesystem::path book);

  /// The answer to what lies under /api/; failures are answers too.
  Answer answer(const Call& call);
  /// The printable sheet behind an address that `plan.html` gave out; nothing where it is unknown or too old.
  std::optional<std::string> sheet(const std::string& path);

 private:
  struct Documents {
    std::string request;
    app::PlanFiles files;
    std::chrono::steady_clock::time_point made;
  };
  struct Sheet {
    std::string path, html;
    std::chrono::steady_clock::time_point made;
  };

  Answer route(const Call& call);
  Answer read(const std::string& name, const Query& query);
  Answer write(const std::string& name, const std::string& body);
  Answer species(const std::string& name);
  Answer outlook(const Query& query);
  Answer prospect(const Query& query);
  Answer hillshade(const Query& query);
  Answer prospect_picture(const Query& query);
  Answer plan(const std::string& body);
  Answer plan_gpx(const std::string& body);
  Answer plan_sheet(const std::string& body);
  /// Everything under pieces/: one by its number, and a word that confirms it.
  Answer piece(const std::string& rest, bool post, const std::string& body);
  /// The plan of exactly this request: the one that the page shows, if it was just made, so that the
  /// documents say the same.
  const app::PlanFiles& documents(const std::string& body, bool fresh);
  /// A new session where the day has changed; layers are read again where another program wrote the book.
  void refresh();
  std::filesystem::file_time_type written() const;

  std::filesystem::path book_;
  std::string hidden_;  ///< the folder of the book, cut out of messages
  std::mutex session_lock_, sheets_lock_;
  std::unique_ptr<app::Session> session_;
  std::filesystem::file_time_type seen_{};
  std::optional<Documents> documents_;
  std::deque<Sheet> sheets_;
};

}  // namespace stumpwise::serve

#include "api.h"

#include <algorithm>
#include <array>

#include "stumpwise/base/files.h"
#include "stumpwise/base/interrupt.h"
#include "stumpwise/base/log.h"

namespace stumpwise::serve {
namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;
using Json = nlohmann::json;

constexpr auto kDocumentsLive = std::chrono::minutes{10};
constexpr std::size_t kMostSheets = 8;
constexpr std::string_view kRoot = "/api/v1/", kSpecies = "species/", kPieces = "pieces/",
                           kConfirm = "/confirm";
constexpr std::array<std::string_view, 5> kPosted = {"plan", "plan.gpx", "plan.html", "key", "pieces"};
/// Read without words behind the ?.
constexpr std::array<std::string_view, 4> kPlain = {"status", "species", "characters", "pieces"};

template <class Names>
bool among(std::string_view name, const Names& names) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

/// Digits only, as many as a number of the book can have.
std::optional<std::int64_t> whole_number(const std::string& text) {
  if (text.empty() || text.size() > 18 || text.find_first_not_of("0123456789") != std::string::npos)
    return std::nullopt;
  return std::stoll(text);
}

Json json_of(const std::string& body) {
  Json json = Json::parse(body, nullptr, false);
  if (json.is_discarded()) throw Error(ErrorCode::bad_usage, "the body is no JSON");
  return json;
}

app::ProspectRequest prospect_request(const Query& query) {
  query.allow_only({"ground", "species", "date"});
  app::ProspectRequest request;
  request.ground = query.text("ground");
  request.species = query.need_text("species");
  request.date = query.date("date");
  return request;
}

Answer picture(std::string png) {
  return {200, "image/png", std::move(png), {}};
}

/// The name of a document's file: letters, digits and - only, from the plan's own date.
std::string document_name(const Json& plan, const std::string& ending) {
  return "walk-" + plan.at("date").get<std::string>() + ending;
}

}  // namespace

Api::Api(fs::path book) : book_(std::move(book)), session_(std::make_unique<app::Session>(book_)) {
  std::error_code unknown;
  const fs::path folder = fs::absolute(book_, unknown).parent_path();
  if (!unknown) hidden_ = folder.string() + "/";
  seen_ = written();
}

/// When any program last wrote the book: what is not yet folded in stands in the log beside it.
fs::file_time_type Api::written() const {
  fs::file_time_type last{};
  for (const fs::path& file : {book_, fs::path(book_.string() + "-wal")}) {
    std::error_code unknown;
    const auto time = fs::last_write_time(file, unknown);
    if (!unknown) last = std::max(last, time);
  }
  return last;
}

void Api::refresh() {
  if (app::Session().today() != session_->today()) {
    session_ = std::make_unique<app::Session>(book_);
    documents_.reset();
  }
  if (written() != seen_) {
    session_->forget_grounds();
    documents_.reset();
  }
}

Answer Api::answer(const Call& call) {
  const std::lock_guard lock(session_lock_);
  try {
    base::check_interrupt();
    refresh();
    Answer answer = route(call);
    seen_ = written();
    return answer;
  } catch (const Error& error) {
    seen_ = written();
    return failure_of(error, hidden_);
  } catch (const std::exception& error) {
    base::log_warning(std::string("fault while answering ") + call.path + ": " + error.what());
    return failure(500, "internal", "a fault of the program; its words are in the terminal",
                   "Please report it with what you asked.");
  }
}

Answer Api::route(const Call& call) {
  const bool post = call.method == "POST";
  const std::string nowhere = "there is no such endpoint for " + call.method;
  if (call.path.rfind(kRoot, 0) != 0) return failure(404, "no_endpoint", nowhere, "See api/openapi.yaml.");
  const std::string name = call.path.substr(kRoot.size());
  if (post || among(name, kPosted) || name.rfind(kPieces, 0) == 0) call.query.allow_only({});
  if (name.rfind(kPieces, 0) == 0) return piece(name.substr(kPieces.size()), post, call.body);
  if (post) return write(name, call.body);
  if (among(name, kPosted) && name != "pieces")
    return failure(405, "wrong_method", "a plan and the key are asked with POST", "");
  return read(name, call.query);
}

Answer Api::read(const std::string& name, const Query& query) {
  const bool one_species = name.rfind(kSpecies, 0) == 0;
  if (one_species || among(name, kPlain)) query.allow_only({});
  if (name == "status") return json_answer(app::status(*session_));
  if (name == "species") return json_answer(app::species_list(*session_, {}));
  if (name == "characters") return json_answer(app::characters(*session_));
  if (name == "pieces") return json_answer(app::piece_list(*session_));
  if (one_species) return species(name.substr(kSpecies.size()));
  if (name == "outlook") return outlook(query);
  if (name == "prospect") return prospect(query);
  if (name == "map/hillshade.png") return hillshade(query);
  if (name == "map/prospect.png") return prospect_picture(query);
  return failure(404, "no_endpoint", "there is no such endpoint for GET", "See api/openapi.yaml.");
}

Answer Api::write(const std::string& name, const std::string& body) {
  if (name == "plan") return plan(body);
  if (name == "plan.gpx") return plan_gpx(body);
  if (name == "plan.html") return plan_sheet(body);
  if (name == "key") return json_answer(app::key(*session_, app::key_request_from_json(json_of(body))));
  if (name == "pieces")
    return json_answer(app::piece_add(*session_, app::piece_add_request_from_json(json_of(body))));
  return failure(404, "no_endpoint", "there is no such endpoint for POST", "See api/openapi.yaml.");
}

Answer Api::piece(const std::string& rest, bool post, const std::string& body) {
  const std::string number = rest.substr(0, rest.find('/'));
  const std::string after = rest.substr(number.size());
  const auto id = whole_number(number);
  if (!id || (!after.empty() && after != kConfirm))
    return failure(404, "no_endpoint", "there is no such piece or endpoint", "See api/openapi.yaml.");
  if (post == after.empty())
    return failure(405, "wrong_method", "a piece is asked with GET and confirmed with POST", "");
  if (!post) return json_answer(app::piece_show(*session_, *id));
  app::ConfirmRequest request = app::confirm_request_from_json(json_of(body));
  request.piece = *id;
  return json_answer(app::piece_confirm(*session_, request));
}

Answer Api::species(const std::string& name) {
  return json_answer(app::species_show(*session_, name));
}

Answer Api::outlook(const Query& query) {
  query.allow_only({"ground", "species", "from", "days", "lat", "lon"});
  app::OutlookRequest request;
  request.ground = query.text("ground");
  request.at = query.place();
  request.species = query.list("species");
  request.from = query.date("from");
  request.days = query.integer("days").value_or(request.days);
  return json_answer(app::outlook(*session_, request));
}

Answer Api::prospect(const Query& query) {
  return json_answer(app::prospect(*session_, prospect_request(query)));
}

Answer Api::hillshade(const Query& query) {
  query.allow_only({"ground"});
  return picture(app::hillshade_png(*session_, query.text("ground")));
}

Answer Api::prospect_picture(const Query& query) {
  return picture(app::prospect_png(*session_, prospect_request(query)));
}

const app::PlanFiles& Api::documents(const std::string& body, bool fresh) {
  const Json json = json_of(body);
  const std::string asked = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  const bool known =
      documents_ && documents_->request == asked && Clock::now() - documents_->made < kDocumentsLive;
  if (fresh || !known) {
    documents_.reset();
    app::PlanFiles files = app::plan_files(*session_, app::plan_request_from_json(json));
    documents_ = Documents{asked, std::move(files), Clock::now()};
  }
  return documents_->files;
}

Answer Api::plan(const std::string& body) {
  return json_answer(documents(body, true).plan);
}

Answer Api::plan_gpx(const std::string& body) {
  const app::PlanFiles& files = documents(body, false);
  return {200,
          "application/gpx+xml",
          files.gpx,
          {{"Content-Disposition", "attachment; filename=\"" + document_name(files.plan, ".gpx") + "\""}}};
}

Answer Api::plan_sheet(const std::string& body) {
  const app::PlanFiles& files = documents(body, false);
  const std::lock_guard lock(sheets_lock_);
  sheets_.push_back({"/sheets/" + base::random_hex(16), files.sheet, Clock::now()});
  if (sheets_.size() > kMostSheets) sheets_.pop_front();
  return {200, "text/html; charset=utf-8", files.sheet, {{"Content-Location", sheets_.back().path}}};
}

std::optional<std::string> Api::sheet(const std::string& path) {
  const std::lock_guard lock(sheets_lock_);
  for (const Sheet& each : sheets_)
    if (each.path == path && Clock::now() - each.made < kDocumentsLive) return each.html;
  return std::nullopt;
}

}  // namespace stumpwise::serve

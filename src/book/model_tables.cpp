// Trained models, and forecasts as they were made.
#include <fmt/format.h>

#include "impl.h"

namespace stumpwise::book {
namespace {

Instant instant_of(const Query& query, int column) {
  const auto instant = base::parse_instant(query.text(column));
  if (!instant)
    throw Error(ErrorCode::bad_format, fmt::format("\"{}\" in the book is no instant", query.text(column)));
  return *instant;
}

}  // namespace

void Book::put_model(const ModelRecord& model) {
  transaction([&] {
    Query(impl_->store,
          "INSERT INTO model (ground, species, version, json, made) VALUES (?, ?, ?, ?, ?) ON CONFLICT "
          "(ground, species) DO UPDATE SET "
          "version = excluded.version, json = excluded.json, made = excluded.made")
        .with(model.ground)
        .with(model.species)
        .with(model.version)
        .with(model.json)
        .with(base::to_text_utc(model.made))
        .run();
  });
}

std::optional<ModelRecord> Book::model(const std::string& ground, const std::string& species) const {
  Query query(impl_->store, "SELECT version, json, made FROM model WHERE ground = ? AND species = ?");
  if (!query.with(ground).with(species).next()) return std::nullopt;
  return ModelRecord{ground, species, query.text(0), query.text(1), instant_of(query, 2)};
}

void Book::add_forecasts(const std::vector<ForecastRecord>& forecasts) {
  transaction([&] {
    // The first one of an issue time stands: a forecast is written once.
    Query query(impl_->store,
                "INSERT INTO forecast_made (ground, species, issued, date, index_value, low90, high90, "
                "basis) VALUES (?,?,?,?,?,?,?,?) "
                "ON CONFLICT (ground, species, issued, date) DO NOTHING");
    for (const ForecastRecord& f : forecasts)
      query.with(f.ground)
          .with(f.species)
          .with(base::to_text_utc(f.issued))
          .with(f.date)
          .with(f.index, "index")
          .with(f.low90, "band")
          .with(f.high90, "band")
          .with(f.basis)
          .run();
  });
}

std::vector<ForecastRecord> Book::forecasts() const {
  Query query(impl_->store,
              "SELECT ground, species, issued, date, index_value, low90, high90, basis FROM forecast_made "
              "ORDER BY id");
  std::vector<ForecastRecord> forecasts;
  while (query.next())
    forecasts.push_back({query.text(0), query.text(1), instant_of(query, 2), query.date(3), query.number(4),
                         query.number(5), query.number(6), query.text(7)});
  return forecasts;
}

}  // namespace stumpwise::book

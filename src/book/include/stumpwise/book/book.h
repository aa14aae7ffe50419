#pragma once
#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "stumpwise/records/piece.h"
#include "stumpwise/records/records.h"
#include "stumpwise/weather/series.h"

namespace stumpwise::book {

/// A trained model of one species: what `learn` stores, opaque to the book (JSON text) with what it was made
/// from.
struct ModelRecord {
  std::string ground, species, version, json;
  Instant made;
};
/// A forecast as it was written when made (design.md section 2, Score): never changed.
struct ForecastRecord {
  std::string ground, species;
  Instant issued;
  Date date;
  double index = 0, low90 = 0, high90 = 0;
  std::string basis;
};
/// An entry of the list of files in NAME.files.
struct FileRecord {
  std::string name, sha256, role, ground;
};

/// Which pieces: those that meet all that is given.
struct PieceQuery {
  std::optional<std::int64_t> find = {};   ///< 0: those of no find
  std::optional<Date> from = {}, to = {};  ///< both days included
};
/// Something that was set up for a piece and is not done.
struct OpenWait {
  std::int64_t piece = 0;
  std::string named;  ///< what the finder thinks the piece is
  records::Wait wait;
  bool operator==(const OpenWait&) const = default;
};

/// What the user owns: NAME.gpkg and NAME.files/. Every record goes through here; SQLite stays inside.
class Book {
 public:
  /// Makes a new one; Error(store_failed) where it exists.
  static Book create(const std::filesystem::path& path);
  /// Opens and migrates; Error(stale_version) for one from a newer program, Error(not_found),
  /// Error(bad_format) for a file that is no book. `read_only` never changes the file. Until it is closed the
  /// file has companions (-wal, -shm); a closed book is one file. Not for use by two threads at once.
  static Book open(const std::filesystem::path& path, bool read_only = false);
  Book(Book&&) noexcept;
  Book& operator=(Book&&) noexcept;
  ~Book();

  const std::filesystem::path& path() const;
  /// NAME.files beside the book.
  std::filesystem::path files_folder() const;
  int schema_version() const;
  /// Runs `action` in one transaction: all of it or nothing. Nested calls join the outer one; where one of
  /// them fails, the whole is undone even if the outer action swallows the fault. Every change below is a
  /// transaction by itself.
  void transaction(const std::function<void()>& action);

  void set(const std::string& key, const std::string& value);
  std::optional<std::string> get(const std::string& key) const;

  void put_ground(const records::GroundRecord& ground);  ///< replaces the one of that name
  std::vector<records::GroundRecord> grounds() const;
  std::optional<records::GroundRecord> ground(const std::string& name) const;
  /// What lies on a ground; ids of hosts are given anew. Outlines come back closed. The ground may be put
  /// later in the same transaction; Error(not_found) at its end where it is not there.
  void replace_hosts(const std::string& ground, const std::vector<records::HostRecord>& hosts);
  std::vector<records::HostRecord> hosts(const std::string& ground) const;
  void replace_access(const std::string& ground, const std::vector<records::AccessArea>& areas);
  std::vector<records::AccessArea> access(const std::string& ground) const;
  void replace_history(const std::string& ground, const std::vector<records::HistoryArea>& areas);
  std::vector<records::HistoryArea> history(const std::string& ground) const;
  void put_file(const FileRecord& file);
  std::vector<FileRecord> files(const std::string& ground) const;

  /// Adds or replaces days of a station by date; returns how many were new and how many replaced.
  struct Stored {
    int added = 0, replaced = 0;
  };
  Stored put_weather(const weather::Series& series);
  std::vector<weather::Station> stations() const;
  weather::Series weather(const std::string& station_id) const;
  void put_note(const records::WeatherNote& note);  ///< merges fields of the same day
  std::vector<records::WeatherNote> notes() const;
  /// Replaces the forecast issued on that day (older ones are kept).
  void replace_forecast(Date issued, const std::vector<records::ForecastDayRecord>& days);
  std::vector<records::ForecastDayRecord> forecast() const;  ///< the newest

  /// With its track, targets and finds, whole or absent. Ids in the record are ignored, new ones are given:
  /// returns the outing's. Error(not_found) for an unknown ground, Error(bad_value) for places off the globe.
  std::int64_t add_outing(const records::Outing& outing);
  std::vector<records::Outing> outings(const std::string& ground, bool with_tracks = true) const;
  std::optional<records::Outing> outing(std::int64_t id) const;
  void replace_track(std::int64_t outing, const std::vector<records::TrackPoint>& track);
  std::int64_t add_find(const records::Find& find);
  /// Finds of the ground's outings, then those that belong to no outing and lie inside the ground's frame.
  std::vector<records::Find> finds(const std::string& ground) const;

  /// With its readings, confirmations and waits, whole or absent; ids in the record are ignored, new ones are
  /// given. Error(not_found) for a find that is not there, Error(bad_value) for what cannot be kept: a
  /// reading without its character, its reader, its time, or with neither states nor a number; a state with
  /// "|" in it.
  std::int64_t add_piece(const records::Piece& piece);
  /// A basket: every piece or none. Ids in the order given.
  std::vector<std::int64_t> add_pieces(const std::vector<records::Piece>& pieces);
  /// Everything of it, withdrawn readings too; of the confirmations those that were not withdrawn.
  std::optional<records::Piece> piece(std::int64_t id) const;
  /// By date, then in the order in which they were added.
  std::vector<records::Piece> pieces(const PieceQuery& which = {}) const;
  /// What follows changes one piece: Error(not_found) where the book does not hold it.
  void add_readings(std::int64_t piece, const std::vector<records::Observation>& readings);
  /// Every reading of the character that still counts: they stay in the history. Returns how many;
  /// Error(not_found) for none. `at`: ISO 8601 instant with offset, or a day (here and below).
  int withdraw_readings(std::int64_t piece, const std::string& character, const std::string& at);
  std::int64_t add_confirmation(std::int64_t piece, const records::Confirmation& confirmation);
  /// One that was made by mistake: no longer part of `piece()`, still in the file.
  void withdraw_confirmation(std::int64_t piece, std::int64_t confirmation, const std::string& at);
  std::int64_t add_wait(std::int64_t piece, const records::Wait& wait);
  /// Every open wait for that character; Error(not_found) for none.
  void finish_wait(std::int64_t piece, const std::string& character, const std::string& at);
  /// What the finder thinks it is: a profile id, or empty.
  void set_named(std::int64_t piece, const std::string& species);
  /// Of all pieces, the one that is due first in front.
  std::vector<OpenWait> open_waits() const;

  void put_model(const ModelRecord& model);
  std::optional<ModelRecord> model(const std::string& ground, const std::string& species) const;
  /// A second record of the same ground, species, issue time and date is left out: the first one stands.
  void add_forecasts(const std::vector<ForecastRecord>& forecasts);
  std::vector<ForecastRecord> forecasts() const;

  /// What is wrong inside the file, a line each: pages, references that lead nowhere (a piece of a find, a
  /// reading of a piece that is not there), spatial indexes that do not match. Empty for a sound book.
  std::vector<std::string> faults() const;

 private:
  struct Impl;
  explicit Book(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

}  // namespace stumpwise::book

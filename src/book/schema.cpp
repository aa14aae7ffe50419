#include "schema.h"

#include <fmt/format.h>

namespace stumpwise::book {
namespace {

/// What GeoPackage 1.3 (OGC 12-128r17) asks for: clause 1.1 and Annex C. 1196444487 is "GPKG" as a number.
constexpr const char* kGeoPackage = R"sql(
PRAGMA application_id = 1196444487;
PRAGMA user_version = 10300;
CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL, srs_id INTEGER PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Undefined cartesian SRS', -1, 'NONE', -1, 'undefined', 'undefined cartesian coordinate reference system'),
  ('Undefined geographic SRS', 0, 'NONE', 0, 'undefined', 'undefined geographic coordinate reference system'),
  ('WGS 84 geodetic', 4326, 'EPSG', 4326, 'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]', 'longitude and latitude in degrees on WGS 84');
CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '',
  last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL,
  z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
)sql";

/// The records. A ground's name is its key; `DEFERRED` lets one action write a ground and what lies on it in
/// any order.
constexpr const char* kRecords = R"sql(
CREATE TABLE setting (id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, value TEXT NOT NULL);
CREATE TABLE ground (
  id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, title TEXT NOT NULL, region TEXT NOT NULL, zone TEXT NOT NULL,
  cell_m DOUBLE NOT NULL, epsg INTEGER NOT NULL, left_m DOUBLE NOT NULL, top_m DOUBLE NOT NULL,
  cols INTEGER NOT NULL, rows INTEGER NOT NULL, legend TEXT NOT NULL, invented BOOLEAN NOT NULL);
CREATE TABLE stored_file (
  id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE, sha256 TEXT NOT NULL, role TEXT NOT NULL,
  ground TEXT REFERENCES ground(name) DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE host (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom POINT NOT NULL,
  ground TEXT NOT NULL REFERENCES ground(name) DEFERRABLE INITIALLY DEFERRED,
  genus TEXT NOT NULL, state TEXT NOT NULL, year_died INTEGER, radius_m DOUBLE NOT NULL, told_by TEXT NOT NULL);
CREATE INDEX host_by_ground ON host(ground);
CREATE TABLE access_area (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom POLYGON,
  ground TEXT NOT NULL REFERENCES ground(name) DEFERRABLE INITIALLY DEFERRED,
  name TEXT NOT NULL, kind TEXT NOT NULL, expires DATE, checked DATE, note TEXT NOT NULL);
CREATE INDEX access_area_by_ground ON access_area(ground);
CREATE TABLE history_area (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom POLYGON,
  ground TEXT NOT NULL REFERENCES ground(name) DEFERRABLE INITIALLY DEFERRED,
  name TEXT NOT NULL, kind TEXT NOT NULL, year_from INTEGER, year_to INTEGER, note TEXT NOT NULL);
CREATE INDEX history_area_by_ground ON history_area(ground);
CREATE TABLE station (
  id INTEGER PRIMARY KEY, code TEXT NOT NULL UNIQUE, name TEXT NOT NULL,
  lat_deg DOUBLE NOT NULL, lon_deg DOUBLE NOT NULL, elevation_m DOUBLE NOT NULL);
CREATE TABLE weather_day (
  id INTEGER PRIMARY KEY, station INTEGER NOT NULL REFERENCES station(id), date DATE NOT NULL,
  tmin_degc DOUBLE, tmax_degc DOUBLE, tmean_degc DOUBLE, precip_mm DOUBLE, snow_depth_mm DOUBLE, snowfall_mm DOUBLE,
  rh_min_pct DOUBLE, rh_max_pct DOUBLE, wind_m_per_s DOUBLE, sun_hours DOUBLE, method TEXT);
CREATE TABLE weather_note (
  id INTEGER PRIMARY KEY, date DATE NOT NULL UNIQUE, rain_mm DOUBLE, tmin_degc DOUBLE, tmax_degc DOUBLE, soil_degc DOUBLE);
CREATE TABLE forecast_day (
  id INTEGER PRIMARY KEY, issued DATE NOT NULL, date DATE NOT NULL, tmin_degc DOUBLE, tmax_degc DOUBLE, precip_mm DOUBLE,
  UNIQUE (issued, date));
CREATE TABLE outing (
  id INTEGER PRIMARY KEY AUTOINCREMENT, ground TEXT NOT NULL REFERENCES ground(name) DEFERRABLE INITIALLY DEFERRED,
  date DATE NOT NULL, start_clock TEXT NOT NULL, minutes DOUBLE NOT NULL CHECK (minutes >= 0),
  search_minutes DOUBLE CHECK (search_minutes >= 0), people INTEGER NOT NULL CHECK (people >= 1),
  observer TEXT NOT NULL, note TEXT NOT NULL, invented BOOLEAN NOT NULL);
CREATE INDEX outing_by_ground ON outing(ground, date);
CREATE TABLE outing_target (
  id INTEGER PRIMARY KEY, outing INTEGER NOT NULL REFERENCES outing(id) ON DELETE CASCADE,
  place INTEGER NOT NULL, species TEXT NOT NULL, UNIQUE (outing, place));
CREATE TABLE outing_track (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom MULTILINESTRING,
  outing INTEGER NOT NULL UNIQUE REFERENCES outing(id) ON DELETE CASCADE, points BLOB NOT NULL);
CREATE TABLE find (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom POINT, outing INTEGER REFERENCES outing(id) ON DELETE CASCADE,
  species TEXT NOT NULL, name_as_recorded TEXT NOT NULL, date DATE NOT NULL, accuracy_m DOUBLE NOT NULL,
  pieces INTEGER NOT NULL CHECK (pieces >= 1), host_genus TEXT NOT NULL, host_told_by TEXT NOT NULL,
  substrate TEXT NOT NULL, note TEXT NOT NULL, cap_mm DOUBLE);
CREATE INDEX find_by_outing ON find(outing);
CREATE INDEX find_by_species ON find(species, date);
CREATE TRIGGER find_keeps_its_name BEFORE UPDATE OF name_as_recorded ON find
  WHEN OLD.name_as_recorded IS NOT NEW.name_as_recorded BEGIN SELECT RAISE(ABORT, 'the name a find was made under never changes'); END;
CREATE TABLE model (
  id INTEGER PRIMARY KEY, ground TEXT NOT NULL, species TEXT NOT NULL, version TEXT NOT NULL, json TEXT NOT NULL,
  made DATETIME NOT NULL, UNIQUE (ground, species));
CREATE TABLE forecast_made (
  id INTEGER PRIMARY KEY AUTOINCREMENT, ground TEXT NOT NULL, species TEXT NOT NULL, issued DATETIME NOT NULL,
  date DATE NOT NULL, index_value DOUBLE NOT NULL, low90 DOUBLE NOT NULL, high90 DOUBLE NOT NULL, basis TEXT NOT NULL,
  UNIQUE (ground, species, issued, date));
CREATE TRIGGER forecast_made_stays BEFORE UPDATE ON forecast_made BEGIN SELECT RAISE(ABORT, 'a forecast is never changed'); END;
CREATE TRIGGER forecast_made_remains BEFORE DELETE ON forecast_made BEGIN SELECT RAISE(ABORT, 'a forecast is never deleted'); END;
)sql";

struct Layer {
  const char *table, *geometry, *description;  ///< without a geometry: a table of attributes
};

/// The entries of GeoPackage 1.3, clauses 1.1.3 and 2.1.5.
std::string contents_sql(const std::vector<Layer>& layers) {
  std::string sql;
  for (const Layer& layer : layers) {
    if (layer.geometry)
      sql += fmt::format(
          "INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES ('{0}', "
          "'features', '{0}', '{2}', 4326);\n"
          "INSERT INTO gpkg_geometry_columns VALUES ('{0}', 'geom', '{1}', 4326, 0, 0);\n",
          layer.table, layer.geometry, layer.description);
    else
      sql += fmt::format(
          "INSERT INTO gpkg_contents (table_name, data_type, identifier, description) VALUES ('{0}', "
          "'attributes', '{0}', '{1}');\n",
          layer.table, layer.description);
  }
  return sql;
}

const std::vector<Layer> kRecordLayers{{"outing_track", "MULTILINESTRING", "Tracks of outings"},
                                       {"find", "POINT", "Finds"},
                                       {"host", "POINT", "Known host trees, logs and stumps"},
                                       {"access_area", "POLYGON", "Access as noted by the user"},
                                       {"history_area", "POLYGON", "Land-use history as noted by the user"},
                                       {"setting", nullptr, "Settings"},
                                       {"ground", nullptr, "Grounds"},
                                       {"stored_file", nullptr, "Files in the folder beside the book"},
                                       {"station", nullptr, "Weather stations"},
                                       {"weather_day", nullptr, "Days of weather as measured"},
                                       {"weather_note", nullptr, "Weather noted by hand"},
                                       {"forecast_day", nullptr, "Weather forecasts as given"},
                                       {"outing", nullptr, "Outings, blank ones too"},
                                       {"outing_target", nullptr, "Species looked for"},
                                       {"model", nullptr, "Trained models"},
                                       {"forecast_made", nullptr, "Forecasts as they were made"}};

/// The R-tree extension of GeoPackage 1.3, Annex F.3, with its triggers as printed there.
std::string rtree_sql(const std::string& table) {
  constexpr const char* kSql = R"sql(
INSERT INTO gpkg_extensions VALUES ('{t}', 'geom', 'gpkg_rtree_index', 'http://www.geopackage.org/spec120/#extension_rtree', 'write-only');
CREATE VIRTUAL TABLE rtree_{t}_geom USING rtree(id, minx, maxx, miny, maxy);
INSERT INTO rtree_{t}_geom SELECT id, ST_MinX(geom), ST_MaxX(geom), ST_MinY(geom), ST_MaxY(geom) FROM {t} WHERE geom NOT NULL AND NOT ST_IsEmpty(geom);
CREATE TRIGGER rtree_{t}_geom_insert AFTER INSERT ON {t} WHEN (NEW.geom NOT NULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_{t}_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_{t}_geom_update1 AFTER UPDATE OF geom ON {t} WHEN OLD.id = NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_{t}_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_{t}_geom_update2 AFTER UPDATE OF geom ON {t} WHEN OLD.id = NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_{t}_geom WHERE id = OLD.id; END;
CREATE TRIGGER rtree_{t}_geom_update3 AFTER UPDATE ON {t} WHEN OLD.id != NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_{t}_geom WHERE id = OLD.id; INSERT OR REPLACE INTO rtree_{t}_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_{t}_geom_update4 AFTER UPDATE ON {t} WHEN OLD.id != NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_{t}_geom WHERE id IN (OLD.id, NEW.id); END;
CREATE TRIGGER rtree_{t}_geom_delete AFTER DELETE ON {t} WHEN OLD.geom NOT NULL
BEGIN DELETE FROM rtree_{t}_geom WHERE id = OLD.id; END;
)sql";
  return fmt::format(fmt::runtime(kSql), fmt::arg("t", table));
}

/// GeoPackage 1.3, clause 2.3 (table of extensions).
constexpr const char* kExtensions = R"sql(
CREATE TABLE gpkg_extensions (
  table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL, scope TEXT NOT NULL,
  CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name));
)sql";

/// Pieces. A find that has pieces is not deleted: its host and substrate belong to them. A piece deleted
/// takes its readings along (the piece is still there when a single one is to be deleted, and that is
/// refused).
constexpr const char* kPieces = R"sql(
CREATE TABLE piece (
  id INTEGER PRIMARY KEY AUTOINCREMENT, geom POINT, find INTEGER REFERENCES find(id) ON DELETE RESTRICT,
  finder TEXT NOT NULL, date DATE NOT NULL, region TEXT NOT NULL, named TEXT NOT NULL, name_as_recorded TEXT NOT NULL,
  note TEXT NOT NULL);
CREATE INDEX piece_by_find ON piece(find);
CREATE INDEX piece_by_date ON piece(date);
CREATE TRIGGER piece_keeps_its_name BEFORE UPDATE OF name_as_recorded ON piece
  WHEN OLD.name_as_recorded IS NOT NEW.name_as_recorded BEGIN SELECT RAISE(ABORT, 'the name a piece was made under never changes'); END;
CREATE TABLE piece_reading (
  id INTEGER PRIMARY KEY AUTOINCREMENT, piece INTEGER NOT NULL REFERENCES piece(id) ON DELETE CASCADE,
  character TEXT NOT NULL CHECK (character <> ''), states TEXT NOT NULL, low DOUBLE, high DOUBLE,
  dug BOOLEAN NOT NULL, cut BOOLEAN NOT NULL, micro BOOLEAN NOT NULL, watched_seconds DOUBLE CHECK (watched_seconds >= 0),
  read_by TEXT NOT NULL, read_at TEXT NOT NULL, withdrawn_at TEXT NOT NULL,
  CHECK ((low IS NULL) = (high IS NULL) AND low <= high IS NOT 0 AND (states = '') = (low IS NOT NULL)));
CREATE INDEX piece_reading_by_piece ON piece_reading(piece);
CREATE TRIGGER piece_reading_stays BEFORE UPDATE ON piece_reading WHEN OLD.withdrawn_at <> ''
  OR OLD.id IS NOT NEW.id OR OLD.piece IS NOT NEW.piece OR OLD.character IS NOT NEW.character OR OLD.states IS NOT NEW.states
  OR OLD.low IS NOT NEW.low OR OLD.high IS NOT NEW.high OR OLD.dug IS NOT NEW.dug OR OLD.cut IS NOT NEW.cut
  OR OLD.micro IS NOT NEW.micro OR OLD.watched_seconds IS NOT NEW.watched_seconds OR OLD.read_by IS NOT NEW.read_by
  OR OLD.read_at IS NOT NEW.read_at
  BEGIN SELECT RAISE(ABORT, 'a reading is never changed: it is withdrawn, once, and made anew'); END;
CREATE TRIGGER piece_reading_remains BEFORE DELETE ON piece_reading WHEN EXISTS (SELECT 1 FROM piece WHERE id = OLD.piece)
  BEGIN SELECT RAISE(ABORT, 'a reading is never erased: it is withdrawn'); END;
CREATE TABLE piece_confirmation (
  id INTEGER PRIMARY KEY AUTOINCREMENT, piece INTEGER NOT NULL REFERENCES piece(id) ON DELETE CASCADE,
  species TEXT NOT NULL CHECK (species <> ''), confirmed_by TEXT NOT NULL CHECK (confirmed_by <> ''),
  confirmed_at TEXT NOT NULL, in_hand BOOLEAN NOT NULL, imported BOOLEAN NOT NULL, note TEXT NOT NULL,
  withdrawn_at TEXT NOT NULL);
CREATE INDEX piece_confirmation_by_piece ON piece_confirmation(piece);
CREATE TABLE piece_wait (
  id INTEGER PRIMARY KEY AUTOINCREMENT, piece INTEGER NOT NULL REFERENCES piece(id) ON DELETE CASCADE,
  character TEXT NOT NULL CHECK (character <> ''), started_at TEXT NOT NULL, due_at TEXT NOT NULL, done_at TEXT NOT NULL);
CREATE INDEX piece_wait_by_piece ON piece_wait(piece);
CREATE INDEX piece_wait_open ON piece_wait(due_at) WHERE done_at = '';
)sql";

const std::vector<Layer> kPieceLayers{{"piece", "POINT", "Pieces: single fruit bodies"},
                                      {"piece_reading", nullptr, "Readings of pieces, withdrawn ones too"},
                                      {"piece_confirmation", nullptr, "Words of other persons on pieces"},
                                      {"piece_wait", nullptr, "What was set up for a piece and comes due"}};

}  // namespace

const std::vector<Migration>& migrations() {
  static const std::vector<Migration> all{
      {1, "records", std::string(kGeoPackage) + kRecords + contents_sql(kRecordLayers)},
      {2, "spatial indexes of finds and tracks", kExtensions + rtree_sql("find") + rtree_sql("outing_track")},
      {3, "pieces", kPieces + contents_sql(kPieceLayers) + rtree_sql("piece")},
  };
  return all;
}

}  // namespace stumpwise::book

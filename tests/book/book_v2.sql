-- What the second program made of the book in book_v1.sql: run both, in this order, for a book of format 2.
BEGIN TRANSACTION;
CREATE TABLE gpkg_extensions (
  table_name TEXT, column_name TEXT, extension_name TEXT NOT NULL, definition TEXT NOT NULL, scope TEXT NOT NULL,
  CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name));
INSERT INTO gpkg_extensions VALUES ('find', 'geom', 'gpkg_rtree_index', 'http://www.geopackage.org/spec120/#extension_rtree', 'write-only');
INSERT INTO gpkg_extensions VALUES ('outing_track', 'geom', 'gpkg_rtree_index', 'http://www.geopackage.org/spec120/#extension_rtree', 'write-only');
CREATE VIRTUAL TABLE rtree_find_geom USING rtree(id, minx, maxx, miny, maxy);
INSERT INTO rtree_find_geom VALUES (1, -30.020000457763672, -30.019996643066406, 42.0099983215332, 42.010005950927734);
INSERT INTO rtree_find_geom VALUES (3, -30.010000228881836, -30.00999641418457, 42.019996643066406, 42.02000045776367);
CREATE VIRTUAL TABLE rtree_outing_track_geom USING rtree(id, minx, maxx, miny, maxy);
INSERT INTO rtree_outing_track_geom VALUES (1, -30.003753662109375, -30.0, 42.0, 42.00469207763672);
CREATE TRIGGER rtree_find_geom_delete AFTER DELETE ON find WHEN OLD.geom NOT NULL
BEGIN DELETE FROM rtree_find_geom WHERE id = OLD.id; END;
CREATE TRIGGER rtree_find_geom_insert AFTER INSERT ON find WHEN (NEW.geom NOT NULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_find_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_find_geom_update1 AFTER UPDATE OF geom ON find WHEN OLD.id = NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_find_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_find_geom_update2 AFTER UPDATE OF geom ON find WHEN OLD.id = NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_find_geom WHERE id = OLD.id; END;
CREATE TRIGGER rtree_find_geom_update3 AFTER UPDATE ON find WHEN OLD.id != NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_find_geom WHERE id = OLD.id; INSERT OR REPLACE INTO rtree_find_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_find_geom_update4 AFTER UPDATE ON find WHEN OLD.id != NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_find_geom WHERE id IN (OLD.id, NEW.id); END;
CREATE TRIGGER rtree_outing_track_geom_delete AFTER DELETE ON outing_track WHEN OLD.geom NOT NULL
BEGIN DELETE FROM rtree_outing_track_geom WHERE id = OLD.id; END;
CREATE TRIGGER rtree_outing_track_geom_insert AFTER INSERT ON outing_track WHEN (NEW.geom NOT NULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_outing_track_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_outing_track_geom_update1 AFTER UPDATE OF geom ON outing_track WHEN OLD.id = NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN INSERT OR REPLACE INTO rtree_outing_track_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_outing_track_geom_update2 AFTER UPDATE OF geom ON outing_track WHEN OLD.id = NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_outing_track_geom WHERE id = OLD.id; END;
CREATE TRIGGER rtree_outing_track_geom_update3 AFTER UPDATE ON outing_track WHEN OLD.id != NEW.id AND (NEW.geom NOTNULL AND NOT ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_outing_track_geom WHERE id = OLD.id; INSERT OR REPLACE INTO rtree_outing_track_geom VALUES (NEW.id, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;
CREATE TRIGGER rtree_outing_track_geom_update4 AFTER UPDATE ON outing_track WHEN OLD.id != NEW.id AND (NEW.geom ISNULL OR ST_IsEmpty(NEW.geom))
BEGIN DELETE FROM rtree_outing_track_geom WHERE id IN (OLD.id, NEW.id); END;
INSERT INTO stumpwise_schema VALUES (2, 'spatial indexes of finds and tracks', '2026-11-25T12:30:34Z');
COMMIT;

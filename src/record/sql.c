#include "record/sql.h"

#include <assert.h>

/*
 * Schema 1, but for the hours, whose columns come from the table of variables.
 * What an integer code stands for is fixed by the assertions in the modules that store it.
 */
static const char create_1[] =
    "CREATE TABLE place ("
    " id INTEGER PRIMARY KEY,"
    " latitude_cdeg INTEGER NOT NULL CHECK (latitude_cdeg BETWEEN -9000 AND 9000),"
    " longitude_cdeg INTEGER NOT NULL CHECK (longitude_cdeg BETWEEN -18000 AND 18000),"
    " elevation_m INTEGER"
    ") STRICT;"
    "CREATE UNIQUE INDEX place_once ON place (latitude_cdeg, longitude_cdeg, ifnull(elevation_m, -32768));"

    "CREATE TABLE issue ("
    " id INTEGER PRIMARY KEY,"
    " place INTEGER NOT NULL REFERENCES place (id),"
    " received INTEGER NOT NULL,"
    " source TEXT NOT NULL CHECK (source <> ''),"
    " title TEXT NOT NULL,"
    " credit TEXT NOT NULL,"
    " issued INTEGER,"
    " max_age_s INTEGER NOT NULL,"
    " past INTEGER NOT NULL CHECK (past BETWEEN 0 AND 2),"
    " cell_latitude REAL, cell_longitude REAL, cell_elevation_m REAL,"
    " first INTEGER NOT NULL CHECK (first % 3600 = 0),"
    " n INTEGER NOT NULL CHECK (n >= 0),"
    " hours BLOB NOT NULL,"
    " UNIQUE (place, received, source)"
    ") STRICT;"

    "CREATE TABLE station_day ("
    " place INTEGER NOT NULL REFERENCES place (id),"
    " station TEXT NOT NULL,"
    " date INTEGER NOT NULL,"
    " tmin_c REAL CHECK (tmin_c BETWEEN -90 AND 70),"
    " tmax_c REAL CHECK (tmax_c BETWEEN -90 AND 70),"
    " rain_mm REAL CHECK (rain_mm BETWEEN 0 AND 2000),"
    " observed_hhmm INTEGER CHECK (observed_hhmm BETWEEN 0 AND 2400),"
    " PRIMARY KEY (place, station, date)"
    ") STRICT, WITHOUT ROWID;"

    "CREATE TABLE diary ("
    " id INTEGER PRIMARY KEY,"
    " garden TEXT NOT NULL CHECK (garden <> ''),"
    " written INTEGER NOT NULL,"
    " date INTEGER NOT NULL,"
    " planting TEXT NOT NULL, crop TEXT NOT NULL, variety TEXT NOT NULL, bed TEXT NOT NULL,"
    " verb TEXT NOT NULL,"
    " text TEXT NOT NULL,"
    " amount REAL,"
    " undoes INTEGER UNIQUE REFERENCES diary (id)"
    ") STRICT;"
    "CREATE INDEX diary_by_garden ON diary (garden, date, id);"
    "CREATE TRIGGER diary_stays BEFORE UPDATE ON diary BEGIN SELECT raise(ABORT, 'the diary is only appended to'); END;"
    "CREATE TRIGGER diary_keeps BEFORE DELETE ON diary BEGIN SELECT raise(ABORT, 'the diary is only appended to'); END;"

    "CREATE TABLE fetch ("
    " place INTEGER NOT NULL REFERENCES place (id),"
    " source TEXT NOT NULL,"
    " step TEXT NOT NULL,"
    " asked INTEGER NOT NULL,"
    " answered INTEGER,"
    " not_before INTEGER,"
    " status INTEGER NOT NULL,"
    " etag TEXT NOT NULL, last_modified TEXT NOT NULL,"
    " outcome TEXT NOT NULL,"
    " PRIMARY KEY (place, source, step)"
    ") STRICT, WITHOUT ROWID;"

    "CREATE TABLE letter ("
    " garden TEXT NOT NULL CHECK (garden <> ''),"
    " date INTEGER NOT NULL,"
    " way TEXT NOT NULL CHECK (way <> ''),"
    " cut INTEGER NOT NULL,"
    " state INTEGER NOT NULL CHECK (state BETWEEN 0 AND 5),"
    " changed INTEGER NOT NULL,"
    " text TEXT NOT NULL,"
    " PRIMARY KEY (garden, date, way)"
    ") STRICT;";

/*
 * Schema 2: what is kept of discovered addresses, the runs, and who has given past hours;
 * the address that validators belong to.
 */
static const char create_2[] = "ALTER TABLE fetch ADD COLUMN address INTEGER NOT NULL DEFAULT 0;"

			       "CREATE TABLE discovered ("
			       " place INTEGER NOT NULL REFERENCES place (id),"
			       " source TEXT NOT NULL,"
			       " step TEXT NOT NULL,"
			       " name TEXT NOT NULL CHECK (name <> ''),"
			       " value TEXT NOT NULL,"
			       " since INTEGER NOT NULL,"
			       " PRIMARY KEY (place, source, step, name)"
			       ") STRICT, WITHOUT ROWID;"

			       "CREATE TABLE run ("
			       " id INTEGER PRIMARY KEY,"
			       " place INTEGER NOT NULL REFERENCES place (id),"
			       " source TEXT NOT NULL CHECK (source <> ''),"
			       " started INTEGER NOT NULL,"
			       " code INTEGER NOT NULL,"
			       " requests INTEGER NOT NULL CHECK (requests >= 0),"
			       " bytes INTEGER NOT NULL CHECK (bytes >= 0),"
			       " gained INTEGER NOT NULL CHECK (gained >= 0),"
			       " said TEXT NOT NULL"
			       ") STRICT;"
			       "CREATE INDEX run_by_place ON run (place, started);"

			       "CREATE TABLE supply ("
			       " place INTEGER NOT NULL REFERENCES place (id),"
			       " source TEXT NOT NULL CHECK (source <> ''),"
			       " credit TEXT NOT NULL,"
			       " first INTEGER NOT NULL,"
			       " end INTEGER NOT NULL CHECK (end > first),"
			       " PRIMARY KEY (place, source)"
			       ") STRICT, WITHOUT ROWID;";

/* Schema 3: several letters a day, and what one that is sent again must have kept of the first time. */
static const char create_3[] =
    "CREATE TABLE new_letter ("
    " garden TEXT NOT NULL CHECK (garden <> ''),"
    " date INTEGER NOT NULL,"
    " kind INTEGER NOT NULL CHECK (kind BETWEEN 0 AND 1),"
    " way TEXT NOT NULL CHECK (way <> ''),"
    " cut INTEGER NOT NULL,"
    " state INTEGER NOT NULL CHECK (state BETWEEN 0 AND 5),"
    " changed INTEGER NOT NULL,"
    " subject TEXT NOT NULL,"
    " resent INTEGER NOT NULL CHECK (resent BETWEEN 0 AND 1),"
    " said TEXT NOT NULL,"
    " text TEXT NOT NULL,"
    " PRIMARY KEY (garden, date, kind, way)"
    ") STRICT;"
    "INSERT INTO new_letter (garden, date, kind, way, cut, state, changed, subject, resent, said, text)"
    " SELECT garden, date, 0, way, cut, state, changed, '', 0, '', text FROM letter;"
    "DROP TABLE letter;"
    "ALTER TABLE new_letter RENAME TO letter;";

/* Schema 4: which lines of the grower's diary file were seen: their hash, how often, and how often in vain. */
static const char create_4[] = "CREATE TABLE diary_line ("
			       " garden TEXT NOT NULL CHECK (garden <> ''),"
			       " line INTEGER NOT NULL,"
			       " taken INTEGER NOT NULL CHECK (taken >= 0),"
			       " refused INTEGER NOT NULL CHECK (refused >= 0),"
			       " PRIMARY KEY (garden, line)"
			       ") STRICT, WITHOUT ROWID;";

#define ISSUE_HEAD                                                                                                     \
	"source, title, credit, received, issued, max_age_s, past, cell_latitude, cell_longitude, cell_elevation_m"
#define DIARY_COLUMNS  "id, written, date, planting, crop, variety, bed, verb, text, amount, undoes"
#define FETCH_COLUMNS  "source, step, asked, answered, not_before, status, etag, last_modified, outcome, address"
#define RUN_COLUMNS    "source, started, code, requests, bytes, gained, said"
#define LETTER_COLUMNS "garden, date, kind, way, cut, state, changed, subject, resent, said"

static const char *const texts[SQLS] = {
    [SQL_SETUP_READ] = "PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON;",
    [SQL_SETUP_WRITE] = "PRAGMA journal_mode = DELETE; PRAGMA synchronous = FULL;",
    [SQL_SETUP_LOOK] = "PRAGMA query_only = ON;",
    /* A copy that does not come to its end is thrown away whole, and is synced as one when it does. */
    [SQL_SETUP_COPY] = "PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;",
    [SQL_READ_BEGIN] = "BEGIN",
    /* A read that turns into a write fails at once, whatever the patience: so writers say it first. */
    [SQL_WRITE_BEGIN] = "BEGIN IMMEDIATE",
    [SQL_COMMIT] = "COMMIT",
    [SQL_ROLLBACK] = "ROLLBACK",
    [SQL_IDENTITY] = "SELECT application_id, user_version FROM pragma_application_id, pragma_user_version",
    [SQL_OBJECTS] = "SELECT count(*), 0 FROM sqlite_schema",
    [SQL_QUICK_CHECK] = "PRAGMA quick_check(1)",
    [SQL_INTEGRITY_CHECK] = "PRAGMA integrity_check(64)",
    [SQL_REFERENCE_CHECK] = "PRAGMA foreign_key_check",
    [SQL_COUNTS] = "SELECT (SELECT count(*) FROM place), (SELECT count(*) FROM hours), (SELECT count(*) FROM issue),"
		   " (SELECT count(*) FROM station_day), (SELECT count(*) FROM diary), (SELECT count(*) FROM letter),"
		   " page_count * page_size FROM pragma_page_count, pragma_page_size",
    [SQL_VACUUM] = "VACUUM",
    [SQL_CREATE_1] = create_1,
    /* "dewp" */
    [SQL_STAMP_1] = "PRAGMA application_id = 1684371312; PRAGMA user_version = 1;",
    [SQL_CREATE_2] = create_2,
    [SQL_STAMP_2] = "PRAGMA user_version = 2;",
    [SQL_CREATE_3] = create_3,
    [SQL_STAMP_3] = "PRAGMA user_version = 3;",
    [SQL_CREATE_4] = create_4,
    [SQL_STAMP_4] = "PRAGMA user_version = 4;",

    [SQL_PLACE_FIND] = "SELECT id FROM place WHERE latitude_cdeg = ?1 AND longitude_cdeg = ?2 AND elevation_m IS ?3",
    [SQL_PLACE_ADD] = "INSERT INTO place (latitude_cdeg, longitude_cdeg, elevation_m) VALUES (?1, ?2, ?3) RETURNING id",
    [SQL_PLACE_LIST] = "SELECT id FROM place ORDER BY id",

    [SQL_ISSUE_PUT] = "INSERT INTO issue (place, first, n, hours, " ISSUE_HEAD ")"
		      " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)"
		      " ON CONFLICT (place, received, source) DO UPDATE SET title = excluded.title,"
		      " credit = excluded.credit, issued = excluded.issued, max_age_s = excluded.max_age_s,"
		      " past = excluded.past, cell_latitude = excluded.cell_latitude,"
		      " cell_longitude = excluded.cell_longitude, cell_elevation_m = excluded.cell_elevation_m,"
		      " first = excluded.first, n = excluded.n, hours = excluded.hours",
    [SQL_ISSUE_LIST] = "SELECT source, received, issued, first, n FROM issue WHERE place = ?1"
		       " ORDER BY received DESC, source DESC",
    [SQL_ISSUE_AT] = "SELECT " ISSUE_HEAD ", hours FROM issue WHERE place = ?1 AND received <= ?2"
		     " ORDER BY received DESC, source DESC LIMIT 1 OFFSET ?3",
    [SQL_ISSUE_KEYS] = "SELECT id, received, first, n FROM issue WHERE place = ?1 ORDER BY received DESC, source DESC",
    [SQL_ISSUE_BYTES] = "SELECT source, received, first, n, hours FROM issue ORDER BY id",
    [SQL_ISSUE_DROP] = "DELETE FROM issue WHERE id = ?1",

    [SQL_STATION_PUT] = "INSERT INTO station_day (place, station, date, tmin_c, tmax_c, rain_mm, observed_hhmm)"
			" VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)"
			" ON CONFLICT (place, station, date) DO UPDATE SET tmin_c = ifnull(excluded.tmin_c, tmin_c),"
			" tmax_c = ifnull(excluded.tmax_c, tmax_c), rain_mm = ifnull(excluded.rain_mm, rain_mm),"
			" observed_hhmm = ifnull(excluded.observed_hhmm, observed_hhmm)",
    [SQL_STATION_LIST] = "SELECT station, date, tmin_c, tmax_c, rain_mm, observed_hhmm FROM station_day"
			 " WHERE place = ?1 AND (?2 IS NULL OR station = ?2) AND date >= ?3 AND date < ?4"
			 " ORDER BY date, station",

    [SQL_DIARY_ADD] =
	"INSERT INTO diary (garden, written, date, planting, crop, variety, bed, verb, text, amount, undoes)"
	" VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11) RETURNING id",
    [SQL_DIARY_FIND] = "SELECT undoes, EXISTS (SELECT 1 FROM diary u WHERE u.undoes = d.id) FROM diary d"
		       " WHERE garden = ?1 AND id = ?2",
    [SQL_DIARY_STANDING] = "SELECT " DIARY_COLUMNS " FROM diary d WHERE garden = ?1 AND undoes IS NULL"
			   " AND NOT EXISTS (SELECT 1 FROM diary u WHERE u.undoes = d.id) ORDER BY date, id",
    [SQL_DIARY_ALL] = "SELECT " DIARY_COLUMNS " FROM diary WHERE garden = ?1 ORDER BY date, id",
    [SQL_DIARY_LINES] = "SELECT line, taken, refused FROM diary_line WHERE garden = ?1 ORDER BY line",
    [SQL_DIARY_LINE_PUT] = "INSERT INTO diary_line (garden, line, taken, refused) VALUES (?1, ?2, ?3, ?4)",
    [SQL_DIARY_LINES_DROP] = "DELETE FROM diary_line WHERE garden = ?1",

    [SQL_FETCH_PUT] = "INSERT OR REPLACE INTO fetch (place, " FETCH_COLUMNS ")"
		      " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    [SQL_FETCH_GET] = "SELECT " FETCH_COLUMNS " FROM fetch WHERE place = ?1 AND source = ?2 AND step = ?3",
    [SQL_FETCH_LIST] = "SELECT " FETCH_COLUMNS " FROM fetch WHERE place = ?1 ORDER BY asked DESC, source, step",
    [SQL_FETCH_HELD] = "SELECT max(not_before) FROM fetch WHERE source = ?1 AND status IN (403, 429)",
    /* Whose steps have all not been asked for long; a cool-down is kept to its end. */
    [SQL_FETCH_THIN] = "DELETE FROM fetch WHERE NOT EXISTS (SELECT 1 FROM fetch g WHERE g.place = fetch.place"
		       " AND g.source = fetch.source AND (g.asked >= ?1 OR g.not_before > ?2))",

    [SQL_DISCOVERED_PUT] = "INSERT OR REPLACE INTO discovered (place, source, step, name, value, since)"
			   " VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    [SQL_DISCOVERED_LIST] = "SELECT name, value, since FROM discovered WHERE place = ?1 AND source = ?2 AND step = ?3"
			    " ORDER BY name",
    [SQL_DISCOVERED_DROP] = "DELETE FROM discovered WHERE place = ?1 AND source = ?2 AND step = ?3",

    [SQL_DISCOVERED_THIN] = "DELETE FROM discovered WHERE since < ?1 AND NOT EXISTS (SELECT 1 FROM fetch f"
			    " WHERE f.place = discovered.place AND f.source = discovered.source)",

    [SQL_RUN_ADD] = "INSERT INTO run (place, " RUN_COLUMNS ") VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    [SQL_RUN_LIST] = "SELECT " RUN_COLUMNS " FROM run WHERE place = ?1 ORDER BY started DESC, id DESC LIMIT ?2",
    [SQL_RUN_THIN] = "DELETE FROM run WHERE place = ?1 AND started < ?2",
    [SQL_RUN_THIN_ALL] = "DELETE FROM run WHERE started < ?1 AND id NOT IN (SELECT r.id FROM run r"
			 " WHERE r.place = run.place ORDER BY r.started DESC, r.id DESC LIMIT ?2)",

    [SQL_SUPPLY_PUT] = "INSERT INTO supply (place, source, credit, first, end) VALUES (?1, ?2, ?3, ?4, ?5)"
		       " ON CONFLICT (place, source) DO UPDATE SET credit = excluded.credit,"
		       " first = min(first, excluded.first), end = max(end, excluded.end)",
    [SQL_SUPPLY_LIST] = "SELECT source, credit, first, end FROM supply WHERE place = ?1 AND first < ?3 AND end > ?2"
			" ORDER BY source",

    [SQL_HOURS_COUNT] = "SELECT count(DISTINCT hour) FROM hours WHERE place = ?1 AND hour >= ?2 AND hour < ?3"
			" AND rank >= ?4 AND air_temperature IS NOT NULL",

    [SQL_LETTER_PUT] = "INSERT OR REPLACE INTO letter (" LETTER_COLUMNS ", text)"
		       " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
    [SQL_LETTER_ADD] = "INSERT INTO letter (" LETTER_COLUMNS ", text)"
		       " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)"
		       " ON CONFLICT (garden, date, kind, way) DO NOTHING",
    [SQL_LETTER_MOVE] = "UPDATE letter SET state = ?1, changed = ?2, resent = ?3, said = ?4"
			" WHERE garden = ?5 AND date = ?6 AND kind = ?7 AND way = ?8 AND state = ?9",
    [SQL_LETTER_BEFORE] = "UPDATE letter SET state = ?1, changed = ?2 WHERE garden = ?3 AND date < ?4 AND state = ?5",
    [SQL_LETTER_GET] = "SELECT " LETTER_COLUMNS ", text FROM letter"
		       " WHERE garden = ?1 AND date = ?2 AND kind = ?3 AND way = ?4",
    [SQL_LETTER_CUT] = "SELECT cut FROM letter WHERE garden = ?1 AND date = ?2 AND kind = ?3 ORDER BY state = ?4 DESC, "
		       "cut DESC LIMIT 1",
    [SQL_LETTER_LAST] = "SELECT " LETTER_COLUMNS " FROM letter WHERE garden = ?1 AND kind = ?2 AND state = ?3"
			" ORDER BY cut DESC, changed DESC, way LIMIT 1",
    /* And where the morning before had no letter: whenever that morning was, in whatever zone. */
    [SQL_LETTER_CUTS] =
	"SELECT cut, cut FROM letter WHERE kind = ?1"
	" UNION SELECT (date - 1) * 86400 + ?2, (date - 1) * 86400 + ?3"
	" FROM letter l WHERE kind = ?1 AND NOT EXISTS (SELECT 1 FROM letter b WHERE b.garden = l.garden"
	" AND b.kind = ?1 AND b.date = l.date - 1) ORDER BY 1, 2",
};

const char *sql_text(enum sql s)
{
	assert(s < SQLS && texts[s]);
	return texts[s];
}

void sql_hours_create(struct text *t)
{
	text_add(t, "CREATE TABLE hours (place INTEGER NOT NULL REFERENCES place (id),"
		    " hour INTEGER NOT NULL CHECK (hour % 3600 = 0),"
		    " rank INTEGER NOT NULL CHECK (rank BETWEEN 1 AND 4)");
	for (int v = 0; v < VARS; v++) {
		const struct var_row *r = var_row((enum var)v);
		text_addf(t, ", %s REAL CONSTRAINT %s CHECK (%s BETWEEN %.17g AND %.17g)", r->name, r->name, r->name,
			  r->lo, r->hi);
	}
	for (int v = 0; v < VARS; v++) {
		const char *name = var_row((enum var)v)->name;
		text_addf(t, ", %s_mark INTEGER CHECK ((%s_mark IS NULL) = (%s IS NULL))", name, name, name);
	}
	/* Last, as only merging looks at them. */
	for (int v = 0; v < VARS; v++) {
		const char *name = var_row((enum var)v)->name;
		text_addf(t, ", %s_known INTEGER CHECK ((%s_known IS NULL) = (%s IS NULL))", name, name, name);
	}
	text_add(t, ", PRIMARY KEY (place, hour, rank)) STRICT, WITHOUT ROWID");
}

/* Whose knowledge decides about a variable: a window's span goes where its minimum goes. */
static const char *decider(enum var v)
{
	return var_row(v == VAR_WINDOW_MINIMUM_SPAN ? VAR_WINDOW_MINIMUM : v)->name;
}

static void merge_column(struct text *t, enum var v, const char *suffix)
{
	const char *name = var_row(v)->name, *by = decider(v);
	/* NULL where the new row has nothing: then the old one stays. */
	text_addf(t, "%s%s = CASE WHEN excluded.%s_known >= ifnull(hours.%s_known, excluded.%s_known)", name, suffix,
		  by, by, by);
	text_addf(t, " THEN excluded.%s%s ELSE hours.%s%s END", name, suffix, name, suffix);
}

void sql_hours_merge(struct text *t, const struct sql_columns *c)
{
	static const char *const suffixes[] = {"", "_mark", "_known"};
	text_add(t, "INSERT INTO hours (place, rank, hour");
	for (int v = 0; v < VARS; v++)
		for (size_t s = 0; s < 3 && c->has[v]; s++)
			text_addf(t, ", %s%s", var_row((enum var)v)->name, suffixes[s]);
	text_add(t, ") VALUES (?1, ?2, ?4");
	int bound = 5;
	for (int v = 0; v < VARS; v++) {
		if (!c->has[v])
			continue;
		text_addf(t, ", ?%d, ?%d, iif(?%d IS NULL, NULL, ?3)", bound, bound + 1, bound);
		bound += 2;
	}
	text_add(t, ") ON CONFLICT (place, hour, rank) DO UPDATE SET ");
	const char *before = "";
	for (int v = 0; v < VARS; v++) {
		for (size_t s = 0; s < 3 && c->has[v]; s++) {
			text_add(t, before);
			merge_column(t, (enum var)v, suffixes[s]);
			before = ", ";
		}
	}
}

void sql_hours_thin(struct text *t)
{
	text_add(t, "DELETE FROM hours WHERE rank = 1 AND hour < ?1");
	for (int v = 0; v < VARS; v++) {
		const char *name = var_row((enum var)v)->name;
		if (v == VAR_WINDOW_MINIMUM || v == VAR_WINDOW_MINIMUM_SPAN)
			continue;
		text_addf(t,
			  " AND (%s IS NULL OR EXISTS (SELECT 1 FROM hours b WHERE b.place = hours.place"
			  " AND b.hour = hours.hour AND b.rank > 1 AND b.%s IS NOT NULL))",
			  name, name);
	}
}

void sql_hours_read(struct text *t)
{
	text_add(t, "SELECT hour, rank");
	for (int v = 0; v < VARS; v++)
		text_addf(t, ", %s", var_row((enum var)v)->name);
	for (int v = 0; v < VARS; v++)
		text_addf(t, ", %s_mark", var_row((enum var)v)->name);
	text_add(t, " FROM hours WHERE place = ?1 AND hour >= ?2 AND hour < ?3 ORDER BY hour, rank");
}

#include "cli/interview.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/mem.h"
#include "base/text.h"
#include "base/zoneguess.h"
#include "cli/coordinates.h"
#include "cli/offer.h"
#include "cli/plotlines.h"
#include "cli/screen.h"
#include "facts/place.h"
#include "garden/keyvalue.h"

enum {
	ASK_NAME,
	ASK_TIMEZONE,
	ASK_COORDINATES,
	ASK_ELEVATION,
	ASK_UNITS,
	ASK_SOURCE,
	ASK_CONTACT,
	ASK_BED,
	ASK_TUB,
	ASK_PLANTING,
	ASK_INDOOR,
	ASK_HISTORY,
	ASK_WAY,
	ASK_TO,
	ASK_FROM,
	ASK_SERVER,
	ASK_USER,
	ASK_PASSWORD_FILE,
	ASK_PROGRAM,
	ASK_FOLDER,
	ASK_FILE,
	QUESTIONS
};

static const struct question QUESTION[QUESTIONS] = {
    [ASK_NAME] = {"name", "What is the garden called?", "Quarry Lane",
		  "What the garden is called; Garden if not given"},
    [ASK_TIMEZONE] = {"timezone", "Which time zone is it in?", "America/Chicago",
		      "Its time zone; that of this machine where not given, unless it is UTC"},
    [ASK_COORDINATES] = {"coordinates", "Where is it? Latitude and longitude, as a map shows them:", "44.31, -89.90",
			 "Latitude and longitude; also as 44 18.6 N, 89 54 W or 44°18'36\"N 89°54'W"},
    [ASK_ELEVATION] = {"elevation", "How high above the sea, in m or ft? (empty: not known)", "330 m",
		       "Height above the sea"},
    [ASK_UNITS] = {"units", "Units of the note, us or metric?", "us",
		   "Units of the note; those of the zone's country where not given"},
    [ASK_SOURCE] = {"source", "Whose forecast?", "NAME",
		    "Description of the forecast service; the first that fits the country where not given"},
    [ASK_CONTACT] = {"contact", "A mail address or web page of yours, for the weather service to write to:",
		     "grower@example.org", "Mail address or web page that the weather service may write to"},
    [ASK_BED] = {"bed", "A bed:", "south, 40 sq ft", "A bed, its name and area; once for each"},
    [ASK_TUB] = {"tub", "A tub:", "patio, 15 gal", "A tub, its name and volume; once for each"},
    [ASK_PLANTING] = {"planting", "A planting:", "CROP, south, 2 plants, sown 2026-04-20 indoors",
		      "A planting: its crop, bed or tub, number of plants, when and where it was sown, and planted "
		      "with the day where it is out already; once for each"},
    [ASK_INDOOR] = {"indoor", "How warm is the room where the trays stand? (empty: not known)", "68 F",
		    "Temperature of the room where trays stand"},
    [ASK_HISTORY] = {"history", "Whose past weather, for the days since your first sowing? (- for none)", "NAME",
		     "Description of the service that knows the past; where something was sown before today the first "
		     "that fits, - for none"},
    [ASK_WAY] = {"way", "Which way?", "smtp", "How the note goes out: print, file, maildir, sendmail or smtp"},
    [ASK_TO] = {"to", "Your mail address:", "grower@example.org",
		"Mail address that gets the note; may be given several times"},
    [ASK_FROM] = {"from", "The address it comes from:", "grower@example.org", "Mail address that the note comes from"},
    [ASK_SERVER] = {"server", "Your provider's mail server:", "smtp://mail.example.org:587",
		    "The mail server of the way smtp"},
    [ASK_USER] = {"user", "Your user name there (- for none):", "grower@example.org",
		  "User name at the mail server; the mail address where not given, - for none"},
    [ASK_PASSWORD_FILE] = {"password_file", "A file for the password, beside the garden file:", "mail.password",
			   "File with the password, beside the garden file; the password itself is never in the "
			   "garden file"},
    [ASK_PROGRAM] = {"program", "The mail program:", "/usr/sbin/sendmail", "The program of the way sendmail"},
    [ASK_FOLDER] = {"folder", "The folder of mail:", "/home/grower/Maildir", "The folder of the way maildir"},
    [ASK_FILE] = {"file", "The file:", "/home/grower/note.txt", "The file of the way file"},
};

/* What a garden further off than this from the town of its zone has got wrong is a sign: judgement, over the width of
 * the widest zones. */
static const double FAR_KM = 4500;

struct interviewed {
	struct context *c;
	struct asker *asker;
	struct sample_values *values;
	struct garden *garden; /* the answers as they are read */
	struct offers offers;
	struct zoneguess_town town;
	struct date today;
	struct plot plot;
	struct plot_planting planting;
};

/* One key of the garden file that is asked for. */
struct slot {
	struct interviewed *v;
	const char *kind, *key;
};

static void *struct_of(struct interviewed *v, const char *kind)
{
	return strcmp(kind, "mail") == 0 ? (void *)&v->garden->mail : (void *)v->garden;
}

static enum fault_code keep(const struct slot *s, const char *value, struct fault *f)
{
	const struct key *k = plotlines_key(s->kind, s->key);
	if (key_set(k, value, struct_of(s->v, s->kind), f) != FAULT_NONE)
		return f->code;
	return sample_add(s->v->values, s->kind, "", s->key, value, f);
}

static enum fault_code take_value(void *into, const char *answer, struct fault *f)
{
	return keep(into, answer, f);
}

static enum fault_code ask(struct interviewed *v, int id, const char *fallback, asker_take *take, void *into,
			   bool *taken, struct fault *f)
{
	return asker_ask(v->asker, &QUESTION[id], fallback, take, into, taken, f);
}

/* A question whose answer is a value of the garden file as it stands. */
static enum fault_code ask_value(struct interviewed *v, int id, const char *kind, const char *fallback, struct fault *f)
{
	struct slot s = {v, kind, QUESTION[id].key};
	bool taken;
	return ask(v, id, fallback, take_value, &s, &taken, f);
}

/* ---- the site ---- */

/* Letters a-z and digits, a - for what lies between them. */
static void id_of(const char *name, char id[static LETTER_GARDEN_SIZE])
{
	struct text t;
	text_over(&t, id, LETTER_GARDEN_SIZE);
	for (bool gap = false; *name != '\0'; name++) {
		char c = (char)tolower((unsigned char)*name);
		bool fit = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
		if (fit && gap && t.len > 0)
			text_add(&t, "-");
		if (fit)
			text_add_n(&t, &c, 1);
		gap = !fit;
	}
	if (t.len == 0)
		text_add(&t, "garden");
}

static enum fault_code take_name(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	char id[LETTER_GARDEN_SIZE];
	const struct slot name = {v, "garden", "name"}, its_id = {v, "garden", "id"};
	id_of(answer, id);
	return keep(&name, answer, f) || keep(&its_id, id, f) ? f->code : FAULT_NONE;
}

static enum fault_code take_zone(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	const struct slot s = {v, "garden", "timezone"};
	struct zone zone;
	if (zone_load(answer, v->c->now, v->c->now, &zone, f) != FAULT_NONE)
		return f->code;
	zoneguess_town(answer, &v->town);
	v->today = zone_date(&zone, v->c->now);
	return keep(&s, answer, f);
}

/* At least two decimals, at most four: ten metres. */
static enum fault_code keep_degrees(struct interviewed *v, const char *key, double degrees, struct fault *f)
{
	enum { SIZE = 32, AT_LEAST = 2 };
	char mem[SIZE];
	struct text t;
	const struct slot s = {v, "garden", key};
	text_over(&t, mem, sizeof mem);
	text_addf(&t, "%.4f", degrees);
	for (int i = 0; i < AT_LEAST && mem[t.len - 1] == '0'; i++)
		mem[--t.len] = '\0';
	return keep(&s, mem, f);
}

/* A sign forgotten is another continent. */
static enum fault_code take_coordinates(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	double north, east;
	if (coordinates_parse(answer, &north, &east, f) != FAULT_NONE)
		return f->code;
	struct place place = place_at(north, east, (double)NAN);
	double km = place_distance_km(&place, v->town.latitude, v->town.longitude);
	if (!isnan(v->town.latitude) && km > FAR_KM)
		return fault_set(f, FAULT_CONFIG,
				 "that is %.0f km from where the clock is %s; south and west are negative, or S and W",
				 km, v->garden->timezone);
	return keep_degrees(v, "latitude", north, f) || keep_degrees(v, "longitude", east, f) ? f->code : FAULT_NONE;
}

/* ---- the services ---- */

static void say_offers(struct interviewed *v, bool past)
{
	enum { COLUMNS = 20 };
	size_t n = 0;
	for (size_t i = 0; i < v->offers.n; i++) {
		const struct offer *o = &v->offers.at[i];
		if (past ? o->past : o->forecast)
			asker_say(v->asker, "  %zu  %-*s %s%s\n", ++n, COLUMNS, o->name, o->title,
				  o->contact ? " (wants to know whom to write to)" : "");
	}
}

/* By its name, or by the number in the list. */
static const struct offer *chosen(const struct offers *offers, bool past, const char *answer)
{
	char number[2 * sizeof(size_t) * 2];
	size_t n = 0;
	for (size_t i = 0; i < offers->n; i++) {
		struct text t;
		const struct offer *o = &offers->at[i];
		if (past ? !o->past : !o->forecast)
			continue;
		text_over(&t, number, sizeof number);
		text_addf(&t, "%zu", ++n);
		if (strcmp(answer, number) == 0 || strcmp(answer, o->name) == 0)
			return o;
	}
	return NULL;
}

static const char *first_offer(const struct interviewed *v, bool past)
{
	for (size_t i = 0; i < v->offers.n; i++)
		if (past ? v->offers.at[i].past : v->offers.at[i].forecast)
			return v->offers.at[i].name;
	return NULL;
}

static enum fault_code take_offer(struct interviewed *v, bool past, const char *answer, struct fault *f)
{
	const char *known[OFFERS_MAX];
	char remedy[KEY_LIST_SIZE];
	size_t n = 0;
	const struct slot s = {v, "garden", past ? "history" : "source"};
	const struct offer *o = chosen(&v->offers, past, answer);
	if (o != NULL)
		return keep(&s, o->name, f);
	for (size_t i = 0; i < v->offers.n; i++)
		if (past ? v->offers.at[i].past : v->offers.at[i].forecast)
			known[n++] = v->offers.at[i].name;
	return fault_set(f, FAULT_CONFIG, "%s \"%.*s\" is not known, or not for there; %s", s.key, KEY_SHOWN(answer),
			 key_remedy(answer, known, n, remedy));
}

static enum fault_code take_source(void *into, const char *answer, struct fault *f)
{
	return take_offer(into, false, answer, f);
}

static enum fault_code take_history(void *into, const char *answer, struct fault *f)
{
	return strcmp(answer, "-") == 0 ? FAULT_NONE : take_offer(into, true, answer, f);
}

static enum fault_code ask_source(struct interviewed *v, struct fault *f)
{
	bool taken;
	struct faults left_out = {0};
	if (offers_load(v->c, v->town.country, &v->offers, &left_out, f) != FAULT_NONE)
		return f->code;
	screen_warnings(&left_out);
	asker_say(v->asker, "\nForecasts that cover it:\n");
	say_offers(v, false);
	return ask(v, ASK_SOURCE, first_offer(v, false), take_source, v, &taken, f);
}

static enum fault_code ask_contact_for(struct interviewed *v, struct fault *f)
{
	const struct offer *o = offers_named(&v->offers, v->garden->source);
	bool wanted = o != NULL && o->contact;
	if (!wanted && v->asker->terminal)
		return FAULT_NONE;
	return ask_value(v, ASK_CONTACT, "garden", wanted ? NULL : "", f);
}

static enum fault_code ask_site(struct interviewed *v, const char *etc, struct fault *f)
{
	char zone[ZONE_NAME_SIZE];
	bool taken;
	const char *guess = zoneguess_machine(etc, zone) ? zone : NULL;
	if (ask(v, ASK_NAME, "Garden", take_name, v, &taken, f) ||
	    ask(v, ASK_TIMEZONE, guess, take_zone, v, &taken, f) ||
	    ask(v, ASK_COORDINATES, NULL, take_coordinates, v, &taken, f) ||
	    ask_value(v, ASK_ELEVATION, "garden", "", f) ||
	    ask_value(v, ASK_UNITS, "garden", strcmp(v->town.country, "US") == 0 ? "us" : "metric", f))
		return f->code;
	return ask_source(v, f) || ask_contact_for(v, f) ? f->code : FAULT_NONE;
}

/* ---- beds, tubs and what grows ---- */

static enum fault_code take_bed(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	return plotlines_bed(&v->plot, answer, f);
}

static enum fault_code take_tub(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	return plotlines_tub(&v->plot, answer, f);
}

/* On a terminal what is missing in it is asked for before it is taken in. */
static enum fault_code take_planting(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	if (plotlines_planting(&v->plot, answer, &v->planting, f) != FAULT_NONE)
		return f->code;
	return v->asker->terminal ? FAULT_NONE : plotlines_keep(&v->plot, &v->planting, f);
}

static enum fault_code take_in(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	char part[QUESTION_ANSWER_SIZE];
	struct text t;
	text_over(&t, part, sizeof part);
	text_addf(&t, "in %s", answer);
	return plotlines_part(&v->plot, part, &v->planting, f);
}

static enum fault_code take_begin(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	return plotlines_part(&v->plot, answer, &v->planting, f);
}

static enum fault_code ask_missing(struct interviewed *v, struct fault *f)
{
	static const struct question in = {.ask = "  In which bed or tub?"};
	static const struct question begin = {
	    .ask = "  Sown when and where, or planted when? (as sown 2026-04-20 indoors; empty: not yet)"};
	const struct garden *g = v->garden;
	bool taken, any = g->beds + g->tubs > 0;
	const char *place = g->beds > 0 ? g->bed[0].name : g->tub[0].name;
	if (any && v->planting.in[0] == '\0' && asker_ask(v->asker, &in, place, take_in, v, &taken, f) != FAULT_NONE)
		return f->code;
	if (v->planting.sown[0] == '\0' && v->planting.planted[0] == '\0' &&
	    asker_ask(v->asker, &begin, "", take_begin, v, &taken, f) != FAULT_NONE)
		return f->code;
	return plotlines_keep(&v->plot, &v->planting, f);
}

static enum fault_code ask_many(struct interviewed *v, int id, asker_take *take, struct fault *f)
{
	bool taken = true;
	while (taken) {
		if (ask(v, id, "", take, v, &taken, f) != FAULT_NONE)
			return f->code;
		if (taken && id == ASK_PLANTING && v->asker->terminal && ask_missing(v, f) != FAULT_NONE)
			return f->code;
	}
	return FAULT_NONE;
}

static void say_crops(struct interviewed *v)
{
	const char *known[CROPS_MAX];
	char list[KEY_LIST_SIZE];
	if (v->c->crops.n == 0)
		return;
	for (size_t i = 0; i < v->c->crops.n; i++)
		known[i] = v->c->crops.at[i].name;
	asker_say(v->asker,
		  "\nWhat you grow: crop, bed, number of plants, when and where it was sown, and planted with the day\n"
		  "if it is out already. As: %s, %s, 2 plants, sown 2026-04-20 indoors\n"
		  "Crops: %s. An empty line when there are no more.\n",
		  known[0], v->garden->beds > 0 ? v->garden->bed[0].name : "south",
		  key_listed(known, v->c->crops.n, "and", list));
}

static enum fault_code ask_plot(struct interviewed *v, struct fault *f)
{
	asker_say(v->asker, "\nBeds, each with its name and area, as: south, 40 sq ft\n"
			    "An empty line when there are no more.\n");
	if (ask_many(v, ASK_BED, take_bed, f) != FAULT_NONE)
		return f->code;
	asker_say(v->asker, "Tubs and pots, each with its name and volume, as: patio, 15 gal\n");
	if (ask_many(v, ASK_TUB, take_tub, f) != FAULT_NONE)
		return f->code;
	say_crops(v);
	return ask_many(v, ASK_PLANTING, take_planting, f);
}

static bool any_in_trays(const struct garden *g)
{
	for (size_t i = 0; i < g->plantings; i++)
		if (date_is(g->planting[i].sown) && g->planting[i].sowing == GARDEN_SOWN_INDOORS)
			return true;
	return false;
}

static bool any_before(const struct garden *g, struct date today)
{
	if (!date_is(today))
		return false;
	for (size_t i = 0; i < g->plantings; i++) {
		const struct planting *p = &g->planting[i];
		struct date begun = date_is(p->sown) ? p->sown : p->planted;
		if (date_is(begun) && date_diff(begun, today) < 0)
			return true;
	}
	return false;
}

/* What was sown before today has had warmth that no fetch will tell of. */
static enum fault_code ask_history(struct interviewed *v, struct fault *f)
{
	bool taken;
	bool past = any_before(v->garden, v->today) && first_offer(v, true) != NULL;
	if (past) {
		asker_say(v->asker, "\nThe warmth since your first sowing can be filled in from past weather:\n");
		say_offers(v, true);
	}
	if (!past && v->asker->terminal)
		return FAULT_NONE;
	return ask(v, ASK_HISTORY, past ? first_offer(v, true) : "", take_history, v, &taken, f);
}

static enum fault_code ask_warmth(struct interviewed *v, struct fault *f)
{
	bool wanted = any_in_trays(v->garden) || !v->asker->terminal;
	if (wanted && ask_value(v, ASK_INDOOR, "garden", "", f) != FAULT_NONE)
		return f->code;
	return ask_history(v, f);
}

/* ---- mail ---- */

static enum fault_code take_user(void *into, const char *answer, struct fault *f)
{
	const struct slot s = {into, "mail", "user"};
	return strcmp(answer, "-") == 0 ? FAULT_NONE : keep(&s, answer, f);
}

/* Into the next place, for there may be several. */
static enum fault_code take_to(void *into, const char *answer, struct fault *f)
{
	struct interviewed *v = into;
	struct mail *m = &v->garden->mail;
	struct key next = *plotlines_key("mail", "to");
	next.at += m->n_to * next.size;
	if (m->n_to == MAIL_TO_MAX)
		return fault_set(f, FAULT_CONFIG, "to is one too many; at most %d", MAIL_TO_MAX);
	if (key_set(&next, answer, m, f) != FAULT_NONE ||
	    sample_add(v->values, "mail", "", "to", answer, f) != FAULT_NONE)
		return f->code;
	m->n_to++;
	return FAULT_NONE;
}

/* Further ones only where they were given beforehand. */
static enum fault_code ask_to(struct interviewed *v, struct fault *f)
{
	struct fault no_address;
	bool taken = true;
	bool address = mail_address_check(v->garden->contact, &no_address) == FAULT_NONE;
	if (ask(v, ASK_TO, address ? v->garden->contact : NULL, take_to, v, &taken, f) != FAULT_NONE)
		return f->code;
	while (taken && !v->asker->terminal)
		if (ask(v, ASK_TO, "", take_to, v, &taken, f) != FAULT_NONE)
			return f->code;
	return FAULT_NONE;
}

static enum fault_code ask_mail(struct interviewed *v, struct fault *f)
{
	const struct mail *m = &v->garden->mail;
	bool taken;
	if (ask_to(v, f) != FAULT_NONE)
		return f->code;
	if (m->way == MAIL_MAILDIR)
		return ask_value(v, ASK_FOLDER, "mail", NULL, f);
	if (m->way == MAIL_SENDMAIL)
		return ask_value(v, ASK_PROGRAM, "mail", plotlines_key("mail", "program")->fallback, f);
	if (ask_value(v, ASK_SERVER, "mail", NULL, f) ||
	    ask_value(v, ASK_FROM, "mail", m->n_to > 0 ? m->to[0] : "", f) ||
	    ask(v, ASK_USER, m->n_to > 0 ? m->to[0] : "", take_user, v, &taken, f))
		return f->code;
	return m->user[0] != '\0' ? ask_value(v, ASK_PASSWORD_FILE, "mail", "mail.password", f) : FAULT_NONE;
}

static enum fault_code ask_way(struct interviewed *v, struct fault *f)
{
	asker_say(v->asker, "\nHow the note reaches you each morning:\n"
			    "  print     it is printed; cron mails what is printed\n"
			    "  smtp      by mail through your provider's server\n"
			    "  sendmail  by mail through this machine's own mail program\n"
			    "  maildir   into a folder of mail on this machine\n"
			    "  file      into a text file\n");
	if (ask_value(v, ASK_WAY, "mail", "print", f) != FAULT_NONE)
		return f->code;
	if (v->garden->mail.way == MAIL_PRINT)
		return FAULT_NONE;
	return v->garden->mail.way == MAIL_FILE ? ask_value(v, ASK_FILE, "mail", NULL, f) : ask_mail(v, f);
}

/* ---- all of it ---- */

const struct question *interview_question(size_t i)
{
	return i < QUESTIONS ? &QUESTION[i] : NULL;
}

enum fault_code interview(struct context *c, struct asker *a, const char *etc, struct sample_values *values,
			  struct fault *f)
{
	struct interviewed *v = mem_new(1, sizeof *v);
	if (v == NULL)
		return fault_set(f, FAULT_MEMORY, "out of memory");
	*v = (struct interviewed){.c = c, .asker = a, .values = values, .garden = mem_new(1, sizeof *v->garden)};
	v->town = (struct zoneguess_town){.latitude = (double)NAN, .longitude = (double)NAN};
	v->today = date_none();
	v->plot = (struct plot){.crops = &c->crops, .garden = v->garden, .values = values};
	enum fault_code code = FAULT_NONE;
	if (v->garden == NULL)
		code = fault_set(f, FAULT_MEMORY, "out of memory");
	else if (ask_site(v, etc, f) || ask_plot(v, f) || ask_warmth(v, f) || ask_way(v, f))
		code = f->code;
	if (code == FAULT_NONE) {
		asker_unused(a, QUESTION, QUESTIONS);
		code = a->wrong->n > 0 ? FAULT_DATA : FAULT_NONE;
	}
	mem_free(v->garden);
	mem_free(v);
	if (code == FAULT_DATA && a->wrong->n > 0)
		*f = (struct fault){.code = code};
	return code;
}

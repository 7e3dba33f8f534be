#include "garden/diaryverb.h"

#include <string.h>
#include <strings.h>

#include "base/suggest.h"
#include "base/text.h"

static const struct diaryverb TABLE[VERBS] = {
    [VERB_SOWN] = {DIARYVERB_PLANTING, DIARYVERB_NO_FIGURE, 0, 0, "sown green-1", {"sown", "sowed", "sow", "seeded"}},
    [VERB_UP] = {DIARYVERB_PLANTING,
		 DIARYVERB_NO_FIGURE,
		 0,
		 0,
		 "green-1 is up",
		 {"up", "came up", "come up", "coming up", "emerged", "germinated"}},
    [VERB_TRUE_LEAF] = {DIARYVERB_PLANTING,
			DIARYVERB_NO_FIGURE,
			0,
			0,
			"first true leaf on green-1",
			{"true leaf", "first true leaf", "true leaves", "first true leaves"}},
    [VERB_THINNED] = {DIARYVERB_PLANTING,
		      DIARYVERB_NO_FIGURE,
		      0,
		      0,
		      "thinned green-1",
		      {"thinned", "thinned out", "thinned down", "snipped"}},
    [VERB_POTTED_ON] = {DIARYVERB_PLANTING,
			DIARYVERB_NO_FIGURE,
			0,
			0,
			"potted on green-1",
			{"potted on", "potted up", "repotted", "re-potted"}},
    [VERB_PUT_OUT] = {DIARYVERB_PLACE,
		      DIARYVERB_NO_FIGURE,
		      0,
		      0,
		      "put out green-1",
		      {"put out", "stood out", "stood outdoors", "put outdoors", "put outside", "hardened",
		       "hardened off"}},
    [VERB_PLANTED_OUT] = {DIARYVERB_PLANTING,
			  DIARYVERB_NO_FIGURE,
			  0,
			  0,
			  "planted out green-1",
			  {"planted out", "set out", "transplanted", "bedded out", "put in the ground"}},
    [VERB_MALE] = {DIARYVERB_PLANTING,
		   DIARYVERB_NO_FIGURE,
		   0,
		   0,
		   "male flower on green-1",
		   {"male flower", "male flowers", "first male flower", "first male flowers", "male", "males",
		    "first male"}},
    [VERB_FEMALE] = {DIARYVERB_PLANTING,
		     DIARYVERB_NO_FIGURE,
		     0,
		     0,
		     "female flower on green-1",
		     {"female flower", "female flowers", "first female flower", "first female flowers", "female",
		      "females", "first female"}},
    [VERB_POLLINATED] = {DIARYVERB_PLANTING,
			 DIARYVERB_NO_FIGURE,
			 0,
			 0,
			 "pollinated green-1",
			 {"pollinated", "hand-pollinated", "hand pollinated", "pollinated by hand"}},
    [VERB_PICKED] = {DIARYVERB_PLANTING,
		     DIARYVERB_COUNT,
		     0,
		     10000,
		     "picked 3 from green-1",
		     {"picked", "harvested", "first pick", "first picked"}},
    [VERB_WATERED] = {DIARYVERB_PLACE,
		      DIARYVERB_WATER,
		      0,
		      100000,
		      "watered south 20 gal",
		      {"watered", "watered in", "gave water to"}},
    [VERB_FED] = {DIARYVERB_PLACE, DIARYVERB_NO_FIGURE, 0, 0, "fed green-1", {"fed", "fertilized", "fertilised"}},
    [VERB_STRAWED] = {DIARYVERB_PLACE,
		      DIARYVERB_NO_FIGURE,
		      0,
		      0,
		      "strawed south",
		      {"strawed", "straw on", "mulched with straw", "laid straw", "put straw"}},
    [VERB_COVERED] =
	{DIARYVERB_PLACE, DIARYVERB_NO_FIGURE, 0, 0, "covered green-1", {"covered", "cover on", "covered up"}},
    [VERB_UNCOVERED] = {DIARYVERB_PLACE, DIARYVERB_NO_FIGURE, 0, 0, "uncovered green-1", {"uncovered", "cover off"}},
    [VERB_FOUND] = {DIARYVERB_PLACE, DIARYVERB_NO_FIGURE, 0, 0, "found mildew on green-1", {"found", "saw", "seen"}},
    [VERB_ENDED] = {DIARYVERB_PLANTING,
		    DIARYVERB_NO_FIGURE,
		    0,
		    0,
		    "cleared green-1",
		    {"ended", "cleared", "pulled", "pulled up", "pulled out", "removed", "took out", "finished"}},
    [VERB_LOW] = {DIARYVERB_ANY,
		  DIARYVERB_TEMPERATURE,
		  -60,
		  45,
		  "low 38 F at south",
		  {"low", "night low", "lowest", "minimum", "min"}},
    [VERB_SOIL] = {DIARYVERB_ANY,
		   DIARYVERB_TEMPERATURE,
		   -20,
		   50,
		   "soil 62 F at south",
		   {"soil", "soil temperature", "soil temp"}},
    [VERB_RAIN] =
	{DIARYVERB_ANY, DIARYVERB_DEPTH, 0, 1000, "rain 0.9 in", {"rain", "rain gauge", "gauge", "rained", "rainfall"}},
    [VERB_SPROUTED] =
	{DIARYVERB_ANY, DIARYVERB_SEEDS, 0, 10, "sprouted 7 of 10", {"sprouted", "seed test", "came through"}},
    [VERB_AWAY] = {DIARYVERB_NOTHING, DIARYVERB_NO_FIGURE, 0, 0, "away 20-27 July", {"away"}},
    [VERB_NOTE] = {DIARYVERB_NOTHING, DIARYVERB_NO_FIGURE, 0, 0, "note anything you like", {"note", "noted"}},
};

/* Words that could be two verbs, or come near one, and what is right in their place. */
static const struct {
	const char *word, *right;
} HINTS[] = {
    {"planted", "\"sown\" or \"planted out\""},
    {"plant", "\"sown\" or \"planted out\""},
    {"flower", "\"male flower\" or \"female flower\""},
    {"flowers", "\"male flower\" or \"female flower\""},
    {"flowering", "\"male flower\" or \"female flower\""},
    {"mulched", "\"strawed\""},
    {"moved", "\"potted on\", \"put out\" or \"planted out\""},
    {"sprayed", "\"note\" before it"},
};

static const char *const FILLERS[] = {"and",  "&",    "in",  "at",  "on",  "of",   "the",   "from", "into", "to",
				      "with", "is",   "are", "for", "my",  "a",    "some",  "was",  "were", "has",
				      "have", "open", "by",  "out", "all", "both", "under", "hand", "straw"};

const struct diaryverb *diaryverb_row(enum verb v)
{
	return &TABLE[v];
}

/* How many words of the line, from i on, are those of a phrase; 0: they are not. */
static size_t phrase_at(const struct diarywords *w, size_t i, const char *phrase)
{
	size_t words = 0;
	for (size_t n; *phrase != '\0'; phrase += n + (phrase[n] == ' '), words++) {
		n = strcspn(phrase, " ");
		if (i + words >= w->n || strlen(w->at[i + words]) != n || strncasecmp(w->at[i + words], phrase, n) != 0)
			return 0;
	}
	return words;
}

enum verb diaryverb_at(const struct diarywords *w, size_t i, size_t *words)
{
	enum verb found = VERBS;
	*words = 0;
	for (int v = 0; v < VERBS; v++) {
		for (size_t k = 0; k < DIARYVERB_PHRASES && TABLE[v].phrase[k] != NULL; k++) {
			size_t n = phrase_at(w, i, TABLE[v].phrase[k]);
			if (n > *words) {
				*words = n;
				found = (enum verb)v;
			}
		}
	}
	return found;
}

const char *diaryverb_near(const struct diarywords *w, size_t i)
{
	const char *known[VERBS * DIARYVERB_PHRASES];
	char two[2 * DIARYWORD_SIZE];
	struct text t;
	size_t n = 0;
	for (int v = 0; v < VERBS; v++)
		for (size_t k = 0; k < DIARYVERB_PHRASES && TABLE[v].phrase[k] != NULL; k++)
			known[n++] = TABLE[v].phrase[k];
	text_over(&t, two, sizeof two);
	text_addf(&t, "%s %s", w->at[i], i + 1 < w->n ? w->at[i + 1] : "");
	const char *near = suggest(two, known, n);
	return near != NULL ? near : suggest(w->at[i], known, n);
}

const char *diaryverb_hint(const char *word)
{
	for (size_t i = 0; i < sizeof HINTS / sizeof *HINTS; i++)
		if (strcasecmp(HINTS[i].word, word) == 0)
			return HINTS[i].right;
	return NULL;
}

bool diaryverb_filler(const char *word)
{
	for (size_t i = 0; i < sizeof FILLERS / sizeof *FILLERS; i++)
		if (strcasecmp(FILLERS[i], word) == 0)
			return true;
	return false;
}

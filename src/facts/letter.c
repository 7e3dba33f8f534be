#include "facts/letter.h"

const char *letter_state_name(enum letter_state s)
{
	switch (s) {
	case LETTER_COMPOSED:
		return "composed";
	case LETTER_SENDING:
		return "sending";
	case LETTER_SENT:
		return "sent";
	case LETTER_UNKNOWN:
		return "unknown";
	case LETTER_FAILED:
		return "failed";
	case LETTER_EXPIRED:
		return "expired";
	}
	return "?";
}

const char *letter_kind_name(enum letter_kind k)
{
	switch (k) {
	case LETTER_MORNING:
		return "morning";
	case LETTER_EVENING:
		return "evening";
	case LETTER_KINDS:
		break;
	}
	return "?";
}

/*
 * What became of a letter.
 */
#ifndef POST_RESULT_H
#define POST_RESULT_H

enum post_result {
	POST_SENT,    /* taken over by whoever carries it on */
	POST_LATER,   /* certainly not sent; the same letter may be tried again, some after a change of the settings */
	POST_REFUSED, /* certainly not sent; refused for good */
	POST_UNKNOWN, /* handed over, and no answer came: sent or not */
};

#endif

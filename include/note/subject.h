/*
 * The subject of the note's mail: what to do first, where and when.
 *
 * Read in a list of mails, on a phone, often cut short on the right: the act comes first.
 */
#ifndef NOTE_SUBJECT_H
#define NOTE_SUBJECT_H

#include "note/note.h"

/*
 * "COVER tom-1 tomorrow by 7 pm, and 2 more (Quarry Lane, Tue 19 May)"; without lines the words of the
 * note's head for the act.  t is to be of LETTER_SUBJECT_SIZE; an act that is too long for it ends in "...".
 */
void subject_write(const struct note_facts *n, struct text *t);

#endif

/*
 * The folder of tables built into the program: the tree's config/ for programs
 * under build/, the installed folder for installed ones.
 */
#ifndef CLI_DATADIR_H
#define CLI_DATADIR_H

/* Absolute path without a closing slash; a constant, never NULL. */
const char *datadir(void);

#endif

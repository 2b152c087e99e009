/* The link on a pseudo-terminal. */
#ifndef LINE_H
#define LINE_H

/* Makes it and links the path to it. Ends the process with one line of error if that cannot be. */
void line_open(const char *path);

/* Writes what waits, as far as there is room. */
void line_flush(void);

/* Takes the link away. */
void line_close(void);

#endif

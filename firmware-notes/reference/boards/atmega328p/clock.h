#ifndef CLOCK_H
#define CLOCK_H

void clock_start(void);

#endif

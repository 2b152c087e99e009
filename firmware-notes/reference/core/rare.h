/* Work that comes seldom is kept out of line: a function that is called for every byte then saves no registers for it. */
#ifndef RARE_H
#define RARE_H

#define RARE __attribute__((noinline, cold))

/* The opposite: work for every byte, which a compiler that saves space would call. */
#define OFTEN static inline __attribute__((always_inline))

#endif

/* A refusal on its way to the host. */
#ifndef REQUEST_H
#define REQUEST_H

#include <stdint.h>

enum { NO_FIELD = 255 };

struct refusal {
    /* Reason of the Nack, 0 for none. */
    uint8_t reason;
    uint8_t field;
    int32_t value;
    int32_t limit;
};

#define REFUSE(why, at, found, wanted) ((struct refusal){ (why), (at), (int32_t)(found), (int32_t)(wanted) })
#define ACCEPT ((struct refusal){ 0, 0, 0, 0 })

#endif

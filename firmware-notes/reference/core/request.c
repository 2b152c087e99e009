#include "request.h"

#include "rare.h"

struct refusal refusal;

RARE uint8_t refuse_wide(uint8_t reason, uint8_t field, int32_t value, int32_t limit)
{
    refusal = (struct refusal){ field, value, limit };
    return reason;
}

RARE uint8_t refuse(uint8_t reason, uint8_t field, uint16_t value, uint16_t limit)
{
    return refuse_wide(reason, field, value, limit);
}

/* The refusal of a request. */
#ifndef REQUEST_H
#define REQUEST_H

#include <stdint.h>

enum { NO_FIELD = 255 };

/* As in Nack. */
struct refusal {
    uint8_t field;
    int32_t value;
    int32_t limit;
} __attribute__((packed));

/* Figures of the latest refusal. */
extern struct refusal refusal;

/* Keep the figures and give the reason. */
uint8_t refuse(uint8_t reason, uint8_t field, uint16_t value, uint16_t limit);
uint8_t refuse_wide(uint8_t reason, uint8_t field, int32_t value, int32_t limit);

#endif

#ifndef BOOT_H
#define BOOT_H

/* Counts this start in the EEPROM. Takes up to 7 ms. */
void boot_count(void);

#endif

/* host_vehicle.h - a vehicle file where a script was expected. */
#ifndef SYL_COMMAND_HOST_VEHICLE_H
#define SYL_COMMAND_HOST_VEHICLE_H

#include <stdbool.h>

/* Is the file a vehicle file: does it say `vehicle {` on its own, and nowhere `require`? False for what cannot be read, which Lua says
** better. Looks at the first 4 MiB. */
bool syl_is_vehicle_file(const char *path);

#endif

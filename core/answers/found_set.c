#include "answers/found_set.h"

double sy_found_value(const void *state, int at) { return sy_found_in(state, at)->value; }

const sy_found *sy_found_in(const void *state, int at) { return (const sy_found *)state + at; }

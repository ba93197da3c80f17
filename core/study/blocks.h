/* blocks.h - work cut into numbered blocks, done by several threads.
**
** Blocks are claimed one by one, so which thread does which block differs from run to run: a block may write only what belongs to its
** number, and whoever joins their results does so in the order of the numbers, after the run. Then the number of threads never shows in
** a result.
*/
#ifndef SY_STUDY_BLOCKS_H
#define SY_STUDY_BLOCKS_H

#include <stddef.h>

#include "../base/status.h"

enum { SY_BLOCKS_MOST_THREADS = 64 };

/* Does block number `block`; `with` is what was passed to the run, shared by all threads. */
typedef void (*sy_block_work)(void *with, size_t block);

/* Do blocks first, first + 1, ... of `count`, and return when all are done.
** threads  how many work, the caller's own among them; 1 or less: the caller alone, in the order of the numbers; more than
**          SY_BLOCKS_MOST_THREADS, or than there are blocks, are not started. One that the system refuses to start is one less.
** Errors   SY_RANGE  the numbers run over the end of size_t
** Below about 50 us of work starting a thread costs more than it saves. */
SY_API sy_status sy_blocks_run(size_t first, size_t count, int threads, sy_block_work work, void *with);

#endif

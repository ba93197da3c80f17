/* huge_pages.h - memory for a pool whose chunks are large.
**
** Blocks of a huge page or more (2 MiB on most machines) begin with one and are asked for in huge pages. The first touch of a page of 4 KiB
** is a call of the kernel, and the two hundred pages of a small command were a fifth of its time: 2.2 ms on a virtual machine, where one
** huge page takes 0.1 ms. Smaller blocks, and all where the system has no huge pages, come from malloc.
*/
#ifndef SYL_READER_HUGE_PAGES_H
#define SYL_READER_HUGE_PAGES_H

#include "base/alloc.h"

enum { SYL_HUGE_PAGE = 2 << 20 };

sy_alloc syl_huge_pages(void);

#endif

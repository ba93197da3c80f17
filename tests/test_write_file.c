/* The one writer of files: what is there stays, what fails leaves nothing, and the bytes are on the disk before the name.
** The program's own fsync, rename and link stand in for the system's, note their order and fail when asked to. */
#include "near.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "bind/write_file.h"

static char calls[64];                         /* f fsync, r rename, l link, in their order */
static int fail_fsync, fail_rename, fail_link; /* errno of the next ones, 0: they work */
static char folder[] =
    "steelyard_write_XXXXXX"; /* in the folder of temporary files, which is made the current one */
static const char *const OLD = "what the user had\n"; /* not a byte of it may go */

static void note(char letter) { calls[strlen(calls)] = letter; }

int fsync(int fd) {
  note('f');
  errno = fail_fsync;
  return fail_fsync != 0 ? -1 : fdatasync(fd);
}
int rename(const char *old, const char *new) {
  note('r');
  errno = fail_rename;
  return fail_rename != 0 ? -1 : renameat(AT_FDCWD, old, AT_FDCWD, new);
}
int link(const char *from, const char *to) {
  note('l');
  errno = fail_link;
  return fail_link != 0 ? -1 : linkat(AT_FDCWD, from, AT_FDCWD, to, 0);
}

static int setup(void **state) {
  (void)state;
  memset(calls, 0, sizeof calls);
  fail_fsync = fail_rename = fail_link = 0;
  return 0;
}

static int enter(void **state) {
  (void)state;
  const char *temporary = getenv("TMPDIR");
  return chdir(temporary != NULL ? temporary : "/tmp") != 0 || mkdtemp(folder) == NULL || chdir(folder) != 0;
}

static int leave(void **state) {
  (void)state;
  return chdir("..") != 0 || rmdir(folder) != 0; /* not empty: a test left something */
}

static void put(const char *path, const char *bytes) {
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  assert_true(fwrite(bytes, 1, strlen(bytes), file) == strlen(bytes) && fclose(file) == 0);
}

static void assert_holds(const char *path, const char *bytes) {
  char got[256];
  FILE *file = fopen(path, "rb");
  assert_non_null(file);
  const size_t size = fread(got, 1, sizeof got - 1, file);
  fclose(file);
  got[size] = '\0';
  assert_string_equal(got, bytes);
}

static bool lies(const char *path) {
  struct stat about;
  return lstat(path, &about) == 0;
}

static syl_written save(const char *path, const char *bytes, bool replace) {
  return syl_write_file(path, bytes, strlen(bytes), replace);
}

static void write_of_a_new_file_is_on_the_disk_before_it_has_its_name(void **state) {
  (void)state;
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITTEN);
  assert_holds("a.lua", "new\n");
  assert_string_equal(calls, "flf"); /* the file, its name, the folder's entry */
  assert_false(lies("a.lua.new"));
  unlink("a.lua");
}

static void write_over_a_file_needs_to_be_asked_for(void **state) {
  (void)state;
  put("a.lua", OLD);
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITE_THERE);
  assert_holds("a.lua", OLD);
  assert_int_equal(save("a.lua", "new\n", true), SYL_WRITTEN);
  assert_holds("a.lua", "new\n");
  assert_string_equal(calls, "frf");
  assert_false(lies("a.lua.new"));
  unlink("a.lua");
}

/* Read or not: a file that may not be read is there all the same. */
static void write_over_an_unreadable_file_is_refused(void **state) {
  (void)state;
  put("a.lua", OLD);
  assert_int_equal(chmod("a.lua", 0), 0);
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITE_THERE);
  assert_int_equal(chmod("a.lua", 0600), 0);
  assert_holds("a.lua", OLD);
  unlink("a.lua");
}

static void write_replacing_keeps_permissions_and_links(void **state) {
  (void)state;
  put("a.lua", OLD);
  assert_int_equal(chmod("a.lua", 0640), 0);
  assert_int_equal(symlink("a.lua", "b.lua"), 0);
  assert_int_equal(save("b.lua", "new\n", true), SYL_WRITTEN);
  assert_holds("a.lua", "new\n");
  struct stat about;
  assert_int_equal(lstat("b.lua", &about), 0);
  assert_true(S_ISLNK(about.st_mode));
  assert_int_equal(stat("a.lua", &about), 0);
  assert_int_equal(about.st_mode & 07777, 0640);
  unlink("a.lua");
  unlink("b.lua");
}

/* What a killed run left beside is neither in the way nor touched, and a link there is not written through. */
static void write_passes_by_what_lies_beside(void **state) {
  (void)state;
  put("a.lua.new", OLD);
  assert_int_equal(symlink("elsewhere", "a.lua.new1"), 0);
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITTEN);
  assert_holds("a.lua", "new\n");
  assert_holds("a.lua.new", OLD);
  assert_false(lies("elsewhere"));
  assert_false(lies("a.lua.new2"));
  unlink("a.lua");
  unlink("a.lua.new");
  unlink("a.lua.new1");
}

static void write_to_a_dangling_link_creates_nothing_behind_it(void **state) {
  (void)state;
  assert_int_equal(symlink("elsewhere", "a.lua"), 0);
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITE_THERE);
  assert_int_equal(save("a.lua", "new\n", true), SYL_WRITE_FAILED);
  assert_int_equal(errno, ENOENT);
  assert_false(lies("elsewhere"));
  unlink("a.lua");
}

static void write_over_a_folder_or_a_pipe_is_refused(void **state) {
  (void)state;
  assert_int_equal(mkdir("a", 0700), 0);
  assert_int_equal(mkfifo("p", 0600), 0);
  assert_int_equal(save("a", "new\n", true), SYL_WRITE_FOLDER);
  assert_int_equal(save("a", "new\n", false), SYL_WRITE_FOLDER);
  assert_int_equal(save("p", "new\n", true), SYL_WRITE_KIND);
  rmdir("a");
  unlink("p");
}

static void write_that_fails_leaves_what_was_there(void **state) {
  (void)state;
  put("a.lua", OLD);
  fail_fsync = EIO;
  assert_int_equal(save("a.lua", "new\n", true), SYL_WRITE_FAILED);
  assert_int_equal(errno, EIO);
  assert_int_equal(save("b.lua", "new\n", false), SYL_WRITE_FAILED);
  fail_fsync = 0;
  fail_rename = ENOSPC;
  assert_int_equal(save("a.lua", "new\n", true), SYL_WRITE_FAILED);
  assert_int_equal(errno, ENOSPC);
  assert_holds("a.lua", OLD);
  assert_false(lies("a.lua.new"));
  assert_false(lies("b.lua"));
  assert_false(lies("b.lua.new"));
  unlink("a.lua");
  assert_int_equal(save("no/a.lua", "new\n", false), SYL_WRITE_FAILED);
  assert_int_equal(errno, ENOENT);
}

/* A file system without links: the name is taken by an empty file of our own, which the whole one replaces. */
static void write_without_links_still_never_replaces(void **state) {
  (void)state;
  fail_link = EPERM;
  assert_int_equal(save("a.lua", "new\n", false), SYL_WRITTEN);
  assert_string_equal(calls, "flrf");
  assert_holds("a.lua", "new\n");
  assert_int_equal(save("a.lua", "newer\n", false), SYL_WRITE_THERE);
  fail_rename = EIO;
  assert_int_equal(save("b.lua", "new\n", false), SYL_WRITE_FAILED);
  assert_false(lies("b.lua"));
  assert_false(lies("b.lua.new"));
  assert_holds("a.lua", "new\n");
  unlink("a.lua");
}

static void name_of_a_finished_file_is_given_in_one_step(void **state) {
  (void)state;
  put("a.part", "new\n");
  assert_int_equal(syl_name_file("a.part", "a.lua", false), SYL_WRITTEN);
  assert_string_equal(calls, "lf");
  assert_holds("a.lua", "new\n");
  assert_false(lies("a.part"));
  put("a.part", "newer\n");
  assert_int_equal(syl_name_file("a.part", "a.lua", false), SYL_WRITE_THERE);
  assert_holds("a.lua", "new\n");
  assert_int_equal(syl_name_file("a.part", "a.lua", true), SYL_WRITTEN);
  assert_string_equal(calls, "lfrf");
  assert_holds("a.lua", "newer\n");
  assert_false(lies("a.part"));
  unlink("a.lua");
}

static void name_that_cannot_be_given_leaves_the_finished_file(void **state) {
  (void)state;
  put("a.part", "new\n");
  put("a.lua", OLD);
  assert_int_equal(mkdir("b", 0700), 0);
  fail_link = EIO;
  fail_rename = EROFS;
  assert_int_equal(syl_name_file("a.part", "c.lua", false), SYL_WRITE_FAILED);
  assert_int_equal(errno, EIO);
  assert_int_equal(syl_name_file("a.part", "a.lua", true), SYL_WRITE_FAILED);
  assert_int_equal(errno, EROFS);
  assert_int_equal(syl_name_file("a.part", "b", true), SYL_WRITE_FOLDER);
  assert_holds("a.lua", OLD);
  assert_holds("a.part", "new\n");
  assert_false(lies("c.lua"));
  unlink("a.part");
  unlink("a.lua");
  rmdir("b");
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup(write_of_a_new_file_is_on_the_disk_before_it_has_its_name, setup),
      cmocka_unit_test_setup(write_over_a_file_needs_to_be_asked_for, setup),
      cmocka_unit_test_setup(write_over_an_unreadable_file_is_refused, setup),
      cmocka_unit_test_setup(write_replacing_keeps_permissions_and_links, setup),
      cmocka_unit_test_setup(write_passes_by_what_lies_beside, setup),
      cmocka_unit_test_setup(write_to_a_dangling_link_creates_nothing_behind_it, setup),
      cmocka_unit_test_setup(write_over_a_folder_or_a_pipe_is_refused, setup),
      cmocka_unit_test_setup(write_that_fails_leaves_what_was_there, setup),
      cmocka_unit_test_setup(write_without_links_still_never_replaces, setup),
      cmocka_unit_test_setup(name_of_a_finished_file_is_given_in_one_step, setup),
      cmocka_unit_test_setup(name_that_cannot_be_given_leaves_the_finished_file, setup),
  };
  return cmocka_run_group_tests(tests, enter, leave);
}

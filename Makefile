# steelyard. `make help` lists the targets; `make demo` and `make test` set up a fresh machine by themselves.

# Settings, as in `make CC=clang PREFIX=$HOME/.local install`.
CC = cc
CFLAGS = -O2 -g
LDFLAGS =
PREFIX = /usr/local
DESTDIR =
# 1, here or in the environment: never install packages, print the line that would
SY_NO_INSTALL ?=
# Where everything built goes.
B = build
# 1: sy.seek can be asked, by NLopt; what pkg-config finds unless given
WITH_NLOPT =
# 1: drawings are written as PNG and PDF too, by cairo and Pango; what pkg-config finds unless given
WITH_CAIRO =
# 1: show the whole command lines
V =

# Nothing below needs editing. --------------------------------------------------------------------------------

# core/base/version.h has the three numbers
version_part = $(shell sed -n 's/^.define SY_VERSION_$(1) *//p' core/base/version.h)
VERSION := $(call version_part,MAJOR).$(call version_part,MINOR).$(call version_part,PATCH)
SOVERSION = 0
.DEFAULT_GOAL = all
.DELETE_ON_ERROR:
.SUFFIXES:
MAKEFLAGS += --no-builtin-rules
export SY_NO_INSTALL WITH_NLOPT WITH_CAIRO
Q = $(if $(V),,@)

# The set-up installs the compiler and pkg-config, so this file must be readable without them.
OS := $(shell uname -s)
LUA_NAMES = lua5.4 lua-5.4 lua54 lua
LUA_PC := $(firstword $(foreach name,$(LUA_NAMES),\
  $(if $(filter 5.4 5.4.%,$(shell pkg-config --modversion $(name) 2>/dev/null)),$(name))))
LUA_CFLAGS := $(if $(LUA_PC),$(patsubst -I%,-isystem %,$(shell pkg-config --cflags $(LUA_PC))))
LUA_LIBDIR := $(if $(LUA_PC),$(shell pkg-config --variable=libdir $(LUA_PC)))
LUA_SHARED := $(if $(LUA_PC),$(shell pkg-config --libs $(LUA_PC)))
# a static liblua saves the loader's work at every start
LUA_ARCHIVE := $(firstword $(foreach name,$(filter-out lua,$(LUA_PC)) lua5.4 lua-5.4 lua54,\
  $(wildcard $(LUA_LIBDIR)/lib$(name).a)))
NLOPT_FOUND := $(shell pkg-config --exists nlopt 2>/dev/null && echo 1)
NLOPT := $(filter 1,$(or $(WITH_NLOPT),$(NLOPT_FOUND)))
NLOPT_CFLAGS := $(if $(NLOPT),$(patsubst -I%,-isystem %,$(shell pkg-config --cflags nlopt 2>/dev/null)))
NLOPT_LIBS := $(if $(NLOPT),$(or $(shell pkg-config --libs nlopt 2>/dev/null),-lnlopt))
CAIRO_FOUND := $(shell pkg-config --exists pangocairo cairo-pdf 2>/dev/null && echo 1)
CAIRO := $(filter 1,$(or $(WITH_CAIRO),$(CAIRO_FOUND)))
CAIRO_CFLAGS := $(if $(CAIRO),$(patsubst -I%,-isystem %,$(shell pkg-config --cflags pangocairo cairo-pdf 2>/dev/null)))
CAIRO_LIBS := $(if $(CAIRO),$(shell pkg-config --libs pangocairo cairo-pdf 2>/dev/null))
CMOCKA_CFLAGS := $(patsubst -I%,-isystem %,$(shell pkg-config --cflags cmocka 2>/dev/null))
CMOCKA_LIBS := $(or $(shell pkg-config --libs cmocka 2>/dev/null),-lcmocka)

WARNINGS = -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wvla -Wdouble-promotion -Wstrict-prototypes \
  -Wmissing-prototypes -Wundef -Wcast-qual -Wwrite-strings -Werror
# -ffp-contract=off: the same bits with every compiler and processor. One set of objects serves the archive, the
# shared library, the Lua module and the command.
ALL_CFLAGS = -std=c11 $(WARNINGS) -ffp-contract=off -fPIC -fno-semantic-interposition $(CFLAGS)
POSIX = -D_XOPEN_SOURCE=700

CORE = $(wildcard core/*/*.c)
# each kernel once a level of instructions; the same bits, picked when the library runs (core/study)
KERNELS = $(wildcard core/*/kernels/*.c)
LEVELS = 1 $(if $(filter x86_64-%,$(shell $(CC) -dumpmachine 2>/dev/null)),3 4)
# loops over lanes are put side by side only when optimised, and roots only when they set no errno; neither changes a bit
LANE_FLAGS = -O3 -fno-math-errno -fno-trapping-math
LEVEL_FLAGS_1 =
LEVEL_FLAGS_3 = -march=x86-64-v3
LEVEL_FLAGS_4 = -march=x86-64-v4 -mprefer-vector-width=512
HOST = $(wildcard lua/command/host*.c)
# modules of their own, which link a library that is loaded when it is first used
EXTRA = $(if $(NLOPT),lua/extra/seek_nlopt.c) $(if $(CAIRO),lua/extra/canvas_cairo.c)
BINDING = $(filter-out $(HOST) lua/extra/%,$(wildcard lua/*/*.c lua/*/*/*.c))
C_TESTS = $(patsubst tests/%.c,$(B)/tests/%,$(filter-out $(if $(CAIRO),,%_cairo.c),$(wildcard tests/test_*.c)))
FUZZERS = $(patsubst tests/fuzz/%.c,$(B)/fuzz/%,$(wildcard tests/fuzz/fuzz_*.c))
NIGHTLIES = $(patsubst tests/nightly/%.c,$(B)/nightly/%,$(wildcard tests/nightly/nightly_*.c))
BENCHES = $(patsubst tests/bench/%.c,$(B)/bench/%,$(wildcard tests/bench/bench_*.c))
object = $(patsubst %.c,$(B)/obj/%.o,$(1))
CORE_OBJECTS = $(call object,$(CORE)) $(foreach level,$(LEVELS),$(patsubst %.c,$(B)/obj/%.v$(level).o,$(KERNELS)))

ifeq ($(OS),Darwin)
SHARED = $(B)/libsteelyard.dylib
SHARED_FLAGS = -dynamiclib -install_name $(PREFIX)/lib/libsteelyard.$(SOVERSION).dylib
MODULE_FLAGS = -bundle -undefined dynamic_lookup -Wl,-exported_symbol,_luaopen_steelyard_core
STAY_LOADED =
EXPORT_LUA = -Wl,-exported_symbol,_main -Wl,-exported_symbol,'_lua*'
WHOLE_LUA = -Wl,-force_load,$(LUA_ARCHIVE)
AS_NEEDED =
else
SHARED = $(B)/libsteelyard.so
SHARED_FLAGS = -shared -Wl,-soname,libsteelyard.so.$(SOVERSION) -Wl,-z,defs
MODULE_FLAGS = -shared -Wl,--version-script=$(B)/module.map
STAY_LOADED = -Wl,-z,nodelete
# modules written in C and loaded by the command find the whole of Lua in it
EXPORT_LUA = -Wl,--dynamic-list=$(B)/command.map
WHOLE_LUA = -Wl,--whole-archive $(LUA_ARCHIVE) -Wl,--no-whole-archive
AS_NEEDED = -Wl,--as-needed
endif
COMMAND_LUA = $(if $(LUA_ARCHIVE),$(WHOLE_LUA) -lm $(if $(filter Darwin,$(OS)),,-ldl),$(LUA_SHARED))
TEST_LUA = $(or $(LUA_ARCHIVE),$(LUA_SHARED))

STATIC = $(B)/libsteelyard.a
GLUE = $(B)/libsteelyard_lua.a
MODULE = $(B)/lua/steelyard/core.so
EXTRA_MODULES = $(patsubst lua/extra/%.c,$(B)/lua/steelyard/%.so,$(EXTRA))
COMMAND = $(B)/steelyard
# the Lua modules, compiled: the command starts faster
COMPILED = $(B)/modules.luac
LUA_MODULES = $(patsubst lua/%,%,$(wildcard lua/steelyard/*.lua lua/steelyard/*/*.lua lua/steelyard/*/*/*.lua))
# what a report's page is made of: text for browsers, installed beside the module that reads it
PAGE_FILES = $(patsubst lua/%,%,$(wildcard lua/steelyard/report/page/*))
# one job a processor for the long targets, unless the caller chose
JOBS = $(if $(findstring -j,$(MAKEFLAGS))$(findstring jobserver,$(MAKEFLAGS)),,-j$(shell nproc 2>/dev/null || echo 2))
SUBMAKE = $(MAKE) --no-print-directory

# Building ----------------------------------------------------------------------------------------------------

.PHONY: all
all: $(STATIC) $(SHARED) $(MODULE) $(EXTRA_MODULES) $(COMMAND) $(COMPILED) ## build the libraries, the Lua module and the command
	@rm -f $(filter-out $(EXTRA_MODULES),$(wildcard $(patsubst lua/extra/%.c,$(B)/lua/steelyard/%.so,$(wildcard lua/extra/*.c))))

$(STATIC): $(CORE_OBJECTS)
	@rm -f $@ && ar rcs $@ $^

$(SHARED): $(CORE_OBJECTS)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(SHARED_FLAGS) -o $@ $^ -lm -lpthread
	@ln -sf $(notdir $@) $(@D)/$(notdir $@).$(SOVERSION)

$(GLUE): $(call object,$(BINDING))
	@rm -f $@ && ar rcs $@ $^

$(MODULE): $(call object,$(BINDING)) $(STATIC) $(B)/module.map
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(MODULE_FLAGS) -o $@ $(call object,$(BINDING)) $(STATIC) -lm -lpthread

# what each links; GLib's types outlive a Lua state, so what has them is not unloaded with it
$(B)/lua/steelyard/seek_nlopt.so: EXTRA_LIBS = $(NLOPT_LIBS)
$(B)/lua/steelyard/canvas_cairo.so: EXTRA_LIBS = $(CAIRO_LIBS) $(STAY_LOADED)
$(EXTRA_MODULES): $(B)/lua/steelyard/%.so: $(B)/obj/lua/extra/%.o $(B)/module.map
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(subst _core,_$*,$(MODULE_FLAGS)) -o $@ $< $(EXTRA_LIBS)

$(COMMAND): $(call object,$(HOST)) $(GLUE) $(STATIC) $(B)/command.map
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(EXPORT_LUA) -o $@ $(call object,$(HOST)) $(GLUE) $(STATIC) $(COMMAND_LUA) -lm -lpthread

$(COMPILED): $(COMMAND) $(addprefix lua/,$(LUA_MODULES))
	@echo "  compile $@"
	@STEELYARD_HOME=. $(COMMAND) lua/steelyard/command/precompile.lua $@ $(addprefix lua/,$(LUA_MODULES))

$(B)/module.map: | $(B)
	@echo '{ global: luaopen_*; local: *; };' >$@

$(B)/command.map: | $(B)
	@echo '{ lua_*; luaL_*; luaopen_*; };' >$@

$(B):
	@mkdir -p $@

$(B)/obj/core/%.o: FLAGS = -fvisibility=hidden
$(B)/obj/lua/%.o: FLAGS = $(POSIX) -Ilua $(LUA_CFLAGS)
$(B)/obj/lua/extra/%.o: FLAGS = $(POSIX) -Ilua $(LUA_CFLAGS) $(NLOPT_CFLAGS) $(CAIRO_CFLAGS)
$(B)/obj/tests/%.o: FLAGS = $(POSIX) -Itests -I$(B) -Ilua $(LUA_CFLAGS) $(CMOCKA_CFLAGS)
$(call object,$(HOST) $(BINDING) $(EXTRA)): | need-lua

$(B)/obj/%.o: %.c $(B)/flags
	@mkdir -p $(@D)
	@echo "  compile $<"
	$(Q)$(CC) $(ALL_CFLAGS) -Icore $(FLAGS) -MMD -MP -c -o $@ $<

define level_rule
$(B)/obj/%.v$(1).o: %.c $(B)/flags
	@mkdir -p $$(@D)
	@echo "  compile $$< for level $(1)"
	$$(Q)$$(CC) $$(ALL_CFLAGS) $$(LANE_FLAGS) $$(LEVEL_FLAGS_$(1)) -DSY_LEVEL=$(1) -Icore $$(FLAGS) -MMD -MP -c -o $$@ $$<
endef
$(foreach level,$(LEVELS),$(eval $(call level_rule,$(level))))

# changed whenever a setting is, so that objects of two settings never mix
$(B)/flags: FORCE | $(B)
	@echo '$(CC) $(ALL_CFLAGS) $(LUA_CFLAGS) $(LUA_ARCHIVE)' | cmp -s - $@ || \
	  echo '$(CC) $(ALL_CFLAGS) $(LUA_CFLAGS) $(LUA_ARCHIVE)' >$@

.PHONY: FORCE need-lua
need-lua:
	@$(if $(LUA_PC),:,{ command -v pkg-config >/dev/null || echo "pkg-config is missing: make demo sets it up."; \
	  echo "Lua 5.4 is needed, under one of the pkg-config names lua5.4, lua-5.4, lua54; found: $$( \
	  for n in $(LUA_NAMES); do v=$$(pkg-config --modversion $$n 2>/dev/null) && echo "$$n $$v"; done | \
	  paste -sd, - | grep . || echo none). Other versions are refused." >&2; exit 1; })

# a call of each public function, from the headers as they would be installed
$(B)/sweep_calls.h: tests/sweep/generate.lua tests/sweep/recipes.lua tests/sweep/fixtures.h $(wildcard core/*.h core/*/*.h) $(COMMAND)
	@echo "  write   $@"
	@STEELYARD_HOME=. $(COMMAND) $< $@ tests/sweep/fixtures.h $(HEADERS)
$(B)/obj/tests/test_sweep.o: $(B)/sweep_calls.h

$(B)/tests/test_canvas_cairo: $(call object,lua/extra/canvas_cairo.c)
$(B)/tests/test_canvas_cairo: EXTRA_LIBS = $(CAIRO_LIBS)
$(B)/tests/%: $(B)/obj/tests/%.o $(GLUE) $(STATIC)
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(AS_NEEDED) -o $@ $(filter %.o,$^) $(GLUE) $(STATIC) $(CMOCKA_LIBS) $(TEST_LUA) $(EXTRA_LIBS) -lm -lpthread -ldl

# without libFuzzer: reads the files it is given, once each
FUZZ_MAIN = $(call object,tests/fuzz/main.c)
FUZZ_FLAGS =
$(B)/fuzz/%: $(B)/obj/tests/fuzz/%.o $(FUZZ_MAIN) $(GLUE) $(STATIC)
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(FUZZ_FLAGS) $(AS_NEEDED) -o $@ $< $(FUZZ_MAIN) $(GLUE) $(STATIC) $(TEST_LUA) \
	  -lm -lpthread -ldl

$(B)/nightly/%: $(B)/obj/tests/nightly/%.o $(GLUE) $(STATIC)
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(AS_NEEDED) -o $@ $< $(GLUE) $(STATIC) $(CMOCKA_LIBS) $(TEST_LUA) -lm -lpthread -ldl

# what the library is compared with in C, compiled for this machine alone: performance is asked against its best
BASELINE_FLAGS = $(CFLAGS) -O3 -fno-math-errno -fno-trapping-math $(if $(filter x86_64-%,$(shell $(CC) -dumpmachine 2>/dev/null)),-march=native)
$(B)/obj/tests/bench/baseline_%.o: FLAGS = $(BASELINE_FLAGS)
$(B)/bench/bench_corner_variants: $(B)/obj/tests/bench/baseline_corner_variants.o

$(B)/bench/%: $(B)/obj/tests/bench/%.o $(GLUE) $(STATIC)
	@mkdir -p $(@D)
	@echo "  link    $@"
	$(Q)$(CC) $(CFLAGS) $(LDFLAGS) $(AS_NEEDED) -o $@ $(filter $(B)/obj/tests/bench/%.o,$^) $(GLUE) $(STATIC) $(TEST_LUA) -lm \
	  -lpthread -ldl

.SECONDARY:
-include $(wildcard $(B)/obj/*/*.d $(B)/obj/*/*/*.d $(B)/obj/*/*/*/*.d)

# Using -------------------------------------------------------------------------------------------------------

.PHONY: demo demo-now
demo: ## set up what is missing, build, and run the main job on a demo vehicle
	@.ci/setup demo
	@$(SUBMAKE) $(JOBS) all
	@$(SUBMAKE) demo-now

demo-now:
	@$(B)/steelyard balance vehicles/first_guess.lua
	@echo
	@$(B)/steelyard what_if vehicles/first_guess.lua "powertrain back 50"

.PHONY: pictures pictures-now
pictures: ## every picture of every kind of result, on four cars, to look at: build/pictures/index.html
	@.ci/setup pictures
	@$(SUBMAKE) $(JOBS) all
	@$(SUBMAKE) pictures-now

pictures-now:
	@STEELYARD_HOME=. $(COMMAND) tests/pictures/draw.lua $(B)/pictures

.PHONY: install uninstall
SHARE = $(DESTDIR)$(PREFIX)/share
LIB = $(DESTDIR)$(PREFIX)/lib
# what core/steelyard.h includes is public; other headers stay at home. Each is found from beside the one that includes it,
# so they are installed as they are
HEADERS = $$($(CC) -std=c11 -MM core/steelyard.h | tr ' ' '\n' | sed -n 's/[a-z]*\/\.\.\///g; /^core\//p' | sort -u)
INSTALLED_LIB = $(if $(filter Darwin,$(OS)),libsteelyard.$(SOVERSION).dylib,libsteelyard.so.$(VERSION))

install: all ## copy everything under PREFIX (DESTDIR goes in front of it)
	@install -d $(DESTDIR)$(PREFIX)/bin $(LIB)/lua/5.4/steelyard $(LIB)/pkgconfig
	install -m 755 $(COMMAND) $(DESTDIR)$(PREFIX)/bin/steelyard
	install -m 755 $(MODULE) $(EXTRA_MODULES) $(LIB)/lua/5.4/steelyard
	install -m 644 $(STATIC) $(LIB)/libsteelyard.a
	install -m 755 $(SHARED) $(LIB)/$(INSTALLED_LIB)
	@$(if $(filter Darwin,$(OS)),ln -sf $(INSTALLED_LIB) $(LIB)/libsteelyard.dylib,\
	  ln -sf $(INSTALLED_LIB) $(LIB)/libsteelyard.so.$(SOVERSION) && \
	  ln -sf libsteelyard.so.$(SOVERSION) $(LIB)/libsteelyard.so)
	sed 's/@VERSION@/$(VERSION)/' core/steelyard.pc.in >$(LIB)/pkgconfig/steelyard.pc
	@for f in $(HEADERS); do install -D -m 644 $$f $(DESTDIR)$(PREFIX)/include/steelyard/$${f#core/} || exit; done
	@for f in $(LUA_MODULES) $(PAGE_FILES); do install -D -m 644 lua/$$f $(SHARE)/steelyard/lua/$$f && \
	  install -D -m 644 lua/$$f $(SHARE)/lua/5.4/$$f || exit; done
	@for f in $(wildcard scripts/*.lua vehicles/*.* vehicles/*/*.*); do \
	  install -D -m 644 $$f $(SHARE)/steelyard/$$f || exit; done
	install -m 644 $(COMPILED) $(SHARE)/steelyard/modules.luac

uninstall: ## remove what install put there, with the same PREFIX and DESTDIR
	rm -f $(DESTDIR)$(PREFIX)/bin/steelyard $(LIB)/libsteelyard.* $(LIB)/pkgconfig/steelyard.pc
	rm -rf $(LIB)/lua/5.4/steelyard $(DESTDIR)$(PREFIX)/include/steelyard $(SHARE)/steelyard $(SHARE)/lua/5.4/steelyard

.PHONY: docs
docs: all ## write the reference page to build/docs and the editor stubs to lua/meta
	@mkdir -p $(B)/docs
	$(COMMAND) lua/steelyard/reference/docs/write.lua $(B)/docs

.PHONY: clean
clean: ## remove everything built
	rm -rf build

.PHONY: help
help: ## list the targets
	@awk -F ':.*## ' '/^[a-z]+:.*## / {printf "  make %-10s %s\n", $$1, $$2}' $(firstword $(MAKEFILE_LIST))
	@echo "  Settings: CC, CFLAGS, LDFLAGS, PREFIX, DESTDIR, SY_NO_INSTALL=1, WITH_NLOPT=0, WITH_CAIRO=0, B, V=1"

# Proving -----------------------------------------------------------------------------------------------------

.PHONY: test test-now tests
test: ## set up what is missing, build, and run every test
	@.ci/setup test
	@$(SUBMAKE) $(JOBS) all tests
	@$(SUBMAKE) test-now

tests: $(C_TESTS) $(FUZZERS)
	@:

test-now:
	@tests/run $(B) c corpus lua stock locale scripts oracles

# The parts come one after the other: each uses every processor by itself.
.PHONY: check check-rest clang sanitize valgrind
check: ## everything a commit must pass: all of the targets from test to fuzz, with gcc and clang
	@.ci/setup test check page
	@$(SUBMAKE) test
	@$(SUBMAKE) check-rest
	@echo "check: everything passed"

REST = layers clang sanitize valgrind installed page lint fuzz
check-rest:
	@bad=; for part in $(REST); do echo "== $$part"; $(SUBMAKE) $$part || bad="$$bad $$part"; done; \
	  if [ -n "$$bad" ]; then echo "FAILED:$$bad"; exit 1; fi

clang: ## build everything with clang as well and run the C, Lua and script tests
	@$(SUBMAKE) $(JOBS) B=build/clang CC=clang all tests
	@tests/run build/clang c corpus lua scripts

SANITIZE = -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
sanitize: ## address and undefined-behaviour sanitizers over the C, Lua and script tests
	@$(SUBMAKE) $(JOBS) B=build/sanitize CC=gcc CFLAGS="$(SANITIZE)" build/sanitize/steelyard $(patsubst $(B)/%,build/sanitize/%,$(EXTRA_MODULES)) tests
	@tests/run build/sanitize c corpus lua scripts

valgrind: all tests ## the C tests and one run of the command under valgrind
	@WRAP="valgrind --quiet --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=all" \
	  tests/run $(B) c command

installed: all # what make install puts down works from there, and uninstall takes it all away
	@tests/run $(B) install

page: all # the report page in a browser without a window
	@tests/run $(B) page

.PHONY: installed page lint layers words
lint: $(B)/sweep_calls.h ## clang-tidy, cppcheck, luacheck, the formatting of the C files and plain words
	@tests/lint "$(LUA_CFLAGS) $(CMOCKA_CFLAGS) $(CAIRO_CFLAGS)"

words: ## plain words in sources, pages, messages and outputs (tests/words.txt)
	@tests/words

layers: all ## who may include whom in core/, and which symbols come in and go out
	@tests/layers $(B)

.PHONY: fuzz coverage bench
FUZZ_SECONDS = 10
fuzz: ## libFuzzer (clang) on every reader, 10 seconds each
	@if tests/fuzz/available; then \
	  $(SUBMAKE) $(JOBS) B=build/libfuzzer CC=clang FUZZ_MAIN= FUZZ_FLAGS=-fsanitize=fuzzer \
	    CFLAGS="-O1 -g -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all" fuzzers && \
	  tests/fuzz/run build/libfuzzer $(FUZZ_SECONDS); fi

.PHONY: fuzzers benches
fuzzers: $(FUZZERS)
	@:

coverage: ## lines of core/ and lua/ that the tests reach, by file
	@$(SUBMAKE) $(JOBS) B=build/coverage CC=gcc CFLAGS="-O0 -g --coverage" build/coverage/steelyard $(patsubst $(B)/%,build/coverage/%,$(EXTRA_MODULES)) tests
	@find build/coverage -name '*.gcda' -delete
	@tests/run build/coverage c corpus lua scripts
	@tests/coverage build/coverage

bench: ## set up what is missing; our time, an outside baseline and their ratio, measured in one run
	@.ci/setup bench
	@$(SUBMAKE) $(JOBS) B=build/release CFLAGS="-O3" all benches
	@tests/bench/run build/release

benches: $(BENCHES)
	@:

.PHONY: nightly nightlies
nightly: ## simulations too long for every run: do stated intervals hold the truth as often as they say?
	@$(SUBMAKE) $(JOBS) nightlies $(COMMAND)
	@bad=0; for program in $(NIGHTLIES); do $$program || bad=1; done; \
	  for random in "save_random 500" "edit_sequences 2000" "text_edits 3000" "spread_covariance 40"; do \
	    STEELYARD_HOME=. $(COMMAND) tests/lua/test_$${random% *}.lua $${random#* } || bad=1; done; exit $$bad

nightlies: $(NIGHTLIES)
	@:

# SPDX-License-Identifier: GPL-3.0-or-later
#
# make                build/trunnion, build/libtrunnion.a, build/libtrunnion.so
# make check          the tests, on this build
# make check-all      the tests on every build: gcc, clang, sanitizers, valgrind, coverage; then lint
# make install        into DESTDIR and PREFIX
# make docs           the API pages (doxygen), in build/docs
# make deb            Debian packages of library, headers and tool, in build/deb
# make check-i386     the tests where pointers have 32 bits (wants root and debootstrap)
# make check-s390x    the tests of the library with the other order of bytes (wants these, a cross compiler and qemu-user)
# make lint, make coverage, make fuzz, make bench, make coverage-of-intervals, make absurd-runs, make numbers,
# make mutation, make failing-memory, make failing-ways, make threads, make reproducible, make leaf-mutants, make growth
#
# VARIANT=debug|san|tsan|cov and CC=clang choose another build, each in a folder of its own.

VERSION := $(shell sed -n 's/^\#define TRN_VERSION "\(.*\)"/\1/p' include/trunnion/version.h)
SOVERSION := $(firstword $(subst ., ,$(VERSION)))

CC = gcc
OBJCOPY ?= objcopy
CXX = $(if $(findstring clang,$(notdir $(CC))),clang++,g++)
VARIANT ?= release
BUILD ?= build$(if $(filter-out release,$(VARIANT)),/$(VARIANT))$(if $(filter-out gcc,$(CC)),/$(notdir $(CC)))

PREFIX ?= /usr/local
BINDIR ?= $(PREFIX)/bin
LIBDIR ?= $(PREFIX)/lib
INCLUDEDIR ?= $(PREFIX)/include
MANDIR ?= $(PREFIX)/share/man
SCHEMADIR ?= $(PREFIX)/share/trunnion/schemas
BASHDIR ?= $(PREFIX)/share/bash-completion/completions
ZSHDIR ?= $(PREFIX)/share/zsh/site-functions

PKG_CONFIG ?= pkg-config
LIB_PACKAGES := gsl yaml-0.1 udunits
CLI_PACKAGES := jansson libmd

flags_release := -O2 -g
flags_debug := -O0 -g3
flags_san := -O1 -g -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
flags_fuzz := $(flags_san) -fsanitize=fuzzer-no-link
flags_tsan := -O1 -g -fsanitize=thread -fno-omit-frame-pointer
flags_cov := -O0 -g --coverage -fprofile-update=atomic

WARNINGS := -Wall -Wextra -Wconversion -Wshadow -Wdouble-promotion -Wstrict-prototypes -Wmissing-prototypes -Werror
CFLAGS ?= $(flags_$(VARIANT))

# A fault that is still there shall end the process, not run what somebody wrote into a file: checked copies (which need
# optimization, and are no help to a sanitizer), guarded stacks, tables of addresses that are read-only, code that is
# not data. The tool can lie anywhere in memory.
OPTIMIZED := $(filter-out -O0,$(filter -O%,$(CFLAGS)))
FORTIFIED := $(if $(OPTIMIZED),$(if $(findstring -fsanitize,$(CFLAGS))$(findstring _FORTIFY_SOURCE,$(CFLAGS) $(CPPFLAGS)),,\
    -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2))
HARDENED_CFLAGS := -fstack-protector-strong $(FORTIFIED)
HARDENED_LDFLAGS := -Wl,-z,relro,-z,now,-z,noexecstack,-z,separate-code
# The folder of the source is in nothing that is built: the same source gives the same bytes anywhere.
PLACELESS_CFLAGS := -ffile-prefix-map=$(CURDIR)=.
TRN_CXXFLAGS := -std=c++17 -Wall -Wextra -Wconversion -Wshadow -Werror -Iinclude
TRN_CFLAGS := -std=c11 -D_XOPEN_SOURCE=700 -ffp-contract=off $(WARNINGS) $(HARDENED_CFLAGS) $(PLACELESS_CFLAGS) -Iinclude
LIB_CFLAGS := -fPIC $(shell $(PKG_CONFIG) --cflags $(LIB_PACKAGES))
# GLPK has no .pc file.
LIB_LIBS := $(shell $(PKG_CONFIG) --libs $(LIB_PACKAGES)) -lglpk -lpthread
CLI_CFLAGS := -fPIE -Icli -I$(BUILD)/embedded $(shell $(PKG_CONFIG) --cflags $(CLI_PACKAGES))
# libunistring has no .pc file.
CLI_LIBS := $(shell $(PKG_CONFIG) --libs $(CLI_PACKAGES)) -lunistring

# GCC's -O2 turns into vectors only what costs nothing to; the loops over samples are written to be turned. A square root
# that may set errno, or a comparison that may raise a flag, would be worked one by one; nobody reads either, and no bit changes.
VECTOR_CFLAGS := -fno-math-errno -fno-trapping-math \
    $(if $(findstring clang,$(shell $(CC) --version)),,-ftree-vectorize -fvect-cost-model=dynamic)

LIB_SOURCES := $(sort $(wildcard lib/*/*.c))
CLI_SOURCES := $(sort $(wildcard cli/*.c cli/*/*.c))
UNIT_SOURCES := $(sort $(wildcard tests/unit/test_*.c))
EXAMPLE_SOURCES := $(sort $(wildcard examples/*.c))
HEADERS := $(sort $(wildcard include/trunnion/*.h))
SCHEMAS := cli/schemas/leaf.json $(filter-out %/leaf.json,$(sort $(wildcard cli/schemas/*.json)))
STARTS := $(sort $(wildcard cli/starting/*.yaml))

LIB_OBJECTS := $(LIB_SOURCES:%.c=$(BUILD)/obj/%.o)
CLI_OBJECTS := $(CLI_SOURCES:%.c=$(BUILD)/obj/%.o) $(BUILD)/obj/schema_texts.o $(BUILD)/obj/start_texts.o
UNIT_TESTS := $(UNIT_SOURCES:tests/unit/%.c=$(BUILD)/tests/%)
EXAMPLES := $(EXAMPLE_SOURCES:examples/%.c=$(BUILD)/examples/%) $(BUILD)/examples/use_from_cpp

# The tool carries the library within it, unless TOOL_LIBRARY=libtrunnion.so.
TOOL_LIBRARY ?= libtrunnion.a
SHARED := libtrunnion.so.$(VERSION)
SONAME := libtrunnion.so.$(SOVERSION)

.PHONY: all embedded objects tests install uninstall clean lint coverage fuzz bench
.PHONY: check check-all check-i386 check-s390x coverage-of-intervals absurd-runs numbers mutation failing-memory failing-ways threads reproducible leaf-mutants growth
.DELETE_ON_ERROR:

COMPLETIONS := $(BUILD)/completions/trunnion.bash $(BUILD)/completions/trunnion.zsh

all: $(BUILD)/trunnion $(BUILD)/libtrunnion.a $(BUILD)/libtrunnion.so $(BUILD)/trunnion.1 $(COMPLETIONS)

$(BUILD)/obj/lib/%.o: lib/%.c Makefile
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(LIB_CFLAGS) $(CFLAGS) $(CPPFLAGS) -MMD -MP -c $< -o $@

# Style and script of the report become bytes of the program.
$(BUILD)/embedded/%.inc: cli/% Makefile
	@mkdir -p $(@D)
	od -An -v -t d1 $< | sed 's/$$/ /; s/\([0-9]\) /\1,/g' > $@

EMBEDDED := $(BUILD)/embedded/report/style.css.inc $(BUILD)/embedded/report/script.js.inc
embedded: $(EMBEDDED)
$(BUILD)/obj/cli/report/embedded.o: $(EMBEDDED)

$(BUILD)/obj/lib/%_vector.o: LIB_CFLAGS += $(VECTOR_CFLAGS)

$(BUILD)/obj/cli/%.o: cli/%.c Makefile
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(CLI_CFLAGS) $(CFLAGS) $(CPPFLAGS) -MMD -MP -c $< -o $@

$(BUILD)/obj/schema_texts.c: cli/embed $(SCHEMAS) Makefile
	@mkdir -p $(@D)
	cli/embed schema schemas.h $(SCHEMAS) > $@

$(BUILD)/obj/start_texts.c: cli/embed $(STARTS) Makefile
	@mkdir -p $(@D)
	cli/embed start starts.h $(STARTS) > $@

$(BUILD)/obj/%_texts.o: $(BUILD)/obj/%_texts.c
	$(CC) $(TRN_CFLAGS) $(CLI_CFLAGS) $(CFLAGS) $(CPPFLAGS) -MMD -MP -c $< -o $@

# One object in which only the public names are global, so that nobody who
# links the archive meets a name of ours that is not documented. Groups are allocated, or the linker
# would drop those (the thunks of 32-bit code) whose names are now local.
$(BUILD)/libtrunnion.a: $(LIB_OBJECTS)
	$(LD) -r --force-group-allocation -o $(BUILD)/obj/libtrunnion.o $^
	$(OBJCOPY) --wildcard --keep-global-symbol='trn_*' $(if $(filter cov san tsan,$(VARIANT)),--keep-global-symbol='__*') \
	    $(BUILD)/obj/libtrunnion.o
	$(RM) $@
	$(AR) rcsD $@ $(BUILD)/obj/libtrunnion.o

$(BUILD)/$(SHARED): $(LIB_OBJECTS) lib/libtrunnion.map Makefile
	$(CC) $(CFLAGS) $(HARDENED_LDFLAGS) $(LDFLAGS) -shared -Wl,-soname,$(SONAME) -Wl,--version-script=lib/libtrunnion.map -Wl,-Bsymbolic-functions \
	    $(if $(filter san tsan,$(VARIANT)),,-Wl,-z,defs) -o $@ $(LIB_OBJECTS) $(LIB_LIBS)

$(BUILD)/libtrunnion.so: $(BUILD)/$(SHARED)
	ln -sf $(SHARED) $(BUILD)/$(SONAME)
	ln -sf $(SONAME) $@

$(BUILD)/trunnion: $(CLI_OBJECTS) $(BUILD)/$(TOOL_LIBRARY)
	$(CC) $(CFLAGS) -pie $(HARDENED_LDFLAGS) $(LDFLAGS) -o $@ $^ $(CLI_LIBS) $(if $(filter %.a,$(TOOL_LIBRARY)),$(LIB_LIBS),-lm)

$(BUILD)/completions/trunnion.%: $(BUILD)/trunnion
	@mkdir -p $(@D)
	LD_LIBRARY_PATH=$(BUILD) $(BUILD)/trunnion completion $* -o $@

$(BUILD)/trunnion.1: cli/trunnion.1 include/trunnion/version.h
	@mkdir -p $(@D)
	sed -e 's|@VERSION@|$(VERSION)|' $< > $@

$(BUILD)/tests/%: tests/unit/%.c $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) -D_GNU_SOURCE $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $(filter-out %.h,$^) -lcmocka $(LDLIBS) $(LIB_LIBS)

# These look behind the public names, and one counts steps: linked with the objects, where a function can be replaced.
$(BUILD)/tests/test_run_absurd: override LDFLAGS += -Wl,--wrap=stepper_take
refusing = $(foreach call,malloc calloc realloc free $(1),-Xlinker --wrap=$(call))
$(BUILD)/tests/test_refused_description: override LDFLAGS += $(call refusing,dsc_arena_take dsc_arena_text newlocale)
$(BUILD)/tests/test_refused_solver: override LDFLAGS += $(call refusing,glp_intopt glp_simplex glp_init_env glp_config)
$(BUILD)/tests/test_refused_spread: override LDFLAGS += $(call refusing,pthread_create)
BEHIND := arena measure_runs motion nearest refused_description refused_solver refused_spread run_absurd run_bends run_order \
    search stiff worst_angle
$(BEHIND:%=$(BUILD)/tests/test_%): $(BUILD)/tests/%: tests/unit/%.c $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) -Ilib/mechanics -Ilib/describe -D_GNU_SOURCE $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP \
	    -o $@ $< $(LIB_OBJECTS) -lcmocka $(LIB_LIBS)

# A part of the tool that is a function of its argument.
$(BUILD)/tests/test_number: $(BUILD)/obj/cli/present/number.o

# SUNDIALS serves as an independent integrator, and serves only these.
SUNDIALS_LIBS := -lsundials_cvode -lsundials_nvecserial -lsundials_sunnonlinsolfixedpoint
$(BUILD)/tests/test_run_cvode: LDLIBS := $(SUNDIALS_LIBS)

$(BUILD)/tests/test_published: tests/published/test_published.c $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $< $(BUILD)/libtrunnion.a $(LIB_LIBS)

# It reads the tables behind the public names, which the archive keeps to itself.
$(BUILD)/tests/leaf_tables: tests/schema/leaf_tables.c $(LIB_OBJECTS)
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(CLI_CFLAGS) $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $< $(LIB_OBJECTS) $(CLI_LIBS) $(LIB_LIBS)

$(BUILD)/tests/coverage_of_intervals: tests/coverage_of_intervals.c $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) -D_GNU_SOURCE $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $< $(BUILD)/libtrunnion.a -lcmocka $(LIB_LIBS)

# The formulas once more, in 200 bits.
NUMBERS_OBJECTS := $(patsubst %.cpp,$(BUILD)/obj/%.o,$(sort $(wildcard tests/numbers/*.cpp)))
$(BUILD)/obj/tests/numbers/%.o: tests/numbers/%.cpp Makefile
	@mkdir -p $(@D)
	$(CXX) $(TRN_CXXFLAGS) $(CFLAGS) $(CPPFLAGS) -MMD -MP -c $< -o $@

$(BUILD)/tests/test_numbers: $(NUMBERS_OBJECTS) $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CXX) $(CFLAGS) $(LDFLAGS) -o $@ $^ -lmpfr -lgmp $(LIB_LIBS)

# What the bench of cycle has beside the library.
$(BUILD)/bench/cycle_peers: tests/bench/cycle_peers.c tests/bench/cycle_gsl.c $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -o $@ $^ -lcmocka $(SUNDIALS_LIBS) $(LIB_LIBS)

# Never itself under a sanitizer: it is called before that has begun.
FAULTS_CFLAGS := -O2 -g -fno-omit-frame-pointer -fno-optimize-sibling-calls $(if $(filter san tsan,$(VARIANT)),-DSANITIZED)
$(BUILD)/tests/failing_memory.o: tests/faults/failing_memory.c tests/faults/failing_memory.h Makefile
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(LIB_CFLAGS) $(FAULTS_CFLAGS) -c -o $@ $<

$(BUILD)/tests/test_failing_memory: $(BUILD)/tests/failing_memory.o
$(BUILD)/tests/test_failing_memory: override CPPFLAGS += -Itests/faults

$(BUILD)/tests/failing_memory.so: tests/faults/failing_memory.c tests/faults/each_call.c tests/faults/failing_memory.h Makefile
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(LIB_CFLAGS) $(FAULTS_CFLAGS) -shared -o $@ $(filter %.c,$^)

$(BUILD)/examples/%: examples/%.c $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CC) $(TRN_CFLAGS) $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $< $(BUILD)/libtrunnion.a $(LIB_LIBS)

$(BUILD)/examples/%: examples/%.cpp $(BUILD)/libtrunnion.a
	@mkdir -p $(@D)
	$(CXX) $(TRN_CXXFLAGS) $(CFLAGS) $(CPPFLAGS) $(LDFLAGS) -MMD -MP -o $@ $< $(BUILD)/libtrunnion.a $(LIB_LIBS)

tests: all $(UNIT_TESTS) $(BUILD)/tests/test_numbers $(BUILD)/tests/test_published $(BUILD)/tests/leaf_tables $(BUILD)/tests/failing_memory.so $(EXAMPLES)

check: tests
	tests/suites $(BUILD)

check-all:
	tests/variants

check-i386:
	tests/portability i386

check-s390x:
	tests/portability s390x

coverage:
	$(MAKE) VARIANT=cov tests
	tests/coverage build/cov

lint:
	tests/lint

coverage-of-intervals: $(BUILD)/tests/coverage_of_intervals
	$(BUILD)/tests/coverage_of_intervals

absurd-runs: $(BUILD)/tests/test_run_absurd
	RUN_LEAVES=10000 $(BUILD)/tests/test_run_absurd

NUMBERS_LEAVES ?= 100000
numbers: $(BUILD)/tests/test_numbers
	RUN_LEAVES=$(NUMBERS_LEAVES) $(BUILD)/tests/test_numbers print

# A sample of single faults put into lib, and how many of them the tests notice; tests/mutation/README.md.
MUTANTS ?= 300
MUTATION_SEED ?= 1
mutation: tests
	CFLAGS="$(filter-out $(FORTIFIED),$(TRN_CFLAGS)) $(LIB_CFLAGS)" LIBS="$(LIB_LIBS)" TEST_LIBS="$(SUNDIALS_LIBS)" TOOL_LIBS="$(CLI_LIBS)" \
	    tests/mutation/mutate --sample $(MUTANTS) --seed $(MUTATION_SEED) $(MUTATION_OPTIONS)

failing-memory:
	$(MAKE) VARIANT=san all build/san/tests/failing_memory.so
	FAULTS=all /usr/bin/python3 tests/cli/test_failing_memory.py build/san

# The tests that have threads, where ThreadSanitizer watches them.
WITH_THREADS := $(addprefix build/tsan/tests/,test_threads $(patsubst tests/unit/%.c,%,$(shell grep -l 'pthread\|threads' $(UNIT_SOURCES))))
threads:
	$(MAKE) VARIANT=tsan build/tsan/trunnion $(sort $(WITH_THREADS))
	set -e; for program in $(sort $(WITH_THREADS)); do RUN_LEAVES=20 $$program; done
	build/tsan/trunnion spread examples/uncertain.yaml --samples 20000 --threads 8 > /dev/null

# Each way to a call for memory, and each call of the system, in every command line.
failing-ways: tests
	FAULTS=ways tests/suites $(BUILD) failing_memory failing_calls

reproducible:
	tests/reproducible

fuzz:
	tests/fuzz/run

# What the fuzz targets link, and their replay.
objects: $(LIB_OBJECTS) $(CLI_OBJECTS)

# Mutants of leaves through every command, under sanitizers: LEAF_MUTANTS of them, by lot from LEAF_SEED.
LEAF_MUTANTS ?= 2000
LEAF_SEED ?= 1
leaf-mutants:
	$(MAKE) VARIANT=san build/san/trunnion
	/usr/bin/python3 tests/fuzz/through_commands.py build/san/trunnion $(LEAF_MUTANTS) $(LEAF_SEED)

# Time and memory on large inputs: in proportion to their size. No part of the tests, as it goes by the clock.
growth: all
	/usr/bin/python3 tests/growth.py $(BUILD)/trunnion

bench: all
	tests/bench/run $(BUILD)

install: all
	install -d $(DESTDIR)$(BINDIR) $(DESTDIR)$(LIBDIR)/pkgconfig $(DESTDIR)$(INCLUDEDIR)/trunnion $(DESTDIR)$(MANDIR)/man1 $(DESTDIR)$(SCHEMADIR) \
	    $(DESTDIR)$(BASHDIR) $(DESTDIR)$(ZSHDIR)
	install -m 755 $(BUILD)/trunnion $(DESTDIR)$(BINDIR)/trunnion
	install -m 644 $(BUILD)/libtrunnion.a $(DESTDIR)$(LIBDIR)/libtrunnion.a
	install -m 644 $(BUILD)/$(SHARED) $(DESTDIR)$(LIBDIR)/$(SHARED)
	ln -sf $(SHARED) $(DESTDIR)$(LIBDIR)/$(SONAME)
	ln -sf $(SONAME) $(DESTDIR)$(LIBDIR)/libtrunnion.so
	install -m 644 $(HEADERS) $(DESTDIR)$(INCLUDEDIR)/trunnion
	sed -e 's|@PREFIX@|$(PREFIX)|' -e 's|@LIBDIR@|$(LIBDIR)|' -e 's|@INCLUDEDIR@|$(INCLUDEDIR)|' \
	    -e 's|@VERSION@|$(VERSION)|' -e 's|@PACKAGES@|$(LIB_PACKAGES)|' lib/trunnion.pc.in \
	    > $(DESTDIR)$(LIBDIR)/pkgconfig/trunnion.pc
	chmod 644 $(DESTDIR)$(LIBDIR)/pkgconfig/trunnion.pc
	install -m 644 $(BUILD)/trunnion.1 $(DESTDIR)$(MANDIR)/man1/trunnion.1
	install -m 644 $(SCHEMAS) $(DESTDIR)$(SCHEMADIR)
	install -m 644 $(BUILD)/completions/trunnion.bash $(DESTDIR)$(BASHDIR)/trunnion
	install -m 644 $(BUILD)/completions/trunnion.zsh $(DESTDIR)$(ZSHDIR)/_trunnion

uninstall:
	$(RM) $(DESTDIR)$(BINDIR)/trunnion $(DESTDIR)$(LIBDIR)/libtrunnion.a $(DESTDIR)$(LIBDIR)/libtrunnion.so \
	    $(DESTDIR)$(LIBDIR)/$(SONAME) $(DESTDIR)$(LIBDIR)/$(SHARED) $(DESTDIR)$(LIBDIR)/pkgconfig/trunnion.pc \
	    $(DESTDIR)$(MANDIR)/man1/trunnion.1 $(DESTDIR)$(BASHDIR)/trunnion $(DESTDIR)$(ZSHDIR)/_trunnion
	$(RM) -r $(DESTDIR)$(INCLUDEDIR)/trunnion $(DESTDIR)$(SCHEMADIR)
	[ ! -d $(dir $(DESTDIR)$(SCHEMADIR)) ] || rmdir --ignore-fail-on-non-empty $(dir $(DESTDIR)$(SCHEMADIR))

clean:
	$(RM) -r build

include .packaging/packaging.mk

-include $(shell find $(BUILD) -maxdepth 5 -name '*.d' 2>/dev/null)

# dewpost: one Makefile, no recursion into folders.
#
#   make                  the program, in build/release
#   make demo             a morning note from an invented garden, without network
#   make check            all tests; make golden renews the golden files
#   make VARIANT=asan check     a variant beside the others, in build/asan
#   make CC=clang         another compiler; changed flags rebuild
#   make year             eight notes of an invented season
#   make lint bench coverage valgrind fuzz      for who works on it
#   make outside          what we write read by programs that are not ours (Python, a mail server)
#   make install prefix=/usr DESTDIR=/tmp/stage; make uninstall the same way
#   make deb              a Debian package of it, in build/deb
#   make V=1              with the commands in full
#   make deps dev-deps outside-deps   install what the build, the work on it, or its outside checks need (Debian)

.DELETE_ON_ERROR:
.SUFFIXES:
.PHONY: all objects check demo year golden bench coverage valgrind fuzz outside deps dev-deps outside-deps probe \
        install uninstall deb clean distclean FORCE

VERSION = 0.1.0
# A clock before it is wrong.
YEAR    = 2026

VARIANT ?= release
B       ?= build/$(VARIANT)
JOBS    ?= 2

prefix  ?= /usr/local
bindir  ?= $(prefix)/bin
datadir ?= $(prefix)/share
mandir  ?= $(datadir)/man
docdir  ?= $(datadir)/doc/dewpost
unitdir ?= $(prefix)/lib/systemd
INSTALL ?= install

# $(Q) hides a command, $(call say,...) says what it does.
Q   = $(if $(V),,@)
say = $(if $(V),,@echo "  $(1)")

# libFuzzer is clang's.
ifeq ($(VARIANT)$(origin CC),fuzzdefault)
CC = clang
endif

# Asked for once, and only when a recipe needs it: pkg-config may be what "make check" installs first.
PKGS       = libcurl libcjson sqlite3
ask        = $(eval $(1) := $(shell pkg-config $(2)))$($(1))
PKG_CFLAGS = $(call ask,PKG_CFLAGS,--cflags $(PKGS))
PKG_LIBS   = $(call ask,PKG_LIBS,--libs $(PKGS))
CHECK_CFLAGS = $(call ask,CHECK_CFLAGS,--cflags check)
CHECK_LIBS   = $(call ask,CHECK_LIBS,--libs check)

WARN = -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow \
       -Wfloat-conversion -Wformat=2 -Wstrict-prototypes -Wmissing-prototypes -Wcast-qual \
       -Wpointer-arith -Wvla -Wundef -Wwrite-strings -Wnull-dereference -Wdate-time -Wswitch-enum
# clang takes the C library's own NAN, a float, for a promotion; gcc finds the real ones.
WARN_gcc = -Wdouble-promotion -Wduplicated-cond -Wduplicated-branches -Wlogical-op

# Paths of this machine stay out of what is built, but coverage must find its files from any folder.
MAP = -ffile-prefix-map=$(CURDIR)=.
SANITIZE = address,undefined

CFLAGS_release   = -O2 -g -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=3 -fstack-protector-strong -fstack-clash-protection \
                   -fPIE $(MAP)
LDFLAGS_release  = -pie -Wl,-z,relro,-z,now -Wl,--as-needed
CFLAGS_asan      = -O1 -g -fno-omit-frame-pointer -fsanitize=$(SANITIZE) -fno-sanitize-recover=all $(MAP)
LDFLAGS_asan     = -fsanitize=$(SANITIZE)
CFLAGS_cov       = -O0 -g --coverage
LDFLAGS_cov      = --coverage
CFLAGS_valgrind  = -O1 -g $(MAP)
LDFLAGS_valgrind =
CFLAGS_fuzz      = -O1 -g -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,$(SANITIZE) -fno-sanitize-recover=all $(MAP)
LDFLAGS_fuzz     = -fsanitize=$(SANITIZE)

# The user's CPPFLAGS, CFLAGS and LDFLAGS come last and win.
STD         = -std=c11 -D_DEFAULT_SOURCE -ffp-contract=off
WARNINGS    = $(WARN) $(if $(findstring clang,$(CC)),,$(WARN_gcc))
ALL_CFLAGS  = $(STD) $(WARNINGS) $(CFLAGS_$(VARIANT)) -Iinclude $(INCLUDES) $(DEFINES) $(PKG_CFLAGS) -MMD -MP \
              $(CPPFLAGS) $(CFLAGS)
LINK        = $(CC) $(CFLAGS_$(VARIANT)) $(CFLAGS) $(LDFLAGS_$(VARIANT)) $(LDFLAGS)

SRC     := $(sort $(wildcard src/*/*.c))
TESTS   := $(sort $(wildcard tests/*/check_*.c))
TESTLIB := $(sort $(wildcard tests/lib/*.c))
BENCH   := $(sort $(wildcard tests/bench/*.c))
FUZZ    := $(sort $(wildcard tests/fuzz/fuzz_*.c))
OUTSIDE := $(sort $(wildcard tests/outside/*.c))
ALLSRC  := $(SRC) $(TESTS) $(TESTLIB) $(BENCH) $(FUZZ) $(if $(FUZZ),tests/fuzz/replay.c) $(OUTSIDE)

LIBOBJ     := $(patsubst %.c,$(B)/%.o,$(filter-out src/cli/main.c src/manual/main.c,$(SRC)))
TESTLIBOBJ := $(TESTLIB:%.c=$(B)/%.o)
TESTBIN    := $(TESTS:%.c=$(B)/%)
BENCHOBJ   := $(BENCH:%.c=$(B)/%.o)
FUZZBIN    := $(FUZZ:%.c=$(B)/%)
REPLAYBIN  := $(FUZZ:tests/fuzz/fuzz_%.c=$(B)/tests/fuzz/replay_%)
OUTSIDEBIN := $(OUTSIDE:%.c=$(B)/%)
ALLOBJ     := $(ALLSRC:%.c=$(B)/%.o)

all: $(B)/dewpost $(B)/install/dewpost

# --- what the build needs -------------------------------------------------------------------------------------------

# Demo and tests install what is missing; every other target only says it.
probe:
	@CC='$(CC)' .ci/deps $(if $(filter check demo,$(MAKECMDGOALS)),install,probe) build \
	        $(if $(filter outside,$(MAKECMDGOALS)),outside)

deps:
	@CC='$(CC)' .ci/deps install build

dev-deps:
	@CC='$(CC)' .ci/deps install build dev

outside-deps:
	@CC='$(CC)' .ci/deps install build outside

# A file that is rewritten only when its text changes: what was built with other flags is built again.
quote = '$(subst ','\'',$(1))'
stamp = @mkdir -p $(@D); printf '%s\n' $(call quote,$(1)) | cmp -s - $@ || printf '%s\n' $(call quote,$(1)) >$@

$(B)/flags: FORCE | probe
	$(call stamp,$(CC) $(ALL_CFLAGS) | $(LINK) $(PKG_LIBS) | $(VERSION) $(CURDIR))

$(B)/install/flags: FORCE
	$(call stamp,$(datadir) $(bindir))

# --- the program ----------------------------------------------------------------------------------------------------

$(B)/%.o: %.c $(B)/flags
	@mkdir -p $(@D)
	$(call say,CC   $@)
	$(Q)$(CC) $(ALL_CFLAGS) -c -o $@ $<

# Private: else the stamp of flags, made on the way to a test, would take them too.
$(B)/tests/%.o: private INCLUDES = -Itests $(CHECK_CFLAGS)
$(B)/src/cli/version.o: private DEFINES = -DDEWPOST_VERSION='"$(VERSION)"' -DDEWPOST_YEAR=$(YEAR)
$(B)/src/cli/datadir.o: private DEFINES = -DDEWPOST_DATA='"$(CURDIR)/config"'
$(B)/install/datadir.o: private DEFINES = -DDEWPOST_DATA='"$(datadir)/dewpost"'

$(B)/libdewpost.a: $(LIBOBJ)
	@rm -f $@
	$(call say,AR   $@)
	$(Q)$(AR) rcsD $@ $^

$(B)/dewpost: $(B)/src/cli/main.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

# The installed program differs in one object: where its tables are.
$(B)/install/datadir.o: src/cli/datadir.c $(B)/flags $(B)/install/flags
	$(call say,CC   $@)
	$(Q)$(CC) $(ALL_CFLAGS) -c -o $@ $<

$(B)/install/dewpost: $(B)/src/cli/main.o $(B)/install/datadir.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

# --- what is installed beside the program: manual pages and completion with what its tables say, timers --------------

PAGES := $(patsubst docs/%,$(B)/%,$(wildcard docs/man/*.[15]))

$(B)/manual: $(B)/src/manual/main.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

$(PAGES): $(B)/man/%: docs/man/% $(B)/manual
	@mkdir -p $(@D)
	$(call say,MAN  $@)
	$(Q)$(B)/manual page $< >$@

$(B)/completion/dewpost: $(B)/manual
	@mkdir -p $(@D)
	$(call say,GEN  $@)
	$(Q)$(B)/manual completion >$@

# Units and crontab with the program where it will be.
TIMERS := $(patsubst config/%,$(B)/%,$(wildcard config/timers/crontab config/timers/*/*))

$(TIMERS): $(B)/timers/%: config/timers/% $(B)/install/flags
	@mkdir -p $(@D)
	$(Q)sed 's|/usr/bin/dewpost|$(bindir)/dewpost|' $< >$@

# --- tests ----------------------------------------------------------------------------------------------------------

objects: $(ALLOBJ)

$(TESTBIN): $(B)/%: $(B)/%.o $(TESTLIBOBJ) $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) $(CHECK_LIBS) -lm

# Each fuzz target also as a program that reads its seeds once, in any variant.
$(REPLAYBIN): $(B)/tests/fuzz/replay_%: $(B)/tests/fuzz/fuzz_%.o $(B)/tests/fuzz/replay.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

TESTSH := $(sort $(wildcard tests/*/check_*.sh))
GOLDEN = $(if $(wildcard fixtures/golden/*/cmd),tests/lib/golden.sh)

check: $(TESTBIN) $(REPLAYBIN) $(B)/dewpost $(PAGES) $(B)/completion/dewpost
	@JOBS=$(JOBS) tests/lib/run.sh $(B) $(TESTBIN) $(TESTSH) $(REPLAYBIN) $(GOLDEN)

golden: $(B)/dewpost
	@tests/lib/golden.sh renew $(B)

demo: $(B)/dewpost
	@if [ -e tests/lib/demo.sh ]; then PATH="$(CURDIR)/$(B):$$PATH" sh tests/lib/demo.sh; else echo "no demo yet"; fi

year: $(B)/dewpost
	@PATH="$(CURDIR)/$(B):$$PATH"; rm -rf build/year; sh tests/lib/year.sh $(CURDIR)/fixtures $(CURDIR)/build/year

bench: $(if $(BENCH),$(B)/tests/bench/bench) $(B)/dewpost
	@PATH="$(CURDIR)/$(B):$$PATH"; for b in $(filter %/bench,$^); do $$b || exit; done

$(B)/tests/bench/bench: $(BENCHOBJ) $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

# --- outside checks: what we write, read by programs that are not ours; Python lives in tests/outside alone ----------

VENV = build/outside/venv

outside: $(B)/dewpost $(OUTSIDEBIN) $(VENV)/made build/outside/data/made
	@env -u PYTHONPATH $(VENV)/bin/python -B tests/outside/run.py $(B)

$(VENV)/made: tests/outside/requirements.txt | probe
	$(call say,VENV $(@D))
	@.ci/venv $(@D) $<

build/outside/data/made: tests/outside/data.txt | probe
	$(call say,DATA $(@D))
	@.ci/data $(@D) $<

$(OUTSIDEBIN): $(B)/%: $(B)/%.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

# --- the slow lanes: the same tests in a variant of their own -------------------------------------------------------

SUB = +@$(MAKE) --no-print-directory

MEMCHECK = valgrind -q --error-exitcode=99 --leak-check=full --errors-for-leak-kinds=definite

valgrind:
	$(SUB) VARIANT=valgrind check-valgrind

.PHONY: check-valgrind
check-valgrind: $(TESTBIN)
	@WRAP='$(MEMCHECK)' CK_TIMEOUT_MULTIPLIER=20 JOBS=$(JOBS) tests/lib/run.sh $(B) $(TESTBIN)

coverage:
	@find build/cov -name '*.gcda' -delete 2>/dev/null || true
	$(SUB) VARIANT=cov check
	@.ci/coverage build/cov

FUZZ_SECONDS ?= 30

fuzz:
	$(SUB) VARIANT=fuzz run-fuzz

$(FUZZBIN): private LDFLAGS_fuzz = -fsanitize=fuzzer,$(SANITIZE)
$(FUZZBIN): $(B)/%: $(B)/%.o $(B)/libdewpost.a
	$(call say,LINK $@)
	$(Q)$(LINK) -o $@ $^ $(PKG_LIBS) -lm

.PHONY: run-fuzz
run-fuzz: $(FUZZBIN)
	@FUZZ_SECONDS=$(FUZZ_SECONDS) .ci/fuzz $(B) $(FUZZBIN)

# --- lint: make -k shows all that is wrong, not the first ----------------------------------------------------------

LINTS = lint-rooms lint-banned lint-services lint-crops lint-format lint-man lint-shell lint-gcc lint-clang \
        lint-analyzer lint-tidy lint-cppcheck
.PHONY: lint $(LINTS)

MACROS   = -DDEWPOST_VERSION='""' -DDEWPOST_YEAR=2026 -DDEWPOST_DATA='""'
HEADERS := $(sort $(wildcard include/*/*.h))
OURS    := $(SRC) $(HEADERS)

lint:
	$(SUB) -k -j$(JOBS) -Otarget $(LINTS) && echo "lint: clean"

lint-rooms:
	@awk -f .ci/rooms.awk .ci/rooms $(OURS) $(wildcard src/*/*.h)

lint-banned:
	@awk -f .ci/banned.awk $(OURS) $(wildcard src/*/*.h)

lint-services:
	@.ci/words services $(OURS)

lint-crops:
	@.ci/words crops $(OURS)

lint-format:
	@clang-format --dry-run -Werror $(ALLSRC) $(HEADERS) $(wildcard src/*/*.h tests/*/*.h)

lint-man: $(PAGES)
	@mandoc -T lint -W warning $^

SCRIPTS := $(shell grep -lE '^\#!/bin/(ba)?sh' .ci/*) $(sort $(wildcard tests/*/*.sh))
lint-shell: $(B)/completion/dewpost $(SCRIPTS)
	@shellcheck $^

# -Werror lives here alone: a newer compiler must not break a user's build.
lint-gcc:
	$(SUB) B=build/lint/gcc CC=gcc CFLAGS=-Werror objects

lint-clang:
	$(SUB) B=build/lint/clang CC=clang CFLAGS=-Werror objects

lint-analyzer:
	$(SUB) B=build/lint/analyzer CC=gcc CFLAGS='-Werror -fanalyzer' build/lint/analyzer/libdewpost.a

# Numbers need names where formulae and rules live; elsewhere they are bytes, ports and calendars.
FORMULAE = $(filter src/physics/% src/plant/% src/odds/% src/season/% src/advice/% src/note/%,$<)
TIDY := $(SRC:%.c=build/lint/tidy/%.ok)
lint-tidy: $(TIDY)
$(TIDY): build/lint/tidy/%.ok: %.c $(HEADERS) .clang-tidy
	@mkdir -p $(@D)
	@clang-tidy --quiet --warnings-as-errors='*' $(if $(FORMULAE),,--checks=-readability-magic-numbers) $< -- \
	        $(STD) -Iinclude $(MACROS) $(PKG_CFLAGS) 2>$@.err || { cat $@.err >&2; exit 1; }
	@touch $@

lint-cppcheck:
	@mkdir -p build/lint/cppcheck
	@cppcheck --quiet --enable=warning,style,performance,portability --inconclusive --std=c11 --library=posix \
	        --inline-suppr --suppress=missingIncludeSystem --suppressions-list=.ci/cppcheck --error-exitcode=1 \
	        --cppcheck-build-dir=build/lint/cppcheck --template=gcc -Iinclude $(MACROS) $(SRC)

# --- install --------------------------------------------------------------------------------------------------------

# Source file, then the folder it goes to; install and uninstall read the same list.
PLACES = $(foreach f,$(wildcard config/*.ini),$(f):$(datadir)/dewpost) \
         $(foreach f,$(wildcard config/sources/*.ini),$(f):$(datadir)/dewpost/sources) \
         $(foreach f,$(wildcard README.md LICENSE),$(f):$(docdir)) \
         $(foreach f,$(filter %.1,$(PAGES)),$(f):$(mandir)/man1) \
         $(foreach f,$(filter %.5,$(PAGES)),$(f):$(mandir)/man5) \
         $(B)/completion/dewpost:$(datadir)/bash-completion/completions \
         $(foreach f,$(filter %/crontab,$(TIMERS)),$(f):$(docdir)) \
         $(foreach f,$(filter $(B)/timers/system/%,$(TIMERS)),$(f):$(unitdir)/system) \
         $(foreach f,$(filter $(B)/timers/user/%,$(TIMERS)),$(f):$(unitdir)/user)
from = $(firstword $(subst :, ,$(1)))
to   = $(DESTDIR)$(lastword $(subst :, ,$(1)))

define install-one
	$(INSTALL) -d "$(call to,$(1))"
	$(INSTALL) -m 644 $(call from,$(1)) "$(call to,$(1))"

endef

install: $(B)/install/dewpost $(PAGES) $(B)/completion/dewpost $(TIMERS)
	$(INSTALL) -d "$(DESTDIR)$(bindir)"
	$(INSTALL) -m 755 $(B)/install/dewpost "$(DESTDIR)$(bindir)/dewpost"
	$(foreach p,$(PLACES),$(call install-one,$(p)))

uninstall:
	rm -f "$(DESTDIR)$(bindir)/dewpost" $(foreach p,$(PLACES),"$(call to,$(p))/$(notdir $(call from,$(p)))")
	for d in "$(datadir)/dewpost/sources" "$(datadir)/dewpost" "$(docdir)"; do \
	        rmdir "$(DESTDIR)$$d" 2>/dev/null || true; done

# Its own stage, so that an install beside it is not touched.
DEB = build/deb/dewpost_$(VERSION)_$(shell dpkg --print-architecture 2>/dev/null).deb

deb:
	@rm -rf build/deb && mkdir -p build/deb
	$(SUB) VARIANT=release prefix=/usr bindir=/usr/bin datadir=/usr/share mandir=/usr/share/man docdir=/usr/share/doc/dewpost \
	        unitdir=/usr/lib/systemd DESTDIR='$(CURDIR)/build/deb/stage' install >/dev/null
	@.ci/deb build/deb/stage $(DEB) $(VERSION)
	@echo $(DEB)

clean distclean:
	rm -rf build

-include $(ALLOBJ:.o=.d) $(B)/install/datadir.d

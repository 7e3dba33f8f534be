# dewpost: one Makefile, no recursion.  Targets: all check demo lint golden bench
# coverage valgrind fuzz install uninstall deps dev-deps clean.
#
#   make VARIANT=asan check     a variant beside the others, in build/asan
#   make CC=clang               another compiler (use it with a B= of its own)

.DELETE_ON_ERROR:
.SUFFIXES:

VARIANT ?= release
B       ?= build/$(VARIANT)

prefix     ?= /usr/local
bindir     ?= $(prefix)/bin
datadir    ?= $(prefix)/share
mandir     ?= $(datadir)/man

PKGS = libcurl libcjson sqlite3
PKG_CFLAGS = $(shell pkg-config --cflags $(PKGS))
PKG_LIBS   = $(shell pkg-config --libs $(PKGS))

WARN = -Wall -Wextra -Wpedantic -Wconversion -Wsign-conversion -Wshadow -Wdouble-promotion \
       -Wfloat-conversion -Wformat=2 -Wstrict-prototypes -Wmissing-prototypes -Wcast-qual \
       -Wpointer-arith -Wvla -Wundef -Wwrite-strings -Wnull-dereference -Wdate-time -Wswitch-enum
WARN_gcc   = -Wduplicated-cond -Wduplicated-branches -Wlogical-op
IS_CLANG  := $(findstring clang,$(CC))

CFLAGS_release = -O2 -g -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=3 -fstack-protector-strong -fstack-clash-protection -fPIE
LDFLAGS_release = -pie -Wl,-z,relro,-z,now -Wl,--as-needed
CFLAGS_asan = -O1 -g -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
LDFLAGS_asan = -fsanitize=address,undefined
CFLAGS_cov = -O0 -g --coverage
LDFLAGS_cov = --coverage
CFLAGS_valgrind = -O1 -g
LDFLAGS_valgrind =

STD = -std=c11 -D_DEFAULT_SOURCE -ffp-contract=off -ffile-prefix-map=$(CURDIR)=.
# The user's CFLAGS and LDFLAGS come last and win.
ALL_CFLAGS = $(STD) $(WARN) $(if $(IS_CLANG),,$(WARN_gcc)) $(CFLAGS_$(VARIANT)) -Iinclude $(PKG_CFLAGS) -MMD -MP $(CPPFLAGS) $(CFLAGS)
ALL_LDFLAGS = $(LDFLAGS_$(VARIANT)) $(LDFLAGS)

SRC   := $(sort $(wildcard src/*/*.c))
TESTS := $(sort $(wildcard tests/*/check_*.c))
LIBSRC := $(filter-out src/cli/main.c,$(SRC))
TESTLIB := $(sort $(wildcard tests/lib/*.c))
OBJ   := $(SRC:%.c=$(B)/%.o)
LIBOBJ := $(LIBSRC:%.c=$(B)/%.o)
TESTLIBOBJ := $(TESTLIB:%.c=$(B)/%.o)
TESTBIN := $(TESTS:%.c=$(B)/%)

.PHONY: all check clean
all: $(B)/dewpost

$(B)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(ALL_CFLAGS) -c -o $@ $<

$(B)/tests/%.o: ALL_CFLAGS += -Itests

$(B)/libdewpost.a: $(LIBOBJ)
	@rm -f $@
	$(AR) rcsD $@ $^

$(B)/dewpost: $(B)/src/cli/main.o $(B)/libdewpost.a
	$(CC) $(ALL_CFLAGS) $(ALL_LDFLAGS) -o $@ $^ $(PKG_LIBS) -lm

$(TESTBIN): $(B)/%: $(B)/%.o $(TESTLIBOBJ) $(B)/libdewpost.a
	$(CC) $(ALL_CFLAGS) $(ALL_LDFLAGS) -o $@ $^ $(PKG_LIBS) $$(pkg-config --libs check) -lm

check: $(TESTBIN)
	@for t in $(TESTBIN); do $$t || exit 1; done

clean:
	rm -rf build

-include $(OBJ:.o=.d) $(TESTLIBOBJ:.o=.d) $(TESTBIN:%=%.d)

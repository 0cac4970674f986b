# Selvedge. `make demo` and `make check` are all a newcomer needs; DEVELOPERS.md tells the rest.
BUILD  ?= build
CC     ?= cc
PREFIX ?= /usr/local
PKGS    = libxml-2.0 icu-uc icu-i18n harfbuzz harfbuzz-subset zlib
WARN    = -Wall -Wextra -Wpedantic -Wshadow -Wconversion $(if $(CI),-Werror)
OPT    ?= -O2 -g
SAN    ?=
# V=1 shows the commands; else each step is named, and with -s nothing is said.
Q = $(if $(V),,@$(if $(findstring s,$(firstword -$(MAKEFLAGS))),,echo "  $@";))
CPPFLAGS = -D_POSIX_C_SOURCE=200809L -D_XOPEN_SOURCE=700 -Iinclude -Isrc -I$(BUILD)/gen $(shell pkg-config --cflags $(PKGS) 2>/dev/null)
CFLAGS   = -std=c11 $(OPT) $(WARN) -fPIC -fvisibility=default $(SAN)
LDLIBS   = $(shell pkg-config --libs $(PKGS) 2>/dev/null) -lhpdf -lzint -lm

LIB_SRC = $(sort $(wildcard $(foreach room,base text atlas address garment tariff border duty parcel papers,src/$(room)/*.c)))
CLI_SRC = $(sort $(wildcard src/cli/*.c))
TABLES  = $(patsubst data/%.tsv,$(BUILD)/gen/tables/%.table,$(sort $(wildcard $(foreach room,atlas address lexicon tariff border duty papers ubl,data/$(room)/*.tsv))))
DATA    = $(TABLES) $(sort $(wildcard forms/*.xml forms/*.xsd))
MADE    = $(BUILD)/gen/selvedge/codes.h $(BUILD)/gen/selvedge/facts.h $(BUILD)/gen/finding_rows.inc $(BUILD)/gen/fact_rows.inc
LIB_OBJ = $(LIB_SRC:%.c=$(BUILD)/%.o) $(BUILD)/gen/builtins.o
INDEXES = $(BUILD)/gen/words.o $(BUILD)/gen/names.o $(BUILD)/gen/phrases.o $(BUILD)/gen/terms.o
CLI_OBJ = $(CLI_SRC:%.c=$(BUILD)/%.o)
TESTS   = $(patsubst tests/unit/%.c,$(BUILD)/tests/%,$(sort $(wildcard tests/unit/test_*.c)))
BENCHES = $(patsubst tests/bench/%.c,$(BUILD)/bench/%,$(sort $(wildcard tests/bench/bench_*.c)))
ONLY   ?=

.PHONY: all demo check test lint sanitize fuzz bench check-peers install clean deps deps-test docs coverage
.DELETE_ON_ERROR:

all: $(BUILD)/selvedge $(BUILD)/libselvedge.a $(BUILD)/libselvedge.so

# ---- what is made from tables -------------------------------------------------------------------------------
$(BUILD)/gen/selvedge/codes.h: data/findings.tsv src/gen/findings.awk
	@mkdir -p $(@D)
	$(Q)awk -v what=enum -f src/gen/findings.awk $< > $@
$(BUILD)/gen/finding_rows.inc: data/findings.tsv src/gen/findings.awk
	@mkdir -p $(@D)
	$(Q)awk -v what=rows -f src/gen/findings.awk $< > $@
$(BUILD)/gen/selvedge/facts.h: data/lexicon/facts.tsv src/gen/facts.awk
	@mkdir -p $(@D)
	$(Q)awk -v what=enum -f src/gen/facts.awk $< > $@
$(BUILD)/gen/fact_rows.inc: data/lexicon/facts.tsv src/gen/facts.awk
	@mkdir -p $(@D)
	$(Q)awk -v what=rows -f src/gen/facts.awk $< > $@
docs/findings.md: data/findings.tsv src/gen/findings.awk
	$(Q)awk -v what=doc -f src/gen/findings.awk $< > $@
SOURCED = $(sort $(wildcard data/atlas/*.tsv data/address/*.tsv data/lexicon/*.tsv data/tariff/*.tsv data/border/*.tsv \
    data/duty/*.tsv data/papers/*.tsv tests/expected/*.tsv))
docs/sources.md: $(SOURCED) src/gen/sources.awk
	$(Q)awk -f src/gen/sources.awk $(SOURCED) > $@
docs/licences.md: data/papers/licences.tsv src/gen/licences.awk
	$(Q)awk -f src/gen/licences.awk $< > $@
docs: docs/findings.md docs/sources.md docs/licences.md
# Each table is read and made ready by a program of the base, so that opening it reads nothing.
$(BUILD)/gen/mktable: src/gen/mktable.c $(patsubst %,$(BUILD)/src/base/%.o,arena buf cells decimal escape files stored table utf8)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -o $@ $^ $(LDLIBS)
$(BUILD)/gen/tables/%.table: data/%.tsv $(BUILD)/gen/mktable
	@mkdir -p $(@D)
	@$(BUILD)/gen/mktable $< $@
$(BUILD)/gen/builtins.S: $(DATA) src/gen/builtins.sh
	@mkdir -p $(@D)
	$(Q)src/gen/builtins.sh $@ $(DATA)
$(BUILD)/gen/builtins.o: $(BUILD)/gen/builtins.S
	$(Q)$(CC) -c $< -o $@

# Indexes made by programs of the rooms that they take: of all words of data/lexicon, of the names of places and regions,
# of the phrases of addresses, of the words of the border room.
objects_of = $(filter $(foreach room,$(1),$(BUILD)/src/$(room)/%) $(BUILD)/gen/%,$(LIB_OBJ))
$(BUILD)/gen/mkwords: src/gen/mkwords.c $(call objects_of,base text garment)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -o $@ $^ $(LDLIBS)
$(BUILD)/gen/mknames: src/gen/mknames.c $(call objects_of,base text atlas)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -o $@ $^ $(LDLIBS)
$(BUILD)/gen/mkphrases: src/gen/mkphrases.c $(call objects_of,base text atlas address)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -o $@ $^ $(LDLIBS)
$(BUILD)/gen/mkterms: src/gen/mkterms.c $(call objects_of,base text) $(BUILD)/src/border/lexicon.o
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -o $@ $^ $(LDLIBS)
$(BUILD)/gen/%.index: $(BUILD)/gen/mk%
	$< $@
$(BUILD)/gen/words.o: block = sv_index_block
$(BUILD)/gen/names.o: block = sv_names_block
$(BUILD)/gen/phrases.o: block = sv_phrases_block
$(BUILD)/gen/terms.o: block = sv_terms_block
$(INDEXES): %.o: %.index
	$(Q)printf '.section .rodata\n.balign 16\n.global $(block)\n.global $(block)_end\n$(block):\n.incbin "%s"\n$(block)_end:\n.byte 0\n.section .note.GNU-stack,"",%%progbits\n' $< > $(@:.o=.S)
	$(Q)$(CC) -c $(@:.o=.S) -o $@

# ---- program and library ------------------------------------------------------------------------------------
$(BUILD)/%.o: %.c | $(MADE)
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -c $< -o $@
$(BUILD)/libselvedge.a: $(LIB_OBJ) $(INDEXES)
	@rm -f $@
	$(Q)ar rcs $@ $^
$(BUILD)/libselvedge.so: $(LIB_OBJ) $(INDEXES)
	$(Q)$(CC) $(SAN) -shared -Wl,-soname,libselvedge.so.0 -o $@ $^ $(LDLIBS)
$(BUILD)/selvedge: $(CLI_OBJ) $(BUILD)/libselvedge.a
	$(Q)$(CC) $(SAN) -o $@ $^ $(LDLIBS)

# ---- tests --------------------------------------------------------------------------------------------------
$(BUILD)/tests/support.o: tests/unit/support.c | $(MADE)
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS) -Itests/unit $(CFLAGS) -MMD -MP -c $< -o $@
$(BUILD)/tests/%: tests/unit/%.c $(BUILD)/tests/support.o $(BUILD)/libselvedge.a
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS) -Itests/unit $(CFLAGS) -MMD -MP -o $@ $< $(BUILD)/tests/support.o $(BUILD)/libselvedge.a $(LDLIBS) -lcmocka
$(BUILD)/bench/%: tests/bench/%.c $(BUILD)/libselvedge.a
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS) $(CFLAGS) -MMD -MP -o $@ $< $(BUILD)/libselvedge.a $(LDLIBS)
test: all $(if $(ONLY),$(addprefix $(BUILD)/tests/,$(ONLY)),$(TESTS))
	@BUILD=$(BUILD) tests/run $(if $(ONLY),$(addprefix $(BUILD)/tests/,$(ONLY)),$(TESTS))
# Every test program names what it needs; a fresh machine gets it here.
check:
	@.ci/need build fonts test
	@$(MAKE) --no-print-directory test

demo:
	@.ci/need build fonts
	@$(MAKE) --no-print-directory all
	@$(BUILD)/selvedge papers data/demo/orders.csv --into $(BUILD)/demo --date 2026-11-25; test $$? -le 1

# ---- what keeps it sound ------------------------------------------------------------------------------------
C_FILES = $(shell git ls-files '*.c' '*.h' 2>/dev/null)
lint:
	@.ci/need build lint
	@clang-format --dry-run --Werror $(C_FILES)
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/lint OPT="-O1" CI=1 all
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/lint tidy
	@cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr --error-exitcode=1 \
	    --suppress=missingIncludeSystem -Iinclude -Isrc -I$(BUILD)/lint/gen -j2 src
	@shellcheck .ci/need .ci/run tests/run src/gen/builtins.sh tests/fuzz/run $(wildcard tests/sh/*.sh tests/peers/run tests/peers/papers/run tests/draw/*)
	@$(MAKE) --no-print-directory -B docs && git diff --exit-code docs/findings.md docs/sources.md docs/licences.md
TIDY = $(LIB_SRC:%=tidy-%) $(CLI_SRC:%=tidy-%)
.PHONY: tidy $(TIDY)
tidy: $(TIDY)
$(TIDY): tidy-%: % | $(MADE)
	@clang-tidy --quiet $< -- -std=c11 $(CPPFLAGS) 2>/dev/null

sanitize:
	@.ci/need build fonts test
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/san OPT="-O1 -g" \
	    SAN="-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer" test

coverage:
	@.ci/need build fonts test cover
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/cov OPT="-O0 -g" SAN=--coverage test
	@gcovr --root . --filter src/ --object-directory $(BUILD)/cov --print-summary | tail -n 8

# Each fuzz target for FUZZ_SECONDS, with clang's libFuzzer and both sanitizers.
FUZZ_SECONDS ?= 30
FUZZ_SAN = -fsanitize=address,undefined
FUZZERS = $(patsubst tests/fuzz/%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
fuzz:
	@.ci/need build fuzz
	@$(MAKE) --no-print-directory BUILD=$(BUILD)/fuzz CC=clang OPT="-O1 -g" SAN="$(FUZZ_SAN) -fsanitize=fuzzer-no-link" \
	    $(FUZZERS:fuzz_%=$(BUILD)/fuzz/fuzz_%)
	@FUZZ_SECONDS=$(FUZZ_SECONDS) tests/fuzz/run $(FUZZERS:%=$(BUILD)/fuzz/%)
$(BUILD)/fuzz_%: tests/fuzz/fuzz_%.c $(BUILD)/libselvedge.a
	$(Q)$(CC) $(CPPFLAGS) -std=c11 $(OPT) $(FUZZ_SAN) -fsanitize=fuzzer -o $@ $< $(BUILD)/libselvedge.a $(LDLIBS)

bench: all $(BENCHES)
	@for b in $(BENCHES); do echo "== $$b"; $$b || exit 1; done
	@BUILD=$(BUILD) tests/peers/papers/run

# Comparisons with general-purpose libraries of the npm registry; prints NOT RUN where none answers.
check-peers: all
	@if [ -x tests/peers/run ]; then BUILD=$(BUILD) tests/peers/run; else echo "NOT RUN: no peers yet"; fi

install: all
	install -D -m 755 $(BUILD)/selvedge $(DESTDIR)$(PREFIX)/bin/selvedge
	install -D -m 644 $(BUILD)/libselvedge.a $(DESTDIR)$(PREFIX)/lib/libselvedge.a
	install -D -m 755 $(BUILD)/libselvedge.so $(DESTDIR)$(PREFIX)/lib/libselvedge.so.0
	ln -sf libselvedge.so.0 $(DESTDIR)$(PREFIX)/lib/libselvedge.so
	install -d $(DESTDIR)$(PREFIX)/include/selvedge $(DESTDIR)$(PREFIX)/lib/pkgconfig
	install -m 644 include/selvedge/*.h $(BUILD)/gen/selvedge/*.h $(DESTDIR)$(PREFIX)/include/selvedge
	sed -e 's|@PREFIX@|$(PREFIX)|' src/gen/selvedge.pc.in > $(DESTDIR)$(PREFIX)/lib/pkgconfig/selvedge.pc

clean:
	rm -rf $(BUILD)

-include $(LIB_OBJ:.o=.d) $(CLI_OBJ:.o=.d) $(wildcard $(BUILD)/tests/*.d) $(wildcard $(BUILD)/bench/*.d)

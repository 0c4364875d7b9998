# SPDX-License-Identifier: GPL-3.0-or-later
# Included by the Makefile: the API pages and the Debian packages.

DOCS ?= $(BUILD)/docs
DEB ?= $(BUILD)/deb
DEB_SOURCE := $(DEB)/trunnion-$(VERSION)
# The time of the last change, so that the same source gives the same packages.
DEB_DATE = $(or $(shell git log -1 --format=%aD 2>/dev/null),$(shell date -R))
DEB_JOBS ?= $(shell nproc)

.PHONY: docs deb

docs:
	$(RM) -r $(DOCS)
	mkdir -p $(DOCS)
	(cat lib/docs/Doxyfile; echo 'OUTPUT_DIRECTORY = $(DOCS)'; echo 'PROJECT_NUMBER = $(VERSION)') | doxygen -

deb:
	$(RM) -r $(DEB)
	mkdir -p $(DEB_SOURCE)
	cp -r Makefile README.md LICENSE lib include cli examples .packaging $(DEB_SOURCE)
	cp -r .packaging/debian $(DEB_SOURCE)
	sed -e 's|@VERSION@|$(VERSION)|' -e 's|@DATE@|$(DEB_DATE)|' .packaging/debian/changelog.in > $(DEB_SOURCE)/debian/changelog
	sed -e 's|@VERSION@|$(VERSION)|' .packaging/debian/libtrunnion0.symbols.in > $(DEB_SOURCE)/debian/libtrunnion0.symbols
	$(RM) -r $(DEB_SOURCE)/debian/*.in $(DEB_SOURCE)/examples/__pycache__ $(DEB_SOURCE)/examples/theory/__pycache__
	cd $(DEB_SOURCE) && env -u MAKEFLAGS -u MFLAGS -u MAKELEVEL \
	    DEB_BUILD_OPTIONS='nocheck noautodbgsym terse parallel=$(DEB_JOBS)' dpkg-buildpackage --no-sign --build=binary

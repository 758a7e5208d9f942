# What `cmake --install` lays down beside the program, and the Debian package that `cpack` makes of it.
set(MANUAL_PAGE ${PROJECT_BINARY_DIR}/tierce.1)
add_custom_command(OUTPUT ${MANUAL_PAGE}
  COMMAND ${PROJECT_SOURCE_DIR}/cli/data/install/manual.sh $<TARGET_FILE:tierce> ${PROJECT_VERSION}
          ${CMAKE_INSTALL_FULL_DOCDIR} > ${MANUAL_PAGE}
  DEPENDS tierce cli/data/install/manual.sh cli/data/install/tierce.1.in VERBATIM)
add_custom_target(manual_page ALL DEPENDS ${MANUAL_PAGE})

install(FILES ${MANUAL_PAGE} DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES cli/data/install/tierce.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME tierce)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY docs DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY scenarios DESTINATION ${CMAKE_INSTALL_DOCDIR} FILES_MATCHING PATTERN "*.yaml")

# The package is for a cellar: the program without the library and its headers.
set(CPACK_INSTALL_CMAKE_PROJECTS ${PROJECT_BINARY_DIR} ${PROJECT_NAME} Unspecified /)
set(CPACK_GENERATOR DEB)
# Nobody answers by mail for a package made from a copy of the source; whoever hands one on puts a name and an address
# here: -D TIERCE_PACKAGER="A. Name <a.name@where.it.is>". dpkg takes a name without an address.
set(TIERCE_PACKAGER "Tierce developers" CACHE STRING "who answers for the package")
set(CPACK_PACKAGE_CONTACT "${TIERCE_PACKAGER}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)      # the libraries it needs, as dpkg-shlibdeps finds them
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION
"From one text file, which says what a reserve of fortified wine is made of
and what was done, it works out what is in every vessel, how old each
bottling is, and what the years to come will bring.")
include(CPack)

# package.cmake: `cpack -G DEB` in a build folder makes a Debian package. Configure it with -DVATCAST_MODELS_BUILT= so that the
# program looks for models where the package puts them, and not in the folder it was built from.
set(CPACK_PACKAGE_NAME vatcast)
set(CPACK_PACKAGE_VENDOR vatcast)
set(CPACK_PACKAGE_CONTACT "The developers of vatcast <developers@vatcast.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "natural indigo vat, simulated over weeks")
set(CPACK_PACKAGE_DESCRIPTION "vatcast simulates a natural indigo vat over weeks: what becomes of the
indigo, the sugar, the lime and the blue, from a plain text of the vat, the
cloth and the calendar.")
set(CPACK_RESOURCE_FILE_LICENSE "${PROJECT_SOURCE_DIR}/LICENSE")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
# A package configured without a prefix is installed under its own, not under CMake's.
if(VATCAST_MODELS_BUILT STREQUAL "" AND CMAKE_INSTALL_PREFIX STREQUAL "/usr/local")
    set(VATCAST_MODELS_INSTALLED "${CPACK_PACKAGING_INSTALL_PREFIX}/${CMAKE_INSTALL_DATADIR}/vatcast/models")
else()
    set(VATCAST_MODELS_INSTALLED "${CMAKE_INSTALL_FULL_DATADIR}/vatcast/models")
endif()
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "librsvg2-2") # loaded when a PNG picture is wanted
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
# Debian wants the changelog and the manual page packed; without gzip there is no changelog, and the page is plain.
find_program(GZIP gzip)
if(GZIP)
    execute_process(COMMAND "${GZIP}" -9nc "${CMAKE_CURRENT_LIST_DIR}/changelog" OUTPUT_FILE "${PROJECT_BINARY_DIR}/changelog.gz")
    install(FILES "${PROJECT_BINARY_DIR}/changelog.gz" DESTINATION "${CMAKE_INSTALL_DOCDIR}")
    execute_process(COMMAND "${GZIP}" -9nc "${PROJECT_SOURCE_DIR}/docs/vatcast.1" OUTPUT_FILE "${PROJECT_BINARY_DIR}/vatcast.1.gz")
    install(FILES "${PROJECT_BINARY_DIR}/vatcast.1.gz" DESTINATION "${CMAKE_INSTALL_MANDIR}/man1")
else()
    install(FILES docs/vatcast.1 DESTINATION "${CMAKE_INSTALL_MANDIR}/man1")
endif()
include(CPack)

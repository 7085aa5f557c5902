# dependencies.cmake: the libraries of the outside world, each as one interface target.
find_package(PkgConfig REQUIRED)

pkg_check_modules(GSL REQUIRED IMPORTED_TARGET gsl)
add_library(vatcast_gsl INTERFACE)
target_link_libraries(vatcast_gsl INTERFACE PkgConfig::GSL m)

set(THREADS_PREFER_PTHREAD_FLAG ON)
find_package(Threads REQUIRED)
add_library(vatcast_threads INTERFACE)
target_link_libraries(vatcast_threads INTERFACE Threads::Threads)

pkg_check_modules(LIBCONFIG REQUIRED IMPORTED_TARGET libconfig)
add_library(vatcast_libconfig INTERFACE)
target_link_libraries(vatcast_libconfig INTERFACE PkgConfig::LIBCONFIG)

pkg_check_modules(LIBMD REQUIRED IMPORTED_TARGET libmd)
add_library(vatcast_libmd INTERFACE)
target_link_libraries(vatcast_libmd INTERFACE PkgConfig::LIBMD)

pkg_check_modules(JANSSON REQUIRED IMPORTED_TARGET jansson)
add_library(vatcast_jansson INTERFACE)
target_link_libraries(vatcast_jansson INTERFACE PkgConfig::JANSSON)

pkg_check_modules(LIBEDIT REQUIRED IMPORTED_TARGET libedit)
add_library(vatcast_libedit INTERFACE)
target_link_libraries(vatcast_libedit INTERFACE PkgConfig::LIBEDIT)

# Loaded when it is wanted (src/record/png.c): only its headers are used here.
pkg_check_modules(LIBRSVG REQUIRED librsvg-2.0)
add_library(vatcast_librsvg INTERFACE)
target_include_directories(vatcast_librsvg SYSTEM INTERFACE ${LIBRSVG_INCLUDE_DIRS})
target_link_libraries(vatcast_librsvg INTERFACE ${CMAKE_DL_LIBS})

# UDUNITS-2 comes without a pkg-config file on Debian.
find_path(UDUNITS2_INCLUDE_DIR udunits2.h PATH_SUFFIXES udunits2 REQUIRED)
find_library(UDUNITS2_LIBRARY udunits2 REQUIRED)
add_library(vatcast_udunits INTERFACE)
target_include_directories(vatcast_udunits SYSTEM INTERFACE "${UDUNITS2_INCLUDE_DIR}")
target_link_libraries(vatcast_udunits INTERFACE "${UDUNITS2_LIBRARY}" m)

# HDF5: the serial C library and its dimension scales. Neither the compiler flags nor, for the shared library, the further
# libraries that HDF5 was built with are taken over.
set(HDF5_PREFER_PARALLEL OFF)
find_package(HDF5 REQUIRED COMPONENTS C HL)
set(hdf5_libraries ${HDF5_C_HL_LIBRARIES} ${HDF5_C_LIBRARIES})
if(hdf5_libraries MATCHES "libhdf5\\.so")
    list(FILTER hdf5_libraries INCLUDE REGEX "hdf5")
endif()
list(REMOVE_DUPLICATES hdf5_libraries)
add_library(vatcast_hdf5 INTERFACE)
target_include_directories(vatcast_hdf5 SYSTEM INTERFACE ${HDF5_C_INCLUDE_DIRS})
target_link_libraries(vatcast_hdf5 INTERFACE ${hdf5_libraries} m)

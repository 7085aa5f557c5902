# engines.cmake: one_run with each integrator that can be had. An object file that defines the calls of sim/ode.h comes
# before the libraries, so the program's own integrator stays out of the link.
find_package(SUNDIALS CONFIG QUIET)

# bench_engines(FOLDER [ALL]): programs bench_own, bench_msbdf and, with SUNDIALS, bench_cvode and bench_arkode, from
# the sources in FOLDER. Without ALL they are built when asked for only.
function(bench_engines folder)
    set(engines own msbdf)
    if(SUNDIALS_FOUND)
        list(APPEND engines cvode arkode)
    endif()
    foreach(engine IN LISTS engines)
        set(sources "${folder}/one_run.c")
        set(libraries)
        if(NOT engine STREQUAL own)
            list(APPEND sources "${folder}/shell.c" "${folder}/${engine}.c")
        endif()
        if(engine STREQUAL cvode)
            set(libraries SUNDIALS::cvodes)
        elseif(engine STREQUAL arkode)
            set(libraries SUNDIALS::arkode)
        endif()
        if(libraries)
            list(APPEND libraries SUNDIALS::nvecserial SUNDIALS::sunmatrixdense SUNDIALS::sunlinsoldense)
        endif()
        add_executable(bench_${engine} ${sources})
        target_link_libraries(bench_${engine} PRIVATE vatcast_settings vatcast_scenario vatcast_core ${libraries})
        target_link_options(bench_${engine} PRIVATE -Wl,--wrap=ode_create -Wl,--wrap=ode_restart -Wl,--wrap=ode_step
            -Wl,--wrap=ode_try_step -Wl,--wrap=ode_end_step)
        if(NOT "ALL" IN_LIST ARGN)
            set_target_properties(bench_${engine} PROPERTIES EXCLUDE_FROM_ALL ON)
        endif()
    endforeach()
endfunction()
